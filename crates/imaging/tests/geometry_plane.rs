//! References that are refused, and measures on a sheet.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use imaging::geometry::{
    CameraPlace, Click, Height, HeightCorrection, Measure, Measured, Model, Options, OutlinePoints,
    Plane, PlaneError, Reference, ReferenceKind, objects,
};
use quantity::{Locator, Sheet};
use std::sync::Arc;
use support::seen;

const CORNERS: [[f64; 2]; 4] = [
    [600.0, 500.0],
    [3300.0, 560.0],
    [3220.0, 2300.0],
    [640.0, 2200.0],
];

fn options() -> Options {
    Options::new(4000, 3000)
}

fn card(corners: [[f64; 2]; 4], length: f64, width: f64) -> Reference {
    Reference {
        name: "card".into(),
        kind: ReferenceKind::Rectangle {
            corners: corners.map(|[x, y]| Click::new(x, y, 0.7)),
            length: Measured::new(length, 0.02),
            width: Measured::new(width, 0.02),
        },
    }
}

/// Three points on each side, anywhere along it.
fn on_sides(corners: [[f64; 2]; 4]) -> Vec<Click> {
    let point = |i: usize, t: f64| {
        let (p, q) = (corners[i], corners[(i + 1) % 4]);
        Click::new(p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1]), 0.7)
    };
    (0..4)
        .flat_map(|i| [0.17, 0.52, 0.87].map(|t| point(i, t)))
        .collect()
}

fn card_by_sides(corners: [[f64; 2]; 4], length: f64, width: f64) -> Reference {
    Reference {
        name: "card".into(),
        kind: ReferenceKind::Sides {
            points: on_sides(corners).try_into().unwrap(),
            length: Measured::new(length, 0.02),
            width: Measured::new(width, 0.02),
        },
    }
}

fn points(a: [f64; 2], b: [f64; 2], length: f64) -> Reference {
    Reference {
        name: "ruler".into(),
        kind: ReferenceKind::Distance {
            ends: [a, b].map(|[x, y]| Click::new(x, y, 0.7)),
            length: Measured::exact(length),
        },
    }
}

#[track_caller]
fn refused(references: &[Reference], words: &[&str]) {
    let error = Plane::fit(references, &options()).unwrap_err().to_string();
    for word in words {
        assert!(error.contains(word), "{error}");
    }
}

/// Without distortion, straight sides pass through the corners: both ways to mark a card give the
/// same view, whichever way round, and three points a side leave four observations to spare.
#[test]
fn sides_and_corners_make_the_same_plane() {
    let undistorted = Options {
        distortion: 0.0,
        ..options()
    };
    let mut turned = CORNERS;
    turned.swap(1, 3);
    for (corners, length, width) in [(CORNERS, 85.6, 53.98), (turned, 53.98, 85.6)] {
        let [a, b] = [
            card(corners, length, width),
            card_by_sides(corners, length, width),
        ]
        .map(|card| Plane::fit(&[card], &undistorted).unwrap());
        for mm in [[0.0, 0.0], [20.0, -11.0], [-30.0, 17.5]] {
            let [p, q] = [&a, &b].map(|plane| seen(plane, mm, CORNERS[0]).unwrap());
            assert!((p[0] - q[0]).hypot(p[1] - q[1]) < 1e-6, "{p:?} {q:?}");
        }
        assert_eq!(b.check().unwrap().degrees_of_freedom, 4);
        assert!(b.check().unwrap().value < 1e-9);
    }
}

