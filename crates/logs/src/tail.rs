//! The decay of the current at constant voltage.
//!
//! In: times and currents. Out: time constants of one or two exponentials above a constant, by least squares, with the
//! root mean square of what is left. Not here: which samples are the tail (`phases`).
//!
//! For given time constants the rest is linear and is solved exactly; the time constants are searched by their
//! logarithm (variable projection, Golub and Pereyra 1973).

use nalgebra::{DMatrix, DVector};
use serde::Serialize;

/// A fitted decay: `offset + Σ amplitude · exp(−(t − t₀)/τ)`, from the first sample on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Decay {
    /// Time constants in seconds, the shortest first.
    pub tau_s: Vec<f64>,
    /// Amperes at the first sample, one for each time constant.
    pub amplitude_a: Vec<f64>,
    /// Amperes that remain.
    pub offset_a: f64,
    /// Root mean square of the residuals, amperes.
    pub rms_a: f64,
}

impl Decay {
    /// Returns the resistance that the slowest decay stands for, ohm, where `slope` is the rise of the open-circuit
    /// voltage with charge, volts per coulomb: at constant voltage R·di = −slope·i·dt. A charge-transfer resistance
    /// that is slow itself (R₁ C₁) makes it too large by about R₁C₁ divided by the time constant.
    pub fn resistance_ohm(&self, slope: f64) -> Option<f64> {
        self.tau_s.last().map(|tau| tau * slope)
    }
}

/// Fits one exponential above a constant. Nothing for fewer than four samples or times that do not pass.
pub fn one_exponential(times_s: &[f64], amperes: &[f64]) -> Option<Decay> {
    let tail = Tail::new(times_s, amperes, 4)?;
    let tau = least(tail.shortest, tail.longest, 60, |tau| {
        tail.fit(&[tau]).map_or(f64::INFINITY, |fit| fit.1)
    });
    tail.decay(&[tau])
}

/// Fits two exponentials above a constant. Nothing for fewer than six samples or times that do not pass.
pub fn two_exponentials(times_s: &[f64], amperes: &[f64]) -> Option<Decay> {
    let tail = Tail::new(times_s, amperes, 6)?;
    let slow_for = |fast: f64| {
        // Time constants less than half as far apart again are told apart by noise alone.
        let from = 1.5 * fast;
        least(from, tail.longest.max(2.0 * from), 24, |slow| {
            tail.fit(&[fast, slow]).map_or(f64::INFINITY, |fit| fit.1)
        })
    };
    let fast = least(tail.shortest, tail.longest / 2.0, 24, |fast| {
        tail.fit(&[fast, slow_for(fast)])
            .map_or(f64::INFINITY, |fit| fit.1)
    });
    tail.decay(&[fast, slow_for(fast)])
}

struct Tail<'a> {
    times: &'a [f64],
    amperes: &'a [f64],
    shortest: f64,
    longest: f64,
}

impl<'a> Tail<'a> {
    fn new(times: &'a [f64], amperes: &'a [f64], fewest: usize) -> Option<Self> {
        let n = times.len();
        if n < fewest || n != amperes.len() {
            return None;
        }
        let length = times[n - 1] - times[0];
        let shortest = length / n as f64 / 2.0;
        (length > 0.0 && length.is_finite()).then_some(Self {
            times,
            amperes,
            shortest,
            longest: 20.0 * length,
        })
    }

    /// Solves the linear part: coefficients (constant first) and the sum of squared residuals.
    fn fit(&self, taus: &[f64]) -> Option<(DVector<f64>, f64)> {
        let order = taus.len() + 1;
        let mut matrix = DMatrix::zeros(order, order);
        let mut right = DVector::zeros(order);
        let mut basis = DVector::from_element(order, 1.0);
        let mut squares = 0.0;
        for (t, y) in self.times.iter().zip(self.amperes) {
            for (at, tau) in taus.iter().enumerate() {
                basis[at + 1] = (-(t - self.times[0]) / tau).exp();
            }
            matrix.syger(1.0, &basis, &basis, 1.0);
            right.axpy(*y, &basis, 1.0);
            squares += y * y;
        }
        let found = matrix.cholesky()?.solve(&right);
        let explained = found.dot(&right);
        found
            .iter()
            .all(|value| value.is_finite())
            .then_some((found, squares - explained))
    }

    fn decay(&self, taus: &[f64]) -> Option<Decay> {
        let (found, _) = self.fit(taus)?;
        let residual = |t: f64, y: f64| {
            let decays: f64 = taus
                .iter()
                .enumerate()
                .map(|(at, tau)| found[at + 1] * (-(t - self.times[0]) / tau).exp())
                .sum();
            y - found[0] - decays
        };
        let squares: f64 = self
            .times
            .iter()
            .zip(self.amperes)
            .map(|(t, y)| residual(*t, *y).powi(2))
            .sum();
        Some(Decay {
            tau_s: taus.to_vec(),
            amplitude_a: found.iter().skip(1).copied().collect(),
            offset_a: found[0],
            rms_a: (squares / self.times.len() as f64).sqrt(),
        })
    }
}

/// Returns where a function of a positive number is least: a scan by the logarithm, then golden sections.
fn least(from: f64, to: f64, scanned: usize, cost: impl Fn(f64) -> f64) -> f64 {
    let (low, high) = (from.ln(), to.ln());
    let step = (high - low) / scanned as f64;
    let at = (0..=scanned)
        .map(|k| low + step * k as f64)
        .min_by(|a, b| cost(a.exp()).total_cmp(&cost(b.exp())))
        .unwrap_or(low);
    let (mut a, mut b) = (at - step, at + step);
    let golden = (5.0_f64.sqrt() - 1.0) / 2.0;
    for _ in 0..40 {
        let (c, d) = (b - golden * (b - a), a + golden * (b - a));
        if cost(c.exp()) < cost(d.exp()) {
            b = d
        } else {
            a = c
        }
    }
    ((a + b) / 2.0).exp()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: f64, wanted: f64, share: f64) {
        assert!(
            (found / wanted - 1.0).abs() < share,
            "{found} against {wanted}"
        );
    }

    #[test]
    fn a_decay_made_of_two_is_taken_apart() {
        let times: Vec<f64> = (0..200).map(|k| f64::from(k) * 5.0).collect();
        let amperes: Vec<f64> = times
            .iter()
            .map(|t| 0.05 + 0.4 * (-t / 40.0).exp() + 0.6 * (-t / 300.0).exp())
            .collect();
        let decay = two_exponentials(&times, &amperes).unwrap();
        near(decay.tau_s[0], 40.0, 1e-4);
        near(decay.tau_s[1], 300.0, 1e-4);
        near(decay.amplitude_a[1], 0.6, 1e-3);
        assert!(decay.rms_a < 1e-6 && one_exponential(&times, &amperes).unwrap().rms_a > 1e-3);
    }

    #[test]
    fn too_few_samples_give_no_decay() {
        assert_eq!(one_exponential(&[0.0, 1.0], &[1.0, 0.5]), None);
        assert_eq!(one_exponential(&[1.0; 9], &[1.0; 9]), None);
    }
}
