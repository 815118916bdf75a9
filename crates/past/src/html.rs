//! Pages.
//!
//! In: HTML. Out: its words as blocks. Only tags and text are told apart, as browsers do it; no tree is built, so a
//! page may be nested as deeply as it likes. Not here: what words mean.
//! Source: the HTML Standard through `html5ever`.

use crate::text::{Block, Kind, Text};
use html5ever::tendril::StrTendril;
use html5ever::tokenizer::states::RawKind;
use html5ever::tokenizer::{
    BufferQueue, Tag, TagKind, Token, TokenSink, TokenSinkResult, Tokenizer,
};
use std::cell::RefCell;

pub(crate) fn read(page: &str) -> Text {
    parsed(page, 1)
}

/// Reads a page, or a piece of one that begins on a line.
pub(crate) fn parsed(page: &str, line: usize) -> Text {
    let queue = BufferQueue::default();
    queue.push_back(StrTendril::from_slice(page));
    let tokenizer = Tokenizer::new(Sink(RefCell::new(Reading::at(line))), Default::default());
    let _ = tokenizer.feed(&queue);
    tokenizer.end();
    tokenizer.sink.0.into_inner().ended()
}

struct Sink(RefCell<Reading>);

struct Reading {
    read: Text,
    block: Block,
    first_line: usize,
    /// The element whose text is passed over.
    passed: Option<String>,
    tables: usize,
    /// Where the open cell of a row begins.
    cell: Option<usize>,
    title: bool,
}

impl Reading {
    fn at(first_line: usize) -> Self {
        Self {
            read: Text::default(),
            block: Block::new(Kind::Prose),
            first_line,
            passed: None,
            tables: 0,
            cell: None,
            title: false,
        }
    }

    fn next(&mut self, kind: Kind) {
        self.close_cell();
        let block = std::mem::replace(&mut self.block, Block::new(kind));
        if self.title {
            // The title is said again by the first heading; only what it calls the page is kept.
            let title = block.text.trim();
            self.read.title = (!title.is_empty()).then(|| title.to_string());
            self.title = false;
            return;
        }
        self.read.add(block);
    }

    fn close_cell(&mut self) {
        let Some(begin) = self.cell.take() else {
            return;
        };
        self.block.text.truncate(self.block.text.trim_end().len());
        let end = self.block.text.len().max(begin);
        if let Kind::Row { cells, .. } = &mut self.block.kind {
            cells.push(begin.min(end)..end);
        }
    }

    fn open_cell(&mut self) {
        self.close_cell();
        if let Kind::Row { cells, .. } = &self.block.kind
            && !cells.is_empty()
        {
            self.block.text.truncate(self.block.text.trim_end().len());
            self.block.text.push_str(" | ");
        }
        self.cell = Some(self.block.text.len());
    }

    fn tag(&mut self, tag: &Tag) -> TokenSinkResult<()> {
        let name = &*tag.name;
        let opens = tag.kind == TagKind::StartTag;
        if let Some(passed) = &self.passed {
            if !opens && passed == name {
                self.passed = None;
            }
            return TokenSinkResult::Continue;
        }
        let in_row = matches!(self.block.kind, Kind::Row { .. });
        match name {
            "script" | "style" | "noscript" | "iframe" | "template" | "svg" | "textarea"
                if opens && !tag.self_closing =>
            {
                self.passed = Some(name.to_string());
                return match name {
                    "script" => TokenSinkResult::RawData(RawKind::ScriptData),
                    "style" | "noscript" | "iframe" => TokenSinkResult::RawData(RawKind::Rawtext),
                    "textarea" => TokenSinkResult::RawData(RawKind::Rcdata),
                    _ => TokenSinkResult::Continue,
                };
            }
            "title" if opens => {
                self.next(Kind::Heading);
                self.title = true;
                return TokenSinkResult::RawData(RawKind::Rcdata);
            }
            "h1" | "h2" | "h3" | "h4" | "h5" | "h6" if opens => self.next(Kind::Heading),
            "table" => {
                self.next(Kind::Prose);
                self.tables += usize::from(opens);
            }
            "tr" if opens => {
                let table = self.tables.saturating_sub(1);
                self.next(Kind::Row {
                    table,
                    cells: Vec::new(),
                });
            }
            "tr" => self.next(Kind::Prose),
            "td" | "th" if opens && in_row => self.open_cell(),
            "td" | "th" => self.close_cell(),
            "br" | "wbr" | "hr" if in_row => self.block.blank(),
            "br" => self.block.blank(),
            // A paragraph within a cell does not end the row.
            name if is_block(name) && in_row => self.block.blank(),
            name if is_block(name) => self.next(Kind::Prose),
            _ => {}
        }
        TokenSinkResult::Continue
    }

    fn ended(mut self) -> Text {
        self.next(Kind::Prose);
        self.read
    }
}

fn is_block(name: &str) -> bool {
    matches!(
        name,
        "title"
            | "h1"
            | "h2"
            | "h3"
            | "h4"
            | "h5"
            | "h6"
            | "p"
            | "div"
            | "li"
            | "ul"
            | "ol"
            | "dl"
            | "dt"
            | "dd"
            | "section"
            | "article"
            | "aside"
            | "header"
            | "footer"
            | "main"
            | "nav"
            | "figure"
            | "figcaption"
            | "blockquote"
            | "pre"
            | "hr"
            | "caption"
            | "thead"
            | "tbody"
            | "tfoot"
            | "body"
            | "head"
            | "html"
            | "form"
            | "fieldset"
            | "details"
            | "summary"
            | "address"
            | "option"
            | "button"
    )
}

impl TokenSink for Sink {
    type Handle = ();

    fn process_token(&self, token: Token, line_number: u64) -> TokenSinkResult<()> {
        let mut reading = self.0.borrow_mut();
        match token {
            Token::TagToken(tag) => return reading.tag(&tag),
            Token::CharacterTokens(text) if reading.passed.is_none() => {
                // A run of text is told when it is over, on its last line.
                let last = usize::try_from(line_number).unwrap_or(usize::MAX);
                let last = last.saturating_add(reading.first_line);
                let first = last.saturating_sub(1 + text.matches('\n').count()).max(1);
                for (n, said) in text.split('\n').enumerate() {
                    if n > 0 {
                        reading.block.blank();
                    }
                    reading.block.push(said, first + n);
                }
            }
            _ => {}
        }
        TokenSinkResult::Continue
    }
}
