//! The dossier folder on disk: opening, creating, saving. The only file of this crate that does I/O.
//!
//! In: a folder. Out: a [`Dossier`], or every problem found; and files that appear whole or not at
//! all. Every save keeps the text it replaces under `.revisions/`.

use crate::bytes::{LARGEST, text_of, too_large};
use crate::{
    Dossier, Draft, Files, LOOKED_AT, Look, Problem, Problems, content_of, read_text, starter,
};
use std::fs;
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

/// Name of the text inside the folder.
pub const TEXT: &str = "dossier.toml";
/// Sub-folders of a dossier folder.
pub const SUBFOLDERS: [&str; 3] = ["photos", "logs", "captions"];
const REVISIONS: &str = ".revisions";

/// Reads and checks the dossier in `folder`.
///
/// # Errors
/// Every problem found, in the text and with the files it names.
pub fn open(folder: &Path) -> Result<Dossier, Problems> {
    let text = read_folder_text(folder)?;
    read_text(
        &text,
        &shown(&folder.join(TEXT)),
        &DossierFolder::at(folder)?,
    )
}

/// Reads the text in `folder` for editing.
///
/// # Errors
/// As [`open`], but only for faults that keep the text from being read as TOML.
pub fn open_draft(folder: &Path) -> Result<Draft, Problems> {
    let text = read_folder_text(folder)?;
    Draft::parse(&text, &shown(&folder.join(TEXT)))
}

/// Makes a new dossier folder with a starting text, `photos/`, `logs/` and `captions/`.
///
/// # Errors
/// Where `folder` already holds something, or cannot be made.
pub fn create(folder: &Path) -> Result<(), Problems> {
    let name = shown(folder);
    let new = !folder.exists();
    match fs::metadata(folder) {
        Ok(found) if !found.is_dir() => {
            return Err(Problem::outside(
                name,
                "there is already a file of this name",
                "give the name of a new folder",
            )
            .into());
        }
        Ok(_) => {
            let mut inside = fs::read_dir(folder).map_err(|e| io_problem(folder, "read", &e))?;
            if inside.next().is_some() {
                return Err(Problem::outside(
                    name,
                    "the folder is there already and is not empty",
                    "give the name of a new or empty folder",
                )
                .into());
            }
        }
        Err(_) => fs::create_dir_all(folder).map_err(|e| io_problem(folder, "make", &e))?,
    }
    let filled = fill(folder);
    if filled.is_err() {
        // Only empty folders go, and only those made here: nothing of the user's can be lost. What
        // cannot be removed changes nothing about the error to report.
        for sub in SUBFOLDERS {
            let _ = fs::remove_dir(folder.join(sub));
        }
        if new {
            let _ = fs::remove_dir(folder);
        }
    }
    filled
}

fn fill(folder: &Path) -> Result<(), Problems> {
    for sub in SUBFOLDERS {
        let path = folder.join(sub);
        fs::create_dir_all(&path).map_err(|e| io_problem(&path, "make", &e))?;
    }
    write_whole(folder, &folder.join(TEXT), starter().as_bytes())
}

/// What a save did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Saved {
    /// The text was the same; nothing was written.
    Unchanged,
    /// The new text is in place; the text before it is kept at this path, if there was one.
    Replaced(Option<PathBuf>),
}

/// Saves a draft, checked first, keeping the text it replaces as `.revisions/NNNN-dossier.toml`.
///
/// # Errors
/// Every problem in the edited text; a text on disk that changed since the draft was read; a folder
/// that cannot be written. In each case the text on disk stays as it was.
pub fn save(folder: &Path, draft: &Draft) -> Result<Saved, Problems> {
    let path = folder.join(TEXT);
    draft.check(&DossierFolder::at(folder)?)?;
    let before = read_folder_text(folder)?;
    if before != draft.original() {
        return Err(Problem::outside(
            shown(&path),
            "the text on disk changed after it was read for this edit",
            "read it again and repeat the edit",
        )
        .into());
    }
    let after = draft.text();
    if after == before {
        return Ok(Saved::Unchanged);
    }
    let kept = keep_revision(folder, &before)?;
    write_whole(folder, &path, after.as_bytes())?;
    Ok(Saved::Replaced(Some(kept)))
}

/// Writes the text being replaced under the next free number.
fn keep_revision(folder: &Path, text: &str) -> Result<PathBuf, Problems> {
    let revisions = folder.join(REVISIONS);
    fs::create_dir_all(&revisions).map_err(|e| io_problem(&revisions, "make", &e))?;
    let names = fs::read_dir(&revisions).map_err(|e| io_problem(&revisions, "read", &e))?;
    let last = names
        .flatten()
        .filter_map(|e| {
            e.file_name()
                .to_str()?
                .split('-')
                .next()?
                .parse::<u32>()
                .ok()
        })
        .max()
        .unwrap_or(0);
    let path = revisions.join(format!("{:04}-{TEXT}", last.saturating_add(1)));
    write_whole(&revisions, &path, text.as_bytes())?;
    Ok(path)
}

