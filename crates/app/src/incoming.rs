//! Parts lists and weights from spreadsheets, shown as they would be taken before anything is.
//!
//! In: a table, which of its columns is what, the dossier as it is now. Out: each row with the edits that it makes, or
//! why it makes none. Nothing is written: the edits are sent like any others.
//! Not here: reading table files (`catalogue::Table`).

mod columns;
mod parts;
mod readings;
#[cfg(test)]
mod tests;

pub use columns::{Column, Sort};

use crate::Problem;
use catalogue::Table;
use record::{Dossier, Edit};
use serde::Serialize;

/// A table as it would be taken.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Incoming {
    /// What its rows are; none where no column tells it.
    pub sort: Option<Sort>,
    /// Why nothing tells it, and what to do.
    pub unsorted: Option<(String, String)>,
    /// Its headings, and what each column is taken for; none where it is left out.
    pub columns: Vec<(String, Option<Column>)>,
    /// Its rows in their order.
    pub rows: Vec<Row>,
}

/// One row of a table.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Row {
    /// Its line in the file.
    pub line: u64,
    /// Its cells as they stand there.
    pub all: Vec<String>,
    /// What of it is used.
    pub cells: Vec<(Column, String)>,
    /// What comes of it.
    pub comes: Comes,
}

/// What comes of a row.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Comes {
    /// These edits, to be taken together, and what they do in words.
    Edits {
        /// What they do.
        says: String,
        /// The edits.
        edits: Vec<Edit>,
    },
    /// Nothing: it is recorded already.
    Known {
        /// Where.
        says: String,
    },
    /// Nothing: it cannot be used.
    Refused {
        /// Why.
        message: String,
        /// What to write instead.
        remedy: String,
    },
}

impl Incoming {
    /// Returns the edits of all rows.
    pub fn edits(&self) -> Vec<Edit> {
        let edits = self.rows.iter().filter_map(|row| match &row.comes {
            Comes::Edits { edits, .. } => Some(edits.clone()),
            _ => None,
        });
        edits.flatten().collect()
    }

    /// Counts the rows that make edits, those that are recorded already, and those that cannot be used.
    pub fn counts(&self) -> [usize; 3] {
        let mut counts = [0; 3];
        for row in &self.rows {
            let at = match row.comes {
                Comes::Edits { .. } => 0,
                Comes::Known { .. } => 1,
                Comes::Refused { .. } => 2,
            };
            counts[at] += 1;
        }
        counts
    }
}

impl Comes {
    fn refused(message: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self::Refused {
            message: message.into(),
            remedy: remedy.into(),
        }
    }
}

/// Reads a table of parts or readings. `map` says, column by column, what is taken for what, where guessing by the
/// headings is not enough.
///
/// # Errors
/// Bytes that are no table.
pub fn incoming(
    bytes: &[u8],
    file: &str,
    map: Option<&[Option<Column>]>,
    now: &Dossier,
) -> Result<Incoming, Problem> {
    let table = Table::from_bytes(bytes, file).map_err(|remark| {
        Problem::unfit(
            remark.to_string(),
            "save it as CSV or XLSX with one heading row",
        )
    })?;
    let columns: Vec<Option<Column>> = match map {
        Some(map) => map.to_vec(),
        None => columns::guessed(table.heading()),
    };
    let sort = columns::sort(&columns);
    let unsorted = sort.is_none().then(|| {
        (
            format!("no column of {file} tells what its rows are"),
            "say which are those of parts (reference or marking) or of readings (item and value)"
                .to_string(),
        )
    });
    let headings = table.heading().to_vec();
    let mut taken = Taken::of(now);
    let rows = table.rows().map(|(line, cells)| {
        let all = cells.iter().map(|cell| match cell {
            Ok(text) => (*text).to_string(),
            Err(_) => String::new(),
        });
        let mut all: Vec<String> = all.collect();
        all.resize(headings.len(), String::new());
        let mut used = Vec::new();
        for (at, column) in columns.iter().enumerate() {
            let Some(column) = column else { continue };
            match cells.get(at) {
                Some(Ok(text)) if !text.is_empty() => used.push((*column, (*text).to_string())),
                Some(Err(why)) => {
                    let heading = headings.get(at).map_or("", String::as_str);
                    let comes = Comes::refused(format!("{heading}: {why}"), "correct the cell");
                    return Row {
                        line,
                        all,
                        cells: used,
                        comes,
                    };
                }
                _ => {}
            }
        }
        let unit = |column| columns::unit(&headings, &columns, column);
        let comes = match sort {
            Some(Sort::Parts) => parts::comes(&used, now, &mut taken),
            Some(Sort::Readings) => readings::comes(&used, unit, now, &mut taken),
            None => Comes::refused(
                "it is not known what the row is",
                "say what its columns are",
            ),
        };
        Row {
            line,
            all,
            cells: used,
            comes,
        }
    });
    let rows: Vec<Row> = rows.collect();
    let shown = headings.iter().cloned().zip(columns.iter().copied());
    Ok(Incoming {
        sort,
        unsorted,
        columns: shown.collect(),
        rows,
    })
}

/// Ids that are taken: those of the record, and those that rows above make.
struct Taken(Vec<String>);

impl Taken {
    fn of(now: &Dossier) -> Self {
        let items = now.items.iter().map(|item| item.id.clone());
        let readings = now.readings.iter().map(|reading| reading.id.clone());
        Self(items.chain(readings).collect())
    }

    fn free(&mut self, wanted: &str) -> String {
        let id = crate::free_id(&record::id_of(wanted), |id| {
            self.0.iter().any(|taken| taken == id)
        });
        self.0.push(id.clone());
        id
    }
}

/// Returns the cell of a column.
fn cell(cells: &[(Column, String)], of: Column) -> Option<&str> {
    let found = cells.iter().find(|(column, _)| *column == of);
    found.map(|(_, text)| text.as_str())
}
