//! What a cell holds and how much of it can be used.
//!
//! In: a cell, or cells joined in series and parallel. Out: charge and energy of one group; the usable part.
//! Not here: what is drawn.

use super::logged;
use crate::Case;
use crate::assumed;
use crate::cells::care;
use crate::grounds::Grounds;
use crate::inputs::unit;
use crate::network::{Joined, cell_voltage, one_cell_voltage};
use quantity::{Dimension, Origin, Sheet, Term};
use record::{Item, Place, Reading, ReadingSubject};

/// The charge or energy of one cell or group of joined cells.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Held<'s> {
    pub(crate) term: Term<'s>,
    /// Whether it was measured down to the device's own cut-off.
    pub(crate) measured: bool,
}

/// Returns the charge of a cell, or of the cells joined in one group: a reading of its charge, a log of it, the printed
/// capacity, or the printed energy over the nominal voltage, in this order.
pub(crate) fn capacity<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    grounds: &mut Grounds,
) -> Option<Held<'s>> {
    let one = one_capacity(sheet, case, cell, grounds)?;
    let term = match Joined::of(case, cell).parallel {
        1 => one.term,
        n => (sheet.number(f64::from(n)) * one.term).named(
            &format!("capacity of {n} side by side, {}", cell.name),
            &unit("mAh"),
        ),
    };
    Some(Held { term, ..one })
}

/// Returns the energy of a cell, or of the cells joined in one group: a reading of it, or charge × nominal
/// voltage.
pub(crate) fn energy<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    grounds: &mut Grounds,
) -> Option<Held<'s>> {
    let name = format!("energy of {}", cell.name);
    if let Some(reading) = reading(case, cell, ReadingSubject::Energy, Dimension::ENERGY) {
        let joined = Joined::of(case, cell);
        let one = per_piece(grounds.reading(sheet, case, &name, reading), reading);
        let term = match joined.series * joined.parallel {
            1 => one,
            n => (sheet.number(f64::from(n)) * one)
                .named(&format!("energy of {n} joined, {}", cell.name), &unit("Wh")),
        };
        return Some(Held {
            term,
            measured: true,
        });
    }
    if let Some(term) = logged::held_energy(sheet, case, cell, grounds) {
        return Some(Held {
            term,
            measured: true,
        });
    }
    let held = capacity(sheet, case, cell, grounds)?;
    let volts = cell_voltage(sheet, cell, grounds);
    Some(Held {
        term: (held.term * volts).named(&name, &unit("Wh")),
        measured: held.measured,
    })
}

fn reading<'d>(
    case: &Case<'d>,
    cell: &Item,
    what: ReadingSubject,
    dimension: Dimension,
) -> Option<&'d Reading> {
    let readings = case.lookup().readings_of(&cell.id, what).iter().copied();
    readings
        .into_iter()
        .find(|r| r.value.dimension() == dimension)
}

fn per_piece<'s>(whole: Term<'s>, reading: &Reading) -> Term<'s> {
    match reading.pieces {
        Some(pieces) if pieces > 1 => whole / f64::from(pieces),
        _ => whole,
    }
}

fn one_capacity<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    grounds: &mut Grounds,
) -> Option<Held<'s>> {
    let name = format!("capacity of {}", cell.name);
    if let Some(reading) = reading(case, cell, ReadingSubject::Charge, Dimension::CHARGE) {
        return Some(Held {
            term: per_piece(grounds.reading(sheet, case, &name, reading), reading),
            measured: true,
        });
    }
    if let Some(term) = logged::held(sheet, case, cell, grounds) {
        return Some(Held {
            term,
            measured: true,
        });
    }
    let facts = cell.cell.as_ref()?;
    let origin = facts.origin.unwrap_or(Origin::Label);
    let row = &assumed::PRINTED_CAPACITY;
    let printed = facts.capacity.as_ref().and_then(|stated| {
        let place = Place::item(&cell.id).at("cell.capacity");
        grounds.rated(sheet, &name, stated, row, Dimension::CHARGE, origin, place)
    });
    let term = printed.or_else(|| {
        let stated = facts.energy.as_ref()?;
        let place = Place::item(&cell.id).at("cell.energy");
        let what = format!("energy of {}", cell.name);
        let energy = grounds.rated(sheet, &what, stated, row, Dimension::ENERGY, origin, place)?;
        Some((energy / one_cell_voltage(sheet, cell, grounds)).named(&name, &unit("mAh")))
    })?;
    grounds.seen(&cell.evidence);
    Some(Held {
        term,
        measured: false,
    })
}

/// Returns the charge that can be used before the device cuts off: all of a measured charge, or a
/// fraction of the printed one, which is an assumption.
pub(crate) fn usable<'s>(
    sheet: &'s Sheet,
    cell: &Item,
    capacity: Held<'s>,
    grounds: &mut Grounds,
) -> Term<'s> {
    if capacity.measured {
        return capacity.term;
    }
    let name = format!("usable fraction of {}", cell.name);
    let stated = cell
        .part
        .as_ref()
        .and_then(|p| p.ratings.get("usable-fraction"));
    let fraction = stated.and_then(|stated| {
        let place = Place::item(&cell.id).at("part.ratings.usable-fraction");
        grounds.fact(
            sheet,
            name.as_str(),
            stated,
            Dimension::NONE,
            Origin::Estimated,
            place,
        )
    });
    let fraction = fraction.unwrap_or_else(|| {
        grounds.assumed(
            sheet,
            &name,
            &assumed::USABLE_FRACTION,
            &usable_remedy(cell),
        )
    });
    (fraction * capacity.term).named(&format!("usable charge of {}", cell.name), &unit("mAh"))
}

/// Says what replaces the assumed fraction; no discharge of a cell that must not carry it.
fn usable_remedy(cell: &Item) -> String {
    let stated = format!("state `part.ratings.usable-fraction` of {}", cell.id);
    if care::is_unfit(cell) {
        stated
    } else {
        format!(
            "{stated}, or record a `charge` reading of {} down to cut-off",
            cell.id
        )
    }
}
