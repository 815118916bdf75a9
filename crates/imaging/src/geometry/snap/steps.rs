//! Blurred steps of light fitted to a profile.
//!
//! In: samples of a profile, steps near which it changes, what they are held to. Out: the steps that fit best, and
//! how well the first is placed. Not here: which samples, and what the steps are (`profile.rs`).
//!
//! Parameters: the level before all steps, then for each step its height, its place in pixels and its optical blur
//! in pixels. The search is that of `least_squares.rs` with derivatives that are known; as it is made some hundred
//! times for each edge, the normal equations are summed as they come and their size is fixed.

use super::{PIXEL_VARIANCE, phi_and_density, spread};

/// Rounds of a search.
const ROUNDS: usize = 200;
/// Most rounds of a search that went straight.
const QUICK: usize = 8;
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
    /// Half the second derivatives of the squares, the bend of the steps with them.
    curved: [[f64; N]; N],
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
///
/// With the bend of the steps the search ends in a few rounds; without it, a blur that the samples would have below
/// nothing takes a hundred. Where the quick one hesitates it may have gone to another hollow than the one next to the
/// start, so both are made and the lower is taken.
pub(super) fn fit<const N: usize>(
    samples: &[Sample],
    start: [f64; N],
    held: &[Held],
    sigma: f64,
) -> Option<Steps<N>> {
    let bent = search(samples, start, held, sigma, true)?;
    if bent.rounds <= QUICK {
        return Some(bent.steps);
    }
    let plain = search(samples, start, held, sigma, false)?;
    let lower = if plain.all <= bent.all { plain } else { bent };
    Some(lower.steps)
}

/// Where a search ended.
struct Ended<const N: usize> {
    steps: Steps<N>,
    /// Sum of all squares there.
    all: f64,
    rounds: usize,
}

/// Searches with the derivatives alone or with the second ones too.
fn search<const N: usize>(
    samples: &[Sample],
    start: [f64; N],
    held: &[Held],
    sigma: f64,
    is_bent: bool,
) -> Option<Ended<N>> {
    let mut x = start;
    let mut sums = Sums::at(&x, samples, held, sigma);
    if !sums.all.is_finite() {
        return None;
    }
    let mut damping: f64 = if is_bent { 1e-3 } else { 1e-4 };
    let mut rounds = 0;
    while rounds < ROUNDS {
        rounds += 1;
        let scale = scale(&sums.normal);
        let mut damped = if is_bent { sums.curved } else { sums.normal };
        for (i, s) in scale.iter().enumerate() {
            damped[i][i] += damping * s * s;
        }
        let Some(step) = solved(damped, &sums.gradient) else {
            damping = (damping * 10.0).max(1e-3);
            if damping > STUCK {
                break;
            }
            continue;
        };
        // A blur below nothing makes the same light as its opposite, and is farther from what it is held to.
        let is_blur = |i: usize| i > 0 && i.is_multiple_of(3);
        let moved: [f64; N] = std::array::from_fn(|i| match x[i] - step[i] {
            to if is_blur(i) => to.abs(),
            to => to,
        });
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
    Some(Ended {
        steps: Steps {
            parameters: x,
            square: sums.samples,
            normal: sums.normal,
        },
        all: sums.all,
        rounds,
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
            curved: [[0.0; N]; N],
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
            let mut bent = [[0.0; 5]; N];
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
                let bends = s.weight * density * sharp;
                let wider = PIXEL_VARIANCE * sharp * sharp * sharp;
                bent[k] = [
                    -bends,
                    -bends * z * grows,
                    -height * bends * sharp * z,
                    -height * bends * sharp * grows * (z * z - 1.0),
                    -height * bends * z * (sharp * grows * grows * (z * z - 2.0) + wider),
                ];
            }
            let off = value * s.weight - s.value;
            for (k, bent) in bent[..steps].iter().enumerate() {
                let i = 1 + 3 * k;
                sums.curved[i + 1][i] += off * bent[0];
                sums.curved[i + 2][i] += off * bent[1];
                sums.curved[i + 1][i + 1] += off * bent[2];
                sums.curved[i + 2][i + 1] += off * bent[3];
                sums.curved[i + 2][i + 2] += off * bent[4];
            }
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
        for r in 0..N {
            for c in 0..=r {
                sums.curved[r][c] += sums.normal[r][c];
                sums.curved[c][r] = sums.curved[r][c];
            }
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
mod tests;
