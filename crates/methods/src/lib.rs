//! Pure methods: a dossier in, findings out. No disk, no clock, no network.

pub mod basis;
pub mod cell;
pub mod claims;
pub mod codes;
mod finding;
pub mod geometry;
pub mod inventory;
mod ledger;
pub mod markings;
pub mod mass;
pub mod opening;
pub mod power;
pub mod runtime;
pub mod sight;
pub mod sizes;

pub use claims::{VerdictCounts, verdict_counts};
pub use finding::*;
pub use markings::Known;

use record::Dossier;

/// A method with the name that progress shows.
type Step = (&'static str, fn(&Dossier, &Known) -> Vec<Finding>);

/// The methods in the order of the day.
const METHODS: [Step; 10] = [
    ("mass", |dossier, _| mass::examine(dossier)),
    ("cell", |dossier, _| cell::examine(dossier)),
    ("power", |dossier, _| power::examine(dossier)),
    ("runtime", |dossier, _| runtime::examine(dossier)),
    ("geometry", |dossier, _| geometry::examine(dossier)),
    ("inventory", inventory::examine),
    ("markings", markings::examine),
    ("codes", |dossier, _| codes::examine(dossier)),
    ("opening", |dossier, _| opening::examine(dossier)),
    ("claims", claims::examine),
];

/// Examines a dossier with every method, in the order of the day. `known` are the parts that
/// markings are held against. `progress` is told the name of each method before it runs, with its
/// number from 1 and how many there are.
pub fn examine(
    dossier: &Dossier,
    known: &Known,
    progress: &mut dyn FnMut(&str, usize, usize),
) -> Findings {
    let mut findings = Vec::new();
    for (k, (name, method)) in METHODS.into_iter().enumerate() {
        progress(name, k + 1, METHODS.len());
        findings.extend(method(dossier, known));
    }
    Findings {
        format: 1,
        product: dossier.product.name.clone(),
        findings,
    }
}
