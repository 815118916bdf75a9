//! From the bytes of a catalogue file to rows that a [`Catalogue`](crate::Catalogue) takes in.
//!
//! In: a CSV with the columns of [`COLUMNS`]. Out: the rows that can be used, and a remark on
//! every one that cannot; the first bad row never stops the reading.
//! Not here: what happens when two rows speak of the same part (`catalogue`).

use crate::columns::{COLUMNS, Column};
use crate::remark::shown;
use crate::table_cell::{self, Lists};
use crate::{Loss, Part, Remark, Table};
use serde::Serialize;

/// One row that was read: what it says and where it stands.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Row {
    /// File it stands in, as the caller named it.
    pub file: String,
    /// Its line, counted from 1.
    pub line: u64,
    /// What it says. An empty value says nothing.
    pub part: Part,
    /// Columns it clears (their cell is `-`).
    pub cleared: Vec<&'static str>,
    /// Columns of the user's own, in the order of the file: heading, and cell as it stands there.
    pub own: Vec<(String, String)>,
}

/// What was read from a file.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Read {
    /// Rows that can be used.
    pub rows: Vec<Row>,
    /// What could not be used, and what is worth knowing.
    pub remarks: Vec<Remark>,
}

impl Read {
    /// Returns the number of rows that were refused.
    pub fn refused(&self) -> usize {
        self.remarks.iter().filter(|r| r.loss == Loss::Row).count()
    }
}

/// Reads a catalogue file.
///
/// ```
/// let read = catalogue::read(b"name,maker,pins\nNHF2104,Nordhafen,16\nX,,many\n", "own.csv");
/// assert_eq!(read.rows[0].part.pins, Some(16));
/// assert_eq!(
///     read.remarks[0].to_string(),
///     "own.csv:3, column pins: \"many\" is not a number of pins; write a whole number above 0"
/// );
/// ```
pub fn read(bytes: &[u8], file: &str) -> Read {
    let table = match Table::from_text(bytes, file) {
        Ok(table) => table,
        Err(remark) => {
            return Read {
                rows: Vec::new(),
                remarks: vec![remark],
            };
        }
    };
    let mut read = Read {
        rows: Vec::new(),
        remarks: table.remarks.clone(),
    };
    let places = places(&table, &mut read.remarks);
    if !places.iter().flatten().any(|column| column.name == "name") {
        read.remarks.push(Remark {
            line: table.heading_line,
            ..Remark::file(
                file,
                "there is no column \"name\"",
                "name the part numbers' column \"name\", or import the file with a mapping",
            )
        });
        return read;
    }
    for row in &table.rows {
        let width = table.heading.len();
        let surplus = row.cells.iter().skip(width);
        if row.cells.len() < width
            || surplus
                .into_iter()
                .any(|c| c.as_ref().is_ok_and(|t| !t.trim().is_empty()))
        {
            read.remarks.push(Remark::row(
                file,
                row.line,
                format!("the row has {} cells, the heading {width}", row.cells.len()),
                "part cells like the heading; quote a cell that holds the delimiter",
            ));
            continue;
        }
        let own = match own(&table.heading, &places, &row.cells) {
            Ok(own) => own,
            Err((heading, fault)) => {
                let remark = Remark::row(file, row.line, fault.why, fault.remedy);
                read.remarks.push(remark.at(heading));
                continue;
            }
        };
        let cells = places.iter().zip(&row.cells);
        let cells = cells.filter_map(|(column, cell)| Some(((*column)?, cell)));
        match part(cells, Lists::Bars) {
            Ok((part, cleared)) => read.rows.push(Row {
                file: file.to_string(),
                line: row.line,
                part,
                cleared,
                own,
            }),
            Err(faults) => read
                .remarks
                .extend(faults.into_iter().map(|(column, fault)| {
                    Remark::row(file, row.line, fault.why, fault.remedy).at(column)
                })),
        }
    }
    read.remarks.sort_by_key(|remark| remark.line);
    read
}

