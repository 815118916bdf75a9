//! Inside: every item in tree order, the parts list, presence findings, what the codes say.

use super::{Page, evidence_of};
use crate::words::Words as _;
use crate::{Block, RowMark, Section};
use methods::{Between, Cell, Column, Finding, Method};
use record::{Dossier, Item, Place};
use std::collections::BTreeSet;

pub(super) fn section(page: &mut Page<'_>) -> Section {
    let mut blocks = Vec::new();
    let mut working = Vec::new();
    for photo in super::photos::of_boards(page.dossier) {
        page.photo(photo, &mut blocks);
    }
    items(page, &mut working);
    // What faces the outside and who talks to whom have sections of their own.
    let elsewhere = |f: &Finding| {
        f.method() == Method::Inventory && ["outside", "signals"].contains(&f.id.question.as_str())
    };
    for entry in methods::Section::Inside.methods() {
        for finding in page.of(entry.method).filter(|f| !elsewhere(f)) {
            page.finding(finding, &mut working);
        }
    }
    Section {
        id: "section-inside".into(),
        title: "What is inside".into(),
        blocks,
        working,
    }
}

fn items(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let mut rows = Vec::new();
    for (depth, item) in tree_order(page.dossier) {
        rows.push((
            vec![
                Cell::item(item),
                Cell::words(item.kind.words()),
                Cell::pieces(methods::own_count(item)),
                Cell::text(item.role.as_ref()),
                Cell::text(item.material.as_ref()),
                sizes(item),
                Cell::text(item.note.as_ref()),
            ],
            RowMark {
                anchor: page.entry(&Place::item(&item.id)),
                evidence: evidence_of(&item.evidence),
                depth,
                ..RowMark::default()
            },
        ));
    }
    let columns = vec![
        Column::place("Item"),
        Column::words("Kind"),
        Column::count("Count"),
        Column::words("Role"),
        Column::words("Material"),
        Column::words("Size"),
        Column::words("Note"),
    ];
    page.table(
        "items",
        "Everything found, in the order of the tree",
        columns,
        rows,
        blocks,
    );
}

fn sizes(item: &Item) -> Cell {
    let order = ["length", "width", "height", "thickness", "diameter"];
    let mut sizes: Vec<_> = item.size.iter().collect();
    sizes.sort_by_key(|(name, _)| {
        let at = order.iter().position(|o| o == name);
        at.unwrap_or(order.len())
    });
    let named = sizes
        .into_iter()
        .map(|(name, size)| Cell::stated(size).named(name));
    Cell::list(named, Between::Comma)
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
