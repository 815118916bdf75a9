//! Phases of a charge or a discharge, and when they switch.
//!
//! In: a series. Out: phases in the order of time. Each is made of samples; what it begins and ends with lies somewhere
//! between two samples and is given as that interval. Not here: what a phase says about a cell (`answers`, `fit`).
//!
//! At a cell, constant current is a level of current while the voltage rises, constant voltage a voltage at its highest
//! while the current falls (`common practice`). At a socket the voltage is the source's and says nothing: there the
//! power is at its highest when the cell changes over, and falls afterwards.

mod charge;

use crate::levels::noise;
use crate::mapping::Seat;
use crate::series::{Amount, Series};
use serde::Serialize;

/// Currents below this share of the largest are none.
const IDLE: f64 = 0.003;

/// A charge after a full one that is less than this share of it tops up.
const TOP_UP: f64 = 0.1;

/// What happens in a phase.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// No current to speak of.
    Idle,
    /// A small constant current into an empty cell.
    Precharge,
    /// A constant current, or at a socket the power before it falls.
    ConstantCurrent,
    /// A constant voltage while the current falls, or at a socket the falling power.
    ConstantVoltage,
    /// A short charge of a cell that is full.
    TopUp,
    /// A charge that is none of these.
    Charge,
    /// Current out of the cell.
    Discharge,
}

impl Kind {
    /// Returns the kind in words.
    pub fn word(self) -> &'static str {
        match self {
            Self::Idle => "idle",
            Self::Precharge => "precharge",
            Self::ConstantCurrent => "constant current",
            Self::ConstantVoltage => "constant voltage",
            Self::TopUp => "top-up",
            Self::Charge => "charge",
            Self::Discharge => "discharge",
        }
    }
}

/// Somewhere between two samples.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Between {
    /// Seconds of the last sample before.
    pub from_s: f64,
    /// Seconds of the first sample after.
    pub to_s: f64,
}

/// One phase.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Phase {
    /// What happens.
    pub kind: Kind,
    /// Its first point.
    pub first: usize,
    /// Its last point.
    pub last: usize,
    /// When it begins: between the last sample of the phase before and its own first.
    pub begins: Between,
    /// When it ends.
    pub ends: Between,
    /// Charge between its own first and last sample, coulomb.
    pub charge: Amount,
    /// Energy between its own first and last sample, joule.
    pub energy: Option<Amount>,
    /// Charge in the interval ahead of it, where one phase gives way to the other, coulomb. With it the phases add up
    /// to the whole.
    pub switching_c: f64,
}

impl Phase {
    /// Returns the time between its own first and last sample in seconds.
    pub fn duration_s(&self) -> f64 {
        self.ends.from_s - self.begins.to_s
    }
}

/// Finds the phases of a series.
pub fn phases(series: &Series) -> Vec<Phase> {
    let amperes: Vec<f64> = series.points.iter().map(|point| point.amperes).collect();
    let largest = amperes
        .iter()
        .fold(0.0_f64, |most, value| most.max(value.abs()));
    let threshold = (IDLE * largest).max(5.0 * noise(&amperes).min(largest / 50.0));
    let way = |amperes: f64| {
        if amperes.abs() <= threshold {
            0
        } else if amperes > 0.0 {
            1
        } else {
            -1
        }
    };
    let mut spans: Vec<(Kind, usize, usize)> = Vec::new();
    let mut first = 0;
    let mut full: Option<f64> = None;
    while first < amperes.len() {
        let now = way(amperes[first]);
        let more = amperes[first..]
            .iter()
            .take_while(|value| way(**value) == now)
            .count();
        let last = first + more - 1;
        match now {
            0 => spans.push((Kind::Idle, first, last)),
            1 => {
                let charge = series.charge(first, last).value;
                if full.is_some_and(|full| charge < TOP_UP * full) {
                    spans.push((Kind::TopUp, first, last));
                } else {
                    let parts = charge::parts(series, first, last);
                    let ended = parts
                        .last()
                        .is_some_and(|part| part.0 == Kind::ConstantVoltage);
                    full = ended.then_some(charge);
                    spans.extend(parts);
                }
            }
            _ => {
                full = None;
                spans.push((Kind::Discharge, first, last));
            }
        }
        first = last + 1;
    }
    made(series, &spans)
}

fn made(series: &Series, spans: &[(Kind, usize, usize)]) -> Vec<Phase> {
    let time = |at: usize| series.points[at].t_s;
    let mut phases = Vec::with_capacity(spans.len());
    for (kind, first, last) in spans {
        let before = first.saturating_sub(1);
        let after = (last + 1).min(series.last());
        phases.push(Phase {
            kind: *kind,
            first: *first,
            last: *last,
            begins: Between {
                from_s: time(before),
                to_s: time(*first),
            },
            ends: Between {
                from_s: time(*last),
                to_s: time(after),
            },
            charge: series.charge(*first, *last),
            energy: series.energy(*first, *last),
            switching_c: series.charge(before, *first).value,
        });
    }
    phases
}

/// Whether the voltage of a series is the cell's.
pub(crate) fn sees_cell(series: &Series) -> bool {
    series.has_voltage && !matches!(series.seat, Seat::Socket | Seat::Output)
}