/// Returns the cells of a row that stand in no column of a catalogue, each under its heading. A column without
/// heading is called by its place, so that it does not end a line unseen.
fn own(
    headings: &[String],
    places: &[Option<&'static Column>],
    cells: &[Result<String, table_cell::Fault>],
) -> Result<Vec<(String, String)>, (String, table_cell::Fault)> {
    let mut own = Vec::new();
    for (at, (heading, cell)) in headings.iter().zip(cells).enumerate() {
        if places[at].is_some() {
            continue;
        }
        let heading = if heading.is_empty() {
            format!("column {}", at + 1)
        } else {
            heading.clone()
        };
        match cell {
            Ok(text) => own.push((heading, text.clone())),
            Err(fault) => return Err((heading, fault.clone())),
        }
    }
    Ok(own)
}

/// Finds the column under each heading; says which headings are unknown or stand twice.
fn places(table: &Table, remarks: &mut Vec<Remark>) -> Vec<Option<&'static Column>> {
    let mut places: Vec<Option<&'static Column>> = Vec::new();
    for (at, heading) in table.heading.iter().enumerate() {
        let folded = heading.to_lowercase().replace([' ', '-'], "_");
        let found = COLUMNS.iter().find(|c| c.name == folded);
        let note = |why: String, remedy: String| {
            let column = if heading.is_empty() {
                (at + 1).to_string()
            } else {
                heading.clone()
            };
            Remark::note(&table.file, table.heading_line, why, remedy).at(column)
        };
        match found {
            None => remarks.push(note(
                format!(
                    "there is no column {}; it is not read, only kept",
                    shown(heading)
                ),
                hint(&folded),
            )),
            Some(column) if places.iter().flatten().any(|c| c.name == column.name) => {
                remarks.push(note(
                    format!(
                        "the column {} stands there twice; the first one is read",
                        column.name
                    ),
                    "keep one of them".to_string(),
                ));
                places.push(None);
                continue;
            }
            Some(_) => {}
        }
        places.push(found);
    }
    places
}

/// Says which column may have been meant: the one whose name is near, or else which there are.
pub(crate) fn hint(word: &str) -> String {
    let distance = |name: &str| strsim::damerau_levenshtein(name, word);
    let nearest = COLUMNS.iter().map(|c| c.name).min_by_key(|n| distance(n));
    match nearest {
        Some(name) if distance(name) <= 1 + word.chars().count() / 4 => {
            format!("perhaps {name} is meant")
        }
        _ => {
            let names: Vec<&str> = COLUMNS.iter().map(|column| column.name).collect();
            format!("the columns are {}", names.join(", "))
        }
    }
}

/// A part, and the columns that its row clears.
pub(crate) type PartAndCleared = (Part, Vec<&'static str>);
/// What is wrong in a row, by column.
pub(crate) type RowFaults = Vec<(&'static str, table_cell::Fault)>;

/// Makes a part of one row's cells.
///
/// # Errors
/// Every bad cell of the row.
pub(crate) fn part<'a>(
    cells: impl Iterator<Item = (&'static Column, &'a Result<String, table_cell::Fault>)>,
    lists: Lists,
) -> Result<PartAndCleared, RowFaults> {
    let mut part = Part::default();
    let mut cleared = Vec::new();
    let mut faults: RowFaults = Vec::new();
    for (column, cell) in cells {
        let text = match cell {
            Ok(text) => text.trim(),
            Err(fault) => {
                faults.push((column.name, fault.clone()));
                continue;
            }
        };
        let said_nothing = text.is_empty() || (lists == Lists::Any && says_unknown(text));
        if said_nothing {
            continue;
        }
        if text == "-" {
            cleared.push(column.name);
        } else if let Err(fault) = table_cell::set(column, &mut part, text, lists) {
            faults.push((column.name, fault));
        }
    }
    if part.name.is_empty() && !faults.iter().any(|(column, _)| *column == "name") {
        let why = if cleared.contains(&"name") {
            "the name cannot be cleared"
        } else {
            "the name is empty"
        };
        faults.push((
            "name",
            table_cell::Fault::new(why, "fill in the part number"),
        ));
    }
    if faults.is_empty() {
        Ok((part, cleared))
    } else {
        Err(faults)
    }
}

/// Tells whether somebody's table says in its own way that it does not know.
fn says_unknown(text: &str) -> bool {
    let folded = text.to_lowercase();
    matches!(
        folded.as_str(),
        "-" | "--"
            | "---"
            | "–"
            | "—"
            | "?"
            | "n/a"
            | "na"
            | "n.a."
            | "none"
            | "null"
            | "unknown"
            | "tbd"
    )
}
