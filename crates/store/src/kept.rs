//! A file that is kept with its history: dossier texts and catalogues.
//!
//! In: a path, and what makes the new content of the old. Out: the new content in place, the old one in the
//! history: `.revisions/NNNN-NAME` beside it, numbered from 1 for each name.
//! Not here: what the content means.
//!
//! The change is made under the lock, from the content that is there then. Two runs therefore never start from
//! the same content, and none undoes what another one was told is saved.

use crate::fault::StoreError;
use crate::lock::Lock;
use crate::place::{self, existing, flush, new_file, parted};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// Where the history lies, beside the files.
pub const REVISIONS: &str = ".revisions";

/// What a save did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Saved {
    /// The content was the same; nothing was written.
    Unchanged,
    /// The new content is in place; the content before it is kept at this path, if there was any.
    Replaced(Option<PathBuf>),
}

/// Replaces the content of the file at `path` by what `change` makes of it. `change` is given `None` where
/// there is no file yet, and answers `None` to leave everything as it is. When this returns, the new content
/// and the history are on the disk.
///
/// # Errors
/// What `change` refuses; a link or something that is no file at `path`; more than `most` bytes in it; what
/// the system refuses. In each case the file stays as it was.
pub fn revise<E: From<StoreError>>(
    path: &Path,
    most: u64,
    change: impl FnOnce(Option<&[u8]>) -> Result<Option<Vec<u8>>, E>,
) -> Result<Saved, E> {
    revise_locked(path, most, |_, before| change(before))
}

/// As [`revise`]; `change` is also given the lock that is held on the folder.
///
/// # Errors
/// As [`revise`].
pub(crate) fn revise_locked<E: From<StoreError>>(
    path: &Path,
    most: u64,
    change: impl FnOnce(&Lock, Option<&[u8]>) -> Result<Option<Vec<u8>>, E>,
) -> Result<Saved, E> {
    changed(path, most, true, change)
}

/// As [`revise`], for a file whose history is kept elsewhere: what is replaced is not kept here.
///
/// # Errors
/// As [`revise`].
pub fn replace<E: From<StoreError>>(
    path: &Path,
    most: u64,
    change: impl FnOnce(Option<&[u8]>) -> Result<Option<Vec<u8>>, E>,
) -> Result<Saved, E> {
    changed(path, most, false, |_, before| change(before))
}

fn changed<E: From<StoreError>>(
    path: &Path,
    most: u64,
    keeps: bool,
    change: impl FnOnce(&Lock, Option<&[u8]>) -> Result<Option<Vec<u8>>, E>,
) -> Result<Saved, E> {
    let (folder, name) = parted(path)?;
    place::make_folder(&folder)?;
    let lock = Lock::of(&folder)?;
    let before = existing(path, most)?;
    let after = change(&lock, before.as_deref())?.filter(|after| before.as_ref() != Some(after));
    let Some(after) = after else {
        return Ok(Saved::Unchanged);
    };
    let new = new_file(&lock, &after)?;
    let kept = before
        .filter(|_| keeps)
        .map(|before| keep(&lock, &name, &before, most))
        .transpose()?;
    if let Ok(found) = fs::metadata(path) {
        fs::set_permissions(new.path(), found.permissions())
            .map_err(|e| StoreError::system("write", path, e))?;
    }
    new.persist(path)
        .map_err(|e| StoreError::system("write", path, e.error))?;
    flush(&folder)?;
    Ok(Saved::Replaced(kept))
}

/// Keeps the content that is about to be replaced under the next number. A number is taken by creating its
/// file, so that none is taken twice.
fn keep(lock: &Lock, name: &str, before: &[u8], most: u64) -> Result<PathBuf, StoreError> {
    let revisions = lock.folder().join(REVISIONS);
    if place::is_link(&revisions) {
        return Err(StoreError::Link { path: revisions });
    }
    if fs::symlink_metadata(&revisions).is_ok_and(|found| !found.is_dir()) {
        return Err(StoreError::NotA {
            path: revisions,
            wanted: "folder",
        });
    }
    place::make_folder(&revisions)?;
    let mut number = last(&revisions, name)?;
    if let Some(number) = number {
        let newest = revisions.join(file_name(number, name));
        // A run that was killed before it could replace the content has kept it already.
        if existing(&newest, most).is_ok_and(|kept| kept.as_deref() == Some(before)) {
            return Ok(newest);
        }
    }
    let mut new = new_file(lock, before)?;
    loop {
        let next = number.unwrap_or(0).checked_add(1).ok_or_else(|| {
            let full = io::Error::other("its numbers are used up");
            StoreError::system("write in", &revisions, full)
        })?;
        let path = revisions.join(file_name(next, name));
        match new.persist_noclobber(&path) {
            Ok(_) => {
                flush(&revisions)?;
                return Ok(path);
            }
            Err(e) if e.error.kind() == io::ErrorKind::AlreadyExists => new = e.file,
            Err(e) => return Err(StoreError::system("write", &path, e.error)),
        }
        number = Some(next);
    }
}

fn file_name(number: u64, name: &str) -> String {
    format!("{number:04}-{name}")
}

/// Returns the highest number that `name` has in the history.
fn last(revisions: &Path, name: &str) -> Result<Option<u64>, StoreError> {
    let looking = |e| StoreError::system("look into", revisions, e);
    let mut last = None;
    for entry in fs::read_dir(revisions).map_err(looking)? {
        let found = entry.map_err(looking)?.file_name();
        let number = found
            .to_str()
            .and_then(|f| f.strip_suffix(name)?.strip_suffix('-')?.parse().ok());
        last = last.max(number);
    }
    Ok(last)
}

#[cfg(test)]
mod tests;
