//! The item tree, indexed once, and what lies on a scale as a sum over it.
//!
//! In: the items of a dossier. Out: order, parents, children and counts by number; what remains of an
//! item when others are taken out of it; the balances of what consists only of what it holds.
//! Not here: weighings.
//!
//! A product or an assembly is nothing but what it holds. Any other item with something on or in it
//! (a board with its parts, a shell with an insert) also has a body of its own, which is a piece that
//! nobody has listed. Items without anything in them are pieces themselves.

use record::{Dossier, Item, ItemKind};
use std::collections::BTreeMap;

/// The item tree. Items are numbered as in the record.
#[derive(Debug, Clone)]
pub struct Tree {
    index: BTreeMap<String, usize>,
    /// Items that can be reached from one without a parent, parents first, with their depth.
    pub order: Vec<(usize, usize)>,
    parent: Vec<Option<usize>>,
    children: Vec<Vec<usize>>,
    count: Vec<f64>,
    is_container: Vec<bool>,
}

/// Returns whether an item consists only of what it holds.
pub fn is_container(item: &Item) -> bool {
    matches!(item.kind, ItemKind::Product | ItemKind::Assembly)
}

impl Tree {
    /// Indexes the items. Items in a circle of parents belong to nothing and hold nothing.
    pub fn of(dossier: &Dossier) -> Self {
        let items = &dossier.items;
        let index: BTreeMap<String, usize> = items
            .iter()
            .enumerate()
            .map(|(i, item)| (item.id.clone(), i))
            .collect();
        let parent = |i: usize| items[i].parent.as_ref().and_then(|p| index.get(p)).copied();
        let mut children: Vec<Vec<usize>> = vec![Vec::new(); items.len()];
        let mut stack = Vec::new();
        for i in 0..items.len() {
            match parent(i) {
                Some(p) => children[p].push(i),
                None => stack.push((i, 0)),
            }
        }
        stack.reverse();
        let mut order = Vec::with_capacity(items.len());
        let mut reached = vec![false; items.len()];
        while let Some((i, depth)) = stack.pop() {
            order.push((i, depth));
            reached[i] = true;
            stack.extend(children[i].iter().rev().map(|&c| (c, depth + 1)));
        }
        for (i, held) in children.iter_mut().enumerate() {
            if !reached[i] {
                held.clear();
            }
        }
        Self {
            parent: (0..items.len())
                .map(|i| parent(i).filter(|_| reached[i]))
                .collect(),
            children,
            count: items
                .iter()
                .map(|i| f64::from(i.count.at_least()))
                .collect(),
            is_container: items.iter().map(is_container).collect(),
            order,
            index,
        }
    }

    /// Returns the number of an item.
    pub fn find(&self, id: &str) -> Option<usize> {
        self.index.get(id).copied()
    }

    /// Returns the item that holds `item`.
    pub fn parent(&self, item: usize) -> Option<usize> {
        self.parent[item]
    }

    /// Returns what `item` holds, in the order of the record.
    pub fn children(&self, item: usize) -> &[usize] {
        &self.children[item]
    }

    /// Returns how many there are of an item in what holds it.
    pub fn count(&self, item: usize) -> f64 {
        self.count[item]
    }

    /// Takes the weights of weighings of all that `item` holds, each times its number. They are moved up, not
    /// copied, so that a deep tree costs no more than a flat one.
    pub(super) fn moved_up(
        &self,
        item: usize,
        below: &mut [Vec<(usize, f64)>],
    ) -> Vec<(usize, f64)> {
        let children = self.children(item);
        let longest = children.iter().copied().max_by_key(|&c| below[c].len());
        let rest = children.iter().copied().filter(|&c| Some(c) != longest);
        let mut held: Vec<(usize, f64)> = Vec::new();
        for child in longest.into_iter().chain(rest) {
            let mut part = std::mem::take(&mut below[child]);
            let count = self.count(child);
            part.iter_mut().for_each(|(_, w)| *w *= count);
            if held.is_empty() {
                held = part;
            } else {
                held.append(&mut part);
            }
        }
        held
    }

