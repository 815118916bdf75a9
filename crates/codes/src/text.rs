//! Text as it comes from a label, made ready for the readers; numbers made exact.
//!
//! In: any text. Out: [`Folded`], or nothing where no code can be that long. Not here: any code.

use unicode_normalization::UnicodeNormalization as _;

/// The longest code of any family, in characters: six colours in words with their separators fit.
pub(crate) const LONGEST: usize = 96;

/// A text with compatibility forms folded and invisible characters removed.
#[derive(Debug, Clone)]
pub(crate) struct Folded {
    /// Letters in the case they were written in.
    pub(crate) text: String,
    /// ASCII letters in upper case.
    pub(crate) upper: String,
}

/// Folds a text: full-width and other compatibility forms become plain, marks of writing direction
/// and other invisible characters go, the ends are trimmed. `None` for texts that are empty or longer
/// than any code.
pub(crate) fn fold(text: &str) -> Option<Folded> {
    // A compatibility form may grow under folding, so the input is bounded first.
    if text.len() > LONGEST * 8 {
        return None;
    }
    let folded: String = text
        .nfkc()
        .filter(|c| !invisible(*c))
        .collect::<String>()
        .trim()
        .to_string();
    let length = folded.chars().count();
    (1..=LONGEST).contains(&length).then(|| Folded {
        upper: folded.to_ascii_uppercase(),
        text: folded,
    })
}

fn invisible(c: char) -> bool {
    matches!(c,
        '\u{ad}' | '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}'
        | '\u{2060}'..='\u{2069}' | '\u{feff}')
        || (c.is_control() && !matches!(c, '\t' | '\n'))
}

/// Returns `significand` × 10^`exponent`, correctly rounded.
pub(crate) fn decimal(significand: u64, exponent: i32) -> f64 {
    format!("{significand}e{exponent}")
        .parse()
        .expect("an integer with an exponent is a number")
}

/// Splits digits at the place of a letter that stands for the decimal point: `("4", "7")` is 47 with
/// exponent -1. `None` without a digit, with more than six, or with anything else in it.
pub(crate) fn pointed(whole: &str, fraction: &str) -> Option<(u64, i32)> {
    let digits = format!("{whole}{fraction}");
    if digits.is_empty() || digits.len() > 6 || !all_digits(&digits) {
        return None;
    }
    let significand = digits.parse().ok()?;
    Some((significand, -i32::try_from(fraction.len()).ok()?))
}

/// Tells whether a text is digits only (and not empty).
pub(crate) fn all_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit())
}

/// Returns the digits of a text as numbers; empty if anything else is in it.
pub(crate) fn digits_of(text: &str) -> Vec<u32> {
    if all_digits(text) {
        text.chars().filter_map(|c| c.to_digit(10)).collect()
    } else {
        Vec::new()
    }
}

/// Removes spaces and hyphens.
pub(crate) fn compact(text: &str) -> String {
    text.chars()
        .filter(|c| !matches!(c, ' ' | '-' | '\u{2010}'..='\u{2014}'))
        .collect()
}

/// Prints a value with its unit and an SI prefix (`4.7 kΩ`).
pub(crate) fn engineering(value: f64, unit: &str) -> String {
    const PREFIXES: [(&str, i32); 8] = [
        ("G", 9),
        ("M", 6),
        ("k", 3),
        ("", 0),
        ("m", -3),
        ("µ", -6),
        ("n", -9),
        ("p", -12),
    ];
    if value == 0.0 {
        return format!("0 {unit}");
    }
    let (prefix, power) = PREFIXES
        .into_iter()
        .find(|(_, power)| value.abs() >= 0.999_999 * 10f64.powi(*power))
        .unwrap_or(("p", -12));
    format!("{} {prefix}{unit}", plain(value / 10f64.powi(power)))
}

/// Prints a number with at most five significant digits and no idle zeros.
pub(crate) fn plain(value: f64) -> String {
    if value == 0.0 {
        return "0".to_string();
    }
    let before = value.abs().log10().floor() as i32 + 1;
    let decimals = usize::try_from((5 - before).clamp(0, 9)).unwrap_or(0);
    let text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_string()
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_print_the_way_the_trade_writes_them() {
        assert_eq!(engineering(4700.0, "Ω"), "4.7 kΩ");
        assert_eq!(engineering(1e-7, "F"), "100 nF");
        assert_eq!(engineering(9.76e7, "Ω"), "97.6 MΩ");
        assert_eq!(engineering(3.3e-13, "F"), "0.33 pF");
        assert_eq!(engineering(0.0, "Ω"), "0 Ω");
        assert_eq!(engineering(1000.0, "Ω"), "1 kΩ");
        assert_eq!(plain(123_456.0), "123456");
    }

    #[test]
    fn folding_removes_what_cannot_be_seen() {
        assert_eq!(fold("\u{200f} 4K7\u{feff}").unwrap().text, "4K7");
        assert_eq!(fold("ＩＰ６７").unwrap().upper, "IP67");
        assert!(fold("\u{202e}").is_none());
        assert!(fold(&"7".repeat(10_000)).is_none());
    }
}
