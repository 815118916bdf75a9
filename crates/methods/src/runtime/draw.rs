//! What is drawn from a cell in each mode of use.
//!
//! In: current readings, loads, converters behind a cell. Out: the mean current at one cell.
//! A measured current at the cell, or at an assembly that holds it, beats the sum of the loads.

use crate::basis::{self, unit};
use crate::ledger::Ledger;
use crate::power::{
    Network, Path, Ratio, called, follow, group, is_cell, multiplicity, supply_at, within,
};
use quantity::{Dimension, Origin, Sheet, Term};
use record::{Item, Load, Reading, ReadingSubject};

/// Modes in which a device only waits.
const RESTING: [&str; 6] = ["storage", "standby", "off", "sleep", "idle", "in case"];

/// Returns whether a mode of use is one of rest.
pub(crate) fn resting(mode: &str) -> bool {
    RESTING.iter().any(|r| mode.eq_ignore_ascii_case(r))
}

/// Mean current at one cell in a mode.
#[derive(Debug)]
pub(crate) struct Draw<'s> {
    pub(crate) term: Term<'s>,
    pub(crate) measured: bool,
    pub(crate) ledger: Ledger,
}

/// A load with the way from the cell to it, where links record one.
struct Fed<'d> {
    item: &'d Item,
    load: &'d Load,
    path: Option<Path<'d>>,
}

/// Returns whether a mode is one of being charged, not of use.
pub(crate) fn charging(mode: &str) -> bool {
    mode.to_lowercase().starts_with("charg")
}

/// Returns the modes of use and rest known for a cell, readings first, each once.
pub(crate) fn modes(network: &Network<'_>, cell: &Item) -> Vec<String> {
    let read = current_readings(network, cell)
        .into_iter()
        .filter_map(|r| r.mode.clone());
    let loads = fed(network, cell).into_iter().map(|f| f.load.mode.clone());
    let mut modes: Vec<String> = Vec::new();
    for mode in read.chain(loads) {
        if !modes.contains(&mode) && !charging(&mode) {
            modes.push(mode);
        }
    }
    modes
}

/// Returns the mean current at one cell in `mode`.
pub(crate) fn draw<'s>(
    sheet: &'s Sheet,
    network: &Network<'_>,
    cell: &Item,
    mode: &str,
) -> Option<Draw<'s>> {
    let mut ledger = Ledger::default();
    let name = format!("current of {} in mode {mode}", cell.name);
    let reading = current_readings(network, cell)
        .into_iter()
        .find(|r| r.mode.as_deref() == Some(mode));
    if let Some(reading) = reading {
        let term = ledger.reading(sheet, network.dossier, &name, reading);
        let pieces = f64::from(reading.pieces.unwrap_or(1).max(1));
        let term = if pieces > 1.0 { term / pieces } else { term };
        return Some(Draw {
            term,
            measured: true,
            ledger,
        });
    }
    let cells = f64::from(multiplicity(network.dossier, cell));
    let mut terms = Vec::new();
    for f in fed(network, cell)
        .into_iter()
        .filter(|f| f.load.mode == mode)
    {
        terms.extend(at_cell(sheet, network, &f, cells, &mut ledger));
    }
    if terms.is_empty() {
        return None;
    }
    let seen = terms.len();
    terms.extend(quiescent(sheet, network, cell, &mut ledger));
    if terms.len() > seen {
        ledger.assume("idle currents of converters are added as drawn straight from the cell");
    }
    let term = if terms.len() == 1 {
        terms[0]
    } else {
        sheet.sum(&terms)
    };
    let term = term.named(&name, &unit("mA"));
    Some(Draw {
        term,
        measured: false,
        ledger,
    })
}

/// Returns the current at one cell in storage: a mode of rest, or the idle currents of the
/// converters behind it in the same assembly.
pub(crate) fn at_rest<'s>(
    sheet: &'s Sheet,
    network: &Network<'_>,
    cell: &Item,
    ledger: &mut Ledger,
) -> Option<Term<'s>> {
    let mode = modes(network, cell).into_iter().find(|m| resting(m));
    if let Some(found) = mode.and_then(|m| draw(sheet, network, cell, &m)) {
        ledger.absorb(found.ledger);
        return Some(found.term);
    }
    let terms = quiescent(sheet, network, cell, ledger);
    (!terms.is_empty()).then(|| {
        sheet
            .sum(&terms)
            .named(&format!("idle current of {}", cell.name), &unit("µA"))
    })
}

/// Returns whether the cell is the one kind of cell inside `outer`.
fn only_cell_in(network: &Network<'_>, cell: &Item, outer: &str) -> bool {
    let dossier = network.dossier;
    within(dossier, &cell.id, outer)
        && dossier
            .items
            .iter()
            .filter(|i| is_cell(i) && within(dossier, &i.id, outer))
            .count()
            == 1
}

/// Returns the reading of the current into a cell while it is charged.
pub(crate) fn charging_reading<'d>(network: &Network<'d>, cell: &Item) -> Option<&'d Reading> {
    current_readings(network, cell)
        .into_iter()
        .find(|r| r.item == cell.id && r.mode.as_deref().is_some_and(charging))
}

