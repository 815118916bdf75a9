//! One bounded opener for every read.
//!
//! In: a path, or a folder and a path inside it; the most bytes that are borne. Out: the bytes of a regular
//! file, or why there are none. Opening never waits for a pipe or a device; what was opened is asked what it
//! is, not its name; the limit holds while reading too, so that a file that grows does not fill the memory.
//! Inside a folder, no link and no `..` leads out: each step of the path is resolved below the folder by the
//! system (on Linux `openat2` with `RESOLVE_BENEATH`), so nothing can be exchanged in between.
//! Not here: what the bytes mean; how many are borne (`limits`).

use cap_std::ambient_authority;
use cap_std::fs::Dir;
use std::ffi::OsString;
use std::fmt;
use std::fs::{File, OpenOptions};
use std::io::{self, Read};
use std::path::{Component, Path, PathBuf};
use std::time::SystemTime;

/// Most names of one folder that are listed.
const MOST_NAMES: usize = 100_000;

/// Why a file or folder was not read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OpenFault {
    /// There is nothing of this name.
    Missing,
    /// It is something else than was asked for.
    NotA {
        /// What was asked for: `file` or `folder`.
        wanted: &'static str,
        /// What it is, with its article.
        is: &'static str,
    },
    /// A link or `..` leads out of the folder that the path was to stay in.
    Outside,
    /// It has more bytes than are borne.
    TooLarge {
        /// Most bytes that are borne.
        most: u64,
    },
    /// The folder has more names than are listed.
    TooMany {
        /// Most names that are listed.
        most: usize,
    },
    /// The system refused, and why.
    Refused {
        /// Its reason, in plain words.
        reason: String,
        /// Whether the permission is missing.
        permission: bool,
    },
}

/// A file or folder that was not read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub struct OpenError {
    /// Its path, as asked for.
    pub path: PathBuf,
    /// What is wrong with it.
    pub fault: OpenFault,
}

impl OpenError {
    fn new(path: &Path, fault: OpenFault) -> Self {
        Self {
            path: path.to_path_buf(),
            fault,
        }
    }

    fn io(path: &Path, error: &io::Error) -> Self {
        Self::new(path, OpenFault::from_io(error))
    }

    /// Returns what is wrong, without the path.
    pub fn reason(&self) -> String {
        match &self.fault {
            OpenFault::Missing => "there is no such file or folder".into(),
            OpenFault::NotA { wanted, is } => format!("it is {is}, not a {wanted}"),
            OpenFault::Outside => "a link or '..' in it leads outside the folder".into(),
            OpenFault::TooLarge { most } => {
                format!("the file is larger than the {} that are read", size(*most))
            }
            OpenFault::TooMany { most } => {
                format!("the folder holds more than the {most} files that are listed")
            }
            OpenFault::Refused { reason, .. } => reason.clone(),
        }
    }

    /// Returns what a person can do about it.
    pub fn remedy(&self) -> &'static str {
        match &self.fault {
            OpenFault::Missing => "check the path",
            OpenFault::NotA { wanted: "file", .. } => "name a file, or put the file itself there",
            OpenFault::NotA { .. } => "name a folder",
            OpenFault::Outside => "put the file itself in the folder",
            OpenFault::TooLarge { .. } => {
                "check that it is the right file; save a smaller one, or split it"
            }
            OpenFault::TooMany { .. } => "move some of them to another folder",
            OpenFault::Refused {
                permission: true, ..
            } => "ask its owner, or change its permissions so that you may read it",
            OpenFault::Refused { .. } => "check the path and the disk",
        }
    }
}

impl fmt::Display for OpenError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "cannot read {}: {}", self.path.display(), self.reason())
    }
}

impl OpenFault {
    fn from_io(error: &io::Error) -> Self {
        let refused = |reason: String| Self::Refused {
            reason,
            permission: error.kind() == io::ErrorKind::PermissionDenied,
        };
        match error.kind() {
            io::ErrorKind::NotFound => Self::Missing,
            // The sandbox refuses without asking the system; the system always gives a number.
            io::ErrorKind::PermissionDenied if error.raw_os_error().is_none() => Self::Outside,
            io::ErrorKind::PermissionDenied => refused("permission is missing".into()),
            io::ErrorKind::NotADirectory => refused("a part of the path is a file".into()),
            _ if is_no_device(error) => Self::NotA {
                wanted: "file",
                is: "a socket or a device",
            },
            _ => refused(error.to_string()),
        }
    }
}

/// Reads the whole regular file at `path` if it has at most `most` bytes. Links are followed: the path was
/// named by the user.
///
/// # Errors
/// Nothing there, something else than a file (told at once, without waiting), too large, refused.
pub fn read(path: &Path, most: u64) -> Result<Vec<u8>, OpenError> {
    whole(open(path, most)?, path, most)
}

