//! Values derived for claims on times and recharges.
//!
//! In: a claim without a direct reading. Out: run time, charging time, run time after a short
//! charge, recharges, as terms, and whether each is a value or a bound. Not here: deciding.

use super::value::{Found, one_cell};
use crate::Case;
use crate::energy::{
    Ordinary, Running, Whole, Worth, capacity, charge_reach, charging_time, draw, full_time,
    mode_is, ordinary_use, recharges, resting, run_time, run_time_logged, taken_logged,
    taken_within, usable,
};
use crate::grounds::Grounds;
use crate::inputs::unit;
use quantity::{Dimension, Origin, Sheet, Unit};
use record::{Claim, Item, Place};

/// The mode a claim is about: the one named, or the one that draws least.
fn mode_of(
    sheet: &Sheet,
    case: &Case<'_>,
    cell: &Item,
    claim: &Claim,
    grounds: &mut Grounds,
) -> Option<String> {
    let known = case.supplies().modes(cell);
    if let Some(wanted) = &claim.says.mode {
        let found = known.iter().find(|m| mode_is(m, wanted)).cloned();
        if found.is_none() {
            grounds.unused(format!(
                "no current is recorded for {} on {wanted}",
                cell.name
            ));
        }
        return found;
    }
    let mut best: Option<(f64, String)> = None;
    for mode in known.into_iter().filter(|m| !resting(m)) {
        let amps = draw(sheet, case, cell, &mode).and_then(|d| sheet.value(d.term).ok());
        if let Some(amps) = amps
            && best.as_ref().is_none_or(|(least, _)| amps < *least)
        {
            best = Some((amps, mode));
        }
    }
    let (_, mode) = best?;
    grounds.assume(format!(
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
    grounds: &mut Grounds,
) -> Option<Found<'s>> {
    let item = claim.says.item.as_deref();
    // A claim on the whole set counts the recharges that its other cell gives.
    let set = item
        .and_then(|id| case.item(id))
        .is_some_and(|i| i.parent.is_none());
    let feeding = case.supplies().feeding(None).filter(|_| set);
    let cell = match feeding.and_then(|f| f.paths.first()) {
        Some(path) => path.end(),
        None => one_cell(case, claim, grounds)?,
    };
    let asked = claim.says.mode.as_deref();
    if feeding.is_none()
        && let Some(time) = run_time_logged(sheet, case, cell, asked, grounds)
    {
        return Some(Found {
            term: time.named("run time", &time_unit(claim)),
            how: "logged",
            only_refutes: None,
        });
    }
    if claim.says.mode.is_none()
        && feeding.is_none()
        && let Some(Ordinary { time, whole, .. }) = ordinary_use(sheet, case, cell, grounds)
    {
        return Some(Found {
            term: time,
            how: "computed for ordinary use",
            only_refutes: in_part(&whole),
        });
    }
    let mode = mode_of(sheet, case, cell, claim, grounds)?;
    let Running { time, drawn, .. } = run_time(sheet, case, cell, &mode, grounds)?;
    let only_refutes = in_part(&drawn.whole);
    let Some(feeding) = feeding else {
        return Some(Found {
            term: time,
            how: computed(only_refutes),
            only_refutes,
        });
    };
    let rounds = recharges(sheet, case, feeding, None, grounds)?;
    let only_refutes = only_refutes.or(rounds.most.and(Some(UNKNOWN_STAGE)));
    let times = rounds.most.unwrap_or(rounds.least);
    grounds.assume(
        "the claim is about the whole set: the first charge and every recharge are counted",
    );
    let term = (time * (1.0 + times)).named("run time with recharges", &time_unit(claim));
    Some(Found {
        term,
        how: computed(only_refutes),
        only_refutes,
    })
}

const UNKNOWN_STAGE: &str = "a stage on the way is not identified";

/// Why a run time is an upper bound, where a part of the currents is recorded.
fn in_part(whole: &Whole) -> Option<&'static str> {
    matches!(whole, Whole::Part(_)).then_some("not every current that is drawn is recorded")
}

fn computed(only_refutes: Option<&str>) -> &'static str {
    match only_refutes {
        Some(_) => "computed at most",
        None => "computed",
    }
}

