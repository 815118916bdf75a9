//! A zip archive as a source, read as if its maker meant harm.
//!
//! In: bytes. Out: names and contents of regular files that are stored plainly or deflated.
//! Not here: which names can lie together (`library::Paths`); which belong to a dossier (`source`).
//!
//! Refused before anything is unpacked: a directory that is too long, names that stand twice, links and devices,
//! encrypted entries. While unpacking, what comes out is counted, not what the directory states: each file has the limit
//! of its kind, and all together no more than [`RATIO`] times the archive and [`ALLOWANCE`].
//! Source: APPNOTE.TXT 6.3.10 (PKWARE), sections 4.3.16 (end of the directory) and 4.4.15 (external attributes).

use super::source::MOST_FILES;
use crate::Problem;
use record::visible;
use std::collections::BTreeMap;
use std::io::{self, Read, Seek, SeekFrom};
use zip::ZipArchive;
use zip::result::ZipError;

/// Bytes that may come out for each byte of the archive. Deflated text gives 5 to 20, logs of an idle meter up to
/// some hundreds; no deflated file gives more than 1,032 (zlib, technical details).
const RATIO: u64 = 100;

/// Bytes that may come out however small the archive is.
const ALLOWANCE: u64 = 64 * 1024 * 1024;

/// Most bytes of the directory: 600 a file.
const LONGEST_DIRECTORY: u64 = 2 * MOST_FILES as u64 * 300;

/// Bytes read from and sought in.
pub(super) trait Bytes: Read + Seek + Send {}
impl<T: Read + Seek + Send> Bytes for T {}

pub(super) struct Archive {
    shown: String,
    archive: ZipArchive<Box<dyn Bytes>>,
    /// Numbers of entries by path, without the folder that all lie in.
    entries: BTreeMap<String, usize>,
    names: Vec<String>,
    /// Bytes that may still come out.
    left: u64,
}

impl Archive {
    /// Reads the directory.
    pub(super) fn read(mut bytes: Box<dyn Bytes>, shown: &str) -> Result<Self, Problem> {
        let unread = |e: io::Error| no_archive(shown, &e.to_string());
        let length = bytes.seek(SeekFrom::End(0)).map_err(unread)?;
        if directory(&mut bytes, length).map_err(unread)? > LONGEST_DIRECTORY {
            return Err(refused(shown, "its directory lists too many files"));
        }
        bytes.rewind().map_err(unread)?;
        let archive = ZipArchive::new(bytes).map_err(|e| no_archive(shown, &e.to_string()))?;
        let mut archive = Self {
            shown: shown.to_string(),
            archive,
            entries: BTreeMap::new(),
            names: Vec::new(),
            left: length.saturating_mul(RATIO).saturating_add(ALLOWANCE),
        };
        archive.list()?;
        Ok(archive)
    }

    fn list(&mut self) -> Result<(), Problem> {
        if self.archive.has_duplicate_names() {
            return Err(refused(&self.shown, "two of its files have the same name"));
        }
        for number in 0..self.archive.len() {
            let entry = self.archive.by_index_raw(number);
            let entry = entry.map_err(|e| no_archive(&self.shown, &e.to_string()))?;
            let name = match std::str::from_utf8(entry.name_raw()) {
                Ok(name) => name.to_string(),
                Err(_) => entry
                    .name()
                    .map_err(|e| no_archive(&self.shown, &e.to_string()))?
                    .into_owned(),
            };
            let told =
                |what: &str| refused(&self.shown, &format!("“{}” in it {what}", visible(&name)));
            if entry.encrypted() {
                return Err(told("is encrypted"));
            }
            // The upper bits of the Unix mode say what it is; archives made elsewhere have none.
            const KIND: u32 = 0o170_000;
            const FILE: u32 = 0o100_000;
            const FOLDER: u32 = 0o040_000;
            let kind = entry.unix_mode().unwrap_or_default() & KIND;
            if entry.is_symlink() || ![0, FILE, FOLDER].contains(&kind) {
                return Err(told("is a link or a device"));
            }
            if name.ends_with('/') || kind == FOLDER {
                continue;
            }
            self.entries.insert(name.clone(), number);
            self.names.push(name);
        }
        self.strip();
        Ok(())
    }

