//! Ids: declared once, referred to only where declared, and a tree of items with one root.

use super::{Check, nearest};
use crate::grammar::{ITEM_KINDS, Ids};
use crate::tree::Node;
use std::collections::{BTreeMap, BTreeSet};

/// Collects every id and reports those given twice.
pub(super) fn ids(check: &mut Check<'_>, root: &Node) {
    let families = [
        (Ids::Items, root.list("items")),
        (Ids::Photos, root.list("photos")),
        (Ids::Steps, root.list("steps")),
        (Ids::Readings, root.list("readings")),
        (Ids::Measures, root.list("measures")),
        (Ids::Logs, root.list("logs")),
        (Ids::Recordings, root.list("recordings")),
        (Ids::Instruments, root.list("instruments")),
        (Ids::Claims, root.list("claims")),
        (Ids::Films, root.list("films")),
        (
            Ids::Labels,
            root.get("product").map_or(&[][..], |p| p.list("labels")),
        ),
    ];
    for (family, nodes) in families {
        for node in nodes {
            if let Some(id) = node.get("id") {
                declare(check, family, "", id);
            }
        }
    }
    for photo in root.list("photos") {
        let scope = format!("{}#", photo.text("id").unwrap_or_default());
        for region in photo.list("regions") {
            if let Some(id) = region.get("id") {
                declare(check, Ids::Regions, &scope, id);
            }
        }
    }
}

fn declare(check: &mut Check<'_>, family: Ids, scope: &str, node: &Node) {
    let Some(id) = node.as_text() else { return };
    let known = check.ids.entry(family).or_default();
    let name = format!("{scope}{id}");
    if let Some(first) = known.get(&name) {
        let line = check
            .source
            .problem(first, String::new(), String::new())
            .line;
        check.report(
            &node.span,
            format!(
                "the {} id \"{id}\" is taken already, in line {line}",
                family.word()
            ),
            "give each its own id",
        );
        return;
    }
    known.insert(name, node.span.clone());
}

/// Reports references to ids that are not declared.
pub(super) fn references(check: &mut Check<'_>) {
    if check.partial {
        return;
    }
    for (family, id, span) in std::mem::take(&mut check.refs) {
        let (found, near) = match check.ids.get(&family) {
            Some(known) if known.contains_key(&id) || check.full() => {
                (known.contains_key(&id), None)
            }
            Some(known) => (
                false,
                nearest(&id, known.keys().map(String::as_str)).map(str::to_string),
            ),
            None => (false, None),
        };
        if !found {
            let remedy = near.map_or_else(
                || match listed(check, family, &span) {
                    Some(ids) if !ids.contains(',') => {
                        format!("write \"{ids}\", or add it under {}", family.table())
                    }
                    Some(ids) => format!("write one of: {ids}; or add it under {}", family.table()),
                    None => format!("add it under {}, or correct the id", family.table()),
                },
                |near| format!("write \"{near}\""),
            );
            check.report(
                &span,
                format!("there is no {} with the id \"{id}\"", family.word()),
                remedy,
            );
        }
    }
}

/// Lists the ids of a family that a reference could name, where they are few enough to choose from.
fn listed(check: &Check<'_>, family: Ids, at: &std::ops::Range<usize>) -> Option<String> {
    let known = check.ids.get(&family)?.iter();
    // An entry is not in itself: no header stands between its id and what it refers to.
    let is_own = |id: &std::ops::Range<usize>| {
        let between = check.source.text.get(id.end..at.start);
        between.is_some_and(|text| !text.contains("\n["))
    };
    let ids: Vec<&str> = known
        .filter(|(_, span)| !is_own(span))
        .map(|(id, _)| id.as_str())
        .collect();
    (1..=12).contains(&ids.len()).then(|| ids.join(", "))
}

