//! Dossiers that lie elsewhere, laid out as folders for as long as something works on them.
//!
//! In: a text; files by path and SHA-256. Out: a folder with just these, gone when its [`FolderCopy`] is dropped.
//! Not here: where they lie otherwise (`library`).
//!
//! The files are kept by content beside the folders and linked into them, so that the next copy of the same dossier
//! costs no bytes. What is kept has a room: the files used longest ago give way; a folder that holds a link to one
//! keeps it. A kept file that no longer has its SHA-256 is not linked. Each folder has a locked file beside it, so
//! that what a killed run left is told from what is in use, and cleared away when the next copy is begun.

use crate::cache::Cache;
use crate::fault::StoreError;
use crate::limits;
use crate::lock::Lock;
use crate::opener::{self, OpenFault};
use crate::place::{self, new_file};
use crate::{SUBFOLDERS, TEXT};
use sha2::{Digest, Sha256};
use std::fmt::Write as _;
use std::fs::{self, File};
use std::io;
use std::path::{Component, Path, PathBuf};
use std::time::SystemTime;
use tempfile::TempDir;

/// Most bytes of files that are kept for the next copy: some hundred photographs.
pub const ROOM: u64 = 2 * 1024 * 1024 * 1024;

const COPY: &str = "copy-";
const IN_USE: &str = ".in-use";
const KEPT: &str = "content-";

/// Where copies are made.
#[derive(Debug, Clone)]
pub struct Copies {
    folder: PathBuf,
    room: u64,
}

/// A dossier laid out as a folder.
pub struct FolderCopy {
    folder: TempDir,
    in_use: PathBuf,
    copies: Copies,
    _lock: File,
}

impl Copies {
    /// Copies in the user's cache folder with a room of [`ROOM`]; `None` where the system has no such place.
    pub fn of_user() -> Option<Self> {
        Some(Self::at(Cache::of_user()?.beside("desk"), ROOM))
    }

    /// Copies in a folder, which need not be there yet; at most `room` bytes of files are kept.
    pub fn at(folder: PathBuf, room: u64) -> Self {
        Self { folder, room }
    }

    /// Begins a copy with its text.
    ///
    /// # Errors
    /// What the system refuses.
    pub fn begin(&self, text: &str) -> Result<FolderCopy, StoreError> {
        place::make_folder(&self.folder)?;
        for_owner_alone(&self.folder)?;
        let lock = Lock::of(&self.folder)?;
        self.clear_unused()?;
        let writing = |e| StoreError::system("write in", &self.folder, e);
        let folder = tempfile::Builder::new()
            .prefix(COPY)
            .rand_bytes(16)
            .tempdir_in(&self.folder)
            .map_err(writing)?;
        let in_use = beside(folder.path());
        let held = File::create_new(&in_use).map_err(writing)?;
        held.lock().map_err(writing)?;
        for inside in SUBFOLDERS {
            place::make_folder(&folder.path().join(inside))?;
        }
        fs::write(folder.path().join(TEXT), text).map_err(writing)?;
        drop(lock);
        Ok(FolderCopy {
            folder,
            in_use,
            copies: self.clone(),
            _lock: held,
        })
    }

    /// Removes folders that no run holds.
    fn clear_unused(&self) -> Result<(), StoreError> {
        for path in self.named(COPY)? {
            if !path.is_dir() {
                continue;
            }
            let in_use = beside(&path);
            let free = File::open(&in_use).map_or(true, |held| held.try_lock().is_ok());
            if free {
                place::remove(&path).map_err(|e| StoreError::system("clear away", &path, e))?;
                // A lock without a folder does no harm.
                let _ = fs::remove_file(in_use);
            }
        }
        Ok(())
    }

    fn named(&self, begin: &str) -> Result<Vec<PathBuf>, StoreError> {
        let looking = |e| StoreError::system("look into", &self.folder, e);
        let mut found = Vec::new();
        for entry in fs::read_dir(&self.folder).map_err(looking)? {
            let entry = entry.map_err(looking)?;
            if entry.file_name().to_string_lossy().starts_with(begin) {
                found.push(entry.path());
            }
        }
        Ok(found)
    }

    fn kept(&self, sha256: &str) -> PathBuf {
        self.folder.join(format!("{KEPT}{sha256}"))
    }

