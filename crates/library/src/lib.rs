//! Many dossiers: every save a revision, edits of several people merged, photographs addressed by content.
//!
//! In: edits as data, with who makes them and when. Out: what was kept, what was not and why; texts and histories.
//! Not here: what a dossier means (`record`), examining one (`methods`), pages and commands; a clock.
//!
//! A [`Keeper`] holds rows: in memory, in SQLite, in PostgreSQL. Photographs lie in an object store, each under the
//! SHA-256 of its bytes. A [`Library`] is both together, and the only way in: what a list of edits does is decided in
//! `take`, whatever holds the rows.

mod backup;
mod bring;
mod digest;
mod error;
mod files;
mod id;
mod keeper;
mod library;
mod memory;
mod objects;
mod open;
mod paths;
mod people;
mod publications;
mod revision;
mod rows;
mod search;
mod single;
mod take;
mod team;
mod together;
mod verify;

pub use bring::Brought;
pub use error::LibraryError;
pub use files::{FileEntry, Held};
pub use id::{ClientId, DossierId, IdFault, Person};
pub use keeper::{Appended, Head, Keeper, NewDossier, NewRevision, Outcome, Which};
pub use library::{Current, Library, Saved};
pub use memory::Memory;
pub use open::ROWS;
pub use paths::{PathFault, Paths};
pub use people::{Account, Enrolled, People, Role};
pub use publications::{LeavingOut, Publication};
pub use revision::{
    Answer, EditList, ListAnswer, ListState, Origin, Refusal, RefusalKind, Revision, Submission,
    Taken, Untaken,
};
pub use rows::Rows;
pub use search::{
    Across, AcrossAnswer, Begun, Beside, Compared, Counted, Dot, FigureRange, Find, FindError, Found, Hit, Holding, Index, Indexed, Judged, Matched,
    Part, Peer, PeerFacts, Peers, PeersMark, Ranged, Supplied, Thing, ThingKind, Verdicts, Whole,
};
#[cfg(feature = "team")]
pub use team::store_at;
pub use team::{StoreKey, TEAM};
pub use together::together;
pub use verify::{Damage, Verified};
