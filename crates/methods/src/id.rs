//! What tells a finding apart: its method, the question, further words, and what it is about.
//!
//! In: these parts, or text. Out: a [`FindingId`], which prints `METHOD.QUESTION`, words that tell
//! answers to one question apart with dots before them, and the place after a stroke:
//! `mass.balance`, `cell.energy/items.lamp-cell`, `runtime.mode."low light"/items.lamp-cell`,
//! `geometry.sizes/photo:lid`. A word that holds other characters than letters, digits, `-` and
//! `_` stands in quotes, with `\` before quotes and `\` inside. Two different ids never print
//! alike, and none depends on the order of the record. A [`FigureKey`] names a figure within its finding in
//! the same manner, `length/items.main-board`, and a [`FigureId`] a figure among all:
//! `length/items.main-board of geometry.sizes/photo:lid`. Not here: what the finding says.

use crate::{METHODS, Method, Word, WordError};
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
    pub question: Word,
    /// What tells answers to the question about one subject apart: a mode, the way of a path.
    pub words: Vec<String>,
    /// What it is about; none for the product as a whole.
    pub subject: Option<Place>,
}

/// What tells a figure apart from all others of its finding, in every revision of the record.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FigureKey {
    /// Which quantity it is (`energy`).
    pub what: Word,
    /// What tells several of that quantity apart, of the same thing.
    pub words: Vec<String>,
    /// The place in the record whose quantity it is; none where that is what the finding is about.
    pub of: Option<Place>,
}

/// The identity of a figure among all findings about one dossier, and between its revisions.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FigureId {
    /// The finding.
    pub finding: FindingId,
    /// The figure within it.
    pub key: FigureKey,
}

/// Why a text is no identity of a finding or a figure.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum IdError {
    /// It does not begin with the name of a method.
    #[error("\"{0}\" names no finding: no method has the name before the first dot")]
    Method(String),
    /// The words cannot be taken apart.
    #[error("\"{text}\" names no {what}: write {form}")]
    Form {
        /// The text.
        text: String,
        /// What it should name.
        what: &'static str,
        /// How that is written.
        form: &'static str,
    },
    /// What follows the stroke is no place.
    #[error("\"{text}\" names nothing: {source}")]
    Subject {
        /// The text.
        text: String,
        /// What is wrong with the place.
        source: PlaceError,
    },
    /// The first word is not a plain one.
    #[error("\"{text}\" names nothing: {source}")]
    Word {
        /// The text.
        text: String,
        /// What is wrong with the word.
        source: WordError,
    },
}

impl FindingId {
    /// Makes the identity of an answer about the product as a whole.
    pub fn new(method: Method, question: Word) -> Self {
        Self {
            method,
            question,
            words: Vec::new(),
            subject: None,
        }
    }
}

impl FigureKey {
    /// Adds a word that tells it apart.
    #[must_use]
    pub fn named(mut self, word: impl Into<String>) -> Self {
        self.words.push(word.into());
        self
    }

    /// Says whose quantity it is.
    #[must_use]
    pub fn of(mut self, place: Place) -> Self {
        self.of = Some(place);
        self
    }
}

impl From<Word> for FigureKey {
    fn from(what: Word) -> Self {
        Self {
            what,
            words: Vec::new(),
            of: None,
        }
    }
}

impl fmt::Display for FindingId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.", self.method.name())?;
        write_tail(f, &self.question, &self.words, self.subject.as_ref())
    }
}

impl fmt::Display for FigureKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write_tail(f, &self.what, &self.words, self.of.as_ref())
    }
}

impl fmt::Display for FigureId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{BETWEEN}{}", self.key, self.finding)
    }
}

/// Stands between a figure and its finding.
const BETWEEN: &str = " of ";

