//! What the maker offers for repair, or keeps from it, each with its source and day.

use crate::distinct::Distinct;
use crate::words::{capital, listed, the};
use crate::{Case, Cell, Column, Detail, Finding, Method, Table};
use jiff::ToSpan as _;
use jiff::civil::Date;
use record::{Place, RepairAudience, RepairFact, RepairFactKind, YesNo};

/// Returns the latest fact of a kind about a part, or about the product where that is asked; one about the product
/// holds for a part of which there is none.
pub(super) fn latest<'d>(
    case: &Case<'d>,
    what: RepairFactKind,
    of: Option<&str>,
) -> Option<(&'d RepairFact, Place)> {
    let dossier = case.dossier;
    let about = |of: Option<&str>| {
        let facts = dossier.repair_facts.iter().enumerate();
        facts
            .filter(|(_, fact)| fact.what == what && fact.of.as_deref() == of)
            .max_by_key(|(_, fact)| fact.date)
    };
    let (at, fact) = about(of).or_else(|| about(None))?;
    Some((fact, Place::repair_fact(dossier, at)?))
}

/// Returns the whole years from one day to another.
pub(super) fn years(from: Date, to: Date) -> usize {
    let after = |n: usize| from.checked_add(i64::try_from(n).unwrap_or(0).years());
    (1..=99)
        .take_while(|&n| after(n).is_ok_and(|day| day <= to))
        .count()
}

/// Tells the facts; `None` where there is none.
pub(super) fn told(case: &Case<'_>) -> Option<Finding> {
    let dossier = case.dossier;
    if dossier.repair_facts.is_empty() {
        return None;
    }
    let title = "What the maker offers for repair";
    let mut finding = Finding::new(Method::Repair, word!("offers"), title);
    let mut rows = Vec::new();
    for (at, fact) in dossier.repair_facts.iter().enumerate() {
        let part = fact.of.as_deref().and_then(|id| dossier.item(id));
        let part = part.map_or(Cell::words("product"), Cell::item);
        rows.push(vec![
            Cell::words(kind(fact.what)),
            part,
            Cell::words(says(fact)),
            Cell::words(&fact.source),
            Cell::date(fact.date),
        ]);
        finding.add_evidence(Place::repair_fact(dossier, at));
    }
    let told = dossier.repair_facts.iter().map(|fact| in_words(case, fact));
    let told: Distinct = told.collect();
    finding.sentence = format!("{}.", capital(&listed(told.into_vec())));
    finding.details.push(Detail::Table(Table {
        caption: "What is offered for repair".into(),
        columns: vec![
            Column::words("What"),
            Column::place("Of"),
            Column::words("Says"),
            Column::words("Source"),
            Column::date("Day"),
        ],
        rows,
    }));
    Some(finding)
}

/// Says one fact as a clause.
fn in_words(case: &Case<'_>, fact: &RepairFact) -> String {
    let part = fact.of.as_deref().and_then(|id| case.item(id)).map(the);
    let of = part
        .as_ref()
        .map_or(String::new(), |part| format!(" of {part}"));
    let until = fact.until.map_or(String::new(), |day| {
        format!(" until {}", day.strftime("%-d %B %Y"))
    });
    match (fact.what, fact.is) {
        (_, Some(YesNo::Unknown)) => format!(
            "it is not known of {}: {}",
            part.unwrap_or_else(|| "the product".into()),
            kind(fact.what)
        ),
        (RepairFactKind::Spare, Some(YesNo::No)) => format!("no spare{of} is offered"),
        (RepairFactKind::Spare, _) => format!("a spare{of} is offered{until}"),
        (RepairFactKind::Manual, Some(YesNo::Yes)) => "there is a public manual".to_string(),
        (RepairFactKind::Manual, _) => "there is no public manual".to_string(),
        (RepairFactKind::Software, _) => format!("software updates are promised{until}"),
        (RepairFactKind::SerialLock, Some(YesNo::Yes)) => {
            format!("a replacement{of} works only where the maker lets it")
        }
        (RepairFactKind::SerialLock, _) => format!("a replacement{of} works"),
        (RepairFactKind::SparePrice, _) => {
            let price = fact
                .price
                .as_ref()
                .map_or(String::new(), ToString::to_string);
            format!("a spare{of} costs {price}")
        }
    }
}

const fn kind(what: RepairFactKind) -> &'static str {
    match what {
        RepairFactKind::Spare => "spare part",
        RepairFactKind::Manual => "public manual",
        RepairFactKind::Software => "software updates",
        RepairFactKind::SerialLock => "works only where the maker lets it",
        RepairFactKind::SparePrice => "price of the spare part",
    }
}

fn says(fact: &RepairFact) -> String {
    let mut said = Vec::new();
    said.extend(fact.is.map(|is| match is {
        YesNo::Yes => "yes".to_string(),
        YesNo::No => "no".to_string(),
        YesNo::Unknown => "not known".to_string(),
    }));
    said.extend(fact.until.map(|day| format!("until {day}")));
    said.extend(fact.price.as_ref().map(ToString::to_string));
    said.extend(fact.to.map(|to| match to {
        RepairAudience::Everyone => "to everybody".to_string(),
        RepairAudience::Repairers => "to professional repairers".to_string(),
        RepairAudience::Authorised => "to those the maker chose".to_string(),
        RepairAudience::Unknown => "to whom is not known".to_string(),
    }));
    said.join(", ")
}
