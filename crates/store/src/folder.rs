//! The dossier folder on disk: opening, creating, saving.
//!
//! In: a folder. Out: a [`Dossier`], or every problem found; and texts that appear whole or not at all. Every
//! save keeps the text it replaces in the history.
//! Not here: what the text means (`record`), how a file is replaced (`kept`).

use crate::dossier_files;
use crate::fault::StoreError;
use crate::kept::{Saved, revise_locked};
use crate::limits;
use crate::lock::{self, Lock};
use crate::new::NewFolder;
use crate::opener::{self, OpenError};
use crate::output::OutputFile;
use crate::place::{self, flush, new_file, parted};
use record::{
    Dossier, Draft, Files, LARGEST, PathState, Problem, Problems, read_text, starter, text_of,
};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// Name of the text inside the folder.
pub const TEXT: &str = "dossier.toml";
/// Sub-folders of a dossier folder.
pub const SUBFOLDERS: [&str; 4] = ["photos", "logs", "recordings", "captions"];
/// Sub-folders in which the files of a dossier lie: those above, that of the parts it brings, and that of texts
/// published before.
pub const FILE_FOLDERS: [&str; 6] = [
    "photos",
    "logs",
    "recordings",
    "captions",
    "catalogue",
    "past",
];

/// Reads and checks the dossier in `folder`.
///
/// # Errors
/// Every problem found, in the text and with the files it names.
pub fn open(folder: &Path) -> Result<Dossier, Problems> {
    open_with(folder, |files| files)
}

/// Reads and checks the dossier in `folder` with a closer look at its files: `closer` makes it from the usual
/// one.
///
/// # Errors
/// As [`open`], and what `closer` finds.
pub fn open_with<F: Files>(
    folder: &Path,
    closer: impl FnOnce(DossierFolder) -> F,
) -> Result<Dossier, Problems> {
    let text = dossier_files::text(folder)?;
    let files = closer(DossierFolder::at(folder)?);
    read_text(&text, &shown(&folder.join(TEXT)), &files)
}

/// Reads the text in `folder` for editing.
///
/// # Errors
/// As [`open`], but only for faults that keep the text from being read as TOML.
pub fn open_draft(folder: &Path) -> Result<Draft, Problems> {
    let text = dossier_files::text(folder)?;
    Draft::parse(&text, &shown(&folder.join(TEXT)))
}

/// Makes a new dossier folder with the starting text, `photos/`, `logs/`, `recordings/` and `captions/`.
///
/// # Errors
/// As [`create_with`].
pub fn create(folder: &Path) -> Result<(), StoreError> {
    create_with(folder, &starter())
}

/// Makes a new dossier folder with a text to start from, `photos/`, `logs/`, `recordings/` and `captions/`.
///
/// # Errors
/// Where `folder` already holds something, or cannot be made.
pub fn create_with(folder: &Path, text: &str) -> Result<(), StoreError> {
    let new = refuse_filled(folder)?;
    place::make_folder(folder)?;
    let lock = Lock::of(folder)?;
    refuse_filled(folder)?;
    let filled = begin(&lock, text);
    if filled.is_err() {
        // Only empty folders go, and only those made here: nothing of the user's can be lost. What
        // cannot be removed changes nothing about the error to report.
        for sub in SUBFOLDERS {
            let _ = fs::remove_dir(folder.join(sub));
        }
        if new {
            lock.give_up();
            let _ = fs::remove_dir(folder);
        }
    }
    filled
}

fn begin(lock: &Lock, text: &str) -> Result<(), StoreError> {
    let folder = lock.folder();
    for sub in SUBFOLDERS {
        place::make_folder(&folder.join(sub))?;
    }
    let path = folder.join(TEXT);
    new_file(lock, text.as_bytes())?
        .persist_noclobber(&path)
        .map_err(|e| StoreError::system("write", &path, e.error))?;
    flush(folder)
}

/// Makes a new dossier folder that holds `files`, in one step.
///
/// # Errors
/// Where `folder` already holds something, or cannot be made.
pub fn create_from(folder: &Path, files: &[OutputFile]) -> Result<(), StoreError> {
    let new = NewFolder::begin(folder)?;
    files.iter().try_for_each(|file| new.put(file))?;
    new.finish()
}

/// Refuses a folder that holds more than [`create`] leaves when it is stopped half-way: the lock and empty
/// folders. Returns whether it is yet to be made.
pub(crate) fn refuse_filled(folder: &Path) -> Result<bool, StoreError> {
    let looking = |e| StoreError::system("look into", folder, e);
    let path = folder.to_path_buf();
    match fs::symlink_metadata(folder) {
        Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(true),
        Err(e) => return Err(looking(e)),
        Ok(found) if found.file_type().is_symlink() => return Err(StoreError::Link { path }),
        Ok(found) if !found.is_dir() => {
            let wanted = "folder";
            return Err(StoreError::NotA { path, wanted });
        }
        Ok(_) => {}
    }
    for entry in fs::read_dir(folder).map_err(looking)? {
        let name = entry.map_err(looking)?.file_name();
        let is_ours = name == lock::NAME
            || place::is_unnamed(&name)
            || SUBFOLDERS.iter().any(|sub| name == *sub) && is_empty_folder(&folder.join(&name));
        if !is_ours {
            return Err(StoreError::NotEmpty { path });
        }
    }
    Ok(false)
}

fn is_empty_folder(path: &Path) -> bool {
    !place::is_link(path) && fs::read_dir(path).is_ok_and(|mut inside| inside.next().is_none())
}

