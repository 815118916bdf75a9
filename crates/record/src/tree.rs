//! The text of a dossier as a plain tree in which every key and value knows its byte range.
//!
//! In: text. Out: the tree and the faults of TOML syntax. Every syntax fault is looked for by
//! blanking the faulty line and reading on, so that one slip does not hide the next.
//! Not here: what the keys mean (`grammar`, `check`).

use crate::Problem;
use crate::source::Source;
use std::ops::Range;
use toml_edit::{Document, Item, TableLike, Value as Edit};

/// Deepest nesting of tables and lists accepted; a real dossier needs six.
pub(crate) const DEEPEST: usize = 64;
/// Syntax faults reported before giving up.
const MOST_SYNTAX_FAULTS: usize = 20;

/// One value and where it stands.
#[derive(Debug, Clone)]
pub(crate) struct Node {
    pub(crate) span: Range<usize>,
    pub(crate) value: Value,
}

/// The kinds of value that TOML has.
#[derive(Debug, Clone)]
pub(crate) enum Value {
    Text(String),
    Whole(i64),
    Number(f64),
    Boolean(bool),
    /// A date or time as written.
    Date(String),
    List(Vec<Node>),
    Table(Vec<Entry>),
}

/// One key with its value.
#[derive(Debug, Clone)]
pub(crate) struct Entry {
    pub(crate) key: String,
    pub(crate) key_span: Range<usize>,
    pub(crate) node: Node,
}

impl Value {
    /// Returns the kind in words, for messages.
    pub(crate) fn kind(&self) -> &'static str {
        match self {
            Self::Text(_) => "text",
            Self::Whole(_) | Self::Number(_) => "a number without quotes",
            Self::Boolean(_) => "true or false",
            Self::Date(_) => "a date",
            Self::List(_) => "a list",
            Self::Table(_) => "a table",
        }
    }
}

impl Node {
    /// Returns the value under `key`, if this is a table that has it.
    pub(crate) fn get(&self, key: &str) -> Option<&Node> {
        match &self.value {
            Value::Table(entries) => entries.iter().find(|e| e.key == key).map(|e| &e.node),
            _ => None,
        }
    }
    /// Returns the text, if this is one.
    pub(crate) fn as_text(&self) -> Option<&str> {
        match &self.value {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }
    /// Returns the text under `key`.
    pub(crate) fn text(&self, key: &str) -> Option<&str> {
        self.get(key)?.as_text()
    }
    /// Returns the whole number under `key`.
    pub(crate) fn whole(&self, key: &str) -> Option<i64> {
        match self.get(key)?.value {
            Value::Whole(n) => Some(n),
            _ => None,
        }
    }
    /// Returns the elements of the list under `key`; none where there is no list.
    pub(crate) fn list(&self, key: &str) -> &[Node] {
        match self.get(key).map(|n| &n.value) {
            Some(Value::List(nodes)) => nodes,
            _ => &[],
        }
    }
}

/// What came of reading the syntax.
pub(crate) struct Parsed {
    pub(crate) root: Node,
    pub(crate) problems: Vec<Problem>,
    /// The text is nested too deep to say anything else about it.
    pub(crate) too_deep: bool,
}

/// Reads TOML text. With syntax faults, the tree holds what could be read around them.
pub(crate) fn parse(source: &Source<'_>) -> Parsed {
    let mut text = source.text.to_string();
    let mut problems = Vec::new();
    let mut last_line = 0;
    // Every fault costs one more reading of the whole text.
    let most = if text.len() > 1 << 20 {
        1
    } else {
        MOST_SYNTAX_FAULTS
    };
    loop {
        let error = match Document::parse(text.as_str()) {
            Ok(document) => {
                let mut nodes = Nodes {
                    source,
                    problems: &mut problems,
                    too_deep: false,
                };
                let root = Node {
                    span: 0..0,
                    value: nodes.table(document.as_table(), 1),
                };
                let too_deep = nodes.too_deep;
                return Parsed {
                    root,
                    problems,
                    too_deep,
                };
            }
            Err(error) => error,
        };
        let span = error.span().unwrap_or(0..0);
        let too_deep = error.message().contains("recursion");
        let (message, remedy) = syntax_words(error.message(), source, &span);
        let problem = source.problem(&span, message, remedy);
        let line = problem.line;
        let range = unread_range(&text, problem.span.start);
        let stop = too_deep || line <= last_line || problems.len() + 1 >= most;
        last_line = line;
        problems.push(problem);
        if stop {
            let root = Node {
                span: 0..0,
                value: Value::Table(Vec::new()),
            };
            return Parsed {
                root,
                problems,
                too_deep,
            };
        }
        // Blanks keep every later byte in its place, line breaks every later line.
        let blank: String = text[range.clone()]
            .bytes()
            .map(|b| if b == b'\n' { '\n' } else { ' ' })
            .collect();
        text.replace_range(range, &blank);
    }
}

/// Returns what to leave unread around a fault: its line; below a broken header also the lines that
/// belong to it, since without it they would count as keys of the table before.
fn unread_range(text: &str, at: usize) -> Range<usize> {
    let line = line_range(text, at);
    if !text[line.clone()].trim_start().starts_with('[') {
        return line;
    }
    let end = text[line.end..]
        .find("\n[")
        .map_or(text.len(), |n| line.end + n);
    line.start..end
}

/// Returns the range of the line around `at`, without its line break.
fn line_range(text: &str, at: usize) -> Range<usize> {
    let at = at.min(text.len());
    let start = text[..at].rfind('\n').map_or(0, |n| n + 1);
    let end = text[at..].find('\n').map_or(text.len(), |n| at + n);
    start..end
}

/// Turns the parser's words into ours, with a remedy where the slip is a common one.
fn syntax_words(message: &str, source: &Source<'_>, span: &Range<usize>) -> (String, String) {
    let message = message.lines().next().unwrap_or("cannot be read").trim();
    if message.contains("recursion") {
        return (
            format!("nested deeper than {DEEPEST} levels"),
            "keep tables and lists to the depth the format describes".into(),
        );
    }
    if message.contains("duplicate key") {
        return (
            "this key is given twice in the same table".into(),
            "keep one of the two; for a further entry of a list start a new [[…]] table".into(),
        );
    }
    let line = &source.text[line_range(source.text, span.start)];
    let remedy = if message.contains("basic string, expected `\"`") {
        "close the text with \", or write \"\"\" around text of several lines".to_string()
    } else if line.trim_start().starts_with('[') {
        "write the header as [table] or [[list of tables]]".to_string()
    } else {
        match line.split_once('=').map(|(_, v)| bare_value(v)) {
            Some(bare) if message.contains("must be quoted") && !bare.is_empty() => {
                format!("write \"{}\"", crate::source::excerpt(bare))
            }
            _ => {
                "write one `key = value` a line, text in straight quotes, lists in [ ]".to_string()
            }
        }
    };
    (format!("this is not TOML: {message}"), remedy)
}

/// Returns a value without quotes as the author meant it, without a comment behind it.
fn bare_value(value: &str) -> &str {
    let value = value.split('#').next().unwrap_or(value).trim();
    if value.contains('"') || value.contains('[') || value.contains('{') {
        ""
    } else {
        value
    }
}

struct Nodes<'a, 't> {
    source: &'a Source<'t>,
    problems: &'a mut Vec<Problem>,
    too_deep: bool,
}

impl Nodes<'_, '_> {
    fn table(&mut self, table: &dyn TableLike, depth: usize) -> Value {
        let mut entries = Vec::new();
        for (name, item) in table.iter() {
            let key_span = table
                .key(name)
                .and_then(toml_edit::Key::span)
                .unwrap_or(0..0);
            if let Some(node) = self.item(item, &key_span, depth) {
                entries.push(Entry {
                    key: name.to_string(),
                    key_span,
                    node,
                });
            }
        }
        Value::Table(entries)
    }

