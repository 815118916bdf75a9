//! How many decimals a number deserves, and the number written with them.
//!
//! In: a value and its standard uncertainty in the same unit. Out: a count of decimals, or text.
//! Not here: units, which stand in the heading or beside the number (`format`).
//! Source: JCGM 100:2008 (GUM), 7.2.6 (at most two significant digits of the uncertainty).

/// Most decimals ever shown.
const MOST: usize = 9;

/// Returns the decimals that show `standard_uncertainty` with two significant digits; `None` when
/// it says nothing (zero, negative or not finite).
pub fn decimals(standard_uncertainty: f64) -> Option<usize> {
    let says = standard_uncertainty.is_finite() && standard_uncertainty > 0.0;
    says.then(|| significant(standard_uncertainty, 2))
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

/// Writes a number with so many decimals and the minus sign of print; a number that rounds to
/// nothing has no sign, one that is not finite is a dash.
pub fn decimal(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "—".into();
    }
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|b| b == b'0' || b == b'.') => rest.into(),
        Some(rest) => format!("−{rest}"),
        None => text,
    }
}

/// Writes a number with the decimals its standard uncertainty deserves; without one, with those it
/// carries.
pub fn written(value: f64, standard_uncertainty: f64) -> String {
    decimal(
        value,
        decimals(standard_uncertainty).unwrap_or_else(|| carried(value)),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_digits_of_the_uncertainty_are_shown() {
        for (u, expected) in [
            (0.07, 3),
            (0.0996, 2),
            (0.1, 2),
            (12.0, 0),
            (1.0, 1),
            (0.000_25, 5),
            (340.0, 0),
        ] {
            assert_eq!(decimals(u), Some(expected), "{u}");
        }
        for u in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(decimals(u), None);
        }
    }

    /// JCGM 100:2008, 7.2.6: the value is rounded to the place of its uncertainty.
    #[test]
    fn a_value_ends_where_its_uncertainty_does() {
        assert_eq!(written(83.4126, 0.0289), "83.413");
        assert_eq!(written(-0.001, 0.5), "0.00");
        assert_eq!(written(-12.0, 20.0), "−12");
        assert_eq!(written(-1.234, 0.05), "−1.234");
        assert_eq!(written(5.0, 0.0), "5");
        assert_eq!(decimal(f64::NAN, 2), "—");
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
