//! Measures in 1,000 random views with known truth: errors and coverage of the stated intervals.
//!
//! The clicks carry normal errors of 0.7 pixels, the reference a true size that differs from the
//! stated one within its uncertainty, the lens a distortion drawn from what is assumed of it.
//! Run with `--nocapture` for the tables of `docs/methods/geometry.md`.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod chance;
mod views;

use chance::Chance;
use imaging::geometry::{
    CameraPlace, Click, Estimate, HeightCorrection, Measure, Measured, Options, OutlinePoints,
    Plane, Reference, ReferenceKind,
};
use std::collections::BTreeMap;
use views::{CLICK, camera, click, corners, options, reach, rectangle};

const VIEWS: usize = 1000;

/// Errors in standard uncertainties and in the measure's unit, by kind.
#[derive(Default)]
struct Table(BTreeMap<String, Vec<(f64, f64)>>);

impl Table {
    fn add(&mut self, kind: &str, found: Estimate, truth: f64) {
        let error = found.value - truth;
        let row = self.0.entry(kind.to_string()).or_default();
        row.push((error / found.uncertainty, error / truth));
    }

    /// Prints the rows and checks the coverage of intervals of ± 1.96 standard uncertainties.
    fn check(&self, title: &str) {
        println!(
            "{title}\n| measure | n | coverage of 95 % | median error | 95 % of errors | mean z | sd z |"
        );
        let mut wrong = Vec::new();
        for (kind, rows) in &self.0 {
            let n = rows.len() as f64;
            let inside = rows.iter().filter(|(z, _)| z.abs() <= 1.96).count() as f64 / n;
            let mut sizes: Vec<f64> = rows.iter().map(|(_, e)| e.abs()).collect();
            sizes.sort_by(f64::total_cmp);
            let mean = rows.iter().map(|(z, _)| z).sum::<f64>() / n;
            let sd = (rows.iter().map(|(z, _)| (z - mean).powi(2)).sum::<f64>() / n).sqrt();
            println!(
                "| {kind} | {n} | {:.1} % | {:.3} % | {:.3} % | {mean:.2} | {sd:.2} |",
                100.0 * inside,
                100.0 * sizes[sizes.len() / 2],
                100.0 * sizes[sizes.len() * 95 / 100],
            );
            assert!(rows.len() >= VIEWS, "{kind}: only {n} measures");
            if !(0.93..=0.97).contains(&inside) {
                wrong.push(format!("{kind}: {:.1} %", 100.0 * inside));
            }
        }
        assert!(wrong.is_empty(), "coverage outside 93 to 97 %: {wrong:?}");
    }
}

/// Every kind of measure somewhere in the view: measure, true places, truth.
fn subjects(chance: &mut Chance, r: f64) -> Vec<(Measure, Vec<[f64; 2]>, f64)> {
    let mut spot = |share: f64| {
        [
            chance.between(-share, share) * r,
            chance.between(-share, share) * r,
        ]
    };
    let (a, b, c, d, e) = (spot(0.9), spot(0.9), spot(0.7), spot(0.7), spot(0.6));
    let (length, width) = (chance.between(0.1, 0.5) * r, chance.between(0.1, 0.4) * r);
    let turn = chance.between(-3.0, 3.0);
    let box_ = corners(c, length, width, turn);
    let radius = chance.between(0.08, 0.3) * r;
    let rim: Vec<[f64; 2]> = (0..12)
        .map(|i| {
            let (s, c) = (f64::from(i) * 0.52).sin_cos();
            [d[0] + radius * c, d[1] + radius * s]
        })
        .collect();
    let half = [0.5 * radius, radius];
    let oval: Vec<[f64; 2]> = (0..12)
        .map(|i| {
            let (s, c) = (f64::from(i) * 0.52).sin_cos();
            [e[0] + half[1] * c, e[1] + half[0] * s]
        })
        .collect();
    let pitch = 0.05 * r;
    let (s, co) = turn.sin_cos();
    let row: Vec<[f64; 2]> = (0..8)
        .map(|i| {
            [
                e[0] + f64::from(i) * pitch * co,
                e[1] + f64::from(i) * pitch * s,
            ]
        })
        .collect();
    let polygon: Vec<[f64; 2]> = (0..6)
        .map(|i| {
            let (s, c) = (f64::from(i) * 1.047).sin_cos();
            let size = radius * (1.0 + 0.3 * f64::from(i % 2));
            [c * size, s * size]
        })
        .collect();
    let area = Measure::Area(OutlinePoints::Corners).of(&polygon).unwrap();
    let angle = 30.0 + 110.0 * chance.unit();
    let at = |deg: f64| {
        let (s, c) = deg.to_radians().sin_cos();
        [c * 0.4 * r, s * 0.4 * r]
    };
    vec![
        (
            Measure::Distance,
            vec![a, b],
            (b[0] - a[0]).hypot(b[1] - a[1]),
        ),
        (
            Measure::Length(OutlinePoints::Corners),
            box_.clone(),
            length,
        ),
        (Measure::Width(OutlinePoints::Corners), box_, width),
        (Measure::Diameter, rim, 2.0 * radius),
        (Measure::GreaterAxis, oval.clone(), 2.0 * half[1]),
        (Measure::SmallerAxis, oval, 2.0 * half[0]),
        (Measure::Area(OutlinePoints::Corners), polygon, area),
        (Measure::Angle, vec![at(0.0), [0.0, 0.0], at(angle)], angle),
        (Measure::pitch_of_all(8), row, pitch),
    ]
}

