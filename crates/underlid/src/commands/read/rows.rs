//! Rows of an answer: a probability, a name, and what is known, broken at the width of the terminal.

use report::{Marked, Tone};
use unicode_width::UnicodeWidthStr;

/// Columns for a probability.
const PERCENT: usize = 9;
/// Columns for a name; a longer one pushes what follows.
const NAME: usize = 16;
/// Columns that members of a family stand further in.
const MEMBER: usize = 2;
/// Columns of text that are worth breaking; below that it goes under the name.
const NARROW: usize = 24;

/// An answer being set.
pub(super) struct Rows {
    out: Marked,
    width: usize,
}

impl Rows {
    pub(super) fn new(width: usize) -> Self {
        Self {
            out: Marked::default(),
            width,
        }
    }

    pub(super) fn finish(self) -> Marked {
        self.out
    }

    /// A sentence from the left edge.
    pub(super) fn sentence(&mut self, tone: Tone, text: &str) {
        self.broken(tone, 0, text);
    }

    /// A heading after an empty line.
    pub(super) fn heading(&mut self, text: &str) {
        self.out.push(Tone::Plain, "\n");
        self.broken(Tone::Plain, 0, text);
    }

    /// An empty line.
    pub(super) fn space(&mut self) {
        self.out.push(Tone::Plain, "\n");
    }

    /// A probability, a name, what is known.
    pub(super) fn row(&mut self, tone: Tone, percent: &str, name: &str, known: &str) {
        self.columns(tone, 0, percent, name, known);
    }

    /// The same for one of a family.
    pub(super) fn member(&mut self, percent: &str, name: &str, known: &str) {
        self.columns(Tone::Plain, MEMBER, percent, name, known);
    }

    /// Something under a row.
    pub(super) fn below(&mut self, tone: Tone, text: &str) {
        self.broken(tone, PERCENT + 2 + MEMBER, text);
    }

    /// What else can be asked.
    pub(super) fn note(&mut self, text: &str) {
        self.broken(Tone::Quiet, PERCENT + 2, text);
    }

    fn columns(&mut self, tone: Tone, indent: usize, percent: &str, name: &str, known: &str) {
        let indent = " ".repeat(indent);
        let lead = format!("{indent}{}{percent}  ", pad(PERCENT, percent));
        self.out.push(tone, &lead);
        self.out.push(tone, name);
        if !known.is_empty() {
            let at = lead.width() + name.width().max(NAME) + 2;
            if at + NARROW <= self.width {
                self.out.push(Tone::Plain, &pad(NAME, name));
                self.out.push(Tone::Plain, "  ");
                let lines = textwrap::wrap(known, self.width - at);
                let hanging = format!("\n{}", " ".repeat(at));
                self.out.push(second(tone), &lines.join(&hanging));
            } else {
                self.out.push(Tone::Plain, "\n");
                self.broken(second(tone), lead.width() + MEMBER, known);
                return;
            }
        }
        self.out.push(Tone::Plain, "\n");
    }

    fn broken(&mut self, tone: Tone, indent: usize, text: &str) {
        let indent = " ".repeat(indent);
        let options = textwrap::Options::new(self.width.max(20))
            .initial_indent(&indent)
            .subsequent_indent(&indent);
        self.out.push(tone, &textwrap::fill(text, options));
        self.out.push(Tone::Plain, "\n");
    }
}

/// What is known stands behind the name.
fn second(tone: Tone) -> Tone {
    if tone == Tone::Bold {
        Tone::Plain
    } else {
        tone
    }
}

/// Spaces that fill a column.
fn pad(columns: usize, text: &str) -> String {
    " ".repeat(columns.saturating_sub(text.width()))
}
