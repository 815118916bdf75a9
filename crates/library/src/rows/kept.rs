//! Rows as they lie in the tables, and what they are kept from and read back as.
//!
//! Not here: statements. What does not read back is damage and is told as such, never guessed at.

use crate::digest::sha256;
use crate::{DossierId, FileEntry, Head, LibraryError, Origin, Person, Revision, Untaken};
use flate2::Compression;
use flate2::read::{ZlibDecoder, ZlibEncoder};
use jiff::Timestamp;
use serde::Serialize;
use serde::de::DeserializeOwned;
use sqlx::FromRow;
use std::io::Read;

pub(super) fn damaged(what: impl std::fmt::Display) -> LibraryError {
    LibraryError::Damaged(what.to_string())
}

/// A whole number as the tables hold it.
///
/// # Errors
/// One beyond 63 bits.
pub(super) fn whole(number: u64) -> Result<i64, LibraryError> {
    i64::try_from(number).map_err(|_| LibraryError::TooLarge(number))
}

pub(super) fn unsigned(number: i64) -> Result<u64, LibraryError> {
    u64::try_from(number).map_err(|_| damaged(format!("a number is {number}")))
}

pub(super) fn micros(at: Timestamp) -> i64 {
    at.as_microsecond()
}

pub(super) fn time(micros: i64) -> Result<Timestamp, LibraryError> {
    Timestamp::from_microsecond(micros).map_err(damaged)
}

pub(super) fn json<T: Serialize>(value: &T) -> Result<String, LibraryError> {
    serde_json::to_string(value).map_err(|e| LibraryError::Unreachable(e.to_string()))
}

pub(super) fn from_json<T: DeserializeOwned>(text: &str) -> Result<T, LibraryError> {
    serde_json::from_str(text).map_err(damaged)
}

/// A text and its digest, deflated.
pub(super) struct Deflated {
    pub(super) body: Vec<u8>,
    pub(super) sha256: String,
}

impl Deflated {
    pub(super) fn of(text: &str) -> Self {
        let mut body = Vec::new();
        ZlibEncoder::new(text.as_bytes(), Compression::default())
            .read_to_end(&mut body)
            .expect("a slice can be read");
        Self {
            body,
            sha256: sha256(text.as_bytes()),
        }
    }
}

#[derive(FromRow)]
pub(super) struct TextRow {
    number: i64,
    body: Vec<u8>,
    sha256: String,
}

impl TextRow {
    /// Returns number and text.
    pub(super) fn read(&self) -> Result<(u64, String), LibraryError> {
        let number = unsigned(self.number)?;
        let wrong = |what: &str| damaged(format!("the text of revision {number} {what}"));
        Ok((number, inflated(&self.body, &self.sha256, &wrong)?))
    }
}

/// Returns a text that [`Deflated`] was made of.
pub(super) fn inflated(
    body: &[u8],
    digest: &str,
    wrong: &dyn Fn(&str) -> LibraryError,
) -> Result<String, LibraryError> {
    let mut bytes = Vec::new();
    let most = record::LARGEST + 1;
    let read = ZlibDecoder::new(body).take(most).read_to_end(&mut bytes);
    read.map_err(|_| wrong("cannot be inflated"))?;
    if sha256(&bytes) != digest {
        return Err(wrong("is not the one that was kept"));
    }
    String::from_utf8(bytes).map_err(|_| wrong("is no text"))
}

#[derive(FromRow)]
pub(super) struct HeadRow {
    id: String,
    name: String,
    maker: String,
    revision: i64,
    made: i64,
    changed: i64,
    withdrawn: bool,
}

impl HeadRow {
    pub(super) fn read(self) -> Result<Head, LibraryError> {
        Ok(Head {
            id: DossierId::try_from(self.id).map_err(damaged)?,
            name: self.name,
            maker: self.maker,
            revision: unsigned(self.revision)?,
            made: time(self.made)?,
            changed: time(self.changed)?,
            withdrawn: self.withdrawn,
        })
    }
}

#[derive(FromRow)]
pub(super) struct RevisionRow {
    number: i64,
    made: i64,
    author: String,
    client: Option<String>,
    belongs: Option<String>,
    undoes: Option<i64>,
    edits: String,
    inverse: String,
    origin: Option<String>,
}

impl RevisionRow {
    pub(super) fn read(self) -> Result<Revision, LibraryError> {
        let client = self.client.map(TryInto::try_into).transpose();
        Ok(Revision {
            number: unsigned(self.number)?,
            at: time(self.made)?,
            by: Person::from(self.author),
            origin: origin_of(self.origin.as_deref())?,
            client: client.map_err(damaged)?,
            group: self.belongs,
            undoes: self.undoes.map(unsigned).transpose()?,
            edits: from_json(&self.edits)?,
            inverse: from_json(&self.inverse)?,
        })
    }
}

const IMPORTED: &str = "imported";
const OUTSIDE: &str = "outside";

/// What stands in the column of origins; nothing for what was saved here, as in tables older than the column.
pub(super) fn origin(origin: Origin) -> Option<&'static str> {
    match origin {
        Origin::Here => None,
        Origin::Imported => Some(IMPORTED),
        Origin::Outside => Some(OUTSIDE),
    }
}

fn origin_of(text: Option<&str>) -> Result<Origin, LibraryError> {
    match text {
        None => Ok(Origin::Here),
        Some(IMPORTED) => Ok(Origin::Imported),
        Some(OUTSIDE) => Ok(Origin::Outside),
        Some(other) => Err(damaged(format!("“{other}” is no origin of a revision"))),
    }
}

#[derive(FromRow)]
pub(super) struct UntakenRow {
    made: i64,
    author: String,
    client: String,
    list: String,
    why: String,
}

impl UntakenRow {
    pub(super) fn read(self) -> Result<Untaken, LibraryError> {
        Ok(Untaken {
            at: time(self.made)?,
            by: Person::from(self.author),
            client: self.client.try_into().map_err(damaged)?,
            list: from_json(&self.list)?,
            why: from_json(&self.why)?,
        })
    }
}

#[derive(FromRow)]
pub(super) struct FileRow {
    path: String,
    sha256: String,
    bytes: i64,
    width: Option<i64>,
    height: Option<i64>,
    picture: bool,
}

impl FileRow {
    pub(super) fn read(self) -> Result<FileEntry, LibraryError> {
        let pixels = |n: i64| u32::try_from(n).map_err(damaged);
        let size = match (self.width, self.height) {
            (Some(width), Some(height)) => Some((pixels(width)?, pixels(height)?)),
            _ => None,
        };
        Ok(FileEntry {
            path: self.path,
            sha256: self.sha256,
            bytes: unsigned(self.bytes)?,
            size,
            picture: self.picture,
        })
    }
}
