//! A place in a text: what the grammar says of it, and where it is written.

use crate::edit::EditError;
use crate::grammar::{ANY, Kind, Table};
use crate::layout::{Form, Id, Layout, TOP};
use crate::place::{Name, Segment, Tree, numbered, position};
use crate::source::Source;
use crate::tree::{self, Node, Value};
use crate::{Place, layout};
use serde_json::{Map, Value as Json};

/// What stands under a name.
static NAMED: Kind = Kind::Quantity(&ANY);

/// A text with its values and its layout.
pub(super) struct View<'t> {
    pub(super) text: &'t str,
    pub(super) grammar: &'static Table,
    pub(super) layout: Layout,
    pub(super) root: Node,
}

/// What a place is in the grammar.
pub(super) enum Target {
    Top,
    Entry(&'static Table),
    Value(&'static Kind),
}

/// How far a path leads in a text.
#[derive(Debug)]
pub(super) enum Reach<'s> {
    /// All the way.
    Found(Id),
    /// To this table, which lacks the first of these keys.
    Missing(Id, &'s [Segment]),
}

/// Says what is wrong with the syntax of a text, if anything is.
pub(super) fn syntax(text: &str) -> Result<(), String> {
    match toml_edit::Document::parse(text) {
        Ok(_) => Ok(()),
        Err(error) => Err(error.message().to_string()),
    }
}

impl<'t> View<'t> {
    /// Looks at a text that is TOML.
    pub(super) fn of(grammar: &'static Table, text: &'t str) -> Self {
        Self {
            text,
            grammar,
            layout: Layout::of(text),
            root: tree::parse(&Source::new(text, "")).root,
        }
    }

    /// Looks at a text that an edit made; it may be no TOML any more. Reading it is most of the work of an edit, so it is
    /// read once where nothing is wrong with it.
    ///
    /// # Errors
    /// What is wrong with the syntax.
    pub(super) fn made(grammar: &'static Table, text: &'t str) -> Result<Self, String> {
        // The layout is only looked for in TOML.
        let parsed = tree::parse(&Source::new(text, ""));
        if !parsed.problems.is_empty() {
            syntax(text)?;
        }
        Ok(Self {
            text,
            grammar,
            layout: Layout::of(text),
            root: parsed.root,
        })
    }

    /// Returns what the grammar says of a place.
    pub(super) fn target(&self, at: &Place) -> Result<Target, EditError> {
        let Some(segments) = at.segments() else {
            return Err(EditError::WrongPlace {
                at: at.clone(),
                wanted: "a place in the record",
            });
        };
        // A place may have been made from keys that the format does not have.
        Place::parse_in(self.grammar, &crate::place::path(segments))?;
        let mut target = Target::Top;
        let mut table = self.grammar;
        for segment in segments {
            target = match (segment, target) {
                (Segment::Entry(_), Target::Value(Kind::Tables(inner))) => {
                    table = inner;
                    Target::Entry(inner)
                }
                (Segment::Key(_), Target::Value(Kind::Named(_))) => Target::Value(&NAMED),
                (Segment::Key(key), _) => {
                    let Some(known) = table.key(key) else {
                        return Err(EditError::UnknownKey {
                            at: at.clone(),
                            key: key.clone(),
                        });
                    };
                    if let Kind::Table(inner) | Kind::Inline(inner) = known.kind {
                        table = inner;
                    }
                    Target::Value(&known.kind)
                }
                (Segment::Entry(_), _) => {
                    return Err(EditError::WrongPlace {
                        at: at.clone(),
                        wanted: "a place of the format",
                    });
                }
            };
        }
        Ok(target)
    }

    /// Follows a path as far as it leads.
    pub(super) fn reach<'s>(&self, at: &'s Place) -> Result<Reach<'s>, EditError> {
        let segments = at.segments().unwrap_or_default();
        let nothing = || EditError::NothingThere { at: at.clone() };
        let (mut id, mut node) = (TOP, &self.root);
        let mut table = Some(self.grammar);
        for (n, segment) in segments.iter().enumerate() {
            match segment {
                Segment::Key(key) => {
                    let (Some(next), Some(value)) = (self.layout.child(id, key), node.get(key))
                    else {
                        let rest = &segments[n..];
                        if rest.iter().any(|s| matches!(s, Segment::Entry(_))) {
                            return Err(nothing());
                        }
                        return Ok(Reach::Missing(id, rest));
                    };
                    (id, node) = (next, value);
                    table = match table.and_then(|t| t.key(key)).map(|k| &k.kind) {
                        Some(Kind::Table(t) | Kind::Inline(t) | Kind::Tables(t)) => Some(*t),
                        _ => None,
                    };
                }
                Segment::Entry(name) => {
                    let nodes = node.elements().ok_or_else(nothing)?;
                    let found = table.and_then(|t| position(t, nodes, name));
                    let at = found.ok_or_else(nothing)?;
                    id = *self.layout.node(id).elements.get(at).ok_or_else(nothing)?;
                    node = &nodes[at];
                }
            }
        }
        Ok(Reach::Found(id))
    }

    /// Returns the node of a place that is there.
    pub(super) fn found(&self, at: &Place) -> Result<Id, EditError> {
        match self.reach(at)? {
            Reach::Found(id) => Ok(id),
            Reach::Missing(..) => Err(EditError::NothingThere { at: at.clone() }),
        }
    }