fn write_tail(
    f: &mut fmt::Formatter<'_>,
    first: &Word,
    words: &[String],
    place: Option<&Place>,
) -> fmt::Result {
    f.write_str(first.as_str())?;
    for word in words {
        f.write_char('.')?;
        write_word(f, word)?;
    }
    place.map_or(Ok(()), |place| write!(f, "/{place}"))
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

/// First word, further words and place of an identity.
type Tail = (Word, Vec<String>, Option<Place>);

/// Reads the part that findings and figures have in common; `form` is the mistake of form.
fn tail(text: &str, whole: &str, form: impl Fn() -> IdError) -> Result<Tail, IdError> {
    let (first, mut rest) = word(text).ok_or_else(&form)?;
    let first = first.parse().map_err(|source| IdError::Word {
        text: whole.to_string(),
        source,
    })?;
    let mut words = Vec::new();
    while let Some(behind) = rest.strip_prefix('.') {
        let (next, behind) = word(behind).ok_or_else(&form)?;
        words.push(next);
        rest = behind;
    }
    let place = match rest.strip_prefix('/') {
        Some(place) => Some(place.parse().map_err(|source| IdError::Subject {
            text: whole.to_string(),
            source,
        })?),
        None if rest.is_empty() => None,
        None => return Err(form()),
    };
    Ok((first, words, place))
}

impl FromStr for FindingId {
    type Err = IdError;

    fn from_str(text: &str) -> Result<Self, IdError> {
        let form = || IdError::Form {
            text: text.to_string(),
            what: "finding",
            form: "METHOD.QUESTION or METHOD.QUESTION/PLACE",
        };
        let (name, rest) = word(text).ok_or_else(form)?;
        let method = METHODS.iter().find(|m| m.name == name);
        let method = method.ok_or_else(|| IdError::Method(text.to_string()))?;
        let rest = rest.strip_prefix('.').ok_or_else(form)?;
        let (question, words, subject) = tail(rest, text, form)?;
        Ok(Self {
            method: method.method,
            question,
            words,
            subject,
        })
    }
}

impl FromStr for FigureKey {
    type Err = IdError;

    fn from_str(text: &str) -> Result<Self, IdError> {
        let form = || IdError::Form {
            text: text.to_string(),
            what: "figure",
            form: "QUANTITY or QUANTITY/PLACE, the place being one in the record",
        };
        let (what, words, of) = tail(text, text, form)?;
        // Words outside the record have no end that could be told from what follows.
        if of.as_ref().is_some_and(|place| place.outside().is_some()) {
            return Err(form());
        }
        Ok(Self { what, words, of })
    }
}

impl FromStr for FigureId {
    type Err = IdError;

    fn from_str(text: &str) -> Result<Self, IdError> {
        let end = unquoted(text, BETWEEN).ok_or_else(|| IdError::Form {
            text: text.to_string(),
            what: "figure",
            form: "KEY of FINDING",
        })?;
        Ok(Self {
            key: text[..end].parse()?,
            finding: text[end + BETWEEN.len()..].parse()?,
        })
    }
}

/// Returns where `wanted` first stands outside of quotes.
fn unquoted(text: &str, wanted: &str) -> Option<usize> {
    let (mut inside, mut escaped) = (false, false);
    for (at, c) in text.char_indices() {
        if !inside && text[at..].starts_with(wanted) {
            return Some(at);
        }
        match c {
            _ if escaped => escaped = false,
            '\\' => escaped = inside,
            '"' => inside = !inside,
            _ => {}
        }
    }
    None
}

/// Identities are written as they print, and read from that.
macro_rules! as_text {
    ($($id:ident)*) => {$(
        impl Serialize for $id {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }

        impl<'de> Deserialize<'de> for $id {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let text = String::deserialize(deserializer)?;
                text.parse().map_err(serde::de::Error::custom)
            }
        }
    )*};
}

as_text!(FindingId FigureKey FigureId);

#[cfg(test)]
mod tests {
    use super::*;

    fn id(question: Word, words: &[&str], subject: Option<Place>) -> FindingId {
        FindingId {
            words: words.iter().map(|w| (*w).to_string()).collect(),
            subject,
            ..FindingId::new(Method::Runtime, question)
        }
    }

    #[test]
    fn what_is_printed_reads_back_and_never_alike() {
        let ids = [
            id(word!("mode"), &[], None),
            id(word!("mode"), &["a"], None),
            id(word!("mode"), &["a", "b"], None),
            id(word!("mode"), &["a.b"], None),
            id(word!("mode"), &["a/b"], Some(Place::item("c"))),
            id(word!("mode"), &["a\"/\\"], Some(Place::item("a/b \"c\""))),
            id(word!("mode"), &[""], None),
            id(word!("mode"), &["zwölf"], None),
            id(word!("mode"), &[], Some(Place::item("top"))),
            id(word!("mode"), &[], Some(Place::photo("top"))),
            id(word!("mode"), &[], Some(Place::claim("top"))),
            id(word!("top"), &[], None),
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
        for (text, why) in [
            ("", "QUANTITY"),
            ("Länge", "plain word"),
            ("Length", "plain word"),
            ("length/text:a book", "in the record"),
            ("length/nothing.b", "is not a place"),
        ] {
            let error = text.parse::<FigureKey>().unwrap_err().to_string();
            assert!(error.contains(why), "{text}: {error}");
        }
        let error = "length".parse::<FigureId>().unwrap_err().to_string();
        assert!(error.contains("KEY of FINDING"), "{error}");
    }

    #[test]
    fn figures_read_back_whatever_their_names_hold() {
        let keys = [
            FigureKey::from(word!("length")),
            FigureKey::from(word!("length")).of(Place::item("main-board")),
            FigureKey::from(word!("length"))
                .named(" of ")
                .of(Place::item("a\" of \\")),
            FigureKey::from(word!("length")).named("\" of mass.balance"),
        ];
        let findings = [
            id(word!("mode"), &[" of "], Some(Place::photo("a of b"))),
            id(word!("mode"), &[], None),
        ];
        let mut printed = std::collections::BTreeSet::new();
        for (key, finding) in keys
            .iter()
            .flat_map(|k| findings.iter().map(move |f| (k, f)))
        {
            let id = FigureId {
                finding: finding.clone(),
                key: key.clone(),
            };
            let text = id.to_string();
            assert_eq!(text.parse().as_ref(), Ok(&id), "{text}");
            assert!(printed.insert(text));
        }
        assert!(printed.contains("length/items.main-board of runtime.mode"));
    }
}
