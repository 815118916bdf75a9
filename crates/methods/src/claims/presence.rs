//! Settles a claim that something is in the product, and claims that no dossier alone can settle.

use super::wanted::wanted;
use super::{begin, printed, verdict_word};
use crate::ledger::Ledger;
use crate::power::{Network, within};
use crate::{Finding, Verdict};
use record::{Certainty, Claim, Item};

/// An item that answers a presence claim.
struct Hit<'d> {
    item: &'d Item,
    /// What matched.
    text: String,
    certainty: Certainty,
}

/// Looks for the named part, interface, radio or function.
pub(super) fn settle(network: &Network<'_>, claim: &Claim) -> Finding {
    let mut finding = begin(claim);
    let mut ledger = Ledger::default();
    let Some(names) = claim.names.as_deref().filter(|n| !n.trim().is_empty()) else {
        finding.verdict = Some(Verdict::NeedsEvidence);
        finding.sentence = format!(
            "{} says “{}”, but the record does not name what to look for.",
            printed(claim),
            claim.text
        );
        ledger.unused(format!("claims.{}: `names` is not stated", claim.id));
        finding
            .missing
            .push(wanted(network.dossier, claim, None, None));
        ledger.close(&mut finding);
        return finding;
    };
    let dossier = network.dossier;
    let inside = |i: &&Item| {
        claim
            .says
            .item
            .as_deref()
            .is_none_or(|id| within(dossier, &i.id, id))
    };
    let best = dossier
        .items
        .iter()
        .filter(inside)
        .filter_map(|i| hit(i, names))
        .reduce(|a, b| if b.certainty > a.certainty { b } else { a });
    match best {
        Some(hit) => {
            let verdict = if hit.certainty == Certainty::Read {
                Verdict::Holds
            } else {
                Verdict::Undecided
            };
            let how = match hit.certainty {
                Certainty::Read => "read",
                Certainty::Inferred => "inferred",
                Certainty::Assumed => "assumed",
            };
            finding.verdict = Some(verdict);
            finding.sentence = format!(
                "{} says {names}; {} is there ({}, {how}): {}.",
                printed(claim),
                hit.item.name,
                hit.text,
                verdict_word(verdict)
            );
            ledger.evidence(format!("items.{}", hit.item.id));
            ledger.seen(&hit.item.evidence);
            if let Some(identity) = hit.item.part.as_ref().and_then(|p| p.identity.as_ref()) {
                ledger.seen(&identity.evidence);
            }
            if verdict == Verdict::Undecided {
                finding.missing.push(wanted(dossier, claim, None, None));
            }
        }
        None => {
            finding.verdict = Some(Verdict::NeedsEvidence);
            finding.sentence = format!(
                "{} says {names}; nothing recorded answers to it, and the record does not claim to be complete: needs evidence.",
                printed(claim)
            );
            finding.missing.push(wanted(dossier, claim, None, None));
        }
    }
    ledger.close(&mut finding);
    finding
}

/// Settles what no opened sample can show: ingress protection, being the first.
pub(super) fn out_of_reach(network: &Network<'_>, claim: &Claim) -> Finding {
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
    finding
        .missing
        .push(wanted(network.dossier, claim, None, None));
    ledger.close(&mut finding);
    finding
}

fn hit<'d>(item: &'d Item, names: &str) -> Option<Hit<'d>> {
    let wanted = fold(names);
    let same = |text: &str| {
        let have = fold(text);
        !have.is_empty() && (have == wanted || have.contains(&wanted))
    };
    let identity = item.part.as_ref().and_then(|p| p.identity.as_ref());
    let sure = identity.map_or(Certainty::Read, |i| i.certainty);
    if let Some(found) = item.provides.iter().find(|p| same(p)) {
        return Some(Hit {
            item,
            text: format!("gives {found}"),
            certainty: sure,
        });
    }
    if let Some(identity) = identity.filter(|i| same(&i.name)) {
        return Some(Hit {
            item,
            text: identity.name.clone(),
            certainty: identity.certainty,
        });
    }
    let marking = item
        .part
        .as_ref()
        .and_then(|p| p.marking.iter().find(|m| same(m)));
    if let Some(marking) = marking {
        return Some(Hit {
            item,
            text: format!("marked {marking}"),
            certainty: Certainty::Read,
        });
    }
    let role = item.role.as_deref().filter(|r| same(r))?;
    Some(Hit {
        item,
        text: role.to_string(),
        certainty: sure.min(Certainty::Inferred),
    })
}

/// Folds case and drops everything but letters and digits.
fn fold(text: &str) -> String {
    text.chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect()
}
