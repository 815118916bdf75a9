//! How fast a cell can be charged, as a finding.
//!
//! In: a cell of a case. Out: its least and its likely charging time. Not here: how they follow (`energy`).

use crate::cells::care;
use crate::energy::charging_time;
use crate::ledger::Ledger;
use crate::{Case, Finding, Method, Missing, Verdict};
use quantity::Sheet;
use record::{Item, Place};

/// Answers how fast a cell can be charged at most.
pub(crate) fn examine(case: &Case<'_>, cell: &Item) -> Option<Finding> {
    if !case.network().is_fed(cell) {
        return None;
    }
    let sheet = Sheet::new();
    let mut ledger = Ledger::default();
    let mut finding = Finding::new(
        Method::Power,
        word!("charge"),
        format!("How fast {} can be charged", cell.name),
    )
    .about(Place::item(&cell.id));
    let Some((least, likely, reach)) = charging_time(&sheet, case, cell, &mut ledger) else {
        finding.verdict = Some(Verdict::NeedsEvidence);
        finding.sentence = format!(
            "{}: no limit of the charge current or no capacity is stated.",
            cell.name
        );
        let log = || Missing {
            measure: format!(
                "read the capacity printed on {} and log a charge from empty",
                cell.name
            ),
            resolution: Some("1 % of the current, 10 s".to_string()),
            before_step: None,
            too_late: false,
        };
        let other = care::instead(case, Some(&cell.id), care::Current::Charges);
        finding.missing.push(other.unwrap_or_else(log));
        ledger.close(&mut finding);
        return Some(finding);
    };
    finding.add_result(
        word!("charge-current"),
        "charge current",
        sheet.figure(reach.current),
    );
    let times = [sheet.figure(least), sheet.figure(likely)];
    if let [Ok(least), Ok(likely)] = &times {
        finding.sentence = format!(
            "{} takes at least {} to charge ({}; the {} binds); with the constant-voltage tail about {}.",
            cell.name, least.text, reach.path, reach.binds, likely.text
        );
    }
    let [least, likely] = times;
    finding.add_result(word!("least-charging-time"), "least charging time", least);
    finding.add_result(
        word!("likely-charging-time"),
        "likely charging time",
        likely,
    );
    if finding.sentence.is_empty() {
        finding.sentence = format!("{}: the charging time could not be computed.", cell.name);
    }
    ledger.caution(
        "Charge lithium cells only within their rated current and temperature, watched, on a surface that does \
         not burn; local rules and licensed practice come first.",
    );
    ledger.close(&mut finding);
    Some(finding)
}
