//! How many decimals a number deserves.
//!
//! In: a value and its standard uncertainty in the same unit. Out: a count of decimals, or text.
//! Not here: units, which stand in the heading or beside the number.
//! Source: JCGM 100:2008 (GUM), 7.2.6 (at most two significant digits of the uncertainty).

/// Most decimals ever shown.
const MOST: usize = 9;

/// Returns the decimals that show `standard_uncertainty` with two significant digits; `None` when
/// it says nothing (zero, negative or not finite).
pub fn decimals(standard_uncertainty: f64) -> Option<usize> {
    if !standard_uncertainty.is_finite() || standard_uncertainty <= 0.0 {
        return None;
    }
    // The exponent form rounds first, so 0.0996 counts as 0.10 and not as 0.0996.
    let text = format!("{standard_uncertainty:.1e}");
    let exponent: i32 = text.split_once('e')?.1.parse().ok()?;
    usize::try_from(1 - exponent).map_or(Some(0), |d| Some(d.min(MOST)))
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

/// Writes a number with the decimals its uncertainty deserves.
pub fn written(value: f64, standard_uncertainty: f64) -> String {
    let places = decimals(standard_uncertainty).unwrap_or_else(|| carried(value));
    format!("{value:.places$}").replace('-', "−")
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

    #[test]
    fn a_negative_number_has_a_minus_sign() {
        assert_eq!(written(-1.234, 0.05), "−1.234");
    }
}