/// Saves a draft, checked first; the text it replaces is kept in the history.
///
/// # Errors
/// Every problem in the edited text; a text on disk that changed since the draft was read; what the
/// system refuses. In each case the text on disk stays as it was.
pub fn save(folder: &Path, draft: &Draft) -> Result<Saved, StoreError> {
    let path = folder.join(TEXT);
    replace_text(folder, |_, before, files| {
        if before != draft.original() {
            return Err(StoreError::Changed { path });
        }
        draft.check(files)?;
        Ok(draft.text())
    })
}

/// Edits the text as it is now and saves it, checked first. No other run can save in between, so that what it
/// saved is kept: `change` is given the current text as a draft and as a dossier, and must take from them
/// whatever depends on what is recorded already.
///
/// # Errors
/// What `change` refuses; every problem in the text before or after; what the system refuses. In each case the
/// text on disk stays as it was.
pub fn edit<T, E: From<StoreError>>(
    folder: &Path,
    change: impl FnOnce(&mut Draft, &Dossier) -> Result<T, E>,
) -> Result<T, E> {
    edit_locked(folder, |_| Ok(()), change)
}

/// As [`edit`], with a new file in one of the sub-folders of a dossier. Where the edit is refused, the file is not
/// there either. A file with the same bytes that lies there already is taken as it is.
///
/// # Errors
/// As [`edit`]; another file of that name; a link in the place of the sub-folder.
pub fn edit_adding<T, E: From<StoreError>>(
    folder: &Path,
    file: &OutputFile,
    change: impl FnOnce(&mut Draft, &Dossier) -> Result<T, E>,
) -> Result<T, E> {
    let mut made = None;
    let put = |lock: &Lock| {
        made = put_file(lock, file)?;
        Ok(())
    };
    let edited = edit_locked(folder, put, change);
    if let (Err(_), Some(path)) = (&edited, made) {
        // It was made for this edit only; what cannot be removed is named nowhere.
        let _ = fs::remove_file(path);
    }
    edited
}

/// Puts a new file into one of the sub-folders of a dossier; whether it was not there yet.
///
/// # Errors
/// Another file of that name; a link in the place of the sub-folder; what the system refuses.
pub fn add_file(folder: &Path, file: &OutputFile) -> Result<bool, StoreError> {
    let lock = Lock::of(folder)?;
    Ok(put_file(&lock, file)?.is_some())
}

/// Puts a new file into a sub-folder of the locked folder; returns its path if it was not there yet.
fn put_file(lock: &Lock, file: &OutputFile) -> Result<Option<PathBuf>, StoreError> {
    let path = lock.folder().join(&file.path);
    let (within, _) = parted(&path)?;
    if place::is_link(&within) {
        return Err(StoreError::Link { path: within });
    }
    place::make_folder(&within)?;
    match place::existing(&path, limits::RECORDING)? {
        Some(there) if there == file.bytes => return Ok(None),
        Some(_) => return Err(StoreError::Taken { path }),
        None => {}
    }
    new_file(lock, &file.bytes)?
        .persist_noclobber(&path)
        .map_err(|e| StoreError::system("write", &path, e.error))?;
    flush(&within)?;
    Ok(Some(path))
}

fn edit_locked<T, E: From<StoreError>>(
    folder: &Path,
    begin: impl FnOnce(&Lock) -> Result<(), StoreError>,
    change: impl FnOnce(&mut Draft, &Dossier) -> Result<T, E>,
) -> Result<T, E> {
    let file = shown(&folder.join(TEXT));
    let mut answer = None;
    replace_text(folder, |lock, before, files| {
        let dossier = read_text(before, &file, files).map_err(StoreError::from)?;
        let mut draft = Draft::parse(before, &file).map_err(StoreError::from)?;
        begin(lock)?;
        answer = Some(change(&mut draft, &dossier)?);
        draft.check(files).map_err(StoreError::from)?;
        Ok::<_, E>(draft.text())
    })?;
    Ok(answer.expect("a text is only replaced after the change was made"))
}

/// Replaces the text by what `change` makes of it.
fn replace_text<E: From<StoreError>>(
    folder: &Path,
    change: impl FnOnce(&Lock, &str, &DossierFolder) -> Result<String, E>,
) -> Result<Saved, E> {
    let path = folder.join(TEXT);
    // A folder that is no dossier is told as such before anything is locked in it.
    dossier_files::text(folder).map_err(StoreError::from)?;
    let files = DossierFolder::at(folder).map_err(StoreError::from)?;
    revise_locked(&path, LARGEST, |lock, bytes| {
        let before = text_of(bytes.unwrap_or_default(), &shown(&path)).map_err(StoreError::from)?;
        let after = change(lock, &before, &files)?;
        // A byte-order mark in the file is no change.
        Ok((after != before).then(|| after.into_bytes()))
    })
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
        opener::names(path).map_err(|e| problem(&e))?;
        let root = path.to_path_buf();
        Ok(Self { root })
    }
}

impl Files for DossierFolder {
    fn look(&self, path: &str) -> PathState {
        dossier_files::look(&self.root, path)
    }
    fn names(&self, folder: &str) -> Vec<String> {
        dossier_files::names(&self.root, folder)
    }
}

fn shown(path: &Path) -> String {
    path.display().to_string()
}

/// Tells what was not read as a problem of the dossier.
fn problem(error: &OpenError) -> Problem {
    Problem::outside(
        shown(&error.path),
        format!("cannot read it: {}", error.reason()),
        error.remedy(),
    )
}
