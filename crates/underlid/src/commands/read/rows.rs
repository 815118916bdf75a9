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
                let lines = textwrap::wrap(known, options(self.width - at));
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
        let options = options(self.width)
            .initial_indent(&indent)
            .subsequent_indent(&indent);
        // A number and its sign stay on one line.
        let text = textwrap::fill(&text.replace(" %", "\u{a0}%"), options);
        self.out.push(tone, &text.replace('\u{a0}', " "));
        self.out.push(Tone::Plain, "\n");
    }
}

/// Lines end between words; a part number is not broken at its hyphen.
fn options<'a>(width: usize) -> textwrap::Options<'a> {
    textwrap::Options::new(width)
        .word_splitter(textwrap::WordSplitter::NoHyphenation)
        .word_separator(textwrap::WordSeparator::AsciiSpace)
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_wider_than_the_terminal_and_nothing_is_lost() {
        let known =
            "Threndova, charger, QFN-16 or SOT-23-5, single-cell charger with power path 電源管理";
        for width in [40, 57, 80, 120, usize::MAX] {
            let mut rows = Rows::new(width);
            rows.sentence(Tone::Bold, known);
            rows.row(Tone::Bold, "86 %", "TH318-QF", known);
            rows.member("< 0.1 %", "TH318-TR", known);
            rows.below(Tone::Quiet, known);
            let text = rows.finish().to_string();
            let widest = text.lines().map(UnicodeWidthStr::width).max();
            assert!(widest <= Some(width), "{text}");
            let words: Vec<&str> = text.split_whitespace().collect();
            assert_eq!(words.join(" ").matches(known).count(), 4, "{text}");
        }
    }
}
