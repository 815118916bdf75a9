//! A charge from empty, simulated on an equivalent circuit.
//!
//! In: a cell, its charge current and capacity. Out: the time until the charger ends it, or the charge taken in some
//! time, as terms whose model is the simulation.
//! Not here: the equations (`charging`), what binds the current (`charge`), findings.
//! Valid for one temperature and one set current: a charger that folds back, or a source that gives less, is slower.

use super::circuit::{Fit, fitted};
use crate::Case;
use crate::assumed;
use crate::chemistry::{Chemistry, taken};
use crate::grounds::Grounds;
use crate::inputs::{hour, unit};
use crate::network::Joined;
use charging::{Cell, Ended, Form, PUBLISHED, Pair, PublishedOcv, Question, Stage, State, Until};
use quantity::{Dimension, Model, Sheet, Term};
use record::{Item, ReadingSubject};
use std::sync::Arc;

/// What is asked of a simulated charge.
enum Asked<'s> {
    /// Seconds until the current has fallen to where chargers end.
    Full,
    /// Charge that came in within a time.
    Within(Term<'s>),
}

/// Returns the time of a charge from empty until the charger ends it; `None` where no open-circuit voltage of its
/// chemistry is published.
pub(super) fn full<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    held: Term<'s>,
    current: Term<'s>,
    grounds: &mut Grounds,
) -> Option<Term<'s>> {
    run(sheet, case, cell, [held, current], &Asked::Full, grounds)
}

/// Returns the charge that an empty cell takes of its capacity, at a current, within a time; `None` as [`full`].
pub(crate) fn taken_within<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    [held, current, time]: [Term<'s>; 3],
    grounds: &mut Grounds,
) -> Option<Term<'s>> {
    let asked = Asked::Within(time);
    run(sheet, case, cell, [held, current], &asked, grounds)
}

fn run<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    charge: [Term<'s>; 2],
    asked: &Asked<'s>,
    grounds: &mut Grounds,
) -> Option<Term<'s>> {
    let fit = fitted(case, cell);
    let table = fit
        .as_ref()
        .map_or_else(|| published(cell), |fit| Some(fit.table))?;
    let ocv = table.ocv().ok()?;
    let held = fit.as_ref().and_then(|fit| fit.held_v);
    let ocv = match limit(cell).or(held) {
        Some(limit) => {
            let top = ocv.at(1.0);
            if (limit - top).abs() > 1e-9 {
                grounds.assume(format!(
                    "the open-circuit voltage of {} is stretched from {top} V to {limit} V; no cell with that limit is \
                     published",
                    table.name
                ));
            }
            ocv.stretched_to(limit).ok()?
        }
        None => ocv,
    };
    match &fit {
        Some(fit) => grounds.assume(format!(
            "open-circuit voltage of {} as of {}: {}, which the log {} bears out best ({} among the published ones of its \
             kind)",
            cell.name,
            table.name,
            table.cell,
            fit.logged.log.id,
            crate::words::percent(fit.weight)
        )),
        None => grounds.assume(format!(
            "open-circuit voltage of {} as of {}: {}; the charger charges to its end and ends by current",
            cell.name, table.name, table.cell
        )),
    }
    grounds.source(table.source);
    let mut arguments = circuit(sheet, case, cell, fit.as_ref(), charge, grounds);
    let results = match asked {
        Asked::Full => [("full", Dimension::TIME)],
        Asked::Within(time) => {
            arguments.push(*time);
            [("taken", Dimension::CHARGE)]
        }
    };
    let model = Simulated {
        cell: Cell::new(1.0, ocv.clone(), 1.0, &[]).ok()?,
        volt: ocv.at(1.0),
        words: table.name,
        ampere_hour: unit("Ah").factor(),
    };
    let term = sheet.model(&arguments, &results, Arc::new(model)).pop()?;
    sheet.value(term).is_ok_and(f64::is_finite).then_some(term)
}

