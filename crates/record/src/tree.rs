//! The text of a dossier as a plain tree in which every key and value knows its byte range.
//!
//! In: text. Out: the tree and the faults of TOML syntax. Every syntax fault is looked for by leaving the
//! faulty value unread (`slip`) and reading on, so that one slip does not hide the next.
//! Not here: what the keys mean (`grammar`, `check`).

mod slip;

use crate::Problem;
use crate::source::Source;
use slip::{Part, Slip, line_end, slip};
use std::ops::Range;
use toml_edit::{Document, Item, TableLike, Value as Edit};

/// Deepest nesting of tables and lists accepted; a real dossier needs six.
pub(crate) const DEEPEST: usize = 64;
/// Syntax faults reported before giving up.
const MOST_SYNTAX_FAULTS: usize = 50;
/// Bytes read before giving up: every fault costs one more reading of the whole text.
const MOST_READ: usize = 32 << 20;

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
    /// Places of values that could not be read, as nodes of the tree; they are told already.
    pub(crate) unread: Vec<Range<usize>>,
    /// Keys may stand in the text that are not in the tree.
    pub(crate) partial: bool,
    /// The text is nested too deep to say anything else about it.
    pub(crate) too_deep: bool,
}

/// Reads TOML text. With syntax faults, the tree holds what could be read around them.
pub(crate) fn parse(source: &Source<'_>) -> Parsed {
    let mut text = source.text.to_string();
    let mut parsed = Parsed {
        root: Node {
            span: 0..0,
            value: Value::Table(Vec::new()),
        },
        problems: Vec::new(),
        unread: Vec::new(),
        partial: false,
        too_deep: false,
    };
    let mut meant: Vec<(usize, String)> = Vec::new();
    let most = (MOST_READ / text.len().max(1)).clamp(1, MOST_SYNTAX_FAULTS);
    loop {
        let error = match Document::parse(text.as_str()) {
            Ok(document) => {
                let mut nodes = Nodes {
                    source,
                    problems: &mut parsed.problems,
                    meant: &meant,
                    too_deep: false,
                };
                let value = nodes.table(document.as_table(), 1);
                parsed.too_deep = nodes.too_deep;
                parsed.root.value = value;
                return parsed;
            }
            Err(error) => error,
        };
        let span = error.span().unwrap_or(0..0);
        let message = error.message().lines().next().unwrap_or_default().trim();
        parsed.too_deep = message.contains("recursion");
        let mut slip = slip(&text, span.start);
        let twice = message.contains("duplicate key");
        if twice || is_blank(&text, &slip) {
            // The second of two keys goes, value and all; and what was left unread before and still
            // disturbs goes with its line.
            slip = Slip {
                range: slip::lines(&text, span.start),
                part: Part::Lines,
            };
        }
        let (message, remedy) = words(message, source, &span, &slip);
        let place = match slip.part {
            Part::OpenText | Part::OpenList => first_line(source.text, &slip.range),
            Part::Quotes(_) => slip.range.clone(),
            Part::Value | Part::NoValue | Part::Comment | Part::Lines => span,
        };
        parsed
            .problems
            .push(source.problem(&place, message, remedy));
        let stuck = slip.part != Part::NoValue && is_blank(&text, &slip);
        if stuck || parsed.too_deep || parsed.problems.len() >= most {
            parsed.partial = true;
            return parsed;
        }
        let is_header = text[slip.range.clone()].trim_start().starts_with('[');
        parsed.partial |= slip.part == Part::Lines && (is_header || !twice);
        leave_unread(&mut text, slip, &mut parsed.unread, &mut meant);
    }
}