fn current_readings<'d>(network: &Network<'d>, cell: &Item) -> Vec<&'d Reading> {
    network
        .dossier
        .readings
        .iter()
        .filter(|r| {
            r.what == ReadingSubject::Current
                && r.value.dimension() == Dimension::CURRENT
                && r.mode.is_some()
        })
        .filter(|r| r.item == cell.id || only_cell_in(network, cell, &r.item))
        .collect()
}

fn fed<'d>(network: &Network<'d>, cell: &Item) -> Vec<Fed<'d>> {
    let dossier = network.dossier;
    let start = dossier.items.iter().find(|i| i.id == cell.id);
    let paths = start.map(|s| network.paths_from(s)).unwrap_or_default();
    let mut found: Vec<Fed<'d>> = Vec::new();
    for path in paths.iter().filter(|p| !is_cell(p.end())) {
        let item = path.end();
        if found.iter().all(|f| f.item.id != item.id) {
            found.extend(item.loads.iter().map(|load| Fed {
                item,
                load,
                path: Some(path.clone()),
            }));
        }
    }
    // Loads written on the cell itself, or on an item without links beside this one cell.
    for item in dossier.items.iter().filter(|i| !i.loads.is_empty()) {
        let unlinked = network.before(item).is_empty()
            && network.after(item).is_empty()
            && cell
                .parent
                .as_deref()
                .is_some_and(|p| within(dossier, &item.id, p) && only_cell_in(network, cell, p));
        if item.id == cell.id || unlinked {
            found.extend(item.loads.iter().map(|load| Fed {
                item,
                load,
                path: None,
            }));
        }
    }
    found
}

/// Carries the current of one load back to one cell.
fn at_cell<'s>(
    sheet: &'s Sheet,
    network: &Network<'_>,
    fed: &Fed<'_>,
    cells: f64,
    ledger: &mut Ledger,
) -> Option<Term<'s>> {
    let k = fed
        .item
        .loads
        .iter()
        .position(|l| std::ptr::eq(l, fed.load))
        .unwrap_or(0);
    let name = format!("current of {} in mode {}", called(fed.item), fed.load.mode);
    let place = format!("items.{}.loads.{k}.current", fed.item.id);
    let origin = fed.load.origin.unwrap_or(Origin::DataSheet);
    ledger.seen(&fed.load.evidence);
    let accuracy = fed
        .load
        .instrument
        .as_deref()
        .and_then(|id| basis::instrument_accuracy(network.dossier, id, Dimension::CURRENT));
    let mut term = ledger.fact_with(
        sheet,
        name.as_str(),
        &fed.load.current,
        accuracy,
        Dimension::CURRENT,
        origin,
        place,
    )?;
    // A load is written for all `count` pieces of its item together.
    let pieces = multiplicity(network.dossier, fed.item) / fed.item.count.max(1);
    let share = f64::from(pieces) / cells;
    if (share - 1.0).abs() > 1e-9 {
        term = term * share;
    }
    let Some(path) = &fed.path else {
        ledger.assume(format!(
            "{}: no power link leads to it, so its current is taken as drawn from the cell",
            called(fed.item)
        ));
        return Some(term);
    };
    let supply = supply_at(sheet, network, path.start(), ledger);
    let chain = follow(sheet, network.dossier, path, supply);
    let at_cell = match chain.gain {
        Ratio::One => Some(term),
        Ratio::Times(gain) => Some(term / gain),
        Ratio::Unknown => {
            ledger.unused(format!("{name}: a voltage between the cell and it is not stated, so it is not carried to the cell"));
            None
        }
    };
    ledger.absorb(chain.ledger);
    at_cell
}

/// Idle currents of the converters behind the cell in its own assembly.
fn quiescent<'s>(
    sheet: &'s Sheet,
    network: &Network<'_>,
    cell: &Item,
    ledger: &mut Ledger,
) -> Vec<Term<'s>> {
    let Some(start) = network.items().into_iter().find(|i| i.id == cell.id) else {
        return Vec::new();
    };
    let home = group(network.dossier, start);
    let mut seen: Vec<&str> = Vec::new();
    let mut terms = Vec::new();
    for path in network.paths_from(start) {
        for item in &path.items {
            if seen.contains(&item.id.as_str()) || group(network.dossier, item) != home {
                continue;
            }
            seen.push(item.id.as_str());
            let own = item
                .converts
                .as_ref()
                .and_then(|c| c.quiescent_current.as_ref());
            let rating = item
                .part
                .as_ref()
                .and_then(|p| p.ratings.get("quiescent-current"));
            let Some(stated) = own.or(rating) else {
                continue;
            };
            let place = if own.is_some() {
                "converts"
            } else {
                "part.ratings"
            };
            let place = format!("items.{}.{place}.quiescent-current", item.id);
            let name = format!("idle current of {}", called(item));
            terms.extend(ledger.fact(
                sheet,
                name,
                stated,
                Dimension::CURRENT,
                Origin::DataSheet,
                place,
            ));
        }
    }
    terms
}
