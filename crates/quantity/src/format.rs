//! Numbers and units as text: SI Brochure spacing and symbols, digits from the uncertainty.
//!
//! In: a value, its standard uncertainty, a unit. Out: one line of text that reads back to the
//! same value. Not here: choosing the unit.
//! Source: SI Brochure, 9th edition, 5.4.3; JCGM 100:2008 (GUM), 7.2.6.

use crate::Unit;
use crate::glyph::superscript;

/// Powers of ten of the leading digit that are written without an exponent.
const POSITIONAL: std::ops::RangeInclusive<i32> = -3..=6;

/// Writes `value unit` with as many digits as the value carries (at most 12 significant).
/// SI Brochure 5.4.3: a space before the symbol (also for `%` and `°C`; none before `°`), no
/// plural. Below 0.001 and from ten million a power of ten is used: `1.2 × 10⁻⁴ A`.
pub fn format_quantity(value: f64, unit: &Unit) -> String {
    with_symbol(&number(value, 12), unit.symbol())
}

/// Writes `4.620 Wh ± 0.072 Wh`: the uncertainty with two significant digits, the value to the
/// same place (GUM 7.2.6), both rounded to the nearest. A zero or non-finite uncertainty writes
/// the value alone. With a power of ten: `(5.00 ± 0.10) × 10⁻⁴ A`.
pub fn format_measured(value: f64, standard_uncertainty: f64, unit: &Unit) -> String {
    let u = standard_uncertainty.abs();
    if !value.is_finite() || !u.is_finite() || u == 0.0 {
        return format_quantity(value, unit);
    }
    // A difference of levels has no reference; a difference of °C may be given in °C.
    let level = unit.dimension().is_level();
    let spread_unit = if level {
        unit.difference()
    } else {
        unit.clone()
    };
    let place = leading_place(u, 2) - 1;
    let lead = leading_place(u, 2).max(leading_place(value, 17));
    if lead - place > 16 {
        // The value has fewer digits than the uncertainty asks for.
        let spread = with_symbol(&number(u, 2), spread_unit.symbol());
        return format!("{} ± {spread}", format_quantity(value, unit));
    }
    if POSITIONAL.contains(&lead) {
        let value = with_symbol(&to_place(value, place), unit.symbol());
        return format!(
            "{value} ± {}",
            with_symbol(&to_place(u, place), spread_unit.symbol())
        );
    }
    let scaled = |x: f64| to_place(shift(x, -lead), place - lead);
    let numbers = format!(
        "({} ± {}) × 10{}",
        scaled(value),
        scaled(u),
        superscript(lead)
    );
    with_symbol(&numbers, unit.symbol())
}

fn with_symbol(number: &str, symbol: &str) -> String {
    match symbol {
        "" => number.to_string(),
        "°" => format!("{number}°"),
        _ => format!("{number} {symbol}"),
    }
}

/// Writes a number with at most `digits` significant digits and no trailing zeros.
fn number(value: f64, digits: usize) -> String {
    if value.is_nan() {
        return "not a number".to_string();
    }
    if value.is_infinite() {
        return if value > 0.0 { "∞" } else { "-∞" }.to_string();
    }
    if value == 0.0 {
        return "0".to_string();
    }
    let (mantissa, exponent) = scientific(value, digits);
    let mantissa = if mantissa.contains('.') {
        mantissa.trim_end_matches('0').trim_end_matches('.')
    } else {
        &mantissa
    };
    if POSITIONAL.contains(&exponent) {
        let carried = mantissa.chars().filter(char::is_ascii_digit).count() as i32;
        let rounded: f64 = format!("{mantissa}e{exponent}").parse().unwrap_or(value);
        return to_place(rounded, exponent.min(exponent + 1 - carried));
    }
    format!("{mantissa} × 10{}", superscript(exponent))
}

/// Splits a number into its mantissa with `digits` significant digits and its power of ten.
fn scientific(value: f64, digits: usize) -> (String, i32) {
    let text = format!("{value:.*e}", digits.saturating_sub(1));
    match text.split_once('e') {
        Some((mantissa, exponent)) => (mantissa.to_string(), exponent.parse().unwrap_or(0)),
        None => (text, 0),
    }
}

/// Returns the power of ten of the first digit, after rounding to `digits` significant digits;
/// for zero the least there is.
fn leading_place(value: f64, digits: usize) -> i32 {
    if value == 0.0 {
        i32::MIN / 2
    } else {
        scientific(value, digits).1
    }
}

/// Writes a number rounded to the place 10^`place`.
fn to_place(value: f64, place: i32) -> String {
    let text = if place <= 0 {
        format!("{value:.*}", place.unsigned_abs() as usize)
    } else {
        format!("{:.0}", shift(shift(value, -place).round(), place))
    };
    // A small negative number may round to nothing.
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| matches!(c, '0' | '.')) => rest.to_string(),
        _ => text,
    }
}

/// Multiplies by a power of ten, rounding once.
pub(crate) fn shift(value: f64, places: i32) -> f64 {
    let text = format!("{value:e}");
    let Some((mantissa, exponent)) = text.split_once('e') else {
        return value;
    };
    let exponent = exponent.parse::<i32>().unwrap_or(0).saturating_add(places);
    format!("{mantissa}e{exponent}").parse().unwrap_or(value)
}
