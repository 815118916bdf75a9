//! Reading ratings: volts, amperes and watts in any order and punctuation.

use super::cursor::Cursor;
use super::figure::{self, Place};
use super::{Rating, ReadError, Stated};
use crate::Dimension;

/// Words between the figures of a rating that say nothing about them.
const WORDS: [&str; 11] = [
    "rating", "rated", "input", "output", "in", "out", "dc", "ac", "at", "and", "x",
];

/// Marks between the figures; `–` also stands for the dashes that direct current is drawn with.
const MARKS: &str = " ⎓⎯⏤═=–-_/,;:@|·*×~∼∿⏦()";

pub(super) fn read(text: &str) -> Result<Rating, ReadError> {
    let mut cursor = Cursor::new(text);
    let mut rating = Rating {
        text: text.trim().to_string(),
        voltage: None,
        current: None,
        power: None,
    };
    let mut bare: Option<(usize, usize)> = None;
    loop {
        skip(&mut cursor);
        if cursor.at_end() {
            break;
        }
        let start = cursor.i;
        let mut figure = figure::read(&mut cursor, Place::Rating)?;
        let at = cursor.bytes(start, cursor.i);
        figure.text = text.get(at).unwrap_or_default().trim().to_string();
        place(&cursor, start, figure, &mut bare, &mut rating)?;
    }
    if let Some((from, to)) = bare {
        return Err(without_unit(&cursor, from, to));
    }
    if rating.voltage.is_none() && rating.current.is_none() && rating.power.is_none() {
        cursor.i = 0;
        let message = "no volts, amperes or watts are written; write for example 9 V ⎓ 1.67 A";
        return Err(cursor.error_ahead(message));
    }
    Ok(rating)
}

fn without_unit(cursor: &Cursor, from: usize, to: usize) -> ReadError {
    let message = "a number in a rating has no unit; write for example 9 V ⎓ 1.67 A";
    ReadError {
        at: cursor.bytes(from, to),
        message: message.to_string(),
    }
}

/// Skips marks and words between figures.
fn skip(cursor: &mut Cursor) {
    loop {
        while cursor.peek().is_some_and(|c| MARKS.contains(c)) {
            cursor.i += 1;
        }
        if !WORDS.iter().any(|word| cursor.eat_phrase(word)) {
            return;
        }
    }
}

/// Puts a figure where it belongs; frequencies (`50/60 Hz`) are read and left out.
fn place(
    cursor: &Cursor,
    start: usize,
    figure: Stated,
    bare: &mut Option<(usize, usize)>,
    rating: &mut Rating,
) -> Result<(), ReadError> {
    let (slot, name) = match figure.dimension() {
        Dimension::VOLTAGE => (&mut rating.voltage, "voltage"),
        Dimension::CURRENT => (&mut rating.current, "current"),
        Dimension::POWER => (&mut rating.power, "power"),
        Dimension::FREQUENCY => {
            *bare = None;
            return Ok(());
        }
        Dimension::NONE if figure.unit.symbol().is_empty() => {
            return match bare.replace((start, cursor.i)) {
                Some((from, to)) => Err(without_unit(cursor, from, to)),
                None => Ok(()),
            };
        }
        other => {
            let message = format!(
                "a rating holds volts, amperes and watts, not {other} ({}); write for example 9 V ⎓ 1.67 A",
                figure.text
            );
            return Err(cursor.error(start, message));
        }
    };
    if let Some((from, to)) = *bare {
        return Err(without_unit(cursor, from, to));
    }
    if let Some(first) = slot {
        let message = format!(
            "two values of {name} in one rating ({} and {}); write one rating for each",
            first.text, figure.text
        );
        return Err(cursor.error(start, message));
    }
    *slot = Some(figure);
    Ok(())
}
