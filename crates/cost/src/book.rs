//! A price book: the analyst's own prices, each with currency, date, source and confidence.
//!
//! In: a CSV table in any form that spreadsheets write. Out: rows by what they price, and for every row that was refused
//! the file, line, column, reason and remedy.
//! Not here: any price; reading text tables (`catalogue`); what of a product a row is for (`methods`).

mod cells;
mod columns;
mod kinds;
mod write;

pub use columns::{Column, guessed};
pub use kinds::Kind;
pub use write::write;

use crate::Ladder;
use crate::placement::Attrition;
use catalogue::{Loss, Remark, RowReader};
use jiff::civil::Date;
use quantity::Currency;
use std::collections::{BTreeMap, HashMap};

/// Most rows of a book. A dossier needs some hundreds; reading stays a matter of a second.
pub const MOST_ROWS: usize = 100_000;

/// Refused rows that are told one by one; the rest is counted.
const TOLD: usize = 100;

/// How sure a price is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Confidence {
    /// Quoted to the analyst for such a purchase.
    Quote,
    /// On a public list.
    List,
    /// Estimated by the analyst.
    Estimate,
}

impl Confidence {
    /// Returns the word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Quote => "quote",
            Self::List => "list",
            Self::Estimate => "estimate",
        }
    }
}

/// What a row says.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// Prices by quantity, in the unit of the kind.
    Prices(Ladder),
    /// A plain number: seconds, a share, a factor.
    Number(f64),
    /// Numbers by name.
    Settings(BTreeMap<String, f64>),
}

/// One row.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// What it prices.
    pub kind: Kind,
    /// For which one.
    pub name: String,
    /// What it says.
    pub value: Value,
    /// The currency, of prices.
    pub currency: Option<Currency>,
    /// How far off it may be, as share: 80 % of what it may be lies within.
    pub within: f64,
    /// How sure it is.
    pub confidence: Confidence,
    /// The day it held.
    pub date: Option<Date>,
    /// Where it is from; empty if not said.
    pub source: String,
    /// The series of prices that it follows.
    pub series: Option<String>,
    /// Pieces that a tool lasts for.
    pub life: Option<f64>,
    /// Weight among alternatives.
    pub weight: Option<f64>,
    /// Pieces lost in making.
    pub attrition: Option<Attrition>,
    /// Its file.
    pub file: String,
    /// Its line in it.
    pub line: u64,
}

impl Entry {
    /// Whether somebody can look it up: a quote or a list with a source and a date.
    pub fn is_sourced(&self) -> bool {
        self.confidence != Confidence::Estimate && !self.source.is_empty() && self.date.is_some()
    }

    /// The prices.
    pub fn prices(&self) -> Option<&Ladder> {
        match &self.value {
            Value::Prices(ladder) => Some(ladder),
            _ => None,
        }
    }

    /// The plain number.
    pub fn number(&self) -> Option<f64> {
        match &self.value {
            Value::Number(number) => Some(*number),
            _ => None,
        }
    }

    /// One of the numbers by name.
    pub fn setting(&self, name: &str) -> Option<f64> {
        match &self.value {
            Value::Settings(all) => all.get(name).copied(),
            _ => None,
        }
    }
}

/// Rows by what they price. A later row corrects an earlier one for the same thing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Book {
    rows: Vec<Entry>,
    places: HashMap<(Kind, String), usize>,
}

/// A book read, with what is to be said about it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Read {
    /// The rows that can be used.
    pub book: Book,
    /// Rows that cannot, and why; the first ones, then how many more.
    pub remarks: Vec<Remark>,
}

impl Book {
    /// Whether there is no row.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// The rows in the order they were first met.
    pub fn rows(&self) -> &[Entry] {
        &self.rows
    }

    /// Returns the row for a thing; case, spaces and signs of its name do not count.
    pub fn of(&self, kind: Kind, name: &str) -> Option<&Entry> {
        let at = self.places.get(&(kind, folded(name)))?;
        self.rows.get(*at)
    }

    /// Returns all rows of a kind.
    pub fn all(&self, kind: Kind) -> impl Iterator<Item = &Entry> {
        self.rows.iter().filter(move |row| row.kind == kind)
    }

    /// Adds a row, which corrects one for the same thing.
    pub fn add(&mut self, entry: Entry) {
        let key = (entry.kind, folded(&entry.name));
        match self.places.get(&key) {
            Some(&at) => self.rows[at] = entry,
            None => {
                self.places.insert(key, self.rows.len());
                self.rows.push(entry);
            }
        }
    }

    /// Adds another book, whose rows correct those here.
    pub fn merge(&mut self, later: Book) {
        later.rows.into_iter().for_each(|row| self.add(row));
    }
}

/// Reads a book, columns being told by their headings.
pub fn read(bytes: &[u8], file: &str) -> Read {
    read_mapped(bytes, file, None)
}

/// As [`read`]; `map` says column by column what is taken for what.
pub fn read_mapped(bytes: &[u8], file: &str, map: Option<&[Option<Column>]>) -> Read {
    let rows = match RowReader::new(bytes, file) {
        Ok(rows) => rows,
        Err(remark) => return whole(remark),
    };
    let headings = rows.heading().to_vec();
    let columns = map.map_or_else(|| guessed(&headings), <[_]>::to_vec);
    let lacks = [Column::Of, Column::Value]
        .into_iter()
        .find(|c| !columns.contains(&Some(*c)));
    if let Some(lacks) = lacks {
        return whole(Remark {
            file: file.to_string(),
            line: 0,
            column: String::new(),
            loss: Loss::File,
            why: format!("no column says {}", lacks.means()),
            remedy: format!("head one of them “{}”", lacks.heading()),
        });
    }
    let mut read = Read::default();
    let mut refused = 0;
    for (count, row) in rows.enumerate() {
        if count == MOST_ROWS {
            read.remarks.push(Remark {
                file: file.to_string(),
                line: 0,
                column: String::new(),
                loss: Loss::File,
                why: format!(
                    "the book holds more than {MOST_ROWS} rows; those after them were not read"
                ),
                remedy: "keep the rows of parts that you meet, and split the rest off".into(),
            });
            break;
        }
        let entry = row.and_then(|row| cells::entry(&row, &columns, &headings, file));
        match entry {
            Ok(entry) => read.book.add(entry),
            Err(remark) => {
                refused += 1;
                if refused <= TOLD {
                    read.remarks.push(remark);
                }
            }
        }
    }
    if refused > TOLD {
        read.remarks.push(Remark {
            file: file.to_string(),
            line: 0,
            column: String::new(),
            loss: Loss::Row,
            why: format!("{} more rows cannot be used", refused - TOLD),
            remedy: "correct those named first; they are often alike".into(),
        });
    }
    read
}

fn whole(remark: Remark) -> Read {
    Read {
        book: Book::default(),
        remarks: vec![remark],
    }
}

/// Letters and digits alone, small.
fn folded(text: &str) -> String {
    text.chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect()
}
