//! What energy is in a cell, and is its label believable?
//!
//! In: what is printed on each cell, its adjusted mass, its size. Out: one finding per cell.
//! Not here: run times (`runtime`), charging limits (`power`), whether a claim holds (`claims`).
//!
//! Energy is charge times nominal voltage, as labels and transport rules compute it; the energy that a
//! load really gets is less. Bands of specific energy and energy density tell the believable from the
//! odd; they are usual practice and decide nothing alone.
//! Page: `docs/methods/cell.md`.

pub mod bands;
mod finding;
pub mod label;
mod size;
pub mod transport;

pub use finding::examine;
