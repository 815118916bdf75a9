//! The sheet of claims: the maker's sentence beside the verdict.

use super::sheet::{Cell, Sheet};
use super::tables::decimals_as_written;
use crate::verdict_words;
use crate::words::Words as _;
use methods::{Finding, Findings, Method};
use record::{Claim, Dossier};
use std::collections::HashMap;

const COLUMNS: [(&str, f64); 14] = [
    ("Claim", 18.0),
    ("Sentence as printed", 40.0),
    ("Printed where", 20.0),
    ("Kind", 16.0),
    ("About", 22.0),
    ("Figure as printed", 18.0),
    ("Value", 10.0),
    ("Unit of value", 8.0),
    ("Tolerance granted", 12.0),
    ("Verdict", 15.0),
    ("Probability that it is true", 12.0),
    ("Finding", 60.0),
    ("What to measure", 44.0),
    ("Evidence", 30.0),
];

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
        .map(|claim| row(dossier, claim, settled.get(claim.id.as_str()).copied()))
        .collect();
    Sheet::new("Claims", &COLUMNS, rows)
}

fn row(dossier: &Dossier, claim: &Claim, finding: Option<&Finding>) -> Vec<Cell> {
    let says = &claim.says;
    let about = [
        says.item
            .as_deref()
            .map(|id| dossier.item(id).map_or(id, |i| i.name.as_str())),
        says.dimension.as_deref(),
        says.mode.as_deref(),
    ];
    let about: Vec<&str> = about.into_iter().flatten().collect();
    let printed = claim
        .value
        .as_ref()
        .map(|v| v.text.as_str())
        .or(claim.rating.as_ref().map(|r| r.text.as_str()))
        .or(claim.names.as_deref());
    let (value, unit) = claim
        .value
        .as_ref()
        .map_or((Cell::Empty, Cell::Empty), |v| {
            (
                Cell::number(v.value, decimals_as_written(v)),
                Cell::text(v.unit.symbol()),
            )
        });
    let missing = finding.map(|f| {
        f.missing
            .iter()
            .map(|m| m.measure.as_str())
            .collect::<Vec<_>>()
            .join("\n")
    });
    vec![
        Cell::text(&claim.id),
        Cell::text(&claim.text),
        Cell::text(&claim.printed),
        Cell::text(claim.kind.words()),
        Cell::text(about.join(", ")),
        Cell::optional(printed),
        value,
        unit,
        Cell::optional(claim.tolerance.as_ref().map(|t| t.text.as_str())),
        Cell::optional(finding.and_then(|f| f.verdict).map(verdict_words)),
        finding
            .and_then(|f| f.conformance)
            .filter(|p| p.is_finite())
            .map_or(Cell::Empty, Cell::Percent),
        Cell::optional(finding.map(|f| f.sentence.as_str())),
        Cell::optional(missing.as_deref()),
        Cell::text(
            claim
                .evidence
                .iter()
                .map(|e| e.0.as_str())
                .collect::<Vec<_>>()
                .join("; "),
        ),
    ]
}
