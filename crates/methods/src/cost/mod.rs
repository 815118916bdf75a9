//! What does it cost to build, and what would tell that better?
//!
//! In: items, steps, fasteners and masses of a case, the analyst's own prices. Out: the cost of one piece at the volume
//! asked for, over volumes, by group; every line with its price and source; what lacks a price; what the doubt rests on
//! and which single quote would narrow it most; what the price paid leaves for building.
//! Not here: any price; the formulas (`cost`). See `docs/methods/cost.md`.

mod amounts;
mod chain;
mod making;
mod taken;
mod told;

use crate::{Answer, Case};
use ::cost::Run;
use taken::Taken;

/// Draws at the volume asked for.
const RUN: Run = Run {
    draws: 8_192,
    seed: 1,
    threads: 1,
};

/// Pieces built where the record does not say: no cost is told, only what lacks a price.
const ANY_VOLUME: u32 = 1;

/// Answers what it costs to build. A record that neither asks nor has a price book gets no answer.
///
/// # Errors
/// [`crate::Cancelled`] if the case is to be worked on no longer.
pub fn examine(case: &Case<'_>) -> Answer {
    let dossier = case.dossier;
    let asked = dossier.cost.is_some() || !dossier.prices.is_empty();
    if !asked && case.known.prices().is_empty() {
        case.go_on()?;
        return Ok(Vec::new());
    }
    let taken = Taken::of(case)?;
    case.go_on()?;
    let (built, band) = told::built(case, &taken);
    let mut findings = vec![built];
    findings.extend(band.and_then(|band| chain::paid(case, &band)));
    Ok(findings)
}
