//! Photographs as they come from a camera, and pictures that are fit to publish.
//!
//! In: the bytes of a picture file. Out: upright pixels with their colour profile, tiles and
//! previews, top-down views of a plane, picture files with their resolution; and what a file's
//! metadata tells, or a copy without it.
//! Not here: files, folders, a cache, threads; what the pixels show (`geometry`).

mod header;
mod intake;
pub mod metadata;
pub mod rectify;
mod shrink;
#[cfg(target_arch = "x86_64")]
mod simd;
mod tiles;
mod trouble;
mod turn;
mod write;

pub use intake::{Limits, Photo, Size, decode, preview, size};
pub use metadata::Format;
pub use shrink::{halve, shrink};
pub use tiles::{Level, Part, TileOptions, cut, key, levels, preview_part, pyramid};
pub use trouble::{Fault, PictureError};
pub use write::{Encoding, encode};
