//! The JSON Schema of `dossier.toml`, for editors that complete and check while typing.
//!
//! In: the grammar. Out: a JSON Schema, draft 2020-12, with descriptions, words and patterns.
//! Not here: rules that span several keys; those need the checker.

use crate::count::UNKNOWN;
use crate::grammar::{Ids, Kind, ROOT, Table, Word};
use serde_json::{Map, Value, json};

/// Pattern of an id.
const ID: &str = "^[A-Za-z0-9][A-Za-z0-9_-]*$";
/// Patterns of evidence, in the order of the documentation.
const EVIDENCE: &str = "^(photo:[A-Za-z0-9_-]+(#[A-Za-z0-9_-]+)?|measure:[A-Za-z0-9_-]+|log:.+|label:[A-Za-z0-9_-]+|url:https?://.+|text:.+)$";
/// Pattern of a file name inside a folder of the dossier: no absolute path, no backslash, no way up.
const FILE: &str = r"^(?!/)(?!~)(?!.*\\)(?!(.*/)?\.\.(/|$)).+$";

/// Returns the JSON Schema (draft 2020-12) of `dossier.toml`.
pub fn schema() -> Value {
    schema_of(&ROOT)
}

/// Returns the JSON Schema of the format that `grammar` describes.
pub(crate) fn schema_of(grammar: &Table) -> Value {
    let mut tables = Map::new();
    collect(grammar, &mut tables);
    let mut root = table(grammar);
    if let Value::Object(map) = &mut root {
        map.insert(
            "$schema".into(),
            "https://json-schema.org/draft/2020-12/schema".into(),
        );
        map.insert("title".into(), "dossier.toml".into());
        map.insert("$defs".into(), Value::Object(tables));
    }
    root
}

/// Adds every table below `grammar` under its header.
fn collect(grammar: &Table, tables: &mut Map<String, Value>) {
    for key in grammar.keys {
        if let Kind::Table(inner) | Kind::Inline(inner) | Kind::Tables(inner) = &key.kind {
            if !tables.contains_key(inner.name) {
                tables.insert(inner.name.to_string(), table(inner));
            }
            collect(inner, tables);
        }
    }
}

fn table(grammar: &Table) -> Value {
    let mut properties = Map::new();
    for key in grammar.keys {
        let mut value = kind(&key.kind);
        if let Value::Object(map) = &mut value {
            map.insert("description".into(), key.doc.into());
        }
        properties.insert(key.name.to_string(), value);
    }
    let required: Vec<&str> = grammar
        .keys
        .iter()
        .filter(|k| k.required)
        .map(|k| k.name)
        .collect();
    json!({
        "type": "object",
        "description": grammar.doc,
        "properties": properties,
        "required": required,
        "additionalProperties": false,
    })
}

fn kind(kind_of: &Kind) -> Value {
    match kind_of {
        Kind::Text | Kind::Note | Kind::Marking => json!({ "type": "string", "pattern": "\\S" }),
        Kind::Id(_) | Kind::RegionOf(_) => json!({ "type": "string", "pattern": ID }),
        Kind::Ref(ids) => reference(*ids),
        Kind::Evidence => json!({ "type": "string", "pattern": EVIDENCE }),
        Kind::FileIn(_) => json!({ "type": "string", "pattern": FILE }),
        Kind::Date => {
            json!({ "type": "string", "format": "date", "pattern": "^\\d{4}-\\d{2}-\\d{2}$" })
        }
        Kind::Moment => json!({ "type": "string", "format": "date-time" }),
        Kind::FilmTime => {
            json!({ "type": "string", "pattern": "^(\\d+:)?(\\d{1,2}:)?\\d{1,}(\\.\\d{1,3})?$" })
        }
        Kind::Quantity(asked) => quantity(asked.word, asked.example),
        Kind::Rating => quantity("an electrical rating", "5 V ⎓ 2 A"),
        Kind::Words(words) => {
            json!({ "oneOf": words.iter().map(one).collect::<Vec<_>>() })
        }
        Kind::Count => json!({ "oneOf": [
            { "type": "integer", "minimum": 1, "maximum": u32::MAX },
            { "const": UNKNOWN },
        ] }),
        Kind::Whole { least } => {
            json!({ "type": "integer", "minimum": least, "maximum": u32::MAX })
        }
        Kind::Number { low, high } => json!({ "type": "number", "minimum": low, "maximum": high }),
        Kind::Boolean => json!({ "type": "boolean" }),
        Kind::List(element) => json!({
            "type": "array",
            "items": kind(element),
            "uniqueItems": matches!(element, Kind::Ref(_)),
        }),
        Kind::Row(element, length) => json!({
            "type": "array",
            "items": kind(element),
            "minItems": length,
            "maxItems": length,
        }),
        Kind::Table(inner) | Kind::Inline(inner) => json!({ "$ref": pointer(inner) }),
        Kind::Tables(inner) => json!({ "type": "array", "items": { "$ref": pointer(inner) } }),
        Kind::Named(names) => {
            let mut properties = Map::new();
            for name in names.known {
                let mut value = quantity(name.asked.word, name.asked.example);
                value["description"] = name.doc.into();
                properties.insert(name.name.to_string(), value);
            }
            let others = if names.open {
                quantity("a quantity", "83.4 g")
            } else {
                false.into()
            };
            json!({ "type": "object", "properties": properties, "additionalProperties": others })
        }
    }
}

fn one(word: &Word) -> Value {
    json!({ "const": word.word, "description": word.doc })
}

fn reference(ids: Ids) -> Value {
    json!({ "type": "string", "pattern": ID, "$comment": format!("id of one of {}", ids.table()) })
}

/// Quantities are text; at least a digit stands in each.
fn quantity(word: &str, example: &str) -> Value {
    json!({ "type": "string", "pattern": "[0-9]", "title": word, "examples": [example] })
}

fn pointer(inner: &Table) -> String {
    format!("#/$defs/{}", inner.name)
}
