//! What each line of a marking says: part number, date or lot, origin, maker.
//!
//! In: a line as seen. Out: the price (−ln probability) of its being something other than a part
//! number, for each role.
//! Not here: what a date means (`codes`), which line holds the part number (`ways`).
//!
//! Each role is a small model of texts, so that the prices compare with those of part numbers: a
//! lot code is any sequence of digits and letters, a date one of 5300 weeks, an origin one of a list
//! of words, a maker one of the catalogue's makers or else a word.

use crate::attributes::PartAttributes;
use crate::model::query::{Query, Spot};
use crate::symbol::{is_digit, is_letter, shown};

/// What a line says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Role {
    /// The part number, or a piece of it.
    PartNumber,
    /// A date code.
    Date,
    /// A lot or trace code.
    Lot,
    /// Where it was made.
    Origin,
    /// Its maker.
    Maker,
}

/// The roles besides the part number.
pub(crate) const OTHERS: [Role; 4] = [Role::Date, Role::Lot, Role::Origin, Role::Maker];

/// Share of each of [`OTHERS`] among lines that are no part number.
const SHARES: [f64; 4] = [0.3, 0.45, 0.1, 0.15];

/// Probability of a digit or letter at one place of a lot code.
const LOT_DIGIT: f64 = 0.55 / 10.0;
const LOT_LETTER: f64 = 0.45 / 26.0;
/// A line is one of about so many lengths.
const LENGTHS: f64 = 12.0;
/// Share of maker lines that name no maker of the catalogue.
const OTHER_MAKERS: f64 = 0.2;

const ORIGINS: [&str; 24] = [
    "CHINA",
    "CHN",
    "TAIWAN",
    "TWN",
    "KOREA",
    "KOR",
    "JAPAN",
    "JPN",
    "MALAYSIA",
    "MYS",
    "MAL",
    "PHILIPPINES",
    "PHI",
    "PHL",
    "THAILAND",
    "THA",
    "THAI",
    "SINGAPORE",
    "SGP",
    "USA",
    "GERMANY",
    "MEXICO",
    "MOROCCO",
    "MAR",
];

/// Prices of the other roles of one line, in the order of [`OTHERS`], and of all together.
#[derive(Debug, Clone, Copy)]
pub(crate) struct OtherRoleCosts {
    pub(crate) each: [f64; 4],
    pub(crate) all: f64,
}

/// Prices a line as anything but a part number; nats.
pub(crate) fn otherwise(query: &Query, marks: &PartAttributes) -> OtherRoleCosts {
    let text: String = query
        .spots
        .iter()
        .map(|spot| match spot {
            Spot::Read(s) => shown(*s),
            _ => '?',
        })
        .collect();
    let price = [date(query), lot(query), origin(&text), maker(&text, marks)];
    let each = std::array::from_fn(|i| price[i] - SHARES[i].ln());
    let all = -each
        .iter()
        .map(|p: &f64| (-p).exp())
        .sum::<f64>()
        .max(1e-300)
        .ln();
    OtherRoleCosts { each, all }
}

fn lot(query: &Query) -> f64 {
    let spots = query.spots.iter().map(|spot| match spot {
        Spot::Read(s) if is_digit(*s) => -LOT_DIGIT.ln(),
        Spot::Read(_) => -LOT_LETTER.ln(),
        Spot::OneOf(_) => -LOT_DIGIT.ln() - 0.7,
        Spot::Any => 0.0,
    });
    spots.sum::<f64>() + LENGTHS.ln()
}

/// Price of a text that is a date of four digits, year and week; nats.
pub(crate) fn four_digit_date(query: &Query) -> Option<f64> {
    let price = date(query);
    (query.len() == 4 && price.is_finite()).then(|| price - SHARES[0].ln())
}

/// Year and week in four digits, one digit of the year and week, each with up to two letters or
/// digits after it; or two letters for year and month.
fn date(query: &Query) -> f64 {
    let digit = |i: usize| match query.spots.get(i) {
        Some(Spot::Read(s)) if is_digit(*s) => Some(u32::from(*s)),
        _ => None,
    };
    let week = |i: usize| match (digit(i), digit(i + 1)) {
        (Some(a), Some(b)) => (1..=53).contains(&(a * 10 + b)),
        _ => false,
    };
    let len = query.len();
    let after = |n: usize| (n as f64) * 3.6 + if n == 0 { 0.4 } else { 1.8 };
    let mut best = f64::INFINITY;
    if digit(0).is_some() && digit(1).is_some() && week(2) && (4..=6).contains(&len) {
        best = best.min(5300_f64.ln() + 0.5 + after(len - 4));
    }
    if digit(0).is_some() && week(1) && (3..=5).contains(&len) {
        best = best.min(530_f64.ln() + 1.0 + after(len - 3));
    }
    let letters = query
        .spots
        .iter()
        .all(|s| matches!(s, Spot::Read(s) if is_letter(*s)));
    if len == 2 && letters {
        best = best.min(240_f64.ln() + 2.5);
    }
    best
}

fn origin(text: &str) -> f64 {
    let word = text.strip_prefix("MADEIN").unwrap_or(text);
    if ORIGINS.contains(&word) {
        24_f64.ln()
    } else {
        f64::INFINITY
    }
}

fn maker(text: &str, marks: &PartAttributes) -> f64 {
    if !text.is_empty() && marks.is_maker(text) {
        return (marks.makers() as f64).ln() - (1.0 - OTHER_MAKERS).ln();
    }
    if text.is_empty() || text.chars().any(|c| !c.is_ascii_uppercase()) {
        return f64::INFINITY;
    }
    // A word of any length: 26 letters, each length as likely.
    text.len() as f64 * 26_f64.ln() + LENGTHS.ln() - OTHER_MAKERS.ln()
}
