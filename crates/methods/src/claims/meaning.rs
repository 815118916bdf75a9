//! A claim in our words: what it is taken to mean, kept apart from what it says.
//!
//! In: a claim, and the limits that its figure sets. Out: the sentences of it: where it is printed and
//! its words, what was found, the limit, the verdict. Not here: whether it holds.

use super::acceptance::Acceptance;
use super::printed;
use crate::words::{capital, concludes, the};
use crate::{Case, Verdict};
use record::{Claim, ClaimKind};

/// Returns `The front of the box says “…”`.
pub(super) fn quoted(claim: &Claim) -> String {
    format!("{} says “{}”", printed(claim), claim.text)
}

/// Returns `…, taken to mean MEANING`, behind the quoted text.
pub(super) fn taken_to_mean(claim: &Claim, meaning: &str) -> String {
    let ours = if claim.our_reading {
        ", which gives no figure and is taken to mean, as our reading, "
    } else {
        ", taken to mean "
    };
    format!("{}{ours}{meaning}", quoted(claim))
}

/// Ends a sentence; words quoted at its end may have ended it.
pub(super) fn ended(sentence: &str) -> String {
    let inner = sentence.strip_suffix('”').unwrap_or(sentence);
    if inner.ends_with(['.', '!', '?']) {
        sentence.to_string()
    } else {
        format!("{sentence}.")
    }
}

/// Returns `The box says “…”. What was found: the claim holds.`
pub(super) fn concluded(start: &str, because: &str, verdict: Verdict) -> String {
    let (start, because) = (ended(start), capital(because));
    format!("{start} {because}: {}.", concludes(verdict))
}

/// Returns the start of the sentence on a figure: its words as printed, and how they are read where they
/// give no figure.
pub(super) fn of_words(claim: &Claim, meaning: &str) -> String {
    if claim.our_reading {
        taken_to_mean(claim, meaning)
    } else {
        quoted(claim)
    }
}

/// Returns the limits of a figure in words, with what they are about.
pub(super) fn of_figure(case: &Case<'_>, claim: &Claim, limits: &Acceptance) -> String {
    let item = claim.says.item.as_deref().and_then(|id| case.item(id));
    let item = item.map_or_else(String::new, |i| format!(" for {}", the(i)));
    let mode = claim.says.mode.as_deref();
    let mode = mode.map_or_else(String::new, |m| format!(" on {m}"));
    let noun = match claim.kind {
        ClaimKind::Dimension => format!("a {}", claim.says.dimension_name()),
        kind => noun(kind).to_string(),
    };
    format!("{noun} of {}{mode}{item}{}", limits.words(), limits.grant())
}

/// The quantity that claims of a kind are about, with its article.
fn noun(kind: ClaimKind) -> &'static str {
    match kind {
        ClaimKind::Mass => "a mass",
        ClaimKind::Capacity => "a capacity",
        ClaimKind::Energy => "an energy",
        ClaimKind::RunTime => "a run time",
        ClaimKind::ChargingTime => "a charging time",
        ClaimKind::QuickCharge => "a run time after that charging",
        ClaimKind::Recharges => "a number of recharges",
        ClaimKind::NoiseReduction => "a noise reduction",
        ClaimKind::Delay => "a delay",
        ClaimKind::Power => "a power",
        ClaimKind::LuminousFlux => "a luminous flux",
        ClaimKind::ViewAngle => "an angle of view",
        ClaimKind::Resolution => "a resolution",
        _ => "a value",
    }
}
