//! The item tree, walked once.
//!
//! In: the items of a dossier. Out: parents, children, depth, counts and "is it inside" without
//! looking through the list. Not here: what the items are.
//!
//! A walk from the roots numbers every item on the way in and on the way out; what is inside an item has
//! its numbers between those two. Items that no root leads to (a parent that is not there, a circle) are
//! roots of their own, so that every question has an answer.

use record::{Count, Dossier, Item, ItemKind};
use std::collections::HashMap;

/// Place of one item in the tree. Numbers are places in the list of items.
#[derive(Debug, Clone, Default)]
struct Branch {
    parent: Option<usize>,
    children: Vec<usize>,
    enter: usize,
    leave: usize,
    depth: usize,
    pieces: u32,
    count: Count,
    part: Option<usize>,
}

/// The items of a dossier as a tree.
#[derive(Debug)]
pub struct Tree<'d> {
    items: &'d [Item],
    index: HashMap<&'d str, usize>,
    places: Vec<Branch>,
    order: Vec<usize>,
}

impl<'d> Tree<'d> {
    /// Walks the items of a dossier.
    pub fn of(dossier: &'d Dossier) -> Self {
        let items = dossier.items.as_slice();
        let mut index = HashMap::with_capacity(items.len());
        for (at, item) in items.iter().enumerate() {
            index.entry(item.id.as_str()).or_insert(at);
        }
        let mut places = vec![Branch::default(); items.len()];
        for (at, item) in items.iter().enumerate() {
            let parent = item.parent.as_deref().and_then(|id| index.get(id)).copied();
            places[at].parent = parent;
            if let Some(parent) = parent {
                places[parent].children.push(at);
            }
        }
        let mut tree = Self {
            items,
            index,
            places,
            order: Vec::with_capacity(items.len()),
        };
        let mut clock = 0;
        for at in 0..items.len() {
            if tree.places[at].parent.is_none() {
                tree.walk(at, &mut clock);
            }
        }
        for at in 0..items.len() {
            if tree.places[at].pieces == 0 {
                // A circle: cut where the record comes to it first.
                if let Some(parent) = tree.places[at].parent.take() {
                    tree.places[parent].children.retain(|&c| c != at);
                }
                tree.walk(at, &mut clock);
            }
        }
        tree
    }

    /// Numbers an item and everything in it; `pieces` is zero where the walk has not been.
    fn walk(&mut self, root: usize, clock: &mut usize) {
        let mut stack = vec![(root, false)];
        while let Some((at, left)) = stack.pop() {
            *clock += 1;
            if left {
                self.places[at].leave = *clock;
                continue;
            }
            let above = self.places[at].parent;
            let (depth, pieces, holders, part) = match above {
                None => (0, 1, Count::Of(1), None),
                Some(up) => {
                    let up_place = &self.places[up];
                    (
                        up_place.depth + 1,
                        up_place.pieces,
                        up_place.count,
                        up_place.parent.map_or(Some(at), |_| up_place.part),
                    )
                }
            };
            let count = self.items[at].count.at_least();
            let place = &mut self.places[at];
            place.enter = *clock;
            place.depth = depth;
            place.pieces = pieces.saturating_mul(count);
            place.count = times(holders, own_count(&self.items[at]));
            place.part = part;
            self.order.push(at);
            stack.push((at, true));
            let children = &self.places[at].children;
            stack.extend(children.iter().rev().map(|&c| (c, false)));
        }
    }

    fn at(&self, id: &str) -> Option<&Branch> {
        Some(&self.places[*self.index.get(id)?])
    }

