//! What follows a number to say how far it may be off: `±`, limits, ranges.

use super::cursor::Cursor;
use super::figure::{Draft, FigureSetting};
use super::number::{self, Number};
use super::{ReadError, Sense, Spread, symbol};
use crate::Unit;

/// Takes whichever spread follows.
pub(super) fn spread(
    cursor: &mut Cursor,
    start: usize,
    from: bool,
    setting: FigureSetting,
    draft: &mut Draft,
) -> Result<(), ReadError> {
    let before = cursor.i;
    if draft.spread != Spread::None {
        return Ok(());
    }
    if plus_minus(cursor) {
        return half_width(cursor, start, draft);
    }
    cursor.skip_spaces();
    if cursor.peek() == Some('+') {
        if cursor.digit_at(1) && unequal_limits(cursor, draft)? {
            return Ok(());
        }
        // `40+ h`, `40 h+`.
        if !cursor.digit_at(1) && draft.sense == Sense::Exactly {
            cursor.i += 1;
            draft.sense = Sense::AtLeast;
            if draft.unit.is_none() {
                draft.unit = symbol::read(cursor)?;
            }
            return Ok(());
        }
    }
    if cursor.eat('(') {
        if limits_in_brackets(cursor, start, draft)? {
            return Ok(());
        }
        cursor.i = before;
        return Ok(());
    }
    if range_mark(cursor, from, setting) {
        cursor.skip_spaces();
        if number::starts(cursor) && upper_end(cursor, start, setting, draft)? {
            return Ok(());
        }
    }
    cursor.i = before;
    Ok(())
}

fn half_width(cursor: &mut Cursor, start: usize, draft: &mut Draft) -> Result<(), ReadError> {
    cursor.skip_spaces();
    let half_start = cursor.i;
    let half = number::read(cursor)?;
    not_negative(cursor, half_start, &half)?;
    let unit = symbol::read(cursor)?;
    let mut width = half.value;
    match (&draft.unit, unit) {
        (Some(of), Some(unit)) if is_spread_of(&unit, of) => {
            if unit != *of {
                width = width * unit.factor() / of.factor();
            }
        }
        (Some(of), Some(unit)) if is_ratio(&unit) && of.to_si(0.0) == 0.0 => {
            width *= unit.factor() * draft.value.abs()
        }
        (Some(of), Some(unit)) => {
            return Err(cursor.error(
                half_start,
                format!(
                    "{} cannot stand after ± beside {}; write both in one unit",
                    unit.dimension(),
                    of.dimension()
                ),
            ));
        }
        (Some(_), None) => {}
        (None, unit) => draft.unit = unit,
    }
    if !width.is_finite() {
        return Err(cursor.error(start, "the number is too large to compute with"));
    }
    draft.spread = Spread::PlusMinus {
        half_width: width,
        coverage_factor: None,
        degrees_of_freedom: None,
    };
    Ok(())
}

/// Returns whether a unit can give the spread of a figure: `68 dB(A) ± 1.5 dB`.
fn is_spread_of(unit: &Unit, of: &Unit) -> bool {
    unit.dimension() == of.dimension() || unit.dimension() == of.difference().dimension()
}

fn is_ratio(unit: &Unit) -> bool {
    matches!(unit.symbol(), "%" | "‰" | "ppm" | "ppb")
}

/// Takes `+0.1/-0.2 mm` after a number; nothing is taken where it is not all there.
fn unequal_limits(cursor: &mut Cursor, draft: &mut Draft) -> Result<bool, ReadError> {
    let before = cursor.i;
    let above = number::read(cursor)?;
    cursor.skip_spaces();
    if cursor.eat('/') {
        cursor.skip_spaces();
    }
    if !matches!(cursor.peek(), Some('-' | '–')) || !number::starts(cursor) {
        cursor.i = before;
        return Ok(false);
    }
    let below = number::read(cursor)?;
    let unit = symbol::read(cursor)?;
    if draft.unit.is_none() {
        draft.unit = unit;
    } else if let Some(unit) = unit
        && draft.unit.as_ref() != Some(&unit)
    {
        return Err(cursor.error(before, "write the limits in the unit of the figure"));
    }
    draft.spread = Spread::MinTypMax {
        low: draft.value + below.value,
        high: draft.value + above.value,
    };
    Ok(true)
}

