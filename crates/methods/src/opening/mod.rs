//! How does one get to each piece, what does that cost, and what must be done first?
//!
//! In: the steps, items, claims and readings of a dossier. Out: findings: the sequence with cautions,
//! the way to each cell and spare part, what cannot be undone, evidence that a step would end.
//! Not here: scores of any repairability scheme; they need the legal texts, which are not at hand.
//! Page: `docs/methods/opening.md`.

mod finding;
pub mod graph;
pub mod hazard;
pub mod plan;
mod risk;
mod routes;
mod search;

pub use finding::examine;
