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
use record::{BatteryExemption, Item, Place, RepairProduct, SpareClass};

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
    let asked = case.dossier.repair.as_ref();
    let edition = asked.and_then(|r| r.read_batteries.as_deref());
    let rows: Vec<(Rule, &[&Spare<'_>])> = BATTERY
        .iter()
        .map(|rule| (known(*rule, edition), parts.as_slice()))
        .collect();
    finding.sentence = tell(case, BATTERY_LAW, edition, &rows, &mut finding);
    finding.details.extend(each_cell(case, &rows, &cells));
    finding.add_evidence(edition.map(|_| Place::dossier().at("repair.read-batteries")));
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
    let asked = case.dossier.repair.as_ref()?;
    let product = asked.product?;
    let edition = asked.read_phones.as_deref();
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
    rows.iter_mut()
        .for_each(|(rule, _)| *rule = known(*rule, edition));
    let title = format!("What {PHONE_LAW} asks");
    let mut finding = Finding::new(Method::Repair, word!("phone"), title);
    finding.sentence = tell(case, PHONE_LAW, edition, &rows, &mut finding);
    finding.add_evidence(edition.map(|_| Place::dossier().at("repair.read-phones")));
    finding.assume(format!(
        "Spare parts are to be had for {} after the last unit.",
        assumed::SPARE_PHONE_YEARS.text()
    ));
    finding.cite(PHONE_SOURCE);
    Some(finding)
}

/// A rule that the analyst read in its text and found as it is stated here is known by that; one that was read in its
/// text already stays as it is.
fn known(rule: Rule, edition: Option<&str>) -> Rule {
    match (edition, rule.surety) {
        (None, _) | (_, Surety::Read) => rule,
        (Some(_), _) => Rule {
            surety: Surety::ByAnalyst,
            ..rule
        },
    }
}

/// How each criterion stands for each cell; `None` for a single cell. Cells that stand alike share a column.
fn each_cell(
    case: &Case<'_>,
    rules: &[(Rule, &[&Spare<'_>])],
    cells: &[Spare<'_>],
) -> Option<Detail> {
    if cells.len() < 2 {
        return None;
    }
    let mut columns: Vec<(Vec<&Item>, Vec<Standing>)> = Vec::new();
    for cell in cells {
        let stands: Vec<Standing> = rules
            .iter()
            .map(|(rule, _)| Standing::of(shown(case, rule.asks, &[cell]).is, rule.surety))
            .collect();
        match columns.iter_mut().find(|(_, other)| *other == stands) {
            Some((items, _)) => items.push(cell.item),
            None => columns.push((vec![cell.item], stands)),
        }
    }
    let names = columns.iter().map(|(items, _)| {
        let names: Vec<&str> = items.iter().map(|item| item.name.as_str()).collect();
        Column::words(names.join(", "))
    });
    let rows = rules.iter().enumerate().map(|(at, (rule, _))| {
        let stands = columns.iter().map(|(_, stands)| stands[at].words());
        std::iter::once(rule.name)
            .chain(stands)
            .map(Cell::words)
            .collect()
    });
    Some(Detail::Table(Table {
        caption: "How each criterion stands for each cell; cells that stand alike share a column"
            .into(),
        rows: rows.collect(),
        columns: std::iter::once(Column::words("Asked"))
            .chain(names)
            .collect(),
    }))
}

/// Adds the table of criteria and returns the sentence on it.
fn tell(
    case: &Case<'_>,
    law: &str,
    edition: Option<&str>,
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
            Cell::words(format!(
                "{}: {}",
                rule.surety.words(),
                match rule.surety {
                    Surety::ByAnalyst => edition.unwrap_or(rule.read_in),
                    _ => rule.read_in,
                }
            )),
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
        0 if rules.iter().any(|(rule, _)| rule.surety.decides()) => {
            "Nothing that was read in the text is settled by the record.".to_string()
        }
        0 => "The rule is known second-hand, so none of this decides whether the product complies."
            .to_string(),
        n if edition.is_some() => format!(
            "{} decided, by the text as the analyst read it.",
            capital(&crate::words::spelt_of(n, "of these is", "of these are"))
        ),
        n => format!(
            "{} read in the text; the others are known second-hand and decide nothing.",
            capital(&crate::words::spelt_of(n, "of these is", "of these are"))
        ),
    };
    format!(
        "Of {} criteria of {law}, the record {}. {sure}",
        spelt(standings.len()),
        listed(told)
    )
}
