//! Putting a value into the text, with the tables that are missing on the way.

use super::merge::merge;
use super::patch::Patches;
use super::spot::{Reach, View, keys, written};
use super::{brackets, entries};
use crate::Place;
use crate::edit::EditError;
use crate::grammar::{Kind, Table};
use crate::layout::{Form, Id, TOP};
use crate::write;
use serde_json::Value as Json;

/// Puts `new` at a place, whatever is there.
pub(super) fn put(
    view: &View<'_>,
    at: &Place,
    kind: &'static Kind,
    new: &Json,
) -> Result<Patches, EditError> {
    match view.reach(at)? {
        Reach::Found(id) => {
            let node = view.node(id);
            if let Some(merged) = merge(view, at, kind, new)? {
                return Ok(merged);
            }
            if matches!(node.form, Form::Single | Form::Array | Form::Inline) {
                let value = write::inline(kind, new, 0);
                return Ok(view.change(vec![(node.span.clone(), value)]));
            }
            let cleared = entries::remove(view, at)?;
            let new = put(&View::of(view.grammar, &cleared.text), at, kind, new)?;
            Ok(cleared.then(new))
        }
        Reach::Missing(id, rest) => {
            let keys = keys(rest);
            make(view, at, id, &keys, kind, new)
        }
    }
}

/// Makes the keys that are missing below a table.
fn make(
    view: &View<'_>,
    at: &Place,
    id: Id,
    keys: &[String],
    kind: &'static Kind,
    new: &Json,
) -> Result<Patches, EditError> {
    let node = view.node(id);
    let holder = view.holder(id);
    match node.form {
        Form::Inline => {
            let part = assignment(keys, kind, new);
            Ok(view.change(brackets::insert(view, id, node.parts.len(), &part)))
        }
        Form::Dotted => {
            let mut all = view.dotted(id, holder);
            all.extend_from_slice(keys);
            let line = format!("{} = {}", written(&all), write::inline(kind, new, 0));
            if node.brackets.is_some() {
                let end = view.node(holder).parts.len();
                return Ok(view.change(brackets::insert(view, holder, end, &line)));
            }
            let last = view.layout.runs(id).last().map(|run| run.end - 1);
            Ok(view.change(vec![view.line_after(last, &line)]))
        }
        Form::Root | Form::Header | Form::Above => under_headers(view, at, id, keys, kind, new),
        Form::List | Form::Array | Form::Single => Err(EditError::WrongPlace {
            at: at.clone(),
            wanted: "in a table as the text is written",
        }),
    }
}

/// Makes keys below a table that stands under a header.
fn under_headers(
    view: &View<'_>,
    at: &Place,
    id: Id,
    keys: &[String],
    kind: &'static Kind,
    new: &Json,
) -> Result<Patches, EditError> {
    // The tables on the way that the format writes under headers of their own.
    let above = at.segments().map_or(0, <[_]>::len) - keys.len();
    let mut headers = 0;
    for n in 0..keys.len() {
        let segments = at.segments().unwrap_or_default()[..=above + n].to_vec();
        let target = view.target(&Place::of(segments))?;
        let super::Target::Value(kind) = target else {
            break;
        };
        match kind {
            Kind::Table(_) => headers = n + 1,
            Kind::Named(names) if !names.inline => headers = n + 1,
            _ => break,
        }
    }
    let mut path = view.dotted(id, TOP);
    path.extend_from_slice(&keys[..headers]);
    let rest = &keys[headers..];
    let block = match (kind, new) {
        (Kind::Tables(table), Json::Array(list)) if rest.len() == 1 && !list.is_empty() => {
            let blocks: Vec<String> = list.iter().map(|e| write::entry(table, e)).collect();
            blocks.join("\n")
        }
        (_, _) if rest.is_empty() => write::headed(&written(&path), kind, new),
        (_, _) if headers == 0 && view.node(id).form != Form::Above => {
            let line = assignment(rest, kind, new);
            let last = view.layout.last_of_body(id);
            return Ok(view.change(vec![view.line_after(last, &line)]));
        }
        (_, _) => format!("[{}]\n{}\n", written(&path), assignment(rest, kind, new)),
    };
    let is_own_header = headers == 0
        && view.node(id).form == Form::Above
        && rest.len() == 1
        && !matches!(kind, Kind::Tables(_));
    let place = if is_own_header {
        entries::before(view, id)
    } else if id == TOP {
        entries::after_sibling(view, keys.first().map_or("", String::as_str))
    } else {
        entries::behind(view, id)
    };
    Ok(view.change(vec![view.block(place, &block)]))
}

/// Returns `key = value`; further keys make tables in line.
fn assignment(keys: &[String], kind: &Kind, new: &Json) -> String {
    let mut value = write::inline(kind, new, keys.first().map_or(0, |k| k.len() + 3));
    for key in keys.iter().skip(1).rev() {
        value = format!("{{ {} = {value} }}", write::bare_or_quoted(key));
    }
    let first = keys.first().map_or("", String::as_str);
    format!("{} = {value}", write::bare_or_quoted(first))
}

/// Returns one entry of a list, in the form that its list has.
pub(super) fn entry_text(table: &'static Table, entry: &Json, in_line: bool) -> String {
    if in_line {
        write::inline_table(table, entry)
    } else {
        write::entry(table, entry)
    }
}
