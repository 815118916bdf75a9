//! Inside: every item in tree order, the parts list, presence findings, what the codes say.

use super::{Page, evidence_of, text};
use crate::words::Words as _;
use crate::{Block, RowMark, Section};
use record::{Dossier, Item, Place};
use std::collections::BTreeSet;

pub(super) fn section(page: &mut Page<'_>) -> Section {
    let mut blocks = Vec::new();
    items(page, &mut blocks);
    page.section(methods::Section::Inside, &mut blocks);
    Section {
        id: "section-inside".into(),
        title: "Inside".into(),
        blocks,
    }
}

fn items(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let mut rows = Vec::new();
    for (depth, item) in tree_order(page.dossier) {
        rows.push((
            vec![
                // An em space per level keeps the tree visible in every output.
                format!("{}{}", "\u{2003}".repeat(depth.min(8)), item.name),
                item.kind.words().into(),
                item.count.at_least().to_string(),
                text(item.role.as_ref()),
                text(item.material.as_ref()),
                sizes(item),
                text(item.note.as_ref()),
            ],
            RowMark {
                anchor: page.entry(&Place::item(&item.id)),
                evidence: evidence_of(&item.evidence),
                ..RowMark::default()
            },
        ));
    }
    let columns = [
        ("Item", false),
        ("Kind", false),
        ("Count", true),
        ("Role", false),
        ("Material", false),
        ("Size", false),
        ("Note", false),
    ];
    page.table(
        "items",
        "Everything found, in the order of the tree",
        &columns,
        rows,
        blocks,
    );
}

fn sizes(item: &Item) -> String {
    let order = ["length", "width", "height", "thickness", "diameter"];
    let mut named: Vec<(&String, String)> = item
        .size
        .iter()
        .map(|(name, size)| (name, format!("{name} {size}")))
        .collect();
    named.sort_by_key(|(name, _)| order.iter().position(|o| o == name).unwrap_or(order.len()));
    named
        .into_iter()
        .map(|(_, text)| text)
        .collect::<Vec<_>>()
        .join(", ")
}

/// Returns the items, parents before children, siblings in the order of the record. Items that no
/// root leads to (a cycle, a lost parent) follow at the end, so that none is left out.
pub(super) fn tree_order(dossier: &Dossier) -> Vec<(usize, &Item)> {
    let mut out = Vec::new();
    let mut seen = BTreeSet::new();
    let is_root = |i: &&Item| {
        i.parent
            .as_deref()
            .is_none_or(|p| dossier.item(p).is_none())
    };
    for start in dossier.items.iter().filter(is_root).chain(&dossier.items) {
        let mut stack = vec![(0, start)];
        while let Some((depth, item)) = stack.pop() {
            if !seen.insert(item.id.as_str()) {
                continue;
            }
            out.push((depth, item));
            let children: Vec<&Item> = dossier.children(&item.id).collect();
            stack.extend(children.into_iter().rev().map(|child| (depth + 1, child)));
        }
    }
    out
}