/// Sides that bow outwards by what a lens of known distortion makes of straight ones.
#[test]
fn straight_sides_tell_the_lens() {
    let k = -0.02;
    let half = 2500.0;
    let bent = |[x, y]: [f64; 2]| {
        let (u, v) = ((x - 2000.0) / half, (y - 1500.0) / half);
        let grow = 1.0 + k * (u * u + v * v);
        Click::new(2000.0 + u * grow * half, 1500.0 + v * grow * half, 0.1)
    };
    let points: Vec<Click> = on_sides(CORNERS).iter().map(|c| bent(c.at)).collect();
    let card = Reference {
        name: "card".into(),
        kind: ReferenceKind::Sides {
            points: points.try_into().unwrap(),
            length: Measured::exact(85.6),
            width: Measured::exact(53.98),
        },
    };
    let plane = Plane::fit(&[card], &options()).unwrap();
    let found = plane.distortion()[0];
    assert!((found - k).abs() < 2e-3, "{found}");
    assert!(
        plane
            .notes()
            .iter()
            .any(|n| n.contains("found from the points"))
    );
}

#[test]
fn sides_that_enclose_nothing_are_refused() {
    let flat = [600.0, 3300.0, 1503.0, 911.0].map(|x| [x, 500.0]);
    refused(&[card_by_sides(flat, 85.6, 53.98)], &["card", "one line"]);
    let crossed = [CORNERS[0], CORNERS[2], CORNERS[1], CORNERS[3]];
    refused(
        &[card_by_sides(crossed, 85.6, 53.98)],
        &["card", "cross over"],
    );
    let swapped = [CORNERS[1], CORNERS[2], CORNERS[3], CORNERS[0]];
    refused(
        &[card_by_sides(swapped, 85.6, 53.98)],
        &["its width, not its length"],
    );
}

#[test]
fn nothing_marked_is_refused() {
    refused(&[], &["no reference", "mark two points"]);
}

#[test]
fn collinear_corners_are_refused() {
    let line = [
        [600.0, 500.0],
        [1600.0, 500.0],
        [2600.0, 500.0],
        [3600.0, 500.0],
    ];
    refused(&[card(line, 85.6, 53.98)], &["card", "one line"]);
    let three = [
        [600.0, 500.0],
        [1600.0, 500.0],
        [2600.0, 500.0],
        [1600.0, 2500.0],
    ];
    refused(&[card(three, 85.6, 53.98)], &["card", "one line"]);
}

#[test]
fn crossing_corners_are_refused() {
    let [a, b, c, d] = CORNERS;
    refused(
        &[card([a, c, b, d], 85.6, 53.98)],
        &["cross over", "around the outline"],
    );
    refused(&[card([a, b, d, c], 85.6, 53.98)], &["cross over"]);
}

fn ruler(marks: &[(f64, f64)]) -> Reference {
    let mark = |(x, mm): &(f64, f64)| (Click::new(*x, 800.0, 0.5), *mm);
    Reference {
        name: "steel ruler".into(),
        kind: ReferenceKind::Ruler {
            marks: marks.iter().map(mark).collect(),
            scale_uncertainty: 0.0,
        },
    }
}

#[test]
fn marks_out_of_order_are_refused() {
    let marks = [(300.0, 0.0), (800.0, 10.0), (1300.0, 20.0), (1800.0, 30.0)];
    assert!(Plane::fit(&[ruler(&marks)], &options()).is_ok());
    // Each point has its own mark, so neither the order of the list nor the way round matters.
    let mut shuffled = [marks[2], marks[0], marks[3], marks[1]];
    assert!(Plane::fit(&[ruler(&shuffled)], &options()).is_ok());
    for mark in &mut shuffled {
        mark.1 = -mark.1;
    }
    assert!(Plane::fit(&[ruler(&shuffled)], &options()).is_ok());
    let swapped = [(300.0, 0.0), (800.0, 20.0), (1300.0, 10.0), (1800.0, 30.0)];
    refused(
        &[ruler(&swapped)],
        &[
            "steel ruler: points 3 and 2 do not lie in the order",
            "the ruler counts",
        ],
    );
    let twice = [(300.0, 0.0), (800.0, 10.0), (1300.0, 10.0)];
    refused(
        &[ruler(&twice)],
        &["points 2 and 3 do not lie in the order"],
    );
}

