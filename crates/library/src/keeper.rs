//! What holds the rows of a library: the one interface of every engine.
//!
//! A keeper decides nothing. Each function is one transaction: done whole, or not at all, and durable when it returns.

use crate::{
    ClientId, DossierId, EditList, FileEntry, Index, LeavingOut, LibraryError, ListAnswer, People,
    Person, Publication, Revision, Untaken,
};
use async_trait::async_trait;
use jiff::Timestamp;
use serde::Serialize;
use std::path::Path;

/// What a list of dossiers shows of one.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Head {
    /// The dossier.
    pub id: DossierId,
    /// Name of the product.
    pub name: String,
    /// Its maker.
    pub maker: String,
    /// Number of the latest revision.
    pub revision: u64,
    /// When it was made.
    pub made: Timestamp,
    /// When it was changed last.
    pub changed: Timestamp,
    /// Whether it is withdrawn: kept, but out of the way.
    pub withdrawn: bool,
}

/// Which dossiers of a library are listed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Which {
    /// Those in use.
    Present,
    /// Those withdrawn.
    Withdrawn,
}

/// A dossier that is new in a library.
#[derive(Debug, Clone)]
pub struct NewDossier {
    /// Its id.
    pub id: DossierId,
    /// Its revisions with the texts after them, from number 1 on; there is one at least.
    pub history: Vec<(Revision, String)>,
    /// Name of the product in the last text.
    pub name: String,
    /// Maker in it.
    pub maker: String,
    /// When it comes into the library.
    pub at: Timestamp,
    /// Its files, whose bytes lie in the object store already.
    pub files: Vec<FileEntry>,
    /// What was published of it, from version 1 on.
    pub publications: Vec<Publication>,
}

impl NewDossier {
    /// Returns the first and the last revision.
    ///
    /// # Errors
    /// Where there is none.
    pub(crate) fn ends(&self) -> Result<(&Revision, &Revision), LibraryError> {
        match (self.history.first(), self.history.last()) {
            (Some((first, _)), Some((last, _))) => Ok((first, last)),
            _ => Err(LibraryError::Damaged("a history without revisions".into())),
        }
    }
}

/// What came of a list of edits, to be kept.
#[derive(Debug, Clone)]
pub struct Outcome {
    /// The window that sent it.
    pub client: ClientId,
    /// Who.
    pub by: Person,
    /// When.
    pub at: Timestamp,
    /// The list as sent.
    pub list: EditList,
    /// What is answered, now and whenever it is sent again.
    pub answer: ListAnswer,
    /// The revision that it makes, if it makes one.
    pub revision: Option<NewRevision>,
}

/// The part of a new revision that is not in the list.
#[derive(Debug, Clone)]
pub struct NewRevision {
    /// Its number: one more than the latest.
    pub number: u64,
    /// What takes it back.
    pub inverse: Vec<record::Edit>,
    /// The text after it.
    pub text: String,
    /// Name of the product in it.
    pub name: String,
    /// Maker in it.
    pub maker: String,
}

/// Whether an outcome was kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Appended {
    /// It is durable.
    Kept,
    /// The latest revision is no longer the one it was made for; nothing was written.
    Behind,
}

/// Holds the rows of a library.
#[async_trait]
pub trait Keeper: Index + People {
    /// Keeps a new dossier with its first revision.
    async fn create(&self, new: &NewDossier) -> Result<(), LibraryError>;

    /// Lists dossiers, the one changed last first, at most so many.
    async fn heads(&self, which: Which, most: usize) -> Result<Vec<Head>, LibraryError>;

    /// Counts dossiers.
    async fn count(&self, which: Which) -> Result<usize, LibraryError>;

    /// Returns what a list would show of one dossier, withdrawn or not.
    async fn head(&self, id: &DossierId) -> Result<Option<Head>, LibraryError>;

    /// Returns the latest revision's number and text.
    async fn current(&self, id: &DossierId) -> Result<Option<(u64, String)>, LibraryError>;

    /// Returns a revision and the text after it.
    async fn revision(
        &self,
        id: &DossierId,
        number: u64,
    ) -> Result<Option<(Revision, String)>, LibraryError>;

    /// Lists at most `most` revisions, newest first, those before `before` only.
    async fn history(
        &self,
        id: &DossierId,
        before: Option<u64>,
        most: usize,
    ) -> Result<Vec<Revision>, LibraryError>;

    /// Lists what was not taken, newest first.
    async fn untaken(&self, id: &DossierId) -> Result<Vec<Untaken>, LibraryError>;

    /// Returns the number of the last list of a window that was answered.
    async fn last_seq(
        &self,
        id: &DossierId,
        client: &ClientId,
    ) -> Result<Option<u64>, LibraryError>;

    /// Returns what was answered to a list.
    async fn answered(
        &self,
        id: &DossierId,
        client: &ClientId,
        seq: u64,
    ) -> Result<Option<ListAnswer>, LibraryError>;

    /// Keeps the outcome of a list, if the latest revision is still `after`.
    async fn append(
        &self,
        id: &DossierId,
        after: u64,
        outcome: &Outcome,
    ) -> Result<Appended, LibraryError>;

    /// Withdraws a dossier, or brings it back.
    async fn withdraw(
        &self,
        id: &DossierId,
        withdrawn: bool,
        at: Timestamp,
    ) -> Result<(), LibraryError>;

    /// Notes a file of a dossier, whose bytes lie in the object store already. The same entry again changes nothing.
    ///
    /// # Errors
    /// [`LibraryError::Taken`] where the path holds other bytes.
    async fn add_file(&self, id: &DossierId, file: &FileEntry) -> Result<(), LibraryError>;

    /// Lists the files of a dossier by path.
    async fn files(&self, id: &DossierId) -> Result<Vec<FileEntry>, LibraryError>;

    /// Keeps a publication, if its version is one more than the last; tells whether it was.
    async fn publish(&self, id: &DossierId, new: &Publication) -> Result<bool, LibraryError>;

    /// Lists the publications, the first version first.
    async fn publications(&self, id: &DossierId) -> Result<Vec<Publication>, LibraryError>;

    /// Keeps what is left out of the next publication.
    async fn leave_out(
        &self,
        id: &DossierId,
        what: &LeavingOut,
        by: &Person,
        at: Timestamp,
    ) -> Result<(), LibraryError>;

    /// Returns what is left out of the next publication, where anything was said of it.
    async fn leaving_out(&self, id: &DossierId) -> Result<Option<LeavingOut>, LibraryError>;

    /// Lists all that was answered, by window and number.
    async fn answers(&self, id: &DossierId) -> Result<Vec<ListAnswer>, LibraryError>;

    /// Looks through the rows by the engine's own means and returns what is damaged.
    async fn damage(&self) -> Result<Vec<String>, LibraryError>;

    /// Copies all rows, as they are at one moment, to a new SQLite file.
    ///
    /// # Errors
    /// [`LibraryError::NoCopy`] where there is nothing to copy from.
    async fn copy_rows(&self, file: &Path) -> Result<(), LibraryError>;

    /// Ends what is open; nothing is asked of it afterwards.
    async fn close(&self);
}
