//! Files and folders that are filled piece by piece and appear whole.
//!
//! In: the path they are to have. Out: a place to write to that is cleared away by itself unless it is finished.
//! Not here: replacing what is there (`kept`, `output`).

use crate::fault::StoreError;
use crate::folder::refuse_filled;
use crate::lock::Lock;
use crate::output::{OutputFile, fill, rename_over_empty};
use crate::place::{self, flush, parted};
use std::fs::{self, File};
use std::io::{self, Seek, Write};
use std::path::{Path, PathBuf};
use tempfile::{NamedTempFile, TempDir};

/// A folder being filled. The folder that will hold it is locked meanwhile.
pub struct NewFolder {
    into: PathBuf,
    above: PathBuf,
    staging: TempDir,
    _lock: Lock,
}

impl NewFolder {
    /// Begins a folder that is not there yet, or is empty.
    ///
    /// # Errors
    /// Where `into` holds something, or cannot be made.
    pub fn begin(into: &Path) -> Result<Self, StoreError> {
        let (above, _) = parted(into)?;
        place::make_folder(&above)?;
        let lock = Lock::of(&above)?;
        refuse_filled(into)?;
        Ok(Self {
            into: into.to_path_buf(),
            above,
            staging: place::new_folder(&lock)?,
            _lock: lock,
        })
    }

    /// Where it is filled.
    pub fn path(&self) -> &Path {
        self.staging.path()
    }

    /// Writes a file into it, and flushes it.
    ///
    /// # Errors
    /// A path that leads out of it; what the system refuses.
    pub fn put(&self, file: &OutputFile) -> Result<(), StoreError> {
        fill(self.path(), std::slice::from_ref(file))
    }

    /// Makes a folder in it, which may stay empty.
    ///
    /// # Errors
    /// What the system refuses.
    pub fn put_folder(&self, name: &str) -> Result<(), StoreError> {
        place::make_folder(&self.path().join(name))
    }

    /// Flushes all that is in it, whoever wrote it, and gives it its name.
    ///
    /// # Errors
    /// What the system refuses; then there is nothing under the name.
    pub fn finish(self) -> Result<(), StoreError> {
        flush_all(self.path())?;
        rename_over_empty(self.path(), &self.into)
            .map_err(|e| StoreError::system("write", &self.into, e))?;
        flush(&self.above)
    }
}

fn flush_all(folder: &Path) -> Result<(), StoreError> {
    let failed = |e| StoreError::system("write in", folder, e);
    for entry in fs::read_dir(folder).map_err(failed)? {
        let entry = entry.map_err(failed)?;
        let kind = entry.file_type().map_err(failed)?;
        if kind.is_dir() {
            flush_all(&entry.path())?;
        } else if kind.is_file() {
            File::open(entry.path())
                .and_then(|file| file.sync_all())
                .map_err(failed)?;
        }
    }
    flush(folder)
}

/// A file being written. The folder that will hold it is locked meanwhile.
pub struct NewFile {
    into: PathBuf,
    above: PathBuf,
    file: NamedTempFile,
    _lock: Lock,
}

impl NewFile {
    /// Begins a file that is not there yet.
    ///
    /// # Errors
    /// Where there is something at `into`, or nothing can be made there.
    pub fn begin(into: &Path) -> Result<Self, StoreError> {
        let (above, _) = parted(into)?;
        place::make_folder(&above)?;
        let lock = Lock::of(&above)?;
        if fs::symlink_metadata(into).is_ok() {
            return Err(StoreError::Taken {
                path: into.to_path_buf(),
            });
        }
        Ok(Self {
            into: into.to_path_buf(),
            above,
            file: place::new_file(&lock, &[])?,
            _lock: lock,
        })
    }

    /// Flushes it and gives it its name.
    ///
    /// # Errors
    /// Where something took the name meanwhile; what the system refuses. Then there is no new file.
    pub fn finish(self) -> Result<(), StoreError> {
        let failed = |e| StoreError::system("write", &self.into, e);
        self.file.as_file().sync_all().map_err(failed)?;
        match self.file.persist_noclobber(&self.into) {
            Ok(_) => flush(&self.above),
            Err(e) if e.error.kind() == io::ErrorKind::AlreadyExists => {
                let path = self.into;
                Err(StoreError::Taken { path })
            }
            Err(e) => Err(StoreError::system("write", &self.into, e.error)),
        }
    }
}

impl Write for NewFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.file.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}

impl Seek for NewFile {
    fn seek(&mut self, to: io::SeekFrom) -> io::Result<u64> {
        self.file.seek(to)
    }
}
