//! A published text as blocks: paragraphs, headings, items of lists, rows of tables.
//!
//! In: plain text. Out: [`Text`], in which every byte of a block knows its line in the file.
//! Not here: other forms (`html`, `markdown`, `spoken`); sentences.

use std::ops::Range;

/// A text that was read.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Text {
    /// What it calls itself.
    pub title: Option<String>,
    /// What it says, in order.
    pub blocks: Vec<Block>,
}

/// What a block is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Kind {
    /// A heading, or the title.
    Heading,
    /// A paragraph, an item of a list, captions in one go.
    Prose,
    /// A row of a table.
    Row {
        /// Which table, counted from 0.
        table: usize,
        /// Where its cells stand in the text of the block.
        cells: Vec<Range<usize>>,
    },
}

/// A piece of text that no sentence leads out of.
#[derive(Debug, Clone, PartialEq)]
pub struct Block {
    /// What it is.
    pub kind: Kind,
    /// Its text, single blanks between words.
    pub text: String,
    /// Where each run of text begins, and on which line of the file.
    pub(crate) lines: Vec<(usize, usize)>,
}

impl Block {
    pub(crate) fn new(kind: Kind) -> Self {
        Self {
            kind,
            text: String::new(),
            lines: Vec::new(),
        }
    }

    /// The line that a byte of the text stands on in the file, from 1.
    pub fn line(&self, at: usize) -> usize {
        let after = self.lines.partition_point(|(begins, _)| *begins <= at);
        let run = after.checked_sub(1).and_then(|n| self.lines.get(n));
        run.or(self.lines.first()).map_or(1, |(_, line)| *line)
    }

    /// Adds text of a line; blanks are folded to one.
    pub(crate) fn push(&mut self, text: &str, line: usize) {
        if text.starts_with(char::is_whitespace) {
            self.blank();
        }
        for (n, word) in text.split_whitespace().enumerate() {
            if n > 0 {
                self.text.push(' ');
            }
            if n == 0 && self.lines.last().is_none_or(|(_, last)| *last != line) {
                self.lines.push((self.text.len(), line));
            }
            self.text.push_str(word);
        }
        if text.ends_with(char::is_whitespace) {
            self.blank();
        }
    }

    pub(crate) fn blank(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with(' ') {
            self.text.push(' ');
        }
    }
}

impl Text {
    /// Adds a block that holds anything.
    pub(crate) fn add(&mut self, mut block: Block) {
        if matches!(block.kind, Kind::Heading | Kind::Prose) {
            block.text.truncate(block.text.trim_end().len());
        }
        if block.text.trim().is_empty() {
            return;
        }
        if block.kind == Kind::Heading && self.title.is_none() {
            self.title = Some(block.text.clone());
        }
        self.blocks.push(block);
    }
}

/// Reads plain text: blank lines end a paragraph, and so does a line that begins an item.
pub(crate) fn read(text: &str) -> Text {
    let mut read = Text::default();
    let mut block = Block::new(Kind::Prose);
    for (number, line) in (1..).zip(text.lines()) {
        let item = line.trim_start().starts_with(['-', '*', '•', '–']);
        if line.trim().is_empty() || item {
            read.add(std::mem::replace(&mut block, Block::new(Kind::Prose)));
        }
        block.push(line, number);
        block.blank();
    }
    read.add(block);
    // What stands first, and is short, is what it is called.
    let first = read.blocks.first_mut();
    if let Some(first) = first.filter(|b| b.text.len() <= 120 && !b.text.ends_with('.')) {
        first.kind = Kind::Heading;
        read.title = Some(first.text.clone());
    }
    read
}
