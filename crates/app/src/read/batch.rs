//! Many markings from a table, one answer a row, none of them kept.
//!
//! In: a CSV or TSV file with a heading, in any encoding that tables come in: `marking`, and if wanted
//! `package`, `pins`, `size`, `pitch`, `maker`, `role`; a line break in a marking is one on the part. Out: each
//! row as soon as it is answered. A row that cannot be read is answered with the reason, and the next one is read.

use super::Said;
use super::question::{CluesAsText, Question, lines};
use crate::shown;
use crate::{At, Kind, Problem, Watch};
use catalogue::{Remark, RowReader, TextRow};
use std::ops::ControlFlow;
use std::path::Path;
use store::{limits, opener};

/// Rows between two lines of progress.
const PROGRESS: usize = 10_000;

const REMEDY: &str = "write CSV with a heading row and the column marking";

/// The columns that are read.
const COLUMNS: [&str; 7] = [
    "marking", "package", "pins", "size", "pitch", "maker", "role",
];

/// One row answered.
#[derive(Debug)]
pub struct Row {
    /// Its line in the table.
    pub line: u64,
    /// The marking as it stands in the table, its line breaks as in the notation; empty when the row cannot be read.
    pub text: String,
    /// What is said about it, or why it cannot be read.
    pub said: Result<Said, Problem>,
}

/// How many rows came to what.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Tally {
    /// Rows with an answer.
    pub answered: usize,
    /// Rows that nothing known fits.
    pub unanswered: usize,
    /// Rows that cannot be read.
    pub refused: usize,
}

pub(super) fn run(
    path: &Path,
    mut each: impl FnMut(Row) -> ControlFlow<()>,
    watch: &dyn Watch,
    mut ask: impl FnMut(Question) -> Said,
) -> Result<Tally, Problem> {
    let bytes = opener::read(path, limits::BATCH)?;
    let wrong = |remark: &Remark| Problem {
        kind: Kind::Refused,
        place: Some(At::Path(path.to_path_buf())),
        message: remark.to_string(),
        remedy: REMEDY.into(),
    };
    let rows = RowReader::new(&bytes, &shown(path)).map_err(|remark| wrong(&remark))?;
    for remark in rows.remarks() {
        watch.note(&remark.to_string());
    }
    let columns = columns(rows.heading(), path, watch)?;
    let width = rows.heading().len();
    let mut tally = Tally::default();
    for (n, row) in rows.enumerate() {
        if !watch.goes_on() {
            return Err(Problem::stopped());
        }
        if n > 0 && n % PROGRESS == 0 {
            watch.stage(&format!("{n} markings read"));
        }
        let answer = match row {
            Err(remark) => Row {
                line: remark.line,
                text: String::new(),
                said: Err(Problem::refused(remark.why, remark.remedy).at(path)),
            },
            Ok(row) => Row {
                line: row.line,
                text: lines(cell(&row, columns[0]).unwrap_or_default()).join("|"),
                said: question(&row, &columns, width)
                    .map_err(|problem| problem.at(path))
                    .map(&mut ask),
            },
        };
        *match &answer.said {
            Err(_) => &mut tally.refused,
            Ok(said) if said.is_answered() => &mut tally.answered,
            Ok(_) => &mut tally.unanswered,
        } += 1;
        if each(answer).is_break() {
            break;
        }
    }
    Ok(tally)
}

/// Finds the place of each of [`COLUMNS`] and tells of headings that are none of them.
fn columns(
    heading: &[String],
    path: &Path,
    watch: &dyn Watch,
) -> Result<[Option<usize>; 7], Problem> {
    let place = |name: &str| heading.iter().position(|h| h.eq_ignore_ascii_case(name));
    let places = COLUMNS.map(place);
    if places[0].is_none() {
        return Err(Problem::refused(
            format!(
                "{}: there is no column marking; the columns are {}",
                shown(path),
                quoted(heading.iter())
            ),
            REMEDY,
        )
        .at(path));
    }
    let unread = heading.iter().enumerate().filter(|(at, heading)| {
        let read = places.iter().flatten().any(|place| place == at);
        !read && !heading.is_empty()
    });
    let unread: Vec<&String> = unread.map(|(_, heading)| heading).collect();
    if !unread.is_empty() {
        watch.note(&format!(
            "{}: not read: {}; the columns that are read are {}",
            shown(path),
            quoted(unread.into_iter()),
            COLUMNS.join(", ")
        ));
    }
    Ok(places)
}

fn quoted<'a>(headings: impl Iterator<Item = &'a String>) -> String {
    let quoted: Vec<String> = headings.map(|heading| format!("“{heading}”")).collect();
    quoted.join(", ")
}

fn cell(row: &TextRow, at: Option<usize>) -> Option<&str> {
    let cell = row.cells.get(at?)?;
    Some(cell.as_str()).filter(|text| !text.trim().is_empty())
}

/// Reads one row as a question.
fn question(
    row: &TextRow,
    columns: &[Option<usize>; 7],
    width: usize,
) -> Result<Question, Problem> {
    if row.cells.iter().skip(width).any(|c| !c.trim().is_empty()) {
        return Err(Problem::refused(
            format!("the row has {} cells, the heading {width}", row.cells.len()),
            "quote a cell that holds the delimiter",
        ));
    }
    let [marking, package, pins, size, pitch, maker, role] = columns.map(|at| cell(row, at));
    let pins = pins.map(|text| {
        text.trim().parse().map_err(|_| {
            Problem::refused(
                format!("“{text}” is not a number of pins"),
                "write a whole number",
            )
        })
    });
    let words = CluesAsText {
        package,
        pins: pins.transpose()?,
        size,
        pitch,
        maker,
        role,
    };
    Question::new(marking.unwrap_or_default(), &words)
}
