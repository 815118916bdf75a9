//! A price book as a table again.
//!
//! In: rows. Out: CSV that reads back as the same rows; cells that a spreadsheet would take for formulas are guarded.

use super::columns::Column;
use super::{Entry, Value};
use std::fmt::Write as _;

const COLUMNS: [Column; 12] = [
    Column::Of,
    Column::Name,
    Column::Value,
    Column::Currency,
    Column::Within,
    Column::Confidence,
    Column::Date,
    Column::Source,
    Column::Series,
    Column::Life,
    Column::Weight,
    Column::Loss,
];

/// Writes rows with their headings, prices per our own units.
pub fn write<'a>(rows: impl IntoIterator<Item = &'a Entry>) -> String {
    let mut text = COLUMNS.map(Column::heading).join(",");
    text.push('\n');
    for row in rows {
        let cells = COLUMNS.map(|column| quoted(&cell(row, column)));
        text.push_str(&cells.join(","));
        text.push('\n');
    }
    text
}

fn cell(row: &Entry, column: Column) -> String {
    let number = |x: Option<f64>| x.map(|x| x.to_string()).unwrap_or_default();
    match column {
        Column::Of => row.kind.word().to_string(),
        Column::Name => row.name.clone(),
        Column::Value => value(&row.value),
        Column::Currency => row
            .currency
            .map(|c| c.code().to_string())
            .unwrap_or_default(),
        Column::Per => String::new(),
        Column::Within if row.within == 0.0 => String::new(),
        Column::Within => row.within.to_string(),
        Column::Confidence => row.confidence.word().to_string(),
        Column::Date => row.date.map(|d| d.to_string()).unwrap_or_default(),
        Column::Source => row.source.clone(),
        Column::Series => row.series.clone().unwrap_or_default(),
        Column::Life => number(row.life),
        Column::Weight => number(row.weight),
        Column::Loss => row
            .attrition
            .map(|lost| format!("{}, at least {}", lost.share, lost.least))
            .unwrap_or_default(),
    }
}

fn value(value: &Value) -> String {
    match value {
        Value::Number(number) => number.to_string(),
        Value::Prices(ladder) => {
            let breaks = ladder.breaks().iter();
            joined(breaks.map(|(from, price)| (from.to_string(), *price)))
        }
        Value::Settings(all) => joined(all.iter().map(|(name, x)| (name.clone(), *x))),
    }
}

fn joined(pairs: impl Iterator<Item = (String, f64)>) -> String {
    let mut text = String::new();
    for (name, number) in pairs {
        let between = if text.is_empty() { "" } else { " | " };
        // Writing to a String cannot fail.
        let _ = write!(text, "{between}{name}: {number}");
    }
    text
}

fn quoted(cell: &str) -> String {
    let cell = catalogue::escaped_formula(cell);
    match cell.contains([',', '"', '\n', '\r', ';', '\t']) {
        true => format!("\"{}\"", cell.replace('"', "\"\"")),
        false => cell.to_string(),
    }
}