/// A card of 0.04 mm a pixel, and beside it a ruler whose marks say 0.05 mm a pixel.
#[test]
fn references_that_contradict_each_other_are_refused() {
    let card = card(CORNERS, 85.6, 53.98);
    let plane = Plane::fit(std::slice::from_ref(&card), &options()).unwrap();
    let along = |scale: f64| {
        let marks: Vec<(f64, f64)> = (0..5)
            .map(|i| {
                let x = 1000.0 + 400.0 * f64::from(i);
                let [mm, _] = plane.to_plane([x, 800.0]).unwrap();
                (x, scale * mm)
            })
            .collect();
        [card.clone(), ruler(&marks)]
    };
    assert_eq!(Plane::fit(&along(1.0), &options()).unwrap().widened(), None);
    // One per cent is doubt, more than two are another size.
    let near = Plane::fit(&along(1.01), &options()).unwrap();
    assert!(near.widened().unwrap() > 1.5);
    refused(
        &along(1.25),
        &[
            "card and steel ruler contradict each other",
            "correct the size",
            "same plane",
        ],
    );
}

#[test]
fn swapped_sides_are_refused_unless_the_view_is_oblique() {
    let [a, b, c, d] = CORNERS;
    let swapped = card([b, c, d, a], 85.6, 53.98);
    refused(
        std::slice::from_ref(&swapped),
        &["looks like its width", "oblique"],
    );
    let oblique = Options {
        oblique: true,
        ..options()
    };
    let plane = Plane::fit(&[swapped], &oblique).unwrap();
    // The card's own sides have the sizes that were stated for them.
    for (ends, stated) in [([b, c], 85.6), ([c, d], 53.98)] {
        let ends = ends.map(|[x, y]| Click::new(x, y, 0.7));
        let side = plane.estimate(&Measure::Distance, &ends, None).unwrap();
        assert!(
            (side.value - stated).abs() < 3.0 * side.uncertainty,
            "{}",
            side.value
        );
    }
}

#[test]
fn either_way_round_gives_the_same_lengths() {
    let [a, b, c, d] = CORNERS;
    let seen = [[900.0, 900.0], [2500.0, 1900.0]].map(|[x, y]| Click::new(x, y, 0.7));
    let length = |corners| {
        let plane = Plane::fit(&[card(corners, 85.6, 53.98)], &options()).unwrap();
        plane.estimate(&Measure::Distance, &seen, None).unwrap()
    };
    let (one, other) = (length([a, b, c, d]), length([b, a, d, c]));
    assert!((one.value - other.value).abs() < 1e-6);
    assert!((one.uncertainty - other.uncertainty).abs() < 1e-6);
}

#[test]
fn sizes_and_clicks_that_are_none_are_refused() {
    for bad in [0.0, -3.0, f64::NAN, f64::INFINITY] {
        refused(
            &[points([100.0, 100.0], [900.0, 100.0], bad)],
            &["ruler", "length"],
        );
        let line = points([100.0, bad * 1e9], [900.0, 100.0], 10.0);
        assert!(Plane::fit(&[line], &options()).is_err() || bad == 0.0);
    }
    refused(
        &[points([100.0, 100.0], [100.2, 100.0], 10.0)],
        &["fall together"],
    );
    refused(
        &[points([100.0, 100.0], [4100.0, 100.0], 10.0)],
        &["outside the picture", "4000"],
    );
    refused(
        &[points([100.0, 100.0], [106.0, 100.0], 10.0)],
        &["scale only within"],
    );
    let one = Reference {
        name: "grid".into(),
        kind: ReferenceKind::Grid {
            points: vec![(Click::new(5.0, 5.0, 0.5), [0.0, 0.0])],
            scale_uncertainty: 0.0,
        },
    };
    refused(&[one], &["1 points marked, 2 needed"]);
}

