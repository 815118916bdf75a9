//! Text with tones: what is said and how it is to stand out, without saying by which colour or code.
//!
//! In: texts, each with its tone. Out: the same in order. Not here: colours; what the terminal can do.

use std::fmt;

/// How a piece of text stands out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// As running text.
    Plain,
    /// Strong.
    Bold,
    /// Behind the rest.
    Quiet,
    /// A contradiction.
    Accent,
}

/// Text in pieces of one tone each.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Marked(Vec<(Tone, String)>);

impl Marked {
    /// Appends text.
    pub fn push(&mut self, tone: Tone, text: &str) {
        self.0.push((tone, text.to_owned()));
    }

    /// Returns the pieces in order.
    pub fn spans(&self) -> impl Iterator<Item = (Tone, &str)> {
        self.0.iter().map(|(tone, text)| (*tone, text.as_str()))
    }
}

impl fmt::Display for Marked {
    /// Writes the text without its tones.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|(_, text)| f.write_str(text))
    }
}
