//! Least-squares adjustment of readings under linear balances, and the tests of its residuals.
//!
//! In: readings `y` with covariance `S`, balances `A x = 0`. Out: adjusted readings with covariance,
//! adjustments, chi-square, measurement and nodal statistics. Any unit, the same throughout.
//! Not here: where the balances come from (`observe`), what the numbers mean (`mod`).
//!
//! `r = A y`, `V = A S Aᵀ`, `x̂ = y − S Aᵀ V⁻¹ r`, `cov x̂ = S − S Aᵀ V⁻¹ A S`. Balances that repeat
//! each other are allowed: `V⁻¹` is then the generalised inverse and the degrees of freedom its rank.
//! Method: Narasimhan and Jordache, *Data Reconciliation and Gross Error Detection* (2000), chapters
//! 3 and 7 (all measured, linear).

use nalgebra::{DMatrix, DVector, SymmetricEigen};
use statrs::distribution::{ChiSquared, ContinuousCDF, Normal};

/// The outcome of an adjustment. Vectors follow the order of the readings or of the balances.
#[derive(Debug, Clone)]
pub struct Reconciled {
    /// Adjusted readings.
    pub adjusted: DVector<f64>,
    /// Covariance of the adjusted readings.
    pub covariance: DMatrix<f64>,
    /// Reading minus adjusted reading.
    pub adjustment: DVector<f64>,
    /// What each balance is off by.
    pub residual: DVector<f64>,
    /// The weight matrix `I − S Aᵀ V⁻¹ A` that turns readings into adjusted readings.
    pub weights: DMatrix<f64>,
    /// Weighted sum of squares of the residuals.
    pub chi_square: f64,
    /// Number of independent balances.
    pub degrees_of_freedom: usize,
    /// Measurement-test statistic of each reading: adjustment over its standard deviation; zero for
    /// a reading that no balance touches.
    pub z: Vec<f64>,
    /// Maximum-power measurement statistic; equal to `z` where readings are independent.
    pub z_power: Vec<f64>,
    /// Nodal statistic of each balance: residual over its standard deviation.
    pub nodal: Vec<f64>,
}

impl Reconciled {
    /// Returns the probability of a greater chi-square if all is well; `None` without a balance.
    pub fn p_value(&self) -> Option<f64> {
        chi_square_tail(self.chi_square, self.degrees_of_freedom)
    }
}

/// Adjusts `measured` (covariance `covariance`) so that `balances` × adjusted = 0.
///
/// Sizes must fit: `covariance` n × n, `balances` any × n.
pub fn reconcile(
    measured: &DVector<f64>,
    covariance: &DMatrix<f64>,
    balances: &DMatrix<f64>,
) -> Reconciled {
    let n = measured.len();
    let residual = balances * measured;
    let spread = balances * covariance * balances.transpose();
    let (inverse, rank) = generalised_inverse(&spread);
    let gain = covariance * balances.transpose() * &inverse;
    let adjustment = &gain * &residual;
    let explained = &gain * balances * covariance;
    let power = balances.transpose() * &inverse * balances;
    let pull = balances.transpose() * &inverse * &residual;
    let ratio = |value: f64, variance: f64, scale: f64| {
        if variance > 1e-12 * scale {
            value / variance.sqrt()
        } else {
            0.0
        }
    };
    Reconciled {
        adjusted: measured - &adjustment,
        covariance: covariance - &explained,
        weights: DMatrix::identity(n, n) - &gain * balances,
        chi_square: (residual.transpose() * &inverse * &residual).sum(),
        degrees_of_freedom: rank,
        z: (0..n)
            .map(|j| ratio(adjustment[j], explained[(j, j)], covariance[(j, j)]))
            .collect(),
        z_power: (0..n)
            .map(|j| {
                ratio(
                    pull[j],
                    power[(j, j)],
                    1.0 / covariance[(j, j)].max(f64::MIN_POSITIVE),
                )
            })
            .collect(),
        nodal: (0..residual.len())
            .map(|i| ratio(residual[i], spread[(i, i)], spread.diagonal().max()))
            .collect(),
        adjustment,
        residual,
    }
}

