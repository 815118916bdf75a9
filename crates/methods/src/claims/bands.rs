//! Settles a claim that names several radio bands.
//!
//! In: a claim with bands in `names`. Out: one finding; it holds if each band does. Not here: how one band is
//! found (`presence`).

use super::meaning::{concluded, taken_to_mean};
use super::wanted::wanted;
use super::{begin, presence};
use crate::grounds::Grounds;
use crate::words::Words as _;
use crate::{Case, Cell, Finding, Judgement, OpenReason, Verdict};
use record::Claim;

/// Looks for every band that the claim names: it holds if each of them does.
pub(super) fn settle(case: &Case<'_>, claim: &Claim) -> Finding {
    let names = claim.names.as_deref().unwrap_or_default();
    let split = names
        .replace(" and ", ",")
        .replace([';', '/', '+', '&'], ",");
    let bands: Vec<&str> = split
        .split(',')
        .map(str::trim)
        .filter(|b| !b.is_empty())
        .collect();
    let [_, _, ..] = bands.as_slice() else {
        return presence::settle(case, claim);
    };
    let mut finding = begin(claim);
    let mut words = Vec::new();
    let mut worst = Verdict::Holds;
    for band in &bands {
        let mut one = claim.clone();
        one.names = Some((*band).to_string());
        let found = presence::settle(case, &one);
        let how = found.judgement.as_ref().map_or("", |j| j.how.as_str());
        let verdict = found.verdict.unwrap_or(Verdict::NeedsEvidence);
        words.push(format!("{band}: {how}: {}", verdict.words()));
        worst = worse(worst, verdict);
        let mut grounds = Grounds::default();
        found
            .evidence
            .into_iter()
            .for_each(|place| grounds.evidence(place));
        found
            .assumptions
            .into_iter()
            .for_each(|text| grounds.assume(text));
        grounds.close(&mut finding);
    }
    let meaning = format!("that each of {} is in it", bands.join(", "));
    finding.verdict = Some(worst);
    finding.sentence = concluded(
        &taken_to_mean(claim, &meaning),
        &format!("{}. Together", words.join("; ")),
        worst,
    );
    let judgement = Judgement::found(Cell::Nothing, words.join("; ")).meaning(meaning);
    finding.judgement = Some(judgement.open(worst, OpenReason::NotTried));
    if matches!(worst, Verdict::NeedsEvidence | Verdict::Undecided) {
        finding.missing.push(wanted(case, claim, None, None));
    }
    finding
}

/// Returns the verdict on two things that must both be there.
fn worse(a: Verdict, b: Verdict) -> Verdict {
    let order = [
        Verdict::Fails,
        Verdict::NeedsEvidence,
        Verdict::Undecided,
        Verdict::Holds,
    ];
    order.into_iter().find(|v| *v == a || *v == b).unwrap_or(a)
}
