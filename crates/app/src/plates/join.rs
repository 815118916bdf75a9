//! One thing that was recorded twice: found by where it is, joined by edits.
//!
//! In: a dossier, one of its photographs; two items that are one. Out: pairs that lie on each other; the edits that
//! put all that is said of one in the place of the other. Nothing is written.

use super::bodies::holds_others;
use super::same_place;
use crate::Problem;
use crate::desk::View;
use record::{Edit, Item, Place, Position, RecordPlaces, field_at};
use serde_json::{Value as Json, json};

/// Returns the pairs of items that were boxed at the same place of a photograph, the one recorded first in front.
///
/// # Errors
/// No such photograph.
pub fn twice<'v>(view: &'v View, photo: &str) -> Result<Vec<[&'v Item; 2]>, Problem> {
    let plate = super::Plate::of(view, photo)?;
    let regions = plate.photo.regions.iter();
    let parts: Vec<_> = regions
        .filter_map(|region| {
            let item = view.dossier.item(region.item.as_deref()?)?;
            (!holds_others(item)).then_some((region.rect.map(f64::from), item))
        })
        .collect();
    let mut pairs: Vec<[&Item; 2]> = Vec::new();
    for (n, (rect, item)) in parts.iter().enumerate() {
        for (other_rect, other) in &parts[n + 1..] {
            if item.id != other.id
                && item.parent.as_ref() != Some(&other.id)
                && other.parent.as_ref() != Some(&item.id)
                && same_place(rect, other_rect)
            {
                pairs.push([item, other]);
            }
        }
    }
    Ok(pairs)
}

/// Returns the edits that make one item of two: whatever names `other` names `kept`, what only `other` says is said of
/// `kept`, and `other` is gone.
///
/// # Errors
/// No such item; the same item twice.
pub fn join(view: &View, kept: &str, other: &str) -> Result<Vec<Edit>, Problem> {
    for id in [kept, other] {
        if view.dossier.item(id).is_none() {
            let message = format!("there is no item with the id \"{id}\"");
            return Err(Problem::missing(message, "it may be joined already"));
        }
    }
    if kept == other {
        let message = format!("\"{kept}\" is one item already");
        return Err(Problem::unfit(message, "name two items"));
    }
    let places = RecordPlaces::of(&view.dossier);
    let (from, to) = (Place::item(other), Place::item(kept));
    let mut edits = Vec::new();
    let mut followed: Vec<Place> = Vec::new();
    for at in places.all() {
        if at.is_within(&from) || followed.iter().any(|list| at.is_within(list)) {
            continue;
        }
        let (Some(field), Some(value)) = (field_at(&at), places.value(&at)) else {
            continue;
        };
        let now = if field.names_items() {
            renamed(value, &|text| (text == other).then(|| kept.to_string()))
        } else if field.is_evidence() {
            renamed(value, &|text| moved(text, &from, &to))
        } else {
            None
        };
        if let Some(new) = now {
            followed.push(at.clone());
            edits.push(Edit::Set {
                at,
                new,
                old: Some(value.clone()),
            });
        }
    }
    let said = |place: &Place| places.value(place).cloned().unwrap_or_default();
    fill(&to, &said(&to), &said(&from), &mut edits);
    edits.push(Edit::Remove {
        at: from,
        old: None,
    });
    Ok(edits)
}

/// A value in which names are replaced; none where nothing is. Of a list, what would stand twice stands once.
fn renamed(value: &Json, name: &dyn Fn(&str) -> Option<String>) -> Option<Json> {
    match value {
        Json::String(text) => name(text).map(Json::from),
        Json::Array(all) => {
            let mut changed = false;
            let mut list: Vec<Json> = Vec::new();
            for one in all {
                let now = one.as_str().and_then(name).map(Json::from);
                changed |= now.is_some();
                let now = now.unwrap_or_else(|| one.clone());
                if !list.contains(&now) {
                    list.push(now);
                }
            }
            changed.then_some(Json::Array(list))
        }
        _ => None,
    }
}

/// A place within what is gone, as it is called within what stays.
fn moved(text: &str, from: &Place, to: &Place) -> Option<String> {
    let rest = text.strip_prefix(&from.to_string())?;
    let is_whole = rest.is_empty() || rest.starts_with(['.', '[', '#']);
    is_whole.then(|| format!("{to}{rest}"))
}

/// Keys that tell an item apart and are not taken over.
const OWN: [&str; 3] = ["id", "name", "parent"];

/// Adds what only the other one says, and the evidence of both.
fn fill(at: &Place, kept: &Json, other: &Json, edits: &mut Vec<Edit>) {
    let Json::Object(values) = other else { return };
    for (key, value) in values
        .iter()
        .filter(|(key, _)| !OWN.contains(&key.as_str()))
    {
        let there = kept.get(key).unwrap_or(&Json::Null);
        let here = at.clone().at(key);
        match (there, value) {
            (_, Json::Null) => {}
            (Json::Object(_), Json::Object(_)) => fill(&here, there, value, edits),
            (Json::Null, Json::Array(entries)) if entries.iter().any(Json::is_object) => {
                edits.extend(entries.iter().map(|entry| Edit::Add {
                    to: here.clone(),
                    entry: entry.clone(),
                    position: Position::Last,
                }));
            }
            (Json::Array(mine), Json::Array(theirs)) if key == "evidence" => {
                let mut all = mine.clone();
                all.extend(theirs.iter().filter(|one| !mine.contains(one)).cloned());
                if all.len() > mine.len() {
                    edits.push(Edit::Set {
                        at: here,
                        new: json!(all),
                        old: Some(there.clone()),
                    });
                }
            }
            (Json::Null, _) => edits.push(Edit::Set {
                at: here,
                new: value.clone(),
                old: None,
            }),
            (Json::Array(mine), Json::Array(_)) if mine.is_empty() => edits.push(Edit::Set {
                at: here,
                new: value.clone(),
                old: None,
            }),
            _ => {}
        }
    }
}
