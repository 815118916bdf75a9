//! Squares of a printed chessboard in real photographs, snapped and measured: each is 25 mm as the calibration file
//! beside the photographs states. Dark and bright squares together must be; how far each alone is held by its stated
//! uncertainty is printed.
//!
//! Source: 26 photographs by two cameras with strong distortion, samples of OpenCV in the Debian package opencv-doc
//! (Apache-2.0): `left01.jpg` to `right14.jpg`, `square_size` in `left_intrinsics.yml`. They are read where the
//! package is installed and never kept here; rough marks are the corners in `published/opencv_photographs.toml`.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
#![allow(
    clippy::disallowed_methods,
    reason = "a test reads photographs that are installed"
)]

use imaging::geometry::{
    Click, Measure, Options, OutlinePoints, Plane, Reference, ReferenceKind, SnapOptions,
    snap_sides,
};
use imaging::pixels::{Limits, decode};
use imaging::{Grey, Light, ToneCurve};
use serde::Deserialize;
use std::path::Path;

const FOLDER: &str = "/usr/share/doc/opencv-doc/examples/data";
/// Inner corners in a row, and rows.
const BOARD: [usize; 2] = [9, 6];

#[derive(Deserialize)]
struct Cases {
    homography: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    name: String,
    places_mm: Vec<[f64; 2]>,
    seen_px: Vec<[f64; 2]>,
}

fn is_installed() -> bool {
    let message = format!("squares of real photographs skipped: no {FOLDER}; install opencv-doc");
    let there = Path::new(FOLDER).join("left01.jpg").is_file();
    assert!(
        there || std::env::var_os("UNDERLID_NOTHING_SKIPPED").is_none(),
        "{message}"
    );
    if !there {
        println!("{message}");
    }
    there
}

/// The size of a square in mm, as the calibration file states it.
fn stated_mm() -> f64 {
    let text = std::fs::read_to_string(Path::new(FOLDER).join("left_intrinsics.yml")).unwrap();
    let line = text.lines().find_map(|l| l.strip_prefix("square_size: "));
    1e3 * line.unwrap().trim().parse::<f64>().unwrap()
}

/// Value and standard uncertainty of both sides of every square of a photograph that is found, mm, with whether the
/// square is dark; and the number that was not.
fn squares(case: &Case) -> (Vec<([f64; 2], bool)>, usize) {
    let file = std::fs::read(Path::new(FOLDER).join(&case.name)).unwrap();
    let picture = decode(&file, &Limits::default()).unwrap().picture;
    let clicks = case.seen_px.iter().map(|[x, y]| Click::new(*x, *y, 0.2));
    let board = Reference {
        name: "board".into(),
        kind: ReferenceKind::Grid {
            points: clicks.zip(case.places_mm.iter().copied()).collect(),
            scale_uncertainty: 0.0,
        },
    };
    let options = Options {
        distortion: 1.0,
        distortion_fifth: 1.0,
        ..Options::new(picture.width, picture.height)
    };
    let plane = Plane::fit(&[board], &options).unwrap();
    let grey = Grey::of(&picture);
    // Cameras made for measuring give levels that follow the light (common practice); the files state no curve.
    let curve = ToneCurve::linear();
    let light = Light::new(&picture, &curve);
    let (mut found, mut missing) = (Vec::new(), 0);
    for row in 0..BOARD[1] - 1 {
        for column in 0..BOARD[0] - 1 {
            let at = |r: usize, c: usize| case.seen_px[(row + r) * BOARD[0] + column + c];
            let corners = [at(0, 0), at(0, 1), at(1, 1), at(1, 0)];
            let Ok(snapped) = snap_sides(&light, &corners, &SnapOptions::default()) else {
                missing += 1;
                continue;
            };
            let middle = [0, 1].map(|i: usize| corners.iter().map(|c| c[i]).sum::<f64>() / 4.0);
            let around = [0, 1].map(|i: usize| {
                let beside = at(0, 0)[i] + at(0, 1)[i] - at(1, 1)[i];
                beside - (at(0, 0)[i] - at(1, 0)[i]) / 2.0
            });
            let is_dark = grey.at(middle[0], middle[1]) < grey.at(around[0], around[1]);
            let sides = [
                Measure::Length(OutlinePoints::Sides),
                Measure::Width(OutlinePoints::Sides),
            ];
            for side in sides {
                let size = plane.estimate(&side, &snapped.clicks, None).unwrap();
                found.push(([size.value, size.uncertainty], is_dark));
            }
        }
    }
    (found, missing)
}

#[test]
fn squares_of_real_photographs_have_their_stated_size() {
    if !is_installed() {
        return;
    }
    let stated = stated_mm();
    assert!((stated - 25.0).abs() < 1e-6, "{stated}");
    let cases: Cases =
        toml_edit::de::from_str(include_str!("published/opencv_photographs.toml")).unwrap();
    let (mut all, mut missing, mut means) = (Vec::new(), 0, Vec::new());
    for case in &cases.homography {
        let (found, not_found) = squares(case);
        let held = found
            .iter()
            .filter(|([value, u], _)| (value - stated).abs() <= 1.96 * u)
            .count();
        let mean = |dark: bool| {
            let own = found.iter().filter(|(_, d)| *d == dark);
            let (sum, n) = own.fold((0.0, 0.0), |(sum, n), ([v, _], _)| {
                (sum + v - stated, n + 1.0)
            });
            sum / n
        };
        means.push((&case.name, [mean(true), mean(false)]));
        println!(
            "{}: {held} of {} held, {not_found} not found; dark {:+.3} mm, bright {:+.3} mm",
            case.name,
            found.len(),
            mean(true),
            mean(false)
        );
        all.extend(found);
        missing += not_found;
    }
    let n = all.len() as f64;
    let mut errors: Vec<f64> = all.iter().map(|([v, _], _)| (v - stated).abs()).collect();
    errors.sort_by(f64::total_cmp);
    let held = all
        .iter()
        .filter(|([v, u], _)| (v - stated).abs() <= 1.96 * u);
    let coverage = held.count() as f64 / n;
    println!(
        "{n} sides, {missing} squares not found; coverage {:.1} %, median error {:.4} mm, 95 % within {:.4} mm",
        100.0 * coverage,
        errors[errors.len() / 2],
        errors[errors.len() * 95 / 100]
    );
    assert!(
        missing * 10 < all.len() / 2 + missing,
        "{missing} squares were not found"
    );
    // Where bright reaches over dark, a bright square seems as much larger as a dark one smaller: their mean is not
    // moved, and the corners it rests on are good to some hundredths of a pixel of 0.7 mm.
    for (name, [dark, bright]) in means {
        let pitch = f64::midpoint(dark, bright);
        assert!(pitch.abs() < 0.04, "{name}: {pitch}");
    }
}
