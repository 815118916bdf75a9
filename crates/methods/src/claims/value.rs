//! The value that the record gives for what a claim says.
//!
//! In: a claim about a quantity. Out: a term with how it was found, or nothing. A direct reading
//! always beats a derived value. Not here: deciding.

use super::acceptance::more_is_kept;
use super::at_contact::pairs;
use super::capacity::capacity_claimed;
use super::light::most_light;
use super::mass::mass;
use super::times::{derived_charging_time, derived_recharges, derived_run_time, quick_charge};
use crate::Case;
use crate::energy;
use crate::grounds::Grounds;
use crate::heard;
use crate::inputs::unit;
use crate::sizes::{self, Sizes};
use quantity::{Dimension, Origin, Sheet, Term};
use record::{Certainty, Claim, ClaimKind, Item, Place, Reading, ReadingSubject};

/// A value for a claim.
pub(super) struct Found<'s> {
    pub(super) term: Term<'s>,
    /// How it was found, as a past participle ("weighed").
    pub(super) how: &'static str,
    /// Why it is only a bound, which can refute the claim but not prove it; `None` for a value.
    pub(super) only_refutes: Option<&'static str>,
}

/// Returns the value for a claim about a quantity.
pub(super) fn find<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    claim: &Claim,
    grounds: &mut Grounds,
) -> Option<Found<'s>> {
    let found = found(sheet, case, claim, grounds)?;
    let wanted = claim.value.as_ref()?;
    // Plain numbers and counts both answer "three recharges".
    let counts = |d: Dimension| d == Dimension::COUNT || d == Dimension::NONE;
    let (have, want) = (found.term.dimension(), wanted.dimension());
    if have != want && !(counts(have) && counts(want)) {
        grounds.unused(format!(
            "{}: says {wanted}, but the value found is {have}",
            Place::claim(&claim.id)
        ));
        return None;
    }
    Some(found)
}

/// Returns the value that would settle a claim of its kind, whatever figure it prints.
pub(super) fn found<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    claim: &Claim,
    grounds: &mut Grounds,
) -> Option<Found<'s>> {
    match claim.kind {
        ClaimKind::Mass => mass(sheet, case, claim, grounds),
        ClaimKind::Dimension => dimension(sheet, case, claim, grounds),
        ClaimKind::Capacity => capacity_claimed(sheet, case, claim, grounds),
        ClaimKind::Energy => energy(sheet, case, claim, grounds),
        ClaimKind::RunTime => read(
            sheet,
            case,
            claim,
            ReadingSubject::RunTime,
            "timed",
            grounds,
        )
        .or_else(|| derived_run_time(sheet, case, claim, grounds)),
        ClaimKind::ChargingTime => read(
            sheet,
            case,
            claim,
            ReadingSubject::ChargingTime,
            "timed",
            grounds,
        )
        .or_else(|| derived_charging_time(sheet, case, claim, grounds)),
        ClaimKind::QuickCharge => quick_charge(sheet, case, claim, grounds),
        ClaimKind::Recharges => derived_recharges(sheet, case, claim, grounds),
        ClaimKind::NoiseReduction => read(
            sheet,
            case,
            claim,
            ReadingSubject::NoiseReduction,
            "measured",
            grounds,
        ),
        ClaimKind::LuminousFlux => most_light(sheet, case, grounds),
        ClaimKind::Power => power(sheet, case, claim, grounds),
        ClaimKind::Resolution => by_data_sheet(sheet, case, claim, "resolution", grounds),
        ClaimKind::ViewAngle => by_data_sheet(sheet, case, claim, "view-angle", grounds),
        ClaimKind::Delay => read(
            sheet,
            case,
            claim,
            ReadingSubject::Delay,
            "measured",
            grounds,
        )
        .or_else(|| delay_heard(sheet, case, claim, grounds)),
        _ => None,
    }
}

/// Returns the item that a claim is about: the one named, or the whole product.
pub(super) fn subject<'d>(case: &Case<'d>, claim: &Claim) -> Option<&'d Item> {
    match claim.says.item.as_deref() {
        Some(id) => case.item(id),
        None => case.lookup().product(),
    }
}

fn read<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    claim: &Claim,
    what: ReadingSubject,
    how: &'static str,
    grounds: &mut Grounds,
) -> Option<Found<'s>> {
    let item = subject(case, claim)?;
    let mode = claim.says.mode.as_deref();
    let fits = |r: &&&Reading| mode.is_none() || r.mode.as_deref() == mode;
    let candidates = readings_for(case, claim, item, what);
    let candidates = candidates.iter().filter(fits).copied();
    // Without a mode the claim is about the best one: longest, deepest; for times to wait, shortest.
    let longest = !matches!(what, ReadingSubject::ChargingTime | ReadingSubject::Delay);
    let best = candidates.reduce(|a, b| {
        if (b.value.si() > a.value.si()) == longest && b.value.si() != a.value.si() {
            b
        } else {
            a
        }
    })?;
    let name = match what {
        ReadingSubject::RunTime => "run time",
        ReadingSubject::ChargingTime => "charging time",
        ReadingSubject::Delay => "delay",
        ReadingSubject::NoiseReduction => "noise reduction",
        _ => "value",
    };
    Some(Found {
        term: grounds.reading(sheet, case, name, best),
        how,
        only_refutes: None,
    })
}

/// The shortest delay that was heard: without a mode the claim is about the best one.
fn delay_heard<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    claim: &Claim,
    grounds: &mut Grounds,
) -> Option<Found<'s>> {
    let item = subject(case, claim)?;
    let delays = heard::delays(case.dossier)
        .into_iter()
        .filter(|delay| heard::is_about(case, delay.recording, &item.id));
    let best = delays.min_by(|a, b| a.s.total_cmp(&b.s))?;
    Some(Found {
        term: best.term(sheet, grounds),
        how: "heard in a recording",
        only_refutes: None,
    })
}

