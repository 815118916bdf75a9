//! The published format of the findings: a JSON Schema made from a table.
//!
//! In: nothing. Out: JSON Schema, draft 2020-12. A test holds it against real findings, field by
//! field in both directions. Not here: writing findings (`json`).

mod shapes;
mod tables;

use serde_json::{Map, Value, json};
use shapes::{SHAPES, Shape, WORDS};

/// Returns the JSON Schema (draft 2020-12) of the text that [`json`](crate::json()) returns.
pub fn findings_schema() -> Value {
    let mut definitions = Map::new();
    for words in WORDS.iter().chain(tables::WORDS) {
        definitions.insert(
            words.name.to_owned(),
            json!({ "description": words.about, "type": "string", "enum": words.words }),
        );
    }
    for (name, about, pattern) in identities() {
        definitions.insert(
            name.to_owned(),
            json!({ "description": about, "type": "string", "pattern": pattern }),
        );
    }
    for shape in SHAPES.iter().chain(tables::SHAPES) {
        definitions.insert(shape.name.to_owned(), object(shape, "detail"));
    }
    for shape in tables::CELLS {
        definitions.insert(shape.name.to_owned(), object(shape, "cell"));
    }
    let details = SHAPES.iter().chain(tables::SHAPES);
    let details = one_of("Structured content of a finding.", details);
    definitions.insert("Detail".to_owned(), details);
    let cells = one_of("What stands in one cell of a table.", tables::CELLS.iter());
    definitions.insert("Cell".to_owned(), cells);
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Findings about one opened product",
        "$ref": "#/$defs/Findings",
        "$defs": definitions,
    })
}

/// Returns the texts that name something: name, meaning, pattern.
fn identities() -> [(&'static str, &'static str, String); 3] {
    let methods: Vec<&str> = methods::METHODS.iter().map(|m| m.name).collect();
    [
        (
            "FindingId",
            "METHOD.QUESTION, further words behind dots, and the place it is about behind /.",
            format!("^({})\\.[a-z0-9-]+([./].+)?$", methods.join("|")),
        ),
        (
            "FigureKey",
            "QUANTITY, further words behind dots, and the place it is of behind /.",
            "^[a-z0-9-]+([./].+)?$".to_owned(),
        ),
        (
            "Place",
            "A place in the record (items.cell.cell.capacity, photo:lid#label), a log, a page, or a \
             publication in words.",
            "^.+$".to_owned(),
        ),
    ]
}

/// Returns the schema of what is one of the shapes with a tag.
fn one_of<'s>(about: &str, shapes: impl Iterator<Item = &'s Shape>) -> Value {
    let tagged: Vec<Value> = shapes
        .filter(|s| s.tag.is_some())
        .map(|s| json!({ "$ref": format!("#/$defs/{}", s.name) }))
        .collect();
    json!({ "description": about, "oneOf": tagged })
}

/// Returns the schema of an object; a tag stands under `key`.
fn object(shape: &Shape, key: &'static str) -> Value {
    let mut properties = Map::new();
    let mut required = Vec::new();
    if let Some(tag) = shape.tag {
        properties.insert(key.to_owned(), json!({ "const": tag }));
        required.push(key);
    }
    for (name, kind, about) in shape.fields {
        let mut schema = kind_schema(kind);
        schema.insert("description".to_owned(), json!(about));
        properties.insert((*name).to_owned(), Value::Object(schema));
        required.push(*name);
    }
    json!({
        "description": shape.about,
        "type": "object",
        "properties": properties,
        "required": required,
        "additionalProperties": false,
    })
}

/// Returns the schema of a kind: `text`, `number`, `whole`, `probability`, `truth`, `pair`, the
/// name of a definition; `[kind]` is a list, `kind?` may be null.
fn kind_schema(kind: &str) -> Map<String, Value> {
    let schema = if let Some(inner) = kind.strip_suffix('?') {
        json!({ "anyOf": [kind_schema(inner), { "type": "null" }] })
    } else if let Some(inner) = kind.strip_prefix('[').and_then(|k| k.strip_suffix(']')) {
        json!({ "type": "array", "items": kind_schema(inner) })
    } else {
        match kind {
            "text" => json!({ "type": "string" }),
            "number" => json!({ "type": "number" }),
            "whole" => json!({ "type": "integer", "minimum": 0 }),
            "probability" => json!({ "type": "number", "minimum": 0, "maximum": 1 }),
            "truth" => json!({ "type": "boolean" }),
            "pair" => {
                json!({ "type": "array", "items": { "type": "number" }, "minItems": 2, "maxItems": 2 })
            }
            name => json!({ "$ref": format!("#/$defs/{name}") }),
        }
    };
    match schema {
        Value::Object(map) => map,
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) | Value::Array(_) => {
            Map::new()
        }
    }
}
