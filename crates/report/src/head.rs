//! What stands first in a report: picture, name, judgement, tally, key figures.
//!
//! In: nothing; [`compose`](crate::compose) fills it. Out: plain data that report, sheet, article and link picture
//! draw. Not here: choosing and wording (`compose/head`).

use crate::{ChipCard, Picture};
use methods::Verdict;

/// Writes a file as text for addresses that hold it.
pub fn base64(bytes: &[u8]) -> String {
    use base64::Engine as _;
    base64::engine::general_purpose::STANDARD.encode(bytes)
}

/// The head of a report.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Head {
    /// The product in a picture; none without a photograph.
    pub hero: Option<Hero>,
    /// What it is, by whom, for how much, opened when: one line each.
    pub about: Vec<String>,
    /// How the printed claims came out, in one sentence or two.
    pub judgement: String,
    /// How many claims came out how, failures first; verdicts that no claim has are left out.
    pub tally: Vec<Tally>,
    /// What holds for all that follows: the meaning of ±, how many samples, what must be disclosed.
    pub notes: Vec<String>,
    /// At most five.
    pub figures: Vec<KeyFigure>,
    /// The claims to know first.
    pub telling: Telling,
    /// The chips in the order of a reader's interest.
    pub chips: Vec<ChipCard>,
    /// The boards, the one with most named parts first.
    pub boards: Vec<Shot>,
    /// Opening in a few pictures, in order.
    pub opening: Vec<Shot>,
}

/// A photograph with what it shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Shot {
    /// In words.
    pub words: String,
    /// What was done before it was taken; may be empty.
    pub step: String,
    /// The picture.
    pub picture: Picture,
    /// Anchor of the photograph.
    pub anchor: String,
}

/// The picture of the product.
#[derive(Debug, Clone, PartialEq)]
pub struct Hero {
    /// A square.
    pub picture: Picture,
    /// Caption of its photograph.
    pub caption: String,
    /// Anchor of its photograph.
    pub anchor: String,
}

/// How many claims have a verdict.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tally {
    /// The verdict.
    pub verdict: Verdict,
    /// How many.
    pub count: usize,
    /// The verb ("fail").
    pub verb: &'static str,
    /// Anchor of the first of them.
    pub anchor: String,
}

/// A figure that every reader wants.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct KeyFigure {
    /// What the product does ("Weighs").
    pub name: &'static str,
    /// The value, without ± ("41.13", "3.3 to 30").
    pub value: String,
    /// Its unit; empty for a number.
    pub unit: String,
    /// What it is the value of ("lamp").
    pub what: String,
    /// What the maker prints ("the box says 38 g").
    pub said: String,
    /// Verdict on that print.
    pub verdict: Option<Verdict>,
    /// Anchor of its working.
    pub anchor: String,
}

/// The claims to know first: those that fail, then those that stay open.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Telling {
    /// Heading ("Four claims fail").
    pub heading: String,
    /// At most six.
    pub rows: Vec<TellingRow>,
}

/// One of them.
#[derive(Debug, Clone, PartialEq)]
pub struct TellingRow {
    /// The print, in quotation marks.
    pub said: String,
    /// What was found; empty where nothing was.
    pub found: String,
    /// How far beyond the limit, or why it is open.
    pub amount: String,
    /// The verdict.
    pub verdict: Verdict,
    /// Anchor of the claim.
    pub anchor: String,
}