/// Returns the generalised inverse of a symmetric non-negative matrix, and its rank.
fn generalised_inverse(matrix: &DMatrix<f64>) -> (DMatrix<f64>, usize) {
    let n = matrix.nrows();
    if n == 0 {
        return (DMatrix::zeros(0, 0), 0);
    }
    // Scaling to a unit diagonal keeps a fine balance beside a coarse one from looking like rounding.
    let scale: Vec<f64> = (0..n)
        .map(|i| {
            if matrix[(i, i)] > 0.0 {
                matrix[(i, i)].sqrt().recip()
            } else {
                0.0
            }
        })
        .collect();
    let scaled = DMatrix::from_fn(n, n, |i, j| {
        0.5 * (matrix[(i, j)] + matrix[(j, i)]) * scale[i] * scale[j]
    });
    let eigen = SymmetricEigen::new(scaled);
    let floor = 1e-11 * eigen.eigenvalues.iter().fold(0.0_f64, |a, &b| a.max(b));
    let mut inverse = DMatrix::zeros(n, n);
    let mut rank = 0;
    for (k, &value) in eigen.eigenvalues.iter().enumerate() {
        if value > floor && value > 0.0 {
            let column = eigen.eigenvectors.column(k);
            inverse += column * column.transpose() / value;
            rank += 1;
        }
    }
    (
        DMatrix::from_fn(n, n, |i, j| inverse[(i, j)] * scale[i] * scale[j]),
        rank,
    )
}

/// Returns the probability that chi-square with `degrees_of_freedom` exceeds `x`.
pub fn chi_square_tail(x: f64, degrees_of_freedom: usize) -> Option<f64> {
    let law = ChiSquared::new(f64::from(u32::try_from(degrees_of_freedom).ok()?)).ok()?;
    x.is_finite().then(|| law.sf(x.max(0.0)))
}

/// Returns the value that chi-square exceeds with probability `alpha`.
pub fn chi_square_critical(alpha: f64, degrees_of_freedom: usize) -> Option<f64> {
    let law = ChiSquared::new(f64::from(u32::try_from(degrees_of_freedom).ok()?)).ok()?;
    (alpha > 0.0 && alpha < 1.0).then(|| law.inverse_cdf(1.0 - alpha))
}

/// Returns the two-sided critical value of the standard normal distribution.
pub fn normal_critical(alpha: f64) -> f64 {
    Normal::standard().inverse_cdf(1.0 - alpha / 2.0)
}

/// Returns the critical |z| for `readings` tests that together err with probability `alpha`
/// (Šidák: each at `1 − (1 − α)^(1/n)`).
pub fn sidak_critical(alpha: f64, readings: usize) -> f64 {
    // ln_1p and exp_m1 keep the digits that 1 − 0.95^(1/n) would lose for many readings.
    let each = -((-alpha).ln_1p() / readings.max(1) as f64).exp_m1();
    normal_critical(each)
}

/// Returns the critical |z| for `readings` tests by Bonferroni's simpler bound `α / n`.
pub fn bonferroni_critical(alpha: f64, readings: usize) -> f64 {
    normal_critical(alpha / readings.max(1) as f64)
}

/// Returns what turns a balance reading into a mass: `(1 − ρa/ρc) / (1 − ρa/ρ)` with the
/// conventional densities of air, 1.2 kg/m³, and of weights, 8000 kg/m³. Density in kg/m³.
pub fn buoyancy_factor(density: f64) -> f64 {
    const AIR: f64 = 1.2;
    const WEIGHTS: f64 = 8000.0;
    (1.0 - AIR / WEIGHTS) / (1.0 - AIR / density)
}
