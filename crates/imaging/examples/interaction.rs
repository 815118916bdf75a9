//! Times what follows each move of a mark: a measure one of whose clicks moved; the plane one of
//! whose reference clicks moved, with one measure on it.
//!
//! `interaction [RUNS]` prints a line for each reference and measure: medians in milliseconds.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "an example reads its arguments and files, and is timed"
)]

use imaging::geometry::{
    Click, Measure, Measured, Options, OutlinePoints, Plane, Reference, ReferenceKind,
};
use std::error::Error;
use std::time::Instant;

type Done<T> = Result<T, Box<dyn Error>>;

fn main() -> Done<()> {
    let runs: usize = std::env::args().nth(1).map_or(Ok(201), |a| a.parse())?;
    println!("| reference | measure | click moved, ms | reference moved, ms |\n|---|---|---|---|");
    for name in ["two points", "rectangle", "sides", "grid of 35 points"] {
        for (measure, clicks) in measures() {
            let plane = Plane::fit(&[reference(name, 0.0)], &options())?;
            let estimate = median(runs, |by| {
                let mut clicks = clicks.clone();
                clicks[0].at[0] += by;
                plane.estimate(&measure, &clicks, None)?;
                Ok(())
            })?;
            let refit = median(runs, |by| {
                let plane = Plane::fit(&[reference(name, by)], &options())?;
                plane.estimate(&measure, &clicks, None)?;
                Ok(())
            })?;
            println!(
                "| {name} | {} | {estimate:.3} | {refit:.3} |",
                measure.name()
            );
        }
    }
    Ok(())
}

fn options() -> Options {
    Options::new(4000, 3000)
}

/// Median time, ms, of work after a mark moved by some tenths of a pixel, each time elsewhere.
fn median(runs: usize, mut work: impl FnMut(f64) -> Done<()>) -> Done<f64> {
    let mut times = Vec::with_capacity(runs);
    for i in 0..runs.max(1) {
        let start = Instant::now();
        work((i % 17) as f64 * 0.1)?;
        times.push(start.elapsed().as_secs_f64() * 1e3);
    }
    times.sort_by(f64::total_cmp);
    Ok(times[times.len() / 2])
}

fn click([x, y]: [f64; 2]) -> Click {
    Click::new(x, y, 0.7)
}

const CORNERS: [[f64; 2]; 4] = [
    [600.0, 500.0],
    [3300.0, 560.0],
    [3220.0, 2300.0],
    [640.0, 2200.0],
];

/// A reference whose first click is moved to the right.
fn reference(name: &str, by: f64) -> Reference {
    let first = [600.0 + by, 500.0];
    let kind = match name {
        "two points" => ReferenceKind::Distance {
            ends: [click(first), click([3400.0, 560.0])],
            length: Measured::new(60.0, 0.05),
        },
        "rectangle" => ReferenceKind::Rectangle {
            corners: [first, CORNERS[1], CORNERS[2], CORNERS[3]].map(click),
            length: Measured::new(85.6, 0.02),
            width: Measured::new(53.98, 0.02),
        },
        "sides" => ReferenceKind::Sides {
            points: Box::new(std::array::from_fn(|i| {
                let (p, q) = (CORNERS[i / 3], CORNERS[(i / 3 + 1) % 4]);
                let t = [0.15, 0.5, 0.85][i % 3];
                let moved = if i == 0 { by } else { 0.0 };
                click([
                    p[0] + t * (q[0] - p[0]) + moved,
                    p[1] + t * (q[1] - p[1]) + moved,
                ])
            })),
            length: Measured::new(85.6, 0.02),
            width: Measured::new(53.98, 0.02),
        },
        _ => ReferenceKind::Grid {
            points: (0..35)
                .map(|i| {
                    let place = [f64::from(i % 7) * 10.0, f64::from(i / 7) * 10.0];
                    let moved = if i == 0 { by } else { 0.0 };
                    let seen = [600.0 + 40.0 * place[0] + moved, 500.0 + 40.0 * place[1]];
                    (click(seen), place)
                })
                .collect(),
            scale_uncertainty: 0.0,
        },
    };
    Reference {
        name: name.into(),
        kind,
    }
}

/// Measures with few and with many clicks.
fn measures() -> Vec<(Measure, Vec<Click>)> {
    let rim = (0..12)
        .map(|i| {
            let (s, c) = (f64::from(i) * std::f64::consts::TAU / 12.0).sin_cos();
            click([1800.0 + 300.0 * c, 1300.0 + 300.0 * s])
        })
        .collect();
    let corners = [
        [1000.0, 900.0],
        [1600.0, 920.0],
        [1590.0, 1300.0],
        [1005.0, 1290.0],
    ];
    vec![
        (
            Measure::Distance,
            vec![click([900.0, 800.0]), click([2900.0, 1700.0])],
        ),
        (
            Measure::Length(OutlinePoints::Corners),
            corners.map(click).to_vec(),
        ),
        (Measure::Diameter, rim),
    ]
}
