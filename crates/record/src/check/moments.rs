//! Dates with time of day: their form, and what came first.

use super::Check;
use crate::Moment;
use crate::moment::EXAMPLE;
use crate::tree::{Node, Value};
use serde_json::Value as Json;

impl Check<'_> {
    pub(super) fn moment(&mut self, node: &Node, key: &str) -> Option<Json> {
        let remedy = format!("write date, time and offset from UTC: {EXAMPLE}");
        if !matches!(node.value, Value::Date(_) | Value::Text(_)) {
            self.wrong_kind(node, key, "a date with time", &remedy);
            return None;
        }
        let moment = moment_of(node);
        if moment.is_none() {
            self.report(
                &node.span,
                format!("`{key}` is not a date with time and offset"),
                remedy,
            );
        }
        moment.map(|m| m.to_string().into())
    }
}

fn moment_of(node: &Node) -> Option<Moment> {
    match &node.value {
        Value::Date(text) | Value::Text(text) => text.parse().ok(),
        _ => None,
    }
}

/// A step or a reading stops when it has started, not before.
pub(super) fn spans(check: &mut Check<'_>, root: &Node) {
    for entry in root.list("steps").iter().chain(root.list("readings")) {
        let at = |key| entry.get(key).and_then(moment_of);
        if let (Some(started), Some(stopped), Some(node)) =
            (at("started"), at("stopped"), entry.get("stopped"))
            && stopped.is_before(&started)
        {
            check.report(
                &node.span,
                format!("`stopped` ({stopped}) is before `started` ({started})"),
                "correct one of the two",
            );
        }
    }
}
