//! The statistics of an adjustment.
//!
//! In: a fit and what its readings can tell. Out: adjusted readings, chi-square, measurement statistics.
//! Not here: critical values (`balance`), what is done about a wrong reading (`gross`).
//!
//! The measurement tests are those of A. C. Tamhane, R. S. H. Mah, Technometrics 27 (1985) 409–422.

use super::balance;
use super::model::{Fit, Model};
use super::structure::Structure;

/// The outcome of an adjustment. Lists follow the readings.
#[derive(Debug, Clone)]
pub struct Reconciled {
    /// Adjusted readings.
    pub adjusted: Vec<f64>,
    /// Variances of the adjusted readings.
    pub variance: Vec<f64>,
    /// Reading minus adjusted reading.
    pub adjustment: Vec<f64>,
    /// Weighted sum of squares of what the balances are off by.
    pub chi_square: f64,
    /// Number of independent balances.
    pub degrees_of_freedom: usize,
    /// Measurement-test statistic of each reading: adjustment over its standard deviation; zero for a
    /// reading that no balance touches.
    pub z: Vec<f64>,
    /// Maximum-power measurement statistic; equal to `z` where readings are independent.
    pub z_power: Vec<f64>,
}

impl Reconciled {
    /// Gathers the statistics of a fit.
    pub fn of(model: &Model, structure: &Structure, fit: &Fit) -> Self {
        let n = model.rows.len();
        let sums: Vec<(f64, f64)> = model.rows.iter().map(|row| fit.sum(&row.terms)).collect();
        let adjustment: Vec<f64> = (0..n).map(|j| model.rows[j].shown - sums[j].0).collect();
        let ratio = |value: f64, variance: f64, j: usize| {
            if structure.checked[j] && variance > 0.0 {
                value / variance.sqrt()
            } else {
                0.0
            }
        };
        Self {
            // Equal to yᵀ Q y, without its cancellation: Q times a fitted reading is zero.
            chi_square: (0..n).map(|j| adjustment[j] * fit.pull(j)).sum::<f64>(),
            degrees_of_freedom: structure.degrees_of_freedom,
            z: (0..n)
                .map(|j| ratio(adjustment[j], model.rows[j].variance - sums[j].1, j))
                .collect(),
            z_power: (0..n)
                .map(|j| ratio(fit.pull(j), fit.power(j), j))
                .collect(),
            adjusted: sums.iter().map(|s| s.0).collect(),
            variance: sums.iter().map(|s| s.1).collect(),
            adjustment,
        }
    }

    /// Returns the probability of a greater chi-square if all is well; `None` without a balance.
    pub fn p_value(&self) -> Option<f64> {
        balance::chi_square_tail(self.chi_square, self.degrees_of_freedom)
    }
}
