//! How long can it run, and how many recharges does one cell give another?
//!
//! In: cells, mode currents, converters, power links. Out: run time per cell and mode and in ordinary use,
//! or its upper bound; the mean current that each claimed run time implies; recharges through the true chain.
//! Not here: verdicts on claims. Valid for mean currents of a cell as it is; what age and cold leave of it is said
//! apart, by assumed shares. See `docs/methods/runtime.md`.

mod answer;
mod takes;
mod worn;

use crate::{Answer, Case};
use record::ClaimKind;

/// Answers how long it can run and how many recharges it gives.
///
/// # Errors
/// [`crate::Cancelled`] if the case is to be worked on no longer.
pub fn examine(case: &Case<'_>) -> Answer {
    let supplies = case.supplies();
    let mut findings = Vec::new();
    for cell in supplies.cells() {
        for mode in supplies.modes(cell) {
            case.go_on()?;
            findings.push(answer::per_mode(case, cell, &mode));
        }
    }
    let claims = case.dossier.claims.iter();
    for claim in claims.filter(|c| c.kind == ClaimKind::RunTime) {
        case.go_on()?;
        findings.extend(answer::implied(case, claim));
    }
    for cell in supplies.cells() {
        case.go_on()?;
        findings.extend(answer::ordinary(case, cell));
        findings.extend(worn::worn(case, cell));
    }
    for feeding in supplies.feedings() {
        case.go_on()?;
        findings.push(answer::per_giver(case, feeding));
    }
    Ok(findings)
}
