//! The links of a case as the graph that a hazard takes.
//!
//! In: items and links of a case, a question. Out: a graph of what can be reached, with functions; what its names
//! stand for. Not here: the answer (`guards`), what is asked (`asked`).
//!
//! A link with a net runs through that net, which is one place wherever it is named within an assembly; a link without
//! one is a place of its own. So there is always a place where a part could stand. Power runs one way, signals both;
//! reverse current and loops run through power links both ways.

use super::asked::{Asked, End};
use super::does::{Does, does, drivers, is_passed, is_shunt, senses_temperature};
use crate::Case;
use crate::cells::is_cell;
use guards::{Function, Graph, Hazard};
use record::{Item, Link, LinkKind, Place};
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// What a name of the graph stands for.
#[derive(Debug, Clone)]
pub(super) enum Spot<'d> {
    /// An item.
    Item(&'d Item),
    /// A net, or the one link that has none: numbers of its links.
    Net(Vec<usize>),
    /// The common return.
    Ground,
    /// The negative end of a cell.
    Return,
}

/// How links are walked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Walk {
    /// Along power, and signals both ways.
    Everything,
    /// All links both ways: a spark does not mind the direction of power.
    Sparks,
    /// Along power.
    Power,
    /// Power links both ways.
    BothWays,
}

impl Walk {
    /// Returns whether a link is walked.
    fn takes(self, link: &Link) -> bool {
        link.kind == LinkKind::Power || matches!(self, Self::Everything | Self::Sparks)
    }

    /// Returns whether a link is walked against its direction too.
    fn turns(self, link: &Link) -> bool {
        link.kind != LinkKind::Power || matches!(self, Self::BothWays | Self::Sparks)
    }
}

fn walk(hazard: Hazard) -> Walk {
    match hazard {
        Hazard::OverVoltage => Walk::Everything,
        Hazard::ElectrostaticDischarge => Walk::Sparks,
        Hazard::ReverseCurrent | Hazard::ShortCircuit => Walk::BothWays,
        _ => Walk::Power,
    }
}

/// The links of a case by the item at either end, and what its items do.
pub(super) struct Wires<'c, 'd> {
    case: &'c Case<'d>,
    at: HashMap<&'d str, Vec<usize>>,
    /// Links by the place they run through, and that place by link.
    nets: HashMap<String, Vec<usize>>,
    net: Vec<String>,
    places: Vec<Place>,
    /// What lies in the return of a cell or contact.
    returns: HashMap<&'d str, Vec<&'d Item>>,
    /// What items do, each worked out when it is met first.
    functions: RefCell<HashMap<&'d str, Does>>,
    /// Assemblies in which a temperature is sensed.
    sensed: BTreeSet<&'d str>,
}

/// A graph for one question.
#[derive(Default)]
pub(super) struct Wired<'d> {
    pub(super) graph: Graph,
    pub(super) spots: BTreeMap<String, Spot<'d>>,
    pub(super) sources: Vec<String>,
    pub(super) targets: Vec<String>,
    /// Who does, or may do, something at a name, where that is not the item of that name alone.
    pub(super) doers: BTreeMap<String, Vec<(&'d Item, Does)>>,
    /// A function that counts for nothing.
    ignored: Option<Function>,
}

const GROUND: &str = "ground";

impl<'c, 'd> Wires<'c, 'd> {
    pub(super) fn of(case: &'c Case<'d>) -> Self {
        let mut wires = Self {
            case,
            at: HashMap::new(),
            nets: HashMap::new(),
            net: Vec::new(),
            places: Place::links(case.dossier),
            returns: HashMap::new(),
            functions: RefCell::default(),
            sensed: BTreeSet::new(),
        };
        for (number, link) in case.dossier.links.iter().enumerate() {
            let net = match &link.net {
                Some(net) => format!("net {} {net}", wires.assembly(&link.from)),
                // Named by its address, so that the order of links does not matter.
                None => format!("link {}", wires.places[number]),
            };
            wires.at.entry(&link.from).or_default().push(number);
            if link.to != link.from {
                wires.at.entry(&link.to).or_default().push(number);
            }
            wires.nets.entry(net.clone()).or_default().push(number);
            wires.net.push(net);
        }
        for item in &case.dossier.items {
            for of in &item.in_return_of {
                wires.returns.entry(of).or_default().push(item);
            }
            if senses_temperature(item) {
                wires.sensed.insert(wires.assembly(&item.id));
            }
        }
        wires
    }

