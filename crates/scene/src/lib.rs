//! Photographs drawn from a scene whose geometry is known exactly, for demonstrations, examples and tests.
//!
//! In: a [`Scene`] in millimetres. Out: an image as JPEG bytes, the pixel rectangle of every named thing in
//! it, and two points on the ruler a known length apart.
//! Not here: files, folders, the dossier, measuring. The same scene gives the same bytes on every machine:
//! only additions, products and square roots are used, and noise comes from an integer hash.

mod body;
pub mod camera;
mod draw;
mod lettering;
mod regions;
mod ruler;
mod shading;
mod shapes;
mod simple_shapes;
mod view;

pub use draw::{EncodeError, draw, flat, jpeg, render};
pub use regions::{KnownLength, NamedRegion, known_length, regions};
pub use shapes::{
    Bar, Body, Colour, ColourError, Disc, Lettering, Mat, Pins, RegionName, Ruler, Scene, Shape,
    SurfaceFinish, TerminalSides,
};
pub use view::{IncludedScene, View};
