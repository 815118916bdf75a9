//! The notation of a marking: what the eye saw, character by character.
//!
//! In: the text an analyst types. Out: [`Seen`] (lines of [`Glyph`]s), or the place of the fault and
//! what to write instead. Writing a `Seen` and reading it again gives the same one.
//! Not here: what the marking means (`marking`, `codes`).
//!
//! | written | seen |
//! | --- | --- |
//! | `?` | one character that cannot be read |
//! | `[8B]` | one character that is one of these |
//! | `~` | rubbed away, unknown how many characters |
//! | `{}` | a logo; `{Zulmarik}` the logo of that maker |
//! | <code>\|</code> | the text goes on in the next line |
//! | `\` | the next character is meant literally |

use std::fmt;
use std::fmt::Write as _;

/// One thing seen in a line.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Glyph {
    /// A character that was read.
    Read(char),
    /// A character is there but cannot be read.
    Unreadable,
    /// One of these characters; never empty.
    OneOf(Vec<char>),
    /// Rubbed away, unknown how many characters (none is possible).
    Gap,
    /// A logo, with the name of its maker where it was recognised.
    Logo(Option<String>),
}

/// One line of a marking.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash)]
pub struct Line {
    /// What was seen, left to right.
    pub glyphs: Vec<Glyph>,
}

/// A marking: its lines, top to bottom.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash)]
pub struct Seen {
    /// The lines.
    pub lines: Vec<Line>,
}

/// Why a text is not a marking, where, and what to write instead.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{message} (character {}); {remedy}", .at + 1)]
pub struct MarkingError {
    /// Place of the offending character, counted in characters from 0.
    pub at: usize,
    /// What is wrong, one sentence without a full stop.
    pub message: String,
    /// What to write instead, in the imperative.
    pub remedy: &'static str,
}

const BRACKETS: &str = "the brackets in this marking do not pair";
const BRACKETS_REMEDY: &str =
    "write [8B] for one character that may be 8 or B, and ? for an unreadable one";
const LOGO_REMEDY: &str = "write {} for a logo, {Name} for the logo of a known maker";
const GAP_REMEDY: &str =
    "write ~ once for a stretch of unknown length, and ? for each unreadable character";
const SPECIAL: &str = "?[]{}~|\\";

impl Seen {
    /// Reads one text; `|` begins a new line.
    ///
    /// # Errors
    /// The first fault: brackets that do not pair, two gaps in a row, a control character.
    pub fn parse(text: &str) -> Result<Self, MarkingError> {
        Reader::new(text).seen()
    }

    /// Reads the lines of a marking as the dossier keeps them, one text a line.
    ///
    /// # Errors
    /// The number of the text, from 0, and its first fault.
    pub fn of_lines<S: AsRef<str>>(texts: &[S]) -> Result<Self, (usize, MarkingError)> {
        let mut lines = Vec::new();
        for (i, text) in texts.iter().enumerate() {
            lines.extend(Self::parse(text.as_ref()).map_err(|e| (i, e))?.lines);
        }
        Ok(Self { lines })
    }

    /// Returns the names of the logos that were recognised.
    pub fn logos(&self) -> impl Iterator<Item = &str> {
        let glyphs = self.lines.iter().flat_map(|line| &line.glyphs);
        glyphs.filter_map(|glyph| match glyph {
            Glyph::Logo(name) => name.as_deref(),
            _ => None,
        })
    }
}

impl Line {
    /// Returns the characters of a line in which every one was read, without its logos and the gaps
    /// at its edges; none where there is a gap inside.
    pub fn plain(&self) -> Option<String> {
        let mut text = String::new();
        let mut gap_after = false;
        for glyph in &self.glyphs {
            match glyph {
                Glyph::Read(_) if gap_after => return None,
                Glyph::Read(c) => text.push(*c),
                Glyph::Gap => gap_after = !text.is_empty(),
                Glyph::Logo(_) => {}
                Glyph::Unreadable | Glyph::OneOf(_) => return None,
            }
        }
        Some(text.trim().to_string())
    }
}

/// Returns a text in which every character stands for itself.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        escape(c, &mut out);
    }
    out
}

fn escape(c: char, out: &mut String) {
    if SPECIAL.contains(c) {
        out.push('\\');
    }
    out.push(c);
}

struct Reader {
    chars: Vec<char>,
    at: usize,
}

