//! Single values: texts, ids, markings, dates, words and numbers.

use super::Check;
use crate::count::UNKNOWN;
use crate::grammar::{Ids, Kind, Word};
use crate::synonyms::word_meant;
use crate::tree::{Node, Value};
use serde_json::{Value as Json, json};

impl Check<'_> {
    pub(super) fn text(&mut self, node: &Node, key: &str, kind: &Kind) -> Option<String> {
        let Some(text) = node.as_text() else {
            self.wrong_kind(
                node,
                key,
                "text in quotes",
                &format!("write {}", kind.example()),
            );
            return None;
        };
        if text.trim().is_empty() {
            self.report(
                &node.span,
                format!("`{key}` is empty"),
                "write something, or remove the key",
            );
            return None;
        }
        if let Some(bad) = text
            .chars()
            .find(|c| c.is_control() && !matches!(c, '\n' | '\r' | '\t'))
        {
            self.report(
                &node.span,
                format!(
                    "`{key}` holds the control character U+{:04X}",
                    u32::from(bad)
                ),
                "remove it",
            );
            return None;
        }
        Some(text.to_string())
    }

    /// Quantities are text; a bare number has lost its unit.
    pub(super) fn quantity_text(&mut self, node: &Node, key: &str, kind: &Kind) -> Option<String> {
        if matches!(node.value, Value::Whole(_) | Value::Number(_)) {
            self.report(
                &node.span,
                format!("`{key}` is a number without a unit"),
                format!("write it as text with its unit: {}", kind.example()),
            );
            return None;
        }
        self.text(node, key, kind)
    }

    pub(super) fn id(&mut self, ids: Ids, node: &Node, key: &str) -> Option<Json> {
        let id = self.text(node, key, &Kind::Id(ids))?;
        let good = id
            .chars()
            .all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_')
            && id.starts_with(|c: char| c.is_ascii_alphanumeric());
        if !good {
            self.report(
                &node.span,
                format!(
                    "the id \"{}\" holds other characters than letters, digits, - and _",
                    crate::source::excerpt(&id)
                ),
                format!("write \"{}\"", crate::id_of(&id)),
            );
            return None;
        }
        Some(id.into())
    }

    /// A marking line in the notation of [`crate::marking`].
    pub(super) fn marking(&mut self, text: &str, node: &Node) -> bool {
        match crate::marking::Seen::parse(text) {
            Ok(_) => true,
            Err(fault) => {
                self.report(&node.span, fault.message, fault.remedy);
                false
            }
        }
    }

    pub(super) fn date(&mut self, node: &Node, key: &str) -> Option<Json> {
        let written = match &node.value {
            Value::Date(text) | Value::Text(text) => text.as_str(),
            _ => {
                self.wrong_kind(node, key, "a date", "write year-month-day: 2026-03-01");
                return None;
            }
        };
        match written.parse::<jiff::civil::Date>() {
            Ok(date) if written.len() == 10 => Some(date.to_string().into()),
            _ => {
                self.report(
                    &node.span,
                    format!("`{key}` is not a calendar date"),
                    "write year-month-day: 2026-03-01",
                );
                None
            }
        }
    }

    pub(super) fn one_of(
        &mut self,
        words: &'static [Word],
        node: &Node,
        key: &str,
        kind: &Kind,
    ) -> Option<Json> {
        let found = self.text(node, key, kind)?;
        if words.iter().any(|w| w.word == found) {
            return Some(found.into());
        }
        let all: Vec<&'static str> = words.iter().map(|w| w.word).collect();
        let remedy = match word_meant(&found, &all) {
            Some(meant) => format!("{meant} (the words are: {})", all.join(", ")),
            None => format!("write one of: {}", all.join(", ")),
        };
        self.report(
            &node.span,
            format!("`{key}` cannot be \"{}\"", crate::source::excerpt(&found)),
            remedy,
        );
        None
    }

    /// A number of pieces, or the word that says that it could not be found out.
    pub(super) fn count(&mut self, node: &Node, key: &str) -> Option<Json> {
        if node.as_text() == Some(UNKNOWN) {
            return Some(UNKNOWN.into());
        }
        self.whole(1, node, key)
    }

    pub(super) fn whole(&mut self, least: u32, node: &Node, key: &str) -> Option<Json> {
        let Value::Whole(n) = node.value else {
            let meant = match &node.value {
                Value::Number(x) => Some(*x),
                Value::Text(text) => text.trim().parse::<f64>().ok(),
                _ => None,
            };
            let whole = meant.filter(|x| x.fract() == 0.0 && *x >= f64::from(least));
            let remedy = match (whole, &node.value) {
                (Some(n), Value::Number(_)) => format!("write {n:.0} without a decimal point"),
                (Some(n), _) => format!("write {n:.0} without quotes"),
                (None, Value::Number(_)) => "write a whole number, as counted".to_string(),
                (None, _) => format!("write a whole number without quotes: {}", least.max(1)),
            };
            if matches!(node.value, Value::Number(_)) {
                let message =
                    format!("`{key}` must be a whole number, found one with a decimal point");
                self.report(&node.span, message, remedy);
            } else {
                self.wrong_kind(node, key, "a whole number", &remedy);
            }
            return None;
        };
        if n < i64::from(least) || n > i64::from(u32::MAX) {
            self.report(
                &node.span,
                format!("`{key}` must be {least} or more and below 4294967296, found {n}"),
                "write the number as counted, or remove the key",
            );
            return None;
        }
        Some(n.into())
    }

    pub(super) fn number(&mut self, low: f64, high: f64, node: &Node, key: &str) -> Option<Json> {
        let number = match node.value {
            // Whole numbers of the accepted ranges are exact as floating point.
            #[allow(clippy::cast_precision_loss, reason = "the range check follows")]
            Value::Whole(n) => n as f64,
            Value::Number(x) => x,
            _ => {
                self.wrong_kind(node, key, "a number", "write it without quotes and unit");
                return None;
            }
        };
        if !(low..=high).contains(&number) {
            self.report(
                &node.span,
                format!("`{key}` must lie between {low} and {high}, found {number}"),
                "correct the number",
            );
            return None;
        }
        Some(json!(number))
    }
}
