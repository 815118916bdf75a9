//! Quantity texts: can they be read, is the dimension right, is the value possible?

use super::Check;
use crate::grammar::{Asked, Bound, Sort};
use crate::tree::Node;
use quantity::{Dimension, Rating, ReadError, Stated};
use std::ops::Range;

impl Check<'_> {
    /// Checks a quantity text against what is asked. Returns whether it is good.
    pub(super) fn quantity(&mut self, asked: &Asked, text: &str, node: &Node, key: &str) -> bool {
        match Stated::parse(text) {
            Err(error) => {
                self.unreadable(
                    &error,
                    text,
                    node,
                    key,
                    &format!("write {}, such as \"{}\"", asked.word, asked.example),
                );
                false
            }
            Ok(stated) => self.fits(asked, &stated, node, key),
        }
    }

    /// Checks dimension and bounds of a readable quantity.
    pub(super) fn fits(&mut self, asked: &Asked, stated: &Stated, node: &Node, key: &str) -> bool {
        let found = stated.dimension();
        if !asked.sort.accepts(found) {
            self.report(
                &inner_span(self.source.text, node),
                format!(
                    "`{key}` must be {}, found {} ({})",
                    asked.word,
                    dimension_word(found),
                    stated.text
                ),
                format!("write {}, such as \"{}\"", asked.word, asked.example),
            );
            return false;
        }
        let (low, high) = (
            stated.low_si().min(stated.si()),
            stated.high_si().max(stated.si()),
        );
        let temperature = matches!(asked.sort, Sort::Of(d) if d == Dimension::TEMPERATURE);
        let fault = if !low.is_finite() || !high.is_finite() {
            Some("is not a finite value".to_string())
        } else {
            match asked.bound {
                Bound::NotNegative if low < 0.0 && temperature => {
                    Some("lies below absolute zero".into())
                }
                Bound::NotNegative if low < 0.0 => Some("cannot be negative".into()),
                Bound::Positive if low <= 0.0 => Some("must be greater than zero".into()),
                Bound::Share if low <= 0.0 => Some("must be greater than zero".into()),
                // A reading of exactly 100 % may come out a rounding above 1.
                Bound::Share if high > 1.0 + 1e-12 => Some("cannot be more than 100 %".into()),
                _ => None,
            }
        };
        let Some(fault) = fault else { return true };
        self.report(
            &inner_span(self.source.text, node),
            format!("`{key}` {fault} ({})", stated.text),
            format!(
                "write a value that is possible, such as \"{}\"",
                asked.example
            ),
        );
        false
    }

    /// Checks a rating text.
    pub(super) fn rating(&mut self, text: &str, node: &Node, key: &str) -> bool {
        match Rating::parse(text) {
            Err(error) => {
                self.unreadable(
                    &error,
                    text,
                    node,
                    key,
                    "write volts and amperes: \"5 V ⎓ 2 A\"",
                );
                false
            }
            Ok(rating) => {
                let bad = rating.figures().find(|p| p.low_si() <= 0.0);
                if let Some(part) = bad {
                    self.report(
                        &inner_span(self.source.text, node),
                        format!("`{key}` must be greater than zero ({})", part.text),
                        "write the rating as printed: \"5 V ⎓ 2 A\"",
                    );
                }
                bad.is_none()
            }
        }
    }

    /// Marks the characters at fault inside the quotes.
    fn unreadable(&mut self, error: &ReadError, text: &str, node: &Node, key: &str, remedy: &str) {
        let remedy = if error.message.contains("ambiguous") {
            "write one of the two readings, without a thousands separator"
        } else {
            remedy
        };
        let inner = inner_span(self.source.text, node);
        let exact = self.source.text.get(inner.clone()) == Some(text)
            && error.at.start <= error.at.end
            && error.at.end <= text.len();
        let span = if exact && !error.at.is_empty() {
            inner.start + error.at.start..inner.start + error.at.end
        } else {
            inner
        };
        self.report(&span, format!("`{key}`: {}", error.message), remedy);
    }
}

fn dimension_word(dimension: Dimension) -> String {
    let word = dimension.to_string();
    match word.as_str() {
        "charge" | "mass" | "length" | "voltage" | "power" | "level" | "frequency"
        | "temperature" | "resistance" | "plain number" | "current" | "capacitance"
        | "pressure" | "count" => {
            format!("a {word}")
        }
        "energy" | "area" | "inductance" => format!("an {word}"),
        "time" => "a duration".into(),
        _ => word,
    }
}

/// Returns the range between the quotes of a text value.
pub(super) fn inner_span(text: &str, node: &Node) -> Range<usize> {
    let span = node.span.clone();
    let Some(raw) = text.get(span.clone()) else {
        return span;
    };
    for quote in ["\"\"\"", "'''", "\"", "'"] {
        if raw.len() >= 2 * quote.len() && raw.starts_with(quote) && raw.ends_with(quote) {
            let inner = span.start + quote.len()..span.end - quote.len();
            return if inner.is_empty() { span } else { inner };
        }
    }
    span
}
