//! A library in memory: the model that engines are compared with, and a bench for tests.

mod people;

use crate::keeper::{Appended, Head, Keeper, NewDossier, NewRevision, Outcome, Which};
use crate::search::Filed;
use crate::{
    ClientId, DossierId, FileEntry, LeavingOut, LibraryError, ListAnswer, ListState, Origin,
    Person, Publication, Revision, Untaken,
};
use async_trait::async_trait;
use jiff::Timestamp;
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Rows held in memory, gone with the program.
#[derive(Debug, Default)]
pub struct Memory {
    rows: Mutex<BTreeMap<DossierId, Rows>>,
    people: Mutex<people::Enrolment>,
}

#[derive(Debug)]
pub(crate) struct Rows {
    pub(crate) head: Head,
    /// What is indexed of it.
    pub(crate) filed: Option<Filed>,
    revisions: Vec<(Revision, String)>,
    answers: BTreeMap<(ClientId, u64), ListAnswer>,
    untaken: Vec<Untaken>,
    files: BTreeMap<String, FileEntry>,
    pub(crate) publications: Vec<Publication>,
    leaving_out: Option<LeavingOut>,
}

impl Memory {
    pub(crate) fn rows(&self) -> MutexGuard<'_, BTreeMap<DossierId, Rows>> {
        // Each function changes rows in one go after everything that can fail.
        self.rows.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn of<T>(&self, id: &DossierId, read: impl FnOnce(&mut Rows) -> T) -> Result<T, LibraryError> {
        let mut rows = self.rows();
        let rows = rows.get_mut(id);
        rows.map(read)
            .ok_or_else(|| LibraryError::NoDossier(id.clone()))
    }
}

#[async_trait]
impl Keeper for Memory {
    async fn create(&self, new: &NewDossier) -> Result<(), LibraryError> {
        let (first, last) = new.ends()?;
        let head = Head {
            id: new.id.clone(),
            name: new.name.clone(),
            maker: new.maker.clone(),
            revision: last.number,
            made: first.at,
            changed: new.at,
            withdrawn: false,
        };
        let files = new
            .files
            .iter()
            .map(|file| (file.path.clone(), file.clone()));
        let rows = Rows {
            head,
            filed: None,
            revisions: new.history.clone(),
            answers: BTreeMap::new(),
            untaken: Vec::new(),
            files: files.collect(),
            publications: new.publications.clone(),
            leaving_out: None,
        };
        self.rows().insert(new.id.clone(), rows);
        Ok(())
    }

    async fn heads(&self, which: Which, most: usize) -> Result<Vec<Head>, LibraryError> {
        let rows = self.rows();
        let heads = rows.values().map(|rows| &rows.head);
        let wanted = heads.filter(|head| head.withdrawn == (which == Which::Withdrawn));
        let mut heads: Vec<Head> = wanted.cloned().collect();
        heads.sort_by(|a, b| b.changed.cmp(&a.changed).then_with(|| a.id.cmp(&b.id)));
        heads.truncate(most);
        Ok(heads)
    }

    async fn count(&self, which: Which) -> Result<usize, LibraryError> {
        let rows = self.rows();
        let wanted = |rows: &&Rows| rows.head.withdrawn == (which == Which::Withdrawn);
        Ok(rows.values().filter(wanted).count())
    }

    async fn head(&self, id: &DossierId) -> Result<Option<Head>, LibraryError> {
        Ok(self.rows().get(id).map(|rows| rows.head.clone()))
    }

    async fn current(&self, id: &DossierId) -> Result<Option<(u64, String)>, LibraryError> {
        let rows = self.rows();
        let last = rows.get(id).and_then(|rows| rows.revisions.last());
        Ok(last.map(|(revision, text)| (revision.number, text.clone())))
    }

    async fn revision(
        &self,
        id: &DossierId,
        number: u64,
    ) -> Result<Option<(Revision, String)>, LibraryError> {
        self.of(id, |rows| {
            let mut all = rows.revisions.iter();
            all.find(|(revision, _)| revision.number == number).cloned()
        })
    }

    async fn history(
        &self,
        id: &DossierId,
        before: Option<u64>,
        most: usize,
    ) -> Result<Vec<Revision>, LibraryError> {
        self.of(id, |rows| {
            let all = rows.revisions.iter().rev().map(|(revision, _)| revision);
            let wanted =
                all.filter(|revision| before.is_none_or(|before| revision.number < before));
            wanted.take(most).cloned().collect()
        })
    }

