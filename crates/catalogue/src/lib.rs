//! Known parts: what they are called, how they are marked, what package they come in, and where
//! that is known from.
//!
//! In: texts and bytes of catalogues, tables and symbol libraries. Out: a [`Catalogue`], and every
//! row that was refused with the reason.
//! Not here: files and folders (the command), which part a marking belongs to (`marking`).

mod part;

pub use part::{Catalogue, Part};
