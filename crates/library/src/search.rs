//! Finding things in a library: what is indexed of a dossier, what is asked, what is found.
//!
//! In: [`Indexed`], plain data about one revision of a dossier; a [`Find`]. Out: [`Found`], best first, stable.
//! Not here: what a dossier's findings are (whoever makes the [`Indexed`]); tables (`rows::search`).
//!
//! What is found is decided by plain functions (`judge`) alone. The keeper in memory asks them about every dossier;
//! tables only narrow down which dossiers they are asked about, and may name too many but never too few.

mod across;
mod compared;
mod fold;
mod found;
mod indexed;
mod judge;
mod library;
mod memory;
mod pattern;
mod read;
mod wanted;

pub use compared::{
    Across, AcrossAnswer, Begun, Beside, Compared, Dot, Peer, PeerFacts, Peers, PeersMark, Supplied,
    Whole,
};
pub use found::{Found, Hit, Matched};
pub use indexed::{FigureRange, Indexed, Part, Thing, ThingKind, Verdicts};
pub use read::FindError;
pub use wanted::{Counted, Find, Judged, Ranged};

pub(crate) use compared::{DOTS, SHOWN, begun};
pub(crate) use fold::{key, name_words};
pub(crate) use found::hit;
pub(crate) use judge::{Columns, NAMED, TIERS, Tier, held, names, rests_on, tier};
pub(crate) use memory::Filed;
pub(crate) use pattern::{Heads, Pattern};

use crate::{DossierId, LibraryError};
use async_trait::async_trait;

/// What a keeper does for finding. Each function is one transaction.
#[async_trait]
pub trait Index: Send + Sync + 'static {
    /// Keeps what is indexed of a dossier in place of what was. Anything of an earlier revision than that is dropped.
    async fn index(&self, id: &DossierId, indexed: &Indexed) -> Result<(), LibraryError>;

    /// Finds dossiers and what in them was asked for.
    async fn find(&self, find: &Find) -> Result<Found, LibraryError>;

    /// Lists dossiers of which a later revision than the one indexed is kept, the one changed first first.
    async fn behind(&self) -> Result<Vec<DossierId>, LibraryError>;

    /// Finds dossiers that hold a part of exactly this name, or by exactly this maker.
    async fn holding(&self, held: &Holding, most: usize) -> Result<Found, LibraryError>;

    /// Returns the products beside one.
    async fn peers(&self, beside: &Beside) -> Result<Peers, LibraryError>;

    /// Returns what changes whenever [`Index::peers`] may answer otherwise.
    async fn peers_mark(&self, id: &DossierId) -> Result<PeersMark, LibraryError>;

    /// Answers a question across products.
    async fn across(&self, asked: &Across) -> Result<AcrossAnswer, LibraryError>;

    /// Lists dossiers whose findings rest on a part of one of these names, or may: a marking in them could be read as
    /// one. In the order of their ids.
    async fn touched_by(&self, names: &[String]) -> Result<Vec<DossierId>, LibraryError>;
}

/// What a dossier is to hold, as a whole name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Holding {
    /// A part of this name.
    Part(String),
    /// A part by this maker.
    Maker(String),
}
