//! Which terms each window of words may be.
//!
//! In: words of a film and a vocabulary. Out: [`Candidate`]s with what speaks for each; mentions that are right.
//! Not here: which are chosen (`choose`).

use crate::file::{Captions, Word};
use crate::language::Number;
use crate::likeness::{Costs, UNIT, may_be_near, shape};
use crate::sound::{Piece, pieces};
use crate::term::{Heard, Kind, Vocabulary, digits, plain, readings, within_reach};
use std::collections::HashMap;
use std::ops::Range;

/// The most words that one term is heard as; number words in a row count as one.
pub const WIDEST: usize = 6;

/// The most words in all.
const MOST_WORDS: usize = 12;

/// How many numbers speak for or against a candidate.
pub const FEATURES: usize = 25;

/// A window of words that may be a term.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// The words, by their place in [`Captions::words`].
    pub words: Range<usize>,
    /// The term, by its place in the list that the vocabulary was made from.
    pub term: usize,
    /// What speaks for and against it.
    pub features: [f64; FEATURES],
    cost: f64,
}

/// What was found in one film.
pub(crate) struct Considered {
    pub(crate) candidates: Vec<Candidate>,
    /// Windows that are right as they stand.
    pub(crate) right: Vec<Range<usize>>,
}

/// Considers all windows of a film.
pub(crate) fn consider(film: &Captions, vocabulary: &Vocabulary) -> Considered {
    let costs = Costs::new();
    let mut known: HashMap<&str, (Vec<Vec<Piece>>, Standing)> = HashMap::new();
    for word in &film.words {
        known.entry(&word.text).or_insert_with(|| {
            let ways = pieces(&word.text, vocabulary.language);
            let standing = Standing::of(&word.text, &ways, vocabulary);
            (ways, standing)
        });
    }
    let of = |word: &Word| &known[word.text.as_str()];
    let standing: Vec<Standing> = film.words.iter().map(|word| of(word).1).collect();
    let ways: Vec<&Vec<Vec<Piece>>> = film.words.iter().map(|word| &of(word).0).collect();
    let mut found = Considered {
        candidates: Vec::new(),
        right: Vec::new(),
    };
    let mut row = Vec::new();
    // A number is never cut in two.
    let counted = |n: usize| is_count(ways[n]);
    for cue in &film.cues {
        let first = found.candidates.len();
        for start in cue.words.clone() {
            let mut width = 0;
            for end in start + 1..=(start + MOST_WORDS).min(cue.words.end) {
                let counts = |n: usize| n >= start && is_number(ways[n]);
                if !(end > start + 1 && counts(end - 1) && counts(end - 2)) {
                    width += 1;
                }
                if width > WIDEST {
                    break;
                }
                let words = &film.words[start..end];
                let cut = |n: usize| {
                    n > cue.words.start
                        && n < cue.words.end
                        && film.words[n].joined
                        && counted(n - 1)
                        && counted(n)
                };
                if end > start + 1 && !words[words.len() - 1].joined {
                    break;
                }
                if cut(start) || cut(end) {
                    continue;
                }
                let beside = [start.checked_sub(1), Some(end)];
                let strange = beside
                    .into_iter()
                    .flatten()
                    .filter(|n| cue.words.contains(n) && standing[*n] == Standing::Strange)
                    // Past a comma no wider window reaches.
                    .filter(|n| film.words[(*n).max(start)].joined);
                let window = Window {
                    strange_beside: strange.count(),
                    standing: &standing[start..end],
                    at: start..end,
                    words,
                    heard: &ways[start..end],
                };
                window.consider(vocabulary, &costs, &mut row, &mut found);
            }
        }
        compare(&mut found.candidates[first..]);
    }
    found
}

fn is_number(ways: &[Vec<Piece>]) -> bool {
    let number = |way: &Vec<Piece>| matches!(way[..], [Piece::Number(_) | Piece::Digits(_), ..]);
    ways.iter().any(number)
}

