//! Which hazard reaches what through a network of parts, and what stands in its way.
//!
//! In: a graph of items and nets, which item answers which hazard. Out: guarded, unguarded, undecided or no path,
//! with a witness, the smallest cut, the depth and what every path shares; margins of ratings as probabilities;
//! figures of the standards; bench calculations from measured geometry.
//! Not here: dossiers (`methods` builds the graph), advice on safety beyond what is printed in standards.
//!
//! A verdict is decided by taking things away: what has the function is removed, and a path that is left is open.
//! Places where a part would close it are a minimum vertex cut. No path is ever enumerated.

mod answer;
pub mod bench;
mod cut;
mod function;
mod graph;
pub mod margin;
mod sides;
pub mod standards;
mod walk;

pub use answer::{Answer, Cut, MOST_CUTS, Verdict};
pub use function::{Function, Hazard};
pub use graph::{Graph, Question};
pub use sides::{Sides, sides};
