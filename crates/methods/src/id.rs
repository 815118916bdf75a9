//! What tells a finding apart: its method, the question, further words, and what it is about.
//!
//! In: these parts, or text. Out: a [`FindingId`], which prints `METHOD.QUESTION`, words that tell
//! answers to one question apart with dots before them, and the place after a stroke:
//! `mass.balance`, `cell.energy/items.lamp-cell`, `runtime.mode."low light"/items.lamp-cell`,
//! `geometry.sizes/photo:lid`. A word that holds other characters than letters, digits, `-` and
//! `_` stands in quotes, with `\` before quotes and `\` inside. Two different ids never print
//! alike, and none depends on the order of the record. Not here: what the finding says.

use crate::{METHODS, Method};
use record::{Place, PlaceError};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt::{self, Write as _};
use std::str::FromStr;

/// The identity of a finding within the findings about one dossier, and between its revisions.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FindingId {
    /// The method that answers.
    pub method: Method,
    /// Which of its questions (`balance`).
    pub question: String,
    /// What tells answers to the question about one subject apart: a mode, the way of a path.
    pub words: Vec<String>,
    /// What it is about; none for the product as a whole.
    pub subject: Option<Place>,
}

/// Why a text is no identity of a finding.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FindingIdError {
    /// It does not begin with the name of a method.
    #[error("\"{0}\" names no finding: no method has the name before the first dot")]
    Method(String),
    /// The words cannot be taken apart.
    #[error("\"{0}\" names no finding: write METHOD.QUESTION or METHOD.QUESTION/PLACE")]
    Form(String),
    /// What follows the stroke is no place.
    #[error("\"{text}\" names no finding: {source}")]
    Subject {
        /// The text.
        text: String,
        /// What is wrong with the place.
        source: PlaceError,
    },
}

impl FindingId {
    /// Makes the identity of an answer about the product as a whole.
    pub fn new(method: Method, question: impl Into<String>) -> Self {
        Self {
            method,
            question: question.into(),
            words: Vec::new(),
            subject: None,
        }
    }
}

impl fmt::Display for FindingId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.method.name())?;
        for word in std::iter::once(&self.question).chain(&self.words) {
            f.write_char('.')?;
            write_word(f, word)?;
        }
        match &self.subject {
            Some(place) => write!(f, "/{place}"),
            None => Ok(()),
        }
    }
}

fn is_plain(c: char) -> bool {
    c.is_ascii_alphanumeric() || c == '-' || c == '_'
}

fn write_word(f: &mut fmt::Formatter<'_>, word: &str) -> fmt::Result {
    if !word.is_empty() && word.chars().all(is_plain) {
        return f.write_str(word);
    }
    f.write_char('"')?;
    for c in word.chars() {
        if c == '"' || c == '\\' {
            f.write_char('\\')?;
        }
        f.write_char(c)?;
    }
    f.write_char('"')
}

/// Takes one word from the front of `text`; returns it with what follows.
fn word(text: &str) -> Option<(String, &str)> {
    let Some(quoted) = text.strip_prefix('"') else {
        let end = text.find(|c| !is_plain(c)).unwrap_or(text.len());
        return (end > 0).then(|| (text[..end].to_string(), &text[end..]));
    };
    let mut out = String::new();
    let mut chars = quoted.chars();
    loop {
        match chars.next()? {
            '"' => return Some((out, chars.as_str())),
            '\\' => out.push(chars.next()?),
            c => out.push(c),
        }
    }
}

impl FromStr for FindingId {
    type Err = FindingIdError;

    fn from_str(text: &str) -> Result<Self, FindingIdError> {
        let form = || FindingIdError::Form(text.to_string());
        let (name, mut rest) = word(text).ok_or_else(form)?;
        let method = METHODS.iter().find(|m| m.name == name);
        let method = method.ok_or_else(|| FindingIdError::Method(text.to_string()))?;
        let mut words = Vec::new();
        while let Some(behind) = rest.strip_prefix('.') {
            let (next, behind) = word(behind).ok_or_else(form)?;
            words.push(next);
            rest = behind;
        }
        if words.is_empty() {
            return Err(form());
        }
        let question = words.remove(0);
        let subject = match rest.strip_prefix('/') {
            Some(place) => Some(place.parse().map_err(|source| FindingIdError::Subject {
                text: text.to_string(),
                source,
            })?),
            None if rest.is_empty() => None,
            None => return Err(form()),
        };
        Ok(Self {
            method: method.method,
            question,
            words,
            subject,
        })
    }
}

impl Serialize for FindingId {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for FindingId {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        text.parse().map_err(serde::de::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn id(question: &str, words: &[&str], subject: Option<Place>) -> FindingId {
        FindingId {
            words: words.iter().map(|w| (*w).to_string()).collect(),
            subject,
            ..FindingId::new(Method::Runtime, question)
        }
    }

    #[test]
    fn what_is_printed_reads_back_and_never_alike() {
        let ids = [
            id("mode", &[], None),
            id("mode", &["a"], None),
            id("mode", &["a", "b"], None),
            id("mode", &["a.b"], None),
            id("mode", &["a/b"], Some(Place::item("c"))),
            id("mode", &["a\"/\\"], Some(Place::item("a/b \"c\""))),
            id("mode", &[""], None),
            id("mode", &["zwölf"], None),
            id("mode", &[], Some(Place::item("top"))),
            id("mode", &[], Some(Place::photo("top"))),
            id("mode", &[], Some(Place::claim("top"))),
            id("top", &[], None),
        ];
        let printed: Vec<String> = ids.iter().map(FindingId::to_string).collect();
        for (text, id) in printed.iter().zip(&ids) {
            assert_eq!(text.parse().as_ref(), Ok(id), "{text}");
        }
        let unlike: std::collections::BTreeSet<&String> = printed.iter().collect();
        assert_eq!(unlike.len(), ids.len());
        assert_eq!(printed[8], "runtime.mode/items.top");
        assert_eq!(printed[9], "runtime.mode/photo:top");
    }

    #[test]
    fn wrong_text_says_why() {
        for (text, why) in [
            ("weather.rain", "no method"),
            ("mass", "METHOD.QUESTION"),
            ("mass.", "METHOD.QUESTION"),
            ("mass.\"open", "METHOD.QUESTION"),
            ("mass.a b", "METHOD.QUESTION"),
            ("mass.a/nothing.b", "is not a place"),
        ] {
            let error = text.parse::<FindingId>().unwrap_err().to_string();
            assert!(error.contains(why), "{text}: {error}");
        }
    }
}
