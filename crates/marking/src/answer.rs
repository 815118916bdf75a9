//! What comes out: candidates with probabilities that sum to one with those of the others.

use crate::clues::Factor;
use crate::lines::Role;
use crate::model::align::Pair;

/// Which of a part's names was matched.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum EntryKind {
    /// Its name.
    Name,
    /// Another of its numbers.
    Alias,
    /// A top-marking code.
    Code,
}

/// One part that the marking may belong to.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// Row of the part in the catalogue.
    pub part: usize,
    /// Which of its names was matched.
    pub kind: EntryKind,
    /// That name as the catalogue writes it.
    pub name: String,
    /// Probability that the marking belongs to this part.
    pub probability: f64,
    /// Price of the alignment, nats: −ln P(seen | name), relative to reading every character right.
    pub cost: f64,
    /// Price of the whole hypothesis, thousandths of a nat; candidates are ordered by it.
    pub total_milli: i32,
    /// What happened to each character.
    pub alignment: Vec<Pair>,
    /// The other clues and what they say.
    pub factors: Vec<Factor>,
    /// Which of the part's packages, from 0, agrees best with the package that was asked for; none where
    /// the part has no package.
    pub package: Option<usize>,
    /// First line that was read as the part number, from 0.
    pub line: usize,
    /// Whether the next line belongs to it.
    pub joined: bool,
}

/// What one line says.
#[derive(Debug, Clone, PartialEq)]
pub struct LineReading {
    /// Roles with their probabilities, likeliest first; they sum to one.
    pub roles: Vec<(Role, f64)>,
}

/// Why a marking was not looked up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Refusal {
    /// No character was read.
    #[error("no character of this marking can be read; look again under grazing light")]
    NothingRead,
    /// Every line is too long for a part number.
    #[error("no line of this marking is short enough for a part number (64 characters)")]
    TooLong,
}

/// The answer to "what is this part?".
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// The likeliest parts, at most ten, likeliest first; ties in the order of the catalogue.
    pub candidates: Vec<Candidate>,
    /// Probability that no part of the catalogue carries this marking.
    pub none: f64,
    /// Probability of all parts that are not listed: counted as far as they are within the cut, the
    /// rest estimated.
    pub unlisted: f64,
    /// The estimated share of `unlisted`.
    pub estimated: f64,
    /// What each line says; lines beyond the twelfth are not looked at.
    pub lines: Vec<LineReading>,
    /// Set when nothing was looked up; then `none` is 1.
    pub refusal: Option<Refusal>,
}

impl Answer {
    pub(crate) fn refused(refusal: Refusal) -> Self {
        Self {
            candidates: Vec::new(),
            none: 1.0,
            unlisted: 0.0,
            estimated: 0.0,
            lines: Vec::new(),
            refusal: Some(refusal),
        }
    }
}
