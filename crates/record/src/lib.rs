//! What was seen: the dossier of one opened product.
//!
//! In: the text and the file list of a dossier folder. Out: a [`Dossier`] or every problem found,
//! each with file, line, column, offending text and remedy.
//! Not here: the disk (`store`); computing anything; drawing; the clock.

mod bytes;
mod check;
mod claim;
mod content;
mod dossier;
mod draft;
mod files;
mod grammar;
mod item;
mod link;
pub mod marking;
#[cfg(test)]
mod page;
mod photo;
mod place;
mod problem;
mod product;
mod read;
mod reading;
mod schema;
mod source;
mod starter;
mod step;
mod tree;
mod visible;
mod write;

pub use bytes::{LARGEST, text_of, too_large};
pub use claim::{Claim, ClaimKind, Subject};
pub use content::{Content, LOOKED_AT, content_of};
pub use dossier::Dossier;
pub use draft::{Draft, DraftError, Edit};
pub use files::{AnyFile, Files, Look};
pub use item::{CellFacts, Certainty, Fastener, Identity, Item, ItemKind, PartFacts};
pub use link::{Contact, ContactKind, Conversion, ConversionKind, Link, LinkKind, Load};
pub use photo::{
    MeasureSubject, ON_A_SIDE, Photo, PhotoCamera, PhotoMeasure, Reference, ReferenceShape, Region,
    ScaleReference,
};
pub use place::{Evidence, Note};
pub use problem::{Problem, Problems};
pub use product::{Accessory, Identifier, LabelText, Price, Product};
pub use read::{FORMAT, read_text};
pub use reading::{Correlation, Instrument, Reading, ReadingSubject};
pub use schema::schema;
pub use starter::starter;
pub use step::{Action, Hazard, Step, Undo};
pub use visible::{steers, visible, visible_lines};

#[cfg(test)]
mod tests;
