//! Settles a claim on what a contact gives.
//!
//! In: a claim with an output rating. Out: its finding. A load that was put there and got the rated voltage
//! and current proves it; the data sheet of the last converter before the contact may refute it; a label
//! that says less refutes it, one that says the same repeats it. That less was measured refutes nothing, for
//! the load may have asked for no more. Not here: what flows inside (`power`).

use super::at_contact::{Tried, asked, tried};
use super::begin;
use super::full_charge::{FullCharge, full_charge};
use super::input::covers;
use super::meaning::{concluded, ended, quoted, taken_to_mean};
use super::wanted::wanted;
use crate::assumed;
use crate::grounds::Grounds;
use crate::words::the;
use crate::{Case, Cell, Finding, Judgement, OpenReason, Verdict};
use quantity::{Rating, Stated, format_quantity};
use record::{Claim, Conversion, Item, Place};

/// Compares a claimed output rating with what was measured, the converter and the labels.
pub(super) fn settle(case: &Case<'_>, claim: &Claim) -> Finding {
    let mut finding = begin(claim);
    let mut grounds = Grounds::default();
    let contact = giving(case, claim);
    let Some(rating) = &claim.rating else {
        finding.verdict = Some(Verdict::NeedsEvidence);
        finding.sentence = format!(
            "{} The record gives no rating for it: needs evidence.",
            ended(&quoted(claim))
        );
        let why = "the record gives no rating for it";
        finding.judgement = Some(Judgement::nothing(OpenReason::NotUnderstood, why));
        finding.missing.push(wanted(case, claim, None, None));
        grounds.close(&mut finding);
        return finding;
    };
    let name = contact.map_or_else(|| "the product".to_string(), the);
    let meaning = format!("that {name} gives {rating} to a load that asks for it");
    let (verdict, because) = verdict(case, claim, rating, contact, &mut grounds);
    finding.verdict = Some(verdict);
    finding.sentence = concluded(&taken_to_mean(claim, &meaning), &because, verdict);
    let reason = match verdict {
        Verdict::NeedsEvidence => OpenReason::RepeatedNotTested,
        _ => OpenReason::NotTried,
    };
    let judgement = Judgement::found(Cell::Nothing, because).meaning(meaning);
    finding.judgement = Some(judgement.open(verdict, reason));
    if matches!(verdict, Verdict::NeedsEvidence | Verdict::Undecided) {
        finding.missing.push(wanted(case, claim, None, None));
    }
    grounds.close(&mut finding);
    finding
}

fn verdict<'d>(
    case: &Case<'d>,
    claim: &Claim,
    rating: &Rating,
    contact: Option<&'d Item>,
    grounds: &mut Grounds,
) -> (Verdict, String) {
    let measured = contact.map_or(Tried::Not, |c| tried(case, c, rating, claim, grounds));
    if let Tried::Reached(text) = measured {
        return (Verdict::Holds, text);
    }
    if let Some(text) = contact.and_then(|c| beyond(case, c, rating, grounds)) {
        return (Verdict::Fails, text);
    }
    if let Some(text) = contact.and_then(|c| beyond_shared(c, rating, grounds)) {
        return (Verdict::Fails, text);
    }
    match rating.choices.iter().find_map(|c| full_charge(case, c)) {
        Some(FullCharge::Beyond(text)) => return (Verdict::Fails, text),
        Some(FullCharge::Near(text)) => return (Verdict::Undecided, text),
        None => {}
    }
    let also = match &measured {
        Tried::Short(text) => {
            format!("; {text}, and the record does not say that more was asked for")
        }
        _ => String::new(),
    };
    let labels = case.dossier.product.labels.iter();
    let printed: Vec<(&Rating, String, bool)> = labels
        .filter_map(|l| {
            let own = contact.is_some_and(|c| l.contact.as_deref() == Some(c.id.as_str()));
            let output = l.output.as_ref()?;
            grounds.evidence(Place::label(&l.id));
            Some((output, l.place.clone(), own))
        })
        .chain(contact.and_then(|c| {
            let rating = c.contact.as_ref()?.rating.as_ref()?;
            Some((rating, format!("rating of {}", the(c)), true))
        }))
        .collect();
    if let Some((rating, by, _)) = printed.iter().find(|(label, ..)| covers(label, rating)) {
        let text = format!("only the {by} repeats it, “{rating}”: repeated, not tested{also}");
        return (Verdict::NeedsEvidence, text);
    }
    if let Some((rating, by, _)) = printed.iter().find(|(.., own)| *own) {
        return (
            Verdict::Fails,
            format!("the {by} says only “{rating}”{also}"),
        );
    }
    let untried = match measured {
        Tried::Not => ", and no load was put there",
        _ => "",
    };
    (
        Verdict::NeedsEvidence,
        format!("only the maker says so{untried}{also}"),
    )
}

