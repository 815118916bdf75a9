//! One method asked about a dossier, without known parts.

use methods::{Answer, Case, Finding, Known};
use record::Dossier;

/// Returns what a method answers.
pub(crate) fn answers(method: fn(&Case<'_>) -> Answer, dossier: &Dossier) -> Vec<Finding> {
    let known = Known::default();
    method(&Case::new(dossier, &known)).expect("nobody stops the work")
}
