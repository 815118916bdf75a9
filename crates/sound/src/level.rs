//! Levels: sums, means, what noise hides, how sure a level of noise is.
//!
//! In: levels in decibels. Out: levels in decibels. Not here: recordings, bands.
//! Source: 10 lg of a ratio of powers; ISO 80000-8.

use std::f64::consts::LN_10;

/// Pressure that 0 dB of sound pressure level stands for, pascals (ISO 1683).
pub const REFERENCE_PA: f64 = 20e-6;

/// Least distance between a level and the background, decibels, at which the background is taken off; below it a
/// level is a bound only (`common practice`).
pub const LEAST_MARGIN: f64 = 3.0;

/// Returns the level of a power, decibels; no power is minus infinity.
pub fn of_power(power: f64) -> f64 {
    10.0 * power.log10()
}

/// Returns the power of a level.
pub fn power(level_db: f64) -> f64 {
    10_f64.powf(level_db / 10.0)
}

/// Returns the level of several sounds together, decibels.
pub fn sum(levels_db: impl IntoIterator<Item = f64>) -> f64 {
    of_power(levels_db.into_iter().map(power).sum())
}

/// Returns the level of the mean power, decibels; NaN of nothing.
pub fn energy_mean(levels_db: &[f64]) -> f64 {
    sum(levels_db.iter().copied()) - of_power(levels_db.len() as f64)
}

/// A level behind which a background was taken off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cleared {
    /// The level alone, decibels.
    Level(f64),
    /// The background is too near: the level lies at or below this, decibels.
    AtMost(f64),
}

/// Takes a background off a level that was measured with it.
///
/// Within [`LEAST_MARGIN`] of the background the measured level is an upper bound.
pub fn cleared(level_db: f64, background_db: f64) -> Cleared {
    if level_db - background_db < LEAST_MARGIN {
        return Cleared::AtMost(level_db);
    }
    Cleared::Level(of_power(power(level_db) - power(background_db)))
}

/// Returns the standard deviation of the level of Gaussian noise, decibels, that was averaged for `seconds` in a
/// band of `bandwidth_hz` (Bendat and Piersol, *Random Data*, normalised random error of a mean square: 1/√(BT)).
pub fn of_noise_sd(bandwidth_hz: f64, seconds: f64) -> f64 {
    10.0 / LN_10 / (bandwidth_hz * seconds).sqrt()
}
