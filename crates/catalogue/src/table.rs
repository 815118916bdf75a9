//! A table of text cells under one heading row, from the bytes of a CSV, TSV or XLSX file.
//!
//! In: bytes and the name they are reported under. Out: a [`Table`]; a cell that could not be read
//! stays in it as what is wrong with it, so that one bad cell costs one row at most.
//! Not here: what the columns mean.

mod decode;
mod row_reader;
mod split;
mod unpacked_size;
mod workbook;

pub use row_reader::{RowReader, TextRow};

use crate::Remark;
use crate::table_cell::Fault;
use decode::Author;
use split::Split;

/// A table as it stands in a file.
#[derive(Debug, Clone, Default)]
pub struct Table {
    pub(crate) file: String,
    pub(crate) heading: Vec<String>,
    pub(crate) heading_line: u64,
    pub(crate) rows: Vec<TableRow>,
    pub(crate) remarks: Vec<Remark>,
}

/// One row of a table.
#[derive(Debug, Clone)]
pub(crate) struct TableRow {
    pub(crate) line: u64,
    pub(crate) cells: Vec<Result<String, Fault>>,
}

impl TableRow {
    /// Takes away what guards cells from being run as formulas.
    fn take_guards(&mut self) {
        for cell in self.cells.iter_mut().flatten() {
            *cell = crate::unescaped_formula(cell).to_string();
        }
    }

    fn is_blank(&self) -> bool {
        self.cells
            .iter()
            .all(|cell| cell.as_ref().is_ok_and(|text| text.trim().is_empty()))
    }
}

impl Table {
    /// Reads CSV or TSV in UTF-8 or marked UTF-16. The delimiter (comma, semicolon or tab) is the one that
    /// stands most often in the first line.
    ///
    /// # Errors
    /// The bytes are not text, or hold no heading row.
    pub fn from_text(bytes: &[u8], file: &str) -> Result<Self, Remark> {
        Self::text(bytes, file, Author::Own)
    }

    fn text(bytes: &[u8], file: &str, author: Author) -> Result<Self, Remark> {
        let (text, mut remarks) = decode::text(bytes, file, author)?;
        let mut rows = Vec::new();
        for split in split::Rows::new(text) {
            match split {
                Split::Row(mut row) => {
                    row.take_guards();
                    rows.push(row);
                }
                Split::Unclosed(line) => remarks.push(unclosed(file, line)),
            }
        }
        Self::from_rows(file, rows, remarks)
    }

    /// Reads one sheet of an XLSX workbook: the named one, or the first that holds anything.
    ///
    /// # Errors
    /// The bytes are not such a workbook, there is no such sheet, or it is empty.
    pub fn from_workbook(bytes: &[u8], file: &str, sheet: Option<&str>) -> Result<Self, Remark> {
        let rows = workbook::rows(bytes, sheet)
            .map_err(|fault| Remark::file(file, fault.why, fault.remedy))?;
        Self::from_rows(file, rows, Vec::new())
    }

    /// Reads CSV, TSV or XLSX as somebody's program wrote it, told apart by the first bytes; text also in
    /// Windows-1252 and in UTF-16 without a mark.
    ///
    /// # Errors
    /// As for [`Table::from_text`] and [`Table::from_workbook`].
    pub fn from_bytes(bytes: &[u8], file: &str) -> Result<Self, Remark> {
        if bytes.starts_with(b"PK\x03\x04") {
            Self::from_workbook(bytes, file, None)
        } else {
            Self::text(bytes, file, Author::Foreign)
        }
    }

    fn from_rows(file: &str, rows: Vec<TableRow>, remarks: Vec<Remark>) -> Result<Self, Remark> {
        let mut rows = rows.into_iter().filter(|row| !row.is_blank());
        let Some(first) = rows.next() else {
            return Err(remarks.into_iter().next().map_or_else(
                || no_row(file),
                |remark| Remark {
                    loss: crate::Loss::File,
                    ..remark
                },
            ));
        };
        Ok(Self {
            file: file.to_string(),
            heading_line: first.line,
            heading: heading(first),
            rows: rows.collect(),
            remarks,
        })
    }

    /// Returns the headings, tidied.
    pub fn heading(&self) -> &[String] {
        &self.heading
    }

    /// Returns the number of rows below the heading that hold anything.
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// Returns the rows below the heading: the line of each, and its cells; of a cell that could not be read, why.
    pub fn rows(&self) -> impl Iterator<Item = (u64, Vec<Result<&str, &str>>)> {
        self.rows.iter().map(|row| {
            let cells = row.cells.iter().map(|cell| match cell {
                Ok(text) => Ok(text.trim()),
                Err(fault) => Err(fault.why.as_str()),
            });
            (row.line, cells.collect())
        })
    }

    /// Tells whether there is no row below the heading.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }
}

/// Returns the headings of the first row, tidied, without empty ones at the end.
fn heading(first: TableRow) -> Vec<String> {
    let tidied = first.cells.into_iter().map(|cell| {
        cell.map(|text| crate::table_cell::tidy(&text))
            .unwrap_or_default()
    });
    let mut heading: Vec<String> = tidied.collect();
    while heading.last().is_some_and(String::is_empty) {
        heading.pop();
    }
    heading
}

fn no_row(file: &str) -> Remark {
    Remark::file(
        file,
        "the file holds no row",
        "its first row must name the columns",
    )
}

fn unclosed(file: &str, line: u64) -> Remark {
    Remark::row(
        file,
        line,
        "a quotation mark is opened here and not closed",
        "close it, or write a quotation mark inside a quoted cell twice",
    )
}
