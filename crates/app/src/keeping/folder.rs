//! A dossier folder as a source: what lies in it, read through the opener.

use super::source::MOST_FILES;
use crate::{Problem, known, shown};
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use store::SUBFOLDERS;
use store::opener::{self, OpenFault};

/// Most folders within each other that are looked into; `library::Paths` bears no more.
const DEEPEST: usize = 8;

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
            let name = self.text("", &name)?;
            let is_folder = SUBFOLDERS.contains(&name.as_str()) || name == known::BROUGHT;
            if is_folder {
                self.walk(&name, 1, &mut found)?;
            } else if !name.starts_with('.') {
                found.push(name);
            }
        }
        Ok(found)
    }

    fn walk(&self, folder: &str, depth: usize, found: &mut Vec<String>) -> Result<(), Problem> {
        for name in opener::names_inside(&self.root, folder)? {
            let path = self.text(folder, &name)?;
            match opener::open_inside(&self.root, &path, u64::MAX) {
                Ok(_) => found.push(path),
                Err(error) if matches!(error.fault, OpenFault::NotA { is: "a folder", .. }) => {
                    if depth == DEEPEST {
                        let message = format!("the folders in {} are too deep", shown(&self.root));
                        return Err(Problem::refused(message, "move its files up"));
                    }
                    self.walk(&path, depth + 1, found)?;
                }
                Err(error) => return Err(error.into()),
            }
            if found.len() > 2 * MOST_FILES {
                let message = format!("{} holds too many files", shown(&self.root));
                return Err(Problem::refused(
                    message,
                    "take out what belongs to no dossier",
                ));
            }
        }
        Ok(())
    }

    /// Returns a name as text, below a folder.
    fn text(&self, folder: &str, name: &OsString) -> Result<String, Problem> {
        let Some(text) = name.to_str() else {
            let path = self.root.join(folder).join(name);
            let message = format!("the name of {} is no Unicode text", shown(&path));
            return Err(Problem::refused(message, "give the file another name").at(&path));
        };
        Ok(match folder {
            "" => text.to_string(),
            _ => format!("{folder}/{text}"),
        })
    }

    pub(super) fn read(&self, path: &str, most: u64) -> Result<Vec<u8>, Problem> {
        Ok(opener::read_inside(&self.root, path, most)?)
    }
}
