//! The figures that a printed text holds, each with its unit.
//!
//! In: the text of a label. Out: whether a figure stands in it. A number without a unit of its own has
//! that of the next one (`5–20 V`, `100-240 V`). Not here: what the figure is said to mean.

use quantity::{Dimension, Stated};

/// The figures of one text.
pub(super) struct Printed(Vec<Stated>);

impl Printed {
    /// Reads every figure with a unit, and every number before one.
    pub(super) fn of(text: &str) -> Self {
        let mut found: Vec<Stated> = Vec::new();
        let mut waiting: Vec<&str> = Vec::new();
        let mut rest = text;
        while let Some(start) = rest.find(|c: char| c.is_ascii_digit()) {
            rest = &rest[start..];
            let number = rest
                .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ','))
                .unwrap_or(rest.len());
            let (digits, behind) = rest.split_at(number);
            let digits = digits.trim_end_matches(['.', ',']);
            rest = behind;
            let word: &str = behind.trim_start_matches([' ', '\u{a0}', '\u{202f}']);
            let end = word
                .find(|c: char| !(c.is_alphabetic() || matches!(c, '·' | '°' | '%')))
                .unwrap_or(word.len());
            let unit = &word[..end];
            match unit_of(digits, unit) {
                Some(stated) => {
                    let before = waiting.drain(..).filter_map(|d| unit_of(d, unit));
                    found.extend(before);
                    found.push(stated);
                }
                None if unit.is_empty() => waiting.push(digits),
                None => waiting.clear(),
            }
        }
        Self(found)
    }

    /// Returns whether some figure of a dimension stands in the text.
    pub(super) fn says_any(&self, dimension: Dimension) -> bool {
        self.0.iter().any(|s| s.dimension() == dimension)
    }

    /// Returns whether a value of a dimension, SI, stands in the text.
    pub(super) fn says(&self, si: f64, dimension: Dimension) -> bool {
        self.0
            .iter()
            .any(|s| s.dimension() == dimension && (s.si() - si).abs() <= 1e-9 * si.abs())
    }
}

/// Reads digits with a unit, which may carry letters behind it (`VDC`, `Vdc`, `V~`).
fn unit_of(digits: &str, unit: &str) -> Option<Stated> {
    let bare = unit.trim_end_matches(|c: char| matches!(c.to_ascii_uppercase(), 'D' | 'C'));
    let tries = [unit, bare];
    let read = |u: &&str| Stated::parse(&format!("{} {u}", digits.replace(',', "."))).ok();
    let named = tries.iter().filter(|u| !u.is_empty());
    named.into_iter().find_map(read)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_read_in_every_way_that_labels_print_them() {
        for (text, si, dimension) in [
            ("Input 5 V 1 A", 1.0, Dimension::CURRENT),
            ("IN: 5V/1,5A", 1.5, Dimension::CURRENT),
            ("INPUT 5VDC 500mA", 5.0, Dimension::VOLTAGE),
            ("INPUT 5VDC 500mA", 0.5, Dimension::CURRENT),
            ("5–20 V ⎓ 3 A, 60 W", 5.0, Dimension::VOLTAGE),
            ("AC 100-240V~ 50/60Hz 0.5A", 240.0, Dimension::VOLTAGE),
            ("AC 100-240V~ 50/60Hz 0.5A", 100.0, Dimension::VOLTAGE),
        ] {
            assert!(Printed::of(text).says(si, dimension), "{text}: {si}");
        }
        let model = Printed::of("Model TL 310, made 2025. Input 5 V 1 A");
        assert!(!model.says(310.0, Dimension::VOLTAGE));
        assert!(!model.says(2.0, Dimension::CURRENT));
        assert!(!model.says_any(Dimension::POWER));
    }
}