    /// Archives of a folder have its name before each path.
    fn strip(&mut self) {
        if self.entries.contains_key(store::TEXT) {
            return;
        }
        // What systems put beside the folder on their own is no reason to find no dossier.
        let own = |name: &&String| !name.starts_with("__MACOSX/") && !name.starts_with('.');
        let mut wanted = self.names.iter().filter(own);
        let Some(first) = wanted.next().and_then(|name| name.split_once('/')) else {
            return;
        };
        let folder = format!("{}/", first.0);
        let has_text = self
            .entries
            .contains_key(&format!("{folder}{}", store::TEXT));
        if !has_text || !wanted.all(|name| name.starts_with(&folder)) {
            return;
        }
        let inner = |name: &String| name.strip_prefix(&folder).unwrap_or(name).to_string();
        self.names = self.names.iter().map(inner).collect();
        let entries = std::mem::take(&mut self.entries);
        self.entries = entries
            .into_iter()
            .map(|(name, at)| (inner(&name), at))
            .collect();
    }

    pub(super) fn names(&self) -> &[String] {
        &self.names
    }

    /// Unpacks one file.
    pub(super) fn read_entry(&mut self, path: &str, most: u64) -> Result<Vec<u8>, Problem> {
        let shown = &self.shown;
        let told = |what: String| refused(shown, &format!("“{}” in it {what}", visible(path)));
        let Some(number) = self.entries.get(path) else {
            return Err(Problem::missing(
                format!("{shown} holds no {}", visible(path)),
                "give a dossier's folder or an archive of it",
            ));
        };
        let entry = self.archive.by_index(*number);
        let mut entry = entry.map_err(|e| told(format!("cannot be unpacked: {e}")))?;
        let bound = most.min(self.left);
        let mut bytes = Vec::new();
        let unpacked = (&mut entry)
            .take(bound.saturating_add(1))
            .read_to_end(&mut bytes);
        unpacked.map_err(|e| told(format!("is damaged: {e}")))?;
        let length = bytes.len() as u64;
        if length > most {
            return Err(told(format!(
                "has more than the {most} bytes that are borne"
            )));
        }
        if length > self.left {
            return Err(told("unpacks to far more than the archive holds".into()));
        }
        self.left -= length;
        Ok(bytes)
    }
}

fn refused(shown: &str, what: &str) -> Problem {
    let message = format!("{shown} is not taken: {what}");
    Problem::refused(message, "pack the dossier's folder again, as plain files")
}

fn no_archive(shown: &str, why: &str) -> Problem {
    let message = format!("{shown} cannot be read as a zip archive: {}", visible(why));
    Problem::refused(message, "give a dossier's folder or a zip archive of it")
}

impl From<ZipError> for Problem {
    fn from(error: ZipError) -> Self {
        match error {
            ZipError::Io(error) => {
                let message = format!("cannot write the archive: {error}");
                Self::new(crate::Kind::Outside, message, "see that there is room")
            }
            other => Self::internal(&other.to_string()),
        }
    }
}

/// Returns the bytes of the directory as the end of the archive states them, before any of it is read into memory. The
/// largest number stands for an archive whose directory lies elsewhere (zip64), which only too long ones need.
fn directory(bytes: &mut dyn Bytes, length: u64) -> io::Result<u64> {
    const SIGNATURE: &[u8] = b"PK\x05\x06";
    const END: u64 = 22;
    const LONGEST_COMMENT: u64 = 65_535;
    let tail = length.min(END + LONGEST_COMMENT);
    bytes.seek(SeekFrom::Start(length - tail))?;
    let mut end = Vec::new();
    bytes.take(tail).read_to_end(&mut end)?;
    // Every place that could be the end counts: readers differ in which they take.
    let mut longest = 0;
    for at in 0..end.len().saturating_sub(END as usize - 1) {
        if end[at..].starts_with(SIGNATURE) {
            let size = [end[at + 12], end[at + 13], end[at + 14], end[at + 15]];
            longest = longest.max(u64::from(u32::from_le_bytes(size)));
        }
    }
    Ok(longest)
}
