//! Edits in words: "role of Q1", "claim “48 g”".
//!
//! In: edits, and the dossier that they were made in. Out: a few words each.

use library::Revision;
use record::{Dossier, Edit, Place, Thing, Values};
use serde_json::Value as Json;

/// Tells what a revision did.
pub(crate) fn revision(
    revision: &Revision,
    history: &[Revision],
    dossier: &Dossier,
    values: &Values<'_>,
) -> String {
    if let Some(number) = revision.undoes {
        let first = history.iter().find(|r| r.number == number);
        return match first {
            Some(first) => match first.undoes {
                Some(_) => self::revision(first, history, dossier, values),
                None => format!("taken back: {}", action(first, history, dossier, values)),
            },
            None => format!("taken back: revision {number}"),
        };
    }
    if let Some(number) = revision.brought_back() {
        return format!("as it was at revision {number}");
    }
    if revision.edits.is_empty() {
        return "brought in".to_string();
    }
    edits(&revision.edits, dossier, values)
}

/// Tells what was done by one action up to its last revision.
fn action(last: &Revision, history: &[Revision], dossier: &Dossier, values: &Values<'_>) -> String {
    let all = history.iter().rev().filter(|r| r.goes_with(last));
    let made: Vec<&Revision> = all.filter(|r| r.number <= last.number).collect();
    match made.as_slice() {
        [one] => revision(one, history, dossier, values),
        all => {
            let made: Vec<Edit> = all.iter().flat_map(|r| r.edits.clone()).collect();
            edits(&made, dossier, values)
        }
    }
}

/// Tells the first edit, and how many follow.
pub(crate) fn edits(edits: &[Edit], dossier: &Dossier, values: &Values<'_>) -> String {
    let Some(first) = edits.first() else {
        return "nothing".to_string();
    };
    let words = edit(first, dossier, values);
    match edits.len() {
        1 => words,
        n => format!("{words} and {} more", n - 1),
    }
}

/// Tells one edit.
pub(crate) fn edit(edit: &Edit, dossier: &Dossier, values: &Values<'_>) -> String {
    let named = |at: &Place| place(at, dossier, values);
    match edit {
        Edit::Set { at, new, .. } if new.is_null() => format!("{} removed", named(at)),
        Edit::Set { at, new, .. } => format!("{} {}", named(at), short(new)),
        Edit::Add { to, entry, .. } => {
            let sort = entry_word(to);
            let lead = ["text", "name", "value", "caption", "id"];
            let lead = lead.iter().find_map(|key| entry.get(key)?.as_str());
            match lead {
                Some(lead) => format!("{sort} {}", clipped(lead)),
                None => sort.to_string(),
            }
        }
        Edit::Remove { at, .. } => format!("{} removed", named(at)),
        Edit::Move { at, .. } => format!("{} moved", named(at)),
        Edit::Rename { at, .. } => format!("{} renamed", named(at)),
        Edit::Restore { at, .. } => named(at),
    }
}

/// What an entry of a list is called.
fn entry_word(list: &Place) -> &'static str {
    let known = record::forms();
    let key = list.key().unwrap_or_default();
    let found = known.iter().find(|form| {
        let own = form.list(Some("x"));
        own.key() == Some(key)
    });
    found.map_or("entry", |form| form.word)
}

/// Names a place for readers: the key, then what it belongs to.
pub(crate) fn place(at: &Place, dossier: &Dossier, values: &Values<'_>) -> String {
    let entry = at.entry();
    let of = entry
        .as_ref()
        .map(|entry| entry_name(entry, dossier, values));
    let key = at.key().map(|key| key.replace('-', " "));
    match (key, of) {
        (Some(key), Some(of)) => format!("{key} of {of}"),
        (None, Some(of)) => of,
        (Some(key), None) => match at.thing() {
            Thing::Product => format!("{key} of the product"),
            _ => key,
        },
        (None, None) => "the record".to_string(),
    }
}

/// Names an entry by what a reader knows it by.
pub(crate) fn entry_name(entry: &Place, dossier: &Dossier, values: &Values<'_>) -> String {
    if let Some(id) = entry.item_id()
        && let Some(item) = dossier.items.iter().find(|item| item.id == id)
    {
        let name = match &item.designator {
            Some(designator) => designator.clone(),
            None => item.name.clone(),
        };
        return match Place::item(id) == *entry {
            true => name,
            false => format!("{} of {name}", entry.thing().word()),
        };
    }
    let lead = ["text", "name", "caption"];
    let told = lead
        .iter()
        .find_map(|key| values.at(&entry.clone().at_key(key)));
    let word = entry.thing().word();
    match told.as_ref().and_then(Json::as_str) {
        Some(text) if entry.thing() == Thing::Claim => format!("“{}”", clipped(text)),
        Some(text) => clipped(text),
        None => named_by_what_it_is_of(entry, dossier)
            .unwrap_or_else(|| format!("{word} {}", entry.entry_id().unwrap_or_default())),
    }
}

/// Names an entry that has no name of its own by what it is of: `mass of Lamp`; ids are for the record.
fn named_by_what_it_is_of(entry: &Place, dossier: &Dossier) -> Option<String> {
    let words = report::entry_words(dossier, entry)?;
    let words = words.split_once(": ").map_or(&*words, |(_, rest)| rest);
    Some(words.to_string())
}

fn clipped(text: &str) -> String {
    let line = text.lines().next().unwrap_or_default();
    match line.chars().count() {
        0..=32 => line.to_string(),
        _ => format!("{}…", line.chars().take(31).collect::<String>().trim_end()),
    }
}

fn short(value: &Json) -> String {
    match value {
        Json::String(text) => clipped(text),
        Json::Array(all) => {
            let words: Vec<String> = all.iter().map(short).collect();
            clipped(&words.join(" | "))
        }
        Json::Object(_) => String::new(),
        other => other.to_string(),
    }
}
