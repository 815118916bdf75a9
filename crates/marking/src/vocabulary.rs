//! Vocabulary of packages, makers and roles, made comparable.
//!
//! In: what a catalogue or an analyst calls a package, maker or role. Out: numbers for equal words,
//! families of packages, and whether a package is too small for a long part number.

use crate::stored::{StoredError, ensure, put, take};
use crate::symbol::symbol;
use std::collections::BTreeMap;
use std::io::{self, Read, Write};

/// Numbers for words, so that facts of a part take little room. 0 stands for nothing.
#[derive(Debug, Clone, Default)]
pub(crate) struct Vocabulary(BTreeMap<String, u32>);

impl Vocabulary {
    /// Returns the number of a word, a new one for a new word.
    pub(crate) fn number(&mut self, word: String) -> u32 {
        let next = u32::try_from(self.0.len() + 1).unwrap_or(u32::MAX);
        if word.is_empty() {
            0
        } else {
            *self.0.entry(word).or_insert(next)
        }
    }

    /// Returns the number of a word, or one that no word has.
    pub(crate) fn find(&self, word: &str) -> u32 {
        self.0.get(word).copied().unwrap_or(u32::MAX)
    }

    /// Whether there is such a word.
    pub(crate) fn has(&self, word: &str) -> bool {
        self.0.contains_key(word)
    }

    /// Number of words.
    pub(crate) fn len(&self) -> usize {
        self.0.len()
    }

    /// Writes the words, one a line, and their numbers.
    pub(crate) fn put(&self, to: &mut dyn Write) -> io::Result<()> {
        let words: Vec<&str> = self.0.keys().map(String::as_str).collect();
        put(to, words.join("\n").as_bytes())?;
        put(to, &self.0.values().copied().collect::<Vec<u32>>())
    }

    /// Reads words and their numbers.
    pub(crate) fn take(from: &mut dyn Read) -> Result<Self, StoredError> {
        let words = String::from_utf8(take(from)?).map_err(|_| StoredError::Contents("words"))?;
        let numbers: Vec<u32> = take(from)?;
        let words: Vec<&str> = words.lines().collect();
        ensure(words.len() == numbers.len(), "words")?;
        let all = words.into_iter().map(str::to_string).zip(numbers);
        Ok(Self(all.collect()))
    }
}

/// Letters and digits of a text, in capitals.
pub(crate) fn plain(text: &str) -> String {
    let kept = text.chars().filter(|c| c.is_alphanumeric());
    kept.flat_map(char::to_uppercase).collect()
}

/// Letters of a package name without what tells its thickness or pitch.
pub(crate) fn family(package: &str) -> String {
    let letters: String = plain(package)
        .chars()
        .take_while(|c| c.is_alphabetic())
        .collect();
    for (ends, name) in [
        ("QFN", "QFN"),
        ("DFN", "DFN"),
        ("SON", "DFN"),
        ("QFP", "QFP"),
        ("CSP", "CSP"),
        ("BGA", "BGA"),
        ("LGA", "LGA"),
        ("SOP", "SO"),
        ("SOIC", "SO"),
        ("DSBGA", "CSP"),
    ] {
        if letters.ends_with(ends) {
            return name.to_string();
        }
    }
    letters
}

/// Whether a package is too small for a long part number; `None` where it may be either. `word` is its
/// name as [`crate::packages`] has it.
pub(crate) fn is_small(word: &str, pins: Option<u32>) -> Option<bool> {
    let few = |most: u32| pins.is_some_and(|n| n <= most);
    match family(word).as_str() {
        _ if word.starts_with("SOT223") || word.starts_with("SOT89") => None,
        "SOT" | "TSOT" | "SC" | "SOD" | "CSP" | "XSON" => Some(true),
        "DFN" if few(8) => Some(true),
        "DFN" => None,
        "QFN" if few(16) => None,
        _ if word.starts_with("MSOP") => None,
        _ => Some(false),
    }
}

/// Whether a text has any symbol.
pub(crate) fn has_symbols(text: &str) -> bool {
    text.chars().any(|c| symbol(c).is_some())
}
