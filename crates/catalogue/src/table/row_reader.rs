//! The rows of somebody's text table one after the other, none of them kept.
//!
//! In: bytes of a CSV or TSV file in any encoding that tables come in. Out: the headings, then each row, or why
//! it cannot be read; the others are read.
//! Not here: workbooks, and tables that are gone through more than once ([`Table`](super::Table)).

use super::decode::{self, Author};
use super::split::{Rows, Split};
use super::{heading, unclosed};
use crate::Remark;

/// Reads a table row by row.
///
/// ```
/// let mut rows = catalogue::RowReader::new(b"marking;pins\nTH3?8;16\n\"4K7\n4K7;\n", "seen.csv")?;
/// assert_eq!(rows.heading(), ["marking", "pins"]);
/// assert_eq!(rows.next().unwrap()?.cells, ["TH3?8", "16"]);
/// assert_eq!(rows.next().unwrap().unwrap_err().line, 3);
/// assert_eq!(rows.next().unwrap()?.line, 4);
/// # Ok::<(), catalogue::Remark>(())
/// ```
pub struct RowReader<'a> {
    file: String,
    heading: Vec<String>,
    rows: Rows<'a>,
    remarks: Vec<Remark>,
}

/// One row of a text table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TextRow {
    /// Its line, counted from 1.
    pub line: u64,
    /// Its cells as they stand there.
    pub cells: Vec<String>,
}

impl<'a> RowReader<'a> {
    /// Reads the headings.
    ///
    /// # Errors
    /// The bytes are not text, or hold no heading row.
    pub fn new(bytes: &'a [u8], file: &str) -> Result<Self, Remark> {
        let (text, remarks) = decode::text(bytes, file, Author::Foreign)?;
        let mut rows = Rows::new(text);
        let first = rows.find_map(|split| match split {
            Split::Row(row) => (!row.is_blank()).then_some(Ok(row)),
            Split::Unclosed(line) => Some(Err(unclosed(file, line))),
        });
        let first = first.unwrap_or_else(|| Err(super::no_row(file)))?;
        Ok(Self {
            file: file.to_string(),
            heading: heading(first),
            rows,
            remarks,
        })
    }

    /// Returns the headings, tidied.
    pub fn heading(&self) -> &[String] {
        &self.heading
    }

    /// Returns what is worth knowing of the file as a whole.
    pub fn remarks(&self) -> &[Remark] {
        &self.remarks
    }
}

impl Iterator for RowReader<'_> {
    type Item = Result<TextRow, Remark>;

    fn next(&mut self) -> Option<Self::Item> {
        let mut row = loop {
            match self.rows.next()? {
                Split::Row(row) if row.is_blank() => {}
                Split::Row(row) => break row,
                Split::Unclosed(line) => return Some(Err(unclosed(&self.file, line))),
            }
        };
        row.take_guards();
        let line = row.line;
        let cells: Result<Vec<String>, _> = row.cells.into_iter().collect();
        Some(match cells {
            Ok(cells) => Ok(TextRow { line, cells }),
            Err(fault) => Err(Remark::row(&self.file, line, fault.why, fault.remedy)),
        })
    }
}
