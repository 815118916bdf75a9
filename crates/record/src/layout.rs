//! How a text is laid out: which bytes are the header, the key, the value, the comma of what.
//!
//! In: text that is known to be TOML. Out: its tables and values as nodes that know their bytes,
//! and its statements (headers and `key = value`) with their lines and the comments above them.
//! Not here: changing it (`draft`), what keys mean (`grammar`), faults (`tree`).

mod scan;

use std::ops::Range;

/// Position of a node in [`Layout::nodes`].
pub(crate) type Id = usize;

/// How something is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Form {
    /// The top of the text.
    Root,
    /// A table with its own `[header]`, or an entry with its own `[[header]]`.
    Header,
    /// A table that is only named in the headers of tables below it.
    Above,
    /// A table written through dotted keys: `part.marking = …`.
    Dotted,
    /// A list of tables with `[[headers]]`.
    List,
    /// `[ … ]`
    Array,
    /// `{ … }`
    Inline,
    /// A single value.
    Single,
}

/// A table, list or value.
#[derive(Debug)]
pub(crate) struct Node {
    pub(crate) form: Form,
    pub(crate) parent: Option<Id>,
    /// Bytes of the key in front of the value; of a dotted key, its last part.
    pub(crate) key: Range<usize>,
    /// Bytes of the value, or of the header.
    pub(crate) span: Range<usize>,
    pub(crate) children: Vec<(String, Id)>,
    pub(crate) elements: Vec<Id>,
    /// What stands between the brackets of an [`Form::Array`] or [`Form::Inline`].
    pub(crate) parts: Vec<Part>,
    /// The brackets around it, if it stands in some.
    pub(crate) brackets: Option<Id>,
}

/// What stands between two commas.
#[derive(Debug, Clone)]
pub(crate) struct Part {
    /// Bytes from its key, or from its value in an array, to the end of its value.
    pub(crate) span: Range<usize>,
    /// Byte of the comma behind it.
    pub(crate) comma: Option<usize>,
    pub(crate) node: Id,
}

/// A header or a `key = value`, with whole lines.
#[derive(Debug)]
pub(crate) struct Statement {
    /// Start of the comment lines right above it, or of its own line.
    pub(crate) lead: usize,
    /// Start of its line.
    pub(crate) start: usize,
    /// End of its last line, line break included.
    pub(crate) end: usize,
    pub(crate) node: Id,
    pub(crate) is_header: bool,
}

/// The layout of a text.
#[derive(Debug)]
pub(crate) struct Layout {
    pub(crate) nodes: Vec<Node>,
    pub(crate) statements: Vec<Statement>,
    /// The line break in use.
    pub(crate) newline: &'static str,
}

/// The node of the whole text.
pub(crate) const TOP: Id = 0;

impl Layout {
    /// Looks at a text that is TOML.
    pub(crate) fn of(text: &str) -> Self {
        scan::scan(text)
    }

    pub(crate) fn node(&self, id: Id) -> &Node {
        &self.nodes[id]
    }

    /// Returns the child of a table.
    pub(crate) fn child(&self, id: Id, key: &str) -> Option<Id> {
        let found = self.nodes[id].children.iter().find(|(k, _)| k == key);
        found.map(|(_, id)| *id)
    }

    /// Returns whether `id` is `above` or lies in it.
    pub(crate) fn is_within(&self, id: Id, above: Id) -> bool {
        let mut at = Some(id);
        while let Some(id) = at {
            if id == above {
                return true;
            }
            at = self.nodes[id].parent;
        }
        false
    }

    /// Returns whether a byte lies inside a value.
    pub(crate) fn is_inside(&self, byte: usize) -> bool {
        let is_value = |n: &Node| matches!(n.form, Form::Single | Form::Array | Form::Inline);
        self.nodes
            .iter()
            .any(|n| is_value(n) && n.span.contains(&byte))
    }

    /// Returns the positions of the statements that make up a node outside brackets, in runs of
    /// neighbours.
    pub(crate) fn runs(&self, id: Id) -> Vec<Range<usize>> {
        let mut runs: Vec<Range<usize>> = Vec::new();
        for (at, statement) in self.statements.iter().enumerate() {
            if !self.is_within(statement.node, id) {
                continue;
            }
            match runs.last_mut() {
                Some(run) if run.end == at => run.end = at + 1,
                _ => runs.push(at..at + 1),
            }
        }
        runs
    }

    /// Returns the last statement of a table that is one of its own keys, or its header.
    pub(crate) fn last_of_body(&self, id: Id) -> Option<usize> {
        let own = |s: &Statement| {
            if s.is_header {
                return s.node == id;
            }
            // Keys with dots belong to the table that they stand in.
            let mut at = self.nodes[s.node].parent;
            while let Some(table) = at {
                if table == id {
                    return true;
                }
                if self.nodes[table].form != Form::Dotted {
                    return false;
                }
                at = self.nodes[table].parent;
            }
            false
        };
        self.statements.iter().rposition(own)
    }
}
