//! Laws of the test statistics of an adjustment.
//!
//! In: a statistic, or a probability of error. Out: tail probabilities and critical values.
//! Not here: the statistics (`model`).

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
