//! Cells of a row as samples, samples to the recorders of their channels.
//!
//! In: rows, the mapping. Out: samples in SI units; series at the end of a run. Not here: time (`timer`, `order`).

use super::order::Placed;
use crate::error::Note;
use crate::log::Rows;
use crate::mapping::{Column, Decimal, Mapping, Seat};
use crate::names::{self, Held};
use crate::number;
use crate::recorder::{Recorder, Sample};
use crate::rows::Row;
use crate::series::Series;

/// Volts, amperes or watts above this are marks for overload (bench instruments write 9.9E37).
const OVERLOAD: f64 = 1e7;

/// A column, ready to be read.
#[derive(Debug, Clone, Copy)]
struct Source {
    index: usize,
    factor: f64,
}

#[derive(Debug)]
struct Wires {
    name: String,
    seat: Seat,
    volts: Option<Source>,
    amperes: Option<Source>,
    watts: Option<Source>,
    charge: Option<Source>,
    discharge: Option<Source>,
    energy: Option<Source>,
    energy_out: Option<Source>,
    celsius: Option<Source>,
}

/// Makes samples and keeps them.
pub(super) struct Sampler {
    wires: Vec<Wires>,
    marks: Vec<usize>,
    recorders: Vec<Recorder>,
    current_marks: Vec<String>,
    fresh: bool,
    crowded: bool,
    reset_noted: bool,
    first_dropped: Option<u64>,
    why_dropped: String,
}

impl Sampler {
    /// # Errors
    /// What is wrong with the mapping, and the remedy.
    pub(super) fn new(mapping: &Mapping, most_points: usize) -> Result<Self, (String, String)> {
        let mut wires = Vec::new();
        for channel in &mapping.channels {
            let source = |column: &Option<Column>, held: Held| match column {
                None => Ok(None),
                Some(column) => match names::unit(&column.unit) {
                    Some((_, measured, factor)) if measured == held => Ok(Some(Source {
                        index: column.index,
                        factor,
                    })),
                    _ => Err((
                        format!(
                            "{:?} is no unit of column {}",
                            column.unit,
                            column.index + 1
                        ),
                        "state a unit such as V, mV, A, mA, W, Ah, mAh, Wh".to_owned(),
                    )),
                },
            };
            let made = Wires {
                name: channel.name.clone(),
                seat: channel.seat,
                volts: source(&channel.voltage, Held::Voltage)?,
                amperes: source(&channel.current, Held::Current)?,
                watts: source(&channel.power, Held::Power)?,
                charge: source(&channel.charge, Held::Charge)?,
                discharge: source(&channel.discharge, Held::Charge)?,
                energy: source(&channel.energy, Held::Energy)?,
                energy_out: source(&channel.energy_out, Held::Energy)?,
                celsius: source(&channel.temperature, Held::Temperature)?,
            };
            if made.amperes.is_none() && (made.watts.is_none() || made.volts.is_none()) {
                return Err((
                    format!(
                        "channel {:?} has no current, nor a power and a voltage",
                        channel.name
                    ),
                    "state a column of amperes".into(),
                ));
            }
            wires.push(made);
        }
        if wires.is_empty() {
            return Err((
                "the mapping names no channel".into(),
                "state a column of amperes".into(),
            ));
        }
        let mut sampler = Self {
            wires,
            marks: mapping.marks.iter().map(|mark| mark.index).collect(),
            recorders: Vec::new(),
            current_marks: Vec::new(),
            fresh: true,
            crowded: false,
            reset_noted: false,
            first_dropped: None,
            why_dropped: String::new(),
        };
        sampler.begin(most_points);
        Ok(sampler)
    }

    fn begin(&mut self, most_points: usize) {
        let recorder = |wires: &Wires| Recorder::new(&wires.name, wires.seat, most_points);
        self.recorders = self.wires.iter().map(recorder).collect();
        self.current_marks.clear();
        self.fresh = true;
    }

