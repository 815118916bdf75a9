//! The grammar of one figure: sense, number, unit, spread, coverage.

use super::cursor::Cursor;
use super::number::{self, Number};
use super::sense::{leading_sense, trailing_sense};
use super::{ReadError, Sense, Spread, Stated, symbol};
use crate::format::shift;
use crate::unit::money_prefix;
use crate::{Dimension, Unit};

/// How a figure is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Place {
    /// Alone: the text must end with it.
    Alone,
    /// In a rating: signs between figures part them.
    Rating,
}

/// A figure being put together, before its unit is settled.
struct Draft {
    sense: Sense,
    value: f64,
    last_digit: f64,
    unit: Option<Unit>,
    spread: Spread,
}

/// Reads one figure; leaves the cursor behind it. The text of the result is left empty.
pub(super) fn read(cursor: &mut Cursor, place: Place) -> Result<Stated, ReadError> {
    cursor.skip_spaces();
    if cursor.at_end() {
        return Err(cursor.error(0, "nothing is written; write for example 620 mAh"));
    }
    let lead = leading_sense(cursor);
    if plus_minus(cursor) {
        return margin(cursor);
    }
    let bracketed = cursor.peek() == Some('(');
    cursor.i += usize::from(bracketed);
    let start = cursor.i;
    let money = money_prefix_ahead(cursor);
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
    spread(cursor, start, lead.from, place, &mut draft)?;
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
    })
}

/// Takes `±`, `+/-`, `+-`.
fn plus_minus(cursor: &mut Cursor) -> bool {
    let start = cursor.i;
    cursor.skip_spaces();
    let found = cursor.eat('±') || cursor.eat_phrase("+/-") || cursor.eat_phrase("+-");
    if !found {
        cursor.i = start;
    }
    found
}

/// Reads a lone `± 0.2 g, k=2`: the value is the half-width.
fn margin(cursor: &mut Cursor) -> Result<Stated, ReadError> {
    cursor.skip_spaces();
    let start = cursor.i;
    let half = number::read(cursor)?;
    let unit = symbol::read(cursor)?;
    positive(cursor, start, &half)?;
    let mut spread = Spread::PlusMinus {
        half_width: half.value,
        coverage_factor: None,
        degrees_of_freedom: None,
    };
    coverage(cursor, &mut spread)?;
    Ok(Stated {
        text: String::new(),
        sense: Sense::Exactly,
        value: half.value,
        // The margin of a temperature is a difference.
        unit: unit.map_or_else(crate::units::one, |u| u.difference()),
        spread,
        last_digit: half.last_digit,
    })
}

fn positive(cursor: &Cursor, start: usize, half: &Number) -> Result<(), ReadError> {
    if half.value < 0.0 {
        return Err(cursor.error(start, "what follows ± must not be negative"));
    }
    Ok(())
}

