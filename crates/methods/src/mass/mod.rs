//! Do the weights agree, and what does each piece weigh?
//!
//! In: the readings of mass and the item tree of a dossier. Out: two findings, and
//! [`adjusted`] masses with covariance for other methods.
//! Not here: what a claim about a weight is worth (`claims`).
//!
//! Every weighing is a sum of pieces; where more weighings exist than pieces to be known, they must
//! agree, and least squares under these balances gives the best mass of everything they determine.
//! Valid while every piece of an assembly is listed and readings are off by their stated uncertainty
//! only; the tests say when that cannot be so.
//! Page: `docs/methods/mass.md`.

mod adjust;
pub mod balance;
mod excess;
mod factor;
mod finding;
mod gross;
mod inferred;
mod inverse;
pub mod model;
pub mod next;
mod nodes;
mod number;
mod reach;
pub mod reconciled;
mod rests;
mod solution;
pub mod structure;
mod tables;
pub mod tree;

pub use adjust::adjusted;
pub use excess::Excess;
pub use finding::examine;
pub use nodes::Node;
pub use rests::NEAREST;
pub use solution::{ALPHA, MassSolution, Suspect, Weighing};

#[cfg(test)]
mod tests;
