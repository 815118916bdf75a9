//! Rows and cells of delimited text, RFC 4180 with the liberties that programs take: any of three
//! delimiters, any of three line ends, quotation marks in the middle of a cell taken as they are.
//!
//! An unclosed quotation mark costs its line, not the rest of the file: reading goes on with the
//! next line. A general CSV reader takes the rest of the file into that one cell.

use super::TableRow;
use crate::table_cell::{Fault, LONGEST_CELL};

/// Lines where a quotation mark was not closed.
#[derive(Debug, Default)]
pub(super) struct Unclosed {
    pub(super) lines: Vec<u64>,
    /// Line at which reading stopped because there were too many.
    pub(super) given_up: Option<u64>,
}

/// After so many unclosed quotation marks the file is not CSV. Bounds the time, because the text
/// after each is read twice.
const MOST_UNCLOSED: usize = 200;

/// Parts text into rows of cells.
pub(super) fn rows(bytes: &[u8]) -> (Vec<TableRow>, Unclosed) {
    let mut splitter = Splitter {
        bytes,
        at: 0,
        line: 1,
        delimiter: delimiter(bytes),
    };
    let mut rows = Vec::new();
    let mut unclosed = Unclosed::default();
    while splitter.at < bytes.len() {
        let (start, line) = (splitter.at, splitter.line);
        match splitter.row() {
            Some(cells) => rows.push(TableRow { line, cells }),
            None => {
                unclosed.lines.push(line);
                if unclosed.lines.len() >= MOST_UNCLOSED {
                    unclosed.given_up = Some(line);
                    break;
                }
                splitter.at = start;
                splitter.line = line;
                splitter.skip_line();
            }
        }
    }
    (rows, unclosed)
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

struct Splitter<'a> {
    bytes: &'a [u8],
    at: usize,
    line: u64,
    delimiter: u8,
}

impl Splitter<'_> {
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
            // A cell that is too long is one whose end is missing.
            if cell.len() > 2 * LONGEST_CELL {
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
