//! A place in a folded text, with the small steps that every reader takes.

use super::ReadError;
use crate::glyph::{Glyph, fold};
use std::ops::Range;

/// A place in a folded text.
pub(super) struct Cursor {
    glyphs: Vec<Glyph>,
    pub(super) i: usize,
    end: usize,
}

impl Cursor {
    pub(super) fn new(text: &str) -> Self {
        Self {
            glyphs: fold(text),
            i: 0,
            end: text.len(),
        }
    }

    /// Returns the character `n` places ahead.
    pub(super) fn ahead(&self, n: usize) -> Option<char> {
        self.glyphs.get(self.i + n).map(|g| g.c)
    }

    pub(super) fn peek(&self) -> Option<char> {
        self.ahead(0)
    }

    pub(super) fn back(&self) -> Option<char> {
        self.i
            .checked_sub(1)
            .and_then(|i| self.glyphs.get(i))
            .map(|g| g.c)
    }

    pub(super) fn at_end(&self) -> bool {
        self.i >= self.glyphs.len()
    }

    pub(super) fn digit_at(&self, n: usize) -> bool {
        self.ahead(n).is_some_and(|c| c.is_ascii_digit())
    }

    pub(super) fn skip_spaces(&mut self) {
        while self.peek() == Some(' ') {
            self.i += 1;
        }
    }

    /// Takes one character if it is next.
    pub(super) fn eat(&mut self, c: char) -> bool {
        let found = self.peek() == Some(c);
        self.i += usize::from(found);
        found
    }

    /// Takes a phrase, whatever its case, if it is next and ends where a word ends. A space in the
    /// phrase stands for one or more.
    pub(super) fn eat_phrase(&mut self, phrase: &str) -> bool {
        let start = self.i;
        let mut last = ' ';
        for wanted in phrase.chars() {
            if !self
                .peek()
                .is_some_and(|c| c.to_lowercase().eq(wanted.to_lowercase()))
            {
                self.i = start;
                return false;
            }
            self.i += 1;
            if wanted == ' ' {
                self.skip_spaces();
            }
            last = wanted;
        }
        if last.is_alphabetic() && self.peek().is_some_and(char::is_alphabetic) {
            self.i = start;
            return false;
        }
        true
    }

    /// Returns the folded characters from a place to here.
    pub(super) fn since(&self, start: usize) -> String {
        let end = self.i.min(self.glyphs.len());
        self.glyphs
            .get(start..end)
            .unwrap_or_default()
            .iter()
            .map(|g| g.c)
            .collect()
    }

    /// Returns the bytes from one place to another, end exclusive.
    pub(super) fn bytes(&self, from: usize, to: usize) -> Range<usize> {
        let start = self.glyphs.get(from).map_or(self.end, |g| g.at.start);
        let last = to
            .checked_sub(1)
            .and_then(|i| self.glyphs.get(i))
            .map_or(start, |g| g.at.end);
        start..last.max(start)
    }

    /// Makes an error about the text from a place to here.
    pub(super) fn error(&self, from: usize, message: impl Into<String>) -> ReadError {
        ReadError {
            at: self.bytes(from, self.i),
            message: message.into(),
        }
    }

    /// Makes an error about everything from here on.
    pub(super) fn error_ahead(&self, message: impl Into<String>) -> ReadError {
        ReadError {
            at: self.bytes(self.i, self.glyphs.len()),
            message: message.into(),
        }
    }

    /// Returns what is next, shortened for a message.
    pub(super) fn excerpt(&self) -> String {
        let rest = self.glyphs.get(self.i..).unwrap_or_default();
        let start: String = rest.iter().take(24).map(|g| g.c).collect();
        if rest.len() > 24 {
            format!("{start}…")
        } else {
            start
        }
    }
}
