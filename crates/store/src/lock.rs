//! Whoever changes an entry of a folder holds the lock of that folder.
//!
//! In: a folder. Out: a [`Lock`] that is let go when it is dropped, or when its process ends in whatever way.
//! Not here: what is written under it (`place`, `kept`, `output`).
//!
//! The lock lies on the file `.underlid.lock` in the folder. The file stays: whoever waits for a lock waits at
//! one file, and a file that is removed would let two in. If somebody removes it all the same, that is
//! noticed: a lock counts only while its file is the one that the name leads to. The lock is advisory (`flock`
//! on Unix); it keeps runs of Underlid apart, not editors.

use crate::fault::StoreError;
use crate::place;
use std::fs::{File, OpenOptions, TryLockError};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// Name of the locked file.
pub(crate) const NAME: &str = ".underlid.lock";
/// How long another run is waited for.
const PATIENCE: Duration = Duration::from_secs(120);
/// How often it is looked whether the lock is free.
const PAUSE: Duration = Duration::from_millis(1);

/// The right to change the entries of one folder.
pub(crate) struct Lock {
    folder: PathBuf,
    /// Unlocked when it is closed.
    _file: File,
}

impl Lock {
    /// Waits for the lock of `folder`, then clears away what killed runs left there.
    ///
    /// # Errors
    /// A folder that cannot be written, a link in place of the locked file, a run that does not end.
    pub(crate) fn of(folder: &Path) -> Result<Self, StoreError> {
        let path = folder.join(NAME);
        let began = Instant::now();
        loop {
            let file = open(&path)?;
            match file.try_lock() {
                Ok(()) if is_still(&file, &path) => {
                    let lock = Self {
                        folder: folder.to_path_buf(),
                        _file: file,
                    };
                    place::clear(&lock)?;
                    return Ok(lock);
                }
                // The name leads to another file by now.
                Ok(()) => {}
                Err(TryLockError::WouldBlock) => std::thread::sleep(PAUSE),
                Err(TryLockError::Error(e)) => return Err(StoreError::system("lock", folder, e)),
            }
            if began.elapsed() > PATIENCE {
                return Err(StoreError::Busy {
                    path: folder.to_path_buf(),
                    seconds: PATIENCE.as_secs(),
                });
            }
        }
    }

    /// Lets go and removes the locked file, where the folder itself is to be removed. Who waits at it notices.
    pub(crate) fn give_up(self) {
        // A file that stays does no harm.
        let _ = std::fs::remove_file(self.folder.join(NAME));
    }

    /// Returns the folder whose entries may be changed.
    pub(crate) fn folder(&self) -> &Path {
        &self.folder
    }
}

fn open(path: &Path) -> Result<File, StoreError> {
    let mut options = OpenOptions::new();
    options.read(true).write(true).create(true).truncate(false);
    #[cfg(unix)]
    {
        use rustix::fs::OFlags;
        use std::os::unix::fs::OpenOptionsExt as _;
        // A planted link is not followed, a planted pipe not waited for.
        let flags = OFlags::NOFOLLOW | OFlags::NONBLOCK;
        options.custom_flags(flags.bits().cast_signed());
    }
    let file = options.open(path).map_err(|e| {
        if place::is_link(path) {
            return StoreError::Link {
                path: path.to_path_buf(),
            };
        }
        // The folder is what a person knows of.
        let folder = path.parent().unwrap_or(path);
        StoreError::system("write in", folder, e)
    })?;
    match file.metadata() {
        Ok(found) if found.is_file() => Ok(file),
        Ok(_) => Err(StoreError::NotA {
            path: path.to_path_buf(),
            wanted: "file",
        }),
        Err(e) => Err(StoreError::system("lock", path, e)),
    }
}

/// Returns whether the name still leads to the file that was locked.
#[cfg(unix)]
fn is_still(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt as _;
    let same = || -> std::io::Result<bool> {
        let (held, named) = (file.metadata()?, std::fs::symlink_metadata(path)?);
        Ok((held.dev(), held.ino()) == (named.dev(), named.ino()))
    };
    same().unwrap_or(false)
}

/// An open file cannot be removed here.
#[cfg(not(unix))]
fn is_still(_: &File, _: &Path) -> bool {
    true
}

#[cfg(test)]
mod tests;
