//! What the columns of a table are, by their headings.
//!
//! Source of the headings: common practice of parts lists and weighing sheets, from memory; the user overrules each.

use serde::{Deserialize, Serialize};

/// What the rows of a table are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sort {
    /// Parts on a board.
    Parts,
    /// Measured values.
    Readings,
}

/// What a column is taken for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Column {
    /// Reference printed on the board (U5).
    Reference,
    /// Marking as seen; `|` parts lines.
    Marking,
    /// Part number.
    PartNumber,
    /// Maker of the part.
    Maker,
    /// Role.
    Role,
    /// Package.
    Package,
    /// How many.
    Count,
    /// The item that it is in or on, by id or name.
    Parent,
    /// The item measured, by id or name.
    Item,
    /// What was measured.
    What,
    /// The value.
    Value,
    /// The mass, where each row is a weighing.
    Mass,
    /// The instrument, by id or name.
    Instrument,
    /// A note.
    Note,
}

impl Column {
    /// All of them, those of parts first.
    pub const ALL: [Self; 14] = [
        Self::Reference,
        Self::Marking,
        Self::PartNumber,
        Self::Maker,
        Self::Role,
        Self::Package,
        Self::Count,
        Self::Parent,
        Self::Item,
        Self::What,
        Self::Value,
        Self::Mass,
        Self::Instrument,
        Self::Note,
    ];

    /// Returns its word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Reference => "reference",
            Self::Marking => "marking",
            Self::PartNumber => "part-number",
            Self::Maker => "maker",
            Self::Role => "role",
            Self::Package => "package",
            Self::Count => "count",
            Self::Parent => "parent",
            Self::Item => "item",
            Self::What => "what",
            Self::Value => "value",
            Self::Mass => "mass",
            Self::Instrument => "instrument",
            Self::Note => "note",
        }
    }
}

/// Headings without spaces, signs and what stands in brackets, for each column; the first that fits wins.
const HEADINGS: &[(Column, &[&str])] = &[
    (
        Column::Reference,
        &[
            "reference",
            "ref",
            "refdes",
            "designator",
            "at",
            "position",
            "refs",
        ],
    ),
    (
        Column::Marking,
        &[
            "marking",
            "topmarking",
            "topmark",
            "mark",
            "seen",
            "print",
            "text",
        ],
    ),
    (
        Column::PartNumber,
        &[
            "partnumber",
            "partno",
            "mpn",
            "pn",
            "part",
            "type",
            "ordercode",
            "is",
            "device",
        ],
    ),
    (
        Column::Maker,
        &["maker", "manufacturer", "mfr", "mfg", "vendor", "brand"],
    ),
    (
        Column::Role,
        &[
            "role",
            "function",
            "purpose",
            "description",
            "whatitdoes",
            "does",
        ],
    ),
    (
        Column::Package,
        &["package", "footprint", "case", "outline"],
    ),
    (
        Column::Count,
        &["count", "qty", "quantity", "number", "pieces", "pcs"],
    ),
    (Column::Parent, &["board", "parent", "on", "in", "assembly"]),
    (
        Column::Item,
        &["item", "thing", "piece", "component", "name", "object"],
    ),
    (
        Column::What,
        &["what", "measure", "measured", "kind", "quantitymeasured"],
    ),
    (Column::Mass, &["mass", "weight"]),
    (
        Column::Value,
        &["value", "reading", "result", "measurement"],
    ),
    (
        Column::Instrument,
        &["instrument", "scale", "measuredwith", "with", "tool"],
    ),
    (
        Column::Note,
        &["note", "notes", "remark", "comment", "comments"],
    ),
];

/// Guesses what each column is; none is taken twice.
pub(super) fn guessed(headings: &[String]) -> Vec<Option<Column>> {
    let mut taken = Vec::new();
    let guess = headings.iter().map(|heading| {
        let folded = folded(heading);
        let fits = HEADINGS
            .iter()
            .find(|(column, names)| !taken.contains(column) && names.contains(&folded.as_str()));
        let column = fits.map(|(column, _)| *column);
        taken.extend(column);
        column
    });
    guess.collect()
}

/// Tells what the rows are by the columns that are there.
pub(super) fn sort(columns: &[Option<Column>]) -> Option<Sort> {
    let has = |wanted: Column| columns.contains(&Some(wanted));
    if has(Column::Item) && (has(Column::Mass) || has(Column::Value)) {
        return Some(Sort::Readings);
    }
    let is_part = has(Column::Reference) || has(Column::Marking) || has(Column::PartNumber);
    is_part.then_some(Sort::Parts)
}

/// Returns the unit that a heading states in brackets or behind a stroke: `Mass (g)`, `weight / g`.
pub(super) fn unit(headings: &[String], columns: &[Option<Column>], of: Column) -> Option<String> {
    let at = columns.iter().position(|column| *column == Some(of))?;
    let heading = headings.get(at)?;
    let bracket = heading
        .split_once(['(', '['])
        .and_then(|(_, rest)| rest.split_once([')', ']']));
    let unit = match bracket {
        Some((unit, _)) => unit,
        None => heading.split_once('/')?.1,
    };
    let unit = unit.trim();
    (!unit.is_empty()).then(|| unit.to_string())
}

fn folded(heading: &str) -> String {
    let name = heading.split(['(', '[', '/']).next().unwrap_or_default();
    name.chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect()
}
