//! Items and nets, what joins them, and what each does against hazards.
//!
//! In: names, links, functions. Out: a graph that answers questions ([`Graph::answer`]).
//! Not here: how an answer is found.
//!
//! Names are kept in order, so that ties are settled by name and the order of the input does not matter.

use crate::{Function, Hazard};
use std::collections::{BTreeMap, BTreeSet};

/// What is known of one item or net.
#[derive(Debug, Clone, Default)]
pub(crate) struct Item {
    pub(crate) after: BTreeSet<String>,
    pub(crate) does: BTreeSet<Function>,
    pub(crate) may: BTreeSet<Function>,
    pub(crate) ground: bool,
    /// Nets that this element ties to ground, where it is a shunt.
    pub(crate) nets: BTreeSet<String>,
}

/// Items and nets with their links.
#[derive(Debug, Clone, Default)]
pub struct Graph {
    pub(crate) items: BTreeMap<String, Item>,
}

/// Whether what starts at any of the sources can reach any of the targets.
#[derive(Debug, Clone, Copy)]
pub struct Question<'q> {
    /// What can go wrong.
    pub hazard: Hazard,
    /// Where it comes from: outside contacts, coils, cells, the positive end of a cell.
    pub sources: &'q [&'q str],
    /// What must be protected; for a loop the other end of the cell.
    pub targets: &'q [&'q str],
}

impl Graph {
    /// Makes an item or net known; one that is linked is known already.
    pub fn item(&mut self, name: &str) {
        self.entry(name);
    }

    fn entry(&mut self, name: &str) -> &mut Item {
        self.items.entry(name.to_string()).or_default()
    }

    /// Links two items one way.
    pub fn link(&mut self, from: &str, to: &str) {
        self.item(to);
        if from != to {
            self.entry(from).after.insert(to.to_string());
        }
    }

    /// Links two items both ways.
    pub fn tie(&mut self, one: &str, other: &str) {
        self.link(one, other);
        self.link(other, one);
    }

    /// Notes that an item has a function.
    pub fn does(&mut self, item: &str, function: Function) {
        self.entry(item).does.insert(function);
    }

    /// Notes that an item may have a function: it is not identified, or its data were not looked at.
    pub fn may(&mut self, item: &str, function: Function) {
        self.entry(item).may.insert(function);
    }

    /// Notes that an element ties a net to ground. What it does holds for every path through that net; it is never
    /// walked through itself.
    pub fn shunt(&mut self, element: &str, net: &str) {
        self.item(net);
        self.entry(element).nets.insert(net.to_string());
    }

    /// Notes that a net is ground: never walked through but as the return path of a loop.
    pub fn ground(&mut self, net: &str) {
        self.entry(net).ground = true;
    }

    /// Returns the names of all items and nets, in order.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.items.keys().map(String::as_str)
    }
}
