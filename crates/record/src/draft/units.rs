//! The units of a text that an undo can be tied to: statements, and what stands between the commas of
//! entries and tables in line.
//!
//! In: a [`View`]. Out: for each unit its address and its bytes. An address is that of a place, and so
//! outlives whatever is written above it.
//! Not here: what is undone (`undo`).

use super::spot::View;
use crate::grammar::{Kind, Table};
use crate::layout::{Form, Id, TOP};
use crate::place::{Name, Segment, numbered, path};
use crate::tree::{Node, Value};
use std::collections::HashMap;
use std::ops::Range;

/// A statement, or a part between two commas.
#[derive(Debug)]
pub(super) struct Unit {
    /// The address, and which of several with the same it is, from 0.
    pub(super) name: (String, usize),
    /// Start of the comment lines above a statement, otherwise as `start`.
    pub(super) lead: usize,
    pub(super) start: usize,
    pub(super) end: usize,
    pub(super) is_header: bool,
}

/// A series of units: all statements, or what stands between two brackets.
#[derive(Debug)]
pub(super) struct Series {
    /// The address of the brackets; empty for the statements.
    pub(super) within: String,
    /// The bytes between the brackets, or of the whole text.
    pub(super) inner: Range<usize>,
    pub(super) units: Vec<Unit>,
}

/// All series of a text, that of the statements first.
pub(super) struct Units(pub(super) Vec<Series>);

impl Units {
    pub(super) fn of(view: &View<'_>) -> Self {
        let mut addresses = Addresses {
            view,
            of: vec![None; view.layout.nodes.len()],
        };
        addresses.walk(TOP, &view.root, Some(view.grammar), &mut Vec::new());
        let of = addresses.of;
        let address = |id: Id| of[id].clone().unwrap_or_default();
        let statements = view.layout.statements.iter().map(|s| Unit {
            name: (address(s.node), 0),
            lead: s.lead,
            start: s.start,
            end: s.end,
            is_header: s.is_header,
        });
        let mut all = vec![Series {
            within: String::new(),
            inner: 0..view.text.len(),
            units: counted(statements.collect()),
        }];
        for (id, node) in view.layout.nodes.iter().enumerate() {
            let (Form::Array | Form::Inline, Some(within)) = (node.form, &of[id]) else {
                continue;
            };
            // Values of a list have no address of their own, entries have.
            let has_entries = node.parts.iter().all(|part| of[part.node].is_some());
            if node.parts.is_empty() || !has_entries {
                continue;
            }
            let parts = node.parts.iter().map(|part| Unit {
                name: (address(part.node), 0),
                lead: part.span.start,
                start: part.span.start,
                end: part.span.end,
                is_header: false,
            });
            all.push(Series {
                within: within.clone(),
                inner: node.span.start + 1..node.span.end - 1,
                units: counted(parts.collect()),
            });
        }
        Self(all)
    }

    /// Returns the innermost series that holds a range.
    pub(super) fn around(&self, range: &Range<usize>) -> &Series {
        let holds = |s: &&Series| s.inner.start <= range.start && range.end <= s.inner.end;
        let inner = self.0.iter().skip(1).filter(holds);
        inner
            .min_by_key(|s| s.inner.len())
            .unwrap_or_else(|| self.statements())
    }

    pub(super) fn statements(&self) -> &Series {
        &self.0[0]
    }

    /// Returns the series between the brackets with an address.
    pub(super) fn within(&self, address: &str) -> Option<&Series> {
        self.0.iter().find(|s| s.within == address)
    }
}

impl Series {
    pub(super) fn unit(&self, name: &(String, usize)) -> Option<usize> {
        self.units.iter().position(|u| u.name == *name)
    }

    /// Returns the position of the header that a byte stands under.
    pub(super) fn header(&self, byte: usize) -> Option<usize> {
        self.units
            .iter()
            .rposition(|u| u.is_header && u.end <= byte)
    }
}

/// Numbers units that have the same address.
fn counted(mut units: Vec<Unit>) -> Vec<Unit> {
    let mut seen: HashMap<String, usize> = HashMap::new();
    for unit in &mut units {
        let count = seen.entry(unit.name.0.clone()).or_insert(0);
        unit.name.1 = *count;
        *count += 1;
    }
    units
}

/// The addresses of the nodes of a layout.
struct Addresses<'v> {
    view: &'v View<'v>,
    of: Vec<Option<String>>,
}

impl Addresses<'_> {
    fn walk(&mut self, id: Id, node: &Node, table: Option<&'static Table>, at: &mut Vec<Segment>) {
        self.of[id] = Some(path(at));
        let layout = &self.view.layout;
        for (key, child) in &layout.node(id).children {
            let Some(value) = node.get(key) else { continue };
            let kind = table.and_then(|t| t.key(key)).map(|k| &k.kind);
            let inner = match kind {
                Some(Kind::Table(t) | Kind::Inline(t) | Kind::Tables(t)) => Some(*t),
                _ => None,
            };
            at.push(Segment::Key(key.clone()));
            self.walk(*child, value, inner, at);
            if let Value::List(nodes) = &value.value {
                let names = match inner {
                    Some(table) => numbered(table, nodes),
                    None => by_number(nodes.len()),
                };
                let elements = &layout.node(*child).elements;
                for ((element, node), name) in elements.iter().zip(nodes).zip(names) {
                    if matches!(node.value, Value::Table(_)) {
                        at.push(Segment::Entry(name));
                        self.walk(*element, node, inner, at);
                        at.pop();
                    }
                }
            }
            at.pop();
        }
    }
}

/// Names for the entries of a list that the format does not have.
fn by_number(count: usize) -> Vec<Name> {
    (0..count)
        .map(|n| Name::first(vec![n.to_string()]))
        .collect()
}
