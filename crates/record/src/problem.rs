//! Everything wrong with a dossier, told once and completely.
//!
//! In: nothing. Out: [`Problem`] and [`Problems`] as data and as text.
//! Not here: finding problems (`check`), colours (the terminal's business).

use crate::{Place, visible};
use serde::Serialize;
use std::fmt;
use std::ops::Range;

/// One fault in a dossier, or in the folder it lies in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Problem {
    /// The file, as given by the caller.
    pub file: String,
    /// Line, from 1; 0 where the fault is not in the text (a missing file, a permission).
    pub line: usize,
    /// Column in characters, from 1; 0 where `line` is 0.
    pub column: usize,
    /// The offending text, shortened to one line.
    pub text: String,
    /// What is wrong, one sentence without a full stop.
    pub message: String,
    /// What to write or do instead, in the imperative.
    pub remedy: String,
    /// Byte range in the file; empty where `line` is 0.
    pub span: Range<usize>,
    /// The line the fault stands in, shortened around the fault.
    pub source_line: String,
    /// First column of the fault within `source_line`, in characters, from 0.
    pub mark_from: usize,
    /// Width of the fault within `source_line`, in characters.
    pub mark_width: usize,
    /// The required key that is missing there, where that is all.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lacks: Option<String>,
    /// What in the record it is about, where that is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub place: Option<Place>,
}

impl Problem {
    /// Makes a problem that has no place in the text: a missing file, a permission.
    pub fn outside(
        file: impl Into<String>,
        message: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self {
            file: file.into(),
            line: 0,
            column: 0,
            text: String::new(),
            message: message.into(),
            remedy: remedy.into(),
            span: 0..0,
            source_line: String::new(),
            mark_from: 0,
            mark_width: 0,
            lacks: None,
            place: None,
        }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (file, message) = (visible(&self.file), visible(&self.message));
        if self.line == 0 {
            write!(f, "{file}: {message}")?;
        } else {
            writeln!(f, "{file}:{}:{}: {message}", self.line, self.column)?;
            let number = self.line.to_string();
            writeln!(f, "  {number} | {}", self.source_line)?;
            let marks = "^".repeat(self.mark_width.max(1));
            let blank = " ".repeat(number.len());
            write!(f, "  {blank} | {}{marks}", " ".repeat(self.mark_from))?;
        }
        if !self.remedy.is_empty() {
            write!(f, "\n  instead: {}", visible(&self.remedy))?;
        }
        Ok(())
    }
}

/// All faults found in one go, in the order of the text. Never empty when returned as an error.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Problems(pub Vec<Problem>);

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (at, problem) in self.0.iter().enumerate() {
            if at > 0 {
                f.write_str("\n\n")?;
            }
            write!(f, "{problem}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Problems {}

impl From<Problem> for Problems {
    fn from(problem: Problem) -> Self {
        Self(vec![problem])
    }
}
