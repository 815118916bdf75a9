//! Tables of typed cells.
//!
//! In: what a method found, row by row. Out: plain data in which a number is a number; every output
//! prints a cell by the one rule of `print`.
//! Not here: how wide a column is; what leads where.

mod cell;
mod print;

pub use cell::{Between, Cell, Number, QuantityValue, Written};

use quantity::Unit;
use serde::{Deserialize, Serialize};

/// A table.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Table {
    /// Caption.
    pub caption: String,
    /// Columns.
    pub columns: Vec<Column>,
    /// Cells, row by row; as many in each row as there are columns.
    pub rows: Vec<Vec<Cell>>,
}

/// One column of a table.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Column {
    /// Heading, without unit.
    pub heading: String,
    /// The unit of every cell in it, where there is one; cells are printed without it then.
    pub unit: Option<Unit>,
    /// What its cells hold, unless they hold words or nothing.
    pub kind: Kind,
}

/// What the cells of a column hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// Words, or lists of anything.
    Words,
    /// Whole numbers of things.
    Count,
    /// Numbers without unit, or in the unit of the column.
    Number,
    /// Quantities.
    Quantity,
    /// Days.
    Date,
    /// Probabilities.
    Probability,
    /// Decisions.
    Verdict,
    /// Places in the record.
    Place,
}

impl Kind {
    /// Returns whether cells are numbers, which outputs set to the right.
    pub fn is_number(self) -> bool {
        match self {
            Self::Count | Self::Number | Self::Quantity | Self::Probability => true,
            Self::Words | Self::Date | Self::Verdict | Self::Place => false,
        }
    }
}

impl Column {
    /// Makes a column without a unit of its own.
    pub fn new(heading: impl Into<String>, kind: Kind) -> Self {
        Self {
            heading: heading.into(),
            unit: None,
            kind,
        }
    }

    /// Makes a column of words.
    pub fn words(heading: impl Into<String>) -> Self {
        Self::new(heading, Kind::Words)
    }

    /// Makes a column of counts.
    pub fn count(heading: impl Into<String>) -> Self {
        Self::new(heading, Kind::Count)
    }

    /// Makes a column of numbers without unit.
    pub fn number(heading: impl Into<String>) -> Self {
        Self::new(heading, Kind::Number)
    }

    /// Makes a column of quantities, each with its unit.
    pub fn quantity(heading: impl Into<String>) -> Self {
        Self::new(heading, Kind::Quantity)
    }

    /// Makes a column of quantities in one unit, which stands in the heading.
    pub fn in_unit(heading: impl Into<String>, unit: Unit) -> Self {
        Self {
            unit: Some(unit),
            ..Self::new(heading, Kind::Quantity)
        }
    }

    /// Makes a column of days.
    pub fn date(heading: impl Into<String>) -> Self {
        Self::new(heading, Kind::Date)
    }

    /// Makes a column of probabilities.
    pub fn probability(heading: impl Into<String>) -> Self {
        Self::new(heading, Kind::Probability)
    }

    /// Makes a column of decisions.
    pub fn verdict(heading: impl Into<String>) -> Self {
        Self::new(heading, Kind::Verdict)
    }

    /// Makes a column of places in the record.
    pub fn place(heading: impl Into<String>) -> Self {
        Self::new(heading, Kind::Place)
    }
}