    /// Returns whether the mass of `item` is the sum of what it holds.
    pub fn is_sum(&self, item: usize) -> bool {
        self.is_container[item] && !self.children[item].is_empty()
    }

    /// Returns a number for each item that is greater for what holds something than for what it holds.
    pub(super) fn upwards(&self) -> Vec<usize> {
        let n = self.count.len();
        let mut number = vec![usize::MAX; n];
        for (at, &(item, _)) in self.order.iter().rev().enumerate() {
            number[item] = at;
        }
        let unreached = number.iter_mut().filter(|at| **at == usize::MAX);
        for (next, at) in (self.order.len()..).zip(unreached) {
            *at = next;
        }
        number
    }

    /// Returns what is left of `pieces` times `item` without all of `without`, as a sum over items; empty if
    /// nothing is left. What lies inside something taken out is not taken out again.
    pub(super) fn remains(&self, item: usize, pieces: f64, without: &[usize]) -> Vec<(usize, f64)> {
        let mut sum = BTreeMap::from([(item, pieces)]);
        for &gone in without {
            let taken = self.count(gone) * pieces;
            let mut inside: Vec<(usize, usize)> = sum
                .keys()
                .filter_map(|&i| self.path(i, gone).map(|(depth, _)| (depth, i)))
                .filter(|&(depth, _)| depth > 0)
                .collect();
            inside.push((0, gone));
            inside.sort_unstable();
            let left: Vec<f64> = inside
                .iter()
                .map(|&(_, i)| {
                    let (_, within) = self.path(i, gone).unwrap_or((0, 1.0));
                    (self.present(&sum, i) - taken * within).max(0.0)
                })
                .collect();
            for (&(_, i), left) in inside.iter().zip(left) {
                sum.insert(i, 0.0);
                let above = self.present(&sum, i);
                sum.insert(i, left - above);
            }
        }
        let is_left = sum
            .keys()
            .any(|&i| self.present(&sum, i) > 1e-12 && self.has_piece(i, &sum));
        sum.retain(|_, n| n.abs() > 1e-12);
        if is_left {
            sum.into_iter().collect()
        } else {
            Vec::new()
        }
    }

    /// Returns how far `item` is below `whole` and how many of it are in one; `None` if it is not in it.
    fn path(&self, item: usize, whole: usize) -> Option<(usize, f64)> {
        let (mut at, mut depth, mut within) = (item, 0, 1.0);
        while at != whole {
            within *= self.count[at];
            depth += 1;
            at = self.parent[at]?;
        }
        Some((depth, within))
    }

    /// Returns how many of `item` are in a sum over items.
    fn present(&self, sum: &BTreeMap<usize, f64>, item: usize) -> f64 {
        let (mut at, mut within, mut total) = (item, 1.0, 0.0);
        loop {
            total += within * sum.get(&at).copied().unwrap_or(0.0);
            within *= self.count[at];
            match self.parent[at] {
                Some(up) => at = up,
                None => return total,
            }
        }
    }

    /// Returns whether `item` has a piece that does not lie inside another item of `sum`.
    fn has_piece(&self, item: usize, sum: &BTreeMap<usize, f64>) -> bool {
        let mut stack = vec![item];
        while let Some(at) = stack.pop() {
            if !self.is_sum(at) {
                return true;
            }
            let inside = self.children[at].iter().copied();
            stack.extend(inside.filter(|c| !sum.contains_key(c)));
        }
        false
    }
}

/// Returns items in tree order (parents before what they hold, in the order of the record) with
/// their depth.
pub fn in_order(dossier: &Dossier) -> Vec<(&Item, usize)> {
    Tree::of(dossier)
        .order
        .iter()
        .map(|&(i, depth)| (&dossier.items[i], depth))
        .collect()
}
