//! A plain word: what the parts of identities are made of that the program itself names.

use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::borrow::Cow;
use std::fmt;
use std::str::FromStr;

/// A word of small letters, digits and `-` (`energy`, `charge-current-limit`). It is the same in every
/// revision of a dossier, whatever is printed for readers.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Word(Cow<'static, str>);

/// Makes a [`Word`] of a literal; one with other characters does not compile.
#[macro_export]
macro_rules! word {
    ($text:literal) => {
        const { $crate::Word::literal($text) }
    };
}

/// Why a text is no word.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\"{0}\" is no plain word: write small letters, digits and -")]
pub struct WordError(String);

const fn is_plain(text: &str) -> bool {
    let bytes = text.as_bytes();
    let mut at = 0;
    while at < bytes.len() {
        if !(bytes[at].is_ascii_lowercase() || bytes[at].is_ascii_digit() || bytes[at] == b'-') {
            return false;
        }
        at += 1;
    }
    at > 0
}

impl Word {
    /// For [`word!`], which asks while the program is compiled.
    #[doc(hidden)]
    pub const fn literal(text: &'static str) -> Self {
        assert!(is_plain(text), "small letters, digits and - only");
        Self(Cow::Borrowed(text))
    }

    /// Returns its letters.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Word {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl FromStr for Word {
    type Err = WordError;

    fn from_str(text: &str) -> Result<Self, WordError> {
        if is_plain(text) {
            Ok(Self(Cow::Owned(text.to_string())))
        } else {
            Err(WordError(text.to_string()))
        }
    }
}

impl Serialize for Word {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.0)
    }
}

impl<'de> Deserialize<'de> for Word {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        text.parse().map_err(serde::de::Error::custom)
    }
}
