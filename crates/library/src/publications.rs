//! What was published of a dossier, and what its publisher leaves out.
//!
//! In: a revision that was published, with the files that went out. Out: publications in their order, versions 1, 2, …
//! Not here: making a report; what was corrected (`app`). The files of a publication lie in the object store beside
//! those of dossiers; nothing of a publication ever changes.

use crate::library::whole_micros;
use crate::{DossierId, FileEntry, Library, LibraryError, Person};
use bytes::Bytes;
use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// A revision that was published.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Publication {
    /// Its number among the publications of the dossier, from 1.
    pub version: u64,
    /// The revision that was published.
    pub revision: u64,
    /// When.
    pub at: Timestamp,
    /// Who.
    pub by: Person,
    /// Why it was corrected, in the author's words.
    pub reason: Option<String>,
    /// Sum over the bundle that went out with it.
    pub fingerprint: Option<String>,
    /// The files that went out.
    pub files: Vec<FileEntry>,
}

/// What a publisher leaves out of a report. What the record itself marks as private is left out without it.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct LeavingOut {
    /// Sections of the report, by their anchors.
    #[serde(default)]
    pub sections: BTreeSet<String>,
    /// Photographs, by their ids in the record.
    #[serde(default)]
    pub photographs: BTreeSet<String>,
    /// Names of persons.
    #[serde(default)]
    pub persons: BTreeSet<String>,
}

impl Library {
    /// Keeps the bytes of a file that is published; the same bytes are kept once.
    ///
    /// # Errors
    /// No room.
    pub async fn keep_published(
        &self,
        path: &str,
        bytes: Bytes,
    ) -> Result<FileEntry, LibraryError> {
        self.put_aside(path, bytes).await
    }

    /// Keeps that a revision was published, with files that were kept before.
    ///
    /// # Errors
    /// [`LibraryError::Published`] where the version is not one more than the last; no such dossier or revision.
    pub async fn publish(
        &self,
        id: &DossierId,
        publication: Publication,
    ) -> Result<(), LibraryError> {
        self.revision(id, publication.revision).await?;
        let version = publication.version;
        let publication = Publication {
            at: whole_micros(publication.at),
            ..publication
        };
        match self.keeper.publish(id, &publication).await? {
            true => Ok(()),
            false => Err(LibraryError::Published {
                dossier: id.clone(),
                version,
            }),
        }
    }

    /// Lists what was published of a dossier, the first version first.
    ///
    /// # Errors
    /// No such dossier.
    pub async fn publications(&self, id: &DossierId) -> Result<Vec<Publication>, LibraryError> {
        self.keeper.publications(id).await
    }

    /// Returns what is left out of a dossier's next publication.
    ///
    /// # Errors
    /// No such dossier.
    pub async fn leaving_out(&self, id: &DossierId) -> Result<LeavingOut, LibraryError> {
        Ok(self.keeper.leaving_out(id).await?.unwrap_or_default())
    }

    /// Says what is to be left out of a dossier's next publication.
    ///
    /// # Errors
    /// No such dossier.
    pub async fn leave_out(
        &self,
        id: &DossierId,
        what: &LeavingOut,
        by: &Person,
        at: Timestamp,
    ) -> Result<(), LibraryError> {
        self.keeper.leave_out(id, what, by, whole_micros(at)).await
    }
}
