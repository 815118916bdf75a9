//! Rows and cells of an XLSX workbook, read by the `calamine` library.
//!
//! Cells come in a stream, because a sheet whose only cells are its first and its last one would
//! otherwise be laid out as 17 thousand million empty ones.

use super::TableRow;
use crate::table_cell::Fault;
use calamine::{DataRef, Reader, Xlsx};
use std::collections::BTreeMap;
use std::io::Cursor;

/// Most columns that are looked at.
const MOST_COLUMNS: u32 = 1_000;

/// Returns the rows of the named sheet, or of the first that holds anything.
///
/// The library panics on some damaged workbooks (a `dimension` whose end lies before its start,
/// where arithmetic is checked), which is turned into a refusal here; nothing of it outlives the
/// call, so nothing half-done can be seen.
pub(super) fn rows(bytes: &[u8], sheet: Option<&str>) -> Result<Vec<TableRow>, Fault> {
    std::panic::catch_unwind(|| read_rows(bytes, sheet)).unwrap_or_else(|_| {
        Err(Fault::new(
            "the workbook is damaged in a way that its reader cannot handle",
            "open it in a spreadsheet program and save it again, or save it as CSV UTF-8",
        ))
    })
}

fn read_rows(bytes: &[u8], sheet: Option<&str>) -> Result<Vec<TableRow>, Fault> {
    super::unpacked_size::refuse_too_large(bytes)?;
    let mut workbook: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).map_err(|error| {
        Fault::new(
            format!("this is not an XLSX workbook: {error}"),
            "save it as .xlsx or as CSV UTF-8",
        )
    })?;
    let names = workbook.sheet_names();
    let wanted: Vec<&String> = match sheet {
        None => names.iter().collect(),
        Some(name) => names.iter().filter(|n| n.as_str() == name).collect(),
    };
    if let (Some(name), true) = (sheet, wanted.is_empty()) {
        return Err(Fault::new(
            format!("there is no sheet {name:?}"),
            format!("name one of: {}", names.join(", ")),
        ));
    }
    for name in wanted {
        let rows = sheet_rows(&mut workbook, name)?;
        if rows.iter().any(|row| !row.is_blank()) {
            return Ok(rows);
        }
    }
    Err(Fault::new(
        "the workbook holds no row",
        "the first row of its sheet must name the columns",
    ))
}

fn sheet_rows(workbook: &mut Xlsx<Cursor<&[u8]>>, name: &str) -> Result<Vec<TableRow>, Fault> {
    let broken = |error: calamine::XlsxError| {
        Fault::new(
            format!("the sheet {name:?} cannot be read: {error}"),
            "open it in a spreadsheet program and save it again",
        )
    };
    // Charts stand among the sheets and have no cells.
    let mut cells = match workbook.worksheet_cells_reader(name) {
        Err(calamine::XlsxError::NotAWorksheet(_)) => return Ok(Vec::new()),
        other => other.map_err(broken)?,
    };
    let mut rows: BTreeMap<u32, Vec<Result<String, Fault>>> = BTreeMap::new();
    while let Some(cell) = cells.next_cell().map_err(broken)? {
        let (row, column) = cell.get_position();
        if column >= MOST_COLUMNS {
            continue;
        }
        let text = text(cell.get_value());
        if text.as_ref().is_ok_and(String::is_empty) {
            continue;
        }
        let row = rows.entry(row).or_default();
        let column = column as usize;
        if row.len() <= column {
            row.resize(column + 1, Ok(String::new()));
        }
        row[column] = text;
    }
    Ok(rows
        .into_iter()
        .map(|(row, cells)| TableRow {
            line: u64::from(row) + 1,
            cells,
        })
        .collect())
}

/// Returns what a cell says as text. Whole numbers have no decimal point, so that a number typed
/// without quotation mark is the one on the screen.
fn text(value: &DataRef<'_>) -> Result<String, Fault> {
    Ok(match value {
        DataRef::Empty => String::new(),
        DataRef::String(text) => text.clone(),
        DataRef::SharedString(text) => (*text).to_string(),
        DataRef::Int(number) => number.to_string(),
        DataRef::Float(number) => number.to_string(),
        DataRef::Bool(yes) => yes.to_string(),
        DataRef::DateTime(_) | DataRef::DateTimeIso(_) | DataRef::DurationIso(_) => {
            return Err(Fault::new(
                "the spreadsheet program made a date or a duration of this cell",
                "format the column as text and type the cell again",
            ));
        }
        DataRef::Error(error) => {
            return Err(Fault::new(
                format!("the cell shows the error {error}"),
                "mend the formula or type the value",
            ));
        }
    })
}
