//! The library: rows and photographs together, and the only way in.

use crate::digest::sha256;
use crate::keeper::{Head, Keeper, Which};
use crate::objects::{Objects, Stored};
use crate::{
    Brought, DossierId, FileEntry, Held, LibraryError, Memory, Paths, Person, Revision, Submission,
    Taken, Untaken, take,
};
use bytes::Bytes;
use jiff::Timestamp;
use object_store::ObjectStore;
use object_store::memory::InMemory;
use record::{Dossier, read_text};
use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

/// Many dossiers. Clones are the same library.
#[derive(Clone)]
pub struct Library {
    pub(crate) keeper: Arc<dyn Keeper>,
    pub(crate) objects: Arc<dyn Objects>,
    one: bool,
    /// One turn a dossier: lists of this program wait here instead of meeting in the keeper.
    turns: Arc<Mutex<HashMap<DossierId, Arc<tokio::sync::Mutex<()>>>>>,
}

/// A dossier as it is now.
#[derive(Debug, Clone)]
pub struct Current {
    /// Number of the latest revision.
    pub revision: u64,
    /// Its text.
    pub text: String,
    /// The files beside it.
    pub files: Held,
}

impl Current {
    /// Reads the text.
    ///
    /// # Errors
    /// Its mistakes; a library takes no text that has any, but one kept by another version may.
    pub fn dossier(&self) -> Result<Dossier, LibraryError> {
        Ok(read_text(&self.text, FILE, &self.files)?)
    }
}

/// Lists of edits that were taken, and the dossier after them.
#[derive(Debug, Clone)]
pub struct Saved {
    /// What is answered.
    pub taken: Taken,
    /// The dossier that the last list made, with what was read of it: nothing has to be read again. Nothing where no
    /// list made a revision.
    pub after: Option<(Current, Dossier)>,
}

impl Saved {
    /// Puts them together. What was checked belongs to the revision it is numbered with; another program may have saved
    /// a later one between two lists.
    pub(crate) fn of(taken: Taken, current: Current, checked: Option<(u64, Dossier)>) -> Self {
        let checked = checked.filter(|(revision, _)| *revision == current.revision);
        let after = checked.map(|(_, dossier)| (current, dossier));
        Self { taken, after }
    }
}

/// What a text is called in messages.
pub(crate) const FILE: &str = "dossier.toml";

impl Library {
    /// Makes a library of a keeper and an object store.
    pub fn of(keeper: Arc<dyn Keeper>, objects: Arc<dyn ObjectStore>) -> Self {
        Self::with(keeper, Arc::new(Stored(objects)), false)
    }

    /// Makes a library of one dossier that stays where it is.
    pub(crate) fn of_one(keeper: Arc<dyn Keeper>, objects: Arc<dyn Objects>) -> Self {
        Self::with(keeper, objects, true)
    }

    fn with(keeper: Arc<dyn Keeper>, objects: Arc<dyn Objects>, one: bool) -> Self {
        let turns = Arc::default();
        Self {
            keeper,
            objects,
            one,
            turns,
        }
    }

    /// Whether it is one dossier in its own folder; it takes no other.
    pub fn holds_one(&self) -> bool {
        self.one
    }

    /// Makes an empty library in memory, gone with the program.
    pub fn in_memory() -> Self {
        Self::of(Arc::new(Memory::default()), Arc::new(InMemory::new()))
    }

    /// Keeps a new dossier: a text that reads and the files beside it, by path.
    ///
    /// # Errors
    /// Mistakes in the text; what cannot be kept.
    pub async fn create(
        &self,
        text: &str,
        files: Vec<(String, Bytes)>,
        by: &Person,
        at: Timestamp,
    ) -> Result<DossierId, LibraryError> {
        let mut entries = Vec::new();
        for (path, bytes) in files {
            entries.push(self.keep(&path, bytes).await?);
        }
        let first = Revision::first(by.clone(), at);
        let brought = Brought {
            history: vec![(first, text.to_string())],
            files: entries,
            publications: Vec::new(),
        };
        self.bring(brought, at).await
    }

    /// Lists dossiers, the one changed last first.
    ///
    /// # Errors
    /// Where the library cannot be reached.
    pub async fn heads(&self, which: Which) -> Result<Vec<Head>, LibraryError> {
        self.keeper.heads(which, usize::MAX).await
    }