/// Takes a currency before its number: `€12.50`, `USD 3`.
fn money_prefix_ahead(cursor: &mut Cursor) -> Option<Unit> {
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
fn with_denominator(cursor: &mut Cursor, unit: Unit) -> Result<Unit, ReadError> {
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
fn compound_time(cursor: &mut Cursor, start: usize, draft: &mut Draft) -> Result<(), ReadError> {
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
    if draft.value.is_finite() {
        Ok(())
    } else {
        Err(cursor.error(start, "the number is too large to compute with"))
    }
}

/// Takes whichever spread follows.
fn spread(
    cursor: &mut Cursor,
    start: usize,
    from: bool,
    place: Place,
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
    if range_mark(cursor, from, place) {
        cursor.skip_spaces();
        if number::starts(cursor) && upper_end(cursor, start, place, draft)? {
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
    positive(cursor, half_start, &half)?;
    let unit = symbol::read(cursor)?;
    let mut width = half.value;
    match (&draft.unit, unit) {
        (Some(of), Some(unit)) if unit.dimension() == of.dimension() => {
            if unit != *of {
                width = width * unit.factor() / of.factor();
            }
        }
        (Some(_), Some(unit)) if is_ratio(&unit) => width *= unit.factor() * draft.value.abs(),
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
    draft.last_digit = if draft.last_digit > 0.0 {
        draft.last_digit
    } else {
        half.last_digit
    };
    draft.spread = Spread::PlusMinus {
        half_width: width,
        coverage_factor: None,
        degrees_of_freedom: None,
    };
    Ok(())
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
    if !(range_mark(cursor, true, Place::Alone) || cursor.eat(',') || cursor.eat(';')) {
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
fn range_mark(cursor: &mut Cursor, from: bool, place: Place) -> bool {
    let dots = || matches!((cursor.peek(), cursor.ahead(1)), (Some('.'), Some('.')));
    if dots() {
        while cursor.eat('.') {}
        return true;
    }
    match cursor.peek() {
        Some('-' | '–' | '…') => cursor.i += 1,
        Some('~') if place == Place::Alone => cursor.i += 1,
        _ => return cursor.eat_phrase("to") || (from && cursor.eat_phrase("and")),
    }
    true
}

/// Takes the upper end of a range; in a rating a figure of another kind is left for later.
fn upper_end(
    cursor: &mut Cursor,
    start: usize,
    place: Place,
    draft: &mut Draft,
) -> Result<bool, ReadError> {
    let high = number::read(cursor)?;
    let unit = symbol::read(cursor)?;
    let low_unit = draft.unit.take();
    let (low, unit) = match (low_unit, unit) {
        (Some(low), None) if place == Place::Rating => {
            draft.unit = Some(low);
            return Ok(false);
        }
        (Some(low), Some(high)) if low == high => (draft.value, Some(high)),
        (Some(low), Some(high)) if low.dimension() == high.dimension() => {
            (high.of_si(low.to_si(draft.value)), Some(high))
        }
        (Some(low), Some(_)) if place == Place::Rating => {
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

/// Takes `, k=2`, `, dof=9`, `(k = 2)`.
fn coverage(cursor: &mut Cursor, spread: &mut Spread) -> Result<(), ReadError> {
    loop {
        let before = cursor.i;
        cursor.skip_spaces();
        let _ = cursor.eat(',') || cursor.eat(';');
        cursor.skip_spaces();
        let bracketed = cursor.eat('(');
        let start = cursor.i;
        let is_factor = cursor.eat_phrase("k");
        let is_dof = !is_factor
            && ["dof", "df", "ν"]
                .iter()
                .any(|name| cursor.eat_phrase(name));
        cursor.skip_spaces();
        if !(is_factor || is_dof) || !cursor.eat('=') {
            cursor.i = before;
            break;
        }
        cursor.skip_spaces();
        let number = number::read(cursor)?;
        if number.value <= 0.0 {
            return Err(cursor.error(start, "k and dof must be greater than zero"));
        }
        if bracketed && !cursor.eat(')') {
            return Err(cursor.error(start, "the bracket is not closed"));
        }
        if let Spread::Standard(u) = *spread {
            *spread = Spread::PlusMinus {
                half_width: u,
                coverage_factor: Some(1.0),
                degrees_of_freedom: None,
            };
            if is_factor {
                let text = "the number in brackets is a standard uncertainty and takes no k; write ± 0.2 g, k=2";
                return Err(cursor.error(start, text));
            }
        }
        let Spread::PlusMinus {
            coverage_factor,
            degrees_of_freedom,
            ..
        } = spread
        else {
            let text = "k and dof belong to ±; write for example 83.4 g ± 0.2 g, k=2";
            return Err(cursor.error(start, text));
        };
        let field = if is_factor {
            coverage_factor
        } else {
            degrees_of_freedom
        };
        if field.replace(number.value).is_some() && is_factor {
            return Err(cursor.error(start, "k is stated twice"));
        }
    }
    match spread {
        Spread::PlusMinus {
            coverage_factor: None,
            degrees_of_freedom: Some(_),
            ..
        } => {
            let text = "degrees of freedom need a coverage factor; write for example k=2, dof=9";
            Err(cursor.error(0, text))
        }
        _ => Ok(()),
    }
}

/// The remedy for a place that asks for `dimension`.
pub(super) fn example(dimension: Dimension) -> String {
    const EXAMPLES: [(Dimension, &str); 21] = [
        (Dimension::NONE, "0.85 or 85 %"),
        (Dimension::LENGTH, "14.2 mm"),
        (Dimension::AREA, "120 mm²"),
        (Dimension::VOLUME, "3.4 cm³"),
        (Dimension::MASS, "83.4 g"),
        (Dimension::TIME, "1.5 h or 20 min"),
        (Dimension::CURRENT, "310 mA"),
        (Dimension::TEMPERATURE, "85 °C"),
        (Dimension::FREQUENCY, "60 Hz"),
        (Dimension::CHARGE, "620 mAh"),
        (Dimension::VOLTAGE, "3.85 V"),
        (Dimension::ENERGY, "2.4 Wh"),
        (Dimension::POWER, "15 W"),
        (Dimension::RESISTANCE, "35 mΩ"),
        (Dimension::CAPACITANCE, "10 µF"),
        (Dimension::INDUCTANCE, "2.2 µH"),
        (
            Dimension::PRESSURE,
            "2 bar, or 500 Wh/L as an energy density",
        ),
        (Dimension::SPECIFIC_ENERGY, "230 Wh/kg"),
        (Dimension::COUNT, "4 pcs"),
        (Dimension::LEVEL, "35 dB"),
        (Dimension::money(crate::Currency::Eur), "12.50 EUR"),
    ];
    match EXAMPLES.iter().find(|(d, _)| *d == dimension) {
        Some((_, text)) => (*text).to_string(),
        None => format!("1 {}", Unit::coherent(dimension)),
    }
}
