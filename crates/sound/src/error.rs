//! What is wrong with a recording.
//!
//! In: a file's name, what was met there. Out: an error that ends reading, or a note beside the result; each says
//! what to do about it. Not here: how either is printed.

use serde::Serialize;

/// The kind of an error, to match on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fault {
    /// The file has no bytes, or no sound behind its head.
    Empty,
    /// The file is no recording that is read here.
    NotSound,
    /// Its head contradicts itself: no channels, no rate, a size that cannot be.
    Head,
    /// It would fill too much memory.
    TooLong,
    /// It has no such channel.
    NoChannel,
}

/// Why a recording could not be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error, Serialize)]
#[error("{file}: {what}")]
pub struct SoundError {
    /// Its kind.
    pub fault: Fault,
    /// The file, as the caller named it.
    pub file: String,
    /// What is wrong, without a full stop.
    pub what: String,
    /// What to do about it.
    pub remedy: String,
}

impl SoundError {
    pub(crate) fn new(
        fault: Fault,
        file: &str,
        what: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self {
            fault,
            file: file.to_owned(),
            what: what.into(),
            remedy: remedy.into(),
        }
    }
}

/// Something about a recording that its reader should know.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Note {
    /// What is so, without a full stop.
    pub what: String,
    /// What to do about it.
    pub remedy: String,
}

impl Note {
    pub(crate) fn new(what: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self {
            what: what.into(),
            remedy: remedy.into(),
        }
    }
}
