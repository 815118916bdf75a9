//! What a film may speak of, and how that sounds.
//!
//! In: names, makers, part numbers and quantities from the caller. Out: [`Vocabulary`], every term with the sounds it
//! is said with. Not here: where terms come from, what was heard.

use crate::language::Language;
use crate::likeness::{LEAST_LONE, Shape, UNIT, shape};
use crate::sound::{Piece, fold, phones, pieces, sayable, spelled, words_sound};
use serde::Serialize;
use std::collections::{HashMap, HashSet};

/// What kind of thing a term is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// A product, a person, a word of the trade.
    Name,
    /// A company.
    Maker,
    /// A part number.
    Part,
    /// A number with its unit.
    Quantity,
}

/// A term as it is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Term {
    /// What it is.
    pub kind: Kind,
    /// As it should stand in the captions, such as `3.62 V`.
    pub written: String,
    /// Further ways to say it, spelled as everyday words: the pronunciation list.
    pub said: Vec<String>,
    /// What of the dossier it is.
    pub place: String,
}

/// Terms ready to be looked for.
pub struct Vocabulary {
    pub(crate) terms: Vec<Heard>,
    pub(crate) by_digits: HashMap<Vec<u8>, Vec<Reach>>,
    pub(crate) existing: HashSet<String>,
    pub(crate) parts: Vec<String>,
    pub(crate) everyday: HashSet<&'static str>,
    pub(crate) language: &'static Language,
}

/// A term and its sounds.
pub(crate) struct Heard {
    pub(crate) term: Term,
    pub(crate) sounds: Vec<Vec<u8>>,
    /// Letters and digits alone, in small letters.
    pub(crate) plain: String,
    /// How many words it is written with.
    pub(crate) words: usize,
    /// The words its unit is written with.
    pub(crate) units: Vec<String>,
}

/// One sound of a term, and what tells without comparing whether another can be near.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Reach {
    /// The term.
    pub(crate) term: usize,
    /// Which of its sounds.
    pub(crate) reading: usize,
    /// How long it is; entries are in this order.
    length: usize,
    /// Which sounds it has.
    pub(crate) shape: Shape,
    /// The highest cost at which it is considered.
    pub(crate) most: u32,
}

/// Of sounds in the order of their lengths, those that may be near one of a length: what is longer or shorter is
/// alone.
pub(crate) fn within_reach(sounds: &[Reach], length: usize) -> &[Reach] {
    let alone = |by: usize, of: &Reach| LEAST_LONE as usize * by > of.most as usize;
    let first = sounds.partition_point(|r| r.length < length && alone(length - r.length, r));
    let last = sounds.partition_point(|r| r.length <= length || !alone(r.length - length, r));
    &sounds[first..last]
}

/// A cost per sound above which nothing is considered.
const FARTHEST: f64 = 0.22;

/// The most ways in which one term or window is heard.
const MOST_READINGS: usize = 8;

impl Vocabulary {
    /// Prepares terms. Part numbers that exist beside them (siblings) are right as they stand.
    pub fn new(terms: &[Term], existing: &[String], language: &'static Language) -> Self {
        let terms: Vec<Heard> = terms.iter().map(|t| Heard::new(t, language)).collect();
        let mut by_digits: HashMap<Vec<u8>, Vec<Reach>> = HashMap::new();
        for (term, heard) in terms.iter().enumerate() {
            for (reading, sound) in heard.sounds.iter().enumerate() {
                by_digits.entry(digits(sound)).or_default().push(Reach {
                    term,
                    reading,
                    length: sound.len(),
                    shape: shape(sound),
                    most: (FARTHEST * UNIT * sound.len() as f64) as u32,
                });
            }
        }
        #[allow(clippy::iter_over_hash_type, reason = "each list is sorted by itself")]
        for sounds in by_digits.values_mut() {
            sounds.sort_by_key(|r| (r.length, r.term));
        }
        let parts = terms.iter().filter(|t| t.term.kind == Kind::Part);
        Self {
            parts: parts.map(|t| t.plain.clone()).collect(),
            existing: existing.iter().map(|e| plain(e)).collect(),
            everyday: language.everyday.split_ascii_whitespace().collect(),
            terms,
            by_digits,
            language,
        }
    }
}

