//! Pixels and millimetres: photographs drawn from a scene whose geometry is known exactly.
//!
//! In: a [`Scene`] in millimetres. Out: an image as JPEG bytes, the pixel rectangle of every named
//! thing in it, and two points on the ruler a known length apart.
//! Not here: files, folders, the dossier. The same scene gives the same bytes on every machine:
//! only additions, products and square roots are used, and noise comes from an integer hash.

mod body;
pub mod callout;
mod canvas;
mod detail;
mod lettering;
mod photo;
pub mod pixels;
mod regions;
mod ruler;
mod scene;

pub use canvas::Picture;
pub use photo::{EncodeError, jpeg, render};
pub use regions::{Known, Place, known_length, regions};
pub use scene::{
    Bar, Body, Colour, ColourError, Disc, Look, Mat, Named, Pins, Ruler, Scene, Shape, Side, Words,
};
