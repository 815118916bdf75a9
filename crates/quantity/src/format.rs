//! Numbers and units as text: how a value, and how far it may be off, is printed.
//!
//! In: a value, its 95 % interval, a unit, limits it is held against. Out: one line of text that
//! reads back to the same value. Not here: choosing the unit, save that of times.
//! Source: SI Brochure, 9th edition, 5.4.3 and 5.4.4 (spaces, groups of three digits); JCGM 100:2008
//! (GUM), 7.2.6 (few digits of the uncertainty, the value to the same place). One digit, and two
//! where the first is 1, common practice.

use crate::glyph::superscript;
use crate::{Unit, digits, units};

/// The space between a number and its unit, around signs between numbers and between groups of
/// digits: narrow, and no line ends at it.
pub const GAP: char = '\u{202f}';

/// Coverage probability of every interval that is printed.
pub const COVERAGE: f64 = 0.95;

/// Half the 95 % interval of a normal distribution, in standard uncertainties (JCGM 100:2008, table G.1).
pub const COVERED: f64 = 1.959_963_984_540_054;

/// Powers of ten of the leading digit that are written without an exponent.
const POSITIONAL: std::ops::RangeInclusive<i32> = -3..=6;

/// Share by which the halves of an interval may differ and still be printed as one.
const LOPSIDED: f64 = 0.15;

/// Most decimals added so that a rounded value lies on its side of a limit.
const MORE: i32 = 4;

/// Digits that a double carries.
const CARRIED: i32 = 16;

/// Writes `value unit` with as many digits as the value carries (at most 12 significant).
/// SI Brochure 5.4.3: a space before the symbol (also for `%` and `°C`; none before `°`), no
/// plural. Below 0.001 and from ten million a power of ten is used: `1.2 × 10⁻⁴ A`.
pub fn format_quantity(value: f64, unit: &Unit) -> String {
    with_symbol(&number(value, 12), unit.symbol())
}

/// Writes a value with its 95 % interval: `41.13 ± 0.04 g`, where ± is half the interval, with one
/// significant digit, two where it begins with 1. Where the halves differ by more than 15 %,
/// `about 160 min (130 to 200 min)`, the ends rounded outward. Without an interval the value alone.
/// With a power of ten: `(5.0 ± 0.2) × 10⁻⁴ A`.
pub fn format_measured(value: f64, interval: (f64, f64), unit: &Unit) -> String {
    format_beside(value, interval, &[], unit)
}

/// Writes as [`format_measured`] does, with more decimals where rounding would hide on which side
/// of one of `limits` (in the same unit) the value lies.
pub fn format_beside(value: f64, interval: (f64, f64), limits: &[f64], unit: &Unit) -> String {
    let (low, high) = interval;
    let half = (high - low) / 2.0;
    if !value.is_finite() || half.is_nan() || half <= 0.0 {
        return format_quantity(value, unit);
    }
    let symbol = unit.symbol();
    if !half.is_finite() {
        let place = leading_place(value, 2) - 1;
        let about = with_symbol(&to_place(value, place), symbol);
        let end = match (low.is_finite(), high.is_finite()) {
            (true, _) => format!(
                "{} or more",
                with_symbol(&outward(low, place, false), symbol)
            ),
            (_, true) => format!(
                "{} or less",
                with_symbol(&outward(high, place, true), symbol)
            ),
            _ => return format!("about {about}"),
        };
        return format!("about {about} ({end})");
    }
    let place = place_beside(value, half, limits);
    let lead = leading_place(half, 2).max(leading_place(value, 17));
    if lead - place > CARRIED {
        // The value has fewer digits than its interval asks for.
        return format_quantity(value, unit);
    }
    if is_lopsided(value, interval) {
        return format!(
            "about {} ({} to {})",
            with_symbol(&to_place(value, place), symbol),
            outward(low, place, false),
            with_symbol(&outward(high, place, true), symbol)
        );
    }
    if POSITIONAL.contains(&lead) {
        let half = to_place(half, place);
        return with_symbol(&format!("{} ±{GAP}{half}", to_place(value, place)), symbol);
    }
    let scaled = |x: f64| to_place(shift(x, -lead), place - lead);
    let numbers = format!(
        "({} ±{GAP}{}){GAP}×{GAP}10{}",
        scaled(value),
        scaled(half),
        superscript(lead)
    );
    with_symbol(&numbers, symbol)
}

