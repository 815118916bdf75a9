//! What a person can do about a problem.
//!
//! In: nothing. Out: [`Remedy`]: words that are good for every caller, or something that each caller has a way of
//! its own to do, and so says in words of its own; [`Display`](std::fmt::Display) says it in none's.
//! Not here: options of a command, fields of a page.

use crate::shown;
use std::fmt;
use std::path::PathBuf;

/// What a person can do about a problem, in the imperative.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Remedy {
    /// The same for every caller.
    Words(String),
    /// Ask for the same again.
    StartAgain,
    /// See what is recorded now, then make the edit again.
    EditAgain,
    /// Name the catalogue to import into, or look at the first rows without one.
    NameCatalogue,
    /// Look at the first rows as they would be imported.
    LookFirst,
    /// Check this catalogue and correct it.
    CheckCatalogue(PathBuf),
    /// Say whose part of that name is meant.
    NameMaker,
    /// Ask for a wider column.
    WiderColumn,
    /// Ask for a narrower column.
    NarrowerColumn,
    /// Ask for fewer pixels per millimetre.
    FewerPixels,
    /// Mark points closer to what they mean, or measure without snapping.
    MarkCloser,
    /// Name an item of the dossier, or none.
    NameItem,
    /// Write the height with its unit.
    WriteHeight,
    /// Mark something of known size first, then a thing to measure.
    MarkFirst,
}

impl fmt::Display for Remedy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Words(words) => words,
            Self::StartAgain => "start it again",
            Self::EditAgain => {
                "it may have been changed elsewhere meanwhile; look at it as it is now, then make the edit again"
            }
            Self::NameCatalogue => "name a catalogue to import into, or look at the first rows without one",
            Self::LookFirst => "look at the first rows as they would be imported",
            Self::CheckCatalogue(path) => {
                return write!(f, "check {} and correct its rows", shown(path));
            }
            Self::NameMaker => "name its maker",
            Self::WiderColumn => "choose a wider column, or fewer regions",
            Self::NarrowerColumn => "choose a narrower column",
            Self::FewerPixels => "ask for fewer pixels per millimetre",
            Self::MarkCloser => {
                "mark them closer, or leave them where they are and state how sure they are"
            }
            Self::NameItem => "name an item of the dossier, or none",
            Self::WriteHeight => "write it with its unit, such as 1.6 ± 0.1 mm",
            Self::MarkFirst => "mark something of known size and keep it, then mark a thing to measure",
        })
    }
}

impl From<&str> for Remedy {
    fn from(words: &str) -> Self {
        Self::Words(words.to_string())
    }
}

impl From<String> for Remedy {
    fn from(words: String) -> Self {
        Self::Words(words)
    }
}
