//! Names in a locked folder: new content that has no name of its own yet, and what killed runs left.
//!
//! In: a [`Lock`]. Out: files and folders under names that nobody can guess, created exclusively.
//! Not here: what takes whose place (`kept`, `output`).
//!
//! A name that begins with `.underlid-` and ends with `.part` is given only under the lock of its folder.
//! Whoever holds the lock may therefore remove every one of them: no live run has one.

use crate::fault::StoreError;
use crate::lock::Lock;
use crate::opener::{self, OpenFault};
use std::ffi::OsStr;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use tempfile::{Builder, NamedTempFile, TempDir};

const BEGIN: &str = ".underlid-";
const END: &str = ".part";
/// Marks the name of a folder that gave way and whose successor may be missing.
const EARLIER: &str = "earlier-";
/// Random characters in a name: 62 to the power of 16 names.
const RANDOM: usize = 16;

/// Parts a path into the folder to be locked and the name in it.
///
/// # Errors
/// A path without a name at its end.
pub(crate) fn parted(path: &Path) -> Result<(PathBuf, String), StoreError> {
    let nameless = || StoreError::Nameless {
        path: path.to_path_buf(),
    };
    let name = path.file_name().ok_or_else(nameless)?;
    let name = name.to_str().ok_or_else(nameless)?;
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_path_buf(),
        _ => PathBuf::from("."),
    };
    Ok((folder, name.to_string()))
}

/// Makes a folder and those above it that are missing, each flushed into the one above.
///
/// # Errors
/// What the system refuses.
pub fn make_folder(folder: &Path) -> Result<(), StoreError> {
    if folder.is_dir() {
        return Ok(());
    }
    let above = folder.parent().filter(|p| !p.as_os_str().is_empty());
    if let Some(above) = above {
        make_folder(above)?;
    }
    match fs::create_dir(folder) {
        // Another run was faster.
        Err(e) if e.kind() == io::ErrorKind::AlreadyExists && folder.is_dir() => Ok(()),
        Err(e) => Err(StoreError::system("make the folder", folder, e)),
        Ok(()) => flush(above.unwrap_or(Path::new("."))),
    }
}

/// As [`make_folder`], for a folder that others could have put a link in the place of.
///
/// # Errors
/// A link there; what the system refuses.
pub fn make_own_folder(folder: &Path) -> Result<(), StoreError> {
    if is_link(folder) {
        let path = folder.to_path_buf();
        return Err(StoreError::Link { path });
    }
    make_folder(folder)
}

/// Writes the names in a folder through to the disk.
///
/// # Errors
/// What the system refuses.
#[cfg(unix)]
pub(crate) fn flush(folder: &Path) -> Result<(), StoreError> {
    File::open(folder)
        .and_then(|f| f.sync_all())
        .map_err(|e| StoreError::system("write in", folder, e))
}

/// Folders cannot be opened here; the system writes their names through by itself.
#[cfg(not(unix))]
pub(crate) fn flush(_: &Path) -> Result<(), StoreError> {
    Ok(())
}

/// Returns whether a symbolic link lies at `path`.
pub(crate) fn is_link(path: &Path) -> bool {
    fs::symlink_metadata(path).is_ok_and(|found| found.file_type().is_symlink())
}

/// Writes `bytes` to the disk under a new name in the locked folder.
///
/// # Errors
/// What the system refuses.
pub(crate) fn new_file(lock: &Lock, bytes: &[u8]) -> Result<NamedTempFile, StoreError> {
    new_file_of(lock, |to| to.write_all(bytes))
}

/// Writes what `write` writes to the disk under a new name in the locked folder.
///
/// # Errors
/// What the system refuses.
pub(crate) fn new_file_of(
    lock: &Lock,
    write: impl FnOnce(&mut dyn Write) -> io::Result<()>,
) -> Result<NamedTempFile, StoreError> {
    new_file_with(lock, 0o666, write)
}