/// A word that is part of a number and nothing else.
fn is_count(ways: &[Vec<Piece>]) -> bool {
    match &ways[0][..] {
        [Piece::Digits(_)] => true,
        [Piece::Number(number), ..] => !matches!(number, Number::And | Number::Repeat(_)),
        _ => false,
    }
}

/// What a word is to the language.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Standing {
    Number,
    /// Among the everyday words.
    Everyday,
    /// In the dictionary.
    Known,
    /// Nowhere.
    Strange,
}

impl Standing {
    fn of(word: &str, ways: &[Vec<Piece>], vocabulary: &Vocabulary) -> Self {
        let lower = word.to_lowercase();
        if matches!(ways[0].first(), Some(Piece::Number(_) | Piece::Digits(_))) {
            Self::Number
        } else if vocabulary.everyday.contains(lower.as_str()) {
            Self::Everyday
        } else if !lower.is_ascii() || vocabulary.language.knows(&lower) {
            // A word with an accent was written by something that knows it.
            Self::Known
        } else {
            Self::Strange
        }
    }
}

/// Words in a row.
struct Window<'a> {
    standing: &'a [Standing],
    /// How many words of no dictionary stand right before and after.
    strange_beside: usize,
    at: Range<usize>,
    words: &'a [Word],
    heard: &'a [&'a Vec<Vec<Piece>>],
}

impl Window<'_> {
    fn consider(
        &self,
        vocabulary: &Vocabulary,
        costs: &Costs,
        row: &mut Vec<u32>,
        found: &mut Considered,
    ) {
        let sounds = readings(self.heard, vocabulary.language);
        let best = nearest(&sounds, vocabulary, costs, row);
        let has_digit = self
            .words
            .iter()
            .any(|w| w.text.bytes().any(|b| b.is_ascii_digit()));
        // Siblings are written in one or two words, or near a term.
        if best.is_empty() && !has_digit && self.words.len() > 2 {
            return;
        }
        let text = plain(
            &self
                .words
                .iter()
                .map(|w| w.text.as_str())
                .collect::<String>(),
        );
        // A sibling, or a part number said without its ending, is right as it stands.
        let shortened = self.words.len() == 1
            && has_digit
            && text.len() > 3
            && vocabulary.parts.iter().any(|part| {
                part.starts_with(&text) && !part[text.len()..].bytes().any(|b| b.is_ascii_digit())
            });
        if shortened || vocabulary.existing.contains(&text) {
            found.right.push(self.at.clone());
            return;
        }
        for (number, cost, nth) in best {
            let term = &vocabulary.terms[number];
            if self.is_right(term, &text, cost, nth) {
                found.right.push(self.at.clone());
            } else {
                found
                    .candidates
                    .push(self.candidate(term, number, cost, vocabulary));
            }
        }
    }

    fn is_right(&self, term: &Heard, text: &str, cost: u32, nth: usize) -> bool {
        if term.term.kind != Kind::Quantity {
            return text == term.plain && self.words.len() == term.words;
        }
        let has_unit = (0..self.words.len()).any(|n| {
            let tail: String = self.words[n..].iter().map(|w| plain(&w.text)).collect();
            let bare = tail.trim_start_matches(|c: char| c.is_ascii_digit());
            term.units.iter().any(|unit| unit == bare)
        });
        let counted = self.heard.iter().all(|ways| {
            !matches!(
                ways.last().map(Vec::as_slice),
                Some([Piece::Number(Number::Digit(_))])
            ) || ways.len() == 1
        });
        has_unit && cost == 0 && (nth == 0 || counted)
    }

    fn candidate(
        &self,
        term: &Heard,
        number: usize,
        cost: u32,
        vocabulary: &Vocabulary,
    ) -> Candidate {
        let length = term.sounds.iter().map(Vec::len).max().unwrap_or(1) as f64;
        let cost = f64::from(cost) / UNIT;
        let count = |wanted: Standing| self.standing.iter().filter(|s| **s == wanted).count();
        let plain_words = count(Standing::Everyday);
        let has_digits = term.plain.bytes().any(|b| b.is_ascii_digit());
        let edges = [0, self.words.len() - 1]
            .into_iter()
            .filter(|&n| self.standing[n] == Standing::Everyday && self.words[n].text.len() > 1)
            .count();
        let digit_count = term.plain.bytes().filter(u8::is_ascii_digit).count() as f64;
        let is_quantity = term.term.kind == Kind::Quantity;
        let heard_point = self.heard.iter().any(|ways| match &ways[0][..] {
            [Piece::Digits(digits), ..] => digits.contains(&b'.'),
            [Piece::Number(number)] => *number == Number::Point,
            _ => false,
        });
        let far = 10.0 * cost / length;
        // Articles and the like seldom belong to what they stand beside.
        let joins = [0, self.words.len() - 1].into_iter().any(|n| {
            let lower = self.words[n].text.to_lowercase();
            lower.len() > 1 && vocabulary.language.joining.contains(&lower.as_str())
        });
        let share = plain_words as f64 / self.words.len() as f64;
        let known_share = count(Standing::Known) as f64 / self.words.len() as f64;
        let strange = count(Standing::Strange);
        let single = f64::from(u8::from(self.words.len() == 1));
        Candidate {
            words: self.at.clone(),
            term: number,
            cost,
            features: [
                1.0,
                far,
                cost,
                length.min(20.0) / 10.0,
                share,
                f64::from(u8::from(share >= 1.0 && !has_digits)),
                f64::from(u8::from(is_quantity)),
                f64::from(u8::from(has_digits)),
                0.0,
                0.0,
                if self.words.len() > 1 {
                    edges as f64 / 2.0
                } else {
                    0.0
                },
                single * share,
                digit_count / 4.0,
                f64::from(u8::from(is_quantity && heard_point)),
                f64::from(u8::from(is_quantity)) * share,
                known_share,
                single * known_share,
                f64::from(u8::from(strange == 0 && !has_digits)),
                self.strange_beside as f64,
                far * far / 2.0,
                far * share,
                far * single * known_share,
                far * f64::from(u8::from(strange == 0 && !has_digits)),
                f64::from(u8::from(self.words.len() > 1 && joins)),
                if has_digits {
                    0.0
                } else {
                    far * length.min(20.0) / 10.0
                },
            ],
        }
    }
}