/// Returns the contact that a claim is about: the one named or inside what is named, else the only one that
/// gives power.
fn giving<'d>(case: &Case<'d>, claim: &Claim) -> Option<&'d Item> {
    let network = case.network();
    let gives = |i: &&'d Item| i.contact.is_some() && network.is_fed(i);
    match claim.says.item.as_deref() {
        Some(id) => {
            let mut inside = case.tree().inside(id).into_iter();
            let named = case.item(id).filter(|i| i.contact.is_some());
            named.or_else(|| inside.find(gives))
        }
        None => {
            let mut all = case.dossier.items.iter().filter(|i| gives(i));
            all.next().filter(|_| all.next().is_none())
        }
    }
}

/// Returns how the rating lies beyond what the last converter before a contact can give, by its data sheet.
fn beyond<'d>(
    case: &Case<'d>,
    contact: &'d Item,
    rating: &Rating,
    grounds: &mut Grounds,
) -> Option<String> {
    let (converter, facts) = last_converter(case, contact)?;
    let slack = assumed::POWER_EXACTLY.si();
    let more = |want: Option<&Stated>, most: Option<&Stated>| match (want, most) {
        (Some(want), Some(most)) => want.low_si() > most.high_si() * (1.0 + slack),
        _ => false,
    };
    let less = |want: Option<&Stated>, least: Option<&Stated>| match (want, least) {
        (Some(want), Some(least)) => want.high_si() < least.low_si() * (1.0 - slack),
        _ => false,
    };
    for asked in asked(rating) {
        let watts = asked
            .watts
            .map(Stated::low_si)
            .or_else(|| Some(asked.volts?.low_si() * asked.amps?.low_si()));
        let most = facts.output_power_limit.as_ref();
        let at = |key: &str| Place::item(&converter.id).at("converts").at_key(key);
        let volts = facts.output_voltage.as_ref();
        let (key, text) = if more(asked.volts, volts) || less(asked.volts, volts) {
            ("output-voltage", format!("gives {}", volts?))
        } else if more(asked.amps, facts.output_current_limit.as_ref()) {
            let limit = facts.output_current_limit.as_ref()?;
            ("output-current-limit", format!("gives {limit} at most"))
        } else if watts
            .zip(most)
            .is_some_and(|(w, m)| w > m.high_si() * (1.0 + slack))
        {
            ("output-power-limit", format!("gives {} at most", most?))
        } else {
            continue;
        };
        grounds.evidence(at(key));
        grounds.assume(format!(
            "a limit that the record states of a converter may be passed by {}",
            format_quantity(
                crate::inputs::tidy(slack * 100.0),
                &crate::inputs::unit("%")
            )
        ));
        return Some(format!("{} before it {text}", converter.name));
    }
    None
}

/// Returns how the rating lies beyond a limit that a contact shares with others.
fn beyond_shared(contact: &Item, rating: &Rating, grounds: &mut Grounds) -> Option<String> {
    let limit = contact.contact.as_ref()?.shared_limit.as_ref()?;
    let watts = rating.greatest_power()?;
    if watts <= limit.high_si() * (1.0 + 1e-9) {
        return None;
    }
    grounds.evidence(Place::item(&contact.id).at("contact.shared-limit"));
    Some(format!(
        "{} has {limit} at most, together with others",
        contact.name
    ))
}

/// Returns the converter that feeds a contact: the first one met on the way back, where there is one way.
fn last_converter<'d>(case: &Case<'d>, contact: &'d Item) -> Option<(&'d Item, &'d Conversion)> {
    let mut at = contact;
    for _ in 0..case.dossier.items.len() {
        let mut before = case.network().before(at);
        let (item, _) = before.next()?;
        if before.next().is_some() {
            return None;
        }
        match &item.converts {
            Some(facts) if facts.kind != record::ConversionKind::Switch => {
                return Some((item, facts));
            }
            _ => at = item,
        }
    }
    None
}
