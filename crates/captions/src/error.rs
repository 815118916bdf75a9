//! What is wrong with a caption file.
//!
//! In: nothing. Out: [`CaptionError`] for a file that cannot be read at all, [`Fault`] for one cue or line that was
//! passed over. Both say where, what, and what to do. Not here: who finds it.

use serde::Serialize;

/// Why a file was not read or not written.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum CaptionError {
    /// More bytes than captions of any film have.
    #[error(
        "the file has {bytes} bytes, more than the {largest} allowed; split it, or check that it is a caption file"
    )]
    TooLarge {
        /// Bytes of the file.
        bytes: usize,
        /// [`crate::LARGEST`].
        largest: usize,
    },
    /// The first line is not that of a WebVTT file.
    #[error(
        "line 1: a WebVTT file begins with `WEBVTT`, alone or followed by a space; add that line, or name the file .srt"
    )]
    NotWebVtt,
    /// Not UTF-8, which WebVTT always is.
    #[error("line {line}: not UTF-8, as WebVTT always is; save the file as UTF-8")]
    NotUtf8 {
        /// Counted from 1.
        line: usize,
    },
    /// Two bytes a character.
    #[error("line 1: the file is UTF-16; save it as UTF-8")]
    Utf16,
    /// No line of a SubRip file holds times.
    #[error("no line has times (`00:00:01,000 --> 00:00:02,500`); export the captions with times")]
    NoTimes,
    /// A replacement names words that are not in one cue, or overlaps another.
    #[error(
        "words {first} to {last} (counted from 0) are not free in one cue; replace words of one cue, each once"
    )]
    Words {
        /// The first word.
        first: usize,
        /// The last word.
        last: usize,
    },
    /// The file's code page lacks a character.
    #[error(
        "cue {cue}: `{text}` cannot be written in the file's 8-bit code page; save the file as UTF-8 first"
    )]
    Unwritable {
        /// Counted from 0.
        cue: usize,
        /// What should have been written.
        text: String,
    },
}

impl CaptionError {
    /// Returns what is wrong, without the remedy.
    pub fn reason(&self) -> String {
        self.parted().0
    }

    /// Returns what a person can do about it.
    pub fn remedy(&self) -> String {
        self.parted().1
    }

    /// Every message says what is wrong, then what to do.
    fn parted(&self) -> (String, String) {
        let message = self.to_string();
        let (reason, remedy) = message.rsplit_once("; ").unwrap_or((&message, ""));
        (reason.to_string(), remedy.to_string())
    }
}

/// A line or cue that was passed over, or read although something is wrong with it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Fault {
    /// The cue, counted from 0 over those read; the next one's number where none was read.
    pub cue: usize,
    /// Counted from 1.
    pub line: usize,
    /// What it is.
    pub kind: FaultKind,
}

/// What a [`Fault`] is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum FaultKind {
    /// A line with an arrow whose times cannot be read; the cue is left out.
    Times,
    /// The end is not after the start.
    Backwards,
    /// The cue starts before the one above it.
    Disordered,
    /// SubRip: the cue starts before the one above it ends.
    Overlap,
    /// Text that belongs to no cue.
    Untimed,
}

impl std::fmt::Display for Fault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let (what, remedy) = match self.kind {
            FaultKind::Times => (
                "the times cannot be read, the cue was left as it is",
                "write `00:00:01.000 --> 00:00:02.500` (SubRip: a comma for the full stop)",
            ),
            FaultKind::Backwards => (
                "the cue does not end after its start",
                "exchange or mend the times",
            ),
            FaultKind::Disordered => (
                "the cue starts before the one above",
                "sort the cues by time",
            ),
            FaultKind::Overlap => (
                "the cue starts before the one above ends",
                "end that one earlier",
            ),
            FaultKind::Untimed => (
                "this text has no times, it was left as it is",
                "take the empty line above away, or give it times",
            ),
        };
        write!(f, "line {}, cue {}: {what}; {remedy}", self.line, self.cue)
    }
}