pub(super) fn derived_charging_time<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    claim: &Claim,
    grounds: &mut Grounds,
) -> Option<Found<'s>> {
    let cell = one_cell(case, claim, grounds)?;
    if let Some((time, _)) = full_time(sheet, case, cell, grounds) {
        let name = format!("charging time of {}", cell.name);
        return Some(Found {
            term: time.named(&name, &time_unit(claim)),
            how: "logged",
            only_refutes: None,
        });
    }
    let time = charging_time(sheet, case, cell, grounds)?;
    grounds.assume(format!(
        "charged through {}; the {} binds",
        time.reach.path, time.reach.binds
    ));
    if let Some(full) = time.full {
        // A charger may be set to less than it can do, and fold back: its limit alone proves no time.
        let only_refutes = match time.reach.worth {
            Worth::Measured => None,
            _ => Some("the charger may be set to less than its limit"),
        };
        let how = match only_refutes {
            Some(_) => "simulated at least",
            None => "simulated",
        };
        let name = format!("charging time of {}", cell.name);
        return Some(Found {
            term: full.named(&name, &time_unit(claim)),
            how,
            only_refutes,
        });
    }
    let (term, why) = match time.span {
        Some((short, _)) => (short, "how long the end of a charge takes is assumed"),
        None => (time.least, "the charger states no limit of its current"),
    };
    Some(Found {
        term: term.named(
            &format!("shortest charging time of {}", cell.name),
            &time_unit(claim),
        ),
        how: "computed at least",
        only_refutes: Some(why),
    })
}

pub(super) fn quick_charge<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    claim: &Claim,
    grounds: &mut Grounds,
) -> Option<Found<'s>> {
    let Some(after) = &claim.after else {
        grounds.unused(format!(
            "{}: `after` (the charging time) is not stated",
            Place::claim(&claim.id)
        ));
        return None;
    };
    let cell = one_cell(case, claim, grounds)?;
    let reach = charge_reach(sheet, case, cell)?;
    grounds.assume(format!(
        "charged at the greatest current through {}; the {} binds",
        reach.path, reach.binds
    ));
    let current = reach.current;
    let bound =
        (reach.worth == Worth::Bound).then_some("the charger states no limit of its current");
    grounds.absorb(reach.grounds);
    let place = Place::claim(&claim.id).at("after");
    let time = grounds.nominal(
        sheet,
        "charging time",
        after,
        Dimension::TIME,
        Origin::Standard,
        place,
    )?;
    let held = capacity(sheet, case, cell, grounds)?;
    let full = usable(sheet, cell, held, grounds);
    let mode = mode_of(sheet, case, cell, claim, grounds)?;
    let drawn = draw(sheet, case, cell, &mode)?;
    grounds.absorb(drawn.grounds);
    let only_refutes = bound.or(in_part(&drawn.whole));
    let logged = taken_logged(sheet, case, cell, after.si(), grounds);
    let charge = logged
        .or_else(|| taken_within(sheet, case, cell, [held.term, current, time], grounds))
        .unwrap_or(current * time)
        .min(full)
        .named("charge taken in that time", &unit("mAh"));
    let term = (charge / drawn.term).named(
        &format!("run time after {after} of charging"),
        &time_unit(claim),
    );
    Some(Found {
        term,
        how: computed(only_refutes),
        only_refutes,
    })
}

pub(super) fn derived_recharges<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    claim: &Claim,
    grounds: &mut Grounds,
) -> Option<Found<'s>> {
    let feeding = case.supplies().feeding(claim.says.item.as_deref());
    let Some(feeding) = feeding else {
        grounds.unused("no power path from one cell to another is recorded");
        return None;
    };
    let place = Place::claim(&claim.id).at("after");
    let storage = claim.after.as_ref().map(|s| (s, place));
    let rounds = recharges(sheet, case, feeding, storage, grounds)?;
    let only_refutes = rounds.most.and(Some(UNKNOWN_STAGE));
    if let Some(asks) = &rounds.asks {
        grounds.unused(format!("what {asks} is would narrow the answer most"));
    }
    Some(Found {
        term: rounds.most.unwrap_or(rounds.least),
        how: computed(only_refutes),
        only_refutes,
    })
}
