//! Criteria of regulations as rows: what the record shows, how it stands, how surely the rule is known.
//!
//! In: the rules of crate `repair`, cells and spare parts with their ways. Out: findings without a verdict.

use super::Spare;
use super::shown::{Standing, shown};
use crate::assumed;
use crate::cells::is_cell;
use crate::precedence::spare_class;
use crate::words::{capital, listed, spelt, the};
use crate::{Cancelled, Case, Cell, Column, Detail, Finding, Method, Table};
use ::repair::Surety;
use ::repair::rules::{
    BATTERY, BATTERY_FROM, BATTERY_LAW, BATTERY_SOURCE, PHONE_BATTERY, PHONE_LAW, PHONE_PARTS,
    PHONE_SOURCE, PHONE_SPARES, Rule,
};
use record::{BatteryExemption, RepairProduct, SpareClass};

/// Tells what the rule on batteries that users replace asks; `None` without a cell.
///
/// # Errors
/// [`Cancelled`] if the case is to be worked on no longer.
pub(super) fn battery(case: &Case<'_>) -> Result<Option<Finding>, Cancelled> {
    let cells = Spare::all(case, is_cell)?;
    if cells.is_empty() || case.dossier.steps.is_empty() {
        return Ok(None);
    }
    let title = format!("Can users replace the battery? What {BATTERY_LAW} asks");
    let mut finding = Finding::new(Method::Repair, word!("battery"), title);
    let parts: Vec<&Spare<'_>> = cells.iter().collect();
    let rows: Vec<(Rule, &[&Spare<'_>])> = BATTERY
        .iter()
        .map(|rule| (*rule, parts.as_slice()))
        .collect();
    finding.sentence = tell(case, BATTERY_LAW, &rows, &mut finding);
    let names: Vec<String> = cells.iter().map(|c| the(c.item)).collect();
    finding.assume(format!(
        "Judged of {}, over the way on record; another way may ask for less.",
        listed(names)
    ));
    let exempt = case.dossier.repair.as_ref().and_then(|r| r.exempt);
    finding.assume(match exempt {
        Some(BatteryExemption::Wet) => {
            "It is recorded as made to be washed, where a professional may replace the battery."
        }
        Some(BatteryExemption::Medical) => {
            "It is recorded as a medical device, where a professional may replace the battery."
        }
        Some(BatteryExemption::Supply) => {
            "It is recorded as needing supply without a break, which is exempt."
        }
        Some(BatteryExemption::None) => "Nothing that would exempt the product is known.",
        Some(BatteryExemption::Unknown) | None => {
            "Whether something exempts the product is not recorded. State `repair.exempt`."
        }
    });
    finding.assume(format!(
        "The rule is to hold from {BATTERY_FROM}; spare batteries are to be had for {} after the last unit.",
        assumed::SPARE_BATTERY_YEARS.text()
    ));
    finding.cite(BATTERY_SOURCE);
    Ok(Some(finding))
}

/// Tells what the rule on phones and tablets asks; `None` for other products.
pub(super) fn phone(case: &Case<'_>, spares: &[Spare<'_>]) -> Option<Finding> {
    let product = case.dossier.repair.as_ref()?.product?;
    let concerned = match product {
        RepairProduct::Smartphone
        | RepairProduct::FoldableSmartphone
        | RepairProduct::MobilePhone
        | RepairProduct::Tablet => true,
        RepairProduct::Other | RepairProduct::Unknown => false,
    };
    if !concerned {
        return None;
    }
    let of = |battery: bool| -> Vec<&Spare<'_>> {
        let is_listed = |s: &&Spare<'_>| match spare_class(s.item) {
            Some(SpareClass::Battery) => battery,
            Some(SpareClass::Other) | None => false,
            Some(_) => !battery,
        };
        spares.iter().filter(is_listed).collect()
    };
    let (batteries, others) = (of(true), of(false));
    let all: Vec<&Spare<'_>> = batteries.iter().chain(&others).copied().collect();
    let mut rows: Vec<(Rule, &[&Spare<'_>])> = Vec::new();
    rows.extend(
        PHONE_BATTERY
            .iter()
            .map(|rule| (*rule, batteries.as_slice())),
    );
    rows.extend(PHONE_PARTS.iter().map(|rule| (*rule, others.as_slice())));
    // The passage that was read is about mobile phones other than smartphones.
    let surety = match product {
        RepairProduct::MobilePhone => PHONE_SPARES.surety,
        _ => Surety::SecondHand,
    };
    rows.push((
        Rule {
            surety,
            ..PHONE_SPARES
        },
        &all,
    ));
    let title = format!("What {PHONE_LAW} asks");
    let mut finding = Finding::new(Method::Repair, word!("phone"), title);
    finding.sentence = tell(case, PHONE_LAW, &rows, &mut finding);
    finding.assume(format!(
        "Spare parts are to be had for {} after the last unit.",
        assumed::SPARE_PHONE_YEARS.text()
    ));
    finding.cite(PHONE_SOURCE);
    Some(finding)
}

/// Adds the table of criteria and returns the sentence on it.
fn tell(
    case: &Case<'_>,
    law: &str,
    rules: &[(Rule, &[&Spare<'_>])],
    finding: &mut Finding,
) -> String {
    let mut rows = Vec::new();
    let mut standings = Vec::new();
    for (rule, parts) in rules {
        let shown = shown(case, rule.asks, parts);
        let standing = Standing::of(shown.is, rule.surety);
        finding.add_evidence(shown.places);
        standings.push(standing);
        rows.push(vec![
            Cell::words(rule.name),
            Cell::words(shown.words),
            Cell::words(standing.words()),
            Cell::words(format!("{}: {}", rule.surety.words(), rule.read_in)),
        ]);
    }
    finding.details.push(Detail::Table(Table {
        caption: format!("What {law} asks, and what the record shows"),
        columns: ["Asked", "On record", "Stands", "How the rule is known"]
            .map(Column::words)
            .into(),
        rows,
    }));
    let count = |wanted: &[Standing]| standings.iter().filter(|s| wanted.contains(s)).count();
    let number = |n: usize| if n == 0 { "none".to_string() } else { spelt(n) };
    let mut told = vec![
        format!(
            "speaks for {}",
            number(count(&[Standing::For, Standing::Met]))
        ),
        format!(
            "against {}",
            number(count(&[Standing::Against, Standing::Missed]))
        ),
    ];
    if count(&[Standing::Open]) > 0 {
        told.push(format!("leaves {} open", spelt(count(&[Standing::Open]))));
    }
    let decided = count(&[Standing::Met, Standing::Missed]);
    let sure = match decided {
        0 => "The rule is known second-hand, so that none of this decides whether the product complies.".to_string(),
        n => format!("{} read in the text; the others are known second-hand and decide nothing.",
            capital(&crate::words::spelt_of(n, "of these is", "of these are"))),
    };
    format!(
        "Of {} criteria of {law}, the record {}. {sure}",
        spelt(standings.len()),
        listed(told)
    )
}
