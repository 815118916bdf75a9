//! Recordings: levels in bands, what two of them say of noise reduction, and delays between channels.
//!
//! In: the bytes of a recording. Out: samples, levels in fractional octaves, insertion losses by part, ratings of
//! hearing protectors, delays with uncertainty, and what is wrong with a recording.
//! Not here: files (the caller opens them), verdicts (`methods`).
//!
//! ```
//! use sound::bands::{Band, between};
//! use sound::bank::Bank;
//! let tone: Vec<f32> = (0..48_000)
//!     .map(|n| (2.0 * std::f32::consts::PI * 1000.0 * n as f32 / 48_000.0).sin())
//!     .collect();
//! let bank = Bank { from_s: 0.5, ..Bank::new(between(3, 50.0, 10_000.0)) };
//! let levels = bank.mean_squares(&[&tone], 48_000.0);
//! let at_1_khz = bank.bands.iter().position(|band| *band == Band::third(0)).unwrap();
//! assert!((sound::level::of_power(levels[0][at_1_khz]) + 3.01).abs() < 0.01);
//! ```

pub mod bands;
pub mod bank;
pub mod calibration;
mod decode;
pub mod delay;
pub mod drift;
mod error;
pub mod event;
mod faults;
pub mod filter;
mod fourier;
mod halfband;
pub mod leq;
pub mod level;
pub mod loss;
pub mod protector;
pub mod reading;
mod recording;
mod riff;
pub mod spectra;
pub mod weighting;

pub use decode::{MOST_BYTES, MOST_CHANNELS, MOST_SAMPLES, decode};
pub use error::{Fault, Note, SoundError};
pub use faults::Faults;
pub use recording::{Recording, mean_square};
