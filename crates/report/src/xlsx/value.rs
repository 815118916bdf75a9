//! What a cell becomes in a spreadsheet: the number itself with a format of the same digits.
//!
//! In: a cell and its column. Out: a number and its pattern, a day, text. Not here: how many digits
//! a number deserves (`methods::Cell`); writing.

use methods::words::percent_decimals;
use methods::{Cell, Column, QuantityValue};
use quantity::{Sense, Unit};
use rust_xlsxwriter::ExcelDateTime;

/// What is written into a spreadsheet.
pub(super) enum Value {
    Nothing,
    /// Text; never read as a formula.
    Text(String),
    /// A number and its pattern.
    Number(f64, String),
    Date(ExcelDateTime),
}

impl Value {
    /// Returns the text that may need more than one line.
    pub(super) fn text(&self) -> &str {
        match self {
            Self::Text(text) => text,
            Self::Nothing | Self::Number(..) | Self::Date(_) => "",
        }
    }
}

/// Returns what a cell of a column becomes.
pub(super) fn value(column: &Column, cell: &Cell) -> Value {
    match cell {
        Cell::Nothing => Value::Nothing,
        Cell::Count { count } => {
            // Exact up to 2^53; far more things than anything is made of.
            #[allow(clippy::cast_precision_loss, reason = "exact up to 2^53")]
            let count = *count as f64;
            Value::Number(count, "0".to_owned())
        }
        Cell::Number(number) => {
            let sign = match number.sense {
                Sense::AtLeast => "\"≥ \"",
                Sense::UpTo => "\"≤ \"",
                Sense::About => "\"≈ \"",
                Sense::Exactly | Sense::Between => "",
            };
            let digits = digits(number.decimals);
            let pattern = if number.signed {
                format!("{sign}+{digits};{sign}-{digits};{sign}{digits}")
            } else {
                format!("{sign}{digits}")
            };
            Value::Number(number.value, pattern)
        }
        Cell::Quantity(quantity) => in_column(quantity, column.unit.as_ref()),
        Cell::Date { first, last } if first == last => {
            let part = |n: i8| u8::try_from(n).unwrap_or(1);
            let year = u16::try_from(first.year()).unwrap_or(0);
            let day = ExcelDateTime::from_ymd(year, part(first.month()), part(first.day()));
            // The file format counts days from 1900; earlier ones stay words.
            day.map_or_else(|_| Value::Text(column.print(cell)), Value::Date)
        }
        Cell::Probability { probability } => {
            let pattern = format!("{} %", digits(percent_decimals(*probability)));
            Value::Number(*probability, pattern)
        }
        Cell::Words { .. }
        | Cell::Date { .. }
        | Cell::Verdict { .. }
        | Cell::Place { .. }
        | Cell::Named { .. }
        | Cell::List { .. } => Value::Text(column.print(cell)),
    }
}

/// Returns a quantity in the unit of its column, whose heading names it; else in its own, which the
/// format shows.
fn in_column(quantity: &QuantityValue, unit: Option<&Unit>) -> Value {
    if let Some(value) = unit.and_then(|unit| quantity.to(unit)) {
        return Value::Number(value.value, digits(value.decimals()));
    }
    let symbol = quantity.unit.symbol().replace('"', "");
    let pattern = match symbol.as_str() {
        "" => digits(quantity.decimals()),
        "°" => format!("{}\"°\"", digits(quantity.decimals())),
        _ => format!("{}\" {symbol}\"", digits(quantity.decimals())),
    };
    Value::Number(quantity.value, pattern)
}

/// Returns a value with all the digits that are worth carrying on with, beside one that is shown rounded.
pub(super) fn full(value: f64) -> Cell {
    const FIGURES: usize = 9;
    Cell::significant(value, FIGURES)
}

fn digits(decimals: usize) -> String {
    match decimals {
        0 => "0".to_owned(),
        n => format!("0.{}", "0".repeat(n)),
    }
}
