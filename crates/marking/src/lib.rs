//! Which known part carries a marking.
//!
//! In: a marking as seen, what else is known about the part, and a catalogue. Out: ranked candidates
//! with probabilities, "none of these" among them.
//! Not here: the notation of a marking (`record`), value and date codes (`codes`), files.

mod answer;
mod attributes;
mod clues;
mod codes;
mod find;
mod index;
mod lines;
mod model;
mod packages;
mod read;
mod shares;
mod shelf;
mod stem;
mod stored;
mod symbol;
mod vocabulary;
mod ways;

pub use answer::{Answer, Candidate, EntryKind, LineReading, Refusal};
pub use clues::{ClueKind, Clues, Factor, SeenBefore};
pub use find::name_index::Effort;
pub use find::sink::LISTED;
pub use index::{Index, Scratch};
pub use lines::Role;
pub use model::align::Pair;
pub use model::costs::{CostError, CostTable, Costs, MilliNat};
pub use model::learn::{ConfirmedReading, TableWeight, learn};
pub use stem::stem;
pub use stored::StoredError;
