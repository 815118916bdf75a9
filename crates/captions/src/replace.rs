//! A caption file with some words replaced.
//!
//! In: words of one cue and what stands in their place. Out: the file's bytes. Every byte stays but the words, and
//! the blanks before words that go. Not here: which words to replace.

use crate::error::CaptionError;
use crate::file::{Captions, Encoding, Format};
use std::ops::Range;

/// Neighbouring words of one cue and what takes their place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Replacement {
    /// The words, by their place in [`Captions::words`].
    pub words: Range<usize>,
    /// What they become; words are parted by blanks.
    pub text: String,
}

impl Captions {
    /// Writes the file with words replaced.
    ///
    /// # Errors
    /// Words that are not in one cue or are replaced twice, and characters that the file's code page lacks.
    pub fn replaced(&self, replacements: &[Replacement]) -> Result<Vec<u8>, CaptionError> {
        let mut sorted: Vec<&Replacement> = replacements.iter().collect();
        sorted.sort_by_key(|r| r.words.start);
        let mut text = String::with_capacity(self.text.len());
        let (mut done, mut free) = (0, 0);
        for replacement in sorted {
            let words = replacement.words.clone();
            let one_cue = words.start >= free
                && words.start < words.end
                && words.end <= self.words.len()
                && self.words[words.start].cue == self.words[words.end - 1].cue;
            if !one_cue {
                return Err(CaptionError::Words {
                    first: words.start,
                    last: words.end.saturating_sub(1),
                });
            }
            for (at, new) in self.edits(replacement) {
                text.push_str(&self.text[done..at.start]);
                text.push_str(&new);
                done = at.end;
            }
            free = words.end;
        }
        text.push_str(&self.text[done..]);
        self.encoded(text, replacements)
    }

    /// A payload never gets an empty line, an arrow or new mark-up.
    fn edits(&self, replacement: &Replacement) -> Vec<(Range<usize>, String)> {
        let words = &self.words[replacement.words.clone()];
        let gap = |n: usize| words[n].at.end..words[n + 1].at.start;
        let breaks = |n: usize| self.text[gap(n)].contains(['\n', '\r']);
        let plain = |n: usize| self.text[gap(n)].chars().all(char::is_whitespace);
        let new: Vec<String> = replacement
            .text
            .split_whitespace()
            .map(|w| self.escaped(w))
            .collect();
        let broken = (0..words.len() - 1).any(breaks);
        if broken && new.len() < words.len() {
            return self.edits_over_lines(replacement, &new);
        }
        let mut edits = Vec::new();
        for (n, word) in words.iter().enumerate() {
            let last = n + 1 == words.len();
            let text = match new.get(n) {
                Some(_) if last => new[n..].join(" "),
                Some(text) => text.clone(),
                None => String::new(),
            };
            let start = if n > 0 && n >= new.len() && plain(n - 1) {
                words[n - 1].at.end
            } else {
                word.at.start
            };
            edits.push((start..word.at.end, text));
        }
        edits
    }

    /// Fewer words than before over a line break: all go to the first line, unless that would leave the last one empty.
    fn edits_over_lines(
        &self,
        replacement: &Replacement,
        new: &[String],
    ) -> Vec<(Range<usize>, String)> {
        let words = &self.words[replacement.words.clone()];
        let joined = new.join(" ");
        let (first, last) = (&words[0], &words[words.len() - 1]);
        let payload = &self.cues[first.cue].payload;
        let is_break = |c: char| c == '\n' || c == '\r';
        let after = &self.text[last.at.end..payload.end];
        let rest = after.split(is_break).next().unwrap_or_default();
        let before = &self.text[payload.start..first.at.start];
        let lead = before.rsplit(is_break).next().unwrap_or_default();
        let to_last = rest.trim().is_empty() && !lead.trim().is_empty();
        let mut edits = Vec::new();
        let holder = if to_last { words.len() - 1 } else { 0 };
        for (n, word) in words.iter().enumerate() {
            let text = if n == holder {
                joined.clone()
            } else {
                String::new()
            };
            let mut at = word.at.clone();
            if n > 0 && n != holder {
                let gap = words[n - 1].at.end..at.start;
                let whole_line = !to_last && rest.trim().is_empty();
                let blank = self.text[gap.clone()].chars().all(char::is_whitespace);
                if blank && (whole_line || !self.text[gap.clone()].contains(is_break)) {
                    at.start = gap.start;
                }
            }
            edits.push((at, text));
        }
        edits
    }

    fn escaped(&self, word: &str) -> String {
        match self.format {
            Format::WebVtt => word
                .replace('&', "&amp;")
                .replace('<', "&lt;")
                .replace("-->", "--&gt;"),
            Format::SubRip => word.replace("-->", "->"),
        }
    }

    fn encoded(&self, text: String, replacements: &[Replacement]) -> Result<Vec<u8>, CaptionError> {
        if self.encoding == Encoding::Utf8 {
            return Ok(text.into_bytes());
        }
        for replacement in replacements {
            if encoding_rs::WINDOWS_1252.encode(&replacement.text).2 {
                return Err(CaptionError::Unwritable {
                    cue: self.words[replacement.words.start].cue,
                    text: replacement.text.clone(),
                });
            }
        }
        Ok(encoding_rs::WINDOWS_1252.encode(&text).0.into_owned())
    }
}
