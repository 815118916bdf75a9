//! How many recharges one cell gives others.
//!
//! In: a giving cell, the cells that it charges together, the path to each. Out: the number of rounds in which
//! all are charged full once; two numbers where a stage on the way is not known.
//!
//! n = (Q1·u1 − I1·t − Σ mᵢ·Iᵢ·t ÷ gᵢ) ÷ Σ (mᵢ·Qᵢ·uᵢ ÷ gᵢ): usable charge of the giving cell less what its
//! converters and the guests idle away, over what one round takes from it. gᵢ is the gain of the path: a
//! switched stage passes energy times efficiency, a linear charger passes charge.

use super::draw::at_rest;
use super::store::{capacity, usable};
use super::supplies::Feeding;
use crate::Case;
use crate::assumed;
use crate::grounds::Grounds;
use crate::inputs::unit;
use crate::network::{Guess, Joined, Path, Ratio, best, is_unknown_stage};
use crate::words::called;
use quantity::{Dimension, Origin, Sheet, Stated, Term};
use record::{ConversionKind, Item, Place};

/// More unknown stages than this are not computed over: each doubles the work.
const MOST_UNKNOWN: usize = 4;

/// How often all guests are charged full.
#[derive(Debug)]
pub(crate) struct Rounds<'s> {
    /// With the principles of the unknown stages that give least.
    pub(crate) least: Term<'s>,
    /// With those that give most; none where every stage is known.
    pub(crate) most: Option<Term<'s>>,
    /// The unknown stage whose identity would narrow the answer most.
    pub(crate) asks: Option<String>,
}

/// Returns how often the giver charges its guests, all together. `storage` is the time in which all idle,
/// with its place in the record.
pub(crate) fn recharges<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    feeding: &Feeding<'_>,
    storage: Option<(&Stated, Place)>,
    grounds: &mut Grounds,
) -> Option<Rounds<'s>> {
    let unknown = unknown_stages(feeding);
    if unknown.len() > MOST_UNKNOWN {
        grounds.unused(format!(
            "{} stages on the way are not identified",
            unknown.len()
        ));
        return None;
    }
    let common = common(sheet, case, feeding, storage, grounds)?;
    let mut found: Vec<(usize, f64, Term<'s>)> = Vec::new();
    for number in 0..1_usize << unknown.len() {
        let guess: Vec<(&str, ConversionKind)> = unknown
            .iter()
            .enumerate()
            .map(|(k, item)| (item.id.as_str(), principle(number, k)))
            .collect();
        let Some(rounds) = common.rounds(sheet, case, &guess, grounds) else {
            continue;
        };
        if let Ok(value) = sheet.value(rounds) {
            found.push((number, value, rounds));
        }
    }
    let least = found.iter().min_by(|a, b| a.1.total_cmp(&b.1))?;
    let most = found.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    grounds.assume("charging returns all of the charge it takes in (coulombic efficiency of lithium-ion, above 99 %)");
    if unknown.is_empty() {
        return Some(Rounds {
            least: least.2,
            most: None,
            asks: None,
        });
    }
    let names: Vec<String> = unknown.iter().map(|i| called(i)).collect();
    grounds.assume(format!(
        "how {} converts is not known: computed for a linear and for a switched stage, where either can be",
        crate::words::listed(names)
    ));
    // What knowing one stage would leave open at most; the least wins.
    let left = |k: usize| {
        let spread = |bit: usize| {
            let with = found.iter().filter(|f| (f.0 >> k) & 1 == bit);
            let values: Vec<f64> = with.map(|f| f.1).collect();
            let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let low = values.iter().copied().fold(f64::INFINITY, f64::min);
            (high - low).max(0.0)
        };
        spread(0).max(spread(1))
    };
    let asks = (0..unknown.len()).min_by(|a, b| left(*a).total_cmp(&left(*b)));
    Some(Rounds {
        least: least.2.named("fewest recharges", &unit("")),
        most: Some(most.2.named("most recharges", &unit(""))),
        asks: asks.map(|k| called(unknown[k])),
    })
}

/// The principle of unknown stage `k` in alternative `number`.
fn principle(number: usize, k: usize) -> ConversionKind {
    if (number >> k) & 1 == 0 {
        ConversionKind::LinearCharger
    } else {
        ConversionKind::SwitchedCharger
    }
}

/// The stages on the ways whose principle is not known, each once.
fn unknown_stages<'d>(feeding: &Feeding<'d>) -> Vec<&'d Item> {
    let mut found: Vec<&Item> = Vec::new();
    for path in &feeding.paths {
        let inner = path.items.len().saturating_sub(1);
        for item in path.items.iter().take(inner).skip(1) {
            if is_unknown_stage(item) && found.iter().all(|f| f.id != item.id) {
                found.push(item);
            }
        }
    }
    found
}

/// One guest: what it takes in a round, and what it idles away.
struct Guest<'a, 'd, 's> {
    path: &'a Path<'d>,
    takes: Term<'s>,
    idles: Option<Term<'s>>,
}

