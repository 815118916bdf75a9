//! Ratings of hearing protectors worn by people: octave-band, HML and SNR method.
//!
//! In: the attenuation of each subject in octaves from 63 Hz to 8 kHz, a noise. Out: what is assumed to be taken off,
//! and the level at the ear. Not here: insertion losses on a fixture, which are something else (`loss`).
//! Source: ISO 4869-2:2018; its annexes A to D are reproduced to the printed digit by the tests. The reprint of noise 6
//! in annex C has 89.4 and 93.5 at 250 and 500 Hz; the main table, used here, has 89.3 and 93.3.

use crate::level;

/// Attenuation by octave, 63 Hz to 8 kHz, decibels.
pub type Octaves = [f64; 8];

/// A-weights of octaves as the standard prints them.
pub const A_WEIGHTS: Octaves = [-26.2, -16.1, -8.6, -3.2, 0.0, 1.2, 1.0, -1.1];

#[allow(
    clippy::approx_constant,
    reason = "3.14 dB is what the standard prints"
)]
/// Reference noises of the HML method: d and the A-weighted levels from 125 Hz, together 100 dB.
const NOISES: [(f64, [f64; 7]); 8] = [
    (-1.20, [62.6, 70.8, 81.0, 90.4, 96.2, 94.7, 92.3]),
    (-0.49, [68.9, 78.3, 84.3, 92.8, 96.3, 94.0, 90.0]),
    (0.14, [71.1, 80.8, 88.0, 95.0, 94.4, 94.1, 89.0]),
    (1.56, [77.2, 84.5, 89.8, 95.5, 94.3, 92.5, 88.8]),
    (-2.98, [77.4, 86.5, 92.5, 96.4, 93.0, 90.4, 83.7]),
    (-1.01, [82.0, 89.3, 93.3, 95.6, 93.0, 90.1, 83.0]),
    (0.85, [84.2, 90.1, 93.6, 96.2, 91.3, 87.9, 81.9]),
    (3.14, [88.0, 93.4, 93.8, 94.2, 91.4, 87.9, 79.9]),
];

/// Pink noise of the SNR method: A-weighted levels from 125 Hz, C-weighted together 100 dB.
const PINK: [f64; 7] = [75.9, 83.4, 88.8, 92.0, 93.2, 93.0, 90.9];

/// A mean and a standard deviation over subjects.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Mean.
    pub mean: f64,
    /// Standard deviation of a single one, n − 1.
    pub sd: f64,
}

impl Spread {
    /// Takes them over values.
    pub fn of(values: &[f64]) -> Self {
        let count = values.len() as f64;
        let mean = values.iter().sum::<f64>() / count;
        let squares: f64 = values.iter().map(|x| (x - mean).powi(2)).sum();
        Self {
            mean,
            sd: (squares / (count - 1.0)).sqrt(),
        }
    }

    /// Returns what is reached by a share of subjects that belongs to `alpha` (1.00 for 84 %).
    pub fn assumed(self, alpha: f64) -> f64 {
        self.mean - alpha * self.sd
    }
}

/// Factors α for 50, 75, 80, 84, 90, 95 and 98 % of subjects.
pub const ALPHA: [(u8, f64); 7] = [
    (50, 0.0),
    (75, 0.67),
    (80, 0.84),
    (84, 1.0),
    (90, 1.28),
    (95, 1.64),
    (98, 2.0),
];

/// Returns the A-weighted level at the ear by the octave-band method: levels of the noise, what is assumed to be
/// taken off.
pub fn at_ear(noise: &Octaves, assumed: &Octaves) -> f64 {
    level::sum((0..8).map(|k| noise[k] + A_WEIGHTS[k] - assumed[k]))
}

/// Returns H, M and L of one subject.
pub fn hml(attenuation: &Octaves) -> [f64; 3] {
    let reduction: Vec<f64> = NOISES
        .iter()
        .map(|(_, noise)| 100.0 - through(noise, attenuation))
        .collect();
    let quarter = |range: std::ops::Range<usize>| reduction[range].iter().sum::<f64>() / 4.0;
    let weighed = |range: std::ops::Range<usize>| {
        let products = range.map(|i| NOISES[i].0 * reduction[i]);
        products.sum::<f64>()
    };
    [
        quarter(0..4) - 0.48 * weighed(0..4),
        quarter(4..8) - 0.16 * weighed(4..8),
        quarter(4..8) + 0.23 * weighed(4..8),
    ]
}

/// Returns the SNR of one subject.
pub fn snr(attenuation: &Octaves) -> f64 {
    100.0 - through(&PINK, attenuation)
}

fn through(noise: &[f64; 7], attenuation: &Octaves) -> f64 {
    level::sum(noise.iter().zip(&attenuation[1..]).map(|(l, a)| l - a))
}

/// Returns the predicted reduction by H, M and L for a noise of C- minus A-weighted level `c_minus_a`.
pub fn hml_reduction([h, m, l]: [f64; 3], c_minus_a: f64) -> f64 {
    if c_minus_a <= 2.0 {
        m - (h - m) / 4.0 * (c_minus_a - 2.0)
    } else {
        m - (m - l) / 8.0 * (c_minus_a - 2.0)
    }
}
