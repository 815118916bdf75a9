//! Output folders: reports and pictures, which are made from a dossier and can be made again.
//!
//! In: files and the folder they are to fill. Out: the folder, whole, in one step; or what forbids it.
//! Not here: evidence, dossiers and catalogues, which are never replaced (`kept`, `folder`).
//!
//! A folder is filled only if it is new, empty, or carries the marker of the same kind of output and holds
//! nothing that the marker does not list. It never lies among the evidence of a dossier.

use crate::exchange::exchange;
use crate::fault::StoreError;
use crate::kept::REVISIONS;
use crate::lock::Lock;
use crate::place::{self, existing, flush, new_folder, parted};
use crate::{FILE_FOLDERS, TEXT};
use std::collections::BTreeSet;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Component, Path, PathBuf};

/// Name of the file that marks a folder as written by Underlid and lists what it holds.
pub const MARKER: &str = ".underlid-output";
/// Most bytes of a marker: a site of ten thousand reports lists some hundred thousand files.
const LONGEST_MARKER: u64 = 64 * 1024 * 1024;

/// One file to write: its path inside the folder and its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OutputFile {
    /// Path inside the folder, `/` between parts.
    pub path: String,
    /// Content.
    pub bytes: Vec<u8>,
}

/// A kind of output.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Output {
    /// Its name, one word: `report`, `pictures`.
    pub kind: &'static str,
    /// The files of a folder that was written before there were markers. Only a folder that holds exactly these
    /// is taken for one; empty where no set of names tells it from a folder of the user's.
    pub unmarked: &'static [&'static str],
}

impl Output {
    /// Returns whether `into` may be filled; asked before long work is done for it.
    ///
    /// # Errors
    /// As [`Output::write`].
    pub fn may_fill(&self, into: &Path) -> Result<(), StoreError> {
        parted(into)?;
        refuse_evidence(into)?;
        self.refuse_foreign(into, into)
    }

    /// Fills the folder `into` with `files` and the marker. What was written there before is replaced as a
    /// whole, in one step.
    ///
    /// # Errors
    /// A folder that lies among evidence or holds something else; a link or a file in its place; what the
    /// system refuses. In each case what was there is there still.
    pub fn write(&self, into: &Path, files: &[OutputFile]) -> Result<(), StoreError> {
        self.write_with(into, files, exchange)
    }

    /// As [`Output::write`], with files that are made one after the other, so that only one is held at a time.
    ///
    /// # Errors
    /// As [`Output::write`]; the first file that could not be made, and then nothing is written.
    pub fn write_each<E: From<StoreError>>(
        &self,
        into: &Path,
        files: impl Iterator<Item = Result<OutputFile, E>>,
    ) -> Result<(), E> {
        self.write_staged(into, exchange, |folder| {
            let mut paths = Vec::new();
            for file in files {
                let file = file?;
                fill(folder, std::slice::from_ref(&file))?;
                paths.push(file.path);
            }
            Ok(paths)
        })
    }

    fn write_with(
        &self,
        into: &Path,
        files: &[OutputFile],
        exchange: impl Fn(&Path, &Path) -> io::Result<bool>,
    ) -> Result<(), StoreError> {
        self.write_staged(into, exchange, |folder| {
            fill(folder, files)?;
            Ok(files.iter().map(|file| file.path.clone()).collect())
        })
    }

    /// Lets `filled` fill a new folder, tell the paths in it, and puts it in place of what was written before.
    fn write_staged<E: From<StoreError>>(
        &self,
        into: &Path,
        exchange: impl Fn(&Path, &Path) -> io::Result<bool>,
        filled: impl FnOnce(&Path) -> Result<Vec<String>, E>,
    ) -> Result<(), E> {
        self.may_fill(into)?;
        let (folder, _) = parted(into)?;
        place::make_folder(&folder)?;
        let lock = Lock::of(&folder)?;
        self.refuse_foreign(into, into)?;
        let staging = new_folder(&lock)?;
        let paths = filled(staging.path())?;
        fill(staging.path(), &[self.marker(&paths)])?;
        Ok(self.put_in_place(into, staging.path(), exchange)?)
    }

