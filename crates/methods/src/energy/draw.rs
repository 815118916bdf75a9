//! What is drawn from a cell in each mode of use.
//!
//! In: current readings, loads with their share of the time, converters behind a cell. Out: the mean current
//! at one cell, or one group of joined cells, and whether it is all that flows.
//! A measured current at the cell, or at an assembly that holds it, beats the sum of the loads.

use super::modes::{Whole, whole};
use super::rates::self_discharge;
use super::supplies::Fed;
use crate::Case;
use crate::assumed;
use crate::grounds::Grounds;
use crate::inputs::{self, unit};
use crate::network::{Joined, Ratio, best};
use crate::words::{called, the};
use quantity::{Dimension, Origin, Sheet, Term};
use record::{Item, Place, Reading};
use std::collections::HashSet;

/// Modes in which a device only waits.
const RESTING: [&str; 6] = ["storage", "standby", "off", "sleep", "idle", "in case"];

/// Returns whether a mode of use is one of rest.
pub(crate) fn resting(mode: &str) -> bool {
    RESTING.iter().any(|r| mode_is(mode, r))
}

/// Returns whether two words name the same mode.
pub(crate) fn mode_is(a: &str, b: &str) -> bool {
    a.eq_ignore_ascii_case(b)
}

/// Mean current at one cell in a mode.
#[derive(Debug)]
pub(crate) struct Draw<'s> {
    pub(crate) term: Term<'s>,
    pub(crate) measured: bool,
    pub(crate) whole: Whole,
    /// What makes it up, where it is a sum.
    pub(crate) parts: Vec<Part<'s>>,
    pub(crate) grounds: Grounds,
}

/// What one thing draws at a cell in a mode.
#[derive(Debug, Clone)]
pub(crate) struct Part<'s> {
    /// Id of the item.
    pub(crate) item: String,
    /// What it is called in a sentence.
    pub(crate) name: String,
    pub(crate) term: Term<'s>,
}

impl<'s> Part<'s> {
    fn of(item: &Item, term: Term<'s>) -> Self {
        Self {
            item: item.id.clone(),
            name: the(item),
            term,
        }
    }
}

/// Returns whether a mode is one of being charged, not of use.
pub(crate) fn charging(mode: &str) -> bool {
    mode.to_lowercase().starts_with("charg")
}

/// Returns the mean current at one cell in `mode`.
pub(crate) fn draw<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    mode: &str,
) -> Option<Draw<'s>> {
    let mut grounds = Grounds::default();
    let name = format!("current of {} on {mode}", cell.name);
    let reading = case
        .supplies()
        .currents(cell)
        .iter()
        .find(|r| r.mode.as_deref() == Some(mode));
    if let Some(reading) = reading {
        let term = grounds.reading(sheet, case, &name, reading);
        let pieces = f64::from(reading.pieces.unwrap_or(1).max(1));
        let term = if pieces > 1.0 { term / pieces } else { term };
        return Some(Draw {
            term,
            measured: true,
            whole: Whole::Yes,
            parts: Vec::new(),
            grounds,
        });
    }
    let cells = f64::from(Joined::of(case, cell).groups);
    let mut parts: Vec<Part<'_>> = Vec::new();
    let loads = case.supplies().fed(cell).iter();
    let loads: Vec<&Fed<'_>> = loads.filter(|f| f.load.mode == mode).collect();
    let whole = whole(case, cell, mode, &loads);
    for fed in loads {
        let term = at_cell(sheet, case, fed, cells, &mut grounds);
        parts.extend(term.map(|term| Part::of(fed.item, term)));
    }
    if parts.is_empty() {
        return None;
    }
    let seen = parts.len();
    parts.extend(quiescent(sheet, case, cell, &mut grounds));
    let terms: Vec<Term<'_>> = parts.iter().map(|part| part.term).collect();
    if terms.len() > seen {
        grounds.assume("idle currents of converters are added as drawn straight from the cell");
    }
    let term = if terms.len() == 1 {
        terms[0]
    } else {
        sheet.sum(&terms)
    };
    let term = term.named(&name, &unit("mA"));
    match &whole {
        Whole::Yes => {}
        Whole::AsRecorded => grounds.assume(format!(
            "the currents recorded for {mode} are taken to be all; say `complete` in its [[modes]] entry"
        )),
        Whole::Part(why) => grounds.assume(format!(
            "{why}, so the current on {mode} is a lower bound; record the others, measure the current at {}, \
             or say `complete = true` in the [[modes]] entry",
            cell.name
        )),
    }
    Some(Draw {
        term,
        measured: false,
        whole,
        parts,
        grounds,
    })
}

