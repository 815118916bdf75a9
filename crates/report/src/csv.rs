//! The parts list as comma-separated text.
//!
//! In: findings. Out: text after RFC 4180 (comma, CRLF, quotes where needed), UTF-8, one heading
//! row; a byte-order mark first. Keys of the record stand in findings.json alone. Not here: choosing which parts there are (`methods`).

use crate::words::Words as _;
use catalogue::escaped_formula;
use methods::{Cell, Column, Detail, Findings, PartRow};

/// One column of the parts list.
pub(crate) struct PartColumn {
    /// Its heading, as it stands in the file.
    pub(crate) column: Column,
    /// What a part has there.
    pub(crate) cell: fn(&PartRow) -> Cell,
}

/// Returns the columns of the parts list.
pub(crate) fn part_columns() -> Vec<PartColumn> {
    let of = |column, cell| PartColumn { column, cell };
    vec![
        of(Column::words("name"), |p| Cell::words(&p.name)),
        of(Column::words("kind"), |p| Cell::words(p.kind.words())),
        of(Column::words("on"), |p| Cell::words(&p.on)),
        of(Column::count("count"), |p| p.count.clone()),
        of(Column::words("role"), |p| Cell::words(&p.role)),
        of(Column::words("marking"), |p| Cell::words(&p.marking)),
        of(Column::words("package"), |p| Cell::words(&p.package)),
        of(Column::words("identity"), |p| Cell::words(&p.identity)),
        of(Column::words("maker"), |p| Cell::words(&p.maker)),
        of(Column::words("certainty"), |p| {
            Cell::text(p.certainty.map(|c| c.words()).as_ref())
        }),
        of(Column::probability("probability"), |p| {
            p.probability.map_or(Cell::Nothing, Cell::probability)
        }),
        of(Column::words("ratings"), |p| p.ratings.clone()),
    ]
}

/// Returns the parts list of the findings as CSV, each cell as every output prints it.
///
/// A field that a spreadsheet program would take for a formula gets an apostrophe in front.
pub fn parts_csv(findings: &Findings) -> String {
    let mut writer = ::csv::WriterBuilder::new()
        .terminator(::csv::Terminator::CRLF)
        .from_writer(Vec::new());
    let columns = part_columns();
    // Writing to memory cannot fail, and every row has as many fields as the heading.
    let _ = writer.write_record(columns.iter().map(|c| c.column.text()));
    for row in part_rows(findings) {
        let printed = columns.iter().map(|c| c.column.print(&(c.cell)(row)));
        let _ = writer.write_record(printed.map(|field| escaped_formula(&field).into_owned()));
    }
    let bytes = writer.into_inner().unwrap_or_default();
    // Spreadsheet programs take a file without this mark for one in the machine's old character set.
    let text = String::from_utf8(bytes).unwrap_or_default();
    format!("\u{feff}{text}")
}

/// Returns the rows of every parts list in the findings.
pub(crate) fn part_rows(findings: &Findings) -> impl Iterator<Item = &PartRow> {
    let details = findings.findings.iter().flat_map(|f| &f.details);
    details.flat_map(|detail| match detail {
        Detail::Parts { rows } => rows.as_slice(),
        _ => &[],
    })
}
