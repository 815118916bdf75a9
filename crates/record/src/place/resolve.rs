//! Finding places: in a dossier, and in its text.

use super::{Name, Place, Segment};
use crate::grammar::{Kind, ROOT, Table};
use crate::source::Source;
use crate::tree::{Node, Value};
use crate::{Dossier, Problems};
use serde_json::Value as Json;
use std::collections::BTreeMap;
use std::ops::Range;

/// What the values of a dossier and of its text have in common.
pub(crate) trait Tree: Sized {
    /// The value under a key.
    fn child(&self, key: &str) -> Option<&Self>;
    /// The elements of a list.
    fn elements(&self) -> Option<&[Self]>;
    /// A single value as it stands in an address.
    fn plain(&self) -> Option<String>;
    /// The keys of a table, in order.
    fn keys(&self) -> Vec<&str>;
}

impl Tree for Json {
    fn child(&self, key: &str) -> Option<&Self> {
        self.get(key)
    }
    fn elements(&self) -> Option<&[Self]> {
        self.as_array().map(Vec::as_slice)
    }
    fn plain(&self) -> Option<String> {
        match self {
            Json::String(text) => Some(text.clone()),
            Json::Array(_) | Json::Object(_) | Json::Null => None,
            other => Some(other.to_string()),
        }
    }
    fn keys(&self) -> Vec<&str> {
        let map = self.as_object();
        map.map_or_else(Vec::new, |m| m.keys().map(String::as_str).collect())
    }
}

impl Tree for Node {
    fn child(&self, key: &str) -> Option<&Self> {
        self.get(key)
    }
    fn elements(&self) -> Option<&[Self]> {
        match &self.value {
            Value::List(nodes) => Some(nodes),
            _ => None,
        }
    }
    fn plain(&self) -> Option<String> {
        Some(match &self.value {
            Value::Text(text) | Value::Date(text) => text.clone(),
            Value::Whole(n) => n.to_string(),
            Value::Number(x) => x.to_string(),
            Value::Boolean(b) => b.to_string(),
            Value::List(_) | Value::Table(_) => return None,
        })
    }
    fn keys(&self) -> Vec<&str> {
        match &self.value {
            Value::Table(entries) => entries.iter().map(|e| e.key.as_str()).collect(),
            _ => Vec::new(),
        }
    }
}

/// Returns what tells an entry apart: its id, or the values of its natural keys.
pub(crate) fn name_of<T: Tree>(table: &Table, node: &T) -> Vec<String> {
    let mut fields = Vec::new();
    for key in table.natural {
        let value = node.child(key);
        match value.and_then(Tree::elements) {
            Some(several) => fields.extend(several.iter().map(|n| n.plain().unwrap_or_default())),
            None => fields.push(value.and_then(Tree::plain).unwrap_or_default()),
        }
    }
    while fields.len() > 1 && fields.last().is_some_and(String::is_empty) {
        fields.pop();
    }
    if fields.is_empty() {
        fields.push(String::new());
    }
    fields
}

/// Returns the names of all entries, numbered where they are equal.
pub(crate) fn numbered<T: Tree>(table: &Table, nodes: &[T]) -> Vec<Name> {
    let mut seen: BTreeMap<Vec<String>, usize> = BTreeMap::new();
    let name = |node| {
        let fields = name_of(table, node);
        let number = seen.entry(fields.clone()).or_insert(0);
        *number += 1;
        Name {
            number: *number,
            fields,
        }
    };
    nodes.iter().map(name).collect()
}

/// Returns the position of the entry that `name` means. Besides its full name, a name with fewer
/// fields is good where only one entry starts with them (`links.socket,charger`), and so are the
/// first two with `-` between (`links.socket-charger`).
pub(crate) fn position<T: Tree>(table: &Table, nodes: &[T], name: &Name) -> Option<usize> {
    let fields: Vec<Vec<String>> = nodes.iter().map(|n| name_of(table, n)).collect();
    let exact = (0..nodes.len()).filter(|&n| fields[n] == name.fields);
    if let Some(found) = exact.clone().nth(name.number - 1) {
        return Some(found);
    }
    if name.number > 1 || exact.count() > 0 {
        return None;
    }
    let only = |fits: &dyn Fn(&[String]) -> bool| {
        let mut all = (0..nodes.len()).filter(|&n| fits(&fields[n]));
        all.next().filter(|_| all.next().is_none())
    };
    only(&|f| f.starts_with(&name.fields)).or_else(|| match &name.fields[..] {
        [joined] => only(&|f| matches!(f, [a, b, ..] if format!("{a}-{b}") == *joined)),
        _ => None,
    })
}

/// Follows a path.
pub(crate) fn find<'n, T: Tree>(
    root: &'static Table,
    top: &'n T,
    segments: &[Segment],
) -> Option<&'n T> {
    let mut node = top;
    let mut table = Some(root);
    for segment in segments {
        match segment {
            Segment::Key(key) => {
                node = node.child(key)?;
                table = match &table?.key(key).map(|k| &k.kind) {
                    Some(Kind::Table(t) | Kind::Inline(t) | Kind::Tables(t)) => Some(*t),
                    _ => table,
                };
            }
            Segment::Entry(name) => {
                let nodes = node.elements()?;
                node = &nodes[position(table?, nodes, name)?];
            }
        }
    }
    Some(node)
}

