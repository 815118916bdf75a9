//! What is known beside a text, and what is found in it. Pure data.
//!
//! In: nothing. Out: [`Known`], [`Found`]. Not here: finding (`find`).

use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// What is known beside a text.
#[derive(Debug, Clone, Default)]
pub struct Known {
    /// Makers by their words in lower case.
    pub(crate) makers: BTreeMap<String, String>,
    /// Numbers, folded.
    pub(crate) parts: BTreeSet<String>,
}

impl Known {
    /// Takes part numbers with their makers; either may be empty.
    pub fn new<'p>(parts: impl IntoIterator<Item = (&'p str, &'p str)>) -> Self {
        let mut known = Self::default();
        for (part, maker) in parts {
            if !part.is_empty() {
                known.parts.insert(folded(part));
            }
            if !maker.is_empty() {
                known.makers.insert(maker.to_lowercase(), maker.to_string());
            }
        }
        known
    }
}

/// What a mark is on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum What {
    /// The part number.
    Part,
    /// The maker.
    Maker,
    /// The role.
    Role,
}

/// Words of a sentence that something was read from.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Mark {
    /// First byte in the sentence.
    pub from: usize,
    /// The byte after its last.
    pub to: usize,
    /// What was read.
    pub what: What,
}

/// A sentence with marks.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Quote {
    /// The line of the file that it begins on, from 1.
    pub line: usize,
    /// Its words.
    pub sentence: String,
    /// What was read where, in order.
    pub marks: Vec<Mark>,
}

/// A part that a text speaks of.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Proposal {
    /// Its number, as first written.
    pub part: String,
    /// Its maker.
    pub maker: Option<String>,
    /// What it does.
    pub role: Option<String>,
    /// Probability that it is a part number.
    pub probability: f64,
    /// Whether a catalogue has the number.
    pub known: bool,
    /// How often it is mentioned.
    pub mentions: usize,
    /// The sentences, the one that says most first.
    pub quotes: Vec<Quote>,
}

/// A maker that a text names.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Maker {
    /// Its name.
    pub name: String,
    /// The line it is named on first.
    pub line: usize,
    /// The sentence.
    pub sentence: String,
}

/// What a text speaks of.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Found {
    /// What the text calls itself.
    pub title: Option<String>,
    /// Parts, in the order of the text.
    pub parts: Vec<Proposal>,
    /// Makers of parts, each once.
    pub makers: Vec<Maker>,
}

/// Numbers are one however their pieces are joined.
pub(crate) fn folded(number: &str) -> String {
    let kept = number.chars().filter(|c| c.is_alphanumeric());
    kept.flat_map(char::to_uppercase).collect()
}
