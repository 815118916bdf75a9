//! How reports write probabilities, numbers with their uncertainty, and text from the record.
//!
//! In: numbers, text. Out: text. Not here: the words of kinds and counts (`methods::words`).

pub use methods::words::{Words, counted};

/// Writes a probability the way a reader can use: never 0 % or 100 %.
pub fn percent(probability: f64) -> String {
    let p = probability * 100.0;
    if !p.is_finite() {
        "unknown".into()
    } else if p > 99.9 {
        "> 99.9 %".into()
    } else if p < 0.1 {
        "< 0.1 %".into()
    } else if (1.0..=99.0).contains(&p) {
        format!("{p:.0} %")
    } else {
        format!("{p:.1} %")
    }
}

/// Writes a number with `digits` decimals and the minus sign of print.
pub fn decimal(value: f64, digits: usize) -> String {
    if !value.is_finite() {
        return "—".into();
    }
    let text = format!("{value:.digits$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|b| b == b'0' || b == b'.') => rest.into(),
        Some(rest) => format!("\u{2212}{rest}"),
        None => text,
    }
}

/// Writes a value with as many decimals as its standard uncertainty carries with two significant
/// digits (GUM 7.2.6), and that uncertainty; at most six decimals.
pub fn with_uncertainty(value: f64, standard: f64) -> (String, String) {
    let digits = decimals_of(standard);
    (decimal(value, digits), decimal(standard, digits))
}

/// Returns the decimals that show two significant digits of a standard uncertainty.
pub fn decimals_of(standard: f64) -> usize {
    if !standard.is_finite() || standard <= 0.0 {
        return 2;
    }
    let mut digits = 0;
    // Two significant digits: the scaled uncertainty must reach 10.
    let mut scaled = standard;
    while scaled < 9.95 && digits < 6 {
        scaled *= 10.0;
        digits += 1;
    }
    digits
}

/// Replaces characters that markup forbids (control characters) by U+FFFD; keeps tab and newline.
pub fn clean(text: &str) -> String {
    text.replace("\r\n", "\n")
        .chars()
        .map(|c| {
            let forbidden = (c.is_control() && c != '\n' && c != '\t')
                || matches!(c, '\u{fffe}' | '\u{ffff}' | '\u{fdd0}'..='\u{fdef}');
            if forbidden { '\u{fffd}' } else { c }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_probability_never_claims_certainty() {
        assert_eq!(percent(1.0), "> 99.9 %");
        assert_eq!(percent(0.0), "< 0.1 %");
        assert_eq!(percent(0.954), "95 %");
        assert_eq!(percent(0.995), "99.5 %");
        assert_eq!(percent(f64::NAN), "unknown");
    }

    #[test]
    fn digits_follow_the_uncertainty() {
        assert_eq!(
            with_uncertainty(83.4126, 0.0289),
            ("83.413".into(), "0.029".into())
        );
        assert_eq!(
            with_uncertainty(-0.001, 0.5),
            ("0.00".into(), "0.50".into())
        );
        assert_eq!(
            with_uncertainty(-12.0, 20.0),
            ("\u{2212}12".into(), "20".into())
        );
        assert_eq!(with_uncertainty(5.0, 0.0), ("5.00".into(), "0.00".into()));
    }

    #[test]
    fn control_characters_do_not_reach_the_page() {
        assert_eq!(clean("a\u{1b}[31m\r\nb\0"), "a\u{fffd}[31m\nb\u{fffd}");
    }
}
