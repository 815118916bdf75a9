//! What a cell holds and how much of it can be used.

use crate::Case;
use crate::assumed;
use crate::basis::unit;
use crate::cells::care;
use crate::ledger::Ledger;
use crate::network::cell_voltage;
use quantity::{Dimension, Origin, Sheet, Term};
use record::{Item, Place, ReadingSubject};

/// The charge of one cell.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Capacity<'s> {
    /// Charge of one cell.
    pub(crate) term: Term<'s>,
    /// Whether it was measured down to the device's own cut-off.
    pub(crate) measured: bool,
}

/// Returns the charge of a cell: a reading of its charge, the printed capacity, or the printed
/// energy over the nominal voltage, in this order.
pub(crate) fn capacity<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    ledger: &mut Ledger,
) -> Option<Capacity<'s>> {
    let name = format!("capacity of {}", cell.name);
    let reading = case
        .lookup()
        .readings_of(&cell.id, ReadingSubject::Charge)
        .iter()
        .find(|r| r.value.dimension() == Dimension::CHARGE);
    if let Some(reading) = reading {
        let whole = ledger.reading(sheet, case, &name, reading);
        let term = match reading.pieces {
            Some(pieces) if pieces > 1 => whole / f64::from(pieces),
            _ => whole,
        };
        return Some(Capacity {
            term,
            measured: true,
        });
    }
    let facts = cell.cell.as_ref()?;
    let origin = facts.origin.unwrap_or(Origin::Label);
    let printed = facts.capacity.as_ref().and_then(|stated| {
        let place = Place::item(&cell.id).at("cell.capacity");
        ledger.fact(
            sheet,
            name.as_str(),
            stated,
            Dimension::CHARGE,
            origin,
            place,
        )
    });
    let term = printed.or_else(|| {
        let stated = facts.energy.as_ref()?;
        let place = Place::item(&cell.id).at("cell.energy");
        let energy = ledger.fact(
            sheet,
            format!("energy of {}", cell.name),
            stated,
            Dimension::ENERGY,
            origin,
            place,
        )?;
        Some((energy / cell_voltage(sheet, cell, ledger)).named(&name, &unit("mAh")))
    })?;
    ledger.seen(&cell.evidence);
    Some(Capacity {
        term,
        measured: false,
    })
}

/// Returns the charge that can be used before the device cuts off: all of a measured charge, or a
/// fraction of the printed one, which is an assumption.
pub(crate) fn usable<'s>(
    sheet: &'s Sheet,
    cell: &Item,
    capacity: Capacity<'s>,
    ledger: &mut Ledger,
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
        ledger.fact(
            sheet,
            name.as_str(),
            stated,
            Dimension::NONE,
            Origin::Estimated,
            place,
        )
    });
    let fraction = fraction.unwrap_or_else(|| {
        ledger.assumed(
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
