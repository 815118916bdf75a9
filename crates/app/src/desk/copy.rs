//! A revision of a library's dossier as a folder, for use cases that take one.
//!
//! In: a dossier, the number of a revision. Out: a folder with its text and its files, gone when it is dropped.
//! Not here: how files are kept and linked (`store`); exporting, which leaves a folder of the user's.

use super::{Desk, blocking};
use crate::Problem;
use library::{DossierId, FileEntry};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use store::FolderCopy;

/// A dossier laid out as a folder.
pub struct DeskCopy {
    copy: Arc<FolderCopy>,
    /// Number of the revision.
    pub revision: u64,
    /// The desk's catalogues, which use cases take beside the folder.
    pub catalogues: Vec<PathBuf>,
}

impl DeskCopy {
    /// Where it lies.
    pub fn path(&self) -> &Path {
        self.copy.path()
    }
}

impl Desk {
    /// Lays a revision of a dossier out as a folder, with the files that the dossier has now.
    ///
    /// # Errors
    /// No such dossier or revision; no cache folder; what cannot be written.
    pub async fn copy(&self, id: &DossierId, revision: u64) -> Result<DeskCopy, Problem> {
        let (_, text) = self.library.revision(id, revision).await?;
        let files = self.library.files(id).await?;
        let copies = self.copies.clone().ok_or_else(|| {
            Problem::refused(
                "there is no folder for files that can be made again",
                "name one in the environment as UNDERLID_CACHE",
            )
        })?;
        let copy = blocking(move || Ok(Arc::new(copies.begin(&text)?))).await?;
        for file in files {
            self.put(&copy, file).await?;
        }
        Ok(DeskCopy {
            copy,
            revision,
            catalogues: self.catalogues.clone(),
        })
    }

    async fn put(&self, copy: &Arc<FolderCopy>, file: FileEntry) -> Result<(), Problem> {
        let (to, entry) = (Arc::clone(copy), file.clone());
        if blocking(move || Ok(to.link(&entry.path, &entry.sha256)?)).await? {
            return Ok(());
        }
        let bytes = self.library.object(&file.sha256).await?;
        let to = Arc::clone(copy);
        blocking(move || Ok(to.put(&file.path, &file.sha256, &bytes)?)).await
    }
}
