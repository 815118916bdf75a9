//! Rows of cells, from text or from a sheet.
//!
//! In: lines of text, or rows that the caller took from a workbook. Out: one row at a time, in one buffer that is used
//! again, so that reading allocates nothing per row. Not here: what cells mean.

use crate::error::{LogError, Note};

/// One row: its cells and the line of the file that it began on.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Row {
    /// Line from 1; of a sheet the row.
    pub(crate) line: u64,
    text: String,
    ends: Vec<(u32, u32)>,
}

impl Row {
    pub(crate) fn clear(&mut self, line: u64) {
        self.line = line;
        self.text.clear();
        self.ends.clear();
    }

    pub(crate) fn push(&mut self, cell: &str) {
        let start = self.text.len();
        self.text.push_str(cell);
        self.ends.push((offset(start), offset(self.text.len())));
    }

    /// Takes a line as it stands; its cells follow by [`Row::mark`].
    pub(crate) fn take(&mut self, line: u64, text: &str) {
        self.clear(line);
        self.text.push_str(text);
    }

    pub(crate) fn mark(&mut self, start: usize, end: usize) {
        self.ends.push((offset(start), offset(end)));
    }

    /// Returns a cell without the blanks around it; empty where the row has none there.
    pub(crate) fn cell(&self, index: usize) -> &str {
        self.ends
            .get(index)
            .and_then(|(start, end)| self.text.get(*start as usize..*end as usize))
            .map_or("", str::trim)
    }

    pub(crate) fn cells(&self) -> impl Iterator<Item = &str> {
        (0..self.ends.len()).map(|index| self.cell(index))
    }

    /// Returns how many cells there are, without empty ones at the end.
    pub(crate) fn width(&self) -> usize {
        (0..self.ends.len())
            .rev()
            .find(|index| !self.cell(*index).is_empty())
            .map_or(0, |last| last + 1)
    }
}

/// Lines and rows of sheets are kept up to 64 KiB.
fn offset(at: usize) -> u32 {
    u32::try_from(at).unwrap_or(u32::MAX)
}

/// Where rows come from.
pub(crate) trait RowSource {
    /// Fills in the next row; `false` at the end.
    fn next_row(&mut self, row: &mut Row) -> Result<bool, LogError>;
    /// Returns the bytes that were read so far, 0 for a sheet.
    fn bytes(&self) -> u64;
    /// Returns and forgets what was met on the way.
    fn notes(&mut self) -> Vec<Note>;
    /// Returns and forgets how many rows were lost before they were rows: NUL bytes, too long, cut.
    fn lost(&mut self) -> u64;
}

/// Rows that the caller took from a sheet.
pub(crate) struct SheetRows<I> {
    rows: I,
    line: u64,
}

impl<I: Iterator<Item = Vec<String>>> SheetRows<I> {
    pub(crate) fn new(rows: I) -> Self {
        Self { rows, line: 0 }
    }
}

/// Longest text of one row of a sheet that is kept.
const LONGEST_ROW: usize = 65_536;

impl<I: Iterator<Item = Vec<String>>> RowSource for SheetRows<I> {
    fn next_row(&mut self, row: &mut Row) -> Result<bool, LogError> {
        let Some(cells) = self.rows.next() else {
            return Ok(false);
        };
        self.line += 1;
        row.clear(self.line);
        for cell in &cells {
            if row.text.len() + cell.len() > LONGEST_ROW {
                break;
            }
            row.push(cell);
        }
        Ok(true)
    }

    fn bytes(&self) -> u64 {
        0
    }

    fn notes(&mut self) -> Vec<Note> {
        Vec::new()
    }

    fn lost(&mut self) -> u64 {
        0
    }
}
