//! The sheet of findings: every answer of every method, one row each.

use super::sheet::{Cell, Sheet};
use crate::verdict_words;
use methods::{Finding, Findings, METHODS};

const COLUMNS: [(&str, f64); 11] = [
    ("Method", 12.0),
    ("Question of the method", 30.0),
    ("Finding", 24.0),
    ("Heading", 36.0),
    ("About", 18.0),
    ("Verdict", 15.0),
    ("Probability that it is true", 12.0),
    ("Sentence", 70.0),
    ("Figures", 40.0),
    ("What to measure", 44.0),
    ("Could not be used", 40.0),
];

/// Makes the sheet, in the order of the methods.
pub(super) fn findings(findings: &Findings) -> Sheet {
    let rows = METHODS
        .iter()
        .flat_map(|entry| {
            let own = findings.findings.iter();
            own.filter(|f| f.method() == entry.method)
        })
        .map(row)
        .collect();
    Sheet::new("Findings", &COLUMNS, rows)
}

fn row(finding: &Finding) -> Vec<Cell> {
    let entry = finding.method().entry();
    let figures: Vec<String> = finding
        .figures
        .iter()
        .map(|f| format!("{}: {}", f.name, f.text))
        .collect();
    let missing: Vec<&str> = finding.missing.iter().map(|m| m.measure.as_str()).collect();
    vec![
        Cell::text(entry.words),
        Cell::text(entry.question),
        Cell::text(finding.id.to_string()),
        Cell::text(&finding.title),
        Cell::optional(finding.about.as_ref().map(ToString::to_string).as_deref()),
        Cell::optional(finding.verdict.map(verdict_words)),
        finding
            .conformance
            .filter(|p| p.is_finite())
            .map_or(Cell::Empty, Cell::Percent),
        Cell::text(&finding.sentence),
        Cell::text(figures.join("\n")),
        Cell::text(missing.join("\n")),
        Cell::text(finding.unused.join("\n")),
    ]
}
