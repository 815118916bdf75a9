//! What level full scale stands for.
//!
//! In: a recording of a calibrator, or a stated sensitivity. Out: the sound pressure level of a root mean square of 1.
//! Not here: differences of levels, which need none.
//! Source: IEC 60942 (calibrators); thresholds are common practice, each named beside its constant.

use crate::bands::{self, Band};
use crate::bank::Bank;
use crate::error::Note;
use crate::fourier::Fourier;
use crate::level;
use crate::recording::mean_square;

/// Level of a full-scale sine below that of a root mean square of 1, decibels.
pub const SINE_BELOW: f64 = 3.010_299_956_639_812;
/// Least share of the tone in all that was recorded.
const PURE: f64 = 0.9;
/// Most that quarters of the recording may differ, decibels.
const STEADY_DB: f64 = 0.2;
/// Most that the tone may lie beside the stated frequency: class 2 of IEC 60942 allows 2 %.
const ON_PITCH: f64 = 0.02;
/// Least length, seconds.
const LEAST_S: f64 = 1.0;

/// What full scale stands for.
#[derive(Debug, Clone, PartialEq)]
pub struct Calibration {
    /// Sound pressure level of a root mean square of 1, decibels.
    pub full_scale_db: f64,
    /// Frequency of the tone, hertz, where there was one.
    pub tone_hz: Option<f64>,
    /// What its reader should know.
    pub notes: Vec<Note>,
}

impl Calibration {
    /// Takes it from the level of a sine that fills the scale.
    pub fn stated(full_scale_sine_db: f64) -> Self {
        Self {
            full_scale_db: full_scale_sine_db + SINE_BELOW,
            tone_hz: None,
            notes: Vec::new(),
        }
    }

    /// Takes it from a recorded calibrator of a stated level and frequency. `None` if the recording is too short or
    /// silent.
    pub fn recorded(samples: &[f32], rate_hz: f64, level_db: f64, hz: f64) -> Option<Self> {
        let seconds = samples.len() as f64 / rate_hz;
        if seconds < LEAST_S || mean_square(samples) == 0.0 {
            return None;
        }
        let tone_hz = strongest_hz(samples, rate_hz);
        let mut notes = Vec::new();
        let ratio = tone_hz / hz;
        if (ratio - 1.0).abs() > ON_PITCH {
            notes.push(Note::new(
                format!(
                    "the calibrator sounds at {tone_hz:.1} Hz, stated are {hz:.0} Hz: {}",
                    rates(ratio)
                ),
                "check the rate of the recorder and the frequency of the calibrator",
            ));
        }
        let band = third_at(tone_hz)?;
        let mut bank = Bank::new(vec![band]);
        bank.from_s = 0.25;
        let tone = bank.mean_squares(&[samples], rate_hz)[0][0];
        let settled = &samples[(0.25 * rate_hz) as usize..];
        if tone / mean_square(settled) < PURE {
            notes.push(Note::new(
                "the recording of the calibrator holds more than its tone",
                "record it again with the microphone pushed in to its stop",
            ));
        }
        let quarters: Vec<f64> = settled
            .chunks_exact(settled.len() / 4)
            .map(|part| level::of_power(mean_square(part)))
            .collect();
        let most = quarters.iter().copied().fold(f64::MIN, f64::max);
        let least = quarters.iter().copied().fold(f64::MAX, f64::min);
        if most - least > STEADY_DB {
            notes.push(Note::new(
                format!(
                    "the level of the calibrator moves by {:.1} dB",
                    most - least
                ),
                "record it again, without touching it",
            ));
        }
        Some(Self {
            full_scale_db: level_db - level::of_power(tone),
            tone_hz: Some(tone_hz),
            notes,
        })
    }

    /// Returns the sound pressure level of a mean square, decibels.
    pub fn level_db(&self, mean_square: f64) -> f64 {
        self.full_scale_db + level::of_power(mean_square)
    }
}

/// Says which mistake of rates makes a frequency wrong by this ratio.
fn rates(ratio: f64) -> &'static str {
    const KNOWN: [(f64, &str); 4] = [
        (48.0 / 44.1, "as where 44.1 kHz are stated as 48 kHz"),
        (44.1 / 48.0, "as where 48 kHz are stated as 44.1 kHz"),
        (2.0, "as where the stated rate is twice the true one"),
        (0.5, "as where the stated rate is half the true one"),
    ];
    KNOWN
        .iter()
        .find(|(known, _)| (ratio / known - 1.0).abs() < 0.005)
        .map_or("the rate may be wrong", |(_, words)| words)
}

fn third_at(hz: f64) -> Option<Band> {
    bands::between(3, hz / 1.3, hz * 1.3)
        .into_iter()
        .find(|band| band.edges_hz().0 <= hz && hz < band.edges_hz().1)
}

/// Returns the frequency of the strongest tone: the highest bin of a windowed spectrum, between bins by a parabola
/// through logarithms.
pub fn strongest_hz(samples: &[f32], rate_hz: f64) -> f64 {
    let length = samples.len().min(1 << 17);
    let window = |k: usize| {
        let turn = 2.0 * std::f64::consts::PI * k as f64 / length as f64;
        0.5 - 0.5 * turn.cos()
    };
    let padded = length.next_power_of_two() * 2;
    let windowed = samples[..length]
        .iter()
        .enumerate()
        .map(|(k, x)| f64::from(*x) * window(k));
    let powers: Vec<f64> = Fourier::new(padded)
        .spectrum(windowed)
        .iter()
        .map(|bin| bin.norm_sqr())
        .collect();
    let inner = 1..powers.len() - 1;
    let at = inner
        .max_by(|a, b| powers[*a].total_cmp(&powers[*b]))
        .unwrap_or(1);
    let [before, peak, after] = [at - 1, at, at + 1].map(|k| powers[k].max(f64::MIN_POSITIVE).ln());
    let bend = before - 2.0 * peak + after;
    let shift = if bend < 0.0 {
        0.5 * (before - after) / bend
    } else {
        0.0
    };
    (at as f64 + shift) * rate_hz / padded as f64
}
