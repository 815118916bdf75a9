//! What "so many dB less" may mean: one product has many such figures, all true.
//!
//! In: losses of the passive part, of all of it, and of the active part. Out: every reading of a decibel figure, and
//! which of them a print must have meant. Not here: verdicts.

use crate::bands::Band;
use crate::loss::{Estimate, Losses};
use crate::spectra::Spectrum;

/// Which recordings are held against each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// Without the device against the device switched off.
    Passive,
    /// Without the device against the device switched on.
    Total,
    /// The device switched off against switched on.
    Active,
}

/// How one figure is made of a curve.
#[derive(Debug, Clone, PartialEq)]
pub enum How {
    /// The largest third octave.
    Largest(Band),
    /// The mean of third octaves.
    Mean(Band, Band),
    /// Overall, for the noise that is named.
    Overall(String),
}

/// One reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Of which part.
    pub part: Part,
    /// How it is made.
    pub how: How,
    /// What it comes to.
    pub value: Estimate,
}

/// Losses by part; those that were not recorded are missing.
#[derive(Debug, Clone, Default)]
pub struct Parts {
    /// Of the device switched off.
    pub passive: Option<Losses>,
    /// Of the device switched on.
    pub total: Option<Losses>,
    /// Of what switching on adds, band by band.
    pub active: Option<Losses>,
}

/// Ranges whose mean is printed as an average, by the numbers of their third octaves: 100 Hz to 1 kHz, 50 Hz to
/// 10 kHz (`common practice`).
pub const AVERAGED: [(i32, i32); 2] = [(-10, 0), (-13, 10)];

impl Parts {
    /// Returns every reading, for the noises given.
    ///
    /// The active part of an overall figure is the difference of two overall figures, not a mean of active bands.
    pub fn readings(&self, noises: &[Spectrum]) -> Vec<Reading> {
        let mut out = Vec::new();
        let parts = [
            (Part::Total, &self.total),
            (Part::Active, &self.active),
            (Part::Passive, &self.passive),
        ];
        for (part, losses) in parts {
            let Some(losses) = losses else { continue };
            let mut say = |how, value| out.push(Reading { part, how, value });
            if let Some((band, value)) = losses.largest() {
                say(How::Largest(band), value);
            }
            for (first, last) in AVERAGED {
                if let Some(value) = losses.mean(first, last) {
                    say(How::Mean(Band::third(first), Band::third(last)), value);
                }
            }
            for noise in noises {
                let value = match part {
                    Part::Active => self.active_overall(noise),
                    Part::Passive | Part::Total => losses.overall(noise),
                };
                if let Some(value) = value {
                    say(How::Overall(noise.words.clone()), value);
                }
            }
        }
        out
    }

    /// Returns how much less of a noise comes through switched on than switched off.
    pub fn active_overall(&self, noise: &Spectrum) -> Option<Estimate> {
        let (total, passive) = (
            self.total.as_ref()?.overall(noise)?,
            self.passive.as_ref()?.overall(noise)?,
        );
        Some(Estimate {
            db: total.db - passive.db,
            u_db: total.u_db.hypot(passive.u_db),
            freedom: total.freedom.zip(passive.freedom).map(|(a, b)| a.min(b)),
            at_least: total.at_least,
        })
    }
}

/// Returns the reading nearest to a printed figure.
pub fn nearest(readings: &[Reading], printed_db: f64) -> Option<&Reading> {
    let distance = |reading: &Reading| (reading.value.db - printed_db).abs();
    readings
        .iter()
        .min_by(|a, b| distance(a).total_cmp(&distance(b)))
}