/// Puts blanks in the place of what cannot be read, so that every later byte keeps its place; line breaks stay,
/// and where there must be a value there is one.
fn leave_unread(
    text: &mut String,
    slip: Slip,
    unread: &mut Vec<Range<usize>>,
    meant: &mut Vec<(usize, String)>,
) {
    let Range { start, end } = slip.range;
    if slip.part == Part::NoValue {
        // There is room for a value only if the equals sign can move to the left.
        if text[..start].ends_with(" =") {
            text.replace_range(start - 2..start, "=0");
            unread.push(start - 1..start);
        } else {
            let line = slip::lines(text, start);
            blank(text, line);
        }
        return;
    }
    blank(text, start..end);
    if matches!(slip.part, Part::Comment | Part::Lines) {
        return;
    }
    let value = if end - start < 2 { "0" } else { "\"\"" };
    text.replace_range(start..start + value.len(), value);
    unread.push(start..start + value.len());
    if let Part::Quotes(text) = slip.part {
        meant.push((start, text));
    }
}

fn blank(text: &mut String, range: Range<usize>) {
    let blank: String = text[range.clone()]
        .bytes()
        .map(|b| {
            if matches!(b, b'\n' | b'\r') {
                char::from(b)
            } else {
                ' '
            }
        })
        .collect();
    text.replace_range(range, &blank);
}

/// Returns whether nothing is left to take away: blanks, or what [`leave_unread`] put there.
fn is_blank(text: &str, slip: &Slip) -> bool {
    matches!(text[slip.range.clone()].trim(), "" | "\"\"" | "0") && slip.part != Part::NoValue
}

/// Returns the part of a range that lies on its first line.
fn first_line(text: &str, range: &Range<usize>) -> Range<usize> {
    range.start..line_end(text, range.start).min(range.end)
}

/// Turns the parser's words into ours, with a remedy where the slip is a common one.
fn words(message: &str, source: &Source<'_>, span: &Range<usize>, slip: &Slip) -> (String, String) {
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
    let written = &source.text[slip.range.clone()];
    let line = &source.text[slip::lines(source.text, span.start)];
    match &slip.part {
        Part::Quotes(meant) => {
            let remedy = format!("write \"{}\"", crate::source::excerpt(meant));
            let message = if written.contains(slip::is_of_print) {
                "the quotes around this text are those of print".into()
            } else {
                format!("this is not TOML: {message}")
            };
            (message, remedy)
        }
        Part::OpenText => (
            "this text is opened and not closed".into(),
            "close the text with \", or write \"\"\" around text of several lines".into(),
        ),
        Part::OpenList => (
            "this list is opened and not closed".into(),
            "close it with ] or }".into(),
        ),
        Part::Value if looks_like_a_date(written) => (
            "this is not a calendar date".into(),
            "write year-month-day: 2026-03-01".into(),
        ),
        Part::NoValue => (
            "here is no value".into(),
            "write one behind the equals sign, or remove the key".into(),
        ),
        Part::Lines if line.trim_start().starts_with('[') => (
            format!("this is not TOML: {message}"),
            "write the header as [table] or [[list of tables]]".into(),
        ),
        Part::Value | Part::Comment | Part::Lines => (
            format!("this is not TOML: {message}"),
            "write one `key = value` a line, text in straight quotes, lists in [ ]".into(),
        ),
    }
}

/// Returns whether a value is written as dates are: 2026-02-30.
fn looks_like_a_date(value: &str) -> bool {
    let parts: Vec<&str> = value.split('-').collect();
    parts.len() == 3
        && parts
            .iter()
            .all(|p| !p.is_empty() && p.bytes().all(|b| b.is_ascii_digit()))
}

struct Nodes<'a, 't> {
    source: &'a Source<'t>,
    problems: &'a mut Vec<Problem>,
    /// Texts that were meant where only their quotes are wrong, by the place of their value.
    meant: &'a [(usize, String)],
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
            Edit::String(text) => {
                let start = text.span().map_or(usize::MAX, |span| span.start);
                let meant = self.meant.iter().find(|(place, _)| *place == start);
                Value::Text(meant.map_or_else(|| text.value().clone(), |(_, meant)| meant.clone()))
            }
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
