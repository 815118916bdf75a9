//! Which cell feeds what, and which readings tell its current.
//!
//! In: the items, readings and power links of a case. Out: the loads and current readings of every cell,
//! the cells in every item, the cells that charge others. Not here: amperes.

use super::draw::{charging, resting};
use crate::Case;
use crate::cells::is_cell;
use crate::distinct::Distinct;
use crate::network::Path;
use quantity::Dimension;
use record::{Item, Load, Reading, ReadingSubject};
use std::collections::{HashMap, HashSet};

/// A load with the way from the cell to it, where links record one.
pub(super) struct Fed<'d> {
    pub(super) item: &'d Item,
    pub(super) load: &'d Load,
    pub(super) path: Option<Path<'d>>,
}

/// A cell and all the cells that it charges, with the way to each.
#[derive(Clone)]
pub(crate) struct Feeding<'d> {
    pub(crate) giver: &'d Item,
    pub(crate) paths: Vec<Path<'d>>,
}

/// Cells and what hangs on them, by item id.
#[derive(Default)]
pub(crate) struct Supplies<'d> {
    cells: Vec<&'d Item>,
    inside: HashMap<&'d str, Vec<&'d Item>>,
    currents: HashMap<&'d str, Vec<&'d Reading>>,
    fed: HashMap<&'d str, Vec<Fed<'d>>>,
    active: Vec<&'d Item>,
    feedings: Vec<Feeding<'d>>,
    /// The first of them of which one cell is in an item.
    first_feeding: HashMap<&'d str, usize>,
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
        found.find_feedings(case);
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

    fn find_feedings(&mut self, case: &Case<'d>) {
        let network = case.network();
        for giver in network.items().filter(|i| is_cell(i)) {
            let mut known: HashSet<&str> = HashSet::new();
            let paths = network.paths_from(giver).iter();
            let paths: Vec<Path<'d>> = paths
                .filter(|p| is_cell(p.end()) && known.insert(&p.end().id))
                .cloned()
                .collect();
            if paths.is_empty() {
                continue;
            }
            let tree = case.tree();
            let cells = std::iter::once(giver).chain(paths.iter().map(Path::end));
            for above in cells.flat_map(|c| tree.upwards(&c.id)) {
                let first = self.first_feeding.entry(&above.id);
                first.or_insert(self.feedings.len());
            }
            self.feedings.push(Feeding { giver, paths });
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
        modes.collect::<Distinct>().into_vec()
    }

    /// Returns every cell that charges others, with those it charges.
    pub(crate) fn feedings(&self) -> &[Feeding<'d>] {
        &self.feedings
    }

    /// Returns the first of these, or the first of which one cell is in an item.
    pub(crate) fn feeding(&self, item: Option<&str>) -> Option<&Feeding<'d>> {
        match item {
            Some(id) => self.first_feeding.get(id).map(|at| &self.feedings[*at]),
            None => self.feedings.first(),
        }
    }
}
