//! Calling something otherwise, everywhere.

use super::entries::free;
use super::fits::{fits, good_id};
use super::patch::Patches;
use super::put::put;
use super::spot::{Target, View};
use crate::edit::{EditError, NewName};
use crate::grammar::{Ids, Kind, Table};
use crate::place::{Name, Segment};
use crate::tree::{Node, Value};
use crate::{Place, write};
use serde_json::Value as Json;
use std::ops::Range;

/// Renames an entry or a named quantity.
pub(super) fn rename(
    view: &View<'_>,
    at: &Place,
    to: &NewName,
) -> Result<(Place, Patches), EditError> {
    match (view.target(at)?, to) {
        (Target::Entry(table), NewName::One(id)) if table.natural == ["id"] => {
            entry_id(view, at, id)
        }
        (Target::Entry(_), to) => {
            let values: Vec<&str> = match to {
                NewName::One(value) => vec![value],
                NewName::Several(values) => values.iter().map(String::as_str).collect(),
            };
            natural(view, at, &values)
        }
        (Target::Value(_), NewName::One(name)) => quantity(view, at, name),
        _ => Err(EditError::WrongPlace {
            at: at.clone(),
            wanted: "something with a name",
        }),
    }
}

/// Gives an entry another id and follows the references to it.
fn entry_id(view: &View<'_>, at: &Place, id: &str) -> Result<(Place, Patches), EditError> {
    good_id(id)?;
    let (list, table, n) = view.entry(at)?;
    let at = view.entry_at(&list, table, n).unwrap_or_else(|| at.clone());
    let now = list
        .clone()
        .with(Segment::Entry(Name::first(vec![id.into()])));
    if now == at {
        return Ok((at, Patches::none(view.text)));
    }
    free(view, &list, table, id)?;
    let node = view.tree(&at).and_then(|entry| entry.get("id"));
    let Some(node) = node.filter(|n| n.as_text().is_some()) else {
        let patches = put(view, &at.clone().at("id"), &Kind::Text, &id.into())?;
        return Ok((now, patches));
    };
    let mut changes = vec![(node.span.clone(), write::scalar(&id.into()))];
    // References mean the first of several entries with the same id.
    let family = table.key("id").map(|k| &k.kind);
    if let (Some(Kind::Id(family)), Some(Segment::Entry(Name { number: 1, .. }))) =
        (family, at.segments().and_then(<[Segment]>::last))
    {
        let mut follow = Follow {
            family: *family,
            from: &at,
            to: &now,
            changes: &mut changes,
        };
        follow.table(view.grammar, &view.root);
    }
    Ok((now, view.change(changes)))
}

/// Sets the values that tell an entry without id apart.
fn natural(view: &View<'_>, at: &Place, values: &[&str]) -> Result<(Place, Patches), EditError> {
    let (list, table, n) = view.entry(at)?;
    let mut rest = values.iter();
    let mut done = Patches::none(view.text);
    for name in table.natural {
        let view = View::of(view.grammar, &done.text);
        let Some(entry) = view.entry_at(&list, table, n) else {
            break;
        };
        let here = entry.at(name);
        let Target::Value(kind) = view.target(&here)? else {
            break;
        };
        let new = match kind {
            Kind::Row(_, length) => {
                let row: Vec<&str> = rest.by_ref().take(*length).copied().collect();
                Json::from(row)
            }
            _ => match rest.next() {
                Some(value) if !value.is_empty() => Json::from(*value),
                _ => Json::Null,
            },
        };
        let next = if !new.is_null() {
            fits(kind, &new, &here)?;
            put(&view, &here, kind, &new)?
        } else if view.tree(&here).is_some() {
            super::entries::remove(&view, &here)?
        } else {
            continue;
        };
        done = done.then(next);
    }
    if rest.next().is_some() || values.iter().all(|v| v.is_empty()) {
        return Err(EditError::WrongValue {
            at: at.clone(),
            wanted: format!("called by {}", table.natural.join(", ")),
            found: values.join(", "),
        });
    }
    let now = View::of(view.grammar, &done.text).entry_at(&list, table, n);
    Ok((now.unwrap_or_else(|| at.clone()), done))
}

