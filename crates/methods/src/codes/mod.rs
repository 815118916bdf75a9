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
mod odd;
mod seen;

pub use odd::{FARTHEST, LEAST_SPREAD_DAYS, Standing, odd_ones};

use crate::Finding;
use record::Dossier;

/// Answers what the codes of a dossier say.
pub fn examine(dossier: &Dossier) -> Vec<Finding> {
    let mut findings = dates::examine(dossier);
    findings.extend(numbers::examine(dossier));
    findings
}