impl Reader {
    fn new(text: &str) -> Self {
        Self {
            chars: text.chars().collect(),
            at: 0,
        }
    }

    fn seen(mut self) -> Result<Seen, MarkingError> {
        let mut seen = Seen {
            lines: vec![Line::default()],
        };
        while let Some(c) = self.next()? {
            let here = self.at - 1;
            let glyph = match c {
                '?' => Glyph::Unreadable,
                '[' => self.one_of(here)?,
                '{' => self.logo(here)?,
                '~' => self.gap(here)?,
                ']' => return Err(fault(here, BRACKETS, BRACKETS_REMEDY)),
                '}' => return Err(fault(here, "a logo ends that did not begin", LOGO_REMEDY)),
                '|' => {
                    seen.lines.push(Line::default());
                    continue;
                }
                '\\' => Glyph::Read(self.literal(here)?),
                c => Glyph::Read(c),
            };
            if let Some(line) = seen.lines.last_mut() {
                line.glyphs.push(glyph);
            }
        }
        Ok(seen)
    }

    fn next(&mut self) -> Result<Option<char>, MarkingError> {
        let Some(&c) = self.chars.get(self.at) else {
            return Ok(None);
        };
        if c.is_control() && c != '\t' {
            let message = format!(
                "the marking holds the control character U+{:04X}",
                u32::from(c)
            );
            return Err(fault(self.at, message, "remove it"));
        }
        self.at += 1;
        Ok(Some(c))
    }

    fn literal(&mut self, here: usize) -> Result<char, MarkingError> {
        let remedy = "write \\\\ for a backslash that was seen";
        self.next()?
            .ok_or_else(|| fault(here, "nothing follows the backslash", remedy))
    }

    fn one_of(&mut self, here: usize) -> Result<Glyph, MarkingError> {
        let mut choices = Vec::new();
        while let Some(c) = self.next()? {
            let at = self.at - 1;
            match c {
                ']' if choices.is_empty() => break,
                ']' => return Ok(Glyph::OneOf(choices)),
                '[' => return Err(fault(at, BRACKETS, BRACKETS_REMEDY)),
                '\\' => choices.push(self.literal(at)?),
                c if SPECIAL.contains(c) => {
                    let message = format!("`{c}` cannot stand inside brackets");
                    return Err(fault(
                        at,
                        message,
                        "write a backslash before it, or remove it",
                    ));
                }
                c => choices.push(c),
            }
        }
        Err(fault(here, BRACKETS, BRACKETS_REMEDY))
    }

    fn logo(&mut self, here: usize) -> Result<Glyph, MarkingError> {
        let mut name = String::new();
        while let Some(c) = self.next()? {
            let at = self.at - 1;
            match c {
                '}' => return Ok(Glyph::Logo((!name.is_empty()).then_some(name))),
                '{' => break,
                '\\' => name.push(self.literal(at)?),
                c => name.push(c),
            }
        }
        Err(fault(here, "the logo does not end", LOGO_REMEDY))
    }

    /// A gap may stand anywhere, but not beside another.
    fn gap(&self, here: usize) -> Result<Glyph, MarkingError> {
        if self.chars.get(self.at) == Some(&'~') {
            return Err(fault(here, "two gaps follow each other", GAP_REMEDY));
        }
        Ok(Glyph::Gap)
    }
}

fn fault(at: usize, message: impl Into<String>, remedy: &'static str) -> MarkingError {
    MarkingError {
        at,
        message: message.into(),
        remedy,
    }
}

impl fmt::Display for Glyph {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Read(c) => f.write_str(&escaped(c.encode_utf8(&mut [0; 4]))),
            Self::Unreadable => f.write_char('?'),
            Self::OneOf(choices) => {
                write!(f, "[{}]", escaped(&choices.iter().collect::<String>()))
            }
            Self::Gap => f.write_char('~'),
            Self::Logo(name) => write!(f, "{{{}}}", escaped(name.as_deref().unwrap_or(""))),
        }
    }
}

impl fmt::Display for Line {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.glyphs.iter().try_for_each(|glyph| glyph.fmt(f))
    }
}

impl fmt::Display for Seen {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, line) in self.lines.iter().enumerate() {
            if i > 0 {
                f.write_char('|')?;
            }
            line.fmt(f)?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests;
