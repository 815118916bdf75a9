//! The search against slower ones.

use super::*;
use crate::geometry::least_squares::fit as general;
use nalgebra::{Matrix4, Vector4};

fn edge(t: f64) -> f64 {
    let second = 0.2 * phi_and_density((t - 3.1) / spread(0.9).0).0;
    0.1 + 0.6 * phi_and_density((t - 0.37) / spread(0.7).0).0 + second
}

fn samples() -> Vec<Sample> {
    let place = |i: i32| f64::from(i) * 0.23 - 6.0;
    // Noise by a fixed rule.
    let noise = |i: i32| f64::from((i * 7919) % 101 - 50) / 50.0;
    (0..53)
        .map(|i| Sample {
            t: place(i),
            value: edge(place(i)) * 100.0 + noise(i),
            weight: 100.0,
        })
        .collect()
}

/// The search with numeric derivatives, made in another way, is the measure.
#[test]
fn the_same_as_the_general_search() {
    let (samples, start) = (samples(), [0.12, 0.5, 0.0, 0.6, 0.25, 3.0, 0.6]);
    let held = [
        Held {
            at: 3,
            to: 0.6,
            within: 0.3,
        },
        Held {
            at: 5,
            to: 3.0,
            within: 0.6,
        },
    ];
    let found = fit(&samples, start, &held, 1.0).unwrap();
    let expected = general(start.to_vec(), |x| {
        let data = samples
            .iter()
            .map(|s| light_at(x, s.t) * s.weight - s.value);
        let held = held.iter().map(|h| (x[h.at] - h.to) / h.within);
        Some(data.chain(held).collect())
    })
    .unwrap();
    for (a, b) in found.parameters.iter().zip(&expected.parameters) {
        assert!((a - b).abs() < 1e-4, "{found:?}");
    }
    let variance = (expected.jacobian.tr_mul(&expected.jacobian))
        .try_inverse()
        .unwrap()[(2, 2)];
    assert!((found.variance(2).unwrap() / variance - 1.0).abs() < 1e-3);
    assert!((found.parameters[2] - 0.37).abs() < 4.0 * variance.sqrt());
}

/// The lowest sum over a grid of places and blurs that is drawn closer round the best one; both levels follow from
/// each in closed form, so nothing is searched for by slopes.
fn lowest(samples: &[Sample], sum: impl Fn(f64, f64, [f64; 2]) -> f64) -> [f64; 4] {
    let levels = |place: f64, blur: f64| {
        let mut a = [[0.0; 2]; 2];
        let mut right = [0.0; 2];
        for s in samples {
            let by = [s.weight, s.weight * light_at(&[0.0, 1.0, place, blur], s.t)];
            for r in 0..2 {
                right[r] += by[r] * s.value;
                for c in 0..2 {
                    a[r][c] += by[r] * by[c];
                }
            }
        }
        solved(a, &right).unwrap()
    };
    let (mut at, mut reach) = ([0.0, 1.25], [1.0, 1.25]);
    let mut best = (f64::INFINITY, [0.0; 4]);
    for _ in 0..12 {
        for (i, j) in (-20..=20).flat_map(|i| (-20..=20).map(move |j| (i, j))) {
            let place = at[0] + reach[0] * f64::from(i) / 20.0;
            let blur = (at[1] + reach[1] * f64::from(j) / 20.0).abs();
            let [level, height] = levels(place, blur);
            let found = sum(place, blur, [level, height]);
            if found < best.0 {
                best = (found, [level, height, place, blur]);
            }
        }
        at = [best.1[2], best.1[3]];
        reach = reach.map(|r| r / 3.0);
    }
    best.1
}

/// Edges sharper than a pixel and soft ones, along the pixels (few places) and across them, noise by a fixed rule.
#[test]
fn the_lowest_hollow_of_a_grid_of_places_and_blurs() {
    let held = [(3, 0.7, 0.5), (2, 0.0, 1.5)].map(|(at, to, within)| Held { at, to, within });
    let noise = |i: usize| ((i * 7919 + 13) % 101) as f64 / 50.0 - 1.0;
    for (blur, apart, count) in [0.0, 0.1, 0.4, 0.8, 1.6]
        .into_iter()
        .flat_map(|b| [(b, 1.0, 8), (b, 0.23, 40)])
    {
        for shift in [-0.4, 0.0, 0.3] {
            let truth = [-0.9, 1.7, shift, blur];
            let at = |i: usize| (i as f64 - (count as f64 - 1.0) / 2.0) * apart;
            // Half the spread that the square of a pixel alone makes: such a blur is below nothing.
            let sharp = |t: f64| -0.9 + 1.7 * phi_and_density((t - shift) / 0.15).0;
            let samples: Vec<Sample> = (0..count)
                .map(|i| {
                    let light = if blur == 0.0 {
                        sharp(at(i))
                    } else {
                        light_at(&truth, at(i))
                    };
                    Sample {
                        t: at(i),
                        value: light * 80.0 + noise(i),
                        weight: 80.0,
                    }
                })
                .collect();
            let found = fit(&samples, [-0.8, 1.5, 0.0, 0.7], &held, 1.0).unwrap();
            let squares = |x: &[f64]| {
                let data = samples
                    .iter()
                    .map(|s| light_at(x, s.t) * s.weight - s.value);
                let held = held.iter().map(|h| (x[h.at] - h.to) / h.within);
                data.chain(held).collect::<Vec<f64>>()
            };
            let sum = |x: &[f64]| squares(x).iter().map(|r| r * r).sum::<f64>();
            let lowest = lowest(&samples, |place, blur, [level, height]| {
                sum(&[level, height, place, blur])
            });
            let case = format!("blur {blur}, {count} places, shift {shift}: {found:?}, {lowest:?}");
            assert!(sum(&found.parameters) < sum(&lowest) + 0.01, "{case}");
            let scatter = found.variance(2).unwrap().sqrt();
            assert!(
                (found.parameters[2] - lowest[2]).abs() < 0.05 * scatter,
                "{case}"
            );
        }
    }
}

#[test]
fn a_system_is_solved_as_the_library_does() {
    let half = Matrix4::new(
        2.0, 0.3, -0.4, 1.0, 0.1, 3.0, 0.2, -0.5, 0.7, 0.0, 1.5, 0.3, -0.2, 0.6, 0.9, 2.5,
    );
    let whole = half * half.transpose();
    let right = Vector4::new(1.0, -2.0, 0.5, 3.0);
    let expected = whole.cholesky().unwrap().solve(&right);
    let rows = std::array::from_fn(|r| std::array::from_fn(|c| whole[(r, c)]));
    let found = solved::<4>(rows, &right.into()).unwrap();
    assert!((Vector4::from(found) - expected).norm() < 1e-12);
    assert_eq!(solved::<2>([[1.0, 2.0], [2.0, 1.0]], &[1.0, 1.0]), None);
}
