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

/// The space that no line ends at.
const UNBROKEN: char = '\u{a0}';

/// Returns a text as a page, a sheet of paper or a drawing sets it: without characters that markup forbids, and with
/// everything together that is read as one.
pub fn typeset(text: &str) -> String {
    together(&clean(text))
}

/// Keeps together what no end of a line may part: a number and its unit, both sides of `±`, `×` and `⎓`, a limit and its
/// sign. The one place where that is decided, whether a text was composed here or is quoted from the record.
pub fn together(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let (mut before, mut first) = ("", true);
    for word in text.split(' ') {
        if !first {
            out.push(if is_one(before, word) { UNBROKEN } else { ' ' });
        }
        out.push_str(word);
        (before, first) = (word, false);
    }
    out
}

/// Says whether two words in a row are read as one.
fn is_one(before: &str, after: &str) -> bool {
    let binds = |c: char| matches!(c, '±' | '×' | '⎓');
    if before.is_empty() || after.is_empty() {
        return false;
    }
    if before.ends_with(binds)
        || after.starts_with(binds)
        || matches!(before, "≤" | "≥" | "<" | ">")
    {
        return true;
    }
    let unit = after.trim_end_matches(|c: char| {
        matches!(c, '.' | ',' | ';' | ':' | '?' | '!') || ")]”\"’'".contains(c)
    });
    before.ends_with(|c: char| c.is_ascii_digit()) && Unit::parse(unit).is_ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_parts_a_number_from_its_unit() {
        let kept = |text: &str| together(text).replace(UNBROKEN, "_");
        assert_eq!(
            kept("“5 V ⎓ 0.5 A, 4 W” is printed"),
            "“5_V_⎓_0.5_A, 4_W” is printed"
        );
        assert_eq!(
            kept("55.9 ±\u{202f}0.3\u{202f}mA"),
            "55.9_±\u{202f}0.3\u{202f}mA"
        );
        assert_eq!(
            kept("charge ≤ 300 mA, opens (6.5 V)."),
            "charge ≤_300_mA, opens (6.5_V)."
        );
        assert_eq!(kept("step 3 carries 2 pieces"), "step 3 carries 2 pieces");
        assert_eq!(kept("20 °C, 95 %; 3 × 4 mm"), "20_°C, 95_%; 3_×_4_mm");
        assert_eq!(kept(" two  spaces "), " two  spaces ");
    }

    #[test]
    fn a_share_keeps_its_sign() {
        assert_eq!([0.0, 0.4163, -0.02].map(share), ["0 %", "41.6 %", "−2.0 %"]);
    }

    #[test]
    fn control_characters_do_not_reach_the_page() {
        assert_eq!(clean("a\u{1b}[31m\r\nb\0"), "a\u{fffd}[31m\nb\u{fffd}");
    }
}
