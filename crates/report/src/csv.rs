//! The parts list as comma-separated text.
//!
//! In: findings. Out: text after RFC 4180 (comma, CRLF, quotes where needed), UTF-8, one heading
//! row. Not here: choosing which parts there are (`methods`).

use catalogue::escaped_formula;
use methods::{Detail, Findings, PartRow};
use record::Place;

/// Headings, in the order of [`fields`].
pub(crate) const PART_HEADINGS: [&str; 14] = [
    "item",
    "name",
    "kind",
    "on",
    "count",
    "role",
    "marking",
    "package",
    "identity",
    "maker",
    "certainty",
    "probability",
    "ratings",
    "evidence",
];

/// Returns the parts list of the findings as CSV.
///
/// A field that a spreadsheet program would take for a formula gets an apostrophe in front.
pub fn parts_csv(findings: &Findings) -> String {
    let mut writer = ::csv::WriterBuilder::new()
        .terminator(::csv::Terminator::CRLF)
        .from_writer(Vec::new());
    // Writing to memory cannot fail, and every row has as many fields as the heading.
    let _ = writer.write_record(PART_HEADINGS);
    for row in part_rows(findings) {
        let _ = writer.write_record(
            fields(row)
                .iter()
                .map(|field| escaped_formula(field).into_owned()),
        );
    }
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}

/// Returns the rows of every parts list in the findings.
pub(crate) fn part_rows(findings: &Findings) -> impl Iterator<Item = &PartRow> {
    findings
        .findings
        .iter()
        .flat_map(|f| &f.details)
        .flat_map(|detail| match detail {
            Detail::Parts { rows } => rows.as_slice(),
            Detail::Masses { .. }
            | Detail::Power(_)
            | Detail::Steps { .. }
            | Detail::Marks { .. }
            | Detail::Table { .. } => &[],
        })
}

/// Returns the fields of a part.
pub(crate) fn fields(row: &PartRow) -> [String; 14] {
    [
        row.item.clone(),
        row.name.clone(),
        row.kind.clone(),
        row.on.clone(),
        row.count.to_string(),
        row.role.clone(),
        row.marking.clone(),
        row.package.clone(),
        row.identity.clone(),
        row.maker.clone(),
        row.certainty.clone(),
        row.probability
            .map_or_else(String::new, |p| format!("{p:.3}")),
        row.ratings.clone(),
        places(&row.evidence),
    ]
}

/// Writes places as evidence is written in the record.
fn places(all: &[Place]) -> String {
    let all: Vec<String> = all.iter().map(ToString::to_string).collect();
    all.join("; ")
}