    /// Whether the run has no row yet.
    pub(super) fn is_new(&self) -> bool {
        self.fresh
    }

    /// Fills in samples and marks; returns whether any channel has one.
    pub(super) fn samples(&self, row: &Row, decimal: Decimal, placed: &mut Placed) -> bool {
        placed.samples.clear();
        placed
            .samples
            .extend(self.wires.iter().map(|wires| wires.sample(row, decimal)));
        placed.marks.resize(self.marks.len(), String::new());
        for (mark, index) in placed.marks.iter_mut().zip(&self.marks) {
            mark.clear();
            mark.push_str(row.cell(*index));
        }
        placed.samples.iter().any(Option::is_some)
    }

    pub(super) fn dropped(&mut self, line: u64, why: &str) {
        if self.first_dropped.is_none() {
            self.first_dropped = Some(line);
            why.clone_into(&mut self.why_dropped);
        }
    }

    pub(super) fn first_dropped(&self) -> Option<u64> {
        self.first_dropped
    }

    pub(super) fn record(&mut self, placed: &Placed, notes: &mut Vec<Note>) {
        let changed = !self.marks.is_empty() && (self.fresh || self.current_marks != placed.marks);
        if changed {
            self.current_marks.clone_from(&placed.marks);
        }
        self.fresh = false;
        let marks = changed.then_some(placed.marks.as_slice());
        for (recorder, sample) in self.recorders.iter_mut().zip(&placed.samples) {
            let Some(sample) = sample else { continue };
            let reset = recorder.push(placed.t_s, sample, marks);
            if reset && !self.reset_noted {
                self.reset_noted = true;
                let what = "the meter's counter was set back here; its pieces were added, and what passed in this interval is lost to it";
                notes.push(Note::at(placed.line, what));
            }
            if recorder.is_crowded() && !self.crowded {
                self.crowded = true;
                let what = "there are too many steps or groups; sections are not told apart";
                notes.push(Note::at(placed.line, what));
            }
        }
    }

    /// Ends a run and begins the next.
    pub(super) fn end_run(&mut self, mapping: &Mapping, most_points: usize) -> Vec<Series> {
        let series = self
            .recorders
            .drain(..)
            .filter_map(|recorder| recorder.finish(mapping.sign))
            .collect();
        self.begin(most_points);
        series
    }

    /// Says how many rows were left out.
    pub(super) fn note(&self, rows: Rows) -> Option<Note> {
        let line = self.first_dropped?;
        let what = format!(
            "{} of {} rows were left out; in the first {}",
            rows.dropped,
            rows.dropped + rows.used,
            self.why_dropped
        );
        Some(Note::at(line, what).remedied("look at these rows, or state other columns"))
    }
}

impl Wires {
    fn sample(&self, row: &Row, decimal: Decimal) -> Option<Sample> {
        let read = |source: Option<Source>| {
            let source = source?;
            let (value, unit) = number::read(row.cell(source.index), decimal)?;
            let own = if unit.is_empty() {
                None
            } else {
                names::unit(unit)
            };
            Some(value * own.map_or(source.factor, |(.., factor)| factor))
        };
        let bounded = |source| read(source).filter(|value: &f64| value.abs() < OVERLOAD);
        let volts = bounded(self.volts);
        if self.volts.is_some() && volts.is_none() {
            return None;
        }
        let watts = bounded(self.watts);
        let amperes = match self.amperes {
            Some(_) => bounded(self.amperes)?,
            None => {
                let volts = volts.filter(|volts| volts.abs() > 1e-6)?;
                watts? / volts
            }
        };
        Some(Sample {
            volts,
            amperes,
            watts: volts.map(|volts| volts * amperes).or(watts),
            charge: read(self.charge),
            discharge: read(self.discharge),
            energy: read(self.energy),
            energy_out: read(self.energy_out),
            celsius: read(self.celsius),
        })
    }
}
