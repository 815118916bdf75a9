//! Photographs as they come from a camera, and pictures that are fit to publish.
//!
//! In: the bytes of a picture file. Out: upright pixels with their colour profile, tiles and
//! previews, top-down views of a plane, picture files with their resolution; and what a file's
//! metadata tells, or a copy without it.
//! Not here: files, folders, a cache, threads; what the pixels show (`geometry`).

mod crop;
mod decode;
mod downscale;
mod header;
pub mod metadata;
mod orientation;
mod picture_error;
pub mod rectify;
#[cfg(target_arch = "x86_64")]
mod simd;
mod tiles;
mod write;

pub use crop::crop;
pub use decode::{Limits, Photo, Size, decode, preview, size, stated_size};
pub use downscale::{downscale, halve, shrink};
pub use metadata::Format;
pub use picture_error::{Fault, PictureError};
pub use tiles::{Level, Part, TileOptions, cut, key, levels, preview_part, pyramid};
pub use write::{Encoding, encode};
