//! Putting a whole table or list in place of another: key by key and entry by entry, so that what stays
//! keeps its comments, its order and its writing.
//!
//! In: what is there and what is to be there. Out: the changes, or none where nothing of the old can stay.
//! Not here: single values (`put`).

use super::entries;
use super::patch::Patches;
use super::put::put;
use super::spot::{Target, View, same};
use crate::Place;
use crate::edit::{EditError, Position};
use crate::grammar::{Kind, Table};
use crate::place::{Name, Segment, numbered};
use serde_json::{Map, Value as Json};

/// Changes what is at a place into `new`; `None` where it has to be replaced as a whole.
pub(super) fn merge(
    view: &View<'_>,
    at: &Place,
    kind: &'static Kind,
    new: &Json,
) -> Result<Option<Patches>, EditError> {
    match (kind, view.present(at), new) {
        (Kind::Table(table) | Kind::Inline(table), Some(Json::Object(old)), Json::Object(new))
            if !new.is_empty() && old.keys().all(|key| table.key(key).is_some()) =>
        {
            keys(view, at, &old, new).map(Some)
        }
        (Kind::Named(_), Some(Json::Object(old)), Json::Object(new)) if !new.is_empty() => {
            keys(view, at, &old, new).map(Some)
        }
        (Kind::Tables(table), Some(Json::Array(old)), Json::Array(new)) => {
            list(view, at, table, &old, new)
        }
        _ => Ok(None),
    }
}

/// Sets the keys that differ, then takes out those that are no more: a table of dotted keys is gone with
/// its last one.
fn keys(
    view: &View<'_>,
    at: &Place,
    old: &Map<String, Json>,
    new: &Map<String, Json>,
) -> Result<Patches, EditError> {
    let mut done = Patches::none(view.text);
    for (key, value) in new {
        if old.get(key).is_some_and(|old| same(old, value)) {
            continue;
        }
        let here = at.clone().with(Segment::Key(key.clone()));
        done = done.next(view, |view| match view.target(&here)? {
            Target::Value(kind) => put(view, &here, kind, value),
            Target::Entry(_) | Target::Top => Err(EditError::WrongPlace {
                at: here.clone(),
                wanted: "a value",
            }),
        })?;
    }
    for key in old.keys().filter(|key| !new.contains_key(*key)) {
        let here = at.clone().with(Segment::Key(key.clone()));
        done = done.next(view, |view| entries::remove(view, &here))?;
    }
    Ok(done)
}

/// Takes out the entries that are no more, changes those that stay, adds the new ones in their order.
fn list(
    view: &View<'_>,
    at: &Place,
    table: &'static Table,
    old: &[Json],
    new: &[Json],
) -> Result<Option<Patches>, EditError> {
    let names = [old, new].map(|entries| numbered(table, entries));
    let [before, after] = &names;
    let is_told_apart = |name: &Name| name.number == 1 && !name.fields[0].is_empty();
    if table.natural.is_empty()
        || !names.iter().flatten().all(is_told_apart)
        || !after.iter().any(|name| before.contains(name))
        || !old.iter().all(|entry| are_known(table, entry))
    {
        return Ok(None);
    }
    let place = |name: &Name| at.clone().with(Segment::Entry(name.clone()));
    let mut done = Patches::none(view.text);
    for gone in before.iter().filter(|name| !after.contains(name)) {
        done = done.next(view, |view| entries::remove(view, &place(gone)))?;
    }
    let mut position = Position::First;
    for (name, entry) in after.iter().zip(new) {
        let here = place(name);
        let old = before.iter().position(|n| n == name).map(|n| &old[n]);
        done = match (old, entry) {
            (Some(Json::Object(old)), Json::Object(new)) => {
                let changed = done.next(view, |view| keys(view, &here, old, new))?;
                changed.next(view, |view| {
                    entries::shift(view, &here, &position).map(|(_, patches)| patches)
                })?
            }
            _ => done.next(view, |view| {
                entries::add(view, at, entry, &position).map(|(_, patches)| patches)
            })?,
        };
        position = Position::After(here);
    }
    Ok(Some(done))
}

/// Whether an entry has only keys of the format: others are nowhere to be set.
fn are_known(table: &Table, entry: &Json) -> bool {
    let known = |keys: &Map<String, Json>| keys.keys().all(|key| table.key(key).is_some());
    entry.as_object().is_some_and(known)
}

impl Patches {
    /// Returns these changes followed by those that `step` makes of the text that they gave.
    fn next(
        self,
        before: &View<'_>,
        step: impl FnOnce(&View<'_>) -> Result<Self, EditError>,
    ) -> Result<Self, EditError> {
        let next = step(&View::of(before.grammar, &self.text))?;
        Ok(self.then(next))
    }
}
