//! Facts about repair say what their kind needs.

use super::Check;
use crate::tree::Node;

/// Checks every fact about repair.
pub(super) fn facts(check: &mut Check<'_>, root: &Node) {
    if check.partial {
        return;
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
