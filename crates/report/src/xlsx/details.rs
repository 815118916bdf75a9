//! The sheet of tables: every table that a finding brings, and the numbers of every chart.
//!
//! In: findings. Out: one table below the other, each under its caption and its own headings.
//! Not here: masses, parts and steps, which have sheets of their own.

use super::sheet::Writer;
use methods::{Column, Detail, Findings, Table};
use rust_xlsxwriter::{Worksheet, XlsxError};
use std::borrow::Cow;

/// Wide enough for a name; sentences wrap.
const WIDTH: f64 = 26.0;

/// Writes the sheet.
pub(super) fn write(findings: &Findings, sheet: &mut Worksheet) -> Result<(), XlsxError> {
    sheet.set_name("Tables")?;
    let tables: Vec<(String, Cow<'_, Table>)> = findings
        .findings
        .iter()
        .flat_map(|f| f.details.iter().map(move |d| (f, d)))
        .filter_map(|(f, d)| Some((f.title.clone(), table(d)?)))
        .collect();
    let widest = tables
        .iter()
        .map(|(_, t)| t.columns.len())
        .max()
        .unwrap_or(1);
    for at in (0_u16..).take(widest) {
        sheet.set_column_width(at, WIDTH)?;
    }
    sheet
        .set_landscape()
        .set_paper_size(9)
        .set_print_fit_to_pages(1, 0);
    let mut writer = Writer::new(sheet, vec![WIDTH; widest]);
    for (title, table) in &tables {
        writer.caption(&format!("{title} {}", table.caption))?;
        let columns: Vec<&Column> = table.columns.iter().collect();
        writer.headings(&columns)?;
        for row in &table.rows {
            writer.row(&columns, row, 0)?;
        }
    }
    Ok(())
}

/// Returns the table of a detail that has no sheet of its own.
fn table(detail: &Detail) -> Option<Cow<'_, Table>> {
    match detail {
        Detail::Table(table) | Detail::Rows { table, .. } => Some(Cow::Borrowed(table)),
        Detail::Chart(chart) => Some(Cow::Owned(chart.table())),
        Detail::Masses { .. }
        | Detail::Power(_)
        | Detail::Signals(_)
        | Detail::Parts { .. }
        | Detail::Steps { .. }
        | Detail::Way(_)
        | Detail::Ways { .. }
        | Detail::Marks { .. } => None,
    }
}