    /// Returns the values of a place that is there.
    pub(super) fn tree(&self, at: &Place) -> Option<&Node> {
        crate::place::find(self.grammar, &self.root, at.segments()?)
    }

    /// Returns what stands at a place.
    pub(super) fn present(&self, at: &Place) -> Option<Json> {
        self.tree(at).map(json)
    }

    /// Refuses an edit that expects something else than what is there.
    pub(super) fn expect(&self, at: &Place, old: Option<&Json>) -> Result<(), EditError> {
        let Some(old) = old else { return Ok(()) };
        let present = self.present(at).unwrap_or(Json::Null);
        if same(&present, old) {
            Ok(())
        } else {
            Err(EditError::Changed {
                at: at.clone(),
                present,
            })
        }
    }

    /// Splits the place of an entry into its list and its position there.
    pub(super) fn entry(&self, at: &Place) -> Result<(Place, &'static Table, usize), EditError> {
        let wrong = || EditError::WrongPlace {
            at: at.clone(),
            wanted: "an entry of a list",
        };
        let (Target::Entry(table), Some(list)) = (self.target(at)?, at.parent()) else {
            return Err(wrong());
        };
        let Some(Segment::Entry(name)) = at.segments().and_then(<[Segment]>::last) else {
            return Err(wrong());
        };
        self.found(at)?;
        let nodes = self.tree(&list).and_then(Tree::elements);
        let found = position(table, nodes.unwrap_or_default(), name);
        let at = found.ok_or_else(|| EditError::NothingThere { at: at.clone() })?;
        Ok((list, table, at))
    }

    /// Returns the place of the entry at a position of a list.
    pub(super) fn entry_at(&self, list: &Place, table: &Table, at: usize) -> Option<Place> {
        let nodes = self.tree(list)?.elements()?;
        let name: Name = numbered(table, nodes).into_iter().nth(at)?;
        Some(list.clone().with(Segment::Entry(name)))
    }

    /// Returns where the value at `at` is found in `after`, if its entry is called otherwise there.
    pub(super) fn renamed_by(&self, at: &Place, after: &str) -> Option<Place> {
        let entry = at.entry()?;
        let (list, table, n) = self.entry(&entry).ok()?;
        let now = View::of(self.grammar, after).entry_at(&list, table, n)?;
        let rest = at.segments()?.get(entry.segments()?.len()..)?;
        Some(rest.iter().cloned().fold(now, Place::with))
    }

    /// Returns the key of a node as it is written in headers and before `=`: with the keys above it,
    /// up to and without `top`.
    pub(super) fn dotted(&self, id: Id, top: Id) -> Vec<String> {
        let mut keys = Vec::new();
        let mut at = id;
        while at != top {
            let Some(parent) = self.layout.node(at).parent else {
                break;
            };
            let children = &self.layout.node(parent).children;
            if let Some((key, _)) = children.iter().find(|(_, child)| *child == at) {
                keys.push(key.clone());
            }
            at = parent;
        }
        keys.reverse();
        keys
    }

    /// Returns the table in whose body the dotted keys of a table stand.
    pub(super) fn holder(&self, id: Id) -> Id {
        let node = self.layout.node(id);
        match (node.form, node.parent) {
            (Form::Dotted, Some(parent)) => self.holder(parent),
            _ => id,
        }
    }

    pub(super) fn node(&self, id: Id) -> &layout::Node {
        self.layout.node(id)
    }
}

/// Returns keys with dots between, as they are written.
pub(super) fn written(keys: &[String]) -> String {
    let quoted = keys.iter().map(|k| crate::write::bare_or_quoted(k));
    quoted.collect::<Vec<_>>().join(".")
}

/// Returns the path of keys of a place.
pub(super) fn keys(segments: &[Segment]) -> Vec<String> {
    let key = |s: &Segment| match s {
        Segment::Key(key) => Some(key.clone()),
        Segment::Entry(_) => None,
    };
    segments.iter().filter_map(key).collect()
}

/// Returns values as JSON, dates as text.
pub(super) fn json(node: &Node) -> Json {
    match &node.value {
        Value::Text(text) | Value::Date(text) => text.clone().into(),
        Value::Whole(n) => (*n).into(),
        Value::Number(x) => (*x).into(),
        Value::Boolean(b) => (*b).into(),
        Value::List(nodes) => nodes.iter().map(json).collect(),
        Value::Table(entries) => {
            let pairs = entries.iter().map(|e| (e.key.clone(), json(&e.node)));
            Json::Object(pairs.collect::<Map<_, _>>())
        }
    }
}

/// Returns whether two values are the same; 1 and 1.0 are.
pub(super) fn same(a: &Json, b: &Json) -> bool {
    match (a, b) {
        (Json::Number(a), Json::Number(b)) => a == b || a.as_f64() == b.as_f64(),
        (Json::Array(a), Json::Array(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| same(a, b))
        }
        (Json::Object(a), Json::Object(b)) => {
            a.len() == b.len()
                && a.iter()
                    .all(|(key, a)| b.get(key).is_some_and(|b| same(a, b)))
        }
        _ => a == b,
    }
}
