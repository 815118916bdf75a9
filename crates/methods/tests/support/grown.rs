//! A dossier of any size: copies of a small one under one product.
//!
//! In: a dossier whose items all stand below one product, and a number of copies. Out: a dossier with that
//! many copies of every item, photograph, reading, link, step, measure and claim, so that all proportions
//! stay; instruments, labels and the product itself stay single.
//! Not here: new facts; every copy says what the original says.

use record::{Dossier, ItemKind};
use serde_json::{Map, Value};
use std::collections::BTreeSet;

/// Lists of the record that are copied.
const LISTS: [&str; 8] = [
    "photos",
    "claims",
    "items",
    "links",
    "steps",
    "readings",
    "measures",
    "correlations",
];

/// Keys whose text, or texts, are ids of entries.
const IDS: [&str; 16] = [
    "id",
    "parent",
    "item",
    "photo",
    "from",
    "to",
    "on",
    "before",
    "after",
    "without",
    "fasteners",
    "frees",
    "destroys",
    "replaces",
    "between",
    "contact",
];

/// Returns a dossier with `copies` of everything below the product.
pub(crate) fn grown(seed: &Dossier, copies: usize) -> Dossier {
    let Ok(Value::Object(whole)) = serde_json::to_value(seed) else {
        unreachable!("a dossier is a table")
    };
    let product = seed
        .items
        .iter()
        .find(|i| i.kind == ItemKind::Product)
        .map(|i| i.id.clone());
    let known = ids(&whole, product.as_deref());
    let mut grown = whole.clone();
    for list in LISTS {
        let Some(Value::Array(entries)) = whole.get(list) else {
            continue;
        };
        let is_product = |e: &Value| list == "items" && e["id"].as_str() == product.as_deref();
        let mut all: Vec<Value> = entries.iter().filter(|e| is_product(e)).cloned().collect();
        for copy in 0..copies {
            for (k, entry) in entries.iter().filter(|e| !is_product(e)).enumerate() {
                let mut entry = renamed(entry, "", copy, &known);
                // The copies are opened one beside the other, not one after the other.
                if list == "steps" && k == 0 {
                    entry["after"] = Value::Array(Vec::new());
                }
                if let Some(Value::String(name)) = entry.get_mut("name") {
                    name.push_str(&format!(" of unit {}", copy + 1));
                }
                all.push(entry);
            }
        }
        grown.insert(list.to_string(), Value::Array(all));
    }
    serde_json::from_value(Value::Object(grown)).expect("a copy has the form of the original")
}

/// Returns every id that is copied.
fn ids(whole: &Map<String, Value>, product: Option<&str>) -> BTreeSet<String> {
    LISTS
        .iter()
        .filter_map(|list| whole.get(*list)?.as_array())
        .flatten()
        .filter_map(|entry| entry.get("id")?.as_str())
        .filter(|id| Some(*id) != product)
        .map(String::from)
        .collect()
}

fn renamed(value: &Value, key: &str, copy: usize, known: &BTreeSet<String>) -> Value {
    match value {
        Value::Object(table) => table
            .iter()
            .map(|(key, value)| (key.clone(), renamed(value, key, copy, known)))
            .collect(),
        Value::Array(list) => list
            .iter()
            .map(|value| renamed(value, key, copy, known))
            .collect(),
        Value::String(text) if IDS.contains(&key) && known.contains(text) => {
            Value::String(format!("{text}-{copy}"))
        }
        Value::String(text) if key == "evidence" => Value::String(place(text, copy, known)),
        other => other.clone(),
    }
}

/// Renames the id in a place such as `photo:lid#label`, `reading:r3` or `items.lid.part`.
fn place(text: &str, copy: usize, known: &BTreeSet<String>) -> String {
    let Some(start) = text.find([':', '.']).map(|at| at + 1) else {
        return text.to_string();
    };
    let rest = &text[start..];
    let end = rest.find(['#', '.']).unwrap_or(rest.len());
    if known.contains(&rest[..end]) {
        format!("{}{}-{copy}{}", &text[..start], &rest[..end], &rest[end..])
    } else {
        text.to_string()
    }
}