/// Reads the whole regular file at `relative` inside `folder` if it has at most `most` bytes.
///
/// # Errors
/// As [`read`]; a path that is absolute, has a `..` or a link that leads out of `folder`.
pub fn read_inside(
    folder: &Path,
    relative: impl AsRef<Path>,
    most: u64,
) -> Result<Vec<u8>, OpenError> {
    let relative = relative.as_ref();
    let path = folder.join(relative);
    whole(open_inside(folder, relative, most)?, &path, most)
}

/// Opens the regular file at `path` if it has at most `most` bytes.
///
/// # Errors
/// As [`read`].
pub fn open(path: &Path, most: u64) -> Result<File, OpenError> {
    let mut options = OpenOptions::new();
    options.read(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::custom_flags(&mut options, without_waiting());
    let file = options.open(path).map_err(|e| OpenError::io(path, &e))?;
    regular(file, path, most)
}

/// Opens the regular file at `relative` inside `folder` if it has at most `most` bytes.
///
/// # Errors
/// As [`read_inside`].
pub fn open_inside(
    folder: &Path,
    relative: impl AsRef<Path>,
    most: u64,
) -> Result<File, OpenError> {
    let relative = relative.as_ref();
    let path = folder.join(relative);
    if relative
        .components()
        .any(|part| part == Component::ParentDir)
    {
        return Err(OpenError::new(&path, OpenFault::Outside));
    }
    let root = Dir::open_ambient_dir(folder, ambient_authority())
        .map_err(|e| OpenError::io(folder, &e))?;
    let mut options = cap_std::fs::OpenOptions::new();
    options.read(true);
    #[cfg(unix)]
    cap_std::fs::OpenOptionsExt::custom_flags(&mut options, without_waiting());
    let file = root
        .open_with(relative, &options)
        .map_err(|e| OpenError::io(&path, &e))?;
    regular(file.into_std(), &path, most)
}

/// What lies at a path, links followed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A regular file.
    File,
    /// A folder.
    Folder,
    /// A device, a pipe, a socket.
    Other,
}

/// Returns what lies at `path`, links followed; `None` where there is nothing.
///
/// # Errors
/// A path that may not be looked at.
pub fn kind(path: &Path) -> Result<Option<Kind>, OpenError> {
    match std::fs::metadata(path) {
        Ok(found) if found.is_file() => Ok(Some(Kind::File)),
        Ok(found) if found.is_dir() => Ok(Some(Kind::Folder)),
        Ok(_) => Ok(Some(Kind::Other)),
        Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(e) => Err(OpenError::io(path, &e)),
    }
}

/// Returns the names in `folder`, sorted.
///
/// # Errors
/// A folder that is not there, may not be looked into or holds too many names.
pub fn names(folder: &Path) -> Result<Vec<OsString>, OpenError> {
    let entries = std::fs::read_dir(folder).map_err(|e| OpenError::io(folder, &e))?;
    sorted(folder, entries.map(|entry| entry.map(|e| e.file_name())))
}

/// Returns the names in the folder `relative` inside `folder`, sorted; empty where there is no such folder.
///
/// # Errors
/// As [`names`]; a link that leads out of `folder`.
pub fn names_inside(folder: &Path, relative: impl AsRef<Path>) -> Result<Vec<OsString>, OpenError> {
    let relative = relative.as_ref();
    let path = folder.join(relative);
    let root = Dir::open_ambient_dir(folder, ambient_authority())
        .map_err(|e| OpenError::io(folder, &e))?;
    match root.read_dir(relative) {
        Ok(entries) => sorted(&path, entries.map(|entry| entry.map(|e| e.file_name()))),
        Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(Vec::new()),
        Err(e) => Err(OpenError::io(&path, &e)),
    }
}

/// A regular file below a folder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FoundFile {
    /// Path inside the folder that was looked through, with `/`.
    pub path: String,
    /// Bytes.
    pub bytes: u64,
    /// When it was changed last, where the system says so.
    pub modified: Option<SystemTime>,
}

/// Most folders within each other that are looked through.
const DEEPEST: usize = 7;

/// Lists the regular files in the folder `relative` inside `folder` and in those below it, sorted within each; those
/// whose names begin with a dot are left out. None where there is no such folder.
///
/// # Errors
/// As [`names_inside`]; what is neither file nor folder, a name that is no Unicode text, folders that are too deep, too
/// many files.
pub fn files_below(folder: &Path, relative: &str) -> Result<Vec<FoundFile>, OpenError> {
    let mut found = Vec::new();
    below(folder, relative, 0, &mut found)?;
    Ok(found)
}

