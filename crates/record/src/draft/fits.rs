//! Whether a JSON value has the form that a key asks for, so that it can be written as TOML.
//!
//! Not here: whether it is a good value; the checker tells that.

use crate::Place;
use crate::count::UNKNOWN;
use crate::edit::EditError;
use crate::grammar::{Kind, Table};
use serde_json::{Map, Value as Json};

pub(super) fn fits(kind: &Kind, value: &Json, at: &Place) -> Result<(), EditError> {
    let good = match kind {
        Kind::Text
        | Kind::Note
        | Kind::Marking
        | Kind::Id(_)
        | Kind::Ref(_)
        | Kind::RegionOf(_)
        | Kind::Evidence
        | Kind::FileIn(_)
        | Kind::Quantity(_)
        | Kind::Rating
        | Kind::Words(_) => value.is_string(),
        Kind::Date => is_text(value, |t| {
            t.len() == 10 && t.parse::<jiff::civil::Date>().is_ok()
        }),
        Kind::Moment => is_text(value, |t| t.parse::<crate::Moment>().is_ok()),
        Kind::FilmTime => is_text(value, |t| t.parse::<crate::FilmTime>().is_ok()),
        Kind::Count => value.as_i64().is_some() || value == UNKNOWN,
        Kind::Whole { .. } => value.as_i64().is_some(),
        Kind::Number { .. } => value.is_number(),
        Kind::Boolean => value.is_boolean(),
        Kind::List(element) | Kind::Row(element, _) => match value {
            Json::Array(values) => return values.iter().try_for_each(|v| fits(element, v, at)),
            _ => false,
        },
        Kind::Table(table) | Kind::Inline(table) => match value {
            Json::Object(values) => return fits_table(table, values, at),
            _ => false,
        },
        Kind::Tables(table) => match value {
            Json::Array(entries) => {
                return entries.iter().try_for_each(|e| fits_entry(table, e, at));
            }
            _ => false,
        },
        Kind::Named(names) => match value {
            Json::Object(values) => {
                for (name, value) in values {
                    if !names.open && !names.known.iter().any(|n| n.name == name) {
                        return Err(unknown(at, name));
                    }
                    fits(&Kind::Text, value, at)?;
                }
                true
            }
            _ => false,
        },
    };
    if good {
        Ok(())
    } else {
        Err(EditError::WrongValue {
            at: at.clone(),
            wanted: format!("such as {}", kind.example()),
            found: value.to_string(),
        })
    }
}

/// Whether a value can be an entry of a list; it may lack keys.
pub(super) fn fits_entry(table: &Table, entry: &Json, at: &Place) -> Result<(), EditError> {
    match entry {
        Json::Object(values) => fits_table(table, values, at),
        other => Err(EditError::WrongValue {
            at: at.clone(),
            wanted: "a table".to_string(),
            found: other.to_string(),
        }),
    }
}

fn fits_table(table: &Table, values: &Map<String, Json>, at: &Place) -> Result<(), EditError> {
    for (name, value) in values {
        let key = table.key(name).ok_or_else(|| unknown(at, name))?;
        let here = at.clone().at(name);
        fits(&key.kind, value, &here)?;
        // An id that could not be an address is refused before it is written.
        if let (Kind::Id(_), Json::String(id)) = (&key.kind, value) {
            good_id(id)?;
        }
    }
    Ok(())
}

/// Refuses what cannot be an id.
pub(super) fn good_id(id: &str) -> Result<(), EditError> {
    let good = id.starts_with(|c: char| c.is_ascii_alphanumeric())
        && id
            .chars()
            .all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_');
    if good {
        Ok(())
    } else {
        Err(EditError::BadId { id: id.to_string() })
    }
}

fn is_text(value: &Json, good: impl Fn(&str) -> bool) -> bool {
    value.as_str().is_some_and(good)
}

fn unknown(at: &Place, key: &str) -> EditError {
    EditError::UnknownKey {
        at: at.clone(),
        key: key.to_string(),
    }
}
