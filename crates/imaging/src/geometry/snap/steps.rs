//! Blurred steps of light fitted to a profile.
//!
//! In: samples of a profile, steps near which it changes, what they are held to. Out: the steps that fit best, and
//! how well the first is placed. Not here: which samples, and what the steps are (`profile.rs`).
//!
//! Parameters: the level before all steps, then for each step its height, its place in pixels and its optical blur
//! in pixels. The search is that of `least_squares.rs` with derivatives that are known; as it is made some hundred
//! times for each edge, the normal equations are summed as they come and their size is fixed.

use super::{phi_and_density, spread};

/// Rounds of a search.
const ROUNDS: usize = 200;
/// A move of the residuals that ends a fit.
const ENOUGH: f64 = 1e-3;
/// Damping at which a search is given up.
const STUCK: f64 = 1e12;

/// A point of a profile.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sample {
    /// Place across the edge, pixels.
    pub(super) t: f64,
    /// Light in the mix, over its standard deviation.
    pub(super) value: f64,
    /// One over that standard deviation.
    pub(super) weight: f64,
}

/// A parameter held near a value.
#[derive(Debug, Clone, Copy)]
pub(super) struct Held {
    /// Which parameter.
    pub(super) at: usize,
    pub(super) to: f64,
    /// Standard deviation, in the parameter's unit.
    pub(super) within: f64,
}

/// Steps fitted.
#[derive(Debug, Clone, Copy)]
pub(super) struct Steps<const N: usize> {
    pub(super) parameters: [f64; N],
    /// Sum of the squared residuals of the samples alone.
    pub(super) square: f64,
    normal: [[f64; N]; N],
}

/// Sums over all residuals at some parameters.
struct Sums<const N: usize> {
    /// Of the squares: of the samples, and of all.
    samples: f64,
    all: f64,
    normal: [[f64; N]; N],
    gradient: [f64; N],
}

/// Returns the light at a place across the edge.
pub(super) fn light_at(parameters: &[f64], t: f64) -> f64 {
    let steps = parameters[1..].chunks_exact(3);
    parameters[0]
        + steps
            .map(|step| step[0] * phi_and_density((t - step[1]) / spread(step[2]).0).0)
            .sum::<f64>()
}

/// Fits steps from a start; `sigma` is the standard deviation of a residual as far as it is known. `None` where
/// the start is not finite.
pub(super) fn fit<const N: usize>(
    samples: &[Sample],
    start: [f64; N],
    held: &[Held],
    sigma: f64,
) -> Option<Steps<N>> {
    let mut x = start;
    let mut sums = Sums::at(&x, samples, held, sigma);
    if !sums.all.is_finite() {
        return None;
    }
    let mut damping = 1e-4;
    for _ in 0..ROUNDS {
        let scale = scale(&sums.normal);
        let mut damped = sums.normal;
        for (i, s) in scale.iter().enumerate() {
            damped[i][i] += damping * s * s;
        }
        let Some(step) = solved(damped, &sums.gradient) else {
            damping *= 10.0;
            if damping > STUCK {
                break;
            }
            continue;
        };
        let moved: [f64; N] = std::array::from_fn(|i| x[i] - step[i]);
        let size: f64 = step.iter().zip(&scale).map(|(s, c)| (s * c).powi(2)).sum();
        let new = Sums::at(&moved, samples, held, sigma);
        if new.all <= sums.all {
            (x, sums) = (moved, new);
            damping = (damping * 0.1).max(1e-12);
        } else {
            damping *= 10.0;
        }
        if size.sqrt() < ENOUGH || damping > STUCK {
            break;
        }
    }
    Some(Steps {
        parameters: x,
        square: sums.samples,
        normal: sums.normal,
    })
}

impl<const N: usize> Steps<N> {
    /// Returns the variance of a parameter at residuals of unit variance; `None` where one is left open.
    pub(super) fn variance(&self, of: usize) -> Option<f64> {
        let scale = scale(&self.normal);
        let mut normal = self.normal;
        for (r, row) in normal.iter_mut().enumerate() {
            for (c, value) in row.iter_mut().enumerate() {
                *value /= scale[r] * scale[c];
            }
        }
        let mut one = [0.0; N];
        one[of] = 1.0;
        let variance = solved(normal, &one)?[of] / (scale[of] * scale[of]);
        variance.is_finite().then_some(variance)
    }
}

impl<const N: usize> Sums<N> {
    fn at(x: &[f64; N], samples: &[Sample], held: &[Held], sigma: f64) -> Self {
        let mut sums = Self {
            samples: 0.0,
            all: 0.0,
            normal: [[0.0; N]; N],
            gradient: [0.0; N],
        };
        let steps = (N - 1) / 3;
        // One over the whole blur of each step, and how it grows with the optical blur.
        let mut blurs = [(0.0, 0.0); N];
        for (k, blur) in blurs[..steps].iter_mut().enumerate() {
            let (whole, grows) = spread(x[3 + 3 * k]);
            *blur = (1.0 / whole, grows);
        }
        for s in samples {
            let mut by = [0.0; N];
            by[0] = s.weight;
            let mut value = x[0];
            for k in 0..steps {
                let (sharp, grows) = blurs[k];
                let z = (s.t - x[2 + 3 * k]) * sharp;
                let (below, density) = phi_and_density(z);
                let height = x[1 + 3 * k];
                let steep = height * density * sharp * s.weight;
                value += height * below;
                by[1 + 3 * k] = below * s.weight;
                by[2 + 3 * k] = -steep;
                by[3 + 3 * k] = -steep * z * grows;
            }
            let off = value * s.weight - s.value;
            sums.samples += off * off;
            for r in 0..N {
                sums.gradient[r] += by[r] * off;
                for c in 0..N {
                    sums.normal[r][c] += by[r] * by[c];
                }
            }
        }
        sums.all = sums.samples;
        for Held { at, to, within } in held {
            let by = sigma / within;
            let off = by * (x[*at] - to);
            sums.all += off * off;
            sums.gradient[*at] += by * off;
            sums.normal[*at][*at] += by * by;
        }
        sums
    }
}

/// Lengths of the columns of the derivatives.
fn scale<const N: usize>(normal: &[[f64; N]; N]) -> [f64; N] {
    std::array::from_fn(|i| match normal[i][i].sqrt() {
        length if length > 0.0 => length,
        _ => 1.0,
    })
}

/// Solves a symmetric system by its Cholesky factor; `None` where it is not positive definite.
fn solved<const N: usize>(mut a: [[f64; N]; N], right: &[f64; N]) -> Option<[f64; N]> {
    let mut x = *right;
    for r in 0..N {
        let (above, rest) = a.split_at_mut(r);
        let own = &mut rest[0];
        for (c, before) in above.iter().enumerate() {
            let sum: f64 = own[..c].iter().zip(before).map(|(p, q)| p * q).sum();
            own[c] = (own[c] - sum) / before[c];
        }
        let left = own[r] - own[..r].iter().map(|p| p * p).sum::<f64>();
        if left.is_nan() || left <= 0.0 {
            return None;
        }
        own[r] = left.sqrt();
        let sum: f64 = own[..r].iter().zip(&x).map(|(p, y)| p * y).sum();
        x[r] = (x[r] - sum) / own[r];
    }
    for r in (0..N).rev() {
        let below = a[r + 1..].iter().zip(&x[r + 1..]);
        let sum: f64 = below.map(|(row, y)| row[r] * y).sum();
        x[r] = (x[r] - sum) / a[r][r];
    }
    Some(x)
}

#[cfg(test)]
mod tests {
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
}
