//! Places in the text of a dossier: from byte ranges to lines, columns and marked lines.

use crate::Problem;
use std::ops::Range;

/// Widest source line shown, in characters; longer ones are cut around the fault.
const SHOWN: usize = 100;

/// The text under check and the name it is reported under.
#[derive(Debug)]
pub(crate) struct Source<'t> {
    pub(crate) text: &'t str,
    file: &'t str,
    line_starts: Vec<usize>,
}

impl<'t> Source<'t> {
    pub(crate) fn new(text: &'t str, file: &'t str) -> Self {
        let breaks = text
            .bytes()
            .enumerate()
            .filter(|(_, b)| *b == b'\n')
            .map(|(at, _)| at + 1);
        Self {
            text,
            file,
            line_starts: std::iter::once(0).chain(breaks).collect(),
        }
    }

    /// Returns the line that a byte stands in, from 1.
    pub(crate) fn line(&self, byte: usize) -> usize {
        self.line_starts.partition_point(|&s| s <= byte)
    }

    /// Makes a problem at a byte range; the range is pulled onto character boundaries.
    pub(crate) fn problem(&self, span: &Range<usize>, message: String, remedy: String) -> Problem {
        let start = floor(self.text, span.start);
        let end = floor(self.text, span.end).max(start);
        let line = self.line_starts.partition_point(|&s| s <= start);
        let line_start = self.line_starts[line.saturating_sub(1)];
        let rest = &self.text[line_start..];
        let whole = rest
            .split('\n')
            .next()
            .unwrap_or(rest)
            .trim_end_matches('\r');
        let before = self.text[line_start..start].chars().count();
        let in_line = end.min(line_start + whole.len()).max(start);
        let width = self.text[start..in_line].chars().count();
        let (source_line, mark_from, mark_width) = window(whole, start - line_start, width);
        Problem {
            file: self.file.to_string(),
            line,
            column: before + 1,
            text: excerpt(&self.text[start..end]),
            message,
            remedy,
            span: start..end,
            source_line,
            mark_from,
            mark_width,
            lacks: None,
            place: None,
        }
    }
}

/// Returns the greatest character boundary at or below `at`.
fn floor(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// Cuts a long line around the fault at byte `at` and replaces characters that would disturb a
/// terminal. Only the neighbourhood of the fault is looked at, however long the line.
fn window(line: &str, at: usize, width: usize) -> (String, usize, usize) {
    let at = at.min(line.len());
    let whole = line.len() <= SHOWN || line.chars().nth(SHOWN).is_none();
    let lead = if whole { usize::MAX } else { SHOWN / 3 };
    let mut before: Vec<char> = line[..at].chars().rev().take(lead).map(printable).collect();
    before.reverse();
    let room = if whole {
        usize::MAX
    } else {
        SHOWN - before.len()
    };
    let after: Vec<char> = line[at..].chars().take(room).map(printable).collect();
    let cut_before = before.len() < at && line[..at].chars().nth(before.len()).is_some();
    let cut_after = line[at..].chars().nth(after.len()).is_some();
    let mut shown = String::new();
    if cut_before {
        shown.push('…');
    }
    let from = before.len() + usize::from(cut_before);
    shown.extend(before);
    let marked = width.min(after.len());
    shown.extend(after);
    if cut_after {
        shown.push('…');
    }
    (shown, from, marked)
}

fn printable(c: char) -> char {
    if c == '\t' {
        ' '
    } else if crate::steers(c) {
        '\u{fffd}'
    } else {
        c
    }
}

/// Shortens text to the start of its first line.
pub(crate) fn excerpt(text: &str) -> String {
    let line = text.trim().lines().next().unwrap_or_default();
    let mut short: String = line.chars().take(60).map(printable).collect();
    if short.chars().count() < text.trim().chars().count() {
        short.push('…');
    }
    short
}