    /// Lists the dossiers changed last, at most so many, as [`Library::heads`].
    ///
    /// # Errors
    /// Where the library cannot be reached.
    pub async fn latest(&self, which: Which, most: usize) -> Result<Vec<Head>, LibraryError> {
        self.keeper.heads(which, most).await
    }

    /// Counts dossiers, without reading them.
    ///
    /// # Errors
    /// Where the library cannot be reached.
    pub async fn count(&self, which: Which) -> Result<usize, LibraryError> {
        self.keeper.count(which).await
    }

    /// Returns what a list shows of one dossier.
    ///
    /// # Errors
    /// No such dossier.
    pub async fn head(&self, id: &DossierId) -> Result<Head, LibraryError> {
        let head = self.keeper.head(id).await?;
        head.ok_or_else(|| LibraryError::NoDossier(id.clone()))
    }

    /// Returns a dossier as it is now.
    ///
    /// # Errors
    /// No such dossier.
    pub async fn current(&self, id: &DossierId) -> Result<Current, LibraryError> {
        let current = self.keeper.current(id).await?;
        let (revision, text) = current.ok_or_else(|| LibraryError::NoDossier(id.clone()))?;
        let files = Held(self.keeper.files(id).await?);
        Ok(Current {
            revision,
            text,
            files,
        })
    }

    /// Returns a revision and the text after it.
    ///
    /// # Errors
    /// No such dossier or revision.
    pub async fn revision(
        &self,
        id: &DossierId,
        number: u64,
    ) -> Result<(Revision, String), LibraryError> {
        let found = self.keeper.revision(id, number).await?;
        found.ok_or_else(|| LibraryError::NoRevision {
            dossier: id.clone(),
            revision: number,
        })
    }

    /// Lists at most `most` revisions, newest first, those before `before` only.
    ///
    /// # Errors
    /// No such dossier.
    pub async fn history(
        &self,
        id: &DossierId,
        before: Option<u64>,
        most: usize,
    ) -> Result<Vec<Revision>, LibraryError> {
        self.keeper.history(id, before, most).await
    }

    /// Lists what was not taken, newest first.
    ///
    /// # Errors
    /// No such dossier.
    pub async fn untaken(&self, id: &DossierId) -> Result<Vec<Untaken>, LibraryError> {
        self.keeper.untaken(id).await
    }

    /// Takes lists of edits in their order: each whole or not at all, each once however often it is sent.
    ///
    /// # Errors
    /// Where nothing can be said of them: no such dossier, a library that cannot be reached or is full. What was
    /// answered before the failure is kept, and is answered the same when the lists are sent again.
    pub async fn take(
        &self,
        id: &DossierId,
        submission: &Submission,
        by: &Person,
        at: Timestamp,
    ) -> Result<Taken, LibraryError> {
        Ok(self.save(id, submission, by, at).await?.taken)
    }

    /// As [`Library::take`], with the dossier that comes of it.
    ///
    /// # Errors
    /// As [`Library::take`].
    pub async fn save(
        &self,
        id: &DossierId,
        submission: &Submission,
        by: &Person,
        at: Timestamp,
    ) -> Result<Saved, LibraryError> {
        let at = whole_micros(at);
        let turn = self.turn(id);
        let _turn = turn.lock().await;
        take::take(self, id, submission, by, at).await
    }

    /// Withdraws a dossier, or brings it back. Nothing of it is lost.
    ///
    /// # Errors
    /// No such dossier.
    pub async fn withdraw(
        &self,
        id: &DossierId,
        withdrawn: bool,
        at: Timestamp,
    ) -> Result<(), LibraryError> {
        self.keeper.withdraw(id, withdrawn, whole_micros(at)).await
    }

