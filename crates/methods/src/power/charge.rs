//! How fast a cell can be charged, as a finding.
//!
//! In: a cell of a case. Out: its least charging time and the span with the tail, or a bound.
//! Not here: how they follow (`energy`).

use crate::cells::care;
use crate::energy::{Reach, Worth, charging_time};
use crate::grounds::Grounds;
use crate::words::{the, the_start};
use crate::{Case, Finding, Method, Missing, Verdict};
use quantity::{Figure, Sheet, SheetError};
use record::{Item, Place};

/// Answers how fast a cell can be charged at most.
pub(crate) fn examine(case: &Case<'_>, cell: &Item) -> Option<Finding> {
    if !case.network().is_fed(cell) {
        return None;
    }
    let sheet = Sheet::new();
    let mut grounds = Grounds::default();
    let mut finding = Finding::new(
        Method::Power,
        word!("charge"),
        format!("A charge of {}", the(cell)),
    )
    .about(Place::item(&cell.id));
    let Some(time) = charging_time(&sheet, case, cell, &mut grounds) else {
        finding.verdict = Some(Verdict::NeedsEvidence);
        finding.sentence = format!(
            "How long a charge of {} takes is not known: no limit of its current or no capacity is stated.",
            the(cell)
        );
        let log = || Missing {
            measure: format!(
                "read the capacity printed on {} and log a charge from empty",
                the(cell)
            ),
            resolution: Some("1 % of the current, 10 s".to_string()),
            before_step: None,
            too_late: false,
            settles: None,
        };
        let other = care::instead(case, Some(&cell.id), care::Current::Charges);
        finding.missing.push(other.unwrap_or_else(log));
        grounds.close(&mut finding);
        return Some(finding);
    };
    let current = sheet.figure(time.reach.current);
    let by = by(&time.reach, current.as_ref().ok());
    finding.add_result(word!("charge-current"), "charge current", current);
    let least = sheet.figure(time.least);
    let full = time.full.map(|full| sheet.figure(full));
    finding.sentence = match (&least, &time.span) {
        (Ok(_), _) if let (Some(Ok(full)), true) = (&full, time.logged) => format!(
            "{} took {} to charge from empty until the charger ended it, as logged.",
            the_start(cell),
            full.text
        ),
        (Ok(least), _) if let Some(Ok(full)) = &full => simulated(cell, &by, &least.text, full),
        (Ok(least), Some((short, long))) => {
            let span = (sheet.figure(*short), sheet.figure(*long));
            let sentence = set(cell, &by, least, &span);
            finding.add_result(
                word!("shortest-charging-time"),
                "shortest charging time",
                span.0,
            );
            finding.add_result(
                word!("longest-charging-time"),
                "longest charging time",
                span.1,
            );
            sentence
        }
        (Ok(least), None) => {
            finding.verdict = Some(Verdict::NeedsEvidence);
            finding.missing.push(Missing {
                measure: format!(
                    "measure the charge current of {}, or identify its charger and what sets its current",
                    the(cell)
                ),
                resolution: Some("1 % of the current".to_string()),
                before_step: None,
                too_late: false,
                settles: None,
            });
            format!(
                "How long a charge of {} takes is not known, because no charger that states its limit is recorded; the {} ({}) \
                 bounds it: no charge is shorter than {}. This is a bound, not a value.",
                the(cell),
                time.reach.binds.trim_end_matches(','),
                time.reach.path,
                least.text
            )
        }
        (Err(_), _) => format!("The charging time of {} could not be computed.", the(cell)),
    };
    if let Some(full) = full {
        finding.add_result(word!("full-charging-time"), "charging time", full);
    }
    finding.add_result(word!("least-charging-time"), "least charging time", least);
    grounds.caution(
        "Charge lithium cells only within their rated current and temperature, watched, on a surface that does \
         not burn; local rules and licensed practice come first.",
    );
    grounds.close(&mut finding);
    Some(finding)
}

type Figured = Result<Figure, SheetError>;

/// Says what sets the charge current, and to how much.
fn by(reach: &Reach<'_>, current: Option<&Figure>) -> String {
    let amps = current.map_or_else(String::new, |figure| format!(", {}", figure.text));
    match reach.worth {
        Worth::Measured => format!("at the {}{amps}", reach.binds),
        _ => format!("limited by the {}{amps}", reach.binds),
    }
}

/// The sentence where the charge was simulated.
fn simulated(cell: &Item, by: &str, least: &str, full: &Figure) -> String {
    format!(
        "{} takes {} to charge from empty, {}; full current all the way would take {least}; the slow end is simulated.",
        the_start(cell),
        full.text,
        by
    )
}

/// The sentence where the charge current is measured or set, and the cell is of a kind that cannot be simulated.
fn set(cell: &Item, by: &str, least: &Figure, span: &(Figured, Figured)) -> String {
    let start = format!(
        "{} takes at least {} to charge, {}",
        the_start(cell),
        least.text,
        by
    );
    match span {
        (Ok(_), Ok(long)) => format!(
            "{start}. With the final slow phase, which was not measured, it takes up to {}.",
            long.text
        ),
        _ => format!("{start}."),
    }
}