/// What keys a place may have below it.
#[derive(Clone, Copy)]
pub(crate) enum Below {
    Keys(&'static Table),
    Names,
    Nothing,
}

/// Visits everything that has a place, from the top down in the order of the text.
pub(crate) fn walk<'n, T: Tree>(
    root: &'static Table,
    top: &'n T,
    visit: &mut dyn FnMut(&Place, Below, &'n T),
) {
    table(root, top, &Place::dossier(), visit);
}

fn table<'n, T: Tree>(
    grammar: &'static Table,
    node: &'n T,
    at: &Place,
    visit: &mut dyn FnMut(&Place, Below, &'n T),
) {
    visit(at, Below::Keys(grammar), node);
    for name in node.keys() {
        let (Some(key), Some(value)) = (grammar.key(name), node.child(name)) else {
            continue;
        };
        let here = at.clone().with(Segment::Key(name.to_string()));
        match &key.kind {
            Kind::Table(inner) | Kind::Inline(inner) => table(inner, value, &here, visit),
            Kind::Tables(inner) => {
                visit(&here, Below::Nothing, value);
                let nodes = value.elements().unwrap_or_default();
                for (name, node) in numbered(inner, nodes).into_iter().zip(nodes) {
                    table(inner, node, &here.clone().with(Segment::Entry(name)), visit);
                }
            }
            Kind::Named(_) => {
                visit(&here, Below::Names, value);
                for name in value.keys() {
                    if let Some(value) = value.child(name) {
                        visit(&here.clone().at_key(name), Below::Nothing, value);
                    }
                }
            }
            _ => visit(&here, Below::Nothing, value),
        }
    }
}

/// The places of a dossier. Values that are not given have no place, though they have a default.
#[derive(Debug, Clone)]
pub struct RecordPlaces {
    values: Json,
}

impl RecordPlaces {
    /// Looks a dossier through. Costs one pass over it; keep it for several questions.
    pub fn of(dossier: &Dossier) -> Self {
        Self {
            values: serde_json::to_value(dossier)
                .expect("a dossier is plain data whose keys are text"),
        }
    }

    /// Returns what stands at a place, with the keys of the format.
    pub fn value(&self, place: &Place) -> Option<&Json> {
        find(&ROOT, &self.values, place.segments()?)
    }

    /// Returns every place, from the top down.
    pub fn all(&self) -> Vec<Place> {
        let mut all = Vec::new();
        walk(&ROOT, &self.values, &mut |place, _, _| {
            all.push(place.clone())
        });
        all
    }
}

/// The places of a text, with where they stand.
#[derive(Debug)]
pub struct TextPlaces<'t> {
    source: Source<'t>,
    root: Node,
    spans: Spans,
}

impl<'t> TextPlaces<'t> {
    /// Looks a text through. It has to be TOML; it may have other faults.
    ///
    /// # Errors
    /// The faults of syntax.
    pub fn of(text: &'t str, file: &'t str) -> Result<Self, Problems> {
        let source = Source::new(text, file);
        let parsed = crate::tree::parse(&source);
        if parsed.problems.is_empty() {
            Ok(Self {
                spans: Spans::of(&ROOT, &parsed.root),
                root: parsed.root,
                source,
            })
        } else {
            Err(Problems(parsed.problems))
        }
    }

    /// Returns the byte range at which a place stands: of a value, or of the header of a table.
    pub fn span(&self, place: &Place) -> Option<Range<usize>> {
        let node = find(&ROOT, &self.root, place.segments()?)?;
        Some(node.span.clone())
    }

    /// Returns the line of a place, from 1.
    pub fn line(&self, place: &Place) -> Option<usize> {
        let span = self.span(place)?;
        Some(self.source.line(span.start))
    }

    /// Returns every place, from the top down.
    pub fn all(&self) -> Vec<Place> {
        let mut all = Vec::new();
        walk(&ROOT, &self.root, &mut |place, _, _| {
            all.push(place.clone());
        });
        all
    }

    /// Returns the place that a byte of the text belongs to: the innermost one around it, or
    /// otherwise the table it stands in.
    pub fn at(&self, byte: usize) -> Place {
        self.spans.at(byte)
    }
}

/// Which bytes belong to which place.
#[derive(Debug)]
pub(crate) struct Spans(Vec<(Range<usize>, Place)>);

impl Spans {
    pub(crate) fn of(grammar: &'static Table, root: &Node) -> Self {
        let mut spans: Vec<(Range<usize>, Place)> = Vec::new();
        walk(grammar, root, &mut |place, below, node| {
            if !place.segments().is_some_and(<[Segment]>::is_empty) {
                spans.push((node.span.clone(), place.clone()));
            }
            let Value::Table(entries) = &node.value else {
                return;
            };
            for entry in entries {
                let is_known = match below {
                    Below::Keys(table) => table.key(&entry.key).is_some(),
                    Below::Names => true,
                    Below::Nothing => false,
                };
                let at = if is_known {
                    place.clone().at_key(&entry.key)
                } else {
                    place.clone()
                };
                spans.push((entry.key_span.clone(), at));
            }
        });
        Self(spans)
    }

    /// Returns the innermost place around a byte, or otherwise the table it stands in.
    pub(crate) fn at(&self, byte: usize) -> Place {
        // A list begins where its first entry does; the entry comes later, and is meant.
        let around = self.0.iter().rev().filter(|(span, _)| span.contains(&byte));
        if let Some((_, place)) = around.min_by_key(|(span, _)| span.len()) {
            return place.clone();
        }
        let above = self.0.iter().filter(|(span, _)| span.start <= byte);
        let last = above.max_by_key(|(span, _)| span.start);
        last.map_or_else(Place::dossier, |(_, place)| {
            place.entry().unwrap_or_else(|| place.clone())
        })
    }
}
