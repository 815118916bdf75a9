//! The item tree as sums of elementary pieces.
//!
//! In: the items of a dossier. Out: for each item, how many of each elementary piece one of it holds.
//! Not here: weighings.
//!
//! A product or an assembly is nothing but what it holds. Any other item with something on or in it
//! (a board with its parts, a shell with an insert) also has a body of its own, which is a piece that
//! nobody has listed. Items without anything in them are pieces themselves.

use record::{Dossier, Item, ItemKind};
use std::collections::BTreeMap;

/// Sums of pieces for every item.
#[derive(Debug, Clone)]
pub struct Tree {
    /// Number of elementary pieces.
    pub pieces: usize,
    index: BTreeMap<String, usize>,
    rows: Vec<Vec<f64>>,
}

/// Returns whether an item consists only of what it holds.
pub fn is_container(item: &Item) -> bool {
    matches!(item.kind, ItemKind::Product | ItemKind::Assembly)
}

impl Tree {
    /// Builds the sums.
    pub fn of(dossier: &Dossier) -> Self {
        let items = &dossier.items;
        let index: BTreeMap<String, usize> = items
            .iter()
            .enumerate()
            .map(|(i, item)| (item.id.clone(), i))
            .collect();
        let parent: Vec<Option<usize>> = items
            .iter()
            .map(|i| i.parent.as_ref().and_then(|p| index.get(p)).copied())
            .collect();
        let mut holds = vec![false; items.len()];
        parent.iter().flatten().for_each(|&p| holds[p] = true);
        let elementary: Vec<usize> = (0..items.len())
            .filter(|&i| !holds[i] || !is_container(&items[i]))
            .collect();
        let mut rows = vec![vec![0.0; elementary.len()]; items.len()];
        for (piece, &item) in elementary.iter().enumerate() {
            let (mut at, mut count) = (item, 1.0);
            rows[at][piece] = 1.0;
            // No chain of parents is longer than the list; the bound also ends a cycle.
            for _ in 0..items.len() {
                let Some(up) = parent[at] else { break };
                count *= f64::from(items[at].count);
                rows[up][piece] += count;
                at = up;
            }
        }
        Self {
            pieces: elementary.len(),
            index,
            rows,
        }
    }

    /// Returns the pieces in one of `item`.
    pub fn row(&self, item: &str) -> Option<&[f64]> {
        self.index.get(item).map(|&i| self.rows[i].as_slice())
    }
}

/// Returns items in tree order (parents before what they hold, in the order of the record) with
/// their depth.
pub fn in_order(dossier: &Dossier) -> Vec<(&Item, usize)> {
    let known = |id: &str| dossier.item(id).is_some();
    let mut children: BTreeMap<&str, Vec<&Item>> = BTreeMap::new();
    let mut stack: Vec<(&Item, usize)> = Vec::new();
    for item in &dossier.items {
        match item.parent.as_deref().filter(|p| known(p)) {
            Some(parent) => children.entry(parent).or_default().push(item),
            None => stack.push((item, 0)),
        }
    }
    stack.reverse();
    let mut out = Vec::with_capacity(dossier.items.len());
    while let Some((item, depth)) = stack.pop() {
        out.push((item, depth));
        if let Some(inside) = children.remove(item.id.as_str()) {
            stack.extend(inside.into_iter().rev().map(|i| (i, depth + 1)));
        }
    }
    out
}
