//! Finding where a unit ends in running text, and reading it.

use super::ReadError;
use super::cursor::Cursor;
use crate::Unit;
use crate::glyph::superscript_digit;
use crate::unit::has_spaced_word;

/// Words after a number that are no unit.
const NOT_UNITS: [&str; 18] = [
    "to", "and", "or", "max", "maximum", "typ", "typical", "nom", "k", "dof", "x", "X", "DC", "AC",
    "dc", "ac", "at", "bis",
];

/// Longest unit taken, in characters.
const LONGEST: usize = 64;

/// Reads a unit if one is next.
pub(super) fn read(cursor: &mut Cursor) -> Result<Option<Unit>, ReadError> {
    let before = cursor.i;
    cursor.skip_spaces();
    let start = cursor.i;
    take_word(cursor);
    let word = cursor.since(start);
    if word.is_empty() || NOT_UNITS.contains(&&*word) {
        cursor.i = before;
        return Ok(None);
    }
    extend(cursor, start);
    let text = cursor.since(start);
    match Unit::parse(&text) {
        Ok(unit) => {
            // `620 mAh.` at the end of a sentence, `5 pcs.` as an abbreviation.
            if cursor.peek() == Some('.') && !cursor.digit_at(1) && cursor.ahead(1) != Some('.') {
                cursor.i += 1;
            }
            Ok(Some(unit))
        }
        Err(error) => {
            // `9Vx1.67A`: the cross belongs to the next number.
            if let Some(shorter) = text.strip_suffix(['x', 'X'])
                && cursor.digit_at(0)
                && let Ok(unit) = Unit::parse(shorter)
            {
                cursor.i -= 1;
                return Ok(Some(unit));
            }
            Err(cursor.error(start, error.to_string()))
        }
    }
}

/// Takes the characters of one unit without spaces.
fn take_word(cursor: &mut Cursor) {
    let start = cursor.i;
    let mut brackets = 0_u8;
    while let Some(c) = cursor.peek() {
        if cursor.i - start >= LONGEST {
            break;
        }
        let back = if cursor.i > start {
            cursor.back()
        } else {
            None
        };
        let word_before = || back.is_some_and(|b| is_letter(b) || superscript_digit(b).is_some());
        let next_letter = cursor.ahead(1).is_some_and(is_letter);
        let takes = match c {
            _ if is_letter(c) => true,
            '⁻' | '⁺' => back.is_some(),
            _ if superscript_digit(c).is_some() => back.is_some(),
            // Hebrew abbreviations have a mark before their last letter.
            '"' | '״' | '\'' | '׳' if back.is_some_and(is_hebrew) => true,
            '"' | '\'' | '′' | '″' => back.is_none(),
            '·' | '*' | '×' => word_before() && next_letter,
            '/' => back.is_some() && (next_letter || cursor.ahead(1) == Some('(')),
            '^' => word_before() && (cursor.digit_at(1) || cursor.ahead(1) == Some('-')),
            '-' => back == Some('^') && cursor.digit_at(1),
            '(' => back == Some('/') || cursor.since(start) == "dB",
            ')' | ' ' => brackets > 0,
            '0'..='9' => back.is_some_and(|b| is_exponent(cursor, start, b)),
            _ => false,
        };
        if !takes {
            break;
        }
        match c {
            '(' => brackets += 1,
            ')' => brackets -= 1,
            _ => {}
        }
        cursor.i += 1;
    }
}

fn is_hebrew(c: char) -> bool {
    matches!(c, '\u{5d0}'..='\u{5ea}')
}

fn is_letter(c: char) -> bool {
    c.is_alphabetic() || matches!(c, '°' | '%' | '‰' | '€' | '$' | '£' | '¥')
}

/// Returns whether the digit here is an exponent of the letters before it (`mm2`) and not the
/// next number (`2h30`, `5V2A`).
fn is_exponent(cursor: &Cursor, start: usize, back: char) -> bool {
    if matches!(back, '^' | '-') {
        return true;
    }
    let time = matches!(&*cursor.since(start), "h" | "d" | "min" | "s");
    let single = !cursor.digit_at(1) && !matches!(cursor.ahead(1), Some('.' | ','));
    let then_letter = cursor.ahead(1).is_some_and(is_letter);
    let small = matches!(cursor.peek(), Some('2'..='9'));
    is_letter(back) && !time && single && !then_letter && small
}

/// Takes further words where the unit goes on: `Wh / kg`, `EUR per pcs`, `dB SPL`, `V DC`.
fn extend(cursor: &mut Cursor, start: usize) {
    let end_of_first = cursor.i;
    cursor.skip_spaces();
    let spaced = cursor.i > end_of_first;
    let stroke = cursor.peek() == Some('/');
    let joined = if stroke {
        cursor.i += 1;
        true
    } else {
        spaced && cursor.eat_phrase("per")
    };
    if joined {
        cursor.skip_spaces();
        let second = cursor.i;
        take_word(cursor);
        if cursor.i > second {
            return;
        }
    } else if spaced {
        take_word(cursor);
        if has_spaced_word(&cursor.since(start)) {
            return;
        }
    }
    cursor.i = end_of_first;
}
