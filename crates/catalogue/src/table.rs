//! A table of text cells under one heading row, from the bytes of a CSV, TSV or XLSX file.
//!
//! In: bytes and the name they are reported under. Out: a [`Table`]; a cell that could not be read
//! stays in it as what is wrong with it, so that one bad cell costs one row at most.
//! Not here: what the columns mean.

mod decode;
mod split;
mod unpacked_size;
mod workbook;

use crate::Remark;
use crate::table_cell::Fault;

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
    fn is_blank(&self) -> bool {
        self.cells
            .iter()
            .all(|cell| cell.as_ref().is_ok_and(|text| text.trim().is_empty()))
    }
}

impl Table {
    /// Reads CSV or TSV. The delimiter (comma, semicolon or tab) is the one that stands most often
    /// in the first line.
    ///
    /// # Errors
    /// The bytes are not text, or hold no heading row.
    pub fn from_text(bytes: &[u8], file: &str) -> Result<Self, Remark> {
        let (text, mut remarks) = decode::text(bytes, file)?;
        let (mut rows, unclosed) = split::rows(&text);
        for cell in rows.iter_mut().flat_map(|row| &mut row.cells).flatten() {
            *cell = crate::unescaped_formula(cell).to_string();
        }
        for line in unclosed.lines {
            remarks.push(Remark::row(
                file,
                line,
                "a quotation mark is opened here and not closed",
                "close it, or write a quotation mark inside a quoted cell twice",
            ));
        }
        if let Some(line) = unclosed.given_up {
            remarks.push(Remark {
                line,
                ..Remark::file(
                    file,
                    "too many quotation marks are not closed; the rest is not read",
                    "write the file again as CSV",
                )
            });
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

    /// Reads CSV, TSV or XLSX, told apart by their first bytes.
    ///
    /// # Errors
    /// As for [`Table::from_text`] and [`Table::from_workbook`].
    pub fn from_bytes(bytes: &[u8], file: &str) -> Result<Self, Remark> {
        if bytes.starts_with(b"PK\x03\x04") {
            Self::from_workbook(bytes, file, None)
        } else {
            Self::from_text(bytes, file)
        }
    }

    fn from_rows(file: &str, rows: Vec<TableRow>, remarks: Vec<Remark>) -> Result<Self, Remark> {
        let mut rows = rows.into_iter().filter(|row| !row.is_blank());
        let Some(first) = rows.next() else {
            return Err(remarks.into_iter().next().map_or_else(
                || {
                    Remark::file(
                        file,
                        "the file holds no row",
                        "its first row must name the columns",
                    )
                },
                |remark| Remark {
                    loss: crate::Loss::File,
                    ..remark
                },
            ));
        };
        let mut heading: Vec<String> = first
            .cells
            .into_iter()
            .map(|cell| {
                cell.map(|text| crate::table_cell::tidy(&text))
                    .unwrap_or_default()
            })
            .collect();
        while heading.last().is_some_and(String::is_empty) {
            heading.pop();
        }
        Ok(Self {
            file: file.to_string(),
            heading,
            heading_line: first.line,
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

    /// Tells whether there is no row below the heading.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }
}
