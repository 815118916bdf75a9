//! The grammar of one figure: sense, number, unit, spread, coverage factor.

use super::coverage::coverage;
use super::cursor::Cursor;
use super::prefix::{compound_time, money_ahead, with_denominator};
use super::sense::{leading_sense, trailing_sense};
use super::spread::{not_negative, plus_minus, spread};
use super::{ReadError, Sense, Spread, Stated, number, symbol};
use crate::Unit;
use crate::format::shift;

/// How a figure is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum FigureSetting {
    /// Alone: the text must end with it.
    Alone,
    /// In a rating: signs between figures part them.
    Rating,
}

/// A figure being put together, before its unit is settled.
pub(super) struct Draft {
    pub(super) sense: Sense,
    pub(super) value: f64,
    pub(super) last_digit: f64,
    pub(super) unit: Option<Unit>,
    pub(super) spread: Spread,
}

/// Reads one figure; leaves the cursor behind it. The text of the result is left empty.
pub(super) fn read(cursor: &mut Cursor, setting: FigureSetting) -> Result<Stated, ReadError> {
    cursor.skip_spaces();
    if cursor.at_end() {
        return Err(cursor.error(0, "nothing is written; write for example 620 mAh"));
    }
    let lead = leading_sense(cursor);
    if plus_minus(cursor) {
        return margin(cursor, lead.sense);
    }
    let bracketed = cursor.peek() == Some('(');
    cursor.i += usize::from(bracketed);
    let start = cursor.i;
    let money = money_ahead(cursor);
    let first = number::read(cursor)?;
    let mut draft = Draft {
        sense: lead.sense,
        value: first.value,
        last_digit: first.last_digit,
        unit: match money {
            Some(unit) => Some(with_denominator(cursor, unit)?),
            None => symbol::read(cursor)?,
        },
        spread: first.standard.map_or(Spread::None, Spread::Standard),
    };
    compound_time(cursor, start, &mut draft)?;
    spread(cursor, start, lead.from, setting, &mut draft)?;
    if lead.from && !matches!(draft.spread, Spread::Range { .. }) {
        return Err(cursor.error(
            start,
            "the end of the range is missing; write for example 10 h to 12 h",
        ));
    }
    if bracketed {
        close_bracket(cursor, &mut draft)?;
    }
    if let Some(sense) = trailing_sense(cursor)
        && draft.sense == Sense::Exactly
    {
        draft.sense = sense;
    }
    coverage(cursor, &mut draft.spread)?;
    finish(cursor, start, lead.from, draft)
}

fn finish(cursor: &Cursor, start: usize, from: bool, draft: Draft) -> Result<Stated, ReadError> {
    let mut sense = draft.sense;
    if matches!(draft.spread, Spread::Range { .. }) {
        if !from && matches!(sense, Sense::UpTo | Sense::AtLeast) {
            let text =
                "a range and a limit exclude each other; write one, as 10-12 h or up to 12 h";
            return Err(cursor.error(start, text));
        }
        sense = Sense::Between;
    }
    Ok(Stated {
        text: String::new(),
        sense,
        value: draft.value,
        unit: draft.unit.unwrap_or_else(crate::units::one),
        spread: draft.spread,
        last_digit: draft.last_digit,
        margin: false,
    })
}

/// Reads a lone `± 0.2 g, k=2`: the value is the half-width.
fn margin(cursor: &mut Cursor, sense: Sense) -> Result<Stated, ReadError> {
    cursor.skip_spaces();
    let start = cursor.i;
    let half = number::read(cursor)?;
    let unit = symbol::read(cursor)?;
    not_negative(cursor, start, &half)?;
    let mut spread = Spread::PlusMinus {
        half_width: half.value,
        coverage_factor: None,
        degrees_of_freedom: None,
    };
    coverage(cursor, &mut spread)?;
    Ok(Stated {
        text: String::new(),
        sense,
        value: half.value,
        // The margin of a temperature is a difference.
        unit: unit.map_or_else(crate::units::one, |u| u.difference()),
        spread,
        last_digit: half.last_digit,
        margin: true,
    })
}

/// Takes `) × 10⁻⁴ A` after `(5.00 ± 0.10`.
fn close_bracket(cursor: &mut Cursor, draft: &mut Draft) -> Result<(), ReadError> {
    let start = cursor.i;
    cursor.skip_spaces();
    if !cursor.eat(')') {
        return Err(cursor.error(
            start,
            "the bracket is not closed; write for example (14 ± 0.05) mm",
        ));
    }
    if let Some(power) = number::times_power_of_ten(cursor) {
        draft.value = shift(draft.value, power);
        draft.last_digit = shift(draft.last_digit, power);
        match &mut draft.spread {
            Spread::None => {}
            Spread::Standard(u) => *u = shift(*u, power),
            Spread::PlusMinus { half_width, .. } => *half_width = shift(*half_width, power),
            Spread::Range { low, high } | Spread::MinTypMax { low, high } => {
                *low = shift(*low, power);
                *high = shift(*high, power);
            }
        }
        if !draft.value.is_finite() || !draft.last_digit.is_normal() {
            let text = "the number is too large or too small to compute with";
            return Err(cursor.error(start, text));
        }
    }
    if draft.unit.is_none() {
        draft.unit = symbol::read(cursor)?;
    }
    Ok(())
}
