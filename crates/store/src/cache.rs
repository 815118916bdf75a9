//! What was worked out before and can be worked out again: files in the user's cache folder.
//!
//! In: a key that follows from all that a file was made of; what is to be kept. Out: the file of that key, with a
//! sum over its bytes; or nothing.
//! Not here: what the bytes mean; when something is worth keeping.
//!
//! Any of it may be removed at any time. A file appears whole or not at all, and the folder holds no more of each
//! [`Sort`] than its room: the ones used longest ago give way.
//! Source: XDG Base Directory Specification 0.8 (`XDG_CACHE_HOME`); the folders of other systems are `common
//! practice`.

use crate::fault::StoreError;
use crate::limits;
use crate::lock::Lock;
use crate::opener::{self, OpenFault};
use crate::place::{self, flush, new_file_of};
use sha2::{Digest, Sha256};
use std::fs::{self, File};
use std::io::{self, BufReader, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// Most indexes that are kept.
pub const MOST_FILES: usize = 4;

/// What is kept; each sort has its own room.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sort {
    /// Catalogues made ready: at most [`MOST_FILES`].
    Index,
    /// What was made of photographs: at most so many bytes together.
    Picture(u64),
}

impl Sort {
    /// How the names of its files begin.
    fn begin(self) -> &'static str {
        match self {
            Self::Index => "index-",
            Self::Picture(_) => "picture-",
        }
    }

    /// The largest file of it that is read.
    fn limit(self) -> u64 {
        match self {
            Self::Index => limits::INDEX,
            Self::Picture(_) => limits::TILES,
        }
    }

    /// Whether so many files with so many bytes have room.
    fn has_room(self, files: usize, bytes: u64) -> bool {
        match self {
            Self::Index => files <= MOST_FILES,
            Self::Picture(most) => bytes <= most,
        }
    }
}

/// Bytes of the sum at the end of a file.
const SUM: u64 = 4;

/// A folder of files that can be made again.
#[derive(Debug, Clone)]
pub struct Cache {
    folder: PathBuf,
    sort: Sort,
}

/// Name of what was made of some content.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Key(String);

impl Key {
    /// Makes the key of some pieces of content; each counts with its length.
    pub fn of<'a>(pieces: impl IntoIterator<Item = &'a [u8]>) -> Self {
        let mut sum = Sha256::new();
        for piece in pieces {
            sum.update((piece.len() as u64).to_le_bytes());
            sum.update(piece);
        }
        Self(
            sum.finalize()
                .iter()
                .map(|byte| format!("{byte:02x}"))
                .collect(),
        )
    }
}

/// A kept file being read. Its sum is known at its end, so that nothing made of it counts before
/// [`Kept::is_whole`] was asked.
#[derive(Debug)]
pub struct Kept {
    file: BufReader<File>,
    left: u64,
    sum: crc32fast::Hasher,
}

impl Read for Kept {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let most = usize::try_from(self.left)
            .unwrap_or(into.len())
            .min(into.len());
        let read = self.file.read(&mut into[..most])?;
        self.sum.update(&into[..read]);
        self.left -= read as u64;
        Ok(read)
    }
}

impl Kept {
    /// Whether everything was read and is what was kept.
    pub fn is_whole(mut self) -> bool {
        let mut sum = [0; SUM as usize];
        let read = self.file.read_exact(&mut sum);
        self.left == 0 && read.is_ok() && self.sum.finalize().to_le_bytes() == sum
    }
}

impl Cache {
    /// Returns the cache folder of the user: `UNDERLID_CACHE`, or else where the system keeps such files; `None`
    /// where it has no such place.
    pub fn of_user() -> Option<Self> {
        let place = |name: &str| {
            let path = PathBuf::from(std::env::var_os(name)?);
            path.is_absolute().then_some(path)
        };
        if let Some(folder) = place("UNDERLID_CACHE") {
            return Some(Self::at(folder));
        }
        let above = if cfg!(windows) {
            place("LOCALAPPDATA")
        } else if cfg!(target_os = "macos") {
            place("HOME").map(|home| home.join("Library/Caches"))
        } else {
            place("XDG_CACHE_HOME").or_else(|| place("HOME").map(|home| home.join(".cache")))
        };
        above.map(|above| Self::at(above.join("underlid")))
    }

    /// Returns the cache folder of the user; where the system has no such place, one among its temporary files.
    pub fn of_user_or_temporary() -> Self {
        Self::of_user().unwrap_or_else(|| Self::at(std::env::temp_dir().join("underlid-cache")))
    }

    /// Returns a cache of indexes in a folder, which need not be there yet.
    pub fn at(folder: PathBuf) -> Self {
        let sort = Sort::Index;
        Self { folder, sort }
    }

