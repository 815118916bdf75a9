//! Logs of the record, as they were read.
//!
//! In: what reading the file of each log gave. Out: one run of one channel for each, with its phases; cells fitted to it,
//! each fitted once. Not here: files (the caller reads them), what a log says about a cell (`energy`).

use charging::Ocv;
use logs::fit::{FitError, Fitted, Known, fit};
use logs::phases::{Phase, phases};
use logs::{Log, Note, Rows, Seat, Series};
use record::LogSeat;
use std::collections::{BTreeMap, HashMap};
use std::sync::{Arc, Mutex, PoisonError};

/// The logs of a dossier by their id: read, or why not.
#[derive(Debug, Clone, Default)]
pub struct Recorded(BTreeMap<String, Result<Arc<Recording>, String>>);

impl Recorded {
    /// No log.
    pub const fn none() -> Self {
        Self(BTreeMap::new())
    }

    /// Adds what reading a log gave.
    pub fn put(&mut self, id: &str, read: Result<Arc<Recording>, String>) {
        self.0.insert(id.to_string(), read);
    }

    /// Returns a log that was read.
    ///
    /// # Errors
    /// Why it was not.
    pub fn get(&self, id: &str) -> Result<&Recording, &str> {
        match self.0.get(id) {
            Some(Ok(recording)) => Ok(recording),
            Some(Err(why)) => Err(why),
            None => Err("its file was not read"),
        }
    }
}

/// What one channel recorded in its longest run.
#[derive(Debug)]
pub struct Recording {
    /// Samples with their integrals.
    pub series: Series,
    /// Phases in the order of time.
    pub phases: Vec<Phase>,
    /// How many rows the file has.
    pub rows: Rows,
    /// What was read around.
    pub notes: Vec<Note>,
    fits: Mutex<HashMap<Vec<u64>, Fits>>,
}

type Fits = Result<Arc<Vec<Fitted>>, FitError>;

impl Recording {
    /// Takes the channel that sat where the record says, or the only one, of a log that was read.
    ///
    /// # Errors
    /// Several channels that may be meant.
    pub fn of(log: Log, seat: LogSeat) -> Result<Self, String> {
        let all = || log.runs.iter().flat_map(|run| &run.series);
        let wanted = seat_of(seat);
        let names: Vec<&str> = {
            let mut names: Vec<&str> = all().map(|series| series.name.as_str()).collect();
            names.sort_unstable();
            names.dedup();
            names
        };
        let there = |series: &&Series| names.len() == 1 || series.seat == wanted;
        let chosen = all()
            .filter(there)
            .max_by(|a, b| a.charge_c().abs().total_cmp(&b.charge_c().abs()))
            .ok_or_else(|| {
                format!(
                    "it has several channels ({}) and none is known to sit there; state its `columns`",
                    names.join(", ")
                )
            })?;
        let mut series = chosen.clone();
        series.seat = wanted;
        let mut notes = log.notes.clone();
        if log.runs.len() > 1 {
            notes.push(Note {
                line: None,
                what: format!(
                    "of {} runs the one with the most charge is used",
                    log.runs.len()
                ),
                remedy: None,
            });
        }
        Ok(Self {
            phases: phases(&series),
            series,
            rows: log.rows,
            notes,
            fits: Mutex::default(),
        })
    }

    /// Fits a circuit to all points up to `last` with each of the tables, or takes what the same question gave before.
    ///
    /// # Errors
    /// As [`fit`].
    pub fn fitted(
        &self,
        last: usize,
        tables: &[Ocv],
        known: &Known,
    ) -> Result<Arc<Vec<Fitted>>, FitError> {
        let numbers = [
            known.capacity_ah,
            known.capacity_share,
            known.ohm,
            known.ohm_log,
        ];
        let volts = tables
            .iter()
            .flat_map(|table| [0.0, 0.5, 1.0].map(|soc| table.at(soc)));
        let key: Vec<u64> = std::iter::once(last as u64)
            .chain(numbers.into_iter().chain(volts).map(f64::to_bits))
            .collect();
        let kept = || self.fits.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(fits) = kept().get(&key) {
            return fits.clone();
        }
        let fits = fit(&self.series, last, tables, known).map(Arc::new);
        kept().insert(key, fits.clone());
        fits
    }
}

/// Returns a seat of the record as logs have it.
pub fn seat_of(seat: LogSeat) -> Seat {
    match seat {
        LogSeat::Cell => Seat::Cell,
        LogSeat::Socket => Seat::Socket,
        LogSeat::Output => Seat::Output,
        LogSeat::Unknown => Seat::Unknown,
    }
}
