//! What is wrong with a log.
//!
//! In: a file's name, a line, what was met there. Out: an error that ends reading, or a note beside the result; each
//! says what to do about it. Not here: how either is printed.

use serde::Serialize;
use std::fmt;

/// The kind of an error, to match on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fault {
    /// The file has no bytes, or no characters but blanks.
    Empty,
    /// The file is something else than text.
    NotText,
    /// There is text and no table of numbers.
    NoTable,
    /// There is a header and not one row of numbers.
    NoRows,
    /// No column could be taken for a voltage, a current or a power.
    NoColumn,
    /// There is no time column: the interval between rows has to be stated.
    NeedsInterval,
    /// Rows are not in the order of their time.
    Backwards,
    /// A mapping does not fit the file.
    Mapping,
    /// The bytes could not be read to their end.
    Unreadable,
    /// The caller asked to stop.
    Stopped,
}

/// Why a log could not be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error, Serialize)]
pub struct LogError {
    /// Its kind.
    pub fault: Fault,
    /// The file, as the caller named it.
    pub file: String,
    /// Line of the file, from 1, where one is to blame.
    pub line: Option<u64>,
    /// What is wrong, without a full stop.
    pub what: String,
    /// What to do about it.
    pub remedy: String,
}

impl fmt::Display for LogError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            Some(line) => write!(f, "{}, line {line}: {}", self.file, self.what),
            None => write!(f, "{}: {}", self.file, self.what),
        }
    }
}

/// Something that was read around and is worth knowing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Note {
    /// First line of the file that it is about, from 1.
    pub line: Option<u64>,
    /// What was met and what was done about it.
    pub what: String,
    /// What to do about it, where anything can be done.
    pub remedy: Option<String>,
}

impl Note {
    pub(crate) fn at(line: u64, what: impl Into<String>) -> Self {
        Self {
            line: Some(line),
            what: what.into(),
            remedy: None,
        }
    }

    pub(crate) fn remedied(self, remedy: impl Into<String>) -> Self {
        Self {
            remedy: Some(remedy.into()),
            ..self
        }
    }
}
