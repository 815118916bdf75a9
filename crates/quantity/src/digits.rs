//! How many decimals a number deserves, and the number written with them.
//!
//! In: a value and half its 95 % interval, in the same unit. Out: a count of decimals, or text.
//! Not here: units, which stand in the heading or beside the number (`format`).
//! Source: JCGM 100:2008 (GUM), 7.2.6 (at most two significant digits of the uncertainty): one, and
//! two where the first is 1, so that rounding changes it by less than a twentieth to a third.

use crate::format::GAP;

/// Most decimals ever shown.
const MOST: usize = 9;

/// Digits of a whole number from which they stand in groups of three.
const GROUPED: usize = 5;

/// Returns the place of the last digit of half an interval as printed, a power of ten: one
/// significant digit, two where it begins with 1.
pub(crate) fn place(half: f64) -> i32 {
    let lead = |digits: usize| {
        let text = format!("{half:.*e}", digits - 1);
        let exponent = text.split_once('e').and_then(|(_, e)| e.parse().ok());
        (text.starts_with('1'), exponent.unwrap_or(0))
    };
    match (lead(2), lead(1)) {
        // 0.14 and, rounded up to it, 0.096, which is 0.10.
        ((true, exponent), _) | (_, (true, exponent)) => exponent - 1,
        (_, (false, exponent)) => exponent,
    }
}

/// Returns the decimals that half a 95 % interval is printed with; `None` when it says nothing
/// (zero, negative or not finite).
pub fn decimals(half: f64) -> Option<usize> {
    let says = half.is_finite() && half > 0.0;
    says.then(|| usize::try_from(-place(half)).unwrap_or(0).min(MOST))
}

/// Returns the decimals that show so many significant digits of a value, after rounding to them:
/// 0.0996 counts as 0.10 and not as 0.0996.
pub fn significant(value: f64, digits: usize) -> usize {
    let before_last = digits.saturating_sub(1);
    let exponent = format!("{value:.before_last$e}")
        .split_once('e')
        .and_then(|(_, exponent)| exponent.parse::<i32>().ok())
        .unwrap_or(0);
    let decimals = i32::try_from(before_last).unwrap_or(0) - exponent;
    usize::try_from(decimals).unwrap_or(0).min(MOST)
}

/// Returns the decimals of a number without stated uncertainty: as many as it carries, within six
/// significant digits.
pub fn carried(value: f64) -> usize {
    if !value.is_finite() || value == 0.0 {
        return 0;
    }
    let Some((mantissa, exponent)) = format!("{value:.5e}").split_once('e').map(|(m, e)| {
        (
            m.trim_end_matches('0').to_owned(),
            e.parse::<i32>().unwrap_or(0),
        )
    }) else {
        return 0;
    };
    let places = mantissa.split_once('.').map_or(0, |(_, d)| d.len());
    let decimals = i32::try_from(places).unwrap_or(0) - exponent;
    usize::try_from(decimals).unwrap_or(0).min(MOST)
}

/// Writes a number with so many decimals, the minus sign of print and its digits in groups; a
/// number that rounds to nothing has no sign, one that is not finite is a dash.
pub fn decimal(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "—".into();
    }
    grouped(&format!("{value:.decimals$}"))
}

/// Rounds a number to so many decimals.
pub fn rounded(value: f64, decimals: usize) -> f64 {
    format!("{value:.decimals$}").parse().unwrap_or(value)
}

/// Gives a plain number the minus sign of print and, from 10 000, groups of three digits
/// (SI Brochure, 5.4.4); the sign goes where only zeros are left.
pub(crate) fn grouped(text: &str) -> String {
    let (negative, number) = match text.strip_prefix('-') {
        Some(rest) => (rest.bytes().any(|b| b.is_ascii_digit() && b != b'0'), rest),
        None => (false, text),
    };
    let (whole, rest) = number.split_at(number.find('.').unwrap_or(number.len()));
    let mut out = String::from(if negative { "−" } else { "" });
    for (at, digit) in whole.char_indices() {
        if at > 0 && whole.len() >= GROUPED && (whole.len() - at).is_multiple_of(3) {
            out.push(GAP);
        }
        out.push(digit);
    }
    out + rest
}

/// Writes a number with the decimals that half its 95 % interval is printed with; without one, with
/// those it carries.
pub fn written(value: f64, half: f64) -> String {
    decimal(value, decimals(half).unwrap_or_else(|| carried(value)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_digit_of_the_interval_is_shown_and_two_where_it_begins_with_1() {
        for (half, expected) in [
            (0.07, 2),
            (0.0996, 2),
            (0.1, 2),
            (0.149, 2),
            (0.196, 1),
            (12.0, 0),
            (1.0, 1),
            (0.000_25, 4),
            (340.0, 0),
        ] {
            assert_eq!(decimals(half), Some(expected), "{half}");
        }
        for half in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(decimals(half), None);
        }
    }

    /// JCGM 100:2008, 7.2.6: the value is rounded to the place of its uncertainty.
    #[test]
    fn a_value_ends_where_its_interval_does() {
        assert_eq!(written(83.4126, 0.0289), "83.41");
        assert_eq!(written(-0.001, 0.5), "0.0");
        assert_eq!(written(-12.0, 20.0), "−12");
        assert_eq!(written(-1.234, 0.05), "−1.23");
        assert_eq!(written(5.0, 0.0), "5");
        assert_eq!(decimal(f64::NAN, 2), "—");
    }

    /// SI Brochure, 5.4.4: groups of three, none where there are four digits.
    #[test]
    fn long_numbers_stand_in_groups() {
        assert_eq!(decimal(1234.5, 1), "1234.5");
        assert_eq!(decimal(12_345.678, 2), "12\u{202f}345.68");
        assert_eq!(decimal(-1_234_567.0, 0), "−1\u{202f}234\u{202f}567");
    }

    #[test]
    fn significant_digits_are_counted_after_rounding() {
        assert_eq!(significant(0.096, 1), 1);
        assert_eq!(significant(12.34, 3), 1);
        assert_eq!(significant(1234.0, 2), 0);
    }

    #[test]
    fn a_bare_number_keeps_what_it_carries() {
        for (value, expected) in [
            (3.85, 2),
            (1200.0, 0),
            (0.1 + 0.2, 1),
            (0.0, 0),
            (2.5e-4, 5),
        ] {
            assert_eq!(carried(value), expected, "{value}");
        }
    }
}