/// The whole message, since it is what the reader has to go by.
#[test]
fn bad_references_say_what_is_wrong_and_what_to_do() {
    let along = |x: [f64; 4]| x.map(|x| [x, 500.0]);
    let [a, b, c, d] = CORNERS;
    let cases: [(Reference, &str); 14] = [
        (
            card(along([600.0, 1600.0, 2600.0, 3600.0]), 85.6, 53.98),
            "card: its corners lie on one line; mark four corners that enclose an area, or use two of them as a known distance",
        ),
        (
            card([a, b, [3300.0, 561.0], [600.0, 501.0]], 85.6, 53.98),
            "card: points 1 and 4 fall together; mark them apart",
        ),
        (
            card([a, b, [3299.0, 568.0], [599.0, 508.0]], 85.6, 53.98),
            "card: its corners lie on one line; mark four corners that enclose an area, or use two of them as a known distance",
        ),
        (
            points([100.0, 100.0], [106.0, 100.0], 10.0),
            "ruler: it gives the scale only within 16 %; use a longer reference, or mark it more exactly",
        ),
        (
            points([100.0, 100.0], [100.2, 100.0], 10.0),
            "ruler: points 1 and 2 fall together; mark them apart",
        ),
        (
            card([a, c, b, d], 85.6, 53.98),
            "card: the corners cross over; mark them one after the other around the outline, the first side being its length",
        ),
        (
            card([b, c, d, a], 85.6, 53.98),
            "card: the first side marked looks like its width, not its length; begin with the side that is 85.6 mm long, or say that the view is oblique",
        ),
        (
            card([a, [4200.0, 560.0], c, d], 85.6, 53.98),
            "card: point 2 at (4200, 560) lies outside the picture of 4000 × 3000 pixels; mark it again",
        ),
        (
            points([100.0, -8.0], [900.0, 100.0], 10.0),
            "ruler: point 1 at (100, -8) lies outside the picture of 4000 × 3000 pixels; mark it again",
        ),
        (
            card([a, b, [f64::NAN, 2300.0], d], 85.6, 53.98),
            "card: point 3 has no usable place or uncertainty; mark it again",
        ),
        (
            points([100.0, f64::INFINITY], [900.0, 100.0], 10.0),
            "ruler: point 1 has no usable place or uncertainty; mark it again",
        ),
        (
            points([100.0, 100.0], [900.0, 100.0], f64::NAN),
            "ruler: its length cannot be NaN; give a length above zero in mm",
        ),
        (
            points([100.0, 100.0], [900.0, 100.0], -3.0),
            "ruler: its length cannot be -3; give a length above zero in mm",
        ),
        (
            card(CORNERS, 85.6, 0.0),
            "card: its width cannot be 0; give a length above zero in mm",
        ),
    ];
    for (reference, message) in cases {
        let error = Plane::fit(&[reference], &options()).unwrap_err();
        assert_eq!(error.to_string(), message);
    }
}

#[test]
fn an_assumed_lens_is_told_with_two_digits() {
    let told = |distortion: f64| {
        let options = Options {
            distortion,
            ..options()
        };
        let plane = Plane::fit(&[card(CORNERS, 85.6, 53.98)], &options).unwrap();
        plane.notes().join(" ")
    };
    for (distortion, text) in [
        (0.005 / 3f64.sqrt(), "k1 is taken as 0 ± 0.0029 (share"),
        (0.01, "k1 is taken as 0 ± 0.010 (share"),
        (0.0999, "k1 is taken as 0 ± 0.10 (share"),
    ] {
        let notes = told(distortion);
        assert!(notes.contains(text), "{notes}");
    }
}

