//! Photographs as they come from a camera, and pictures that are fit to publish.
//!
//! In: the bytes of a picture file. Out: what its metadata tells and a copy without it.
//! Not here: files, folders, a cache, threads; what the pixels show (`geometry`).

pub mod metadata;
mod trouble;

pub use trouble::{Fault, PictureError};
