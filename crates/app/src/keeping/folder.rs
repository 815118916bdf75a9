//! A dossier folder as a source: what lies in it, read through the opener.

use super::published;
use crate::{Problem, shown};
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use store::FILE_FOLDERS;
use store::opener;

/// A folder that may hold a dossier.
pub(super) struct Folder {
    root: PathBuf,
}

impl Folder {
    pub(super) fn at(path: &Path) -> Self {
        let root = path.to_path_buf();
        Self { root }
    }

    /// Lists the files by their paths: those directly in it, and all in the folders of a dossier.
    pub(super) fn names(&self) -> Result<Vec<String>, Problem> {
        let mut found = Vec::new();
        for name in opener::names(&self.root)? {
            let name = self.text(&name)?;
            if FILE_FOLDERS.contains(&name.as_str()) || name == published::FOLDER {
                let below = opener::files_below(&self.root, &name)?;
                found.extend(below.into_iter().map(|file| file.path));
            } else if !name.starts_with('.') {
                found.push(name);
            }
        }
        Ok(found)
    }

    fn text(&self, name: &OsString) -> Result<String, Problem> {
        let Some(text) = name.to_str() else {
            let path = self.root.join(name);
            let message = format!("the name of {} is no Unicode text", shown(&path));
            return Err(Problem::refused(message, "give the file another name").at(&path));
        };
        Ok(text.to_string())
    }

    pub(super) fn read(&self, path: &str, most: u64) -> Result<Vec<u8>, Problem> {
        Ok(opener::read_inside(&self.root, path, most)?)
    }
}