/// The terms near any way to hear a window: which, at what cost, heard which way.
fn nearest(
    sounds: &[Vec<u8>],
    vocabulary: &Vocabulary,
    costs: &Costs,
    row: &mut Vec<u32>,
) -> Vec<(usize, u32, usize)> {
    let mut best: Vec<(usize, u32, usize)> = Vec::new();
    for (nth, sound) in sounds.iter().enumerate() {
        let Some(terms) = vocabulary.by_digits.get(&digits(sound)) else {
            continue;
        };
        let shape = shape(sound);
        for reach in within_reach(terms, sound.len()) {
            if !may_be_near(shape, reach.shape, reach.most) {
                continue;
            }
            let number = reach.term;
            let target = &vocabulary.terms[number].sounds[reach.reading];
            let Some(cost) = costs.between(sound, target, reach.most, row) else {
                continue;
            };
            match best.iter_mut().find(|(n, ..)| *n == number) {
                Some(other) if other.1 <= cost => {}
                Some(other) => *other = (number, cost, nth),
                None => best.push((number, cost, nth)),
            }
        }
    }
    best.sort_unstable_by_key(|(number, ..)| *number);
    best
}

/// How far ahead each is of other terms, and of the same term on other words, in the same place.
fn compare(candidates: &mut [Candidate]) {
    for n in 0..candidates.len() {
        let own = &candidates[n];
        let (mut others, mut bounds) = (1.5_f64, 1.5_f64);
        for (m, other) in candidates.iter().enumerate() {
            let overlaps = own.words.start < other.words.end && other.words.start < own.words.end;
            if m == n || !overlaps {
                continue;
            }
            let ahead = other.cost - own.cost;
            if other.term == own.term {
                bounds = bounds.min(ahead);
            } else {
                others = others.min(ahead);
            }
        }
        candidates[n].features[8] = others.max(-1.5);
        candidates[n].features[9] = bounds.max(-1.5);
    }
}