    fn put_in_place(
        &self,
        into: &Path,
        staging: &Path,
        exchange: impl Fn(&Path, &Path) -> io::Result<bool>,
    ) -> Result<(), StoreError> {
        let (folder, name) = parted(into)?;
        let writing = |e| StoreError::system("write", into, e);
        if let Ok(found) = fs::metadata(into) {
            fs::set_permissions(staging, found.permissions()).map_err(writing)?;
        }
        if !is_filled(into)? {
            // An empty folder gives way to another one; one that was filled meanwhile does not.
            rename_over_empty(staging, into).map_err(writing)?;
            return flush(&folder);
        }
        if exchange(staging, into).map_err(writing)? {
            if let Err(foreign) = self.refuse_foreign(into, staging) {
                // Something was put there at the last moment.
                exchange(staging, into).map_err(writing)?;
                return Err(foreign);
            }
            flush(&folder)?;
        } else {
            // A run that is killed between the two leaves the earlier folder under a name from which the next
            // run puts it back.
            let earlier = folder.join(place::earlier(&name));
            fs::rename(into, &earlier).map_err(writing)?;
            let replaced = self
                .refuse_foreign(into, &earlier)
                .and_then(|()| fs::rename(staging, into).map_err(writing));
            if let Err(e) = replaced {
                fs::rename(&earlier, into).map_err(writing)?;
                return Err(e);
            }
            flush(&folder)?;
            place::remove(&earlier).map_err(|e| StoreError::system("clear away", &earlier, e))?;
        }
        Ok(())
    }

    fn marker(&self, paths: &[String]) -> OutputFile {
        let mut text = format!(
            "{}\n\nWritten by underlid, and replaced as a whole when it is written again.\n\
             Keep files of your own elsewhere. It holds:\n\n",
            self.heading()
        );
        for path in paths {
            text += &format!("- {path}\n");
        }
        OutputFile {
            path: MARKER.to_string(),
            bytes: text.into_bytes(),
        }
    }

    fn heading(&self) -> String {
        format!("underlid output: {}", self.kind)
    }

    /// Refuses a folder, now lying at `at`, that holds what is not from an earlier output of this kind. `into`
    /// is the name it is told under.
    fn refuse_foreign(&self, into: &Path, at: &Path) -> Result<(), StoreError> {
        let not_a_folder = || StoreError::NotA {
            path: into.to_path_buf(),
            wanted: "folder",
        };
        match fs::symlink_metadata(at) {
            Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(()),
            Err(e) => return Err(StoreError::system("look into", into, e)),
            Ok(found) if found.file_type().is_symlink() => {
                let path = into.to_path_buf();
                return Err(StoreError::Link { path });
            }
            Ok(found) if !found.is_dir() => return Err(not_a_folder()),
            Ok(_) => {}
        }
        let ours = match existing(&at.join(MARKER), LONGEST_MARKER)? {
            Some(marker) => self.listed(&String::from_utf8_lossy(&marker)),
            None if self.unmarked.iter().all(|name| at.join(name).is_file()) => {
                self.unmarked.iter().map(ToString::to_string).collect()
            }
            None => BTreeSet::new(),
        };
        match foreign(at, "", &ours) {
            Ok(None) => Ok(()),
            Ok(Some(name)) => Err(StoreError::Foreign {
                path: into.to_path_buf(),
                name,
                kind: self.kind,
            }),
            Err(e) => Err(StoreError::system("look into", into, e)),
        }
    }

    /// Returns the names that a marker of this kind lists, its own among them.
    fn listed(&self, marker: &str) -> BTreeSet<String> {
        let mut lines = marker.lines();
        if lines.next() != Some(self.heading().as_str()) {
            return BTreeSet::new();
        }
        lines
            .filter_map(|line| line.strip_prefix("- "))
            .chain([MARKER])
            .map(str::to_string)
            .collect()
    }
}

