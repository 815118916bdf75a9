//! Figures in a sentence: where each stands and what it says.

use quantity::{Rating, Stated};
use std::ops::Range;

/// A figure as it stands in a sentence.
#[derive(Debug, Clone)]
pub(super) struct Figure {
    /// Its bytes in the sentence, words of its sense included.
    pub(super) at: Range<usize>,
    /// As it is written into a claim: the text of the sentence, number words as digits.
    pub(super) text: String,
    /// What it says.
    pub(super) stated: Stated,
    /// Whether it is a rating of several figures.
    pub(super) rating: bool,
}

/// Most words of one figure (`9 V ⎓ 2 A / 5 V ⎓ 3 A, 18 W` has eleven).
const LONGEST: usize = 12;

/// Words for small numbers.
const NUMBERS: &[(&str, &str)] = &[
    ("one", "1"),
    ("two", "2"),
    ("three", "3"),
    ("four", "4"),
    ("five", "5"),
    ("six", "6"),
    ("seven", "7"),
    ("eight", "8"),
    ("nine", "9"),
    ("ten", "10"),
    ("twelve", "12"),
];

/// Words that say a sense, as the reader of figures knows them.
const SENSES: &[(&str, &str)] = &[
    ("within", "up to"),
    ("less than", "up to"),
    ("no more than", "up to"),
    ("not more than", "up to"),
    ("at most", "up to"),
    ("under", "up to"),
    ("below", "up to"),
    ("more than", "over"),
    ("only", ""),
    ("just", ""),
];

/// Finds the figures of a sentence from left to right, each as long as it reads.
pub(super) fn of(text: &str) -> Vec<Figure> {
    let words: Vec<Range<usize>> = words(text);
    let mut found = Vec::new();
    let mut at = 0;
    while at < words.len() {
        match longest(text, &words[at..]) {
            Some((figure, taken)) => {
                found.push(figure);
                at += taken;
            }
            None => at += 1,
        }
    }
    found
}

/// Returns the longest figure that begins with the first of these words, and how many it takes.
fn longest(text: &str, words: &[Range<usize>]) -> Option<(Figure, usize)> {
    let most = words.len().min(LONGEST);
    (1..=most).rev().find_map(|taken| {
        let at = words[0].start..words[taken - 1].end;
        let written = text[at.clone()].trim_matches(|c: char| ".,;:!?()\"“”".contains(c));
        let at = at.start..at.start + text[at.clone()].find(written)? + written.len();
        let plain = plain(written);
        if !plain.contains(|c: char| c.is_ascii_digit()) {
            return None;
        }
        if let Ok(stated) = Stated::parse(&plain) {
            let rating = false;
            let text = plain;
            return Some((
                Figure {
                    at,
                    text,
                    stated,
                    rating,
                },
                taken,
            ));
        }
        // The reader of ratings knows the word "Input" too; here it belongs to the sentence.
        if !plain.starts_with(|c: char| c.is_ascii_digit()) {
            return None;
        }
        let rating = Rating::parse(&plain).ok()?;
        let stated = rating.figures().next()?.clone();
        // "9 V 2 A" reads as a rating; "48 g, 3 h" does not.
        (rating.figures().count() > 1).then(|| {
            let rating = true;
            (
                Figure {
                    at,
                    text: plain,
                    stated,
                    rating,
                },
                taken,
            )
        })
    })
}

/// Writes number words as digits and senses as figures are written.
fn plain(written: &str) -> String {
    let mut text = written.to_string();
    for (word, sense) in SENSES {
        let starts = text.len() > word.len() && text.is_char_boundary(word.len());
        if starts && text[..word.len()].eq_ignore_ascii_case(word) {
            text = format!("{sense} {}", text[word.len()..].trim_start());
            break;
        }
    }
    let digits = |word: &str| {
        let known = NUMBERS
            .iter()
            .find(|(name, _)| word.eq_ignore_ascii_case(name));
        known.map_or(word.to_string(), |(_, digit)| (*digit).to_string())
    };
    let words: Vec<String> = text.split_whitespace().map(digits).collect();
    words.join(" ")
}

/// Returns the words of a text, by spaces.
fn words(text: &str) -> Vec<Range<usize>> {
    let mut words = Vec::new();
    let mut start = None;
    for (at, c) in text.char_indices() {
        match (c.is_whitespace(), start) {
            (false, None) => start = Some(at),
            (true, Some(from)) => {
                words.push(from..at);
                start = None;
            }
            _ => {}
        }
    }
    words.extend(start.map(|from| from..text.len()));
    words
}
