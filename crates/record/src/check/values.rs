//! Values that are possible one by one but not together.

use super::Check;
use super::claims::stated;
use super::quantities::inner_span;
use crate::FORMAT;
use crate::grammar::reading_measure;
use crate::tree::Node;
use std::collections::BTreeMap;

/// The version of the text format.
pub(super) fn format(check: &mut Check<'_>, root: &Node) {
    if let (Some(found), Some(node)) = (root.whole("format"), root.get("format"))
        && found > i64::from(FORMAT)
    {
        check.report(
            &node.span,
            format!("this is format {found}; this program reads format {FORMAT}"),
            format!("write format = {FORMAT}, or use the newer program that wrote this text"),
        );
    }
}

/// Cut-off, nominal and limit voltage of a cell, in this order.
pub(super) fn cells(check: &mut Check<'_>, root: &Node) {
    for cell in root.list("items").iter().filter_map(|i| i.get("cell")) {
        let mut last = None;
        for key in ["cutoff-voltage", "nominal-voltage", "limit-voltage"] {
            let Some(node) = cell.get(key) else { continue };
            let Some(found) = stated(node) else { continue };
            if found.dimension() != quantity::Dimension::VOLTAGE {
                continue;
            }
            if let Some((below, lower, text)) = last.take()
                && found.si() <= lower
            {
                check.report(
                    &inner_span(check.source.text, node),
                    format!("`{key}` ({}) is not above `{below}` ({text})", found.text),
                    "correct them: cut-off voltage < nominal voltage < limit voltage",
                );
            }
            last = Some((key, found.si(), found.text));
        }
    }
}

/// Tables of facts stand at items of the kind they are about.
pub(super) fn kinds(check: &mut Check<'_>, root: &Node) {
    for item in root.list("items") {
        let Some(kind) = item.text("kind") else {
            continue;
        };
        if let Some(cell) = item.get("cell")
            && kind != "cell"
        {
            check.report(
                &cell.span,
                format!("an item of kind {kind} cannot have cell facts"),
                "write kind = \"cell\", or remove this table",
            );
        }
        if let Some(fastener) = item.get("fastener")
            && !matches!(kind, "fastener" | "adhesive")
        {
            check.report(
                &fastener.span,
                format!("an item of kind {kind} cannot have fastener facts"),
                "give the fastener an item of its own with kind = \"fastener\" or \"adhesive\"",
            );
        }
    }
    for link in root.list("links") {
        if let (Some(from), Some(to)) = (link.text("from"), link.get("to"))
            && Some(from) == to.as_text()
        {
            check.report(
                &to.span,
                "the link runs from an item to itself",
                "correct `from` or `to`",
            );
        }
    }
}

/// The origin of a role speaks of a role that is given.
pub(super) fn roles(check: &mut Check<'_>, root: &Node) {
    for item in root.list("items") {
        if let (Some(origin), None) = (item.get("role-origin"), item.get("role")) {
            check.report(
                &origin.span,
                "the item has no role that this could be the origin of",
                "add role = \"…\", or remove it",
            );
        }
    }
}

/// Dimension of each reading, number of pieces, and what was missing when it was taken.
pub(super) fn readings(check: &mut Check<'_>, root: &Node) {
    let mut items: BTreeMap<&str, &Node> = BTreeMap::new();
    for item in root.list("items") {
        if let Some(id) = item.text("id") {
            items.entry(id).or_insert(item);
        }
    }
    for reading in root.list("readings") {
        if let (Some(asked), Some(node)) = (
            reading.text("what").and_then(reading_measure),
            reading.get("value"),
        ) && let Some(found) = stated(node)
        {
            check.fits(asked, &found, node, "value");
        }
        let Some(id) = reading.text("item") else {
            continue;
        };
        let Some(item) = items.get(id) else { continue };
        let count = item.get("count").map_or(Some(1), |_| item.whole("count"));
        if let (Some(pieces), Some(count), Some(node)) =
            (reading.whole("pieces"), count, reading.get("pieces"))
            && pieces > count
            && count > 0
        {
            check.report(
                &node.span,
                format!("{pieces} pieces were measured, but there are {count} of \"{id}\""),
                "correct `pieces`, or the `count` of the item",
            );
        }
        for missing in reading.list("without") {
            let Some(name) = missing.as_text().filter(|name| items.contains_key(name)) else {
                continue;
            };
            if !is_inside(&items, name, id) {
                check.report(
                    &missing.span,
                    format!(
                        "\"{name}\" is not inside \"{id}\", so it cannot have been missing from it"
                    ),
                    "name items further down the tree, or remove it",
                );
            }
        }
    }
}

/// Returns whether `id` lies somewhere below `whole`.
fn is_inside(items: &BTreeMap<&str, &Node>, id: &str, whole: &str) -> bool {
    let mut at = id;
    // A chain longer than the number of items runs in a ring, which is reported elsewhere.
    for _ in 0..items.len() {
        match items.get(at).and_then(|i| i.text("parent")) {
            Some(parent) if parent == whole => return true,
            Some(parent) => at = parent,
            None => return false,
        }
    }
    true
}

/// A correlation is between two different readings.
pub(super) fn correlations(check: &mut Check<'_>, root: &Node) {
    for correlation in root.list("correlations") {
        if let [first, second] = correlation.list("between")
            && first.as_text().is_some()
            && first.as_text() == second.as_text()
            && !check.problems.iter().any(|p| p.span == second.span)
        {
            check.report(
                &second.span,
                "a reading cannot be correlated with itself",
                "name two readings",
            );
        }
    }
}

/// An estimate says how far off it may be, or it would count as exact; a rate leads to another currency.
pub(super) fn prices(check: &mut Check<'_>, root: &Node) {
    for price in root.list("prices") {
        let estimate = price
            .get("confidence")
            .filter(|c| c.as_text() == Some("estimate"));
        if let Some(confidence) = estimate
            && price.get("within").is_none()
        {
            check.report(
                &confidence.span,
                "an estimate without a spread would count as exact",
                "write within = \"30 %\", the share within which it lies 8 times in 10",
            );
        }
    }
    for rate in root.list("rates") {
        let (Some(of), Some(is)) = (rate.text("of"), rate.get("is")) else {
            continue;
        };
        if is.as_text().is_some_and(|text| text.contains(of)) {
            check.report(
                &is.span,
                "a currency has no rate to itself",
                "write what one of it is in another currency, as \"0.92 EUR\"",
            );
        }
    }
}
