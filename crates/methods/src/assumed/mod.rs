//! Every figure that the methods take for granted, in one table.
//!
//! In: nothing. Out: rows with value, unit, source and year; their text and their distribution; the page
//! that lists them. Not here: figures of the record; constants of numerical methods.
//! Source: of each row, its own; `common practice` and `from memory` are said where nothing better is
//! known, with the year in which the figure was set down.

mod cells;
mod table;

use crate::inputs::unit;
pub use cells::*;
use quantity::Distribution;
pub use table::*;

/// Shape of PERT distributions: the usual weight of the mode.
const PERT_LAMBDA: f64 = 4.0;

/// Makes each row a constant and lists them all.
macro_rules! rows {
    ($($key:ident = $value:expr, $unit:literal $under:literal, $what:literal, $source:expr, $year:literal, [$($page:literal),+];)+) => {
        $(#[doc = $what] pub const $key: Row = Row {
            key: stringify!($key),
            value: { const VALUE: Value = $value; VALUE },
            unit: $unit,
            under: $under,
            what: $what,
            source: $source,
            year: $year,
            pages: &[$($page),+],
        };)+
        /// Its rows, in order.
        pub(super) const ROWS: &[Row] = &[$($key),+];
    };
}
use rows;

/// All rows, in the order of the tables.
pub const ROWS: [&Row; table::ROWS.len() + cells::ROWS.len()] = {
    let mut all = [&table::ROWS[0]; table::ROWS.len() + cells::ROWS.len()];
    let mut at = 0;
    while at < all.len() {
        all[at] = if at < table::ROWS.len() {
            &table::ROWS[at]
        } else {
            &cells::ROWS[at - table::ROWS.len()]
        };
        at += 1;
    }
    all
};

/// What a row says of the figure, in the row's unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Value {
    /// One value: a threshold, a tolerance, a convention.
    One(f64),
    /// Anywhere between two, rectangular.
    Between(f64, f64),
    /// Least, typical, greatest; triangular.
    Triangular(f64, f64, f64),
    /// Least, typical, greatest; PERT.
    Pert(f64, f64, f64),
}

/// One figure taken for granted. Rows are made in the table alone, so nothing is assumed without one.
#[derive(Debug, Clone, Copy)]
pub struct Row {
    key: &'static str,
    value: Value,
    unit: &'static str,
    /// Follows the value in print.
    under: &'static str,
    what: &'static str,
    source: &'static str,
    year: u16,
    pages: &'static [&'static str],
}

impl Row {
    /// Returns the name of the row in the table.
    pub const fn key(&self) -> &'static str {
        self.key
    }
    /// Returns the symbol of its unit; empty for a bare number.
    pub const fn unit(&self) -> &'static str {
        self.unit
    }
    /// Returns what the figure is, in words.
    pub const fn what(&self) -> &'static str {
        self.what
    }
    /// Returns where the figure is from.
    pub const fn source(&self) -> &'static str {
        self.source
    }
    /// Returns the year of the source, or that in which a figure of common practice was set down.
    pub const fn year(&self) -> u16 {
        self.year
    }
    /// Returns the names of the pages in `docs/methods` that list it.
    pub const fn pages(&self) -> &'static [&'static str] {
        self.pages
    }
    /// Returns the value, or the typical one, in the row's unit; the middle of two bounds.
    pub const fn number(&self) -> f64 {
        match self.value {
            Value::One(value) | Value::Triangular(_, value, _) | Value::Pert(_, value, _) => value,
            Value::Between(low, high) => f64::midpoint(low, high),
        }
    }
    /// Returns the least and the greatest value in the row's unit.
    pub const fn bounds(&self) -> (f64, f64) {
        match self.value {
            Value::One(value) => (value, value),
            Value::Between(low, high)
            | Value::Triangular(low, _, high)
            | Value::Pert(low, _, high) => (low, high),
        }
    }
    /// Returns [`Row::number`] in SI.
    pub fn si(&self) -> f64 {
        self.to_si(self.number())
    }
    fn to_si(self, value: f64) -> f64 {
        match self.unit {
            // 95 × 0.01 is not the number nearest to 0.95.
            "%" => value / 100.0,
            symbol => unit(symbol).to_si(value),
        }
    }
    /// Returns the distribution of the figure, in SI.
    pub(crate) fn distribution(&self) -> Distribution {
        let si = |value| self.to_si(value);
        match self.value {
            Value::One(value) => Distribution::Exact { value: si(value) },
            Value::Between(low, high) => Distribution::Rectangular {
                low: si(low),
                high: si(high),
            },
            Value::Triangular(low, mode, high) => Distribution::Triangular {
                low: si(low),
                mode: si(mode),
                high: si(high),
            },
            Value::Pert(low, mode, high) => Distribution::Pert {
                low: si(low),
                mode: si(mode),
                high: si(high),
                lambda: PERT_LAMBDA,
            },
        }
    }
    /// Returns the value as a reader sees it: `95 % (88…100 %) above the cut-off`.
    pub fn text(&self) -> String {
        let space = if self.unit.is_empty() { "" } else { " " };
        // A bare factor keeps its decimal point; a quantity is printed as short as it is.
        let number = |value: f64| {
            if self.unit.is_empty() {
                format!("{value:?}")
            } else {
                value.to_string()
            }
        };
        let with = |value: f64| format!("{}{space}{}", number(value), self.unit);
        let value = match self.value {
            Value::One(value) => with(value),
            Value::Between(low, high) => format!("{} to {}", with(low), with(high)),
            Value::Triangular(low, mode, high) | Value::Pert(low, mode, high) => {
                format!("{} ({}…{})", with(mode), number(low), with(high))
            }
        };
        format!("{value}{}", self.under)
    }
    /// Returns how the value is spread, in a word.
    const fn law(&self) -> &'static str {
        match self.value {
            Value::One(_) => "one value",
            Value::Between(..) => "rectangular, or a band",
            Value::Triangular(..) => "triangular",
            Value::Pert(..) => "PERT",
        }
    }
}

/// Returns the page that lists the table, in Markdown.
pub fn page() -> String {
    let mut page = "# Figures taken for granted\n\n\
        Written from the table in `crates/methods/src/assumed` by `cargo run -p underlid-methods --example \
        assumptions`; a test compares them. What a dossier states goes before every one of these. The year is \
        that of the source; with common practice or memory it is the year in which the figure was set down.\n\n\
        | name | value | spread | what it is | source | year | used by |\n|---|---|---|---|---|---|---|\n"
        .to_string();
    for row in ROWS {
        let pages: Vec<String> = row
            .pages
            .iter()
            .map(|p| format!("[{p}](methods/{p}.md)"))
            .collect();
        page.push_str(&format!(
            "| `{}` | {} | {} | {} | {} | {} | {} |\n",
            row.key,
            row.text(),
            row.law(),
            row.what,
            row.source,
            row.year,
            pages.join(", ")
        ));
    }
    page.push_str(
        "\n## Measuring photographs\n\nFrom the table in `crates/imaging/src/geometry/assumed.rs`, which \
         [geometry](methods/geometry.md) and everything measured on a photograph rest on.\n\n\
         | name | value | what it is | source | year |\n|---|---|---|---|---|\n",
    );
    for row in imaging::geometry::ASSUMPTIONS {
        let space = if row.unit.is_empty() { "" } else { " " };
        page.push_str(&format!(
            "| `{}` | {}{space}{} | {} | {} | {} |\n",
            row.key, row.value, row.unit, row.what, row.source, row.year
        ));
    }
    page
}
