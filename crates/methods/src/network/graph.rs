//! The graph of power links and the ways through it.
//!
//! In: the items and power links of a dossier. Out: nodes, entrances and simple paths that end at
//! cells, loads and outgoing contacts. Not here: volts and amperes.

use crate::Case;
use crate::cells::is_cell;
use crate::words::called;
use record::{Item, Link, LinkKind};
use std::cell::OnceCell;
use std::collections::HashMap;
use std::ops::Deref;

/// More ways from one supply than this are not listed; a product that has more is recorded too finely.
const MOST_PATHS: usize = 200;
/// Steps of the search after which it stops, so that a dense graph cannot hang the tool.
const MOST_STEPS: usize = 20_000;

/// One item on a power link.
struct Node<'d> {
    item: &'d Item,
    /// Place of the item in the record.
    number: usize,
    after: Vec<(usize, NumberedLink<'d>)>,
    before: Vec<(usize, NumberedLink<'d>)>,
    /// The ways that start here.
    paths: OnceCell<Vec<Path<'d>>>,
}

impl Node<'_> {
    /// Returns whether power ends here: a cell, something that draws current, or nothing behind it.
    fn ends(&self) -> bool {
        is_cell(self.item) || self.after.is_empty() || !self.item.loads.is_empty()
    }
}

/// Items joined by power links.
pub(crate) struct Network<'d> {
    nodes: Vec<Node<'d>>,
    index: HashMap<&'d str, usize>,
    links: Vec<NumberedLink<'d>>,
    /// Nodes in the order of the record.
    order: Vec<usize>,
    /// Nodes from which some end can be reached.
    useful: Vec<bool>,
    /// The ways into each cell, from contacts first: start and number among the ways from there.
    into: OnceCell<HashMap<&'d str, Vec<(usize, usize)>>>,
    /// Links that name an item that does not exist.
    pub(crate) dangling: Vec<String>,
}

/// A link with its number in the list of the dossier.
#[derive(Debug, Clone, Copy)]
pub(crate) struct NumberedLink<'d> {
    link: &'d Link,
    pub(crate) number: usize,
}

impl<'d> Deref for NumberedLink<'d> {
    type Target = &'d Link;

    fn deref(&self) -> &&'d Link {
        &self.link
    }
}

