//! Rows and cells of delimited text, RFC 4180 with the liberties that programs take: any of three
//! delimiters, any of three line ends, quotation marks in the middle of a cell taken as they are.
//!
//! An unclosed quotation mark costs its line, not the rest of the file: reading goes on with the
//! next line. A general CSV reader takes the rest of the file into that one cell.

use super::TableRow;
use crate::table_cell::{Fault, LONGEST_CELL};
use std::borrow::Cow;

/// After so many unclosed quotation marks a quoted cell must be short to be one. Bounds the time, because
/// the text after each is read twice.
const MANY_UNCLOSED: usize = 200;

/// Longest quoted cell from then on, in bytes.
const SHORT_CELL: usize = 256;

/// Rows of delimited text, one after the other.
pub(super) struct Rows<'a> {
    bytes: Cow<'a, [u8]>,
    at: usize,
    line: u64,
    delimiter: u8,
    longest_quoted: usize,
    unclosed: usize,
}

/// One row, or the line that was lost to a quotation mark that is not closed.
pub(super) enum Split {
    Row(TableRow),
    Unclosed(u64),
}

impl<'a> Rows<'a> {
    pub(super) fn new(bytes: Cow<'a, [u8]>) -> Self {
        Self {
            delimiter: delimiter(&bytes),
            bytes,
            at: 0,
            line: 1,
            // A cell that is too long is one whose end is missing.
            longest_quoted: 2 * LONGEST_CELL,
            unclosed: 0,
        }
    }
}

impl Iterator for Rows<'_> {
    type Item = Split;

    fn next(&mut self) -> Option<Split> {
        if self.at >= self.bytes.len() {
            return None;
        }
        let (start, line) = (self.at, self.line);
        if let Some(cells) = self.row() {
            return Some(Split::Row(TableRow { line, cells }));
        }
        self.unclosed += 1;
        if self.unclosed == MANY_UNCLOSED {
            self.longest_quoted = SHORT_CELL;
        }
        self.at = start;
        self.line = line;
        self.skip_line();
        Some(Split::Unclosed(line))
    }
}

/// Returns the delimiter that stands most often outside quotation marks in the first line that is
/// not blank.
fn delimiter(bytes: &[u8]) -> u8 {
    let line = bytes
        .split(|b| matches!(b, b'\n' | b'\r'))
        .find(|line| !line.trim_ascii().is_empty())
        .unwrap_or_default();
    let mut quoted = false;
    let mut counts = [(b',', 0_usize), (b';', 0), (b'\t', 0)];
    for byte in line {
        quoted ^= *byte == b'"';
        for (delimiter, count) in &mut counts {
            *count += usize::from(!quoted && byte == delimiter);
        }
    }
    // The first of equals wins, which is the comma.
    let most = counts.iter().map(|(_, count)| *count).max().unwrap_or(0);
    counts
        .iter()
        .find(|(_, count)| *count == most)
        .map_or(b',', |(delimiter, _)| *delimiter)
}

impl Rows<'_> {
    fn peek(&self) -> Option<u8> {
        self.bytes.get(self.at).copied()
    }

    /// Reads one row and its line end; nothing when a quotation mark is not closed.
    fn row(&mut self) -> Option<Vec<Result<String, Fault>>> {
        let mut cells = Vec::new();
        loop {
            cells.push(as_text(self.cell()?));
            match self.peek() {
                Some(byte) if byte == self.delimiter => self.at += 1,
                Some(_) => {
                    self.line_end();
                    return Some(cells);
                }
                None => return Some(cells),
            }
        }
    }

    fn cell(&mut self) -> Option<Vec<u8>> {
        let mut cell = Vec::new();
        if self.peek() == Some(b'"') {
            self.at += 1;
            self.quoted(&mut cell)?;
            // A mark that "closes" a cell on a later line and is followed by text opens the next
            // cell; the one before it was never closed.
            let ends = |byte: u8| byte == self.delimiter || matches!(byte, b'\n' | b'\r');
            if cell.contains(&b'\n') && !self.peek().is_none_or(ends) {
                return None;
            }
        }
        while let Some(byte) = self.peek() {
            if byte == self.delimiter || matches!(byte, b'\n' | b'\r') {
                break;
            }
            cell.push(byte);
            self.at += 1;
        }
        Some(cell)
    }

    fn quoted(&mut self, cell: &mut Vec<u8>) -> Option<()> {
        loop {
            let byte = self.peek()?;
            if cell.len() > self.longest_quoted {
                return None;
            }
            self.at += 1;
            match byte {
                b'"' if self.peek() == Some(b'"') => {
                    cell.push(b'"');
                    self.at += 1;
                }
                b'"' => return Some(()),
                b'\n' => {
                    self.line += 1;
                    cell.push(byte);
                }
                b'\r' => {
                    self.line += u64::from(self.peek() != Some(b'\n'));
                    cell.push(byte);
                }
                _ => cell.push(byte),
            }
        }
    }

    fn line_end(&mut self) {
        if self.peek() == Some(b'\r') {
            self.at += 1;
        }
        if self.peek() == Some(b'\n') {
            self.at += 1;
        }
        self.line += 1;
    }

    fn skip_line(&mut self) {
        while self.peek().is_some_and(|b| !matches!(b, b'\n' | b'\r')) {
            self.at += 1;
        }
        if self.at < self.bytes.len() {
            self.line_end();
        }
    }
}

fn as_text(bytes: Vec<u8>) -> Result<String, Fault> {
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        let bytes = error.as_bytes();
        Fault::new(
            format!(
                "the cell is not UTF-8: after {:?} comes the byte 0x{:02X}",
                String::from_utf8_lossy(&bytes[at.saturating_sub(20)..at]),
                bytes[at]
            ),
            "save the file as CSV UTF-8",
        )
    })
}
