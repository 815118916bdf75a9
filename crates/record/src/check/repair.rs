//! Facts about repair say what their kind needs.

use super::Check;
use crate::tree::{Node, Value};

/// Checks every fact about repair.
pub(super) fn facts(check: &mut Check<'_>, root: &Node) {
    if check.partial {
        return;
    }
    if let Some(weights) = root
        .get("repair")
        .and_then(|repair| repair.get("part-weights"))
    {
        weights_add_up(check, weights);
    }
    for fact in root.list("repair-facts") {
        let lacks = |key: &str| fact.get(key).is_none();
        let (message, remedy) = match fact.text("what") {
            Some("spare") if lacks("is") && lacks("until") => (
                "it is not said whether the spare part is offered, nor until when",
                "write is = \"yes\", \"no\" or \"unknown\", or until = 2031-12-31",
            ),
            Some("manual") if lacks("is") => (
                "it is not said whether there is a public manual",
                "write is = \"yes\", \"no\" or \"unknown\"",
            ),
            Some("software") if lacks("until") => (
                "it is not said until when updates are promised",
                "write until = 2031-12-31",
            ),
            Some("serial-lock") if lacks("of") || lacks("is") => (
                "a lock needs the part and whether it is locked",
                "write of = \"ITEM\" and is = \"yes\", \"no\" or \"unknown\"",
            ),
            Some("spare-price") if lacks("of") || lacks("price") => (
                "a price needs the part and the amount",
                "write of = \"ITEM\" and price = \"19 EUR\"",
            ),
            _ => continue,
        };
        check.report(&fact.span, message, remedy);
    }
}

/// Weights are ten and add up to a hundred.
fn weights_add_up(check: &mut Check<'_>, weights: &Node) {
    let Value::List(each) = &weights.value else {
        return;
    };
    #[allow(clippy::cast_precision_loss, reason = "weights are at most a hundred")]
    let percent = each.iter().map(|one| match one.value {
        Value::Whole(n) => n as f64,
        Value::Number(n) => n,
        _ => 0.0,
    });
    let sum: f64 = percent.sum();
    if each.len() != 10 || (sum - 100.0).abs() > 0.005 {
        check.report(
            &weights.span,
            format!("there are {} weights that add up to {sum}", each.len()),
            "write ten numbers in percent that add up to 100, in the order battery, display, hinge, back cover, front camera, \
             rear camera, charging port, buttons, microphones, speaker",
        );
    }
}
