//! What an edit should do, done to plain values instead of to text.

use super::draw::kind_of;
use crate::grammar::Kind;
use crate::place::Segment;
use crate::{Edit, Place, Position};
use serde_json::{Map, Value as Json, json};

/// The values of a text.
pub(super) fn values(text: &str) -> Json {
    let source = crate::source::Source::new(text, "");
    json_of(&crate::tree::parse(&source).root)
}

pub(super) fn json_of(node: &crate::tree::Node) -> Json {
    use crate::tree::Value;
    match &node.value {
        Value::Text(text) | Value::Date(text) => text.clone().into(),
        Value::Whole(n) => json!(*n as f64),
        Value::Number(x) => json!(x),
        Value::Boolean(b) => json!(b),
        Value::List(nodes) => nodes.iter().map(json_of).collect(),
        Value::Table(entries) => {
            let all = entries.iter().map(|e| (e.key.clone(), json_of(&e.node)));
            Json::Object(all.collect())
        }
    }
}

pub(super) fn floats(value: &Json) -> Json {
    match value {
        Json::Number(n) => json!(n.as_f64()),
        Json::Array(all) => all.iter().map(floats).collect(),
        Json::Object(all) => all
            .iter()
            .map(|(k, v)| (k.clone(), floats(v)))
            .collect::<Map<_, _>>()
            .into(),
        other => other.clone(),
    }
}

/// A place as positions in plain values.
pub(super) fn pointer(text: &str, place: &Place) -> Vec<String> {
    let mut at = values(text);
    let mut out = Vec::new();
    let mut path = Vec::new();
    for segment in place.segments().unwrap() {
        match segment {
            Segment::Key(key) => {
                out.push(key.clone());
                at = at.get(key).cloned().unwrap_or(Json::Null);
            }
            Segment::Entry(name) => {
                let list = Place::of(path.clone());
                let Some(Kind::Tables(table)) = kind_of(&list) else {
                    panic!("{list} is no list")
                };
                let nodes = at.as_array().cloned().unwrap_or_default();
                let number = crate::place::position(table, &nodes, name).unwrap();
                out.push(number.to_string());
                at = nodes[number].clone();
            }
        }
        path.push(segment.clone());
    }
    out
}

/// Does to plain values what an edit should do to the text. `None` for renaming.
pub(super) fn model(before: &str, edit: &Edit) -> Option<Json> {
    let mut all = values(before);
    match edit {
        Edit::Set { at, new, .. } if new.is_null() => take(&mut all, &pointer(before, at)),
        Edit::Set { at, new, .. } => {
            let mut node = &mut all;
            for key in &pointer(before, at) {
                node = match node {
                    Json::Array(list) => &mut list[key.parse::<usize>().unwrap()],
                    _ => node
                        .as_object_mut()
                        .unwrap()
                        .entry(key)
                        .or_insert(json!({})),
                };
            }
            *node = floats(new);
        }
        Edit::Remove { at, .. } => take(&mut all, &pointer(before, at)),
        Edit::Add {
            to,
            entry,
            position,
        } => {
            let path = pointer(before, to);
            let mut node = &mut all;
            for key in &path {
                node = match node {
                    Json::Array(list) => &mut list[key.parse::<usize>().unwrap()],
                    _ => node
                        .as_object_mut()
                        .unwrap()
                        .entry(key)
                        .or_insert(Json::Null),
                };
            }
            if node.is_null() {
                *node = json!([]);
            }
            let list = node.as_array_mut().unwrap();
            let at = match position {
                Position::First => 0,
                Position::Last => list.len(),
                Position::After(other) => {
                    1 + pointer(before, other)
                        .last()
                        .unwrap()
                        .parse::<usize>()
                        .unwrap()
                }
            };
            list.insert(at, floats(entry));
        }
        Edit::Move { at, position } => {
            let path = pointer(before, at);
            let from: usize = path.last().unwrap().parse().unwrap();
            let mut node = &mut all;
            for key in &path[..path.len() - 1] {
                node = match node {
                    Json::Array(list) => &mut list[key.parse::<usize>().unwrap()],
                    _ => node.get_mut(key).unwrap(),
                };
            }
            let list = node.as_array_mut().unwrap();
            let moved = list.remove(from);
            let to = match position {
                Position::First => 0,
                Position::Last => list.len(),
                Position::After(other) => {
                    let n: usize = pointer(before, other).last().unwrap().parse().unwrap();
                    if n < from { n + 1 } else { n }
                }
            };
            list.insert(to, moved);
        }
        Edit::Rename { .. } | Edit::Restore { .. } => return None,
    }
    Some(all)
}

pub(super) fn take(node: &mut Json, path: &[String]) {
    match (node, path) {
        (Json::Array(list), [last]) => {
            list.remove(last.parse().unwrap());
        }
        (Json::Array(list), [first, rest @ ..]) => {
            take(&mut list[first.parse::<usize>().unwrap()], rest);
        }
        (Json::Object(map), [last]) => {
            map.remove(last);
        }
        (Json::Object(map), [first, rest @ ..]) => {
            let inner = map.get_mut(first).unwrap();
            take(inner, rest);
        }
        _ => panic!("no such place"),
    }
}

/// Lists and tables that hold nothing are as good as not there.
pub(super) fn pruned(value: Json) -> Option<Json> {
    match value {
        Json::Array(all) if all.iter().all(Json::is_object) => {
            let all: Vec<Json> = all
                .into_iter()
                .map(|v| pruned(v).unwrap_or(json!({})))
                .collect();
            (!all.is_empty()).then(|| all.into())
        }
        Json::Object(map) => {
            let all: Map<_, _> = map
                .into_iter()
                .filter_map(|(k, v)| Some((k, pruned(v)?)))
                .collect();
            (!all.is_empty()).then(|| all.into())
        }
        other => Some(other),
    }
}
