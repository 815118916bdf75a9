//! The sheet of findings: every answer of every method, one row each.

use super::sheet::Sheet;
use methods::{Cell, Column, Finding, Findings, METHODS};

fn columns() -> Vec<(Column, f64)> {
    vec![
        (Column::words("Method"), 12.0),
        (Column::words("Question of the method"), 30.0),
        (Column::words("Finding"), 24.0),
        (Column::words("Heading"), 36.0),
        (Column::place("About"), 18.0),
        (Column::verdict("Verdict"), 15.0),
        (Column::probability("Probability that it is true"), 12.0),
        (Column::words("Sentence"), 70.0),
        (Column::words("Figures"), 40.0),
        (Column::words("What to measure"), 44.0),
        (Column::words("Could not be used"), 40.0),
    ]
}

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
    Sheet::new("Findings", columns(), rows)
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
        Cell::words(entry.words),
        Cell::words(entry.question),
        Cell::words(finding.id.to_string()),
        Cell::words(&finding.title),
        finding.about.as_ref().map_or(Cell::Nothing, |place| {
            Cell::place(place.clone(), place.to_string())
        }),
        finding.verdict.map_or(Cell::Nothing, Cell::verdict),
        finding.conformance.map_or(Cell::Nothing, Cell::probability),
        Cell::words(&finding.sentence),
        Cell::words(figures.join("\n")),
        Cell::words(missing.join("\n")),
        Cell::words(finding.unused.join("\n")),
    ]
}
