//! Words of a payload.
//!
//! In: the payload of a cue. Out: its words with their bytes, tags left out and references resolved. Not here: what
//! words mean. Source: WebVTT cue text; SubRip knows `b`, `i`, `u`, `s`, `font` and no references.

use crate::file::{Format, Word};
use std::ops::Range;

/// The references that all readers know.
const REFERENCES: [(&str, char); 6] = [
    ("&amp;", '&'),
    ("&lt;", '<'),
    ("&gt;", '>'),
    ("&lrm;", '\u{200e}'),
    ("&rlm;", '\u{200f}'),
    ("&nbsp;", '\u{a0}'),
];

/// What one place of a payload shows.
enum Sign {
    Shown(char),
    Tag,
}

/// The words of a payload.
pub(crate) fn words(text: &str, payload: Range<usize>, format: Format, cue: usize) -> Vec<Word> {
    let mut found: Vec<Word> = Vec::new();
    let mut run: Vec<(char, Range<usize>)> = Vec::new();
    let mut stopped = true;
    let mut at = payload.start;
    while at <= payload.end {
        let (sign, length) = if at == payload.end {
            (Sign::Tag, 1)
        } else {
            sign(&text[at..payload.end], format)
        };
        match sign {
            Sign::Shown(c) if !c.is_whitespace() => run.push((c, at..at + length)),
            _ => {
                close(&mut run, &mut found, &mut stopped, cue);
            }
        }
        at += length;
    }
    found
}

/// The sign at the beginning of a text and its bytes.
fn sign(text: &str, format: Format) -> (Sign, usize) {
    let first = text.chars().next().unwrap_or(' ');
    let one = (
        Sign::Shown(if first == '\0' { '\u{fffd}' } else { first }),
        first.len_utf8(),
    );
    match (first, format) {
        ('<', Format::WebVtt) => (Sign::Tag, text.find('>').map_or(text.len(), |end| end + 1)),
        ('&', Format::WebVtt) => REFERENCES
            .iter()
            .find(|(name, _)| text.starts_with(name))
            .map_or(one, |(name, c)| (Sign::Shown(*c), name.len())),
        ('<', Format::SubRip) => match text.find('>') {
            Some(end) if is_subrip_tag(&text[1..end]) => (Sign::Tag, end + 1),
            _ => one,
        },
        ('{', Format::SubRip) if text.starts_with("{\\") => {
            text.find('}').map_or(one, |end| (Sign::Tag, end + 1))
        }
        _ => one,
    }
}

fn is_subrip_tag(inside: &str) -> bool {
    let name = inside.trim_start_matches('/').split([' ', '=']).next();
    name.is_some_and(|name| {
        ["b", "i", "u", "s", "font"]
            .iter()
            .any(|known| known.eq_ignore_ascii_case(name))
    })
}

/// Whether a sign belongs to a word at its edge: `-5`, `.5`, `100%`, `C++`, `20°`, `µ`.
fn holds(c: char) -> bool {
    c.is_alphanumeric() || matches!(c, '%' | '°' | '+' | 'Ω' | 'µ' | 'μ' | '±')
}

/// Ends the word that was being gathered, its punctuation taken off.
fn close(
    run: &mut Vec<(char, Range<usize>)>,
    found: &mut Vec<Word>,
    stopped: &mut bool,
    cue: usize,
) {
    let Some(mut first) = run.iter().position(|(c, _)| holds(*c)) else {
        *stopped |= !run.is_empty();
        run.clear();
        return;
    };
    let mut open = first > 0;
    let last = run.iter().rposition(|(c, _)| holds(*c)).unwrap_or(first);
    if first > 0 && run[first].0.is_ascii_digit() && matches!(run[first - 1].0, '.' | '-' | '−') {
        first -= 1;
        open = first > 0;
    }
    found.push(Word {
        cue,
        at: run[first].1.start..run[last].1.end,
        text: run[first..=last].iter().map(|(c, _)| *c).collect(),
        joined: !*stopped && !open,
    });
    *stopped = last + 1 < run.len();
    run.clear();
}