/// One way from a supply to where the power ends.
#[derive(Debug, Clone)]
pub(crate) struct Path<'d> {
    /// Items in the direction of flow.
    pub(crate) items: Vec<&'d Item>,
    /// The link after each item but the last.
    pub(crate) links: Vec<NumberedLink<'d>>,
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
    pub(crate) fn of(case: &Case<'d>) -> Self {
        let mut network = Self {
            nodes: Vec::new(),
            index: HashMap::new(),
            links: Vec::new(),
            order: Vec::new(),
            useful: Vec::new(),
            into: OnceCell::new(),
            dangling: Vec::new(),
        };
        let links = case.dossier.links.iter().enumerate();
        let links = links.map(|(number, link)| NumberedLink { link, number });
        for link in links.filter(|l| l.kind == LinkKind::Power) {
            let ends = network
                .node(case, &link.from)
                .and_then(|a| Some((a, network.node(case, &link.to)?)));
            let Some((a, b)) = ends else {
                network.dangling.push(format!(
                    "power link {} → {}: one end is not in the record",
                    link.from, link.to
                ));
                continue;
            };
            network.nodes[a].after.push((b, link));
            network.nodes[b].before.push((a, link));
            network.links.push(link);
        }
        network.order = (0..network.nodes.len())
            .filter(|&n| !network.nodes[n].after.is_empty() || !network.nodes[n].before.is_empty())
            .collect();
        network.order.sort_by_key(|&n| network.nodes[n].number);
        network.useful = network.leading_to_an_end();
        network
    }

    /// Returns the number of the node of an item, made when it is met first.
    fn node(&mut self, case: &Case<'d>, id: &str) -> Option<usize> {
        let item = case.item(id)?;
        let nodes = &mut self.nodes;
        let number = *self.index.entry(item.id.as_str()).or_insert_with(|| {
            nodes.push(Node {
                item,
                number: case.tree().number(id).unwrap_or(usize::MAX),
                after: Vec::new(),
                before: Vec::new(),
                paths: OnceCell::new(),
            });
            nodes.len() - 1
        });
        Some(number)
    }

    /// Walks back from every end. A search that enters only such nodes does not lose itself in circles
    /// that lead nowhere.
    fn leading_to_an_end(&self) -> Vec<bool> {
        let mut useful = vec![false; self.nodes.len()];
        let ends = |n: &usize| self.nodes[*n].ends();
        let mut stack: Vec<usize> = (0..self.nodes.len()).filter(ends).collect();
        while let Some(n) = stack.pop() {
            if !std::mem::replace(&mut useful[n], true) {
                stack.extend(self.nodes[n].before.iter().map(|(m, _)| *m));
            }
        }
        useful
    }

    fn find(&self, item: &Item) -> Option<&Node<'d>> {
        Some(&self.nodes[*self.index.get(item.id.as_str())?])
    }

    /// Returns every item on a power link, in the order of the record.
    pub(crate) fn items(&self) -> impl Iterator<Item = &'d Item> + use<'_, 'd> {
        self.order.iter().map(|&n| self.nodes[n].item)
    }
    /// Returns the power links, in the order of the record.
    pub(crate) fn links(&self) -> &[NumberedLink<'d>] {
        &self.links
    }
    /// Returns what an item feeds, with the links.
    pub(crate) fn after(
        &self,
        item: &Item,
    ) -> impl Iterator<Item = (&'d Item, NumberedLink<'d>)> + '_ {
        let links = self.find(item).map(|n| n.after.as_slice());
        self.along(links.unwrap_or_default())
    }
    /// Returns what feeds an item, with the links.
    pub(crate) fn before(
        &self,
        item: &Item,
    ) -> impl Iterator<Item = (&'d Item, NumberedLink<'d>)> + '_ {
        let links = self.find(item).map(|n| n.before.as_slice());
        self.along(links.unwrap_or_default())
    }
    fn along<'a>(
        &'a self,
        links: &'a [(usize, NumberedLink<'d>)],
    ) -> impl Iterator<Item = (&'d Item, NumberedLink<'d>)> + 'a {
        links.iter().map(|(n, link)| (self.nodes[*n].item, *link))
    }
    /// Returns whether an item feeds another.
    pub(crate) fn feeds(&self, item: &Item) -> bool {
        self.find(item).is_some_and(|n| !n.after.is_empty())
    }
    /// Returns whether an item is fed by another.
    pub(crate) fn is_fed(&self, item: &Item) -> bool {
        self.find(item).is_some_and(|n| !n.before.is_empty())
    }
    /// Returns whether power ends at an item.
    pub(crate) fn ends(&self, item: &Item) -> bool {
        self.find(item).is_some_and(Node::ends)
    }
    /// Returns whether power comes in through an item.
    pub(crate) fn is_entrance(&self, item: &Item) -> bool {
        item.contact.is_some() && self.feeds(item)
    }
    /// Returns the contacts through which power comes in.
    pub(crate) fn entrances(&self) -> impl Iterator<Item = &'d Item> + use<'_, 'd> {
        self.items().filter(|i| self.is_entrance(i))
    }
    /// Returns the items that supply power: entrances, then cells.
    pub(crate) fn supplies(&self) -> impl Iterator<Item = &'d Item> + use<'_, 'd> {
        let cells = self.items().filter(|i| is_cell(i) && self.feeds(i));
        self.entrances().chain(cells)
    }

    /// Returns the simple paths from an item. A path ends at the first cell, and at every item that draws
    /// current or leads nowhere.
    pub(crate) fn paths_from(&self, start: &Item) -> &[Path<'d>] {
        let Some(&n) = self.index.get(start.id.as_str()) else {
            return &[];
        };
        self.nodes[n].paths.get_or_init(|| self.search(n))
    }

    /// Returns whether the ways from an item are more than are followed.
    pub(crate) fn is_cut_short(&self, start: &Item) -> bool {
        self.paths_from(start).len() >= MOST_PATHS
    }

    /// Goes depth first, the links of a node in the order of the record.
    fn search(&self, start: usize) -> Vec<Path<'d>> {
        let mut found = Vec::new();
        let mut on_way = vec![start];
        let mut links: Vec<NumberedLink<'d>> = Vec::new();
        // How many of the links of each node on the way have been tried.
        let mut tried = vec![0_usize];
        let mut steps = 0;
        while let (Some(&here), Some(next)) = (on_way.last(), tried.last_mut()) {
            let inner = on_way.len() > 1;
            if *next == 0 {
                steps += 1;
                if found.len() >= MOST_PATHS || steps > MOST_STEPS {
                    break;
                }
                if inner && self.nodes[here].ends() {
                    found.push(Path {
                        items: on_way.iter().map(|&n| self.nodes[n].item).collect(),
                        links: links.clone(),
                    });
                }
            }
            let stop = inner && is_cell(self.nodes[here].item);
            let onward = self.nodes[here].after.get(*next).filter(|_| !stop);
            let Some(&(to, link)) = onward else {
                on_way.pop();
                tried.pop();
                links.pop();
                continue;
            };
            *next += 1;
            if self.useful[to] && !on_way.contains(&to) {
                on_way.push(to);
                tried.push(0);
                links.push(link);
            }
        }
        found
    }

    /// Returns the paths into a cell, from contacts first.
    pub(crate) fn paths_into(&self, cell: &Item) -> impl Iterator<Item = &Path<'d>> {
        let into = self.into.get_or_init(|| {
            let mut into: HashMap<&'d str, Vec<(usize, usize)>> = HashMap::new();
            for start in self.supplies() {
                let n = self.index[start.id.as_str()];
                for (k, path) in self.paths_from(start).iter().enumerate() {
                    into.entry(path.end().id.as_str()).or_default().push((n, k));
                }
            }
            into
        });
        let here = into.get(cell.id.as_str()).map(Vec::as_slice);
        here.unwrap_or_default()
            .iter()
            .map(|&(n, k)| &self.paths_from(self.nodes[n].item)[k])
    }
}