/// As [`new_file`], for its owner's eyes alone.
///
/// # Errors
/// What the system refuses.
pub(crate) fn new_private_file(lock: &Lock, bytes: &[u8]) -> Result<NamedTempFile, StoreError> {
    new_file_with(lock, 0o600, |to| to.write_all(bytes))
}

fn new_file_with(
    lock: &Lock,
    mode: u32,
    write: impl FnOnce(&mut dyn Write) -> io::Result<()>,
) -> Result<NamedTempFile, StoreError> {
    let doing = |e| StoreError::system("write in", lock.folder(), e);
    let mut file = builder(mode).tempfile_in(lock.folder()).map_err(doing)?;
    write(&mut file).map_err(doing)?;
    // A full disk may show only here.
    file.as_file().sync_all().map_err(doing)?;
    Ok(file)
}

/// Makes a folder under a new name in the locked folder; it is removed with all it holds when dropped.
///
/// # Errors
/// What the system refuses.
pub(crate) fn new_folder(lock: &Lock) -> Result<TempDir, StoreError> {
    builder(0o777)
        .tempdir_in(lock.folder())
        .map_err(|e| StoreError::system("write in", lock.folder(), e))
}

/// `mode` are the rights of any new file or folder; the system takes the user's mask off them.
fn builder(mode: u32) -> Builder<'static, 'static> {
    let mut builder = Builder::new();
    builder.prefix(BEGIN).suffix(END).rand_bytes(RANDOM);
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(mode));
    #[cfg(not(unix))]
    let _ = mode;
    builder
}

/// Returns the name under which the folder `name` waits while its successor is put in place.
pub(crate) fn earlier(name: &str) -> String {
    format!("{BEGIN}{EARLIER}{name}{END}")
}

/// Clears away what killed runs left in the locked folder. A folder that gave way and has no successor goes
/// back to its place.
///
/// # Errors
/// What the system refuses.
pub(crate) fn clear(lock: &Lock) -> Result<(), StoreError> {
    let folder = lock.folder();
    let entries = fs::read_dir(folder).map_err(|e| StoreError::system("look into", folder, e))?;
    for entry in entries {
        let entry = entry.map_err(|e| StoreError::system("look into", folder, e))?;
        let name = entry.file_name();
        let Some(inner) = unnamed(&name) else {
            continue;
        };
        let path = entry.path();
        let home = inner.strip_prefix(EARLIER).map(|name| folder.join(name));
        match home {
            Some(home) if fs::symlink_metadata(&home).is_err() => fs::rename(&path, &home),
            _ => remove(&path),
        }
        .map_err(|e| StoreError::system("clear away", &path, e))?;
    }
    Ok(())
}

/// Returns whether a name is one that is given under the lock only.
pub(crate) fn is_unnamed(name: &OsStr) -> bool {
    unnamed(name).is_some()
}

fn unnamed(name: &OsStr) -> Option<&str> {
    name.to_str()?.strip_prefix(BEGIN)?.strip_suffix(END)
}

/// Removes a file, a link or a folder with all it holds; links are removed, never followed.
pub(crate) fn remove(path: &Path) -> io::Result<()> {
    if fs::symlink_metadata(path)?.is_dir() {
        fs::remove_dir_all(path)
    } else {
        fs::remove_file(path)
    }
}

/// Reads the regular file at `path`, if there is one, before it is replaced.
///
/// # Errors
/// A link, something that is not a file, more than `most` bytes, what the system refuses.
pub(crate) fn existing(path: &Path, most: u64) -> Result<Option<Vec<u8>>, StoreError> {
    let owned = || path.to_owned();
    if is_link(path) {
        return Err(StoreError::Link { path: owned() });
    }
    match opener::read(path, most) {
        Ok(bytes) => Ok(Some(bytes)),
        Err(e) if e.fault == OpenFault::Missing => Ok(None),
        Err(e) => Err(e.into()),
    }
}
