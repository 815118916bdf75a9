//! A recording: channels of samples at one rate.
//!
//! In: samples. Out: a channel, its mean square. Not here: files (`decode`), faults (`faults`).

use crate::error::{Fault, Note, SoundError};

/// A recording.
#[derive(Debug, Clone)]
pub struct Recording {
    /// The file, as the caller named it.
    pub file: String,
    /// Samples of each channel in a second, as the file states it.
    pub rate_hz: u32,
    /// Bits of a sample, where the file tells.
    pub bits: Option<u32>,
    /// The samples by channel; full scale is 1.
    pub channels: Vec<Vec<f32>>,
    /// What its reader should know.
    pub notes: Vec<Note>,
}

impl Recording {
    /// Returns its length, seconds.
    pub fn seconds(&self) -> f64 {
        let samples = self.channels.first().map_or(0, Vec::len);
        samples as f64 / f64::from(self.rate_hz)
    }

    /// Returns a channel, from 1.
    ///
    /// # Errors
    /// There is no such channel.
    pub fn channel(&self, number: usize) -> Result<&[f32], SoundError> {
        number
            .checked_sub(1)
            .and_then(|at| self.channels.get(at))
            .map(Vec::as_slice)
            .ok_or_else(|| {
                SoundError::new(
                    Fault::NoChannel,
                    &self.file,
                    format!(
                        "there is no channel {number}; the file has {}",
                        self.channels.len()
                    ),
                    "state a channel of the file; the first is 1",
                )
            })
    }
}

/// Returns the mean square of samples.
pub fn mean_square(samples: &[f32]) -> f64 {
    let sum: f64 = samples.iter().map(|x| f64::from(*x).powi(2)).sum();
    sum / samples.len() as f64
}
