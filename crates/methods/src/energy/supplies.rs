//! Which cell feeds what, and which readings tell its current.
//!
//! In: the items, readings and power links of a case. Out: the loads and current readings of every cell,
//! the cells in every item, the pairs of cells of which one charges the other. Not here: amperes.

use super::draw::{charging, resting};
use crate::Case;
use crate::cells::is_cell;
use crate::network::Path;
use crate::once::Once;
use quantity::Dimension;
use record::{Item, Load, Reading, ReadingSubject};
use std::collections::{HashMap, HashSet};

/// A load with the way from the cell to it, where links record one.
pub(super) struct Fed<'d> {
    pub(super) item: &'d Item,
    pub(super) load: &'d Load,
    pub(super) path: Option<Path<'d>>,
}

/// Cells and what hangs on them, by item id.
#[derive(Default)]
pub(crate) struct Supplies<'d> {
    cells: Vec<&'d Item>,
    inside: HashMap<&'d str, Vec<&'d Item>>,
    currents: HashMap<&'d str, Vec<&'d Reading>>,
    fed: HashMap<&'d str, Vec<Fed<'d>>>,
    active: Vec<&'d Item>,
    pairs: Vec<Path<'d>>,
    /// The first pair of which one cell is in an item.
    first_pair: HashMap<&'d str, usize>,
}

impl<'d> Supplies<'d> {
    pub(crate) fn of(case: &Case<'d>) -> Self {
        let mut found = Self {
            cells: case.dossier.items.iter().filter(|i| is_cell(i)).collect(),
            ..Self::default()
        };
        for cell in &found.cells {
            for above in case.tree().upwards(&cell.id) {
                found.inside.entry(&above.id).or_default().push(cell);
            }
        }
        found.readings(case);
        found.loads(case);
        let feeds = |c: &&&Item| found.modes(c).iter().any(|m| !resting(m));
        found.active = found.cells.iter().filter(feeds).copied().collect();
        found.pairs(case);
        found
    }

    /// Returns the one kind of cell in an item.
    fn only(&self, item: &str) -> Option<&'d Item> {
        match self.inside(item) {
            [only] => Some(only),
            _ => None,
        }
    }

    /// A current is that of the cell it was read at, or of the one kind of cell in what it was read at.
    fn readings(&mut self, case: &Case<'d>) {
        for reading in case.lookup().readings_about(ReadingSubject::Current) {
            if reading.value.dimension() != Dimension::CURRENT || reading.mode.is_none() {
                continue;
            }
            let own = case.item(&reading.item).filter(|i| is_cell(i));
            let only = self.only(&reading.item);
            let only = only.filter(|c| own.is_none_or(|o| o.id != c.id));
            for cell in own.into_iter().chain(only) {
                self.currents.entry(&cell.id).or_default().push(reading);
            }
        }
    }

    fn loads(&mut self, case: &Case<'d>) {
        let network = case.network();
        for cell in &self.cells {
            let loads = self.fed.entry(&cell.id).or_default();
            let mut met = HashSet::new();
            for path in network.paths_from(cell) {
                let item = path.end();
                if !is_cell(item) && met.insert(item.id.as_str()) {
                    loads.extend(item.loads.iter().map(|load| Fed {
                        item,
                        load,
                        path: Some(path.clone()),
                    }));
                }
            }
        }
        // Loads written on the cell itself, or on an item without links beside this one cell.
        let loaded = case.dossier.items.iter().filter(|i| !i.loads.is_empty());
        for item in loaded {
            let mut by: Vec<&'d Item> = Some(item).filter(|i| is_cell(i)).into_iter().collect();
            if !network.is_fed(item) && !network.feeds(item) {
                for above in case.tree().upwards(&item.id) {
                    let beside = |c: &&Item| c.parent.as_deref() == Some(&above.id);
                    let only = self.only(&above.id).filter(beside);
                    by.extend(only.filter(|c| c.id != item.id));
                }
            }
            for cell in by {
                let loads = self.fed.entry(&cell.id).or_default();
                loads.extend(item.loads.iter().map(|load| Fed {
                    item,
                    load,
                    path: None,
                }));
            }
        }
    }

    fn pairs(&mut self, case: &Case<'d>) {
        let network = case.network();
        let mut known: HashSet<(&str, &str)> = HashSet::new();
        for cell in network.items().filter(|i| is_cell(i)) {
            for path in network.paths_from(cell) {
                let (giver, taker) = (path.start(), path.end());
                if !is_cell(taker) || !known.insert((&giver.id, &taker.id)) {
                    continue;
                }
                let tree = case.tree();
                for above in tree.upwards(&giver.id).chain(tree.upwards(&taker.id)) {
                    self.first_pair.entry(&above.id).or_insert(self.pairs.len());
                }
                self.pairs.push(path.clone());
            }
        }
    }

    /// Returns every kind of cell, in the order of the record.
    pub(crate) fn cells(&self) -> &[&'d Item] {
        &self.cells
    }

    /// Returns the kinds of cell in an item, itself included, in the order of the record.
    fn inside(&self, item: &str) -> &[&'d Item] {
        self.inside.get(item).map_or(&[], Vec::as_slice)
    }

    /// Returns the cells that a statement about an item is about: the cell itself, the cells of the
    /// assembly, or, with no item, every cell that feeds a mode of use.
    pub(crate) fn cells_of(&self, item: Option<&str>) -> &[&'d Item] {
        match item {
            Some(id) => self.inside(id),
            None if self.active.is_empty() => &self.cells,
            None => &self.active,
        }
    }

    /// Returns the readings of the current of a cell in some mode.
    pub(super) fn currents(&self, cell: &Item) -> &[&'d Reading] {
        self.currents
            .get(cell.id.as_str())
            .map_or(&[], Vec::as_slice)
    }

    /// Returns the loads of a cell.
    pub(super) fn fed(&self, cell: &Item) -> &[Fed<'d>] {
        self.fed.get(cell.id.as_str()).map_or(&[], Vec::as_slice)
    }

    /// Returns the modes of use and rest known for a cell, readings first, each once.
    pub(crate) fn modes(&self, cell: &Item) -> Vec<String> {
        let read = self.currents(cell).iter().filter_map(|r| r.mode.clone());
        let loads = self.fed(cell).iter().map(|f| f.load.mode.clone());
        let modes = read.chain(loads).filter(|m| !charging(m));
        modes.collect::<Once>().into_vec()
    }

    /// Returns the pairs of cells of which the first charges the second, with the path.
    pub(crate) fn all_pairs(&self) -> &[Path<'d>] {
        &self.pairs
    }

    /// Returns the first of these pairs, or the first of which one cell is in an item.
    pub(crate) fn pair(&self, item: Option<&str>) -> Option<&Path<'d>> {
        match item {
            Some(id) => self.first_pair.get(id).map(|at| &self.pairs[*at]),
            None => self.pairs.first(),
        }
    }
}