/// Capacity, current, current at the end, series resistance, resistance and time of the slow pair.
fn circuit<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    fit: Option<&Fit<'_>>,
    [held, current]: [Term<'s>; 2],
    grounds: &mut Grounds,
) -> Vec<Term<'s>> {
    let per_hour = held / sheet.input(hour());
    let name = &cell.name;
    let log = "log a full charge to replace it";
    let end = grounds.assumed(
        sheet,
        &format!("current at which the charge of {name} ends"),
        &assumed::CHARGE_END,
        log,
    );
    grounds.source(assumed::CHARGE_END.source());
    let end = (end * per_hour).named(
        &format!("current at the end of a charge of {name}"),
        &unit("mA"),
    );
    if let Some(fit) = fit {
        let [ohm, slow, time] = fit.inputs(sheet, cell, grounds);
        let end = fit.end(sheet, cell, grounds).unwrap_or(end);
        return vec![held, current, end, ohm, slow, time];
    }
    let slow = grounds.assumed(
        sheet,
        &format!("slow voltage drop in {name}"),
        &assumed::CELL_SLOW_DROP,
        log,
    );
    let time = grounds.assumed(
        sheet,
        &format!("time of the slow voltage drop in {name}"),
        &assumed::CELL_SLOW_TIME,
        log,
    );
    let joined = Joined::of(case, cell);
    let readings = case
        .lookup()
        .readings_of(&cell.id, ReadingSubject::Resistance);
    let single = joined.series * joined.parallel == 1;
    let ohm = match readings.first().filter(|_| single) {
        Some(reading) => grounds.reading(sheet, case, &format!("resistance of {name}"), reading),
        None => {
            let drop = grounds.assumed(
                sheet,
                &format!("voltage drop at once in {name}"),
                &assumed::CELL_DROP,
                &format!("measure the resistance of {name} to replace it"),
            );
            (drop / per_hour).named(&format!("resistance of {name}"), &unit("mΩ"))
        }
    };
    for row in [
        &assumed::CELL_DROP,
        &assumed::CELL_SLOW_DROP,
        &assumed::CELL_SLOW_TIME,
    ] {
        grounds.source(row.source());
    }
    let slow = (slow / per_hour).named(&format!("slow resistance of {name}"), &unit("mΩ"));
    vec![held, current, end, ohm, slow, time]
}

/// Returns the published open-circuit voltage that is nearest to a cell's chemistry and form.
fn published(cell: &Item) -> Option<&'static PublishedOcv> {
    let named = |name: &str| PUBLISHED.iter().find(|table| table.name == name);
    let round = cell.cell.as_ref().is_some_and(|c| c.form == "cylindrical");
    match taken(cell).chemistry {
        Chemistry::IronPhosphate => PUBLISHED.iter().find(|table| table.chemistry == "lfp"),
        // Round cells are of nickel mostly, flat ones of cobalt.
        Chemistry::LithiumIon if round => named("Chen2020"),
        Chemistry::LithiumIon => PUBLISHED
            .iter()
            .find(|table| table.chemistry == "lco" && table.form == Some(Form::Pouch)),
        Chemistry::SiliconAnode => named("Chen2020"),
        _ => None,
    }
}

/// Returns the voltage to which one cell is charged, where it is stated, V.
pub(super) fn limit(cell: &Item) -> Option<f64> {
    let facts = cell.cell.as_ref()?;
    let stated = facts.limit_voltage.as_ref()?;
    let in_row = match facts.form.as_str() {
        "pack" => f64::from(facts.series.unwrap_or(1).max(1)),
        _ => 1.0,
    };
    (stated.dimension() == Dimension::VOLTAGE).then(|| stated.si() / in_row)
}

/// A charge with constant current, then constant voltage, of a cell with one pair.
struct Simulated {
    /// The cell whose table is used.
    cell: Cell,
    /// Volts to which it is charged.
    volt: f64,
    /// Name of the table.
    words: &'static str,
    /// An ampere-hour, C.
    ampere_hour: f64,
}

impl Model for Simulated {
    fn run(&self, arguments: &[f64], results: &mut [f64]) {
        results[0] = self.answer(arguments).unwrap_or(f64::NAN);
    }

    fn identity(&self) -> Option<Vec<u64>> {
        let name = "simulated charge, ".bytes().chain(self.words.bytes());
        let numbers = [self.volt.to_bits(), self.ampere_hour.to_bits()];
        Some(name.map(u64::from).chain(numbers).collect())
    }

    fn working(&self, _: usize, arguments: &[f64], _: &[f64]) -> Vec<String> {
        let [_, current, end, ..] = arguments else {
            return Vec::new();
        };
        vec![format!(
            "simulated: {current:.4} A until {} V, then that voltage until {end:.4} A; open-circuit voltage of {}",
            self.volt, self.words
        )]
    }
}

impl Simulated {
    fn answer(&self, arguments: &[f64]) -> Option<f64> {
        let (circuit, time) = match arguments {
            [circuit @ .., time] if arguments.len() == CIRCUIT + 1 => (circuit, Some(*time)),
            circuit => (circuit, None),
        };
        let [held, current, end, ohm, slow, lag] = circuit.try_into().ok()?;
        let pair = Pair {
            ohm: slow,
            farad: lag / slow,
        };
        let cell = self.cell.with(held / self.ampere_hour, ohm, &[pair]).ok()?;
        // A current that is below the end already would end at once.
        let end = f64::min(end, current / 2.0);
        let stage = Stage::current_voltage(current, self.volt, end).ok()?;
        let seconds = time.unwrap_or_default();
        let asked = [Question::ChargeAfter(seconds)];
        let until = Until {
            seconds: time,
            ..Until::default()
        };
        let outcome = charging::ask(&cell, State::rested(0.0), &[stage], until, &asked).ok()?;
        match time {
            Some(_) => outcome.answers[0].map(|taken| taken * self.ampere_hour),
            None => (outcome.finish.ended == Ended::Terminated).then_some(outcome.finish.time_s),
        }
    }
}

/// Arguments of the circuit.
const CIRCUIT: usize = 6;