    async fn untaken(&self, id: &DossierId) -> Result<Vec<Untaken>, LibraryError> {
        self.of(id, |rows| rows.untaken.iter().rev().cloned().collect())
    }

    async fn last_seq(
        &self,
        id: &DossierId,
        client: &ClientId,
    ) -> Result<Option<u64>, LibraryError> {
        self.of(id, |rows| {
            let numbers = rows.answers.keys().filter(|(of, _)| of == client);
            numbers.map(|(_, seq)| *seq).max()
        })
    }

    async fn answered(
        &self,
        id: &DossierId,
        client: &ClientId,
        seq: u64,
    ) -> Result<Option<ListAnswer>, LibraryError> {
        self.of(id, |rows| rows.answers.get(&(client.clone(), seq)).cloned())
    }

    async fn append(
        &self,
        id: &DossierId,
        after: u64,
        outcome: &Outcome,
    ) -> Result<Appended, LibraryError> {
        self.of(id, |rows| {
            if rows.head.revision != after {
                return Appended::Behind;
            }
            if let Some(new) = &outcome.revision {
                rows.revisions
                    .push((revision(outcome, new), new.text.clone()));
                rows.head.revision = new.number;
                rows.head.name.clone_from(&new.name);
                rows.head.maker.clone_from(&new.maker);
                rows.head.changed = outcome.at;
            }
            let key = (outcome.client.clone(), outcome.list.seq);
            rows.answers.insert(key, outcome.answer.clone());
            if let ListState::Refused { why } = &outcome.answer.state {
                rows.untaken.push(Untaken {
                    at: outcome.at,
                    by: outcome.by.clone(),
                    client: outcome.client.clone(),
                    list: outcome.list.clone(),
                    why: why.clone(),
                });
            }
            Appended::Kept
        })
    }

    async fn withdraw(
        &self,
        id: &DossierId,
        withdrawn: bool,
        at: Timestamp,
    ) -> Result<(), LibraryError> {
        self.of(id, |rows| {
            rows.head.withdrawn = withdrawn;
            rows.head.changed = at;
        })
    }

    async fn add_file(&self, id: &DossierId, file: &FileEntry) -> Result<(), LibraryError> {
        self.of(id, |rows| match rows.files.get(&file.path) {
            Some(there) if there.sha256 != file.sha256 => Err(LibraryError::Taken {
                dossier: id.clone(),
                path: file.path.clone(),
            }),
            _ => {
                rows.files.insert(file.path.clone(), file.clone());
                Ok(())
            }
        })?
    }

    async fn files(&self, id: &DossierId) -> Result<Vec<FileEntry>, LibraryError> {
        self.of(id, |rows| rows.files.values().cloned().collect())
    }

    async fn publish(&self, id: &DossierId, new: &Publication) -> Result<bool, LibraryError> {
        self.of(id, |rows| {
            let next = rows.publications.len() as u64 + 1 == new.version;
            if next {
                rows.publications.push(new.clone());
            }
            next
        })
    }

    async fn publications(&self, id: &DossierId) -> Result<Vec<Publication>, LibraryError> {
        self.of(id, |rows| rows.publications.clone())
    }

    async fn leave_out(
        &self,
        id: &DossierId,
        what: &LeavingOut,
        _: &Person,
        _: Timestamp,
    ) -> Result<(), LibraryError> {
        self.of(id, |rows| rows.leaving_out = Some(what.clone()))
    }

    async fn leaving_out(&self, id: &DossierId) -> Result<Option<LeavingOut>, LibraryError> {
        self.of(id, |rows| rows.leaving_out.clone())
    }

    async fn answers(&self, id: &DossierId) -> Result<Vec<ListAnswer>, LibraryError> {
        self.of(id, |rows| rows.answers.values().cloned().collect())
    }

    async fn damage(&self) -> Result<Vec<String>, LibraryError> {
        Ok(Vec::new())
    }

    async fn copy_rows(&self, _: &Path) -> Result<(), LibraryError> {
        Err(LibraryError::NoCopy("a library in memory"))
    }

    async fn close(&self) {}
}

/// Returns the revision that an outcome makes.
pub(crate) fn revision(outcome: &Outcome, new: &NewRevision) -> Revision {
    Revision {
        number: new.number,
        at: outcome.at,
        by: outcome.by.clone(),
        origin: Origin::Here,
        client: Some(outcome.client.clone()),
        group: outcome.list.group.clone(),
        undoes: outcome.list.undo,
        edits: outcome.list.edits.clone(),
        inverse: new.inverse.clone(),
    }
}
