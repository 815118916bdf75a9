//! What was measured at a contact: voltage and current together.
//!
//! In: the readings of an item. Out: pairs of voltage and current that were taken together, and whether they
//! reach a rating. Not here: what a rating that is not reached is worth.

use super::acceptance::Acceptance;
use super::conformance::{DECISION, probability};
use crate::Case;
use crate::assumed;
use crate::energy::most_taken;
use crate::grounds::Grounds;
use crate::inputs::unit;
use quantity::{Rating, Sheet, Stated, Term, Unit};
use record::{Claim, Item, Reading, ReadingSubject};

/// Voltage and current of one moment.
pub(super) struct Pair<'s> {
    pub(super) volts: Term<'s>,
    pub(super) amps: Option<Term<'s>>,
}

/// One alternative of a rating: what has to be reached together.
pub(super) struct Asked<'r> {
    pub(super) volts: Option<&'r Stated>,
    pub(super) amps: Option<&'r Stated>,
    pub(super) watts: Option<&'r Stated>,
}

/// Returns the alternatives of a rating.
pub(super) fn asked(rating: &Rating) -> Vec<Asked<'_>> {
    let choices = rating.choices.iter();
    let asked = choices.map(|choice| Asked {
        volts: choice.voltage.as_ref(),
        amps: choice.current.as_ref(),
        watts: choice.power.as_ref(),
    });
    asked.collect()
}

/// What the readings at a contact say of a rating.
pub(super) enum Tried {
    /// Every alternative was reached; in words.
    Reached(String),
    /// Something was measured, but not as much; in words.
    Short(String),
    /// Nothing was measured.
    Not,
}

/// Returns the readings of voltage and current at an item that belong together: those of one mode, and what a meter
/// there logged when most was taken. Of several
/// in one mode it is not known which belong together, and they are left out.
pub(super) fn pairs<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    item: &Item,
    mode: Option<&str>,
    grounds: &mut Grounds,
) -> Vec<Pair<'s>> {
    let of = |what| {
        let readings = case.lookup().readings_of(&item.id, what).iter().copied();
        let fits = move |r: &&Reading| mode.is_none() || r.mode.as_deref() == mode;
        readings.filter(fits).collect::<Vec<_>>()
    };
    let (volts, amps) = (of(ReadingSubject::Voltage), of(ReadingSubject::Current));
    let mut found = Vec::new();
    for v in &volts {
        let together = |r: &&&Reading| r.mode == v.mode && (r.started == v.started);
        let alone = volts.iter().filter(together).count() == 1;
        let with: Vec<&&Reading> = amps.iter().filter(together).collect();
        if !alone || with.len() > 1 {
            grounds.unused(format!(
                "readings of voltage and current at {}: several in one mode; give them a mode or a time to tell \
                 which belong together",
                item.name
            ));
            continue;
        }
        found.push(Pair {
            volts: grounds.reading(sheet, case, &format!("voltage at {}", item.name), v),
            amps: with
                .first()
                .map(|r| grounds.reading(sheet, case, &format!("current at {}", item.name), r)),
        });
    }
    if mode.is_none()
        && let Some((volts, amps)) = most_taken(sheet, case, item, grounds)
    {
        found.push(Pair {
            volts,
            amps: Some(amps),
        });
    }
    found
}

/// Returns whether readings at a contact reach a rating.
pub(super) fn tried(
    case: &Case<'_>,
    contact: &Item,
    rating: &Rating,
    claim: &Claim,
    grounds: &mut Grounds,
) -> Tried {
    let sheet = Sheet::new();
    let pairs = pairs(&sheet, case, contact, claim.says.mode.as_deref(), grounds);
    let shown: Vec<String> = pairs.iter().filter_map(|p| words(&sheet, p)).collect();
    if shown.is_empty() {
        return Tried::Not;
    }
    let all = asked(rating);
    let reached = |asked: &Asked<'_>| pairs.iter().any(|pair| reaches(&sheet, pair, asked));
    let text = format!("measured there: {}", shown.join(", "));
    if !all.is_empty() && all.iter().all(reached) {
        grounds.assume(format!(
            "a rating is reached at {} of its current and within {} of its voltage",
            crate::words::percent(1.0 - assumed::OTHER_EXACTLY.si()),
            assumed::SUPPLY_VOLTAGE.text()
        ));
        Tried::Reached(text)
    } else {
        Tried::Short(text)
    }
}

fn words(sheet: &Sheet, pair: &Pair<'_>) -> Option<String> {
    let volts = sheet.figure(pair.volts).ok()?.text;
    match pair.amps {
        Some(amps) => Some(format!("{volts} with {}", sheet.figure(amps).ok()?.text)),
        None => Some(volts),
    }
}

fn reaches(sheet: &Sheet, pair: &Pair<'_>, asked: &Asked<'_>) -> bool {
    let slack = assumed::OTHER_EXACTLY.si();
    let band = assumed::SUPPLY_VOLTAGE.si();
    let sure = |term: Option<Term<'_>>, low: f64, high: Option<f64>, unit: Unit| {
        let limits = Acceptance {
            low: Some(low),
            high,
            tolerance: 0.0,
            granted: String::new(),
            unit,
        };
        term.and_then(|t| probability(sheet, t, &limits).ok())
            .is_some_and(|found| found.inside >= DECISION)
    };
    let volts = asked.volts.is_none_or(|v| {
        let (low, high) = (v.low_si() * (1.0 - band), v.high_si() * (1.0 + band));
        sure(Some(pair.volts), low, Some(high), unit("V"))
    });
    let amps = asked.amps.is_none_or(|a| {
        let low = a.high_si() * (1.0 - slack);
        sure(pair.amps, low, None, unit("A"))
    });
    // Watts beside volts and amperes are their product, or say nothing that a test of both would not.
    let watts = asked
        .watts
        .filter(|_| asked.amps.is_none())
        .is_none_or(|w| {
            let power = pair
                .amps
                .map(|a| (pair.volts * a).named("power", &unit("W")));
            sure(power, w.high_si() * (1.0 - slack), None, unit("W"))
        });
    let says = asked.volts.is_some() || asked.amps.is_some() || asked.watts.is_some();
    says && volts && amps && watts
}
