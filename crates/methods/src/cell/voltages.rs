//! Whether the printed voltages are those of the printed chemistry, and go together.
//!
//! In: the facts of a cell and what it is taken to be. Out: sentences in its finding; whether all fits.
//! Source: see `label` for pairs of lithium ion; else the table of assumed figures.

use super::label::{PairFit, pair};
use crate::assumed::Row;
use crate::chemistry::{self, Assigned, Chemistry};
use crate::{Finding, Missing};
use quantity::{Dimension, Stated};
use record::CellFacts;

const PAIR_SOURCE: &str = "Nominal and limit voltage pairs: cell data sheets (3.6/4.2 V, 3.7/4.2 V, \
    3.2/3.65 V); others usual practice, from memory.";

fn volts(stated: Option<&Stated>) -> Option<&Stated> {
    stated.filter(|s| s.dimension() == Dimension::VOLTAGE && s.si() > 0.0 && s.si().is_finite())
}

/// Says what the voltages tell; `false` if something does not fit.
pub(super) fn voltages(facts: &CellFacts, taken: Assigned, finding: &mut Finding) -> bool {
    let nominal = volts(facts.nominal_voltage.as_ref());
    let limit = volts(facts.limit_voltage.as_ref());
    if taken.by_voltage {
        finding.assume(format!(
            "The chemistry is taken to be {} because of the voltages. State 'chemistry' to change this.",
            taken.chemistry.words()
        ));
    } else if taken.chemistry == Chemistry::Unknown {
        finding.assume(
            "The chemistry is not known; the cell is handled as if it were lithium. State 'chemistry' to change \
             this.",
        );
    }
    if facts.form == "pack" && facts.series.is_none() {
        finding.unused.push(
            "How many cells are in series is not known, so the voltages are not checked.".into(),
        );
        return true;
    }
    let series = f64::from(facts.series.unwrap_or(1).max(1));
    let mut fits = true;
    for (stated, row, what) in [
        (
            nominal,
            taken.chemistry.nominal_voltage(),
            "nominal voltage",
        ),
        (limit, taken.chemistry.limit_voltage(), "limit of charge"),
    ] {
        let (Some(stated), Some(row)) = (stated, row) else {
            continue;
        };
        if !chemistry::holds(row, stated.si() / series) {
            finding
                .sentence
                .push_str(&not_its_own(taken.chemistry, stated, row, what, series));
            fits = false;
        }
    }
    if !fits {
        finding.missing.push(Missing::at_any_time(
            "read voltage and chemistry again, off the cell and the data sheet of its maker",
        ));
        if chemistry::rechargeable(facts, taken.chemistry) == Some(true) {
            finding.caution(
                "Chemistry and voltage contradict each other: do not charge it until it is settled which is \
                 right; a charge to the wrong limit may make it burn.",
            );
        }
        return false;
    }
    pairs(nominal, limit, taken.chemistry, series, finding);
    true
}

fn not_its_own(
    chemistry: Chemistry,
    stated: &Stated,
    row: &Row,
    what: &str,
    series: f64,
) -> String {
    let (low, high) = row.bounds();
    let cells = if series > 1.0 {
        format!(" for each of {series} cells in series")
    } else {
        String::new()
    };
    format!(
        " {stated} is not the {what} of {} ({}), which is {low} V to {high} V{cells}: voltage or chemistry is \
         misprinted or misread.",
        chemistry.symbol(),
        chemistry.words(),
    )
}

/// The pair of a single lithium-ion cell.
fn pairs(
    nominal: Option<&Stated>,
    limit: Option<&Stated>,
    chemistry: Chemistry,
    series: f64,
    finding: &mut Finding,
) {
    if !matches!(chemistry, Chemistry::LithiumIon | Chemistry::IronPhosphate) || series > 1.0 {
        return;
    }
    let (Some(nominal), Some(limit)) = (nominal, limit) else {
        finding.unused.push(
            "Nominal and limit voltage are not both known, so the pair is not checked.".into(),
        );
        return;
    };
    finding.cite(PAIR_SOURCE);
    finding.sentence.push_str(&match pair(nominal.si(), limit.si()) {
        PairFit::Usual(p) => {
            format!(" {nominal} nominal with a limit of {limit} is usual for {}.", p.where_seen)
        }
        PairFit::OtherLimit(p) => format!(
            " {nominal} nominal usually goes with a limit of {} V, not {limit}: one of the two may be misread.",
            p.limit
        ),
        PairFit::Unknown => {
            format!(" {nominal} nominal with a limit of {limit} is not among the usual pairs.")
        }
    });
}
