//! The graph of power links and the ways through it.
//!
//! In: the items and power links of a dossier. Out: nodes, entrances and simple paths that end at
//! cells, loads and outgoing contacts. Not here: volts and amperes.

use petgraph::Direction;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::EdgeRef;
use record::{ConversionKind, Dossier, Item, ItemKind, Link, LinkKind};
use std::collections::BTreeMap;

/// More paths than this are not listed; a product that has more is recorded too finely.
const MOST_PATHS: usize = 200;
/// Steps of the search after which it stops, so that a dense graph cannot hang the tool.
const MOST_STEPS: usize = 20_000;

/// Items joined by power links.
pub(crate) struct Network<'d> {
    pub(crate) dossier: &'d Dossier,
    graph: DiGraph<&'d Item, &'d Link>,
    index: BTreeMap<&'d str, NodeIndex>,
    /// Links that name an item that does not exist.
    pub(crate) dangling: Vec<String>,
}

/// One way from a supply to where the power ends.
#[derive(Debug, Clone)]
pub(crate) struct Path<'d> {
    /// Items in the direction of flow.
    pub(crate) items: Vec<&'d Item>,
    /// The link after each item but the last.
    pub(crate) links: Vec<&'d Link>,
}

impl<'d> Path<'d> {
    pub(crate) fn start(&self) -> &'d Item {
        self.items[0]
    }
    pub(crate) fn end(&self) -> &'d Item {
        self.items[self.items.len() - 1]
    }
    /// Returns the names along the path joined by arrows.
    pub(crate) fn text(&self) -> String {
        let names: Vec<String> = self.items.iter().map(|i| called(i)).collect();
        names.join(" → ")
    }
}

impl<'d> Network<'d> {
    pub(crate) fn of(dossier: &'d Dossier) -> Self {
        let mut graph = DiGraph::new();
        let mut index: BTreeMap<&'d str, NodeIndex> = BTreeMap::new();
        let mut dangling = Vec::new();
        for link in dossier.links.iter().filter(|l| l.kind == LinkKind::Power) {
            let (Some(from), Some(to)) = (dossier.item(&link.from), dossier.item(&link.to)) else {
                dangling.push(format!(
                    "power link {} → {}: one end is not in the record",
                    link.from, link.to
                ));
                continue;
            };
            let a = *index
                .entry(from.id.as_str())
                .or_insert_with(|| graph.add_node(from));
            let b = *index
                .entry(to.id.as_str())
                .or_insert_with(|| graph.add_node(to));
            graph.add_edge(a, b, link);
        }
        Self {
            dossier,
            graph,
            index,
            dangling,
        }
    }

