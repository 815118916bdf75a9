//! Dossiers that come into a library: new, or with the history that they had elsewhere.
//!
//! In: texts with their revisions, files whose bytes were kept before. Out: a dossier.
//! Not here: where they come from (folders and archives are read by the use cases).

use crate::keeper::NewDossier;
use crate::library::{FILE, whole_micros};
use crate::{
    DossierId, FileEntry, Held, Library, LibraryError, Origin, Paths, Publication, Revision,
};
use jiff::Timestamp;
use record::{Draft, read_text};

/// Revisions, from the latest back, that are taken back to see whether the text before them comes out.
pub(crate) const TAKEN_BACK: usize = 20;

/// A dossier with what it had elsewhere.
#[derive(Debug, Clone, Default)]
pub struct Brought {
    /// Revisions from number 1 on, with the texts after them.
    pub history: Vec<(Revision, String)>,
    /// Its files, whose bytes were kept with [`Library::keep`].
    pub files: Vec<FileEntry>,
    /// What was published of it, from version 1 on; the bytes were kept with [`Library::keep_published`].
    pub publications: Vec<Publication>,
}

impl Library {
    /// Keeps a dossier with the history that it had elsewhere.
    ///
    /// # Errors
    /// Mistakes in the last text; paths that cannot lie together; a history that does not hold together, or whose
    /// publications do not.
    pub async fn bring(&self, brought: Brought, at: Timestamp) -> Result<DossierId, LibraryError> {
        let Brought {
            mut history,
            files,
            mut publications,
        } = brought;
        let broken = |what: String| LibraryError::BrokenHistory(what);
        for (expected, (revision, _)) in (1..).zip(&mut history) {
            if revision.number != expected {
                let text = format!(
                    "revision {} stands where {expected} is due",
                    revision.number
                );
                return Err(broken(text));
            }
            revision.at = whole_micros(revision.at);
            if history_is_foreign(revision) {
                revision.origin = Origin::Imported;
            }
        }
        for (expected, publication) in (1..).zip(&mut publications) {
            published(publication, expected, &history).map_err(broken)?;
            publication.at = whole_micros(publication.at);
        }
        let Some((_, text)) = history.last() else {
            return Err(broken("it has no revision".into()));
        };
        let mut paths = Paths::default();
        files.iter().try_for_each(|file| paths.take(&file.path))?;
        let dossier = read_text(text, FILE, &Held(files.clone()))?;
        for pair in history.windows(2).rev().take(TAKEN_BACK) {
            let [(_, before), (revision, after)] = pair else {
                continue;
            };
            leads_back(revision, after, before).map_err(broken)?;
        }
        let id = DossierId::random().map_err(|e| LibraryError::Unreachable(e.to_string()))?;
        let new = NewDossier {
            id: id.clone(),
            history,
            name: dossier.product.name,
            maker: dossier.product.maker,
            at: whole_micros(at),
            files,
            publications,
        };
        self.keeper.create(&new).await?;
        Ok(id)
    }
}

/// Says why a publication cannot stand where it does, if it cannot.
fn published(
    publication: &Publication,
    expected: u64,
    history: &[(Revision, String)],
) -> Result<(), String> {
    let Publication {
        version, revision, ..
    } = publication;
    if *version != expected {
        return Err(format!(
            "publication {version} stands where {expected} is due"
        ));
    }
    let is_there = history.iter().any(|(there, _)| there.number == *revision);
    if !is_there {
        return Err(format!(
            "publication {version} is of revision {revision}, which is missing"
        ));
    }
    let mut paths = Paths::default();
    let mut files = publication.files.iter();
    let taken = files.try_for_each(|file| paths.take(&file.path));
    taken.map_err(|fault| format!("publication {version}: {fault}"))
}

/// A revision that was saved somewhere else says so; what was edited outside stays told as that.
fn history_is_foreign(revision: &Revision) -> bool {
    revision.origin == Origin::Here && revision.client.is_some()
}

/// Says why a revision's inverse edits do not give the text before it, if they do not. One without inverse edits came
/// from outside and cannot be taken back.
pub(crate) fn leads_back(revision: &Revision, after: &str, before: &str) -> Result<(), String> {
    if revision.inverse.is_empty() {
        return Ok(());
    }
    let number = revision.number;
    let mut draft = Draft::parse(after, FILE)
        .map_err(|_| format!("the text of revision {number} cannot be read"))?;
    for edit in &revision.inverse {
        draft
            .apply(edit)
            .map_err(|error| format!("revision {number} cannot be taken back: {error}"))?;
    }
    match draft.text() == before {
        true => Ok(()),
        false => Err(format!(
            "taking revision {number} back does not give the text before it"
        )),
    }
}
