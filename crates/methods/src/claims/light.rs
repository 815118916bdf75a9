//! The most light that the power taken allows.
//!
//! In: a case. Out: power at a contact × the greatest luminous efficacy of white light, as a term. It can
//! refute a claim, not prove one. Not here: deciding.

use super::value::Found;
use crate::Case;
use crate::assumed;
use crate::grounds::Grounds;
use crate::inputs::unit;
use crate::network::{ratings, strongest};
use quantity::{Sheet, Term};
use record::{Item, Reading, ReadingSubject};

/// Returns the most light of the product, lm; `None` where no power is recorded.
pub(super) fn most_light<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    grounds: &mut Grounds,
) -> Option<Found<'s>> {
    let network = case.network();
    let watts = network
        .entrances()
        .find_map(|contact| measured(sheet, case, contact, grounds))
        .or_else(|| {
            let mut entrances = network.entrances();
            entrances.find_map(|contact| printed(sheet, case, contact, grounds))
        })?;
    let efficacy = grounds.assumed(
        sheet,
        "greatest luminous efficacy of white light",
        &assumed::WHITE_EFFICACY_MOST,
        "it is a limit of physics, not of this product",
    );
    Some(Found {
        term: (watts * efficacy).named("most light", &unit("lm")),
        how: "the power taken allows at most",
        only_refutes: Some("no light was measured"),
    })
}

fn measured<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    contact: &Item,
    grounds: &mut Grounds,
) -> Option<Term<'s>> {
    let most = |what| {
        let readings = case.lookup().readings_of(&contact.id, what).iter().copied();
        readings.max_by(|a: &&Reading, b: &&Reading| a.value.si().total_cmp(&b.value.si()))
    };
    let (volts, amps) = (
        most(ReadingSubject::Voltage)?,
        most(ReadingSubject::Current)?,
    );
    let volts = grounds.reading(sheet, case, "voltage", volts);
    let amps = grounds.reading(sheet, case, "current", amps);
    Some((volts * amps).named(&format!("power taken at {}", contact.name), &unit("W")))
}

fn printed<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    contact: &Item,
    grounds: &mut Grounds,
) -> Option<Term<'s>> {
    let ratings = ratings(case, contact);
    let printed = strongest(&ratings)?;
    let choices = printed.rating.choices.iter();
    let power = |c: &&quantity::Choice| c.greatest_power().unwrap_or(0.0);
    let choice = choices.max_by(|a, b| power(a).total_cmp(&power(b)))?;
    let supply = printed.supply(sheet, contact, choice, grounds);
    supply.watts.or_else(|| Some(supply.volts? * supply.amps?))
}