    /// Returns a folder inside it, for what is kept as folders.
    pub(crate) fn beside(&self, name: &str) -> PathBuf {
        self.folder.join(name)
    }

    /// Returns the same folder for files of another sort.
    pub fn of(self, sort: Sort) -> Self {
        Self { sort, ..self }
    }

    /// Returns where the file of a key lies.
    pub fn path(&self, key: &Key) -> PathBuf {
        self.folder.join(format!("{}{}", self.sort.begin(), key.0))
    }

    /// Opens the file of a key; `None` where there is none.
    ///
    /// # Errors
    /// What lies there and cannot be read.
    pub fn open(&self, key: &Key) -> Result<Option<Kept>, StoreError> {
        let path = self.path(key);
        let file = match opener::open(&path, self.sort.limit()) {
            Ok(file) => file,
            Err(e) if e.fault == OpenFault::Missing => return Ok(None),
            Err(e) => return Err(e.into()),
        };
        let reading = |e| StoreError::system("read", &path, e);
        let length = file.metadata().map_err(reading)?.len();
        // When it was used last decides how long it stays; where that cannot be noted, it goes a little earlier.
        let _ = file.set_modified(SystemTime::now());
        Ok(Some(Kept {
            file: BufReader::with_capacity(1 << 16, file),
            left: length.saturating_sub(SUM),
            sum: crc32fast::Hasher::new(),
        }))
    }

    /// Reads `length` bytes of the file of a key from byte `from` on; `None` where there are none. What is read is
    /// not held against the sum: it is for files that were read as a whole before.
    ///
    /// # Errors
    /// What lies there and cannot be read.
    pub fn piece(
        &self,
        key: &Key,
        from: u64,
        length: usize,
    ) -> Result<Option<Vec<u8>>, StoreError> {
        let path = self.path(key);
        let mut file = match opener::open(&path, self.sort.limit()) {
            Ok(file) => file,
            Err(e) if e.fault == OpenFault::Missing => return Ok(None),
            Err(e) => return Err(e.into()),
        };
        let reading = |e| StoreError::system("read", &path, e);
        file.seek(SeekFrom::Start(from)).map_err(reading)?;
        let mut piece = Vec::new();
        let read = file.take(length as u64).read_to_end(&mut piece);
        read.map_err(reading)?;
        Ok((piece.len() == length).then_some(piece))
    }

    /// Keeps what `write` writes under a key, and removes what was used longest ago and has no room beside it.
    ///
    /// # Errors
    /// What the system refuses; then nothing new is kept.
    pub fn keep(
        &self,
        key: &Key,
        write: impl FnOnce(&mut dyn Write) -> io::Result<()>,
    ) -> Result<(), StoreError> {
        place::make_folder(&self.folder)?;
        let lock = Lock::of(&self.folder)?;
        let path = self.path(key);
        if place::is_link(&path) {
            return Err(StoreError::Link { path });
        }
        let new = new_file_of(&lock, |to| {
            let mut summed = Summed {
                to,
                sum: crc32fast::Hasher::new(),
            };
            write(&mut summed)?;
            let sum = summed.sum.finalize();
            to.write_all(&sum.to_le_bytes())
        })?;
        new.persist(&path)
            .map_err(|e| StoreError::system("write", &path, e.error))?;
        self.clear(&path)?;
        flush(&self.folder)
    }

    /// Removes the files used longest ago, and never the one just written.
    fn clear(&self, newest: &Path) -> Result<(), StoreError> {
        let looking = |e| StoreError::system("look into", &self.folder, e);
        let mut found = Vec::new();
        let (mut files, mut bytes) = (1, fs::metadata(newest).map_err(looking)?.len());
        for entry in fs::read_dir(&self.folder).map_err(looking)? {
            let entry = entry.map_err(looking)?;
            let name = entry.file_name();
            let own = name.to_string_lossy().starts_with(self.sort.begin());
            if own && entry.path() != newest {
                let facts = entry.metadata().map_err(looking)?;
                (files, bytes) = (files + 1, bytes + facts.len());
                found.push((
                    facts.modified().map_err(looking)?,
                    facts.len(),
                    entry.path(),
                ));
            }
        }
        found.sort();
        for (_, size, path) in found {
            if self.sort.has_room(files, bytes) {
                break;
            }
            fs::remove_file(&path).map_err(|e| StoreError::system("remove", &path, e))?;
            (files, bytes) = (files - 1, bytes - size);
        }
        Ok(())
    }
}

struct Summed<'a> {
    to: &'a mut dyn Write,
    sum: crc32fast::Hasher,
}

impl Write for Summed<'_> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let written = self.to.write(bytes)?;
        self.sum.update(&bytes[..written]);
        Ok(written)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.to.flush()
    }
}
