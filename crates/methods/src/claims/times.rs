//! Values derived for claims on times and recharges.
//!
//! In: a claim without a direct reading. Out: run time, charging time, run time after a short
//! charge, recharges, as terms. Not here: deciding.

use super::value::{Found, one_cell};
use crate::Case;
use crate::basis::unit;
use crate::energy::{
    capacity, charge_reach, charging_time, draw, recharges, resting, run_time, usable,
};
use crate::ledger::Ledger;
use quantity::{Dimension, Origin, Sheet, Stated, Term, Unit};
use record::{Claim, Item, Place};

/// The mode a claim is about: the one named, or the one that draws least.
fn mode_of(
    sheet: &Sheet,
    case: &Case<'_>,
    cell: &Item,
    claim: &Claim,
    ledger: &mut Ledger,
) -> Option<String> {
    let known: Vec<String> = case
        .supplies()
        .modes(cell)
        .into_iter()
        .filter(|m| !resting(m))
        .collect();
    if let Some(wanted) = &claim.says.mode {
        let found = known
            .iter()
            .find(|m| m.eq_ignore_ascii_case(wanted))
            .cloned();
        if found.is_none() {
            ledger.unused(format!(
                "no current is recorded for {} in mode {wanted}",
                cell.name
            ));
        }
        return found;
    }
    let mut best: Option<(f64, String)> = None;
    for mode in known {
        let amps = draw(sheet, case, cell, &mode).and_then(|d| sheet.value(d.term).ok());
        if let Some(amps) = amps
            && best.as_ref().is_none_or(|(least, _)| amps < *least)
        {
            best = Some((amps, mode));
        }
    }
    let (_, mode) = best?;
    ledger.assume(format!(
        "the claim names no mode; {mode}, which draws least, is taken"
    ));
    Some(mode)
}

/// The unit that a derived time is shown in: the claim's own.
fn time_unit(claim: &Claim) -> Unit {
    let own = claim.value.as_ref().map(|v| &v.unit);
    own.filter(|u| u.dimension() == Dimension::TIME)
        .cloned()
        .unwrap_or_else(|| unit("h"))
}

pub(super) fn derived_run_time<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    claim: &Claim,
    ledger: &mut Ledger,
) -> Option<Found<'s>> {
    let item = claim.says.item.as_deref();
    // A claim on the whole set counts the recharges that its other cell gives.
    let set = item
        .and_then(|id| case.item(id))
        .is_some_and(|i| i.parent.is_none());
    let pair = case.supplies().pair(None).filter(|_| set);
    let cell = match &pair {
        Some(path) => path.end(),
        None => one_cell(case, claim, ledger)?,
    };
    let mode = mode_of(sheet, case, cell, claim, ledger)?;
    let (time, _) = run_time(sheet, case, cell, &mode, ledger)?;
    let Some(path) = pair else {
        return Some(Found {
            term: time,
            how: "computed",
            only_refutes: None,
        });
    };
    let times = recharges(sheet, case, path, None, ledger)?;
    ledger.assume(
        "the claim is about the whole set: the first charge and every recharge are counted",
    );
    let term = (time * (1.0 + times)).named("run time with recharges", &time_unit(claim));
    Some(Found {
        term,
        how: "computed",
        only_refutes: None,
    })
}

pub(super) fn derived_charging_time<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    claim: &Claim,
    ledger: &mut Ledger,
) -> Option<Found<'s>> {
    let cell = one_cell(case, claim, ledger)?;
    let (_, likely, reach) = charging_time(sheet, case, cell, ledger)?;
    ledger.assume(format!(
        "charged through {}; the {} binds",
        reach.path, reach.binds
    ));
    Some(Found {
        term: likely.named(
            &format!("likely charging time of {}", cell.name),
            &time_unit(claim),
        ),
        how: "computed",
        only_refutes: None,
    })
}

pub(super) fn quick_charge<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    claim: &Claim,
    ledger: &mut Ledger,
) -> Option<Found<'s>> {
    let Some(after) = &claim.after else {
        ledger.unused(format!(
            "{}: `after` (the charging time) is not stated",
            Place::claim(&claim.id)
        ));
        return None;
    };
    let cell = one_cell(case, claim, ledger)?;
    let reach = charge_reach(sheet, case, cell)?;
    ledger.assume(format!(
        "charged at the greatest current through {}; the {} binds",
        reach.path, reach.binds
    ));
    let current = reach.current;
    ledger.absorb(reach.ledger);
    let place = Place::claim(&claim.id).at("after");
    let time = ledger.nominal(
        sheet,
        "charging time",
        after,
        Dimension::TIME,
        Origin::Standard,
        place,
    )?;
    let held = capacity(sheet, case, cell, ledger)?;
    let full = usable(sheet, cell, held, ledger);
    let mode = mode_of(sheet, case, cell, claim, ledger)?;
    let drawn = draw(sheet, case, cell, &mode)?;
    ledger.absorb(drawn.ledger);
    let charge = (current * time)
        .min(full)
        .named("charge taken in that time", &unit("mAh"));
    let term = (charge / drawn.term).named(
        &format!("run time after {after} of charging"),
        &time_unit(claim),
    );
    Some(Found {
        term,
        how: "computed",
        only_refutes: None,
    })
}

/// Returns the time in storage that a claim on recharges states, with its place.
fn storage(claim: &Claim) -> Option<(&Stated, Place)> {
    let place = || Place::claim(&claim.id).at("after");
    claim.after.as_ref().map(|stated| (stated, place()))
}

pub(super) fn derived_recharges<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    claim: &Claim,
    ledger: &mut Ledger,
) -> Option<Term<'s>> {
    let path = case.supplies().pair(claim.says.item.as_deref());
    let Some(path) = path else {
        ledger.unused("no power path from one cell to another is recorded");
        return None;
    };
    recharges(sheet, case, path, storage(claim), ledger)
}