    /// Returns the item with an id.
    pub fn item(&self, id: &str) -> Option<&'d Item> {
        Some(&self.items[self.number(id)?])
    }

    /// Returns the place of an item in the list of items.
    pub fn number(&self, id: &str) -> Option<usize> {
        self.index.get(id).copied()
    }

    /// Returns the name of an item; its id where the record does not have it.
    pub fn name<'a>(&self, id: &'a str) -> &'a str
    where
        'd: 'a,
    {
        self.item(id).map_or(id, |i| i.name.as_str())
    }

    /// Returns what an item is in or on.
    pub fn parent(&self, id: &str) -> Option<&'d Item> {
        self.at(id)?.parent.map(|up| &self.items[up])
    }

    /// Returns an item and everything it is in, from the inside out.
    pub fn upwards(&self, id: &str) -> impl Iterator<Item = &'d Item> + use<'_, 'd> {
        let start = self.number(id);
        std::iter::successors(start, |&at| self.places[at].parent).map(|at| &self.items[at])
    }

    /// Returns the items directly inside an item, in the order of the record.
    pub fn children(&self, id: &str) -> impl Iterator<Item = &'d Item> + use<'_, 'd> {
        let inside = self.at(id).map(|p| p.children.as_slice());
        inside.unwrap_or_default().iter().map(|&c| &self.items[c])
    }

    /// Returns the items in tree order (parents before what they hold, siblings in the order of the
    /// record) with their depth, 0 for a root.
    pub fn in_order(&self) -> impl Iterator<Item = (&'d Item, usize)> + use<'_, 'd> {
        self.order
            .iter()
            .map(|&at| (&self.items[at], self.places[at].depth))
    }

    /// Returns whether an item is another one or lies in it.
    pub fn within(&self, inner: &str, outer: &str) -> bool {
        inner == outer || self.is_inside(inner, outer)
    }

    /// Returns whether an item lies in another one.
    pub fn is_inside(&self, inner: &str, outer: &str) -> bool {
        let (Some(inner), Some(outer)) = (self.at(inner), self.at(outer)) else {
            return false;
        };
        outer.enter < inner.enter && inner.leave < outer.leave
    }

    /// Returns whether one of two items lies in the other, or both are the same.
    pub fn touch(&self, a: &str, b: &str) -> bool {
        self.within(a, b) || self.is_inside(b, a)
    }

    /// Returns how many of an item the product holds: its count times that of everything it is in.
    pub fn pieces(&self, item: &Item) -> u32 {
        self.at(&item.id)
            .map_or(item.count.at_least(), |p| p.pieces)
    }

    /// Returns how many of an item the product holds, where that is stated or plain from its kind: its own
    /// count times that of everything it is in.
    pub fn count(&self, item: &Item) -> Count {
        self.at(&item.id)
            .map_or_else(|| own_count(item), |p| p.count)
    }

    /// Returns the part of the product (direct child of a root) that an item belongs to; `None` for a
    /// root itself and for what is not in the record.
    pub fn part_of(&self, id: &str) -> Option<&'d Item> {
        self.at(id)?.part.map(|at| &self.items[at])
    }

    /// Returns the first item that is in nothing.
    pub fn root(&self) -> Option<&'d Item> {
        self.items.iter().find(|i| i.parent.is_none())
    }

    /// Returns an item and everything in it, in the order of the record.
    pub fn inside(&self, id: &str) -> Vec<&'d Item> {
        let Some(top) = self.number(id) else {
            return Vec::new();
        };
        let mut found = vec![top];
        let mut next = 0;
        while let Some(&at) = found.get(next) {
            found.extend(&self.places[at].children);
            next += 1;
        }
        found.sort_unstable();
        found.into_iter().map(|at| &self.items[at]).collect()
    }
}

/// Returns how many of an item are in what holds it. An entry without a count is one thing, but screws and
/// tapes are many at a time: how many is then not stated.
pub fn own_count(item: &Item) -> Count {
    match (item.count, item.kind) {
        (Count::NotStated, ItemKind::Fastener | ItemKind::Adhesive) => Count::NotStated,
        (Count::NotStated, _) => Count::Of(1),
        (stated, _) => stated,
    }
}

fn times(holders: Count, own: Count) -> Count {
    match (holders, own) {
        (Count::Of(a), Count::Of(b)) => Count::Of(a.saturating_mul(b)),
        (Count::Unknown, _) | (_, Count::Unknown) => Count::Unknown,
        _ => Count::NotStated,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Reads items given as id, parent and count.
    fn dossier(items: &[(&str, &str, u32)]) -> Dossier {
        let mut dossier =
            record::read_text(&record::starter(), "dossier.toml", &record::AnyFile).unwrap();
        let like = dossier.items[0].clone();
        dossier.items = items
            .iter()
            .map(|(id, parent, count)| Item {
                id: (*id).to_string(),
                name: id.to_uppercase(),
                parent: (!parent.is_empty()).then(|| (*parent).to_string()),
                count: record::Count::Of(*count),
                ..like.clone()
            })
            .collect();
        dossier
    }

    #[test]
    fn counts_multiply_and_walks_keep_the_order_of_the_record() {
        let dossier = dossier(&[
            ("screw", "bud", 3),
            ("set", "", 1),
            ("case", "set", 1),
            ("bud", "set", 2),
            ("cap", "bud", 1),
        ]);
        let tree = Tree::of(&dossier);
        let order: Vec<(&str, usize)> = tree.in_order().map(|(i, d)| (i.id.as_str(), d)).collect();
        assert_eq!(
            order,
            [
                ("set", 0),
                ("case", 1),
                ("bud", 1),
                ("screw", 2),
                ("cap", 2)
            ]
        );
        assert_eq!(tree.pieces(&dossier.items[0]), 6);
        assert_eq!(tree.part_of("screw").unwrap().id, "bud");
        assert_eq!(tree.part_of("bud").unwrap().id, "bud");
        assert!(tree.part_of("set").is_none());
        assert!(tree.within("screw", "set") && tree.within("set", "set"));
        assert!(!tree.is_inside("set", "set") && !tree.within("cap", "case"));
        let up: Vec<&str> = tree.upwards("cap").map(|i| i.id.as_str()).collect();
        assert_eq!(up, ["cap", "bud", "set"]);
        let inside: Vec<&str> = tree.inside("bud").iter().map(|i| i.id.as_str()).collect();
        assert_eq!(inside, ["screw", "bud", "cap"]);
    }

    #[test]
    fn circles_and_lost_parents_end() {
        let dossier = dossier(&[
            ("a", "b", 2),
            ("b", "a", 1),
            ("c", "gone", 1),
            ("d", "d", 1),
        ]);
        let tree = Tree::of(&dossier);
        assert_eq!(tree.in_order().count(), 4);
        assert!(tree.within("b", "a"));
        assert_eq!(tree.upwards("b").count(), 2);
        assert!(tree.part_of("c").is_none());
        assert_eq!(tree.name("nowhere"), "nowhere");
    }
}