/// Writes a file so that it appears whole or not at all: a temporary file in the same folder,
/// flushed to disk, then renamed.
fn write_whole(folder: &Path, path: &Path, bytes: &[u8]) -> Result<(), Problems> {
    let temporary = folder.join(format!(".{TEXT}.{}.part", std::process::id()));
    let written = fs::File::create(&temporary)
        .and_then(|mut file| file.write_all(bytes).and_then(|()| file.sync_all()))
        .and_then(|()| fs::rename(&temporary, path));
    written.map_err(|e| {
        // The rename did not happen, so what is left is ours to clear away; a failure to do so
        // changes nothing about the error to report.
        let _ = fs::remove_file(&temporary);
        io_problem(path, "write", &e).into()
    })
}

/// Reads `dossier.toml` of a folder as text.
fn read_folder_text(folder: &Path) -> Result<String, Problems> {
    let name = shown(folder);
    let found = fs::metadata(folder).map_err(|e| match e.kind() {
        io::ErrorKind::NotFound => Problem::outside(
            name.clone(),
            "there is no such folder",
            format!("check the path, or start one with `underlid new {name}`"),
        ),
        _ => io_problem(folder, "open", &e),
    })?;
    if !found.is_dir() {
        return Err(Problem::outside(
            name,
            "this is a file; a dossier is a folder with a dossier.toml inside",
            "give the folder",
        )
        .into());
    }
    let path = folder.join(TEXT);
    let file = shown(&path);
    let found = fs::metadata(&path).map_err(|e| match e.kind() {
        io::ErrorKind::NotFound => Problem::outside(
            file.clone(),
            "the folder holds no dossier.toml",
            format!("start one with `underlid new {name}`"),
        ),
        _ => io_problem(&path, "open", &e),
    })?;
    if !found.is_file() {
        return Err(Problem::outside(
            file,
            "dossier.toml is not a file",
            "put the dossier's text in a file of this name",
        )
        .into());
    }
    if !inside(folder, &path) {
        return Err(Problem::outside(
            file,
            "dossier.toml is a link that leads outside the dossier folder",
            "put the file itself in the folder",
        )
        .into());
    }
    if found.len() > LARGEST {
        return Err(too_large(found.len(), &file).into());
    }
    let mut bytes = Vec::new();
    fs::File::open(&path)
        .and_then(|f| f.take(LARGEST + 1).read_to_end(&mut bytes))
        .map_err(|e| io_problem(&path, "read", &e))?;
    text_of(&bytes, &file)
}

/// The files of a dossier folder as they lie on disk.
pub struct DossierFolder {
    root: PathBuf,
}

impl DossierFolder {
    /// Takes the folder at `path`.
    ///
    /// # Errors
    /// Where the folder cannot be reached.
    pub fn at(path: &Path) -> Result<Self, Problems> {
        let root = path
            .canonicalize()
            .map_err(|e| io_problem(path, "open", &e))?;
        Ok(Self { root })
    }
}

impl Files for DossierFolder {
    fn look(&self, path: &str) -> Look {
        let full = self.root.join(path);
        let found = match fs::metadata(&full) {
            Ok(found) => found,
            Err(e) if e.kind() == io::ErrorKind::NotFound => return Look::Missing,
            Err(e) => return Look::Unreadable(reason(&e)),
        };
        if !inside(&self.root, &full) {
            return Look::Outside;
        }
        if !found.is_file() {
            return Look::NotAFile;
        }
        let mut first = Vec::new();
        if let Err(e) = fs::File::open(&full)
            .and_then(|file| file.take(LOOKED_AT as u64).read_to_end(&mut first))
        {
            return Look::Unreadable(reason(&e));
        }
        let size = imagesize::size(&full).ok();
        Look::File {
            size: size.and_then(|s| Some((s.width.try_into().ok()?, s.height.try_into().ok()?))),
            content: content_of(&first),
        }
    }

    fn names(&self, folder: &str) -> Vec<String> {
        let Ok(found) = fs::read_dir(self.root.join(folder)) else {
            return Vec::new();
        };
        let mut names: Vec<String> = found
            .flatten()
            .filter_map(|e| e.file_name().into_string().ok())
            .collect();
        names.sort();
        names
    }
}

/// Returns whether `path`, links followed, lies inside `folder`.
fn inside(folder: &Path, path: &Path) -> bool {
    match (folder.canonicalize(), path.canonicalize()) {
        (Ok(folder), Ok(path)) => path.starts_with(folder),
        _ => false,
    }
}

fn shown(path: &Path) -> String {
    path.display().to_string()
}

/// Says in plain words what the system refused.
fn io_problem(path: &Path, doing: &str, error: &io::Error) -> Problem {
    let remedy = match error.kind() {
        io::ErrorKind::PermissionDenied => "allow it for this account, or use another folder",
        io::ErrorKind::StorageFull => "free some space; nothing was changed",
        io::ErrorKind::ReadOnlyFilesystem => "use a folder that can be written",
        _ => "check the path and the disk",
    };
    Problem::outside(
        shown(path),
        format!("cannot {doing} it: {}", reason(error)),
        remedy,
    )
}

fn reason(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::PermissionDenied => "permission is missing".into(),
        io::ErrorKind::StorageFull => "the disk is full".into(),
        io::ErrorKind::ReadOnlyFilesystem => "the file system is read-only".into(),
        io::ErrorKind::NotADirectory => "a part of the path is a file".into(),
        io::ErrorKind::AlreadyExists => "there is already a file of this name".into(),
        _ => error.to_string(),
    }
}
