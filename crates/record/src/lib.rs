//! What was seen: the dossier of one opened product.
//!
//! In: the text and the file list of a dossier folder. Out: a [`Dossier`] or every problem found,
//! each with file, line, column, offending text and remedy.
//! Not here: the disk (`store`); computing anything; drawing; the clock.

mod by_text;
mod bytes;
mod check;
mod claim;
mod content;
mod cost;
mod count;
mod dossier;
mod draft;
mod edit;
mod files;
mod film;
mod film_time;
mod form;
mod grammar;
mod item;
mod layout;
mod link;
mod log;
pub mod marking;
mod moment;
#[cfg(test)]
mod page;
mod photo;
mod place;
mod problem;
mod product;
mod read;
mod reading;
mod recording;
mod repair;
mod schema;
mod sentence;
mod source;
mod starter;
mod step;
mod step_words;
mod synonyms;
mod tree;
mod upgrade;
mod visible;
mod withhold;
mod write;

pub use bytes::{LARGEST, text_of};
pub use claim::{Claim, ClaimKind, Lead, Scope, Subject};
pub use content::{Content, LOOKED_AT, content_of};
pub use cost::{CostAsked, ExchangeRate, ItemPrice, PriceConfidence};
pub use count::Count;
pub use dossier::Dossier;
pub use draft::{Draft, Missing, State, Values};
pub use edit::{Applied, Edit, EditError, Mark, NewName, Position, Splice, Tie};
pub use files::{AnyFile, Files, PathState, refuse_path};
pub use film::{CaptionRuling, Clip, Cut, Film, PastRuling, Pronunciation};
pub use film_time::{FilmTime, FilmTimeError};
pub use form::{
    Field, Form, Shape, Unfit, field_at, forms, id_of, key_meant_in, keys_at, product_form,
};
pub use item::{
    CellCondition, CellFacts, Certainty, Fastener, Identity, Item, ItemKind, PartFacts, Protection,
    ProvidesOrigin, RoleOrigin,
};
pub use link::{Contact, ContactKind, Conversion, ConversionKind, Link, LinkKind, Load, Mode};
pub use log::{
    Log, LogColumn, LogColumns, LogDecimal, LogDelimiter, LogKind, LogSeat, LogSign, LogStart,
    LogTime, LogTimeForm,
};
pub use moment::{Moment, MomentError};
pub use photo::{
    MeasureSubject, ON_A_SIDE, Photo, PhotoCamera, PhotoMeasure, Reference, ReferenceShape, Region,
    ScaleReference,
};
pub use place::{Evidence, Note, Place, PlaceError, RecordPlaces, TextPlaces, Thing};
pub use problem::{Problem, Problems};
pub use product::{Accessory, Disclosure, Identifier, LabelText, Price, Product, Sample};
pub use read::{FORMAT, read_text};
pub use reading::{Correlation, Instrument, Reading, ReadingSubject};
pub use recording::{Heard, Recording, RecordingKind, Switched};
pub use repair::{
    BatteryExemption, Environment, Renewal, RepairAsked, RepairAudience, RepairFact,
    RepairFactKind, RepairProduct, Skill, SpareClass, ToolClass, YesNo,
};
pub use schema::schema;
pub use sentence::{Open, Proposal, read_sentence};
pub use starter::{starter, starter_of};
pub use step::{Action, Hazard, Step, Undo};
pub use step_words::{StepProposal, read_step};
pub use synonyms::entry_meant;
pub use upgrade::upgrade;
pub use visible::{steers, visible, visible_lines};
pub use withhold::{Private, WITHHELD};

#[cfg(test)]
mod tests;
