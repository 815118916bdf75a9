//! Noises that an overall reduction is told for.
//!
//! In: nothing, or levels in bands. Out: named spectra in third octaves. Not here: losses.
//!
//! Sources: ISO 717-1 (spectra 1 and 2, A-weighted, in both ranges), ANSI S3.5-1997 (speech of normal effort,
//! spectrum levels, to which the width of the bands is added); pink and white noise by definition.
//! No standard names one noise for consumer devices with active reduction.

use crate::bands::Band;
use crate::level;
use crate::weighting::Weighting;

/// Number of the third octave at 50 Hz.
const AT_50: i32 = -13;
/// Number of the third octave at 10 kHz.
const AT_10K: i32 = 10;

/// A noise in third octaves; only differences of its levels matter.
#[derive(Debug, Clone, PartialEq)]
pub struct Spectrum {
    /// What it is called, with weighting and range.
    pub words: String,
    /// Its levels with the weighting in them, by the number of the third octave, decibels.
    pub levels: Vec<(i32, f64)>,
}

impl Spectrum {
    fn from(words: &str, first: i32, levels: &[f64]) -> Self {
        Self {
            words: words.to_owned(),
            levels: (first..).zip(levels.iter().copied()).collect(),
        }
    }

    /// Makes one of levels in third octaves and a weighting.
    pub fn weighted(
        words: impl Into<String>,
        levels: impl IntoIterator<Item = (i32, f64)>,
        weighting: Weighting,
    ) -> Self {
        let weigh = |(number, db)| {
            let hz = Band::third(number).mid_hz();
            (number, db + weighting.db(hz))
        };
        Self {
            words: words.into(),
            levels: levels.into_iter().map(weigh).collect(),
        }
    }

    /// Returns its overall level, decibels.
    pub fn overall(&self) -> f64 {
        level::sum(self.levels.iter().map(|(_, db)| *db))
    }
}

/// ISO 717-1, spectrum 1 (A-weighted pink noise), 50 Hz to 5 kHz.
pub const PINK_WIDE: [f64; 21] = [
    -41.0, -37.0, -34.0, -30.0, -27.0, -24.0, -22.0, -20.0, -18.0, -16.0, -14.0, -13.0, -12.0,
    -11.0, -10.0, -10.0, -10.0, -10.0, -10.0, -10.0, -10.0,
];
/// ISO 717-1, spectrum 2 (A-weighted traffic), 50 Hz to 5 kHz.
pub const TRAFFIC_WIDE: [f64; 21] = [
    -25.0, -23.0, -21.0, -20.0, -20.0, -18.0, -16.0, -15.0, -14.0, -13.0, -12.0, -11.0, -9.0, -8.0,
    -9.0, -10.0, -11.0, -13.0, -15.0, -16.0, -18.0,
];
/// ISO 717-1, spectrum 1, 100 Hz to 3150 Hz.
pub const PINK: [f64; 16] = [
    -29.0, -26.0, -23.0, -21.0, -19.0, -17.0, -15.0, -13.0, -12.0, -11.0, -10.0, -9.0, -9.0, -9.0,
    -9.0, -9.0,
];
/// ISO 717-1, spectrum 2, 100 Hz to 3150 Hz.
pub const TRAFFIC: [f64; 16] = [
    -20.0, -20.0, -18.0, -16.0, -15.0, -14.0, -13.0, -12.0, -11.0, -9.0, -8.0, -9.0, -10.0, -11.0,
    -13.0, -15.0,
];
/// ANSI S3.5-1997, speech of normal effort, spectrum levels from 160 Hz to 8 kHz.
pub const SPEECH: [f64; 18] = [
    32.41, 34.48, 34.75, 33.98, 34.59, 34.27, 32.06, 28.30, 25.01, 23.00, 20.15, 17.32, 13.18,
    11.55, 9.33, 5.31, 2.59, 1.13,
];

/// Returns the levels of speech in third octaves, unweighted, from 160 Hz on.
pub fn speech_levels() -> Vec<(i32, f64)> {
    let widened =
        |(number, db): (i32, &f64)| (number, db + level::of_power(Band::third(number).width_hz()));
    (AT_50 + 5..).zip(&SPEECH).map(widened).collect()
}

/// Returns the named spectra.
pub fn named() -> Vec<Spectrum> {
    let all = AT_50..=AT_10K;
    let pink = || all.clone().map(|number| (number, 0.0));
    let white = || {
        let width = |number| level::of_power(Band::third(number).width_hz());
        all.clone().map(move |number| (number, width(number)))
    };
    vec![
        Spectrum::from(
            "pink noise (ISO 717-1 no. 1), A-weighted, 50 Hz to 5 kHz",
            AT_50,
            &PINK_WIDE,
        ),
        Spectrum::from(
            "traffic (ISO 717-1 no. 2), A-weighted, 50 Hz to 5 kHz",
            AT_50,
            &TRAFFIC_WIDE,
        ),
        Spectrum::from(
            "pink noise (ISO 717-1 no. 1), A-weighted, 100 Hz to 3.15 kHz",
            AT_50 + 3,
            &PINK,
        ),
        Spectrum::from(
            "traffic (ISO 717-1 no. 2), A-weighted, 100 Hz to 3.15 kHz",
            AT_50 + 3,
            &TRAFFIC,
        ),
        Spectrum::weighted(
            "pink noise, A-weighted, 50 Hz to 10 kHz",
            pink(),
            Weighting::A,
        ),
        Spectrum::weighted(
            "pink noise, unweighted, 50 Hz to 10 kHz",
            pink(),
            Weighting::Z,
        ),
        Spectrum::weighted(
            "white noise, A-weighted, 50 Hz to 10 kHz",
            white(),
            Weighting::A,
        ),
        Spectrum::weighted(
            "white noise, unweighted, 50 Hz to 10 kHz",
            white(),
            Weighting::Z,
        ),
        Spectrum::weighted(
            "speech (ANSI S3.5, normal effort), A-weighted, 160 Hz to 8 kHz",
            speech_levels(),
            Weighting::A,
        ),
    ]
}