/// Checks that the items form one tree under the one product.
pub(super) fn tree(check: &mut Check<'_>, root: &Node) {
    let items = root.list("items");
    let mut product: Option<&str> = None;
    // The item that takes the blame for a missing root, so that it is told once.
    let blamed = if check.partial {
        None
    } else {
        rootless(check, items)
    };
    for (at, item) in items.iter().enumerate() {
        let Some(id) = item.text("id") else { continue };
        let is_product = item.text("kind") == Some("product");
        match (is_product, item.get("parent")) {
            (true, Some(parent)) => check.report(
                &parent.span,
                "the item of kind product has no parent: it is the root of the tree",
                "remove the parent, or give the item another kind",
            ),
            (true, None) => match product {
                None => product = Some(id),
                Some(first) => {
                    let span = item
                        .get("kind")
                        .map_or(item.span.clone(), |k| k.span.clone());
                    check.report(
                        &span,
                        format!("there is already an item of kind product: \"{first}\""),
                        format!("give this one another kind and parent = \"{first}\""),
                    );
                }
            },
            (false, None) if blamed != Some(at) && has_known_kind(item) => check.report_lack(
                &item.span,
                "parent",
                format!("the item \"{id}\" has no parent"),
                "add parent = \"id of the item it is in or on\"; only the product has none",
            ),
            _ => {}
        }
    }
    cycles(check, items);
}

/// Reports that no item is the product, and returns the place of the item blamed for it.
fn rootless(check: &mut Check<'_>, items: &[Node]) -> Option<usize> {
    let may_be = |i: &Node| i.text("kind") == Some("product") || !has_known_kind(i);
    if items.iter().any(may_be) {
        return None;
    }
    let end = check.source.text.trim_end().len();
    let at = items.iter().position(|i| i.get("parent").is_none());
    let (span, remedy) = match at.map(|at| &items[at]) {
        Some(item) => (
            item.get("kind")
                .map_or(item.span.clone(), |k| k.span.clone()),
            "write kind = \"product\" for the item that is the whole",
        ),
        None => (
            end.saturating_sub(1)..end,
            "add [[items]] with id = \"product\", name = \"…\" and kind = \"product\"",
        ),
    };
    check.report(
        &span,
        "no item is the product: the tree has no root",
        remedy,
    );
    at
}

fn has_known_kind(item: &Node) -> bool {
    item.text("kind")
        .is_some_and(|kind| ITEM_KINDS.iter().any(|w| w.word == kind))
}

/// Reports each cycle of parents once, at the first of its items in the text.
fn cycles(check: &mut Check<'_>, items: &[Node]) {
    let mut parents: BTreeMap<&str, &Node> = BTreeMap::new();
    for item in items {
        // A product with a parent is told already, and closes a ring as a matter of course.
        if let (Some(id), Some(parent)) = (item.text("id"), item.get("parent"))
            && item.text("kind") != Some("product")
        {
            parents.entry(id).or_insert(parent);
        }
    }
    let mut told: BTreeSet<&str> = BTreeSet::new();
    let mut clear: BTreeSet<&str> = BTreeSet::new();
    for item in items {
        let Some(start) = item.text("id") else {
            continue;
        };
        let mut chain: Vec<&str> = Vec::new();
        let mut on_chain: BTreeSet<&str> = BTreeSet::new();
        let mut at = start;
        while !clear.contains(at) && on_chain.insert(at) {
            chain.push(at);
            match parents.get(at).and_then(|p| p.as_text()) {
                Some(next) => at = next,
                None => break,
            }
        }
        // The walk ended where it had been before, unless it ended at a root or on known ground.
        let last = chain
            .last()
            .and_then(|l| parents.get(l))
            .and_then(|p| p.as_text());
        let from = chain
            .iter()
            .position(|&c| c == at)
            .filter(|_| last == Some(at));
        let ring = from.map_or(&[][..], |from| &chain[from..]);
        if let Some(&head) = ring.first()
            && !ring.iter().any(|id| told.contains(id))
            && let Some(parent) = parents.get(head)
        {
            let mut words: Vec<&str> = ring.iter().copied().take(6).collect();
            words.push(if ring.len() > 6 { "…" } else { head });
            check.report(
                &parent.span,
                format!(
                    "the items are inside each other in a ring: {}",
                    words.join(" in ")
                ),
                "give one of them the parent it is really in or on",
            );
            told.extend(ring);
        }
        clear.extend(chain);
    }
}
