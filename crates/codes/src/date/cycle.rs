//! Short cycles: one letter over four years, and the last digit of the year with a month.
//!
//! Source: the letters over four years from a page that quotes capacitor data sheets; IEC 60062:2004 has
//! forms of one character over four years and of two over ten years, whose letters were not seen in the
//! standard. Months A, B, C after 9 are maker practice; O, N, D are those of the two-character code.

use super::{Span, draft};
use crate::Context;
use crate::reading::{Draft, Kind};
use crate::text::Folded;

/// Years that the short cycles are carried to.
const LAST: i16 = 2029;

/// Returns the first year of a letter of the four-year cycle and its month.
fn of_four(letter: char) -> Option<(i16, i8)> {
    let base = match letter {
        'A'..='Z' => 1997,
        'a'..='z' => 1999,
        _ => return None,
    };
    let upper = letter.to_ascii_uppercase();
    // A to M without I are the months of one year, N to Z without O those of the next.
    let first_half: Vec<char> = ('A'..='M').filter(|c| *c != 'I').collect();
    let second_half: Vec<char> = ('N'..='Z').filter(|c| *c != 'O').collect();
    [(first_half, base), (second_half, base + 1)]
        .into_iter()
        .find_map(|(letters, year)| {
            let at = letters.iter().position(|l| *l == upper)?;
            Some((year, i8::try_from(at + 1).ok()?))
        })
}

pub(super) fn read(folded: &Folded, context: &Context<'_>) -> Vec<Draft> {
    let chars: Vec<char> = folded.text.chars().collect();
    match *chars.as_slice() {
        [letter] => one(letter, context).into_iter().collect(),
        [digit, month] => two(digit, month, context).into_iter().collect(),
        _ => Vec::new(),
    }
}

fn one(letter: char, context: &Context<'_>) -> Option<Draft> {
    let (first, month) = of_four(letter)?;
    let spans = (first..=LAST)
        .step_by(4)
        .filter_map(|y| Span::month(y, month))
        .collect();
    draft(
        Kind::DateLetter,
        1.0 / 48.0,
        "Made in",
        spans,
        format!("{letter} in a cycle of one letter per month over four years from {first}"),
        context,
    )
}

fn two(digit: char, character: char, context: &Context<'_>) -> Option<Draft> {
    let digit_value = i16::try_from(digit.to_digit(10)?).ok()?;
    let (month, caution) = match character {
        'A' => (10, "months A, B, C are maker practice"),
        'B' => (11, "months A, B, C are maker practice"),
        'C' => (12, "months A, B, C are maker practice"),
        other => (super::letters::month(other)?, ""),
    };
    let spans = (1970 + digit_value..=LAST)
        .step_by(10)
        .filter_map(|y| Span::month(y, month))
        .collect();
    draft(
        Kind::DateTenYears,
        1.0 / 12.0,
        "Made in",
        spans,
        format!("{digit} is the last digit of the year, {character} the month {month}"),
        context,
    )
    .map(|d| {
        d.caution(
            "a form of two characters over ten years: the standard's own letters were not seen",
        )
        .caution(caution)
    })
}
