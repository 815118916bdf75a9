//! The sheet of claims: the maker's sentence beside the verdict.

use super::sheet::Sheet;
use super::value::full;
use crate::words::Words as _;
use methods::{Cell, Column, Finding, Findings, Method};
use quantity::digits;
use record::{Claim, Dossier};
use std::collections::HashMap;

fn columns() -> Vec<(Column, f64)> {
    vec![
        (Column::count("No."), 6.0),
        (Column::words("Sentence as printed"), 40.0),
        (Column::words("Printed where"), 20.0),
        (Column::words("Kind"), 16.0),
        (Column::words("About"), 22.0),
        (Column::words("Figure as printed"), 18.0),
        (Column::quantity("Said"), 14.0),
        (Column::words("Unit said"), 8.0),
        (Column::quantity("Found"), 16.0),
        (Column::words("Unit found"), 8.0),
        (Column::quantity("Found, ± (95 %)"), 14.0),
        (Column::number("Found, full value"), 14.0),
        (Column::quantity("Least that keeps it"), 14.0),
        (Column::quantity("Most that keeps it"), 14.0),
        (Column::words("Found how"), 22.0),
        (Column::quantity("Tolerance stated"), 12.0),
        (Column::verdict("Verdict"), 15.0),
        (Column::words("Why open"), 22.0),
        (Column::probability("Probability that it is true"), 12.0),
        (Column::words("Finding"), 60.0),
        (Column::words("What to measure"), 44.0),
    ]
}

/// Returns the unit of a quantity in words.
fn unit_of(cell: &Cell) -> Cell {
    match cell {
        Cell::Quantity(value) => Cell::words(value.unit.symbol()),
        _ => Cell::Nothing,
    }
}

/// Returns a number without what conversion of units leaves in its last digits (41.13000000000001).
fn plain(number: f64) -> f64 {
    format!("{number:.13e}").parse().unwrap_or(number)
}

/// Makes the sheet.
pub(super) fn claims(dossier: &Dossier, findings: &Findings) -> Sheet {
    let settled = findings.findings.iter();
    let settled: HashMap<&str, &Finding> = settled
        .filter(|f| f.method() == Method::Claims)
        .filter_map(|f| Some((f.claim(dossier)?.id.as_str(), f)))
        .collect();
    let rows = dossier
        .claims
        .iter()
        .enumerate()
        .map(|(at, claim)| {
            row(
                dossier,
                at + 1,
                claim,
                settled.get(claim.id.as_str()).copied(),
            )
        })
        .collect();
    Sheet::new("Claims", columns(), rows)
}

fn row(dossier: &Dossier, number: usize, claim: &Claim, finding: Option<&Finding>) -> Vec<Cell> {
    let says = &claim.says;
    let about = [
        says.item
            .as_deref()
            .map(|id| dossier.item(id).map_or(id, |i| i.name.as_str())),
        says.dimension.as_deref(),
        says.mode.as_deref(),
    ];
    let printed = claim
        .value
        .as_ref()
        .map(|v| v.text.as_str())
        .or(claim.rating.as_ref().map(|r| r.text.as_str()))
        .or(claim.names.as_deref());
    let missing = finding.map(|f| {
        f.missing
            .iter()
            .map(|m| m.measure.as_str())
            .collect::<Vec<_>>()
            .join("\n")
    });
    let judgement = finding.and_then(|f| f.judgement.as_ref());
    let limits = judgement.and_then(|j| j.limits.as_ref());
    let limit = |value: Option<f64>| match (value, limits) {
        (Some(value), Some(limits)) => Cell::quantity(plain(value), limits.unit.clone()),
        _ => Cell::Nothing,
    };
    let (found, half) = match judgement.map(|j| &j.found) {
        // In the unit of the claim, so that both stand beside each other as numbers.
        Some(Cell::Quantity(found)) => {
            let own = limits.and_then(|l| found.to(&l.unit));
            let mut found = own.unwrap_or_else(|| found.clone());
            found.value = plain(found.value);
            let half = found.half().map_or(Cell::Nothing, |half| {
                Cell::quantity(
                    digits::rounded(half, found.decimals()),
                    found.unit.difference(),
                )
            });
            (Cell::Quantity(found.without_interval()), half)
        }
        Some(other) => (other.clone(), Cell::Nothing),
        None => (Cell::Nothing, Cell::Nothing),
    };
    let in_full = match &found {
        Cell::Quantity(found) => full(found.value),
        _ => Cell::Nothing,
    };
    let said = claim.value.as_ref().map_or(Cell::Nothing, Cell::stated);
    vec![
        Cell::count(number),
        Cell::words(&claim.text),
        Cell::words(&claim.printed),
        Cell::words(claim.kind.words()),
        Cell::names(about.into_iter().flatten()),
        Cell::text(printed.as_ref()),
        said.clone(),
        unit_of(&said),
        found.clone(),
        unit_of(&found),
        half,
        in_full,
        limit(limits.and_then(|l| l.low)),
        limit(limits.and_then(|l| l.high)),
        Cell::text(judgement.map(|j| &j.how)),
        claim.tolerance.as_ref().map_or(Cell::Nothing, Cell::stated),
        finding
            .and_then(|f| f.verdict)
            .map_or(Cell::Nothing, Cell::verdict),
        Cell::text(judgement.and_then(|j| j.open).map(|o| o.words()).as_ref()),
        finding
            .and_then(|f| f.conformance)
            .map_or(Cell::Nothing, Cell::probability),
        Cell::text(finding.map(|f| &f.sentence)),
        Cell::text(missing.as_ref()),
    ]
}