fn clicks_on(
    camera: &scene::camera::Camera,
    chance: &mut Chance,
    places: &[[f64; 2]],
    height: f64,
) -> Option<Vec<Click>> {
    places
        .iter()
        .map(|[x, y]| click(camera, chance, [*x, *y, height], CLICK))
        .collect()
}

/// Takes all measures in random views until each kind has been measured often enough.
fn run(
    table: &mut Table,
    seed: u64,
    tilt_deg: f64,
    references: impl Fn(&scene::camera::Camera, &mut Chance) -> Option<Vec<Reference>>,
) {
    let mut chance = Chance::new(seed);
    let mut views = 0;
    while table.0.values().map(Vec::len).min().unwrap_or(0) < VIEWS {
        views += 1;
        assert!(views < 5 * VIEWS, "too few usable views");
        let camera = camera(&mut chance, tilt_deg);
        let Some(references) = references(&camera, &mut chance) else {
            continue;
        };
        let plane = Plane::fit(&references, &options(true)).unwrap();
        for (measure, places, truth) in subjects(&mut chance, reach(&camera)) {
            if let Some(clicks) = clicks_on(&camera, &mut chance, &places, 0.0) {
                let found = plane.estimate(&measure, &clicks, None).unwrap();
                table.add(measure.name(), found, truth);
            }
        }
    }
}

#[test]
fn intervals_hold_with_one_rectangle() {
    let mut table = Table::default();
    run(&mut table, 1, 25.0, |camera, chance| {
        Some(vec![rectangle(camera, chance)?])
    });
    table.check("one rectangle of known size, tilt up to 25°");
}

#[test]
fn intervals_hold_with_a_grid_that_tells_the_lens() {
    let mut table = Table::default();
    run(&mut table, 2, 25.0, |camera, chance| {
        let r = reach(camera);
        let mut points = Vec::new();
        for i in -3i32..=3 {
            for j in -2i32..=2 {
                let place = [f64::from(i) * 0.35 * r, f64::from(j) * 0.35 * r];
                if let Some(c) = click(camera, chance, [place[0], place[1], 0.0], CLICK) {
                    points.push((c, place));
                }
            }
        }
        Some(vec![Reference {
            name: "grid".into(),
            kind: ReferenceKind::Grid {
                points,
                scale_uncertainty: 0.0,
            },
        }])
    });
    table.check("a grid of up to 35 points, tilt up to 25°");
}

#[test]
fn intervals_hold_with_a_card_and_a_ruler() {
    let mut table = Table::default();
    run(&mut table, 3, 20.0, |camera, chance| {
        let r = reach(camera);
        let (s, c) = chance.between(-3.0, 3.0).sin_cos();
        let from = [-0.5 * r * c - 0.5 * r * s, -0.5 * r * s + 0.5 * r * c];
        let scale = 1.0 + 0.0003 * chance.normal();
        let marks: Vec<(Click, f64)> = (0..6)
            .map(|i| {
                let mm = f64::from(i) * 0.2 * r;
                let place = [from[0] + mm * scale * c, from[1] + mm * scale * s, 0.0];
                click(camera, chance, place, CLICK).map(|click| (click, mm))
            })
            .collect::<Option<_>>()?;
        let ruler = Reference {
            name: "ruler".into(),
            kind: ReferenceKind::Ruler {
                marks,
                scale_uncertainty: 0.0003,
            },
        };
        Some(vec![ruler, rectangle(camera, chance)?])
    });
    table.check("a card and a ruler, tilt up to 20°");
}

