//! Settles a claim on what may be plugged in.
//!
//! Read as: the contact accepts a supply of this rating. It is compared with the rating printed at
//! the contact and with the maxima of the parts behind it, and proved only by a supply that was tried; how much of it the path uses is said
//! beside the verdict, because a rating is not a charging speed.

use super::at_contact::{Tried, tried};
use super::begin;
use super::meaning::{concluded, ended, quoted, taken_to_mean};
use super::wanted::wanted;
use crate::assumed;
use crate::grounds::Grounds;
use crate::inputs::{tidy, unit};
use crate::network::{Printed, VoltageFate, greatest_use, ratings, voltage_fate};
use crate::words::the;
use crate::{Case, Cell, Finding, Judgement, OpenReason, Verdict};
use quantity::{Choice, Dimension, Rating, Sheet, Stated, format_quantity};
use record::{Claim, Item, Place, Thing};

/// Compares a claimed input rating with labels, maxima and the path.
pub(super) fn settle(case: &Case<'_>, claim: &Claim) -> Finding {
    let mut finding = begin(claim);
    let mut grounds = Grounds::default();
    grounds.assume("an input rating is read as: the contact accepts a supply of this rating");
    let rating = claim
        .rating
        .clone()
        .or_else(|| as_rating(claim.value.as_ref()?));
    let network = case.network();
    let contact = match claim.says.item.as_deref() {
        Some(id) => case
            .tree()
            .inside(id)
            .into_iter()
            .find(|i| network.is_entrance(i)),
        None => {
            let mut entrances = network.entrances();
            entrances.next().filter(|_| entrances.next().is_none())
        }
    };
    let (Some(rating), Some(contact)) = (rating, contact) else {
        finding.verdict = Some(Verdict::NeedsEvidence);
        finding.sentence = format!(
            "{} The record does not tell which contact this is about, or gives no rating: needs evidence.",
            ended(&quoted(claim))
        );
        let why = "the record does not tell which contact it is about, or gives no rating";
        finding.judgement = Some(Judgement::nothing(OpenReason::NotUnderstood, why));
        finding.missing.push(wanted(case, claim, None, None));
        grounds.close(&mut finding);
        return finding;
    };
    let own = Place::claim(&claim.id);
    let labels: Vec<Printed> = ratings(case, contact)
        .into_iter()
        .filter(|p| p.place.thing() != Thing::Claim)
        .collect();
    let highest = rating.highest_voltage().map(Stated::high_si);
    let fates: Vec<VoltageFate> = match highest {
        Some(volts) => network
            .paths_from(contact)
            .iter()
            .map(|p| voltage_fate(p, volts, &mut grounds))
            .collect(),
        None => Vec::new(),
    };
    let measured = tried(case, contact, &rating, claim, &mut grounds);
    let (verdict, reason, because) = verdict(&rating, &labels, &fates, &measured, contact);
    for label in &labels {
        grounds.evidence(label.place.clone());
    }
    finding.verdict = Some(verdict);
    let meaning = format!("that {} takes a supply of {rating}", the(contact));
    finding.sentence = concluded(&taken_to_mean(claim, &meaning), &because, verdict);
    let judgement = Judgement::found(Cell::Nothing, because).meaning(meaning);
    finding.judgement = Some(judgement.open(verdict, reason));
    if matches!(verdict, Verdict::NeedsEvidence | Verdict::Undecided) {
        finding.missing.push(wanted(case, claim, None, None));
    }
    let sheet = Sheet::new();
    let claimed = Printed {
        rating,
        by: claim.printed.clone(),
        place: own,
    };
    if let Some((watts, binds)) = greatest_use(&sheet, case, contact, &claimed, &mut grounds)
        && let Ok(figure) = sheet.figure(watts)
    {
        let offered = claimed.rating.greatest_power();
        if let Some(offered) =
            offered.filter(|w| *w > assumed::RATED_FAR_ABOVE.number() * figure.value)
        {
            finding.sentence.push_str(&format!(
                " What sits behind {} takes at most {} of the {}: the {binds} limits it, so the print is not a charging speed.",
                the(contact),
                figure.text,
                format_quantity(tidy(offered), &unit("W")),
            ));
        }
        if let Some(judgement) = &mut finding.judgement {
            judgement.found = Cell::figure(&figure);
        }
        finding.add_figure(word!("power-taken"), figure);
    }
    grounds.close(&mut finding);
    finding
}