    /// Returns every item on a power link, in the order of the record.
    pub(crate) fn items(&self) -> Vec<&'d Item> {
        self.dossier
            .items
            .iter()
            .filter(|i| self.index.contains_key(i.id.as_str()))
            .collect()
    }
    pub(crate) fn links(&self) -> Vec<&'d Link> {
        self.graph.edge_references().map(|e| *e.weight()).collect()
    }
    fn neighbours(&self, item: &Item, way: Direction) -> Vec<(&'d Item, &'d Link)> {
        let Some(&node) = self.index.get(item.id.as_str()) else {
            return Vec::new();
        };
        let mut found: Vec<_> = self
            .graph
            .edges_directed(node, way)
            .map(|e| {
                let other = if way == Direction::Outgoing {
                    e.target()
                } else {
                    e.source()
                };
                (e.id(), self.graph[other], *e.weight())
            })
            .collect();
        found.sort_by_key(|(id, ..)| *id);
        found
            .into_iter()
            .map(|(_, item, link)| (item, link))
            .collect()
    }
    pub(crate) fn after(&self, item: &Item) -> Vec<(&'d Item, &'d Link)> {
        self.neighbours(item, Direction::Outgoing)
    }
    pub(crate) fn before(&self, item: &Item) -> Vec<(&'d Item, &'d Link)> {
        self.neighbours(item, Direction::Incoming)
    }
    /// Returns the contacts through which power comes in.
    pub(crate) fn entrances(&self) -> Vec<&'d Item> {
        self.items()
            .into_iter()
            .filter(|i| i.contact.is_some() && !self.after(i).is_empty())
            .collect()
    }
    /// Returns the items that supply power: entrances, then cells.
    pub(crate) fn supplies(&self) -> Vec<&'d Item> {
        let cells = self
            .items()
            .into_iter()
            .filter(|i| is_cell(i) && !self.after(i).is_empty());
        self.entrances().into_iter().chain(cells).collect()
    }

    /// Returns the simple paths from `start`. A path ends at the first cell, and at every item
    /// that draws current or leads nowhere.
    pub(crate) fn paths_from(&self, start: &'d Item) -> Vec<Path<'d>> {
        let mut found = Vec::new();
        let mut open = vec![Path {
            items: vec![start],
            links: Vec::new(),
        }];
        let mut steps = 0;
        while let Some(path) = open.pop() {
            steps += 1;
            if found.len() >= MOST_PATHS || steps > MOST_STEPS {
                break;
            }
            let here = path.end();
            let onward = self.after(here);
            let inner = path.items.len() > 1;
            if inner && (is_cell(here) || onward.is_empty() || !here.loads.is_empty()) {
                found.push(path.clone());
            }
            if inner && is_cell(here) {
                continue;
            }
            for (next, link) in onward.into_iter().rev() {
                if path.items.iter().all(|i| i.id != next.id) {
                    let mut longer = path.clone();
                    longer.items.push(next);
                    longer.links.push(link);
                    open.push(longer);
                }
            }
        }
        found
    }

    /// Returns the paths into a cell, from contacts first.
    pub(crate) fn paths_into(&self, cell: &Item) -> Vec<Path<'d>> {
        self.supplies()
            .into_iter()
            .flat_map(|s| self.paths_from(s))
            .filter(|p| p.end().id == cell.id)
            .collect()
    }
}

/// Returns the name of an item for a sentence: `charger U2` where the name is a designator.
pub(crate) fn called(item: &Item) -> String {
    match item.role.as_deref() {
        Some(role) if item.name.chars().count() <= 4 => format!("{role} {}", item.name),
        _ => item.name.clone(),
    }
}

/// Returns whether the item stores energy.
pub(crate) fn is_cell(item: &Item) -> bool {
    item.cell.is_some() || item.kind == ItemKind::Cell
}

/// Returns how many of the item the product holds: its count times that of everything it is in.
pub(crate) fn multiplicity(dossier: &Dossier, item: &Item) -> u32 {
    let mut total = item.count.max(1);
    let mut parent = item.parent.as_deref();
    // A record with a cycle in its tree still ends here.
    for _ in 0..dossier.items.len() {
        let Some(above) = parent.and_then(|id| dossier.item(id)) else {
            break;
        };
        total = total.saturating_mul(above.count.max(1));
        parent = above.parent.as_deref();
    }
    total
}

/// Returns whether `inner` is `outer` or lies inside it.
pub(crate) fn within(dossier: &Dossier, inner: &str, outer: &str) -> bool {
    let mut at = Some(inner);
    for _ in 0..=dossier.items.len() {
        match at {
            Some(id) if id == outer => return true,
            Some(id) => at = dossier.item(id).and_then(|i| i.parent.as_deref()),
            None => return false,
        }
    }
    false
}

/// Returns the assembly (direct child of the root) that holds the item.
pub(crate) fn group(dossier: &Dossier, item: &Item) -> Option<String> {
    let mut at = item;
    for _ in 0..dossier.items.len() {
        let above = dossier.item(at.parent.as_deref()?)?;
        if above.parent.is_none() {
            return Some(at.id.clone());
        }
        at = above;
    }
    None
}

/// Returns the word for what the item does on the path.
pub(crate) fn sort(network: &Network<'_>, item: &Item) -> &'static str {
    if item.contact.is_some() {
        "contact"
    } else if is_cell(item) {
        "cell"
    } else if let Some(conversion) = &item.converts {
        if conversion.kind == ConversionKind::Switch {
            "pass"
        } else {
            "converter"
        }
    } else if !item.loads.is_empty() || network.after(item).is_empty() {
        "load"
    } else {
        "pass"
    }
}
