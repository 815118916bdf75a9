//! A row of a parts list as an item of the record.

use super::{Column, Comes, Taken, cell};
use record::{Dossier, Edit, Item, ItemKind, Place, Position};
use serde_json::{Map, Value as Json, json};

/// Tells what comes of a row.
pub(super) fn comes(cells: &[(Column, String)], now: &Dossier, taken: &mut Taken) -> Comes {
    let reference = cell(cells, Column::Reference);
    let parent = match parent(cells, now) {
        Ok(parent) => parent,
        Err(comes) => return comes,
    };
    let name = match name(cells) {
        Some(name) => name,
        None => {
            return Comes::refused(
                "nothing names the part",
                "fill reference, marking or part number",
            );
        }
    };
    let known = now.items.iter().find(|item| {
        reference.is_some()
            && item.designator.as_deref() == reference
            && item.parent.as_deref() == Some(&parent.id)
    });
    if let Some(known) = known {
        return Comes::Known {
            says: format!(
                "{} on {} is recorded as {}",
                reference.unwrap_or_default(),
                parent.name,
                known.name
            ),
        };
    }
    let mut entry = Map::new();
    let id = taken.free(&format!("{} {name}", parent.id));
    entry.insert("id".into(), json!(id));
    entry.insert("name".into(), json!(name));
    entry.insert("kind".into(), json!("part"));
    entry.insert("parent".into(), json!(parent.id));
    if let Some(reference) = reference {
        entry.insert("designator".into(), json!(reference));
    }
    if let Some(role) = cell(cells, Column::Role) {
        entry.insert("role".into(), json!(role));
        entry.insert("role-origin".into(), json!("analyst"));
    }
    if let Some(count) = cell(cells, Column::Count) {
        match count.parse::<u32>() {
            Ok(1) => {}
            Ok(count) if count > 1 => {
                entry.insert("count".into(), json!(count));
            }
            _ => {
                return Comes::refused(
                    format!("“{count}” is no number of pieces"),
                    "write 1 or more",
                );
            }
        }
    }
    if let Some(note) = cell(cells, Column::Note) {
        entry.insert("note".into(), json!(note));
    }
    entry.insert("part".into(), part(cells));
    let says = format!("adds {name} on {}", parent.name);
    let edit = Edit::Add {
        to: Place::list_of_items(),
        entry: Json::Object(entry),
        position: Position::Last,
    };
    Comes::Edits {
        says,
        edits: vec![edit],
    }
}

/// Returns the item that the part is on: the one named, the only board, or the product.
fn parent<'d>(cells: &[(Column, String)], now: &'d Dossier) -> Result<&'d Item, Comes> {
    if let Some(named) = cell(cells, Column::Parent) {
        return super::readings::item(named, now);
    }
    let mut boards = now.items.iter().filter(|item| item.kind == ItemKind::Board);
    match (boards.next(), boards.next()) {
        (Some(board), None) => Ok(board),
        _ => {
            let product = now.items.iter().find(|item| item.kind == ItemKind::Product);
            product.ok_or_else(|| {
                Comes::refused("there is no item to put it on", "add the product first")
            })
        }
    }
}

fn name(cells: &[(Column, String)]) -> Option<String> {
    let reference = cell(cells, Column::Reference);
    let what = cell(cells, Column::Role)
        .or(cell(cells, Column::PartNumber))
        .or(cell(cells, Column::Marking));
    match (what, reference) {
        (Some(what), Some(reference)) => Some(format!("{what} {reference}")),
        (Some(what), None) => Some(what.to_string()),
        (None, Some(reference)) => Some(format!("Part {reference}")),
        (None, None) => None,
    }
}

/// Returns the facts about the part. What a list says it is, is no reading of the marking: it is assumed.
fn part(cells: &[(Column, String)]) -> Json {
    let mut part = Map::new();
    if let Some(marking) = cell(cells, Column::Marking) {
        let lines: Vec<&str> = marking
            .split('|')
            .map(str::trim)
            .filter(|l| !l.is_empty())
            .collect();
        part.insert("marking".into(), json!(lines));
    }
    if let Some(package) = cell(cells, Column::Package) {
        part.insert("package".into(), json!(package));
    }
    if let Some(number) = cell(cells, Column::PartNumber) {
        let mut identity = Map::new();
        identity.insert("name".into(), json!(number));
        if let Some(maker) = cell(cells, Column::Maker) {
            identity.insert("maker".into(), json!(maker));
        }
        identity.insert("certainty".into(), json!("assumed"));
        identity.insert("because".into(), json!("from a parts list brought in"));
        part.insert("identity".into(), Json::Object(identity));
    }
    Json::Object(part)
}