#[test]
fn two_points_measure_with_a_stated_assumption_on_tilt() {
    let plane = Plane::fit(
        &[points([500.0, 1500.0], [3500.0, 1500.0], 60.0)],
        &options(),
    )
    .unwrap();
    assert_eq!(plane.model(), Model::Pose);
    assert!(
        plane.notes()[0].contains("straight down within 8.0°"),
        "{:?}",
        plane.notes()
    );
    let ends = [[500.0, 1500.0], [3500.0, 1500.0]].map(|[x, y]| Click::new(x, y, 0.7));
    let found = plane.estimate(&Measure::Distance, &ends, None).unwrap();
    assert!((found.value - 60.0).abs() < 1e-6);
    let far = [[300.0, 200.0], [900.0, 200.0]].map(|[x, y]| Click::new(x, y, 0.7));
    let near = [[1700.0, 1500.0], [2300.0, 1500.0]].map(|[x, y]| Click::new(x, y, 0.7));
    let u = |clicks: &[Click]| {
        plane
            .estimate(&Measure::Distance, clicks, None)
            .unwrap()
            .uncertainty
    };
    assert!(u(&far) > 3.0 * u(&near), "{} {}", u(&far), u(&near));
}

#[test]
fn a_wrong_click_among_many_is_noticed() {
    let mut marks: Vec<(Click, f64)> = (0..12)
        .map(|i| {
            (
                Click::new(300.0 + 250.0 * f64::from(i), 800.0, 0.5),
                5.0 * f64::from(i),
            )
        })
        .collect();
    marks[4].0.at[0] += 12.0;
    let ruler = Reference {
        name: "ruler".into(),
        kind: ReferenceKind::Ruler {
            marks,
            scale_uncertainty: 0.0,
        },
    };
    let plane = Plane::fit(&[ruler], &options()).unwrap();
    assert!(plane.check().unwrap().probability < 1e-6);
    assert!(plane.widened().unwrap() > 3.0);
    assert!(plane.notes().iter().any(|n| n.contains("marked wrongly")));
    let worst = plane
        .residuals()
        .iter()
        .max_by(|a, b| a.px[0].abs().total_cmp(&b.px[0].abs()));
    assert_eq!(worst.unwrap().number, 5);
}

#[test]
fn a_place_beyond_the_horizon_is_refused() {
    let steep = [
        [1500.0, 2000.0],
        [2500.0, 2000.0],
        [3900.0, 2900.0],
        [100.0, 2900.0],
    ];
    let oblique = Options {
        oblique: true,
        ..options()
    };
    let plane = Plane::fit(&[card(steep, 100.0, 200.0)], &oblique).unwrap();
    let up = [[2000.0, 10.0], [2000.0, 2500.0]].map(|[x, y]| Click::new(x, y, 0.7));
    let error = plane.estimate(&Measure::Distance, &up, None).unwrap_err();
    assert!(
        matches!(error, PlaneError::BeyondHorizon { number: 1, .. }),
        "{error}"
    );
}

fn rim(n: u32) -> Vec<Click> {
    (0..n)
        .map(|i| {
            let (s, c) = (f64::from(i) * std::f64::consts::TAU / f64::from(n)).sin_cos();
            Click::new(1800.0 + 300.0 * c, 1300.0 + 290.0 * s, 0.7)
        })
        .collect()
}

const BODY: [[f64; 2]; 4] = [
    [1000.0, 900.0],
    [1600.0, 920.0],
    [1590.0, 1300.0],
    [1005.0, 1290.0],
];

fn some_clicks(measure: &Measure) -> Vec<Click> {
    match measure {
        Measure::Distance => vec![
            Click::new(900.0, 800.0, 0.7),
            Click::new(2900.0, 1700.0, 0.7),
        ],
        Measure::Length(OutlinePoints::Sides)
        | Measure::Width(OutlinePoints::Sides)
        | Measure::Area(OutlinePoints::Sides) => on_sides(BODY),
        Measure::Length(_) | Measure::Width(_) => BODY.map(|[x, y]| Click::new(x, y, 0.7)).to_vec(),
        Measure::Angle => rim(12)[..3].to_vec(),
        Measure::Pitch(steps) => steps
            .iter()
            .map(|s| Click::new(1000.0 + 45.0 * f64::from(*s), 1000.0, 0.7))
            .collect(),
        _ => rim(7),
    }
}

