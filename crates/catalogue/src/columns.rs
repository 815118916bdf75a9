//! The published columns of a catalogue, each stated once: name, meaning, example, and where its
//! value lives in a [`Part`].
//!
//! The reader, the writer, the merge, the mapping of foreign tables and the table in
//! `docs/catalogue.md` are all made from [`COLUMNS`].

use crate::{Part, TopCode};
use std::collections::BTreeMap;

/// One column of a catalogue.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// Heading.
    pub name: &'static str,
    /// What it means.
    pub meaning: &'static str,
    /// A cell as it may stand there.
    pub example: &'static str,
    pub(crate) kind: Kind,
}

/// Where the value of a column lives, and so how its cell is written.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Kind {
    Text(fn(&Part) -> &String, fn(&mut Part) -> &mut String),
    List(fn(&Part) -> &Vec<String>, fn(&mut Part) -> &mut Vec<String>),
    Codes(
        fn(&Part) -> &Vec<TopCode>,
        fn(&mut Part) -> &mut Vec<TopCode>,
    ),
    Ratings(
        fn(&Part) -> &BTreeMap<String, String>,
        fn(&mut Part) -> &mut BTreeMap<String, String>,
    ),
    Pins,
    Body,
    Pitch,
}

/// Returns the column of that name.
pub fn column(name: &str) -> Option<&'static Column> {
    COLUMNS.iter().find(|c| c.name == name)
}

/// Every column, in the order they are written.
pub const COLUMNS: &[Column] = &[
    Column {
        name: "name",
        meaning: "part number as its maker writes it; the only column that must be filled",
        example: "NHF2104",
        kind: Kind::Text(|p| &p.name, |p| &mut p.name),
    },
    Column {
        name: "maker",
        meaning: "its maker",
        example: "Nordhafen",
        kind: Kind::Text(|p| &p.maker, |p| &mut p.maker),
    },
    Column {
        name: "aliases",
        meaning: "other numbers of the same part, a list",
        example: "NHF2104-R | 2104F",
        kind: Kind::List(|p| &p.aliases, |p| &mut p.aliases),
    },
    Column {
        name: "codes",
        meaning: "top-marking codes, a list: what is printed on packages too small for the name, each \
                  with its package behind an @ where that is known",
        example: "4A7 @ SOT-23-5 | 4A8",
        kind: Kind::Codes(|p| &p.codes, |p| &mut p.codes),
    },
    Column {
        name: "packages",
        meaning: "package outlines it comes in, a list",
        example: "QFN-16 | SOT-23-5",
        kind: Kind::List(|p| &p.packages, |p| &mut p.packages),
    },
    Column {
        name: "pins",
        meaning: "number of pins, an exposed pad not counted",
        example: "16",
        kind: Kind::Pins,
    },
    Column {
        name: "body_mm",
        meaning: "length and width of the body in mm, leads not counted",
        example: "3 x 3",
        kind: Kind::Body,
    },
    Column {
        name: "pitch_mm",
        meaning: "distance between neighbouring pins in mm",
        example: "0.5",
        kind: Kind::Pitch,
    },
    Column {
        name: "role",
        meaning: "what it does",
        example: "charger",
        kind: Kind::Text(|p| &p.role, |p| &mut p.role),
    },
    Column {
        name: "power_pins",
        meaning: "names of the pins that take power in, a list",
        example: "VBUS | VBAT",
        kind: Kind::List(|p| &p.power_pins, |p| &mut p.power_pins),
    },
    Column {
        name: "ratings",
        meaning: "ratings, a list of name=value with unit, names as in the dossier",
        example: "working-voltage=5.5 V | current=1 A",
        kind: Kind::Ratings(|p| &p.ratings, |p| &mut p.ratings),
    },
    Column {
        name: "ratings_origin",
        meaning: "where the ratings are from: data-sheet, label, measured or estimated",
        example: "data-sheet",
        kind: Kind::Text(|p| &p.ratings_origin, |p| &mut p.ratings_origin),
    },
    Column {
        name: "description",
        meaning: "one line on what it is",
        example: "single-cell charger with power path",
        kind: Kind::Text(|p| &p.description, |p| &mut p.description),
    },
    Column {
        name: "keywords",
        meaning: "words to find it by, a list",
        example: "charger | linear",
        kind: Kind::List(|p| &p.keywords, |p| &mut p.keywords),
    },
    Column {
        name: "data_sheet",
        meaning: "address of its data sheet",
        example: "https://parts.example/nhf2104.pdf",
        kind: Kind::Text(|p| &p.data_sheet, |p| &mut p.data_sheet),
    },
    Column {
        name: "seen_with",
        meaning: "part numbers that it was seen with on one board, a list",
        example: "OXT7 | TH-KARN2",
        kind: Kind::List(|p| &p.seen_with, |p| &mut p.seen_with),
    },
    Column {
        name: "known_from",
        meaning: "where this entry is known from",
        example: "dossier nivalet-cradle, item U3",
        kind: Kind::Text(|p| &p.known_from, |p| &mut p.known_from),
    },
];