/// Two points only: the tilt is drawn from what is stated of it, the focal length from what is assumed.
#[test]
fn intervals_hold_with_two_points() {
    let mut table = Table::default();
    let mut chance = Chance::new(4);
    let mut views = 0;
    while table.0.values().map(Vec::len).min().unwrap_or(0) < VIEWS {
        views += 1;
        assert!(views < 5 * VIEWS, "too few usable views");
        let mut camera = camera(&mut chance, 0.0);
        let seen = camera.distance_mm / camera.focal_px;
        camera.focal_px = 1.1 * 4000.0 * (0.4 * chance.normal()).exp();
        camera.distance_mm = seen * camera.focal_px;
        let tilt = [chance.normal(), chance.normal()].map(|z| (3.0 * z).to_radians());
        camera.tilt_rad = tilt[0].hypot(tilt[1]);
        camera.tilt_about_rad = tilt[1].atan2(tilt[0]);
        let r = reach(&camera);
        let (s, c) = chance.between(-3.0, 3.0).sin_cos();
        let ends = [[-0.6 * r * c, -0.6 * r * s], [0.6 * r * c, 0.6 * r * s]];
        let Some(ends) = clicks_on(&camera, &mut chance, &ends, 0.0) else {
            continue;
        };
        let reference = Reference {
            name: "ruler".into(),
            kind: ReferenceKind::Distance {
                ends: ends.try_into().unwrap(),
                length: Measured::exact(1.2 * r),
            },
        };
        let level = Options {
            tilt_deg: 3.0,
            ..options(false)
        };
        let plane = Plane::fit(&[reference], &level).unwrap();
        for (measure, places, truth) in subjects(&mut chance, r) {
            if let Some(clicks) = clicks_on(&camera, &mut chance, &places, 0.0) {
                let found = plane.estimate(&measure, &clicks, None).unwrap();
                table.add(measure.name(), found, truth);
            }
        }
    }
    table.check("two points, tilt 3° about each axis (standard deviation)");
}

#[test]
fn intervals_hold_for_raised_tops() {
    let mut table = Table::default();
    let mut chance = Chance::new(5);
    let mut views = 0;
    while table.0.values().map(Vec::len).min().unwrap_or(0) < VIEWS {
        views += 1;
        assert!(views < 5 * VIEWS, "too few usable views");
        let camera = camera(&mut chance, 12.0);
        let Some(card) = rectangle(&camera, &mut chance) else {
            continue;
        };
        let plane = Plane::fit(&[card], &options(true)).unwrap();
        let height = chance.between(1.0, 12.0);
        let stated = Measured::new(height + 0.2 * chance.normal(), 0.2);
        let z = camera.centre()[2];
        let typed = Measured::new(z * (1.0 + 0.03 * chance.normal()), 0.03 * z);
        let f = camera.focal_px;
        let focal = Measured::new(f * (1.0 + 0.02 * chance.normal()), 0.02 * f);
        let ways = [
            ("typed distance", CameraPlace::Distance(typed)),
            ("focal length", CameraPlace::Focal(focal)),
        ];
        for (measure, places, truth) in subjects(&mut chance, reach(&camera)) {
            if !matches!(
                measure,
                Measure::Distance | Measure::Length(_) | Measure::Diameter
            ) {
                continue;
            }
            let Some(clicks) = clicks_on(&camera, &mut chance, &places, height) else {
                continue;
            };
            for (word, camera) in ways {
                let lift = HeightCorrection {
                    height: stated.into(),
                    camera,
                };
                let found = plane.estimate(&measure, &clicks, Some(&lift)).unwrap();
                table.add(&format!("{}, {word}", measure.name()), found, truth);
            }
        }
    }
    table.check("tops 1 to 12 mm above the plane, tilt up to 12°");
}