/// The derivation graph and the fast estimate rest on the same causes, so value and first-order
/// uncertainty agree to the accuracy of numeric derivatives.
#[test]
fn sheet_and_estimate_agree() {
    let plane = Arc::new(Plane::fit(&[card(CORNERS, 85.6, 53.98)], &options()).unwrap());
    let measures = [
        Measure::Distance,
        Measure::Length(OutlinePoints::Corners),
        Measure::Width(OutlinePoints::Corners),
        Measure::Diameter,
        Measure::GreaterAxis,
        Measure::SmallerAxis,
        Measure::Area(OutlinePoints::Corners),
        Measure::Length(OutlinePoints::Sides),
        Measure::Width(OutlinePoints::Sides),
        Measure::Area(OutlinePoints::Sides),
        Measure::Angle,
        Measure::pitch_of_all(6),
        Measure::Pitch(vec![0, 9]),
    ];
    let lifts = [
        None,
        Some(HeightCorrection {
            height: Measured::new(2.0, 0.1).into(),
            camera: CameraPlace::Distance(Measured::new(150.0, 5.0)),
        }),
        Some(HeightCorrection {
            height: Measured::new(2.0, 0.1).into(),
            camera: CameraPlace::Focal(Measured::new(4500.0, 90.0)),
        }),
    ];
    for measure in measures {
        for lift in &lifts {
            let clicks = some_clicks(&measure);
            let quick = plane.estimate(&measure, &clicks, lift.as_ref()).unwrap();
            let sheet = Sheet::new();
            let on = plane.on(&sheet, &[Locator::new("photo:top")]);
            let marks = on.marks(&clicks, lift.as_ref(), &[]).unwrap();
            let wanted = [("found".to_string(), &measure, quick)];
            let term = on.measure(&marks, &wanted).unwrap()[0];
            let found = sheet.propagate(&[term]).unwrap();
            let factor = match measure {
                Measure::Area(_) => 1e6,
                Measure::Angle => 1f64.to_degrees(),
                _ => 1e3,
            };
            let (value, u) = (
                found.values[0] * factor,
                found.covariance[0][0].sqrt() * factor,
            );
            let near = |a: f64, b: f64, share: f64| (a - b).abs() <= share * b.abs();
            assert!(
                near(value, quick.value, 1e-9),
                "{measure:?}: {value} {quick:?}"
            );
            assert!(
                near(u, quick.first_order, 2e-4),
                "{measure:?} {lift:?}: {u} {quick:?}"
            );
            assert!(
                near(quick.uncertainty, quick.first_order, 0.02),
                "{measure:?} {quick:?}"
            );
        }
    }
}

/// Many clicks are taken by their derivatives; moving each by hand gives the same share.
#[test]
fn many_clicks_have_the_share_that_moving_each_gives() {
    let plane = Plane::fit(&[card(CORNERS, 85.6, 53.98)], &options()).unwrap();
    let sides = |n: usize| {
        let share = |k: usize| k as f64 / n as f64 * 4.0;
        let along = |t: f64| {
            let (p, q) = (BODY[t as usize % 4], BODY[(t as usize + 1) % 4]);
            [0, 1].map(|c: usize| p[c] + t.fract() * (q[c] - p[c]))
        };
        (0..n).map(move |k| along(share(k))).collect::<Vec<_>>()
    };
    let round: Vec<[f64; 2]> = rim(40).iter().map(|c| c.at).collect();
    let row = (0..30).map(|k| [1000.0 + 45.0 * f64::from(k), 1000.0]);
    let cases = [
        (Measure::Diameter, round.clone()),
        (Measure::GreaterAxis, round.clone()),
        (Measure::SmallerAxis, round),
        (Measure::Area(OutlinePoints::Corners), sides(24)),
        (Measure::pitch_of_all(30), row.collect()),
    ];
    for (measure, at) in cases {
        let value = |at: &[[f64; 2]], u: f64| {
            let clicks: Vec<Click> = at.iter().map(|[x, y]| Click::new(*x, *y, u)).collect();
            plane.estimate(&measure, &clicks, None).unwrap()
        };
        let (rough, fine) = (value(&at, 0.7), value(&at, 1e-6));
        let share = rough.first_order.powi(2) - fine.first_order.powi(2);
        let mut moved = at.clone();
        let mut by_hand = 0.0;
        for i in 0..at.len() {
            for c in 0..2 {
                let mut to = |by: f64| {
                    moved[i][c] = at[i][c] + by;
                    value(&moved, 1e-6).value
                };
                by_hand += ((to(0.7) - to(-0.7)) / 2.0).powi(2);
                moved[i][c] = at[i][c];
            }
        }
        assert!(
            (share / by_hand - 1.0).abs() < 1e-3,
            "{measure:?}: {share} {by_hand}"
        );
    }
}

