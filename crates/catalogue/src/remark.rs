//! What is said about input that could not be taken as it stands.
//!
//! In: a place in a file and what is wrong there. Out: a [`Remark`], one line for a person.

use serde::Serialize;
use std::fmt;

/// How much was lost.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Loss {
    /// The file, or the rest of it, was not read.
    File,
    /// One row, symbol or identity was left out; the others were read.
    Row,
    /// Nothing that counts was lost, but the author may want to know.
    Nothing,
}

/// One thing wrong with a file, where, and what to do about it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Remark {
    /// The file as the caller named it.
    pub file: String,
    /// Line or sheet row, counted from 1; 0 when it concerns the whole file.
    pub line: u64,
    /// Heading of the column, or for symbol files the position in the line; empty when the whole
    /// line is meant.
    pub column: String,
    /// What was lost.
    pub loss: Loss,
    /// What is wrong, with the offending text.
    pub why: String,
    /// What to do.
    pub remedy: String,
}

impl Remark {
    /// Makes a remark about a whole file.
    pub(crate) fn file(file: &str, why: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self {
            file: file.to_string(),
            line: 0,
            column: String::new(),
            loss: Loss::File,
            why: why.into(),
            remedy: remedy.into(),
        }
    }

    /// Makes a remark about a row that was refused.
    pub(crate) fn row(
        file: &str,
        line: u64,
        why: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self {
            line,
            loss: Loss::Row,
            ..Self::file(file, why, remedy)
        }
    }

    /// Makes a remark about something that cost nothing.
    pub(crate) fn note(
        file: &str,
        line: u64,
        why: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self {
            loss: Loss::Nothing,
            ..Self::row(file, line, why, remedy)
        }
    }

    /// Says which column is meant.
    pub(crate) fn at(mut self, column: impl Into<String>) -> Self {
        self.column = column.into();
        self
    }
}

impl fmt::Display for Remark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.file)?;
        if self.line > 0 {
            write!(f, ":{}", self.line)?;
        }
        if !self.column.is_empty() {
            write!(f, ", column {}", self.column)?;
        }
        write!(f, ": {}; {}", self.why, self.remedy)
    }
}

/// Shows a piece of somebody's input inside a sentence: quoted, control characters escaped, cut
/// after 60 characters.
pub(crate) fn shown(text: &str) -> String {
    let mut cut: String = text.chars().take(60).collect();
    if cut.len() < text.len() {
        cut.push('…');
    }
    format!("{cut:?}")
}
