//! A claim in our words: what it is taken to mean, kept apart from what it says.
//!
//! In: a claim, and the limits that its figure sets. Out: the start of its sentence, which quotes the
//! text as printed and then says how it is read. Not here: whether it holds.

use super::acceptance::Acceptance;
use super::printed;
use crate::Case;
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

/// Returns the limits of a figure in words, with what they are about.
pub(super) fn of_figure(case: &Case<'_>, claim: &Claim, limits: &Acceptance) -> String {
    let item = claim.says.item.as_deref().and_then(|id| case.item(id));
    let item = item.map_or_else(String::new, |i| format!(" for {}", i.name));
    let mode = claim.says.mode.as_deref();
    let mode = mode.map_or_else(String::new, |m| format!(" in mode {m}"));
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
