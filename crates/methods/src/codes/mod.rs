//! What do the codes say: when was it made, do the dates fit together, are the numbers right?
//!
//! In: markings, labels and identifiers of a dossier, read by the crate `codes`. Out: findings on date
//! codes, on the printed date of manufacture, and on check digits.
//! Not here: what a string means (`codes`), what a part is (`markings`).
//!
//! A product cannot have been assembled before its youngest part was made: the first day of the newest date
//! code is the earliest possible day of assembly.
//! Page: `docs/methods/codes.md`.

mod dates;
mod numbers;
mod outlier;
mod seen;

pub use outlier::{FARTHEST, LEAST_SPREAD_DAYS, Standing, odd_ones};
pub use seen::dates_on_label;

use crate::{Answer, Case};

/// Answers what the codes of a dossier say.
///
/// # Errors
/// [`crate::Cancelled`] if the case is to be worked on no longer.
pub fn examine(case: &Case<'_>) -> Answer {
    let mut findings = dates::examine(case)?;
    case.go_on()?;
    findings.extend(numbers::examine(case.dossier));
    Ok(findings)
}