#[test]
fn the_working_names_clicks_and_reference() {
    let plane = Arc::new(Plane::fit(&[card(CORNERS, 85.6, 53.98)], &options()).unwrap());
    let sheet = Sheet::new();
    let on = plane.on(&sheet, &[Locator::new("photo:top")]);
    let distance = |name: &str, ends: [[f64; 2]; 2]| {
        let clicks = ends.map(|[x, y]| Click::new(x, y, 0.7));
        let found = plane.estimate(&Measure::Distance, &clicks, None).unwrap();
        let marks = on
            .marks(&clicks, None, &[Locator::new("measure:m")])
            .unwrap();
        let wanted = [(name.to_string(), &Measure::Distance, found)];
        on.measure(&marks, &wanted).unwrap()[0]
    };
    let width = distance("board width", [[900.0, 800.0], [2900.0, 810.0]]);
    let figure = sheet.figure(width).unwrap();
    let [places, line] = figure.working.as_slice() else {
        panic!("{:#?}", figure.working);
    };
    let at = plane.to_plane([900.0, 800.0]).unwrap();
    let told = format!(
        "points on the plane, mm across and down: ({:.3}, {:.3})",
        at[0], at[1]
    );
    assert!(places.starts_with(&told), "{places}");
    assert!(
        line.starts_with("board width = distance of points 1 and 2 = "),
        "{line}"
    );
    assert!(line.ends_with(&figure.text), "{line}");
    let names: Vec<&str> = figure.inputs.iter().map(|i| i.name.as_str()).collect();
    for name in ["card 1 x", "card first side", "lens k1", "point 1 x"] {
        assert!(names.contains(&name), "{names:?}");
    }
    // Two measures from one photograph share its doubt.
    let height = distance("board height", [[1900.0, 700.0], [1900.0, 2100.0]]);
    let found = sheet.propagate(&[width, height]).unwrap();
    assert!(found.covariance[0][1].abs() > 1e-3 * found.covariance[0][0]);
}

