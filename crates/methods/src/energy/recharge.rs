//! How many recharges one cell gives another.
//!
//! In: a giving and a receiving cell and the path between them. Out: the number of full recharges.
//!
//! n = ((Q1·u1 − I1·t)·g − m·I2·t) ÷ (m·Q2·u2): usable charge of the giving cell less what its
//! converters idle away, times the gain g of the path (a switched stage passes energy times
//! efficiency, a linear charger passes charge), less what the m receiving devices idle away, over
//! what they take for one charge from cut-off to full.

use super::draw::at_rest;
use super::store::{capacity, usable};
use crate::Case;
use crate::assumed;
use crate::basis::unit;
use crate::ledger::Ledger;
use crate::network::{Path, Ratio, follow, supply_at};
use quantity::{Dimension, Origin, Sheet, Stated, Term};
use record::{Item, Place};

/// Returns the number of full recharges that the first cell of a path gives the last.
/// `storage` is the time in which both idle, with its place in the record.
pub(crate) fn recharges<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    path: &Path<'_>,
    storage: Option<(&Stated, Place)>,
    ledger: &mut Ledger,
) -> Option<Term<'s>> {
    let (giver, taker) = (path.start(), path.end());
    let supply = supply_at(sheet, case, giver, ledger);
    let chain = follow(sheet, case, path, supply);
    ledger.absorb(chain.ledger);
    let gain = match chain.gain {
        Ratio::One => None,
        Ratio::Times(gain) => Some(gain.named(
            &format!("charge into {} per charge from {}", taker.name, giver.name),
            &unit(""),
        )),
        Ratio::Unknown => {
            ledger.unused(format!(
                "{}: a voltage on the way is not stated",
                path.text()
            ));
            return None;
        }
    };
    let mut given = total(sheet, case, giver, stored(sheet, case, giver, ledger)?);
    let mut drained = None;
    let idle = (
        at_rest(sheet, case, giver, ledger),
        at_rest(sheet, case, taker, ledger),
    );
    if idle.0.is_some() || idle.1.is_some() {
        let time = storage_time(sheet, storage, ledger);
        if let Some(current) = idle.0 {
            given = given - total(sheet, case, giver, current) * time;
        }
        drained = idle
            .1
            .map(|current| total(sheet, case, taker, current) * time);
    } else {
        ledger.unused("quiescent drain: no idle current is recorded, so none is counted");
    }
    let mut arriving = match gain {
        Some(gain) => given * gain,
        None => given,
    };
    if let Some(drained) = drained {
        arriving = arriving - drained;
    }
    let arriving = arriving.named(&format!("charge arriving at {}", taker.name), &unit("mAh"));
    let one = total(sheet, case, taker, stored(sheet, case, taker, ledger)?);
    ledger.assume("charging returns all of the charge it takes in (coulombic efficiency of lithium-ion, above 99 %)");
    Some((arriving / one).named("recharges", &unit("")))
}

fn stored<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    ledger: &mut Ledger,
) -> Option<Term<'s>> {
    let capacity = capacity(sheet, case, cell, ledger);
    if capacity.is_none() {
        ledger.unused(format!("{}: no capacity is stated", cell.name));
    }
    Some(usable(sheet, cell, capacity?, ledger))
}

fn total<'s>(sheet: &'s Sheet, case: &Case<'_>, cell: &Item, term: Term<'s>) -> Term<'s> {
    match case.tree().pieces(cell) {
        0 | 1 => term,
        n => sheet.number(f64::from(n)) * term,
    }
}

fn storage_time<'s>(
    sheet: &'s Sheet,
    storage: Option<(&Stated, Place)>,
    ledger: &mut Ledger,
) -> Term<'s> {
    let stated = storage.and_then(|(stated, place)| {
        ledger.nominal(
            sheet,
            "time in storage",
            stated,
            Dimension::TIME,
            Origin::Estimated,
            place,
        )
    });
    stated.unwrap_or_else(|| {
        ledger.assumed(
            sheet,
            "time in storage",
            &assumed::STORAGE_TIME,
            "state `after` in a recharges claim to change it",
        )
    })
}