/// Returns the readings that may answer for an item: its own and those of what it is in; for the whole
/// product also those of everything in it. In the order of the record.
fn readings_for<'d>(
    case: &Case<'d>,
    claim: &Claim,
    item: &Item,
    what: ReadingSubject,
) -> Vec<&'d Reading> {
    let (tree, lookup) = (case.tree(), case.lookup());
    if claim.says.item.is_none() {
        let all = lookup.readings_about(what).iter().copied();
        return all.filter(|r| tree.touch(&item.id, &r.item)).collect();
    }
    let above = tree.upwards(&item.id);
    let readings = above.flat_map(|i| lookup.readings_of(&i.id, what));
    let mut found: Vec<&Reading> = readings.copied().collect();
    found.sort_by_key(|r| lookup.place_of_reading(&r.id));
    found
}

fn dimension<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    claim: &Claim,
    grounds: &mut Grounds,
) -> Option<Found<'s>> {
    let item = subject(case, claim)?;
    // Which one is meant is not known: no measured size answers it.
    if claim.says.dimension.as_deref() == Some("unknown") {
        return None;
    }
    let which = claim.says.dimension.as_deref().unwrap_or("length");
    if sizes::subject(which).is_none() {
        grounds.unused(format!(
            "{}: unknown dimension '{which}'",
            Place::claim(&claim.id)
        ));
        return None;
    }
    let size = Sizes::new(sheet, case.sizes()).of(item, which)?;
    for place in size.evidence {
        grounds.evidence(place);
    }
    Some(Found {
        term: size.term,
        how: match size.from {
            sizes::From::Measure(_) => "measured on a photograph",
            sizes::From::Reading(_) | sizes::From::Stated(_) => "measured",
        },
        only_refutes: None,
    })
}

/// Volts × amperes at the contact or part, where both were measured together. Less than is promised says
/// nothing where the record does not tell that more was asked for.
fn power<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    claim: &Claim,
    grounds: &mut Grounds,
) -> Option<Found<'s>> {
    let item = subject(case, claim)?;
    let mode = claim.says.mode.as_deref();
    let (name, watts) = (format!("power at {}", item.name), unit("W"));
    let found = pairs(sheet, case, item, mode, grounds).into_iter();
    let found = found.filter_map(|p| Some((p.volts * p.amps?).named(&name, &watts)));
    let value = |term: &Term<'_>| sheet.value(*term).unwrap_or(0.0);
    let term = found.max_by(|a, b| value(a).total_cmp(&value(b)))?;
    let asked = claim.value.as_ref()?.low_si();
    if more_is_kept(claim) && value(&term) < asked {
        let much = sheet.figure(term).map(|f| f.text).unwrap_or_default();
        grounds.unused(format!(
            "{much} measured at {}: the record does not say that more was asked for",
            item.name
        ));
        return None;
    }
    Some(Found {
        term,
        how: "measured",
        only_refutes: None,
    })
}

/// A figure that the data sheet of a part in it states, where the part is identified by its marking; an angle
/// depends on what stands around the part.
fn by_data_sheet<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    claim: &Claim,
    rating: &str,
    grounds: &mut Grounds,
) -> Option<Found<'s>> {
    let about = claim.says.item.as_deref();
    let items = case.dossier.items.iter();
    let (item, facts, stated) = items
        .filter(|i| about.is_none_or(|id| case.tree().within(&i.id, id)))
        .find_map(|i| {
            let facts = i.part.as_ref()?;
            Some((i, facts, facts.ratings.get(rating)?))
        })?;
    let identity = facts.identity.as_ref();
    if identity.is_none_or(|i| i.certainty != Certainty::Read) {
        grounds.unused(format!(
            "{rating} of {}: its identity is not read",
            item.name
        ));
        return None;
    }
    let origin = facts.ratings_origin.unwrap_or(Origin::DataSheet);
    let place = Place::item(&item.id).at("part.ratings").at_key(rating);
    let dimension = stated.dimension();
    let term = grounds.fact(
        sheet,
        format!("{rating} of {}", item.name),
        stated,
        dimension,
        origin,
        place,
    )?;
    Some(Found {
        term,
        how: "by the data sheet of a part in it",
        only_refutes: (claim.kind == ClaimKind::ViewAngle)
            .then_some("what stands around the lens may hide part of it"),
    })
}

pub(super) fn one_cell<'d>(
    case: &Case<'d>,
    claim: &Claim,
    grounds: &mut Grounds,
) -> Option<&'d Item> {
    match case.supplies().cells_of(claim.says.item.as_deref()) {
        [cell] => Some(cell),
        [] => {
            grounds.unused("no cell is recorded for what the claim is about");
            None
        }
        many => {
            let names: Vec<&str> = many.iter().map(|c| c.name.as_str()).collect();
            grounds.unused(format!(
                "{}: more than one kind of cell fits ({}); name one in `says.item`",
                Place::claim(&claim.id),
                names.join(", ")
            ));
            None
        }
    }
}

fn energy<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    claim: &Claim,
    grounds: &mut Grounds,
) -> Option<Found<'s>> {
    let cell = one_cell(case, claim, grounds)?;
    let held = energy::energy(sheet, case, cell, grounds)?;
    let read = case.lookup().readings_of(&cell.id, ReadingSubject::Energy);
    Some(Found {
        term: held.term,
        how: match (held.measured, read.is_empty()) {
            (true, false) => "measured",
            (true, true) => "computed from the measured charge",
            (false, _) => "computed",
        },
        only_refutes: None,
    })
}
