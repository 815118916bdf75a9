//! Pure methods: a dossier in, findings out. No disk, no clock, no network.

pub mod basis;
pub mod cell;
pub mod claims;
pub mod codes;
mod finding;
pub mod inventory;
mod ledger;
pub mod mass;
pub mod opening;
pub mod power;
pub mod runtime;

pub use claims::{VerdictCounts, verdict_counts};
pub use finding::*;

use record::Dossier;

/// A method with the name that progress shows.
type Step = (&'static str, fn(&Dossier) -> Vec<Finding>);

/// The methods in the order of the day.
const METHODS: [Step; 8] = [
    ("mass", mass::examine),
    ("cell", cell::examine),
    ("power", power::examine),
    ("runtime", runtime::examine),
    ("inventory", inventory::examine),
    ("codes", codes::examine),
    ("opening", opening::examine),
    ("claims", claims::examine),
];

/// Examines a dossier with every method, in the order of the day. `progress` is told the name of
/// each method before it runs, with its number from 1 and how many there are.
pub fn examine(dossier: &Dossier, progress: &mut dyn FnMut(&str, usize, usize)) -> Findings {
    let mut findings = Vec::new();
    for (k, (name, method)) in METHODS.into_iter().enumerate() {
        progress(name, k + 1, METHODS.len());
        findings.extend(method(dossier));
    }
    Findings {
        format: 1,
        product: dossier.product.name.clone(),
        findings,
    }
}
