//! Dossiers that come into a library: new, or with the history that they had elsewhere.
//!
//! In: texts with their revisions, files whose bytes were kept before. Out: a dossier.
//! Not here: where they come from (folders and archives are read by the use cases).

use crate::keeper::NewDossier;
use crate::library::{FILE, whole_micros};
use crate::{DossierId, FileEntry, Held, Library, LibraryError, Origin, Paths, Revision};
use jiff::Timestamp;
use record::{Draft, read_text};

/// Revisions, from the latest back, that are taken back to see whether the text before them comes out.
pub(crate) const TAKEN_BACK: usize = 20;

impl Library {
    /// Keeps a dossier with the history that it had elsewhere: revisions from number 1 on with the texts after them,
    /// and files that were kept with [`Library::keep`].
    ///
    /// # Errors
    /// Mistakes in the last text; paths that cannot lie together; a history that does not hold together.
    pub async fn bring(
        &self,
        mut history: Vec<(Revision, String)>,
        files: Vec<FileEntry>,
        at: Timestamp,
    ) -> Result<DossierId, LibraryError> {
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
        };
        self.keeper.create(&new).await?;
        Ok(id)
    }
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