/// Returns the first thing below a folder that is not one of the files in `ours`, by its path with `/` between
/// parts: another file, a link, a pipe, an empty folder.
fn foreign(folder: &Path, before: &str, ours: &BTreeSet<String>) -> io::Result<Option<String>> {
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let path = format!("{before}{}", entry.file_name().to_string_lossy());
        let kind = entry.file_type()?;
        let beginning = format!("{path}/");
        if kind.is_dir() && ours.iter().any(|name| name.starts_with(&beginning)) {
            let inside = foreign(&entry.path(), &beginning, ours)?;
            if inside.is_some() {
                return Ok(inside);
            }
        } else if !(kind.is_file() && ours.contains(&path)) {
            return Ok(Some(path));
        }
    }
    Ok(None)
}

/// Refuses a folder that is one of those in which a dossier keeps evidence, or lies below one.
fn refuse_evidence(into: &Path) -> Result<(), StoreError> {
    let place = resolved(into).map_err(|e| StoreError::system("look at", into, e))?;
    for folder in place.ancestors() {
        let (Some(name), Some(above)) = (folder.file_name(), folder.parent()) else {
            continue;
        };
        let is_kept = FILE_FOLDERS
            .iter()
            .chain(&[REVISIONS])
            .any(|kept| name.eq_ignore_ascii_case(kept));
        if is_kept && fs::symlink_metadata(above.join(TEXT)).is_ok() {
            return Err(StoreError::Evidence {
                path: into.to_path_buf(),
                kept: folder.to_path_buf(),
            });
        }
    }
    Ok(())
}

/// Returns the place a path leads to, links and `..` followed, whether or not it is there yet.
fn resolved(path: &Path) -> io::Result<PathBuf> {
    let mut place = PathBuf::new();
    for part in std::path::absolute(path)?.components() {
        match part {
            Component::ParentDir => {
                place.pop();
            }
            other => {
                place.push(other);
                if let Ok(real) = place.canonicalize() {
                    place = real;
                }
            }
        }
    }
    Ok(place)
}

fn is_filled(folder: &Path) -> Result<bool, StoreError> {
    match fs::read_dir(folder) {
        Ok(mut entries) => Ok(entries.next().is_some()),
        Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(false),
        Err(e) => Err(StoreError::system("look into", folder, e)),
    }
}

/// Gives a folder its name, where there is nothing or an empty folder.
pub(crate) fn rename_over_empty(staging: &Path, into: &Path) -> io::Result<()> {
    if cfg!(not(unix)) && into.is_dir() {
        // Only an empty folder can be removed like this.
        fs::remove_dir(into)?;
    }
    fs::rename(staging, into)
}

/// Writes files below a folder and flushes them and the folders made for them.
pub(crate) fn fill(folder: &Path, files: &[OutputFile]) -> Result<(), StoreError> {
    for file in files {
        let path = folder.join(&file.path);
        let within = path.strip_prefix(folder).is_ok_and(|inner| {
            let mut parts = inner.components();
            parts.all(|part| matches!(part, Component::Normal(_)))
        });
        if !within {
            return Err(StoreError::Nameless { path });
        }
        let above = path.parent().unwrap_or(folder);
        place::make_folder(above)?;
        File::create_new(&path)
            .and_then(|mut out| {
                out.write_all(&file.bytes)?;
                // A full disk may show only here.
                out.sync_all()
            })
            .map_err(|e| StoreError::system("write", &path, e))?;
    }
    let folders: BTreeSet<PathBuf> = files
        .iter()
        .filter_map(|file| Some(folder.join(&file.path).parent()?.to_path_buf()))
        .collect();
    folders.iter().try_for_each(|folder| flush(folder))
}

#[cfg(test)]
mod tests;
