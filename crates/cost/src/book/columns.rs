//! What the columns of a price book are, by their headings.
//!
//! Source of the headings: common practice of quotations and parts lists, from memory; the user overrules each.

use super::folded;

/// What a column is taken for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Column {
    /// What the row prices.
    Of,
    /// For which one.
    Name,
    /// Price, ladder or number.
    Value,
    /// Currency.
    Currency,
    /// What the price is for.
    Per,
    /// How far off it may be.
    Within,
    /// How sure it is.
    Confidence,
    /// The day it held.
    Date,
    /// Where it is from.
    Source,
    /// The series of prices that it follows.
    Series,
    /// Pieces that a tool lasts for.
    Life,
    /// Weight among alternatives.
    Weight,
    /// Pieces lost in making.
    Loss,
}

/// Each with its headings, without spaces and signs, and what it says. The first heading is ours.
const HEADINGS: [(Column, &[&str], &str); 13] = [
    (
        Column::Of,
        &["of", "kind", "sort", "category", "prices"],
        "what its rows price",
    ),
    (
        Column::Name,
        &[
            "name",
            "part",
            "partnumber",
            "mpn",
            "class",
            "item",
            "for",
            "which",
        ],
        "for which one",
    ),
    (
        Column::Value,
        &[
            "price",
            "value",
            "unitprice",
            "ladder",
            "cost",
            "amount",
            "prices",
        ],
        "the price",
    ),
    (
        Column::Currency,
        &["currency", "cur", "money"],
        "the currency",
    ),
    (
        Column::Per,
        &["per", "unit", "uom"],
        "what the price is for",
    ),
    (
        Column::Within,
        &["within", "spread", "tolerance", "plusminus", "uncertainty"],
        "how far off it may be",
    ),
    (
        Column::Confidence,
        &["confidence", "basis", "certainty"],
        "how sure it is",
    ),
    (
        Column::Date,
        &["date", "asof", "day", "quoted"],
        "the day it held",
    ),
    (
        Column::Source,
        &["source", "from", "supplier", "seller", "reference"],
        "where it is from",
    ),
    (
        Column::Series,
        &["series", "follows"],
        "the series it follows",
    ),
    (
        Column::Life,
        &["life", "lasts", "shots"],
        "pieces a tool lasts for",
    ),
    (
        Column::Weight,
        &["weight", "chance", "probability"],
        "the weight among alternatives",
    ),
    (
        Column::Loss,
        &["loss", "attrition", "scrap"],
        "pieces lost in making",
    ),
];

impl Column {
    /// Returns our own heading for it.
    pub fn heading(self) -> &'static str {
        HEADINGS[self as usize].1[0]
    }

    /// Returns what it says.
    pub fn means(self) -> &'static str {
        HEADINGS[self as usize].2
    }
}

/// Guesses what each column is; none is taken twice.
pub fn guessed(headings: &[String]) -> Vec<Option<Column>> {
    let mut taken = Vec::new();
    let guess = headings.iter().map(|heading| {
        let name = heading.split(['(', '[']).next().unwrap_or_default();
        let name = folded(name);
        let fits = HEADINGS
            .iter()
            .find(|(column, names, _)| !taken.contains(column) && names.contains(&name.as_str()));
        let column = fits.map(|(column, ..)| *column);
        taken.extend(column);
        column
    });
    guess.collect()
}
