//! A library in a folder: rows in `library.sqlite`, photographs below `objects/`.
//!
//! In: a folder. Out: the [`Library`] in it.
//! Not here: what is kept (`library`).
//!
//! SQLite and the object store go to the disk by their own way, not through `store`: the first writes a log and
//! pages under locks of its own, the second writes a file under another name, flushes it, links it to its name and
//! flushes the folder (`with_fsync`), which is what `store` does with a report. Both are acknowledged only after that.

use crate::{Library, LibraryError, Rows, single};
use object_store::local::LocalFileSystem;
use std::path::Path;
use std::sync::Arc;
use store::opener::{self, Kind};

/// Name of the file of rows.
pub const ROWS: &str = "library.sqlite";

/// Name of the folder of photographs.
pub(crate) const OBJECTS: &str = "objects";

impl Library {
    /// Opens the library in a folder, or the folder of a dossier as a library of one; where there is nothing yet, or an empty folder, makes one.
    ///
    /// # Errors
    /// A folder that holds something else, cannot be written, is damaged or was written by a later version.
    pub async fn open(folder: &Path) -> Result<Self, LibraryError> {
        if is_dossier(folder)? {
            return single::opened(folder).await;
        }
        if !is_library(folder)? {
            let names = match opener::kind(folder)? {
                Some(_) => opener::names(folder)?,
                None => Vec::new(),
            };
            // The rows and their log appear between the two looks where another makes the same library.
            let is_own = |name: &str| name == OBJECTS || name.starts_with(ROWS);
            if !names.iter().all(|name| name.to_str().is_some_and(is_own)) {
                return Err(LibraryError::NoLibrary(folder.to_path_buf()));
            }
        }
        opened(folder).await
    }

    /// Opens the library in a folder, which must be there.
    ///
    /// # Errors
    /// As [`Library::open`]; no library there.
    pub async fn open_existing(folder: &Path) -> Result<Self, LibraryError> {
        match (is_dossier(folder)?, is_library(folder)?) {
            (true, _) => single::opened(folder).await,
            (false, true) => opened(folder).await,
            (false, false) => Err(LibraryError::NoLibrary(folder.to_path_buf())),
        }
    }
}

fn is_dossier(folder: &Path) -> Result<bool, LibraryError> {
    Ok(opener::kind(&folder.join(store::TEXT))? == Some(Kind::File))
}

fn is_library(folder: &Path) -> Result<bool, LibraryError> {
    Ok(opener::kind(&folder.join(ROWS))? == Some(Kind::File))
}

/// Opens the object store of a library in a folder.
pub(crate) fn objects_in(folder: &Path) -> Result<LocalFileSystem, LibraryError> {
    Ok(LocalFileSystem::new_with_prefix(folder)?.with_fsync(true))
}

pub(crate) async fn opened(folder: &Path) -> Result<Library, LibraryError> {
    store::make_folder(&folder.join(OBJECTS))?;
    let objects = objects_in(folder)?;
    let rows = Rows::sqlite(&folder.join(ROWS)).await?;
    Ok(Library::of(Arc::new(rows), Arc::new(objects)))
}
