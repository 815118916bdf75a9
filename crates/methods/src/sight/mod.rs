//! What is measured on the photographs of a dossier.
//!
//! In: a photograph's things of known size, camera and marks, as recorded. Out: the plane they lie in
//! ([`Sight`]) and everything measured on it ([`Taken`]), fast or as terms of a sheet ([`Desk`]);
//! all photographs of a dossier together ([`Photographs`]).
//! Not here: pixels and the fit (`imaging::geometry`); what the sizes mean (`geometry`, `cell`, `claims`).

mod desk;
mod photographs;
mod plane;
mod taken;

pub use desk::Desk;
pub use photographs::{OnPhoto, Photographs, Seen};
pub use plane::{MARK_PX, Sight};
pub use taken::{Side, Taken};