/// Gives a named quantity another name.
fn quantity(view: &View<'_>, at: &Place, name: &str) -> Result<(Place, Patches), EditError> {
    let wrong = || EditError::WrongPlace {
        at: at.clone(),
        wanted: "something with a name",
    };
    let names = at.parent().ok_or_else(wrong)?;
    let Target::Value(Kind::Named(_)) = view.target(&names)? else {
        return Err(wrong());
    };
    let now = names.at_key(name);
    view.target(&now)?;
    let node = view.node(view.found(at)?);
    if now == *at {
        return Ok((now, Patches::none(view.text)));
    }
    if view.tree(&now).is_some() {
        return Err(EditError::Taken { at: now });
    }
    let key = write::bare_or_quoted(name);
    Ok((now, view.change(vec![(node.key.clone(), key)])))
}

/// Follows the references to an entry.
struct Follow<'a> {
    family: Ids,
    from: &'a Place,
    to: &'a Place,
    changes: &'a mut Vec<(Range<usize>, String)>,
}

impl Follow<'_> {
    fn table(&mut self, grammar: &'static Table, node: &Node) {
        for key in grammar.keys {
            if let Some(value) = node.get(key.name) {
                self.value(&key.kind, value, node);
            }
        }
    }

    fn value(&mut self, kind: &'static Kind, node: &Node, table: &Node) {
        match (kind, &node.value) {
            (Kind::Table(inner) | Kind::Inline(inner), Value::Table(_)) => self.table(inner, node),
            (Kind::Tables(inner), Value::List(nodes)) => {
                nodes.iter().for_each(|n| self.table(inner, n));
            }
            (Kind::List(element) | Kind::Row(element, _), Value::List(nodes)) => {
                nodes.iter().for_each(|n| self.value(element, n, table));
            }
            (Kind::Ref(family), Value::Text(id))
                if *family == self.family && id == id_of(self.from) =>
            {
                self.change(node, id_of(self.to));
            }
            (Kind::RegionOf(photo), Value::Text(id)) => {
                let within = table.text(photo).map(|p| Place::region(p, id));
                if self.family == Ids::Regions && within.as_ref() == Some(self.from) {
                    self.change(node, id_of(self.to));
                }
            }
            (Kind::Evidence, Value::Text(text)) => {
                if let Some(now) = self.moved(text) {
                    self.change(node, &now);
                }
            }
            (Kind::Note, Value::Text(text)) => {
                if let Some(now) = self.note(text) {
                    self.change(node, &now);
                }
            }
            _ => {}
        }
    }

    fn change(&mut self, node: &Node, new: &str) {
        self.changes
            .push((node.span.clone(), write::scalar(&new.into())));
    }

    /// Returns a place that lies in what is renamed as it is called afterwards.
    fn moved(&self, text: &str) -> Option<String> {
        let place: Place = text.parse().ok()?;
        let (old, all) = (self.from.segments()?, place.segments()?);
        let rest = all.strip_prefix(old)?;
        let mut now = self.to.segments()?.to_vec();
        now.extend_from_slice(rest);
        Some(Place::of(now).to_string())
    }

    /// Follows the places named in free words.
    fn note(&self, text: &str) -> Option<String> {
        let mut out = String::new();
        let mut changed = false;
        for token in text.split_inclusive(|c: char| c.is_whitespace() || "()[]<>,;\"'".contains(c))
        {
            let end = token
                .trim_end_matches(|c: char| c.is_whitespace() || "()[]<>,;\"'.:!?".contains(c));
            match self.moved(end) {
                Some(now) => {
                    out.push_str(&now);
                    out.push_str(&token[end.len()..]);
                    changed = true;
                }
                None => out.push_str(token),
            }
        }
        changed.then_some(out)
    }
}

/// Returns the id at the end of the place of an entry.
fn id_of(entry: &Place) -> &str {
    match entry.segments().and_then(<[Segment]>::last) {
        Some(Segment::Entry(name)) => name.fields.first().map_or("", String::as_str),
        _ => "",
    }
}
