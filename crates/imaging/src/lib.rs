//! From pixels to millimetres: photographs that can be measured ([`geometry`]), and what is read from and
//! written to picture files ([`pixels`]).
//!
//! In: bytes of pictures, clicks on a photograph. Out: measures with their uncertainty, pictures.
//! Not here: files, folders, the dossier; photographs drawn from a scene (`scene`); numbers around a
//! picture (`callout`).

pub mod bodies;
pub mod canvas;
pub mod geometry;
mod grey;
mod picture;
pub mod pixels;
mod tone;

pub use grey::Grey;
pub use picture::Picture;
pub use tone::{Light, ToneCurve};
