//! The circuit fitted to the log of a charge at a cell: what replaces priors in what is simulated.
//!
//! In: a cell, the logs at it. Out: resistances and the table of open-circuit voltage that the log bears out best.
//! Not here: the fit (`logs`), what is simulated with it (`simulated`).
//! Resistances are taken as independent of each other; the fast pair of the fit counts to the resistance at once.

use super::logged::{Logged, at_cell, whole_charge};
use crate::Case;
use crate::assumed;
use crate::chemistry::{Chemistry, taken};
use crate::grounds::Grounds;
use crate::inputs::unit;
use charging::{Cell, Ocv, PUBLISHED, Pair, PublishedOcv};
use logs::fit::{Circuit, Known};
use logs::phases::Kind;
use quantity::{Dimension, Distribution, Sheet, Term};
use record::{Item, LogKind};

/// A circuit fitted to a log.
#[derive(Debug, Clone)]
pub(crate) struct Fit<'d> {
    pub(crate) logged: Logged<'d>,
    pub(crate) circuit: Circuit,
    pub(crate) standard: Circuit,
    pub(crate) table: &'static PublishedOcv,
    pub(crate) ocv: Ocv,
    /// How likely that table is among those of its kind.
    pub(crate) weight: f64,
    /// What is left between circuit and log, V.
    pub(crate) rms_v: f64,
    /// The voltage that was held, where one was.
    pub(crate) held_v: Option<f64>,
}

/// Returns the published tables of the chemistry of a cell.
pub(super) fn tables(cell: &Item) -> impl Iterator<Item = &'static PublishedOcv> {
    let wanted = match taken(cell).chemistry {
        Chemistry::IronPhosphate => Some(true),
        Chemistry::LithiumIon | Chemistry::SiliconAnode => Some(false),
        _ => None,
    };
    PUBLISHED.iter().filter(move |table| {
        wanted.is_some_and(|phosphate| (table.chemistry == "lfp") == phosphate)
    })
}

/// Returns the circuit of the first log of a charge at a cell that determines one.
pub(crate) fn fitted<'d>(case: &Case<'d>, cell: &Item) -> Option<Fit<'d>> {
    at_cell(case, cell, LogKind::Charge).find_map(|logged| one(logged, cell))
}

/// Returns the circuit of one log.
pub(crate) fn one<'d>(logged: Logged<'d>, cell: &Item) -> Option<Fit<'d>> {
    let course = logged.charge()?;
    let series = &logged.recording.series;
    let mut phases = logged.recording.phases.iter();
    let held = phases.rfind(|phase| phase.kind == Kind::ConstantVoltage);
    let held_v = held.map(|phase| {
        let mut volts: Vec<f64> = series.points[phase.first..=phase.last]
            .iter()
            .map(|p| p.volts)
            .collect();
        volts.sort_by(f64::total_cmp);
        volts[volts.len() / 2]
    });
    let top = super::simulated::limit(cell).or(held_v);
    let mut named = Vec::new();
    let mut ocvs = Vec::new();
    for table in tables(cell) {
        let ocv = table.ocv().ok()?;
        // A cell is charged to its limit, so that is where its table ends.
        ocvs.push(match top {
            Some(top) => ocv.stretched_to(top).ok()?,
            None => ocv,
        });
        named.push(table);
    }
    let facts = cell.cell.as_ref();
    let printed = facts.and_then(|c| c.capacity.as_ref());
    let printed = printed.filter(|c| c.dimension() == Dimension::CHARGE);
    let ampere_hour = unit("Ah").factor();
    let capacity = match printed {
        Some(stated) => stated.si(),
        // Without a print the log itself has to tell how much there is.
        None => {
            let [first, last] = whole_charge(&logged)?.ends();
            series.charge(first, last).value
        }
    };
    let share = assumed::FITTED_PRINT.si();
    let known = Known::from_capacity(capacity / ampere_hour, share);
    let fits = logged.recording.fitted(course.last, &ocvs, &known).ok()?;
    let best = fits.first()?;
    Some(Fit {
        logged,
        circuit: best.circuit,
        standard: best.standard,
        table: named[best.table],
        ocv: ocvs.swap_remove(best.table),
        weight: best.weight,
        rms_v: best.rms_v,
        held_v,
    })
}

impl Fit<'_> {
    /// Series resistance, slow resistance and its time, as inputs of a simulation.
    pub(super) fn inputs<'s>(
        &self,
        sheet: &'s Sheet,
        cell: &Item,
        grounds: &mut Grounds,
    ) -> [Term<'s>; 3] {
        grounds.assume(format!(
            "resistances of {} are those of a circuit fitted to the log {}, which it meets to {:.0} mV; what is fast in it \
             counts to the resistance, and their uncertainties are taken as independent",
            cell.name,
            self.logged.log.id,
            self.rms_v * 1000.0
        ));
        let (fit, sd) = (&self.circuit, &self.standard);
        let quick = (fit.ohm + fit.pair_ohm[0], sd.ohm.hypot(sd.pair_ohm[0]));
        let mut input = |name: &str, (value, sd): (f64, f64), told: &str| {
            let name = format!("{name} {}", cell.name);
            self.logged
                .input(sheet, &name, positive(value, sd), unit(told), grounds)
        };
        [
            input("fitted resistance of", quick, "mΩ"),
            input(
                "fitted slow resistance of",
                (fit.pair_ohm[1], sd.pair_ohm[1]),
                "mΩ",
            ),
            input(
                "fitted time of the slow voltage drop in",
                (fit.pair_s[1], sd.pair_s[1]),
                "s",
            ),
        ]
    }

    /// The current at which the logged charge ended, where the log saw it end.
    pub(super) fn end<'s>(
        &self,
        sheet: &'s Sheet,
        cell: &Item,
        grounds: &mut Grounds,
    ) -> Option<Term<'s>> {
        let course = self.logged.charge().filter(|course| course.ended)?;
        let points = &self.logged.recording.series.points;
        let (last, before) = (&points[course.last], &points[course.last.checked_sub(1)?]);
        // It falls on by as much at most until the next row, which saw none.
        let fall = (before.amperes - last.amperes).abs();
        let law = match fall > 0.0 && fall < last.amperes {
            true => Distribution::Rectangular {
                low: last.amperes - fall,
                high: last.amperes,
            },
            false => Distribution::Exact {
                value: last.amperes,
            },
        };
        let name = format!("logged current at the end of a charge of {}", cell.name);
        Some(self.logged.input(sheet, &name, law, unit("mA"), grounds))
    }

    /// The fitted cell, with the table that fits best.
    pub(crate) fn cell(&self) -> Option<Cell> {
        let pair = |at: usize| Pair {
            ohm: self.circuit.pair_ohm[at],
            farad: self.circuit.pair_s[at] / self.circuit.pair_ohm[at],
        };
        let pairs = [pair(0), pair(1)];
        Cell::new(
            self.circuit.capacity_ah,
            self.ocv.clone(),
            self.circuit.ohm,
            &pairs,
        )
        .ok()
    }
}

/// A law that stays positive: fits work on logarithms, and a poor one is off by a factor.
fn positive(value: f64, sd: f64) -> Distribution {
    if sd < value / 4.0 {
        return Distribution::Normal { mean: value, sd };
    }
    let factor = (3.0_f64.sqrt() * (sd / value).min(1.0)).exp();
    Distribution::Rectangular {
        low: value / factor,
        high: value * factor,
    }
}
