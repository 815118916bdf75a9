//! The first rows of a log: what stands between cells, where numbers begin, which line names the columns.
//!
//! In: the first lines. Out: a [`Head`] of rows, with the places of the header, the row of units and the first row of
//! numbers. Not here: what the columns are (`guess`).

use crate::clock;
use crate::mapping::{Decimal, Delimiter, Reason};
use crate::names;
use crate::number;
use crate::rows::Row;
use crate::text::split;

/// The first rows, taken apart.
#[derive(Debug)]
pub(crate) struct Head {
    pub(crate) delimiter: Delimiter,
    pub(crate) rows: Vec<Row>,
    /// Place of the header among `rows`.
    pub(crate) header: Option<usize>,
    /// Place of the row of units among `rows`.
    pub(crate) units: Option<usize>,
    /// Place of the first row of numbers; none where there is no table.
    pub(crate) first: Option<usize>,
    /// Cells of most rows of numbers.
    pub(crate) width: usize,
    pub(crate) reasons: Vec<Reason>,
}

impl Head {
    /// Takes the first lines of a text apart, by the delimiter that makes most of them rows of equal length.
    pub(crate) fn of_text(lines: &[(u64, String)]) -> Self {
        let mut best: Option<(usize, Vec<Row>, Delimiter)> = None;
        let tabs = lines.iter().any(|(_, text)| text.contains('\t'));
        for delimiter in Delimiter::ALL {
            // Where there are tabs, blanks stand inside cells.
            if tabs && delimiter == Delimiter::Blanks {
                continue;
            }
            let rows: Vec<Row> = lines
                .iter()
                .map(|(line, text)| {
                    let mut row = Row::default();
                    split(*line, text, delimiter, &mut row);
                    row
                })
                .collect();
            let score = score(&rows);
            // The first of equals wins, so blanks are the last resort.
            if best.as_ref().is_none_or(|(most, ..)| score > *most) {
                best = Some((score, rows, delimiter));
            }
        }
        let (score, rows, delimiter) = best.unwrap_or_default();
        let why = format!("{} make most lines rows of equal length", delimiter.word());
        let mut head = Self::of_rows(rows);
        head.delimiter = delimiter;
        if score > 0 {
            head.reasons.insert(0, Reason::sure("delimiter", why));
        }
        head
    }

    /// Looks at rows that came apart already.
    pub(crate) fn of_rows(rows: Vec<Row>) -> Self {
        let width = usual_width(&rows);
        let numbers = |row: &Row| values(row);
        let usual = usual(rows.iter().map(numbers).filter(|count| *count > 0));
        let fits = |row: &Row| {
            numbers(row) >= usual.div_ceil(2).max(1) && row.width() + 1 >= width && width > 1
        };
        let first = rows.iter().position(fits);
        let first = first.filter(|_| width > 1);
        let names = |row: &Row| {
            row.cells()
                .filter(|cell| !cell.is_empty() && !is_value(cell))
                .count()
        };
        // Without a row of numbers, the last line with names is the header.
        let above = first.unwrap_or(rows.len());
        let mut header = rows[..above].iter().rposition(|row| names(row) > 1);
        let mut units = None;
        if let Some(at) = header
            && at > 0
            && are_units(&rows[at])
            && names(&rows[at - 1]) > 1
        {
            (header, units) = (Some(at - 1), Some(at));
        }
        let mut reasons = Vec::new();
        if let Some(at) = header.filter(|at| *at > 0) {
            let line = rows[at].line;
            reasons.push(Reason::sure(
                "header",
                format!(
                    "line {line} names the columns; what stands above it is no part of the table"
                ),
            ));
        }
        Self {
            delimiter: Delimiter::Comma,
            rows,
            header,
            units,
            first,
            width,
            reasons,
        }
    }

    /// Rows of numbers.
    pub(crate) fn data(&self) -> &[Row] {
        &self.rows[self.first.unwrap_or(self.rows.len())..]
    }

    /// Returns the name of a column, and its unit in the row of units.
    pub(crate) fn name(&self, index: usize) -> (&str, &str) {
        let cell = |row: Option<usize>| row.map_or("", |at| self.rows[at].cell(index));
        (cell(self.header), cell(self.units))
    }
}

/// Lines that have the usual number of cells, weighed by the numbers in them.
fn score(rows: &[Row]) -> usize {
    let width = usual_width(rows);
    if width < 2 {
        return 0;
    }
    rows.iter()
        .filter(|row| row.width() == width)
        .map(values)
        .sum()
}

fn usual_width(rows: &[Row]) -> usize {
    usual(rows.iter().filter(|row| values(row) > 0).map(Row::width))
}

/// Returns the number that is met most often, the larger of equals; 0 for none.
fn usual(numbers: impl Iterator<Item = usize>) -> usize {
    let mut counts = std::collections::BTreeMap::new();
    for number in numbers {
        *counts.entry(number).or_insert(0_usize) += 1;
    }
    counts
        .into_iter()
        .max_by_key(|(number, count)| (*count, *number))
        .map_or(0, |(number, _)| number)
}

fn values(row: &Row) -> usize {
    row.cells().filter(|cell| is_value(cell)).count()
}

/// Whether a cell holds a number, a time of day or a date.
pub(crate) fn is_value(cell: &str) -> bool {
    if !cell.contains(|letter: char| letter.is_ascii_digit()) {
        return false;
    }
    let number = |decimal| {
        number::read(cell, decimal)
            .is_some_and(|(_, unit)| unit.is_empty() || names::unit(unit).is_some())
    };
    number(Decimal::Point)
        || number(Decimal::Comma)
        || clock::clock(cell).is_some()
        || clock::Written::read(cell).is_some()
        || clock::date_and_clock(cell).is_some_and(|(date, time)| {
            clock::Written::read(date).is_some() && clock::clock(time).is_some()
        })
}

fn are_units(row: &Row) -> bool {
    let mut told = 0;
    for cell in row.cells().filter(|cell| !cell.is_empty() && *cell != "-") {
        if names::unit(cell).is_none() && !cell.eq_ignore_ascii_case("hh:mm:ss") {
            return false;
        }
        told += 1;
    }
    told > 1
}
