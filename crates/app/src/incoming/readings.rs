//! A row of a weighing or measuring sheet as a reading of the record.

use super::{Column, Comes, Taken, cell};
use quantity::Stated;
use record::{Dossier, Edit, Item, Place, Position};
use serde_json::{Map, Value as Json, json};

/// Tells what comes of a row. `unit` is what the heading of a column states.
pub(super) fn comes(
    cells: &[(Column, String)],
    unit: impl Fn(Column) -> Option<String>,
    now: &Dossier,
    taken: &mut Taken,
) -> Comes {
    let Some(named) = cell(cells, Column::Item) else {
        return Comes::refused("no item is named", "name it by its id or its name");
    };
    let item = match item(named, now) {
        Ok(item) => item,
        Err(comes) => return comes,
    };
    let (column, what) = match cell(cells, Column::Mass) {
        Some(_) => (Column::Mass, "mass".to_string()),
        None => (
            Column::Value,
            cell(cells, Column::What).unwrap_or("mass").to_lowercase(),
        ),
    };
    let Some(text) = cell(cells, column) else {
        return Comes::refused("there is no value", "leave the row out, or weigh the piece");
    };
    let value = match value(text, unit(column)) {
        Ok(value) => value,
        Err(comes) => return comes,
    };
    let same = now.readings.iter().find(|reading| {
        reading.item == item.id
            && json!(reading.what) == json!(what)
            && Stated::parse(&value).is_ok_and(|new| new.si() == reading.value.si())
    });
    if let Some(same) = same {
        return Comes::Known {
            says: format!(
                "{} of {} is recorded as {}",
                what, item.name, same.value.text
            ),
        };
    }
    let mut entry = Map::new();
    entry.insert(
        "id".into(),
        json!(taken.free(&format!("{what} {}", item.id))),
    );
    entry.insert("item".into(), json!(item.id));
    entry.insert("what".into(), json!(what));
    entry.insert("value".into(), json!(value));
    if let Some(named) = cell(cells, Column::Instrument) {
        let instrument = now
            .instruments
            .iter()
            .find(|i| i.id == named || i.name.eq_ignore_ascii_case(named));
        match instrument {
            Some(instrument) => entry.insert("instrument".into(), json!(instrument.id)),
            None => {
                return Comes::refused(
                    format!("there is no instrument “{}”", record::visible(named)),
                    "add the instrument with its resolution first",
                );
            }
        };
    }
    if let Some(note) = cell(cells, Column::Note) {
        entry.insert("note".into(), json!(note));
    }
    let edit = Edit::Add {
        to: Place::list_of_readings(),
        entry: Json::Object(entry),
        position: Position::Last,
    };
    Comes::Edits {
        says: format!("adds {what} of {}: {value}", item.name),
        edits: vec![edit],
    }
}

/// Returns the item of an id or name; the name may be told in other capitals.
pub(super) fn item<'d>(named: &str, now: &'d Dossier) -> Result<&'d Item, Comes> {
    if let Some(item) = now.item(named) {
        return Ok(item);
    }
    let by_name: Vec<&Item> = now
        .items
        .iter()
        .filter(|item| item.name.to_lowercase() == named.to_lowercase())
        .collect();
    match by_name.as_slice() {
        [item] => Ok(item),
        [] => Err(Comes::refused(
            format!("there is no item “{}”", record::visible(named)),
            "name it by its id or its name, or add it first",
        )),
        several => {
            let ids: Vec<&str> = several.iter().map(|item| item.id.as_str()).collect();
            Err(Comes::refused(
                format!(
                    "{} items are called “{}”",
                    several.len(),
                    record::visible(named)
                ),
                format!("name one by its id: {}", ids.join(", ")),
            ))
        }
    }
}

/// Returns a value with its unit: its own, else that of the heading. A value is never given a unit that nobody stated.
fn value(text: &str, unit: Option<String>) -> Result<String, Comes> {
    let bare = text.parse::<f64>().is_ok() || text.replacen(',', ".", 1).parse::<f64>().is_ok();
    let whole = match (bare, unit) {
        (false, _) => text.to_string(),
        (true, Some(unit)) => format!("{text} {unit}"),
        (true, None) => {
            return Err(Comes::refused(
                format!("“{text}” has no unit"),
                "write the unit behind the value or in the heading: mass (g)",
            ));
        }
    };
    match Stated::parse(&whole) {
        Ok(_) => Ok(whole),
        Err(error) => Err(Comes::refused(
            format!("“{}” cannot be read: {error}", record::visible(&whole)),
            "write a value with its unit, such as 7.77 g",
        )),
    }
}