/// What does not depend on the stages between.
struct Common<'a, 'd, 's> {
    given: Term<'s>,
    guests: Vec<Guest<'a, 'd, 's>>,
}

fn common<'a, 'd, 's>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    feeding: &'a Feeding<'d>,
    storage: Option<(&Stated, Place)>,
    grounds: &mut Grounds,
) -> Option<Common<'a, 'd, 's>> {
    let giver = feeding.giver;
    let mut given = total(sheet, case, giver, stored(sheet, case, giver, grounds)?);
    let mut guests = Vec::new();
    for path in &feeding.paths {
        let taker = path.end();
        let takes = total(sheet, case, taker, stored(sheet, case, taker, grounds)?);
        let idles = at_rest(sheet, case, taker, grounds);
        guests.push(Guest {
            path,
            takes,
            idles: idles.map(|current| total(sheet, case, taker, current)),
        });
    }
    let idle = at_rest(sheet, case, giver, grounds);
    if idle.is_none() && guests.iter().all(|g| g.idles.is_none()) {
        grounds.unused("quiescent drain: no idle current is recorded, so none is counted");
        return Some(Common { given, guests });
    }
    let time = storage_time(sheet, storage, grounds);
    if let Some(current) = idle {
        given = given - total(sheet, case, giver, current) * time;
    }
    for guest in &mut guests {
        guest.idles = guest.idles.map(|current| current * time);
    }
    Some(Common { given, guests })
}

impl<'s> Common<'_, '_, 's> {
    /// Returns the rounds with unknown stages as guessed; none where the chain cannot be computed or cannot be.
    fn rounds(
        &self,
        sheet: &'s Sheet,
        case: &Case<'_>,
        guess: Guess<'_>,
        grounds: &mut Grounds,
    ) -> Option<Term<'s>> {
        let mut left = self.given;
        let mut round = Vec::new();
        for guest in &self.guests {
            let (giver, taker) = (guest.path.start(), guest.path.end());
            let mut chain = best(sheet, case, guest.path, guess);
            grounds.absorb(std::mem::take(&mut chain.grounds));
            if !chain.between {
                grounds.unused(format!(
                    "{}: no stage between the cells is recorded; on one wire they only share their charge",
                    guest.path.text()
                ));
                return None;
            }
            if let Some(stage) = &chain.lifts {
                if guess.is_empty() {
                    grounds.unused(format!(
                        "{}: {stage} is linear and cannot lift the voltage of {} to that of {}",
                        guest.path.text(),
                        giver.name,
                        taker.name
                    ));
                }
                return None;
            }
            let per_charge = |term: Term<'s>| match chain.gain() {
                Ratio::One => Some(term),
                Ratio::Times(gain) => {
                    let name = format!("charge into {} per charge from {}", taker.name, giver.name);
                    Some(term / gain.named(&name, &unit("")))
                }
                Ratio::Unknown => None,
            };
            let Some(takes) = per_charge(guest.takes) else {
                grounds.unused(format!(
                    "{}: a voltage on the way is not stated",
                    guest.path.text()
                ));
                return None;
            };
            round.push(takes);
            if let Some(idles) = guest.idles {
                left = left - per_charge(idles)?;
            }
        }
        let round = match round.as_slice() {
            [one] => *one,
            several => sheet.sum(several),
        };
        let giver = self.guests.first()?.path.start();
        let left = left.named(
            &format!("charge of {} for its guests", giver.name),
            &unit("mAh"),
        );
        let round = round.named(
            &format!("charge of {} that one round takes", giver.name),
            &unit("mAh"),
        );
        Some((left / round).named("recharges", &unit("")))
    }
}

fn stored<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    grounds: &mut Grounds,
) -> Option<Term<'s>> {
    let capacity = capacity(sheet, case, cell, grounds);
    if capacity.is_none() {
        grounds.unused(format!("{}: no capacity is stated", cell.name));
    }
    Some(usable(sheet, cell, capacity?, grounds))
}

fn total<'s>(sheet: &'s Sheet, case: &Case<'_>, cell: &Item, term: Term<'s>) -> Term<'s> {
    match Joined::of(case, cell).groups {
        0 | 1 => term,
        n => sheet.number(f64::from(n)) * term,
    }
}

fn storage_time<'s>(
    sheet: &'s Sheet,
    storage: Option<(&Stated, Place)>,
    grounds: &mut Grounds,
) -> Term<'s> {
    let stated = storage.and_then(|(stated, place)| {
        grounds.nominal(
            sheet,
            "time in storage",
            stated,
            Dimension::TIME,
            Origin::Estimated,
            place,
        )
    });
    stated.unwrap_or_else(|| {
        grounds.assumed(
            sheet,
            "time in storage",
            &assumed::STORAGE_TIME,
            "state `after` in a recharges claim to change it",
        )
    })
}
