//! A log looked at by its first rows, before all of it is read.
//!
//! In: bytes or rows. Out: what its columns are taken for, their names and the first rows, for someone who confirms or
//! corrects that; a file whose columns are not recognised is looked at all the same. Not here: guessing (`guess`).

use crate::error::LogError;
use crate::guess::{guess, no_column};
use crate::head::Head;
use crate::mapping::{Delimiter, Mapping, Reason};
use crate::rows::{Row, RowSource, SheetRows};
use crate::text::TextRows;
use serde::Serialize;
use std::io::Read;

/// Lines that a guess is made from.
pub(crate) const HEAD: usize = 400;

/// What a log was taken for, before all of it is read.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Guess {
    /// What columns are; without a channel where none is a current.
    pub mapping: Mapping,
    /// Why.
    pub reasons: Vec<Reason>,
    /// Names of all columns, empty where they have none.
    pub names: Vec<String>,
    /// The first rows of numbers, cell by cell, ten at most.
    pub rows: Vec<Vec<String>>,
}

impl Guess {
    /// Returns it where it can be read as it is.
    ///
    /// # Errors
    /// No column that is read.
    pub fn readable(self, file: &str) -> Result<Self, LogError> {
        match no_column(&self.mapping, file) {
            Some(error) => Err(error),
            None => Ok(self),
        }
    }
}

/// Takes the first lines of a text for what they are; parted by `delimiter` where that is stated.
///
/// # Errors
/// No text, no table.
pub fn look_at_text(
    reader: impl Read,
    file: &str,
    delimiter: Option<Delimiter>,
) -> Result<Guess, LogError> {
    let (_, lines) = TextRows::open(reader, file, HEAD)?;
    seen(&parted(&lines, delimiter), file)
}

/// Takes the first rows of a sheet for what they are.
///
/// # Errors
/// No table.
pub fn look_at_rows(
    rows: impl Iterator<Item = Vec<String>>,
    file: &str,
) -> Result<Guess, LogError> {
    let mut source = SheetRows::new(rows);
    seen(&Head::of_rows(first_rows(&mut source)?), file)
}

fn seen(head: &Head, file: &str) -> Result<Guess, LogError> {
    let (mapping, reasons) = guess(head, file)?;
    let rows = head
        .data()
        .iter()
        .take(10)
        .map(|row| row.cells().map(str::to_owned).collect())
        .collect();
    let names = (0..head.width).map(|index| head.name(index).0.to_owned());
    Ok(Guess {
        mapping,
        reasons,
        names: names.collect(),
        rows,
    })
}

/// Takes the first lines apart, by the delimiter that is stated or else by the one that fits.
pub(crate) fn parted(lines: &[(u64, String)], delimiter: Option<Delimiter>) -> Head {
    let head = Head::of_text(lines);
    let Some(delimiter) = delimiter.filter(|stated| *stated != head.delimiter) else {
        return head;
    };
    let split = |(line, text): &(u64, String)| {
        let mut row = Row::default();
        crate::text::split(*line, text, delimiter, &mut row);
        row
    };
    let mut head = Head::of_rows(lines.iter().map(split).collect());
    head.delimiter = delimiter;
    head
}

pub(crate) fn first_rows(source: &mut impl RowSource) -> Result<Vec<Row>, LogError> {
    let mut rows = Vec::new();
    let mut row = Row::default();
    while rows.len() < HEAD && source.next_row(&mut row)? {
        rows.push(row.clone());
    }
    Ok(rows)
}
