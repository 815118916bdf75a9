//! A log that was read.
//!
//! In: nothing. Out: the plain data that reading gives. Not here: how it is read (`read`).

use crate::error::Note;
use crate::mapping::{Mapping, Reason};
use crate::series::Series;
use serde::Serialize;

/// An interval much longer than the usual one.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Gap {
    /// Seconds.
    pub from_s: f64,
    /// Seconds.
    pub to_s: f64,
    /// Coulomb that the trapezoid puts into it.
    pub charge_c: f64,
}

/// How many rows there were.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
pub struct Rows {
    /// Rows that were used.
    pub used: u64,
    /// Rows that were left out: blank, no number, overload, damaged.
    pub dropped: u64,
}

/// What was recorded without the meter's time starting again.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Run {
    /// Line of its first row.
    pub line: u64,
    /// One for each channel that has samples.
    pub series: Vec<Series>,
}

/// A log that was read.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Log {
    /// The file, as the caller named it.
    pub file: String,
    /// What columns were taken for.
    pub mapping: Mapping,
    /// Why; empty where the mapping was given.
    pub reasons: Vec<Reason>,
    /// What was read around.
    pub notes: Vec<Note>,
    /// How many rows there were.
    pub rows: Rows,
    /// In the order of the file; never empty.
    pub runs: Vec<Run>,
}

impl Log {
    /// Returns the charge of a channel in all runs, in coulomb.
    pub fn charge_c(&self, channel: &str) -> f64 {
        self.series(channel).map(Series::charge_c).sum()
    }

    /// Returns the energy of a channel in all runs, in joule; none where it has no power.
    pub fn energy_j(&self, channel: &str) -> Option<f64> {
        self.series(channel).map(Series::energy_j).sum()
    }

    /// Returns what a channel measured, run by run.
    pub fn series(&self, channel: &str) -> impl Iterator<Item = &Series> {
        self.runs
            .iter()
            .flat_map(|run| &run.series)
            .filter(move |series| series.name == channel)
    }
}