/// Takes `2.8…3.2) mA` or `min 2.8 mA, max 3.2 mA)` after a number and an open bracket; nothing
/// is taken where the brackets hold something else.
fn limits_in_brackets(
    cursor: &mut Cursor,
    start: usize,
    draft: &mut Draft,
) -> Result<bool, ReadError> {
    let phrase = |cursor: &mut Cursor, words: [&str; 2]| {
        cursor.skip_spaces();
        let _ = words.iter().any(|w| cursor.eat_phrase(w));
        cursor.skip_spaces();
    };
    phrase(cursor, ["min.", "min"]);
    if !number::starts(cursor) {
        return Ok(false);
    }
    let low = number::read(cursor)?;
    let low_unit = symbol::read(cursor)?;
    cursor.skip_spaces();
    if !(range_mark(cursor, true, FigureSetting::Alone) || cursor.eat(',') || cursor.eat(';')) {
        return Ok(false);
    }
    phrase(cursor, ["max.", "max"]);
    let high = number::read(cursor)?;
    let high_unit = symbol::read(cursor)?;
    cursor.skip_spaces();
    if !cursor.eat(')') {
        return Err(cursor.error(start, "the bracket around the limits is not closed"));
    }
    if draft.unit.is_none() {
        draft.unit = symbol::read(cursor)?.or_else(|| high_unit.clone());
    }
    let same = |unit: &Option<Unit>| unit.is_none() || *unit == draft.unit;
    if !same(&low_unit) || !same(&high_unit) {
        return Err(cursor.error(start, "write the limits in the unit of the figure"));
    }
    if !(low.value <= draft.value && draft.value <= high.value) {
        return Err(cursor.error(
            start,
            "the figure must lie between its limits; write for example typ 3.0 (2.8…3.2) mA",
        ));
    }
    draft.spread = Spread::MinTypMax {
        low: low.value,
        high: high.value,
    };
    Ok(true)
}

/// Takes the mark of a range.
fn range_mark(cursor: &mut Cursor, from: bool, setting: FigureSetting) -> bool {
    let dots = || matches!((cursor.peek(), cursor.ahead(1)), (Some('.'), Some('.')));
    if dots() {
        while cursor.eat('.') {}
        return true;
    }
    match cursor.peek() {
        Some('-' | '–' | '…') => cursor.i += 1,
        Some('~') if setting == FigureSetting::Alone => cursor.i += 1,
        _ => return cursor.eat_phrase("to") || (from && cursor.eat_phrase("and")),
    }
    true
}

/// Takes the upper end of a range; in a rating a figure of another kind is left for later.
fn upper_end(
    cursor: &mut Cursor,
    start: usize,
    setting: FigureSetting,
    draft: &mut Draft,
) -> Result<bool, ReadError> {
    let high = number::read(cursor)?;
    let unit = symbol::read(cursor)?;
    let low_unit = draft.unit.take();
    let (low, unit) = match (low_unit, unit) {
        (Some(low), None) if setting == FigureSetting::Rating => {
            draft.unit = Some(low);
            return Ok(false);
        }
        (Some(low), Some(high)) if low == high => (draft.value, Some(high)),
        (Some(low), Some(high)) if low.dimension() == high.dimension() => {
            draft.last_digit *= low.factor() / high.factor();
            (high.of_si(low.to_si(draft.value)), Some(high))
        }
        (Some(low), Some(_)) if setting == FigureSetting::Rating => {
            draft.unit = Some(low);
            return Ok(false);
        }
        (Some(low), Some(high)) => {
            return Err(cursor.error(
                start,
                format!(
                    "a range cannot run from {} to {}; write both ends in one unit",
                    low.dimension(),
                    high.dimension()
                ),
            ));
        }
        (low, high) => (draft.value, high.or(low)),
    };
    if low > high.value {
        let text = format!(
            "the range runs downward; write the smaller number first, as {} to {}",
            high.value, low
        );
        return Err(cursor.error(start, text));
    }
    draft.value = low + (high.value - low) / 2.0;
    draft.last_digit = draft.last_digit.min(high.last_digit);
    draft.unit = unit;
    draft.spread = Spread::Range {
        low,
        high: high.value,
    };
    if !draft.value.is_finite() {
        return Err(cursor.error(start, "the number is too large to compute with"));
    }
    Ok(true)
}

/// Takes `±`, `+/-`, `+-`.
pub(super) fn plus_minus(cursor: &mut Cursor) -> bool {
    let start = cursor.i;
    cursor.skip_spaces();
    let found = cursor.eat('±') || cursor.eat_phrase("+/-") || cursor.eat_phrase("+-");
    if !found {
        cursor.i = start;
    }
    found
}

/// Refuses a negative half-width.
pub(super) fn not_negative(cursor: &Cursor, start: usize, half: &Number) -> Result<(), ReadError> {
    if half.value < 0.0 {
        return Err(cursor.error(start, "what follows ± must not be negative"));
    }
    Ok(())
}