/// Reads a claim that gives one figure as a rating.
fn as_rating(value: &Stated) -> Option<Rating> {
    let mut choice = Choice::default();
    let slot = match value.dimension() {
        d if d == Dimension::VOLTAGE => &mut choice.voltage,
        d if d == Dimension::CURRENT => &mut choice.current,
        d if d == Dimension::POWER => &mut choice.power,
        _ => return None,
    };
    *slot = Some(value.clone());
    Some(Rating::of(value.text.as_str(), choice))
}

fn verdict(
    rating: &Rating,
    labels: &[Printed],
    fates: &[VoltageFate],
    measured: &Tried,
    contact: &Item,
) -> (Verdict, OpenReason, String) {
    let also = match measured {
        Tried::Reached(text) => return (Verdict::Holds, OpenReason::NotTried, text.clone()),
        Tried::Short(text) => format!("; {text}"),
        Tried::Not => String::new(),
    };
    for fate in fates {
        match fate {
            VoltageFate::Exceeds(text) => {
                return (
                    Verdict::Fails,
                    OpenReason::NotTried,
                    format!("behind {} {text}", the(contact)),
                );
            }
            VoltageFate::Blocked(text) => {
                return (
                    Verdict::Fails,
                    OpenReason::NotTried,
                    format!("the supply is cut off behind {}: {text}", the(contact)),
                );
            }
            _ => {}
        }
    }
    let survives = fates.iter().find_map(|f| {
        if let VoltageFate::Survives(t) = f {
            Some(t)
        } else {
            None
        }
    });
    let stands = survives.map_or_else(String::new, |t| format!("; {t}"));
    if let Some(label) = labels.iter().find(|l| covers(&l.rating, rating)) {
        return (
            Verdict::NeedsEvidence,
            OpenReason::RepeatedNotTested,
            format!(
                "only the {} repeats it, “{}”{stands}: repeated, not tested{also}",
                label.by, label.rating
            ),
        );
    }
    if let Some(label) = labels.first() {
        return (
            Verdict::Fails,
            OpenReason::NotTried,
            format!("the {} says only “{}”", label.by, label.rating),
        );
    }
    match survives {
        Some(text) => (
            Verdict::Undecided,
            OpenReason::NotTried,
            format!(
                "no rating is printed at {}; the parts behind it withstand its voltage: {text}{also}",
                the(contact)
            ),
        ),
        None => (
            Verdict::NeedsEvidence,
            OpenReason::NotMeasured,
            format!(
                "no rating is printed at {} and no part behind it states a maximum{also}",
                the(contact)
            ),
        ),
    }
}

/// Returns whether a printed rating is at least what is claimed: for every alternative claimed it has one
/// that is as much in every figure that both give.
pub(super) fn covers(label: &Rating, claimed: &Rating) -> bool {
    let mut wanted = claimed.choices.iter();
    let each = wanted.all(|want| label.choices.iter().any(|have| choice_covers(have, want)));
    let power = match (label.greatest_power(), &claimed.total) {
        (Some(have), Some(want)) => have * (1.0 + 1e-9) >= want.si(),
        _ => true,
    };
    each && power
}

fn choice_covers(label: &Choice, claimed: &Choice) -> bool {
    let at_least = |have: &Option<Stated>, want: &Option<Stated>| match (have, want) {
        (Some(have), Some(want)) => {
            let slack = 0.5 * have.last_digit.max(want.last_digit) * have.unit.factor();
            have.high_si() + slack >= want.high_si()
        }
        _ => true,
    };
    let pairs = [
        (&label.voltage, &claimed.voltage),
        (&label.current, &claimed.current),
        (&label.power, &claimed.power),
    ];
    pairs.iter().any(|(a, b)| a.is_some() && b.is_some())
        && pairs.iter().all(|(have, want)| at_least(have, want))
}
