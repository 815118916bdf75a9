//! Settles a claim that something is in the product, and claims that no dossier alone can settle.

use super::wanted::wanted;
use super::{begin, printed};
use crate::assessment::SURE;
use crate::ledger::Ledger;
use crate::presence::{Match, Presence, presence};
use crate::words::{Words as _, called, percent};
use crate::{Case, Finding, Missing, Verdict};
use record::{Certainty, Claim, Place};

/// As many unidentified parts are named in a sentence.
const FEW: usize = 3;

/// Looks for the named part, interface, radio or function.
pub(super) fn settle(case: &Case<'_>, claim: &Claim) -> Finding {
    let mut finding = begin(claim);
    let mut ledger = Ledger::default();
    let Some(names) = claim.names.as_deref().filter(|n| !n.trim().is_empty()) else {
        finding.verdict = Some(Verdict::NeedsEvidence);
        finding.sentence = format!(
            "{} says “{}”, but the record does not name what to look for.",
            printed(claim),
            claim.text
        );
        ledger.unused(format!(
            "{}: `names` is not stated",
            Place::claim(&claim.id)
        ));
        finding.missing.push(wanted(case, claim, None, None));
        ledger.close(&mut finding);
        return finding;
    };
    let about = claim.says.item.as_deref();
    let best = presence(case, claim.kind, names, about).into_iter().next();
    match best {
        Some(found) => {
            let probability = case.assessments().probability(found.item);
            let (sure, how) = certainty(&found, probability);
            let verdict = if sure {
                Verdict::Holds
            } else {
                Verdict::Undecided
            };
            finding.verdict = Some(verdict);
            finding.sentence = format!(
                "{} says {names}; {} {how}: {}.",
                printed(claim),
                called(found.item),
                verdict.words()
            );
            for place in found.evidence {
                ledger.evidence(place);
            }
            if verdict == Verdict::Undecided {
                finding.missing.push(Missing {
                    measure: format!(
                        "clean and magnify {} and read its marking",
                        called(found.item)
                    ),
                    ..wanted(case, claim, None, None)
                });
            }
        }
        None => absent(case, claim, names, &mut finding, &mut ledger),
    }
    ledger.close(&mut finding);
    finding
}

/// Decides on something that no recorded item answers to. It is held to be absent only where the
/// record says that it is complete and every part in it is identified.
fn absent(case: &Case<'_>, claim: &Claim, names: &str, finding: &mut Finding, ledger: &mut Ledger) {
    let about = claim.says.item.as_deref();
    let (unknown, few) = case.named().unidentified(case, about, FEW);
    let (verdict, why) = if !case.dossier.product.complete {
        let why = "and the record does not claim to be complete".to_string();
        (Verdict::NeedsEvidence, why)
    } else if unknown == 0 {
        let why = "the record lists every part, and every one is identified".to_string();
        (Verdict::Fails, why)
    } else {
        let few: Vec<String> = few.into_iter().map(called).collect();
        let why = format!(
            "the record lists every part, but {} of them {} not identified ({}{})",
            unknown,
            if unknown == 1 { "is" } else { "are" },
            few.join(", "),
            if unknown > few.len() { ", …" } else { "" }
        );
        (Verdict::Undecided, why)
    };
    finding.verdict = Some(verdict);
    finding.sentence = format!(
        "{} says {names}; nothing recorded answers to it, {why}: {}.",
        printed(claim),
        verdict.words()
    );
    if case.dossier.product.complete {
        ledger.evidence(Place::product().at("complete"));
        ledger.assume(
            "The record is complete, as `product.complete` states; remove it if a part may have been \
             overlooked.",
        );
    }
    if verdict != Verdict::Fails {
        finding.missing.push(wanted(case, claim, None, None));
    }
}

/// Settles what no opened sample can show: ingress protection, being the first.
pub(super) fn out_of_reach(case: &Case<'_>, claim: &Claim) -> Finding {
    let mut finding = begin(claim);
    let mut ledger = Ledger::default();
    finding.verdict = Some(Verdict::NeedsEvidence);
    let why = if claim.kind == record::ClaimKind::First {
        "one dossier cannot show what came before; it takes the standing among all products opened"
    } else {
        "seals can be seen, but only a test of an unopened sample shows what they keep out"
    };
    finding.sentence = format!(
        "{} says “{}”; {why}: needs evidence.",
        printed(claim),
        claim.text
    );
    ledger.unused(why);
    finding.missing.push(wanted(case, claim, None, None));
    ledger.close(&mut finding);
    finding
}

/// Returns whether the presence is certain, and how it is known, as the end of a sentence.
fn certainty(found: &Presence<'_>, probability: Option<f64>) -> (bool, String) {
    let identity = found.item.part.as_ref().and_then(|p| p.identity.as_ref());
    let identified = |sure: Certainty| {
        let word = sure.words();
        match probability {
            Some(p) if p < SURE => (
                false,
                format!(
                    "{word}, but its marking gives it a probability of {} only",
                    percent(p)
                ),
            ),
            _ => (sure == Certainty::Read, word.to_string()),
        }
    };
    match found.by {
        Match::Identity(sure) => {
            let (certain, word) = identified(sure);
            let name = identity.map_or("", |i| i.name.as_str());
            (certain, format!("is {name} (identity {word})"))
        }
        // What an item provides is no surer than what the item is.
        Match::Provides => match identity {
            Some(identity) => {
                let (certain, word) = identified(identity.certainty);
                (
                    certain,
                    format!("provides it and is {} (identity {word})", identity.name),
                )
            }
            None => (true, "provides it, as seen".to_string()),
        },
        Match::Role => (
            false,
            "has that role, but its identity does not say so".to_string(),
        ),
        Match::Name => (false, "is called so, but nothing else says so".to_string()),
    }
}