impl Heard {
    fn new(term: &Term, language: &Language) -> Self {
        let mut units = Vec::new();
        let mut sounds: Vec<Vec<u8>> = match term.kind {
            Kind::Quantity => quantity(&term.written, language, &mut units),
            _ => readings(
                &term
                    .written
                    .split_whitespace()
                    .map(|w| word(w, language))
                    .collect::<Vec<_>>(),
                language,
            ),
        };
        for said in &term.said {
            let rows: Vec<_> = said
                .split_whitespace()
                .map(|w| pieces(w, language))
                .collect();
            sounds.extend(readings(&rows, language));
        }
        sounds.retain(|s| !s.is_empty());
        sounds.sort();
        sounds.dedup();
        Self {
            plain: plain(&term.written),
            words: term.written.split_whitespace().count(),
            term: term.clone(),
            sounds,
            units,
        }
    }
}

/// A word of a term; capitals are named and, where they can be, said.
fn word(word: &str, language: &Language) -> Vec<Vec<Piece>> {
    let mut ways = pieces(word, language);
    let letters = word.chars().all(char::is_alphabetic);
    // The vowel of a first syllable without an end is said short or by its name: `Ibexa`, `Icaron`.
    let bytes = word.as_bytes();
    let vowel = |n: usize| bytes.get(n).is_some_and(|b| b"aeiouAEIOU".contains(b));
    if letters && word.len() > 3 && vowel(0) && !vowel(1) && vowel(2) {
        let rest: String = word.chars().skip(1).collect();
        let said = [spelled(&word[..1], language), phones(&rest, language)].concat();
        ways.push(vec![Piece::Sound(said)]);
    }
    if letters && word.len() <= 5 && sayable(word) {
        ways.push(vec![Piece::Sound(phones(word, language))]);
        if word.chars().all(char::is_uppercase) {
            ways.push(vec![Piece::Sound(spelled(word, language))]);
        }
    }
    ways.dedup();
    ways
}

fn quantity(written: &str, language: &Language, units: &mut Vec<String>) -> Vec<Vec<u8>> {
    let split = written
        .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ','))
        .unwrap_or(written.len());
    let (number, unit) = written.split_at(split);
    let unit = unit.trim();
    let mut value: Vec<u8> = number.bytes().filter(|b| *b != b',').collect();
    if value.starts_with(b"0.") {
        value.remove(0);
    }
    let known = language.units.iter().find(|(symbol, ..)| *symbol == unit);
    let mut names: Vec<&str> =
        known.map_or_else(|| vec![unit], |(_, one, several)| vec![one, several]);
    let further = language.unit_words.iter();
    names.extend(
        further
            .filter(|(symbol, _)| *symbol == unit)
            .map(|(_, said)| said),
    );
    units.push(plain(unit));
    units.extend(names.iter().map(|name| plain(name)));
    names
        .iter()
        .map(|name| [value.as_slice(), &words_sound(name, language)].concat())
        .collect()
}

/// All ways to read words of which each has several, bounded.
pub(crate) fn readings<R: AsRef<[Vec<Piece>]>>(words: &[R], language: &Language) -> Vec<Vec<u8>> {
    let mut rows: Vec<Vec<&Piece>> = vec![Vec::new()];
    for word in words {
        let ways = word.as_ref();
        let room = ways.len().min(MOST_READINGS / rows.len()).max(1);
        rows = ways[..room.min(ways.len())]
            .iter()
            .flat_map(|way| {
                rows.iter()
                    .map(move |row| row.iter().copied().chain(way).collect())
            })
            .collect();
    }
    let mut sounds: Vec<Vec<u8>> = Vec::with_capacity(rows.len());
    for row in rows {
        let sound = fold(row.into_iter(), language);
        if !sounds.contains(&sound) {
            sounds.push(sound);
        }
    }
    sounds
}

/// The digits of a sound.
pub(crate) fn digits(sound: &[u8]) -> Vec<u8> {
    sound.iter().copied().filter(u8::is_ascii_digit).collect()
}

/// Letters and digits alone, in small letters.
pub(crate) fn plain(text: &str) -> String {
    text.chars()
        .filter(|c| c.is_alphanumeric() || *c == '%')
        .flat_map(char::to_lowercase)
        .map(|c| match c {
            'μ' => 'µ',
            c => c,
        })
        .collect()
}