    /// Keeps a file of a dossier. The same bytes under the same path change nothing.
    ///
    /// # Errors
    /// Another file of that path, or of one that is the same on some systems; a path that leads outside; no room.
    pub async fn add_file(
        &self,
        id: &DossierId,
        path: &str,
        bytes: Bytes,
    ) -> Result<FileEntry, LibraryError> {
        let turn = self.turn(id);
        let _turn = turn.lock().await;
        let there = self.keeper.files(id).await?;
        if there.iter().all(|file| file.path != path) {
            let mut paths = Paths::default();
            there.iter().try_for_each(|file| paths.take(&file.path))?;
            paths.take(path)?;
        }
        let entry = self.put(path, bytes).await?;
        self.keeper.add_file(id, &entry).await?;
        Ok(entry)
    }

    /// Lists the files of a dossier by path.
    ///
    /// # Errors
    /// No such dossier.
    pub async fn files(&self, id: &DossierId) -> Result<Vec<FileEntry>, LibraryError> {
        self.keeper.files(id).await
    }

    /// Returns the bytes of a file.
    ///
    /// # Errors
    /// No such file; bytes that are no longer those that were kept.
    pub async fn bytes(&self, id: &DossierId, path: &str) -> Result<Bytes, LibraryError> {
        let files = self.keeper.files(id).await?;
        let entry = files.iter().find(|file| file.path == path);
        let entry = entry.ok_or_else(|| LibraryError::NoFile {
            dossier: id.clone(),
            path: path.to_string(),
        })?;
        self.object(&entry.sha256).await
    }

    /// Returns the bytes of this digest.
    ///
    /// # Errors
    /// None of that digest; bytes that are no longer those that were kept.
    pub async fn object(&self, digest: &str) -> Result<Bytes, LibraryError> {
        object_in(&*self.objects, digest).await
    }

    /// Keeps bytes that a dossier is to be brought with, once however often.
    ///
    /// # Errors
    /// No room; a library that takes no other dossier.
    pub async fn keep(&self, path: &str, bytes: Bytes) -> Result<FileEntry, LibraryError> {
        if self.one {
            return Err(LibraryError::OneOnly);
        }
        self.put(path, bytes).await
    }

    /// Ends what is open, so that the folder can be moved or copied; nothing is asked of the library afterwards.
    pub async fn close(&self) {
        self.keeper.close().await;
    }

    /// Puts bytes where they are kept, once however often. Damaged ones are mended by it.
    async fn put(&self, path: &str, bytes: Bytes) -> Result<FileEntry, LibraryError> {
        put_in(&*self.objects, path, bytes).await
    }

    /// Puts bytes that are no file of a dossier where they are kept, once however often.
    pub(crate) async fn put_aside(
        &self,
        path: &str,
        bytes: Bytes,
    ) -> Result<FileEntry, LibraryError> {
        match self.objects.aside() {
            None => self.put(path, bytes).await,
            Some(aside) => put_in(aside, path, bytes).await,
        }
    }

    fn turn(&self, id: &DossierId) -> Arc<tokio::sync::Mutex<()>> {
        let mut turns = self.turns.lock().unwrap_or_else(PoisonError::into_inner);
        Arc::clone(turns.entry(id.clone()).or_default())
    }
}

/// Times are kept to the microsecond.
pub(crate) fn whole_micros(at: Timestamp) -> Timestamp {
    Timestamp::from_microsecond(at.as_microsecond())
        .expect("a time rounded towards the middle is one")
}

/// Puts bytes, once however often; damaged ones are mended by it.
async fn put_in(
    objects: &dyn Objects,
    path: &str,
    bytes: Bytes,
) -> Result<FileEntry, LibraryError> {
    let entry = FileEntry::of(path, &bytes);
    if objects.put_new(&entry, &bytes).await? {
        return Ok(entry);
    }
    match object_in(objects, &entry.sha256).await {
        Ok(_) => {}
        Err(LibraryError::Damaged(_)) => objects.put_over(&entry, &bytes).await?,
        Err(error) => return Err(error),
    }
    Ok(entry)
}

/// Returns the bytes of a digest, which must be those that were kept.
async fn object_in(objects: &dyn Objects, digest: &str) -> Result<Bytes, LibraryError> {
    let Some(bytes) = objects.get(digest).await? else {
        let text = format!("the file with the digest {digest} is missing");
        return Err(LibraryError::Damaged(text));
    };
    if sha256(&bytes) != digest {
        let text = format!("the file kept with the digest {digest} is another");
        return Err(LibraryError::Damaged(text));
    }
    Ok(bytes)
}
