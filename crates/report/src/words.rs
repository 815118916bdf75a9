//! How reports write intervals, shares and text from the record.
//!
//! In: figures, text. Out: text. Not here: the words of kinds, counts and probabilities
//! (`methods::words`); cells of tables (`methods::Column::print`).

use quantity::{Figure, Unit, digits, format_ends, time_unit};

pub use methods::words::{Words, capital, counted, percent};

/// Writes the coverage interval of a figure with the ends that its text tells ("0.9 to 1.1 Wh"). `None` for a figure
/// without uncertainty.
pub fn interval(figure: &Figure) -> Option<String> {
    let told = told_unit(figure);
    let [value, low, high] = [figure.value, figure.interval.low, figure.interval.high]
        .map(|x| told.of_si(figure.unit.to_si(x)));
    format_ends(value, (low, high), &told)
}

/// Returns the unit that the text of a figure is in: long times are told in days.
pub fn told_unit(figure: &Figure) -> Unit {
    time_unit(figure.value, &figure.unit).unwrap_or_else(|| figure.unit.clone())
}

/// Writes a share of the variance in percent with one decimal; negative where errors cancel.
pub fn share(share: f64) -> String {
    if share.abs() < 1e-12 {
        "0 %".into()
    } else {
        format!("{} %", digits::decimal(share * 100.0, 1))
    }
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
    fn a_share_keeps_its_sign() {
        assert_eq!([0.0, 0.4163, -0.02].map(share), ["0 %", "41.6 %", "−2.0 %"]);
    }

    #[test]
    fn control_characters_do_not_reach_the_page() {
        assert_eq!(clean("a\u{1b}[31m\r\nb\0"), "a\u{fffd}[31m\nb\u{fffd}");
    }
}
