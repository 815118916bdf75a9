//! What came first: dates of the product, steps, and readings between steps.

use super::Check;
use crate::tree::{Node, Value};
use jiff::civil::Date;
use std::collections::BTreeMap;

/// Made, bought, opened: in this order.
pub(super) fn dates(check: &mut Check<'_>, root: &Node) {
    let Some(product) = root.get("product") else {
        return;
    };
    let mut last: Option<(&str, Date)> = None;
    for key in ["made", "bought", "opened"] {
        let Some(node) = product.get(key) else {
            continue;
        };
        let Some(date) = date_of(node) else { continue };
        if let Some((before, earlier)) = last
            && date < earlier
        {
            check.report(
                &node.span,
                format!("`{key}` ({date}) is before `{before}` ({earlier})"),
                "correct one of the two dates",
            );
        }
        last = Some((key, date));
    }
}

fn date_of(node: &Node) -> Option<Date> {
    match &node.value {
        Value::Date(text) | Value::Text(text) => text.parse().ok(),
        _ => None,
    }
}

/// Returns the place of every step in the order of the text.
fn step_order(root: &Node) -> BTreeMap<&str, usize> {
    let mut order = BTreeMap::new();
    for (at, step) in root.list("steps").iter().enumerate() {
        if let Some(id) = step.text("id") {
            order.entry(id).or_insert(at);
        }
    }
    order
}

/// A step may only wait for steps above it; so the steps can never wait for each other in a ring.
pub(super) fn steps(check: &mut Check<'_>, root: &Node) {
    let order = step_order(root);
    for (at, step) in root.list("steps").iter().enumerate() {
        for before in step.list("after") {
            let Some(&place) = before.as_text().and_then(|id| order.get(id)) else {
                continue;
            };
            let id = before.as_text().unwrap_or_default();
            if place == at {
                check.report(&before.span, "a step cannot come after itself", "remove it");
            } else if place > at {
                check.report(
                    &before.span,
                    format!("the step \"{id}\" comes later in the text"),
                    "write the steps in the order done, and let each name only steps above it",
                );
            }
        }
    }
}

/// A reading taken after one step and before another needs them in that order.
pub(super) fn readings(check: &mut Check<'_>, root: &Node) {
    let order = step_order(root);
    for reading in root.list("readings") {
        let place = |key| reading.text(key).and_then(|id| order.get(id));
        if let (Some(after), Some(before), Some(node)) =
            (place("after"), place("before"), reading.get("before"))
            && before <= after
        {
            check.report(
                &node.span,
                "the reading is taken before a step that is not later than the step it is taken after",
                "correct `before` or `after`",
            );
        }
    }
}