fn below(
    folder: &Path,
    relative: &str,
    depth: usize,
    found: &mut Vec<FoundFile>,
) -> Result<(), OpenError> {
    let refused = |path: &Path, reason: &str| {
        let reason = reason.to_string();
        let permission = false;
        OpenError::new(path, OpenFault::Refused { reason, permission })
    };
    let inside = folder.join(relative);
    if depth > DEEPEST {
        return Err(refused(&inside, "its folders are too deep"));
    }
    for name in names_inside(folder, relative)? {
        let Some(name) = name.to_str() else {
            return Err(refused(&inside.join(&name), "its name is no Unicode text"));
        };
        if name.starts_with('.') {
            continue;
        }
        let path = format!("{relative}/{name}");
        match open_inside(folder, &path, u64::MAX) {
            Ok(file) => {
                let known = file.metadata();
                let known = known.map_err(|e| OpenError::io(&folder.join(&path), &e))?;
                found.push(FoundFile {
                    path,
                    bytes: known.len(),
                    modified: known.modified().ok(),
                });
            }
            Err(OpenError {
                fault: OpenFault::NotA { is: FOLDER, .. },
                ..
            }) => below(folder, &path, depth + 1, found)?,
            Err(error) => return Err(error),
        }
        if found.len() > MOST_NAMES {
            return Err(OpenError::new(
                &inside,
                OpenFault::TooMany { most: MOST_NAMES },
            ));
        }
    }
    Ok(())
}

/// Returns when the regular file at `relative` inside `folder` was changed last, where the system says so.
///
/// # Errors
/// As [`read_inside`].
pub fn modified_inside(folder: &Path, relative: &str) -> Result<Option<SystemTime>, OpenError> {
    let file = open_inside(folder, relative, u64::MAX)?;
    let known = file.metadata();
    let known = known.map_err(|e| OpenError::io(&folder.join(relative), &e))?;
    Ok(known.modified().ok())
}

/// What a folder is called where a file was asked for.
const FOLDER: &str = "a folder";

fn sorted(
    folder: &Path,
    names: impl Iterator<Item = io::Result<OsString>>,
) -> Result<Vec<OsString>, OpenError> {
    let mut found = names
        .take(MOST_NAMES + 1)
        .collect::<io::Result<Vec<_>>>()
        .map_err(|e| OpenError::io(folder, &e))?;
    if found.len() > MOST_NAMES {
        return Err(OpenError::new(
            folder,
            OpenFault::TooMany { most: MOST_NAMES },
        ));
    }
    found.sort();
    Ok(found)
}

/// Asks what was opened, not its name: the name may have changed hands since.
fn regular(file: File, path: &Path, most: u64) -> Result<File, OpenError> {
    let found = file.metadata().map_err(|e| OpenError::io(path, &e))?;
    if !found.is_file() {
        let is = what(found.file_type());
        return Err(OpenError::new(path, OpenFault::NotA { wanted: "file", is }));
    }
    if found.len() > most {
        return Err(OpenError::new(path, OpenFault::TooLarge { most }));
    }
    Ok(file)
}

fn whole(file: File, path: &Path, most: u64) -> Result<Vec<u8>, OpenError> {
    let mut bytes = Vec::new();
    file.take(most.saturating_add(1))
        .read_to_end(&mut bytes)
        .map_err(|e| OpenError::io(path, &e))?;
    if bytes.len() as u64 > most {
        return Err(OpenError::new(path, OpenFault::TooLarge { most }));
    }
    Ok(bytes)
}

#[cfg(unix)]
fn what(kind: std::fs::FileType) -> &'static str {
    use std::os::unix::fs::FileTypeExt;
    if kind.is_dir() {
        FOLDER
    } else if kind.is_fifo() {
        "a pipe"
    } else if kind.is_char_device() || kind.is_block_device() {
        "a device"
    } else {
        "no file"
    }
}

#[cfg(not(unix))]
fn what(kind: std::fs::FileType) -> &'static str {
    if kind.is_dir() { FOLDER } else { "no file" }
}

/// Flags with which opening a pipe or a terminal returns at once and takes hold of nothing.
#[cfg(unix)]
fn without_waiting() -> i32 {
    use rustix::fs::OFlags;
    (OFlags::NONBLOCK | OFlags::NOCTTY).bits().cast_signed()
}

/// A socket cannot be opened, nor a device that nothing drives.
#[cfg(unix)]
fn is_no_device(error: &io::Error) -> bool {
    error.raw_os_error() == Some(rustix::io::Errno::NXIO.raw_os_error())
}

#[cfg(not(unix))]
fn is_no_device(_: &io::Error) -> bool {
    false
}

fn size(bytes: u64) -> String {
    match bytes {
        0..1_048_576 => format!("{bytes} bytes"),
        _ => format!("{} MB", bytes / 1_048_576),
    }
}

#[cfg(all(test, unix))]
mod tests;
