//! What was seen: the dossier of one opened product.
//!
//! In: the text and the file list of a dossier folder. Out: a [`Dossier`] or every problem found,
//! each with file, line, column, offending text and remedy.
//! Not here: computing anything; drawing; the clock.

mod claim;
mod dossier;
mod item;
mod link;
mod place;
mod product;
mod reading;
mod step;

pub use claim::{Claim, ClaimKind, Subject};
pub use dossier::Dossier;
pub use item::{CellFacts, Fastener, Identity, Item, ItemKind, PartFacts, Certainty};
pub use link::{Contact, ContactKind, Conversion, ConversionKind, Link, LinkKind, Load};
pub use place::{Evidence, Note};
pub use product::{Accessory, Identifier, LabelText, Price, Product};
pub use reading::{Correlation, Instrument, Photo, Reading, Region, ScaleReference, ReadingSubject};
pub use step::{Action, Hazard, Step, Undo};