    fn tell_too_deep(&mut self, span: &Range<usize>) {
        if std::mem::replace(&mut self.too_deep, true) {
            return;
        }
        self.problems.push(self.source.problem(
            span,
            format!("nested deeper than {DEEPEST} levels"),
            "keep tables and lists to the depth the format describes".into(),
        ));
    }

    fn item(&mut self, item: &Item, key_span: &Range<usize>, depth: usize) -> Option<Node> {
        let span = item.span().unwrap_or_else(|| key_span.clone());
        if depth > DEEPEST {
            self.tell_too_deep(&span);
            return None;
        }
        let value = match item {
            Item::None => return None,
            Item::Value(value) => self.value(value, key_span, depth)?,
            Item::Table(table) => self.table(table, depth + 1),
            Item::ArrayOfTables(tables) => {
                let mut nodes = Vec::new();
                for table in tables {
                    let span = table.span().unwrap_or_else(|| key_span.clone());
                    nodes.push(Node {
                        span,
                        value: self.table(table, depth + 1),
                    });
                }
                Value::List(nodes)
            }
        };
        Some(Node { span, value })
    }

    fn value(&mut self, value: &Edit, key_span: &Range<usize>, depth: usize) -> Option<Value> {
        if depth > DEEPEST {
            self.tell_too_deep(key_span);
            return None;
        }
        Some(match value {
            Edit::String(text) => Value::Text(text.value().clone()),
            Edit::Integer(n) => Value::Whole(*n.value()),
            Edit::Float(x) => Value::Number(*x.value()),
            Edit::Boolean(b) => Value::Boolean(*b.value()),
            Edit::Datetime(date) => Value::Date(date.value().to_string()),
            Edit::Array(array) => {
                let mut nodes = Vec::new();
                for element in array {
                    let span = element.span().unwrap_or_else(|| key_span.clone());
                    if let Some(value) = self.value(element, &span, depth + 1) {
                        nodes.push(Node { span, value });
                    }
                }
                Value::List(nodes)
            }
            Edit::InlineTable(table) => self.table(table, depth + 1),
        })
    }
}
