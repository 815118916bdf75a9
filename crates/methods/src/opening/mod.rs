//! What is the way to each piece, what does that cost, and what must be done first?
//!
//! In: the steps, items, claims and readings of a dossier. Out: findings: the sequence with cautions,
//! the way to each cell, what cannot be undone, evidence that a step would end.
//! Not here: the order of steps (`precedence`); spare parts and rules on repair (`repair`).
//! Page: `docs/methods/opening.md`.

mod finding;
pub mod hazard;
mod risk;
mod routes;

pub use finding::examine;
