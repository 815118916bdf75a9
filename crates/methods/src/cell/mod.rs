//! What energy is in a cell, and is its label believable?
//!
//! In: what is printed on each cell, its adjusted mass, its size. Out: one finding per cell.
//! Not here: run times (`runtime`), charging limits (`power`), whether a claim holds (`claims`).
//!
//! Energy is charge times nominal voltage, as labels and transport rules compute it; the energy that a
//! load really gets is less. What cells on sale reach by mass and by size tells the impossible from the
//! possible; a label within it is believable, not proven.
//! Page: `docs/methods/cell.md`.

mod density;
mod finding;
pub mod label;
mod rows;
pub mod transport;
mod voltages;

pub use finding::examine;
