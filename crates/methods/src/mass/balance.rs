//! Laws of the test statistics of an adjustment, and air buoyancy.
//!
//! In: a statistic, or a probability of error. Out: tail probabilities and critical values.
//! Not here: the statistics (`model`).

use crate::assumed;
use statrs::distribution::{ChiSquared, ContinuousCDF, Normal};

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
    let (air, weights) = (
        assumed::AIR_DENSITY.number(),
        assumed::WEIGHT_DENSITY.number(),
    );
    (1.0 - air / weights) / (1.0 - air / density)
}
