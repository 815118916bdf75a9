//! Straight edges of known place.

use crate::chance::Chance;
use crate::stand::Profile;
use imaging::geometry::{SnapOptions, snap_edge};
use imaging::{Light, Picture, ToneCurve};

/// A straight step of known place with noise: what is stated beyond the floor of 0.05 pixels is
/// the scatter.
#[test]
fn the_uncertainty_of_an_edge_is_its_scatter() {
    let mut z = Vec::new();
    for seed in 0..200 {
        let mut chance = Chance::new(seed);
        let (slope, at) = (chance.between(-0.1, 0.1), chance.between(48.0, 52.0));
        let data: Vec<u8> = (0..100 * 160)
            .map(|i| {
                let (x, y) = (f64::from(i % 160) + 0.5, f64::from(i / 160) + 0.5);
                let d = (y - at - slope * (x - 80.0)) / slope.hypot(1.0);
                // A blur of 1.2 pixels, logistic in place of normal: the model does not know it.
                let level = 60.0 + 90.0 / (1.0 + (-1.7 * d / 1.2).exp());
                (level + 2.0 * chance.normal()).round().clamp(0.0, 255.0) as u8
            })
            .collect();
        let (seen, curve) = (grey(160, 100, &data), ToneCurve::linear());
        let rough = [[20.0, 47.0], [140.0, 53.0]];
        let edge = snap_edge(
            &Light::new(&seen, &curve),
            rough[0],
            rough[1],
            &SnapOptions {
                click_px: 3.0,
                unmodelled_px: 0.05,
                tone: 0.0,
                unseen: 0.0,
                hidden_wall: 0.0,
                ..SnapOptions::default()
            },
        )
        .unwrap();
        let truth = at + slope * (edge.middle[0] - 80.0);
        let off = (edge.middle[1] - truth) / slope.hypot(1.0);
        z.push(off / (edge.covariance[0] - 0.05 * 0.05).sqrt());
    }
    let sd = (z.iter().map(|v| v * v).sum::<f64>() / z.len() as f64).sqrt();
    println!("sd of z {sd:.2}");
    assert!((0.7..1.3).contains(&sd), "{sd}");
}

/// How far the square of a pixel, taken as a normal distribution of the same variance, moves an edge at the
/// most, pixels. At a blur of 0.4 the square has 0.34 of the variance, so the excess of the spread
/// is −1.2 × 0.34² = −0.14; by Edgeworth's series the level is off by 0.14 / 24 × 0.55 of the step
/// and the edge by that over its slope of 0.81 per pixel.
const OF_A_SQUARE: f64 = 0.004;

/// Edges along the pixels, or nearly, at every sub-pixel phase. Levels are the closed form of a
/// step blurred by a normal distribution and integrated over each pixel's square; only the rows nearest to
/// the edge tell its place, and for a sharp one hardly any tells the blur.
#[test]
fn an_edge_along_the_pixels_is_found_with_its_scatter() {
    // Nothing stated beyond what the fit itself leaves open, so nothing hides the scatter.
    let strict = SnapOptions {
        unmodelled_px: 0.0,
        tone: 0.0,
        unseen: 0.0,
        hidden_wall: 0.0,
        ..SnapOptions::default()
    };
    let mut seed = 0;
    for upright in [false, true] {
        for slope in [0.0, 1e-4, -1e-4] {
            for blur in [0.4, 0.6, 0.8, 1.1, 1.5] {
                let profile = Profile::new(blur);
                let mut z = Vec::new();
                for phase in 0..40 {
                    seed += 1;
                    let mut chance = Chance::new(seed);
                    let at = 30.0 + f64::from(phase) / 40.0;
                    let data: Vec<u8> = (0..60 * 160)
                        .map(|i| {
                            let (mut x, mut y) =
                                (f64::from(i % 160) + 0.5, f64::from(i / 160) + 0.5);
                            if upright {
                                (x, y) = (f64::from(i / 60) + 0.5, f64::from(i % 60) + 0.5);
                            }
                            let d = y - at - slope * (x - 80.0);
                            let level = 60.0 + 90.0 * profile.at(d, [slope, 1.0]);
                            (level + 1.5 * chance.normal()).round().clamp(0.0, 255.0) as u8
                        })
                        .collect();
                    let (seen, from, to) = if upright {
                        (turned(&data), [28.0, 20.0], [32.0, 140.0])
                    } else {
                        (grey(160, 60, &data), [20.0, 28.0], [140.0, 32.0])
                    };
                    let curve = ToneCurve::linear();
                    let edge = snap_edge(&Light::new(&seen, &curve), from, to, &strict).unwrap();
                    let [s, t] = if upright {
                        [edge.middle[1], edge.middle[0]]
                    } else {
                        edge.middle
                    };
                    let off = t - at - slope * (s - 80.0);
                    let u = edge.covariance[0].sqrt();
                    assert!(u < 0.1, "blur {blur}, phase {phase}: {u}");
                    assert!(
                        off.abs() < 4.0 * u + OF_A_SQUARE,
                        "blur {blur}, phase {phase}: {off} ± {u}"
                    );
                    z.push(off / u);
                }
                let sd = (z.iter().map(|v| v * v).sum::<f64>() / z.len() as f64).sqrt();
                println!("upright {upright}, slope {slope}, blur {blur}: sd of z {sd:.2}");
            }
        }
    }
}

/// A picture of 60 × 160 pixels of levels given as 160 columns.
fn turned(columns: &[u8]) -> Picture {
    let data: Vec<u8> = (0..160 * 60)
        .map(|i| columns[(i / 60) * 60 + i % 60])
        .collect();
    grey(60, 160, &data)
}

/// A grey picture.
pub(crate) fn grey(width: u32, height: u32, data: &[u8]) -> Picture {
    Picture {
        width,
        height,
        rgb: data.iter().flat_map(|v| [*v; 3]).collect(),
    }
}
