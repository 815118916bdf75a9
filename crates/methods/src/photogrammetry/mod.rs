//! What is measured on the photographs of a dossier.
//!
//! In: a photograph's things of known size, camera and marks, as recorded. Out: the plane they lie in
//! ([`PhotoPlane`]) and everything measured on it ([`Measurement`]), fast or as terms of a sheet ([`MeasurementSheet`]);
//! all photographs of a dossier together ([`Photographs`]).
//! Not here: pixels and the fit (`imaging::geometry`); what the sizes mean (`geometry`, `cell`, `claims`).

mod heights;
mod measurement;
mod on_sheet;
mod photographs;
mod plane;

pub use measurement::{MeasuredSize, Measurement};
pub use on_sheet::MeasurementSheet;
pub use photographs::{OnPhoto, Photographs, Seen};
pub use plane::{MARK_PX, PhotoPlane, pixels_per_mm};
