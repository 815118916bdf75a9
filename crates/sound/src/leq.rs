//! The equivalent continuous level, weighted or not.
//!
//! In: samples, a weighting. Out: the mean square after the weighting, exact at every frequency: the samples are
//! weighted as a spectrum, by Parseval's theorem. Not here: bands (`bank`), calibration.
//! Source: IEC 61672-1:2013, 3.9.

use crate::fourier::Fourier;
use crate::recording::mean_square;
use crate::weighting::Weighting;

/// Samples transformed together; 22 s at 48 kHz. What passes from one to the next is one part in a hundred thousand.
const TOGETHER: usize = 1 << 20;

/// Returns the mean square of samples after a weighting; full scale is 1.
pub fn weighted_mean_square(samples: &[f32], rate_hz: f64, weighting: Weighting) -> f64 {
    if weighting == Weighting::Z {
        return mean_square(samples);
    }
    let mut energy = 0.0;
    for part in samples.chunks(TOGETHER) {
        let length = part.len().next_power_of_two();
        let bins = Fourier::new(length).spectrum(part.iter().map(|x| f64::from(*x)));
        let step = rate_hz / length as f64;
        for (k, bin) in bins.iter().enumerate().skip(1) {
            let both = if 2 * k == length { 1.0 } else { 2.0 };
            let weight = crate::level::power(weighting.db(k as f64 * step));
            energy += both * weight * bin.norm_sqr() / length as f64;
        }
    }
    energy / samples.len() as f64
}