    /// Removes kept files, those used longest ago first, until the rest has room.
    fn make_room(&self) -> Result<(), StoreError> {
        let mut all = Vec::new();
        for path in self.named(KEPT)? {
            // One that is gone meanwhile takes no room.
            if let Ok(facts) = fs::symlink_metadata(&path) {
                let used = facts.modified().unwrap_or(SystemTime::UNIX_EPOCH);
                all.push((used, facts.len(), path));
            }
        }
        all.sort();
        let mut bytes: u64 = all.iter().map(|(_, bytes, _)| bytes).sum();
        for (_, size, path) in all {
            if bytes <= self.room {
                break;
            }
            fs::remove_file(&path).map_err(|e| StoreError::system("remove", &path, e))?;
            bytes -= size;
        }
        Ok(())
    }
}

impl FolderCopy {
    /// Where it lies.
    pub fn path(&self) -> &Path {
        self.folder.path()
    }

    /// Puts a file in its place if the content of this SHA-256 is kept; tells whether it was.
    ///
    /// # Errors
    /// A path that leads out of the folder; what the system refuses.
    pub fn link(&self, path: &str, sha256: &str) -> Result<bool, StoreError> {
        let to = self.inside(path)?;
        let kept = self.copies.kept(sha256);
        let bytes = match opener::read(&kept, limits::PHOTOGRAPH) {
            Ok(bytes) => bytes,
            Err(e) if e.fault == OpenFault::Missing => return Ok(false),
            Err(e) => return Err(e.into()),
        };
        if hex(&Sha256::digest(&bytes)) != sha256 {
            return Ok(false);
        }
        // When it was used last decides how long it stays; where that cannot be noted, it goes a little earlier.
        let _ = File::open(&kept).and_then(|file| file.set_modified(SystemTime::now()));
        self.linked(&kept, &to, &bytes)?;
        Ok(true)
    }

    /// Puts a file in its place and keeps its content for later copies.
    ///
    /// # Errors
    /// As [`FolderCopy::link`]; bytes that do not have this SHA-256.
    pub fn put(&self, path: &str, sha256: &str, bytes: &[u8]) -> Result<(), StoreError> {
        let to = self.inside(path)?;
        if hex(&Sha256::digest(bytes)) != sha256 {
            let other = io::Error::new(io::ErrorKind::InvalidData, "its content is another one");
            return Err(StoreError::system("write", &to, other));
        }
        let kept = self.copies.kept(sha256);
        let lock = Lock::of(&self.copies.folder)?;
        new_file(&lock, bytes)?
            .persist(&kept)
            .map_err(|e| StoreError::system("write", &kept, e.error))?;
        self.linked(&kept, &to, bytes)?;
        self.copies.make_room()
    }

    /// Links a kept file, or writes it where the system has no such links.
    fn linked(&self, kept: &Path, to: &Path, bytes: &[u8]) -> Result<(), StoreError> {
        if fs::hard_link(kept, to).is_ok() {
            return Ok(());
        }
        fs::write(to, bytes).map_err(|e| StoreError::system("write", to, e))
    }

    fn inside(&self, path: &str) -> Result<PathBuf, StoreError> {
        let inner = Path::new(path);
        let mut parts = inner.components();
        if path.is_empty() || !parts.all(|part| matches!(part, Component::Normal(_))) {
            return Err(StoreError::Nameless { path: inner.into() });
        }
        let to = self.path().join(inner);
        place::make_folder(to.parent().unwrap_or(self.path()))?;
        Ok(to)
    }
}

impl Drop for FolderCopy {
    fn drop(&mut self) {
        // The lock outlives the folder. What is left is cleared away when the next copy is begun.
        let _ = fs::remove_dir_all(self.folder.path());
        let _ = fs::remove_file(&self.in_use);
    }
}

/// The locked file that says that a folder is in use.
fn beside(folder: &Path) -> PathBuf {
    let mut name = folder.file_name().unwrap_or_default().to_os_string();
    name.push(IN_USE);
    folder.with_file_name(name)
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut text, byte| {
        // Writing to a String cannot fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// Dossiers may hold what is private.
#[cfg(unix)]
fn for_owner_alone(folder: &Path) -> Result<(), StoreError> {
    let mode = std::os::unix::fs::PermissionsExt::from_mode(0o700);
    fs::set_permissions(folder, mode).map_err(|e| StoreError::system("write in", folder, e))
}

#[cfg(not(unix))]
fn for_owner_alone(_: &Path) -> Result<(), StoreError> {
    Ok(())
}