    fn assembly(&self, id: &str) -> &'d str {
        let part = self.case.tree().part_of(id);
        part.map_or("", |p| p.id.as_str())
    }

    pub(super) fn link(&self, number: usize) -> &'d Link {
        &self.case.dossier.links[number]
    }

    /// Returns where a link stands in the record.
    pub(super) fn place(&self, number: usize) -> Place {
        self.places[number].clone()
    }

    /// Returns what an item does. A sensor is part of the guard: without one on record beside it, watching the
    /// temperature is not shown.
    fn functions(&self, item: &'d Item) -> Does {
        let mut known = self.functions.borrow_mut();
        let found = known.entry(&item.id).or_insert_with(|| {
            let mut found = does(self.case, item);
            let sensed = self.sensed.contains(self.assembly(&item.id));
            if !sensed && found.does.remove(&Function::OverTemperature) {
                found.may.insert(Function::OverTemperature);
            }
            found
        });
        found.clone()
    }

    /// Returns whether a net brings power to an item: what comes that way does not flow backwards.
    fn feeds(&self, net: &str, item: &Item) -> bool {
        let mut links = self.nets[net].iter().map(|n| self.link(*n));
        links.any(|l| l.kind == LinkKind::Power && l.to == item.id)
    }

    /// Builds what can be reached from the one end of a question that it is about.
    pub(super) fn graph(&self, asked: &Asked<'d>) -> Wired<'d> {
        self.graph_without(asked, None)
    }

    /// As [`Wires::graph`], with a function that counts for nothing.
    pub(super) fn graph_without(&self, asked: &Asked<'d>, ignored: Option<Function>) -> Wired<'d> {
        let walk = walk(asked.hazard);
        let forth = asked.from == End::Itself;
        let mut built = Wired {
            ignored,
            ..Wired::default()
        };
        let mut met: BTreeSet<&'d str> = BTreeSet::new();
        let mut stack: Vec<&'d Item> = vec![asked.about];
        while let Some(item) = stack.pop() {
            if !met.insert(&item.id) {
                continue;
            }
            if is_shunt(item) {
                self.hang(item, &mut built);
                continue;
            }
            self.put(item, asked, &mut built);
            // A spark strikes what can be touched, while nothing is mated with it.
            let sparks = asked.hazard == Hazard::ElectrostaticDischarge;
            if sparks && item.contact.is_some() && item.id != asked.about.id {
                continue;
            }
            for &number in self.at.get(item.id.as_str()).into_iter().flatten() {
                let link = self.link(number);
                let either = walk.turns(link);
                let joins = |id| self.case.item(id).is_some_and(|i| i.contact.is_some());
                let mates = joins(&link.from) && joins(&link.to);
                if !walk.takes(link) || sparks && mates {
                    continue;
                }
                let net = &self.net[number];
                if asked.hazard == Hazard::ReverseCurrent && self.feeds(net, asked.about) {
                    continue;
                }
                let (out, into) = (either || link.from == item.id, either || link.to == item.id);
                if out {
                    built.graph.link(&item.id, net);
                }
                if into {
                    built.graph.link(net, &item.id);
                }
                if !(if forth { out } else { into }) {
                    continue;
                }
                let numbers = &self.nets[net];
                for other in numbers.iter().map(|n| self.link(*n)) {
                    let both = walk.turns(other);
                    let ends = [(&other.to, both || forth), (&other.from, both || !forth)];
                    let reached = ends.into_iter().filter(|(_, is)| *is);
                    stack.extend(reached.filter_map(|(id, _)| self.case.item(id)));
                }
                built
                    .spots
                    .entry(net.clone())
                    .or_insert_with(|| Spot::Net(numbers.clone()));
            }
        }
        let items: Vec<&Item> = met.iter().filter_map(|id| self.case.item(id)).collect();
        if asked.hazard.is_a_loop() {
            self.close(asked, &items, &mut built);
        } else {
            let at = |end| {
                let here = items.iter().filter(|i| asked.is_at(self.case, end, i));
                here.map(|i| i.id.clone()).collect()
            };
            (built.sources, built.targets) = (at(asked.from), at(asked.to));
        }
        built
    }

    /// Puts an item with its functions, and with those of what lies in the return of its current.
    fn put(&self, item: &'d Item, asked: &Asked<'d>, built: &mut Wired<'d>) {
        built.spots.insert(item.id.clone(), Spot::Item(item));
        built.graph.item(&item.id);
        if asked.hazard.is_a_loop() {
            // What draws may be the short circuit itself.
            if is_cell(item) || is_passed(item) {
                self.note(&item.id, item, built);
            }
            return;
        }
        let is_end = |item: &Item| {
            asked.is_at(self.case, asked.from, item) || asked.is_at(self.case, asked.to, item)
        };
        // What lies in the return of an end counts there, once.
        let mut ends = item.in_return_of.iter().filter_map(|id| self.case.item(id));
        if !ends.any(is_end) {
            self.note(&item.id, item, built);
        }
        if is_end(item) {
            for part in self.returns.get(item.id.as_str()).into_iter().flatten() {
                self.note(&item.id, part, built);
            }
        }
    }

    /// Notes that an item does at a name what it does.
    fn note(&self, name: &str, item: &'d Item, built: &mut Wired<'d>) {
        built.graph.item(name);
        let mut found = self.functions(item);
        if let Some(ignored) = &built.ignored {
            found.does.remove(ignored);
            found.may.remove(ignored);
        }
        found.does.iter().for_each(|f| built.graph.does(name, *f));
        found.may.iter().for_each(|f| built.graph.may(name, *f));
        let drivers = drivers(self.case, item);
        let doers = built.doers.entry(name.to_string()).or_default();
        // A switch that is driven does what its driver does.
        if drivers.is_empty() || !item.protects.is_empty() {
            doers.push((item, found));
        }
        doers.extend(drivers.into_iter().map(|d| (d, self.functions(d))));
    }

    /// Hangs a shunt on the nets of its links; where a link has none, on what it hangs on if current passes that.
    fn hang(&self, shunt: &'d Item, built: &mut Wired<'d>) {
        for &number in self.at.get(shunt.id.as_str()).into_iter().flatten() {
            let link = self.link(number);
            let other = if link.from == shunt.id {
                &link.to
            } else {
                &link.from
            };
            let passed = || self.case.item(other).is_some_and(is_passed);
            let on = match &link.net {
                Some(_) => self.net[number].clone(),
                None if passed() => other.clone(),
                None => continue,
            };
            built.graph.shunt(&shunt.id, &on);
            self.note(&shunt.id, shunt, built);
            let doers = built.doers.entry(on).or_default();
            doers.push((shunt, self.functions(shunt)));
        }
    }

    /// Closes loops across cells: everything that draws leads to ground, ground through what lies in the return of
    /// each cell to its negative end. The body of another cell is a link; that of the cell asked about is none.
    fn close(&self, asked: &Asked<'d>, items: &[&'d Item], built: &mut Wired<'d>) {
        built.graph.ground(GROUND);
        built.spots.insert(GROUND.to_string(), Spot::Ground);
        for item in items {
            if !is_cell(item) {
                if item.contact.is_some() || !is_passed(item) {
                    built.graph.link(&item.id, GROUND);
                }
                continue;
            }
            let end = format!("{} return", item.id);
            built.spots.insert(end.clone(), Spot::Return);
            if item.id == asked.about.id {
                built.sources.push(item.id.clone());
                built.targets.push(end.clone());
            } else {
                built.graph.tie(&item.id, &end);
            }
            let mut inner = end;
            for part in self.returns.get(item.id.as_str()).into_iter().flatten() {
                // Cells that share what lies in their return are joined before it.
                let (joint, through) =
                    (format!("{} inside", part.id), format!("{} across", part.id));
                built.graph.tie(&inner, &joint);
                built.graph.tie(&joint, &through);
                built.spots.insert(through.clone(), Spot::Item(part));
                self.note(&through, part, built);
                inner = through;
            }
            built.graph.tie(&inner, GROUND);
        }
    }
}
