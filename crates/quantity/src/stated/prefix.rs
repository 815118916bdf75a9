//! Figures whose unit does not simply follow one number: `€12.50`, `2 h 30 min`.

use super::cursor::Cursor;
use super::figure::Draft;
use super::{ReadError, Spread, number, symbol};
use crate::Unit;
use crate::unit::money_prefix;

/// Takes a currency before its number: `€12.50`, `USD 3`.
pub(super) fn money_ahead(cursor: &mut Cursor) -> Option<Unit> {
    let start = cursor.i;
    let longest = (1..=4).rev();
    for length in longest {
        cursor.i = start + length;
        if let Some(unit) = money_prefix(&cursor.since(start)) {
            cursor.skip_spaces();
            if number::starts(cursor) {
                return Some(unit);
            }
        }
    }
    cursor.i = start;
    None
}

/// Takes `/pcs` after `€12.50`.
pub(super) fn with_denominator(cursor: &mut Cursor, unit: Unit) -> Result<Unit, ReadError> {
    let start = cursor.i;
    if !cursor.eat('/') {
        return Ok(unit);
    }
    if number::starts(cursor) {
        cursor.i = start;
        return Ok(unit);
    }
    let Some(below) = symbol::read(cursor)? else {
        cursor.i = start;
        return Ok(unit);
    };
    Unit::parse(&format!("{}/{}", unit.symbol(), below.symbol()))
        .map_err(|e| cursor.error(start, e.to_string()))
}

/// Takes the rest of `2 h 30 min`, `2h30`, `1 d 4 h`; the figure is then in the smallest unit.
pub(super) fn compound_time(
    cursor: &mut Cursor,
    start: usize,
    draft: &mut Draft,
) -> Result<(), ReadError> {
    for (larger, smaller, ratio) in [("d", "h", 24.0), ("h", "min", 60.0), ("min", "s", 60.0)] {
        if draft.unit.as_ref().map(Unit::symbol) != Some(larger) {
            continue;
        }
        let before = cursor.i;
        cursor.skip_spaces();
        if !cursor.digit_at(0) || draft.last_digit < 1.0 || draft.spread != Spread::None {
            cursor.i = before;
            continue;
        }
        let part_start = cursor.i;
        let part = number::read(cursor)?;
        let unit = symbol::read(cursor)?;
        match unit.as_ref().map(Unit::symbol) {
            Some(s) if s == smaller => {}
            // `2h30` is usual; without hours before, a bare number says nothing.
            None if larger == "h" => {}
            Some("m") => {
                let text = "'m' is the metre; write min for minutes, as in 2 h 30 min";
                return Err(cursor.error(part_start, text));
            }
            _ => {
                cursor.i = before;
                continue;
            }
        }
        if part.value >= ratio {
            let text =
                format!("there are fewer than {ratio} {smaller} beside {larger}; write one unit");
            return Err(cursor.error(part_start, text));
        }
        let size = draft.value.abs() * ratio + part.value;
        draft.value = if draft.value < 0.0 { -size } else { size };
        draft.last_digit = part.last_digit;
        draft.unit = Unit::parse(smaller).ok();
        if let Some(standard) = part.standard {
            draft.spread = Spread::Standard(standard);
        }
    }
    if !draft.value.is_finite() {
        return Err(cursor.error(start, "the number is too large to compute with"));
    }
    Ok(())
}
