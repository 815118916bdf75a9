//! Finding, asked of a library.

use super::{Find, Found, Holding, Indexed};
use crate::{DossierId, Library, LibraryError};

/// Most hits that one question returns, those passed over included.
const MOST: usize = 1000;

impl Library {
    /// Keeps what is indexed of a dossier in place of what was. Anything of an earlier revision than that is dropped,
    /// so it does not matter in which order several are done.
    ///
    /// # Errors
    /// No such dossier; no room.
    pub async fn index(&self, id: &DossierId, indexed: &Indexed) -> Result<(), LibraryError> {
        self.keeper.index(id, indexed).await
    }

    /// Finds dossiers in use and what in them was asked for: those whose product is called so first, then those with
    /// whole words before beginnings, and among equals the one indexed last. At most a thousand, those passed over
    /// included.
    ///
    /// # Errors
    /// Where the library cannot be reached.
    pub async fn find(&self, find: &Find) -> Result<Found, LibraryError> {
        let mut find = find.clone();
        find.from = find.from.min(MOST);
        find.most = find.most.min(MOST - find.from);
        self.keeper.find(&find).await
    }

    /// Lists dossiers of which a later revision than the one indexed is kept, the one changed first first. A library
    /// that was not ended properly tells here what is left to do.
    ///
    /// # Errors
    /// Where the library cannot be reached.
    pub async fn behind(&self) -> Result<Vec<DossierId>, LibraryError> {
        self.keeper.behind().await
    }

    /// Finds the dossiers in which a part was decided to be this one, the one indexed last first.
    ///
    /// # Errors
    /// Where the library cannot be reached.
    pub async fn with_part(&self, name: &str, most: usize) -> Result<Found, LibraryError> {
        let part = Holding::Part(name.to_string());
        self.keeper.holding(&part, most.min(MOST)).await
    }

    /// Finds the dossiers that hold a part by this maker, the one indexed last first.
    ///
    /// # Errors
    /// Where the library cannot be reached.
    pub async fn with_maker(&self, name: &str, most: usize) -> Result<Found, LibraryError> {
        let maker = Holding::Maker(name.to_string());
        self.keeper.holding(&maker, most.min(MOST)).await
    }

    /// Lists the dossiers that a changed entry of a catalogue may touch: one of the names (part numbers and top-marking
    /// codes, those before the change and those after it) is an identity in them or a candidate of their findings, or
    /// a marking that was seen may be read as it. Withdrawn dossiers are among them.
    ///
    /// # Errors
    /// Where the library cannot be reached.
    pub async fn touched_by(&self, names: &[String]) -> Result<Vec<DossierId>, LibraryError> {
        self.keeper.touched_by(names).await
    }
}
