//! Pixels and millimetres: photographs that can be measured ([`geometry`]), and photographs drawn
//! from a scene whose geometry is known exactly ([`render`]).
//!
//! In: clicks on a photograph; or a [`Scene`] in millimetres. Out: measures with their uncertainty;
//! or an image as JPEG bytes, the pixel rectangle of every named thing in it, and two points on
//! the ruler a known length apart.
//! Not here: files, folders, the dossier. The same scene gives the same bytes on every machine:
//! only additions, products and square roots are used, and noise comes from an integer hash.

mod body;
pub mod callout;
pub mod camera;
mod canvas;
mod detail;
pub mod geometry;
mod grey;
mod lettering;
mod photo;
pub mod pixels;
mod regions;
mod ruler;
mod scene;
mod view;

pub use canvas::Picture;
pub use grey::Grey;
pub use photo::{EncodeError, draw, flat, jpeg, render};
pub use regions::{Known, Place, known_length, regions};
pub use scene::{
    Bar, Body, Colour, ColourError, Disc, Look, Mat, Named, Pins, Ruler, Scene, Shape, Side, Words,
};
pub use view::{Borrowed, View};