/// Returns the current by which a cell empties itself.
pub(super) fn own_loss<'s>(
    sheet: &'s Sheet,
    cell: &Item,
    capacity: Term<'s>,
    grounds: &mut Grounds,
) -> Term<'s> {
    let row = self_discharge(cell);
    let share = grounds.assumed(
        sheet,
        &format!("self-discharge of {} in a month", cell.name),
        row,
        "measure the charge left after a time in storage to replace it",
    );
    grounds.source(row.source());
    let month = &assumed::MONTH;
    let why = format!("a month is {}", month.text());
    let month = grounds.laid_down(sheet, "one month", month, why);
    (share * capacity / month).named(&format!("self-discharge of {}", cell.name), &unit("µA"))
}

/// Returns the current at one cell in storage: a mode of rest, or the idle currents of the
/// converters behind it in the same assembly.
pub(crate) fn at_rest<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    grounds: &mut Grounds,
) -> Option<Term<'s>> {
    let mode = case.supplies().modes(cell).into_iter().find(|m| resting(m));
    if let Some(found) = mode.and_then(|m| draw(sheet, case, cell, &m)) {
        grounds.absorb(found.grounds);
        return Some(found.term);
    }
    let idle = quiescent(sheet, case, cell, grounds);
    let terms: Vec<Term<'_>> = idle.iter().map(|part| part.term).collect();
    (!terms.is_empty()).then(|| {
        sheet
            .sum(&terms)
            .named(&format!("idle current of {}", cell.name), &unit("µA"))
    })
}

/// Returns the reading of the current into a cell while it is charged.
pub(crate) fn charging_reading<'d>(case: &Case<'d>, cell: &Item) -> Option<&'d Reading> {
    case.supplies()
        .currents(cell)
        .iter()
        .copied()
        .find(|r| r.item == cell.id && r.mode.as_deref().is_some_and(charging))
}

/// Carries the current of one load back to one cell.
fn at_cell<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    fed: &Fed<'_>,
    cells: f64,
    grounds: &mut Grounds,
) -> Option<Term<'s>> {
    let loads = &fed.item.loads;
    let k = loads.iter().position(|l| std::ptr::eq(l, fed.load))?;
    let name = format!("current of {} on {}", called(fed.item), fed.load.mode);
    let place = Place::load(fed.item, k)?.at("current");
    let origin = fed.load.origin.unwrap_or(Origin::DataSheet);
    grounds.seen(&fed.load.evidence);
    let accuracy = fed
        .load
        .instrument
        .as_deref()
        .and_then(|id| case.lookup().instrument(id))
        .and_then(|i| inputs::accuracy_of(i, Dimension::CURRENT));
    let stated = &fed.load.current;
    let mut term = if accuracy.is_some() {
        let name = name.as_str();
        grounds.fact_with(
            sheet,
            name,
            stated,
            accuracy,
            Dimension::CURRENT,
            origin,
            place,
        )?
    } else {
        let row = &assumed::STATED_LOAD;
        grounds.rated(sheet, &name, stated, row, Dimension::CURRENT, origin, place)?
    };
    if let Some(duty) = &fed.load.duty {
        let name = format!("share of the time, {}", called(fed.item));
        let place = Place::load(fed.item, k)?.at("duty");
        term =
            term * grounds.nominal(sheet, name, duty, Dimension::NONE, Origin::Estimated, place)?;
    }
    // A load is written for all `count` pieces of its item together.
    let pieces = case.tree().pieces(fed.item) / fed.item.count.at_least();
    let share = f64::from(pieces) / cells;
    if (share - 1.0).abs() > 1e-9 {
        term = term * share;
    }
    let Some(path) = &fed.path else {
        grounds.assume(format!(
            "{}: no power link leads to it, so its current is taken as drawn from the cell",
            called(fed.item)
        ));
        return Some(term);
    };
    let chain = best(sheet, case, path, &[]);
    let at_cell = match chain.gain() {
        Ratio::One => Some(term),
        Ratio::Times(gain) => Some(term / gain),
        Ratio::Unknown => {
            grounds.unused(format!("{name}: a voltage between the cell and it is not stated, or a stage on the way is not identified, so it is not carried to the cell"));
            None
        }
    };
    grounds.absorb(chain.grounds);
    at_cell
}

/// Idle currents of the converters behind the cell in its own assembly.
fn quiescent<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    grounds: &mut Grounds,
) -> Vec<Part<'s>> {
    let tree = case.tree();
    let home = |item: &Item| tree.part_of(&item.id).map(|i| i.id.as_str());
    let mut seen: HashSet<&str> = HashSet::new();
    let mut idle = Vec::new();
    for path in case.network().paths_from(cell) {
        for item in &path.items {
            if home(item) != home(cell) || !seen.insert(item.id.as_str()) {
                continue;
            }
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
            let table = if own.is_some() {
                "converts"
            } else {
                "part.ratings"
            };
            let place = Place::item(&item.id).at(table).at("quiescent-current");
            let name = format!("idle current of {}", called(item));
            let row = &assumed::STATED_LOAD;
            let origin = Origin::DataSheet;
            let term = grounds.rated(sheet, &name, stated, row, Dimension::CURRENT, origin, place);
            idle.extend(term.map(|term| Part::of(item, term)));
        }
    }
    idle
}