/// Writes the ends of an interval to the digits that [`format_measured`] writes: `0.9 to 1.1 Wh`, rounded outward
/// where that tells both ends. `None` where there is no interval.
pub fn format_ends(value: f64, interval: (f64, f64), unit: &Unit) -> Option<String> {
    let (low, high) = interval;
    let half = (high - low) / 2.0;
    digits::decimals(half)?;
    let place = place_beside(value, half, &[]);
    let [low, high] = if is_lopsided(value, interval) {
        [outward(low, place, false), outward(high, place, true)]
    } else {
        [low, high].map(|end| to_place(end, place))
    };
    Some(format!("{low} to {}", with_symbol(&high, unit.symbol())))
}

/// Whether the halves of an interval differ so much that both ends are told.
fn is_lopsided(value: f64, (low, high): (f64, f64)) -> bool {
    let (below, above) = (value - low, high - value);
    (below - above).abs() > LOPSIDED * below.max(above)
}

/// Returns the decimals a value is printed with beside half its 95 % interval and its limits, all
/// in one unit; `None` where there is no interval.
pub fn decimals_beside(value: f64, half: f64, limits: &[f64]) -> Option<usize> {
    digits::decimals(half)?;
    Some(usize::try_from(-place_beside(value, half, limits)).unwrap_or(0))
}

/// Returns the unit that a time is told in: minutes below 2 h, days above 72 h, else its own;
/// `None` where that is its own, or it is no time.
pub fn time_unit(value: f64, unit: &Unit) -> Option<Unit> {
    let hours = unit.to_si(value).abs() / units::hour().factor();
    let told = match unit.symbol() {
        "h" | "d" if hours < 2.0 => units::minute(),
        "h" | "min" if hours > 72.0 => units::day(),
        _ => return None,
    };
    Some(told)
}

/// Returns the place of the last digit that is printed.
fn place_beside(value: f64, half: f64, limits: &[f64]) -> i32 {
    let place = digits::place(half);
    let hidden = |place: i32| {
        let shown = rounded(value, place);
        let keeps_side = |limit: f64| differ(shown, limit) && (shown < limit) == (value < limit);
        let mut limits = limits.iter();
        limits.any(|&limit| differ(value, limit) && !keeps_side(limit))
    };
    let mut places = (0..=MORE).map(|more| place - more);
    places.find(|p| !hidden(*p)).unwrap_or(place)
}

/// Returns whether two numbers differ by more than the residue of computing.
fn differ(a: f64, b: f64) -> bool {
    (a - b).abs() > 1e-12 * a.abs().max(b.abs())
}

/// Writes the end of an interval, rounded away from its middle.
fn outward(end: f64, place: i32, up: bool) -> String {
    let scaled = shift(end, -place);
    // What rounding to the nearest does not change but for residue stays.
    let near = scaled.round();
    let whole = if !differ(scaled, near) {
        near
    } else if up {
        scaled.ceil()
    } else {
        scaled.floor()
    };
    to_place(shift(whole, place), place)
}

fn rounded(value: f64, place: i32) -> f64 {
    shift(shift(value, -place).round(), place)
}

fn with_symbol(number: &str, symbol: &str) -> String {
    match symbol {
        "" => number.to_string(),
        "°" => format!("{number}°"),
        _ => format!("{number}{GAP}{symbol}"),
    }
}

/// Writes a number with at most `digits` significant digits and no trailing zeros.
fn number(value: f64, digits: usize) -> String {
    if value.is_nan() {
        return "not a number".to_string();
    }
    if value.is_infinite() {
        return if value > 0.0 { "∞" } else { "−∞" }.to_string();
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
    format!(
        "{}{GAP}×{GAP}10{}",
        digits::grouped(mantissa),
        superscript(exponent)
    )
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
    digits::grouped(&text)
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
