//! Which printed claims hold?
//!
//! In: the claims of a dossier and everything the other methods derive. Out: one finding per
//! claim: holds, fails, undecided or needs evidence, with the working or with what is missing.
//! Not here: deriving the values (`mass`, `power`, `runtime`, `inventory`). See
//! `docs/methods/claims.md` for how each kind is read.

mod acceptance;
mod among;
mod at_contact;
mod bands;
mod beyond;
mod cable;
mod capacity;
mod conformance;
mod full_charge;
mod input;
mod light;
mod maker;
mod mass;
mod meaning;
mod noise;
mod output;
mod presence;
mod quantity_claim;
mod repair;
mod stated_for;
#[cfg(test)]
mod tests;
mod times;
mod traits;
mod value;
mod wanted;

use crate::grounds::Grounds;
use crate::words::capital;
use crate::{Answer, Case, Finding, Limits, Method, Verdict};
use record::{Claim, ClaimKind, Place};
use serde::Serialize;

/// Settles every claim of the dossier, in its order. An identity that its marking does not bear out
/// shows no presence for certain.
///
/// # Errors
/// [`crate::Cancelled`] if the case is to be worked on no longer.
pub fn examine(case: &Case<'_>) -> Answer {
    let claims = case.dossier.claims.iter();
    let settle = |claim: &Claim| {
        case.go_on()?;
        Ok(match claim.kind {
            ClaimKind::Input => input::settle(case, claim),
            ClaimKind::Output => output::settle(case, claim),
            ClaimKind::Cable => cable::settle(case, claim),
            ClaimKind::Bands => bands::settle(case, claim),
            ClaimKind::Part | ClaimKind::Interface | ClaimKind::Radio | ClaimKind::Function => {
                presence::settle(case, claim)
            }
            ClaimKind::Resolution if claim.value.is_none() => presence::settle(case, claim),
            ClaimKind::Repair => repair::settle(case, claim),
            ClaimKind::First => among::first(case, claim),
            ClaimKind::Leading => among::leading(case, claim),
            ClaimKind::Ingress => presence::ingress(case, claim),
            ClaimKind::Slogan => presence::slogan(case, claim),
            ClaimKind::NoiseReduction => {
                noise::settle(case, claim).unwrap_or_else(|| quantity_claim::settle(case, claim))
            }
            ClaimKind::Unknown => presence::unknown(case, claim),
            _ => quantity_claim::settle(case, claim),
        })
    };
    claims.map(settle).collect()
}

/// Returns what a claim of a figure would be held against; nothing for one that is settled by other means.
pub fn limits(claim: &Claim) -> Option<Limits> {
    let value = claim.value.as_ref()?;
    let other = matches!(
        claim.kind,
        ClaimKind::Input
            | ClaimKind::Output
            | ClaimKind::Cable
            | ClaimKind::Bands
            | ClaimKind::Part
            | ClaimKind::Interface
            | ClaimKind::Radio
            | ClaimKind::Function
            | ClaimKind::Repair
            | ClaimKind::First
            | ClaimKind::Leading
            | ClaimKind::Ingress
            | ClaimKind::Slogan
            | ClaimKind::Unknown
    );
    (!other).then(|| acceptance::acceptance(claim, value, &mut Grounds::default()).limits())
}

/// Returns whether a claim is settled by other products.
pub fn compares(claim: &Claim) -> bool {
    matches!(claim.kind, ClaimKind::First | ClaimKind::Leading)
}

/// How many claims came out which way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct VerdictCounts {
    /// Claims that hold.
    pub holds: usize,
    /// Claims that fail.
    pub fails: usize,
    /// Claims that the evidence does not decide.
    pub undecided: usize,
    /// Claims without enough evidence.
    pub needs_evidence: usize,
}

/// Counts the verdicts on the claims; verdicts of other methods are not counted.
pub fn verdict_counts<'f>(findings: impl IntoIterator<Item = &'f Finding>) -> VerdictCounts {
    let mut counts = VerdictCounts::default();
    let findings = findings.into_iter();
    let claims = findings.filter(|f| f.method() == Method::Claims);
    for verdict in claims.filter_map(|f| f.verdict) {
        match verdict {
            Verdict::Holds => counts.holds += 1,
            Verdict::Fails => counts.fails += 1,
            Verdict::Undecided => counts.undecided += 1,
            Verdict::NeedsEvidence => counts.needs_evidence += 1,
        }
    }
    counts
}

pub(crate) use traits::traits;

/// Returns whether a text says some words, in a row and whole.
fn same_words(text: &str, words: &str) -> bool {
    let (text, words) = (crate::presence::words(text), crate::presence::words(words));
    !words.is_empty() && text.windows(words.len()).any(|run| run == words)
}

/// Starts the finding of a claim.
fn begin(claim: &Claim) -> Finding {
    let title = format!("“{}”", claim.text);
    let mut finding =
        Finding::new(Method::Claims, word!("verdict"), title).about(Place::claim(&claim.id));
    let mut grounds = Grounds::default();
    grounds.evidence(Place::claim(&claim.id));
    grounds.seen(&claim.evidence);
    grounds.close(&mut finding);
    finding
}

/// Where the claim is printed, as the start of a sentence; further places after `;` or `:` stay in
/// the record.
fn printed(claim: &Claim) -> String {
    let place = claim
        .printed
        .split([';', ':'])
        .next()
        .unwrap_or_default()
        .trim();
    match place {
        "" => "The maker".to_string(),
        _ => capital(&crate::words::place(place)),
    }
}
