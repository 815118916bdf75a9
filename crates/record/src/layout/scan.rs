//! Reading the layout, statement by statement.

use super::{Form, Id, Layout, Node, Part, Statement, TOP};
use std::ops::Range;

/// Parts of a dotted key with their bytes.
type Keys = Vec<(String, Range<usize>)>;

pub(super) fn scan(text: &str) -> Layout {
    let mut scan = Scan {
        text,
        bytes: text.as_bytes(),
        at: 0,
        nodes: Vec::new(),
        statements: Vec::new(),
    };
    scan.add(Form::Root, None, 0..0);
    if text.starts_with('\u{feff}') {
        scan.at = '\u{feff}'.len_utf8();
    }
    scan.statements();
    Layout {
        nodes: scan.nodes,
        statements: scan.statements,
        newline: if text.contains("\r\n") { "\r\n" } else { "\n" },
    }
}

struct Scan<'t> {
    text: &'t str,
    bytes: &'t [u8],
    at: usize,
    nodes: Vec<Node>,
    statements: Vec<Statement>,
}

impl Scan<'_> {
    fn add(&mut self, form: Form, parent: Option<Id>, key: Range<usize>) -> Id {
        let brackets = parent.and_then(|p| match self.nodes[p].form {
            Form::Array | Form::Inline => Some(p),
            _ => self.nodes[p].brackets,
        });
        self.nodes.push(Node {
            form,
            parent,
            span: key.clone(),
            key,
            children: Vec::new(),
            elements: Vec::new(),
            parts: Vec::new(),
            brackets,
        });
        self.nodes.len() - 1
    }

    fn peek(&self) -> Option<u8> {
        self.bytes.get(self.at).copied()
    }

    fn statements(&mut self) {
        let mut table = TOP;
        let mut lead: Option<usize> = None;
        while self.at < self.bytes.len() {
            let line = self.at;
            self.blanks();
            match self.peek() {
                Some(b'#') => {
                    self.line_end();
                    lead.get_or_insert(line);
                    continue;
                }
                None | Some(b'\n' | b'\r') => {
                    self.line_end();
                    lead = None;
                    continue;
                }
                Some(_) => {}
            }
            let start = self.at;
            let is_header = self.peek() == Some(b'[');
            let node = if is_header {
                table = self.header();
                self.nodes[table].span = start..self.at;
                table
            } else {
                self.key_value(table).0
            };
            self.line_end();
            self.statements.push(Statement {
                // A comment that opens the text speaks of the text, not of its first line.
                lead: lead.take().filter(|&lead| lead > 0).unwrap_or(line),
                start: line,
                end: self.at,
                node,
                is_header,
            });
        }
    }

    fn header(&mut self) -> Id {
        let is_entry = self.bytes.get(self.at + 1) == Some(&b'[');
        self.at += 1 + usize::from(is_entry);
        let mut keys = self.keys();
        self.at += 1 + usize::from(is_entry);
        let (last, span) = keys.pop().unwrap_or_default();
        let mut table = TOP;
        for (key, span) in keys {
            table = self.step(table, key, span, Form::Above);
        }
        if !is_entry {
            let table = self.step(table, last, span, Form::Header);
            self.nodes[table].form = Form::Header;
            return table;
        }
        let known = self.nodes[table].children.iter().find(|(k, _)| *k == last);
        let list = match known.map(|(_, id)| *id) {
            Some(list) => list,
            None => {
                let list = self.add(Form::List, Some(table), span.clone());
                self.nodes[table].children.push((last, list));
                list
            }
        };
        let entry = self.add(Form::Header, Some(list), span);
        self.nodes[list].elements.push(entry);
        entry
    }

    /// Goes down one key, into the last entry of a list, and makes what is missing.
    fn step(&mut self, table: Id, key: String, span: Range<usize>, form: Form) -> Id {
        let known = self.nodes[table].children.iter().find(|(k, _)| *k == key);
        match known.map(|(_, id)| *id) {
            Some(id) => match (self.nodes[id].form, self.nodes[id].elements.last()) {
                (Form::List, Some(&last)) => last,
                _ => id,
            },
            None => {
                let id = self.add(form, Some(table), span);
                self.nodes[table].children.push((key, id));
                id
            }
        }
    }

    /// Reads `key = value` below a table. Returns the node of the value and the start of the key.
    fn key_value(&mut self, table: Id) -> (Id, usize) {
        let mut keys = self.keys();
        let start = keys.first().map_or(self.at, |(_, span)| span.start);
        let (last, span) = keys.pop().unwrap_or_default();
        let mut table = table;
        for (key, span) in keys {
            table = self.step(table, key, span, Form::Dotted);
        }
        self.at += 1; // the equals sign
        self.blanks();
        let value = self.value(table, span);
        self.nodes[table].children.push((last, value));
        (value, start)
    }

    /// Reads a key with its dots, and the blanks behind it.
    fn keys(&mut self) -> Keys {
        let mut keys = Vec::new();
        loop {
            self.blanks();
            let start = self.at;
            match self.peek() {
                Some(quote @ (b'"' | b'\'')) => self.string(quote),
                _ => {
                    while self.peek().is_some_and(|b| {
                        b.is_ascii_alphanumeric() || b == b'-' || b == b'_' || !b.is_ascii()
                    }) {
                        self.at += 1;
                    }
                }
            }
            let written = &self.text[start..self.at];
            let key = written
                .parse::<toml_edit::Key>()
                .map_or_else(|_| written.to_string(), |k| k.get().to_string());
            keys.push((key, start..self.at));
            self.blanks();
            if self.peek() != Some(b'.') {
                return keys;
            }
            self.at += 1;
        }
    }

    fn value(&mut self, parent: Id, key: Range<usize>) -> Id {
        let start = self.at;
        let form = match self.peek() {
            Some(b'[') => Form::Array,
            Some(b'{') => Form::Inline,
            _ => Form::Single,
        };
        let id = self.add(form, Some(parent), key);
        match self.peek() {
            Some(b'[' | b'{') => self.bracketed(id),
            Some(quote @ (b'"' | b'\'')) => self.string(quote),
            _ => {
                while self
                    .peek()
                    .is_some_and(|b| !matches!(b, b',' | b']' | b'}' | b'#' | b'\n' | b'\r'))
                {
                    self.at += 1;
                }
                self.at = start + self.text[start..self.at].trim_end().len();
            }
        }
        self.nodes[id].span = start..self.at;
        id
    }

    fn bracketed(&mut self, id: Id) {
        self.at += 1;
        loop {
            self.between();
            match self.peek() {
                None => return,
                Some(b']' | b'}') => {
                    self.at += 1;
                    return;
                }
                Some(b',') => {
                    let comma = self.at;
                    if let Some(last) = self.nodes[id].parts.last_mut() {
                        last.comma = Some(comma);
                    }
                    self.at += 1;
                }
                Some(_) => {
                    let (node, start) = if self.nodes[id].form == Form::Inline {
                        self.key_value(id)
                    } else {
                        let start = self.at;
                        let element = self.value(id, start..start);
                        self.nodes[id].elements.push(element);
                        (element, start)
                    };
                    let span = start..self.at;
                    self.nodes[id].parts.push(Part {
                        span,
                        comma: None,
                        node,
                    });
                }
            }
        }
    }

    fn string(&mut self, quote: u8) {
        let is_long = self.bytes[self.at..].starts_with(&[quote; 3]);
        self.at += if is_long { 3 } else { 1 };
        while let Some(byte) = self.peek() {
            if byte == b'\\' && quote == b'"' {
                self.at += 2;
            } else if byte != quote {
                self.at += 1;
            } else if !is_long {
                self.at += 1;
                return;
            } else {
                let run = self.bytes[self.at..].iter().take_while(|b| **b == quote);
                let run = run.count();
                self.at += run;
                // Up to two quotes may stand right before the three that close.
                if run >= 3 {
                    return;
                }
            }
        }
        self.at = self.bytes.len();
    }

    fn blanks(&mut self) {
        while matches!(self.peek(), Some(b' ' | b'\t')) {
            self.at += 1;
        }
    }

    /// Passes blanks, line breaks and comments.
    fn between(&mut self) {
        loop {
            match self.peek() {
                Some(b' ' | b'\t' | b'\n' | b'\r') => self.at += 1,
                Some(b'#') => self.line_end(),
                _ => return,
            }
        }
    }

    /// Passes the rest of the line with its line break.
    fn line_end(&mut self) {
        let rest = &self.bytes[self.at..];
        let length = rest.iter().position(|b| *b == b'\n');
        self.at += length.map_or(rest.len(), |n| n + 1);
    }
}
