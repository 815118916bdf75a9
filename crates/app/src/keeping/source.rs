//! What a dossier from outside consists of, and how much of it is borne.
//!
//! In: a folder, an archive, bytes of an archive. Out: its text and its files by their paths, one at a time.
//! Not here: whether the text reads (`library`); which paths can lie together (`library::Paths`).

use super::archive::Archive;
use super::folder::Folder;
use super::published::{self, PUBLISHED};
use crate::{Problem, known, shown};
use library::Paths;
use std::io::Cursor;
use std::path::Path;
use store::limits;
use store::opener::{self, Kind};

/// Name of the file with the history of a dossier.
pub(super) const HISTORY: &str = "history.json";

/// Most files of a dossier.
pub(super) const MOST_FILES: usize = 10_000;

/// A dossier outside a library.
pub struct Source {
    pub(super) shown: String,
    kind: Inside,
}

enum Inside {
    Folder(Folder),
    Archive(Box<Archive>),
}

/// The names in a source.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Listed {
    /// Files of the dossier, sorted.
    pub(super) files: Vec<String>,
    /// Whether a history is there.
    pub(super) history: bool,
    /// Whether a list of what was published is there.
    pub(super) published: bool,
    /// Files in the folder of what was published, sorted.
    pub(super) publications: Vec<String>,
    /// What lies there and belongs to no dossier.
    pub(super) left_out: Vec<String>,
}

impl Source {
    /// Takes a folder with `dossier.toml`, or an archive of one.
    ///
    /// # Errors
    /// Nothing there, or something else; an archive that is not read.
    pub fn at(path: &Path) -> Result<Self, Problem> {
        let shown = shown(path);
        let kind = match opener::kind(path)? {
            Some(Kind::Folder) => Inside::Folder(Folder::at(path)),
            _ => {
                let file = opener::open(path, limits::ARCHIVE)?;
                Inside::Archive(Box::new(Archive::read(Box::new(file), &shown)?))
            }
        };
        Ok(Self { shown, kind })
    }

    /// Takes an archive that came over the wire.
    ///
    /// # Errors
    /// As [`Source::at`].
    pub fn of_bytes(name: &str, bytes: impl AsRef<[u8]> + Send + 'static) -> Result<Self, Problem> {
        let shown = shown(name);
        let archive = Archive::read(Box::new(Cursor::new(bytes)), &shown)?;
        let kind = Inside::Archive(Box::new(archive));
        Ok(Self { shown, kind })
    }

    /// Lists what is there.
    ///
    /// # Errors
    /// Names that cannot lie together or lead outside; links; too many.
    pub(super) fn list(&mut self) -> Result<Listed, Problem> {
        let names = match &mut self.kind {
            Inside::Folder(folder) => folder.names()?,
            Inside::Archive(archive) => archive.names().to_vec(),
        };
        let mut listed = Listed::default();
        let mut paths = Paths::default();
        for name in names {
            paths
                .take(&name)
                .map_err(|fault| Problem::from(library::LibraryError::from(fault)))?;
            match name.as_str() {
                store::TEXT => {}
                HISTORY => listed.history = true,
                PUBLISHED => listed.published = true,
                path if is_published(path) => listed.publications.push(name),
                path if most(path).is_some() => listed.files.push(name),
                _ => listed.left_out.push(name),
            }
        }
        if listed.files.len() + listed.publications.len() > MOST_FILES {
            return Err(Problem::refused(
                format!("{} holds more than {MOST_FILES} files", self.shown),
                "take out what belongs to no dossier",
            ));
        }
        listed.files.sort();
        listed.publications.sort();
        Ok(listed)
    }

    /// Reads one of the files.
    ///
    /// # Errors
    /// A file that is too large, damaged or gone.
    pub(super) fn read(&mut self, path: &str) -> Result<Vec<u8>, Problem> {
        let most = match path {
            store::TEXT => limits::DOSSIER,
            HISTORY => limits::HISTORY,
            PUBLISHED => limits::FINDINGS,
            path if is_published(path) => limits::PUBLISHED,
            path => most(path).unwrap_or_default(),
        };
        match &mut self.kind {
            Inside::Folder(folder) => folder.read(path, most),
            Inside::Archive(archive) => archive.read_entry(path, most),
        }
    }
}

/// Whether a path is one of a file that was published.
fn is_published(path: &str) -> bool {
    path.split_once('/')
        .is_some_and(|(folder, _)| folder == published::FOLDER)
}

/// The most bytes that a file of a dossier may have, by the folder it lies in; `None` for what belongs to no dossier.
pub(crate) fn most(path: &str) -> Option<u64> {
    let (folder, name) = path.rsplit_once('/')?;
    if name.starts_with('.') {
        return None;
    }
    match folder.split('/').next()? {
        "photos" => Some(limits::PHOTOGRAPH),
        "logs" | "captions" => Some(limits::TABLE),
        "recordings" => Some(limits::RECORDING),
        crate::past::FOLDER => Some(::past::LARGEST),
        known::BROUGHT => Some(limits::CATALOGUE),
        _ => None,
    }
}