/// A body whose height and camera are not stated is taken as high as usual, and its doubt is that of both: the
/// share by which lengths shrink is height over distance, 2 ± 1 mm (triangular from 0 to 5: sd 1.03) over what
/// the view and a focal length of 1.1 × 4000 px give, whose logarithm is known within 0.4.
#[test]
fn an_unstated_height_and_camera_are_doubt_of_the_measure() {
    let plane = Plane::fit(&[card(CORNERS, 85.6, 53.98)], &options()).unwrap();
    let clicks = some_clicks(&Measure::Distance);
    let usual = HeightCorrection {
        height: Height::Usual {
            low: 0.0,
            mode: 1.0,
            high: 5.0,
        },
        camera: CameraPlace::Usual,
    };
    let flat = plane.estimate(&Measure::Distance, &clicks, None).unwrap();
    let raised = plane
        .estimate(&Measure::Distance, &clicks, Some(&usual))
        .unwrap();
    let distance = plane.camera_distance_mm(1.1 * 4000.0).unwrap();
    let share = 1.0 - raised.value / flat.value;
    assert!((share * distance / 2.0 - 1.0).abs() < 1e-6, "{share}");
    let sd = ((25.0 + 1.0 - 5.0) / 18.0_f64).sqrt();
    let by_height = sd / distance * flat.value;
    let by_distance = 0.4 * share * flat.value;
    let whole = flat.uncertainty.hypot(by_height).hypot(by_distance);
    // Second-order parts and their product add some per cent.
    assert!(
        raised.uncertainty > whole && raised.uncertainty < 1.15 * whole,
        "{raised:?} {whole}"
    );

    // On a sheet the height is an input with its distribution, and two things share the camera.
    let sheet = Sheet::new();
    let plane = Arc::new(plane);
    let on = plane.on(&sheet, &[]);
    let term = |clicks: &[Click]| {
        let marks = on.marks(clicks, Some(&usual), &[]).unwrap();
        on.measure(
            &marks,
            &[("length".to_string(), &Measure::Distance, raised)],
        )
        .unwrap()[0]
    };
    let (one, other) = (term(&clicks), term(&some_clicks(&Measure::Distance)));
    let figure = sheet.figure(one - other).unwrap();
    let named = |name: &str| {
        figure
            .inputs
            .iter()
            .filter(|i| i.name.contains(name))
            .count()
    };
    assert_eq!(
        (named("usual focal length"), named("height")),
        (1, 2),
        "{:?}",
        figure.inputs
    );
}

/// A card whose corners were marked where its round ones reach out most. The places are those of a camera that
/// looks straight down from 300 mm; the standard's radius is 3.18 mm, so each point lies 0.93 mm inwards.
#[test]
fn round_corners_are_told_from_sharp_ones_or_counted_as_doubt() {
    let corners = |inset: f64, tilt: f64| {
        let (l, w) = (42.8 - inset, 26.99 - inset);
        let (s, c) = f64::to_radians(tilt).sin_cos();
        [[-l, -w], [l, -w], [l, w], [-l, w]].map(|[x, y]| {
            let depth = 300.0 + y * s;
            Click::new(
                2000.0 + 4400.0 * x / depth,
                1500.0 + 4400.0 * y * c / depth,
                0.7,
            )
        })
    };
    let arc = 3.18 * (1.0 - 0.5_f64.sqrt());
    let round = objects().iter().find(|o| o.name == "ID-1 card").unwrap();
    for (inset, tilt) in [
        (0.0, 0.0),
        (arc, 0.0),
        (0.0, 12.0),
        (arc, 12.0),
        (0.5 * arc, 5.0),
    ] {
        let seen = corners(inset, tilt);
        let fitted = |reference| Plane::fit(&[reference], &options()).unwrap();
        let plane = fitted(round.corners(seen).unwrap());
        // A length of 20 mm along the card, in its middle.
        let ends = [-10.0, 10.0].map(|x| Click::new(2000.0 + 4400.0 * x / 300.0, 1500.0, 0.1));
        let found = plane.estimate(&Measure::Distance, &ends, None).unwrap();
        let off = (found.value - 20.0) / found.uncertainty;
        println!(
            "inset {inset:.2} tilt {tilt}: {:.3} ± {:.3}",
            found.value, found.uncertainty
        );
        assert!(off.abs() < 2.0, "{inset} {tilt}: {found:?}");
        assert!(found.uncertainty < 0.02 * 20.0, "{found:?}");
        assert!(plane.notes().iter().any(|n| n.contains("round")));
        // Seen from straight above, the ratio of the sides tells which; the doubt is about half of 1.45 %.
        if tilt == 0.0 {
            assert!(found.uncertainty < 0.008 * 20.0, "{found:?}");
        }
    }
}
