//! A letter for the year over twenty years and a character for the month: `R4` = April 2003 or 2023.
//!
//! Source: IEC 60062, clause 5.1; all letters on one page about the EN 60062 production date, some years
//! confirmed by two more. The order month, year was standard from 1969 to 1975.

use super::{Span, draft};
use crate::Context;
use crate::reading::{Draft, Kind};
use crate::text::Folded;

/// The year letters in order from 1970; the row starts again every twenty years.
const LETTERS: [char; 20] = [
    'A', 'B', 'C', 'D', 'E', 'F', 'H', 'J', 'K', 'L', 'M', 'N', 'P', 'R', 'S', 'T', 'U', 'V', 'W',
    'X',
];

/// Returns the years from 1970 to 2029 that a letter stands for, the earliest first.
pub(crate) fn years(letter: char) -> Vec<i16> {
    let at = LETTERS.iter().position(|l| *l == letter);
    at.and_then(|i| i16::try_from(i).ok())
        .map_or_else(Vec::new, |i| vec![1970 + i, 1990 + i, 2010 + i])
}

/// Returns the month of a month character of IEC 60062.
pub(crate) fn month(character: char) -> Option<i8> {
    match character {
        '1'..='9' => i8::try_from(character.to_digit(10)?).ok(),
        'O' => Some(10),
        'N' => Some(11),
        'D' => Some(12),
        _ => None,
    }
}

pub(super) fn read(folded: &Folded, context: &Context<'_>) -> Vec<Draft> {
    let chars: Vec<char> = folded.text.chars().collect();
    let &[first, second] = chars.as_slice() else {
        return Vec::new();
    };
    let mut drafts = Vec::new();
    if let Some(month) = month(second) {
        drafts.extend(year_first(first, second, month, context));
    }
    if let Some(month) = month(first) {
        drafts.extend(month_first(second, month, context));
    }
    drafts
}

fn spans(years: &[i16], month: i8) -> Vec<Span> {
    years
        .iter()
        .filter_map(|y| Span::month(*y, month))
        .collect()
}

fn year_first(letter: char, character: char, month: i8, context: &Context<'_>) -> Vec<Draft> {
    let make = |years: &[i16], why: String| {
        draft(
            Kind::DateYearMonth,
            1.0 / 12.0,
            "Made in",
            spans(years, month),
            why,
            context,
        )
    };
    let mut drafts = Vec::new();
    if letter == 'G' {
        drafts.extend(
            make(
                &[1976],
                format!("G for 1976 in one table, {character} for the month"),
            )
            .map(|d| {
                d.weaker(0.1)
                    .caution("other tables have no G: 1976 is H, so it may not be a year letter")
            }),
        );
        return drafts;
    }
    let years = years(letter);
    drafts.extend(make(
        &years,
        format!(
            "{letter} is the year letter of {} (20-year cycle), {character} the month {month}",
            join(&years)
        ),
    ));
    // One published table runs a year late for 2002 to 2008.
    let late: Vec<i16> = years
        .iter()
        .filter(|y| (2001..=2007).contains(*y))
        .map(|y| y + 1)
        .collect();
    if !late.is_empty() {
        drafts.extend(
            make(
                &late,
                format!("by one published table {letter} is {}", join(&late)),
            )
            .map(|d| {
                d.weaker(0.05)
                    .caution("one table only, a year later than two others that agree")
            }),
        );
    }
    drafts
}

fn month_first(letter: char, month: i8, context: &Context<'_>) -> Option<Draft> {
    let years: Vec<i16> = years(letter)
        .into_iter()
        .filter(|y| (1970..=1977).contains(y))
        .collect();
    draft(
        Kind::DateMonthYear,
        1.0 / 12.0,
        "Made in",
        spans(&years, month),
        format!(
            "the order month, year of 1969 to 1975 (in use until about 1977), {letter} = {}",
            join(&years)
        ),
        context,
    )
    .map(|d| d.caution("only on very old parts; given in one source"))
}

fn join(years: &[i16]) -> String {
    let all: Vec<String> = years.iter().map(ToString::to_string).collect();
    all.join(", ")
}
