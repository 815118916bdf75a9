//! From a dossier to text: keys in the order of the grammar, short tables in line, lists of tables
//! under their own headers.

use crate::Dossier;
use crate::grammar::{Key, Kind, ROOT, Table};
use serde_json::{Map, Value as Json};
use std::fmt::Write as _;

/// Longest line written before a list is broken over several.
const WIDTH: usize = 96;

impl Dossier {
    /// Writes the dossier as text. Reading it again gives the same dossier.
    pub fn to_toml(&self) -> String {
        let mut out = String::new();
        if let Ok(Json::Object(values)) = serde_json::to_value(self) {
            table(&mut out, &ROOT, &values);
        }
        out
    }
}

/// Writes one entry of a top-level list of tables.
pub(crate) fn entry<T: serde::Serialize>(list: &str, value: &T) -> String {
    let mut out = String::new();
    if let (Some(Kind::Tables(inner)), Ok(Json::Object(values))) =
        (ROOT.key(list).map(|k| &k.kind), serde_json::to_value(value))
    {
        let _ = writeln!(out, "\n[[{}]]", inner.name);
        table(&mut out, inner, &values);
    }
    out
}

/// Writes one entry of a list inside a top-level list of tables, in line.
pub(crate) fn inline_entry<T: serde::Serialize>(list: &str, inner: &str, value: &T) -> String {
    let kind = match ROOT.key(list).map(|k| &k.kind) {
        Some(Kind::Tables(table)) => table.key(inner).map(|k| &k.kind),
        _ => None,
    };
    match (kind, serde_json::to_value(value)) {
        (Some(Kind::Tables(table)), Ok(values)) => inline(&Kind::Inline(table), &values, 0),
        _ => String::new(),
    }
}

/// Writes the keys of a table, then the tables below it.
fn table(out: &mut String, grammar: &Table, values: &Map<String, Json>) {
    let present = |key: &&Key| values.contains_key(key.name);
    for key in grammar.keys.iter().filter(present) {
        let value = &values[key.name];
        match &key.kind {
            Kind::Table(_) | Kind::Tables(_) => {}
            Kind::Named(names) if !names.inline => {}
            kind => {
                let _ = writeln!(
                    out,
                    "{} = {}",
                    key.name,
                    inline(kind, value, key.name.len() + 3)
                );
            }
        }
    }
    for key in grammar.keys.iter().filter(present) {
        let value = &values[key.name];
        match (&key.kind, value) {
            (Kind::Table(inner), Json::Object(values)) => {
                let _ = writeln!(out, "\n[{}]", inner.name);
                table(out, inner, values);
            }
            (Kind::Tables(inner), Json::Array(entries)) => {
                for entry in entries {
                    if let Json::Object(values) = entry {
                        let _ = writeln!(out, "\n[[{}]]", inner.name);
                        table(out, inner, values);
                    }
                }
            }
            (Kind::Named(names), Json::Object(values)) if !names.inline => {
                let _ = writeln!(out, "\n[{}.{}]", grammar.name, key.name);
                for (name, value) in values {
                    let _ = writeln!(out, "{} = {}", bare_or_quoted(name), scalar(value));
                }
            }
            _ => {}
        }
    }
}

/// Writes a value that stands behind a key.
fn inline(kind: &Kind, value: &Json, indent: usize) -> String {
    match (kind, value) {
        (Kind::Date, Json::String(date)) => date.clone(),
        (Kind::List(element) | Kind::Row(element, _), Json::Array(values)) => {
            let parts: Vec<String> = values.iter().map(|v| inline(element, v, indent)).collect();
            let line = format!("[{}]", parts.join(", "));
            if line.chars().count() + indent <= WIDTH || parts.len() < 2 {
                line
            } else {
                format!("[\n    {},\n]", parts.join(",\n    "))
            }
        }
        (Kind::Inline(table), Json::Object(values)) => {
            let parts: Vec<String> = table
                .keys
                .iter()
                .filter_map(|k| {
                    Some(format!(
                        "{} = {}",
                        k.name,
                        inline(&k.kind, values.get(k.name)?, 0)
                    ))
                })
                .collect();
            braces(&parts)
        }
        (Kind::Named(_), Json::Object(values)) => {
            let parts: Vec<String> = values
                .iter()
                .map(|(k, v)| format!("{} = {}", bare_or_quoted(k), scalar(v)))
                .collect();
            braces(&parts)
        }
        (_, value) => scalar(value),
    }
}

fn braces(parts: &[String]) -> String {
    if parts.is_empty() {
        "{}".into()
    } else {
        format!("{{ {} }}", parts.join(", "))
    }
}

fn scalar(value: &Json) -> String {
    match value {
        Json::String(text) => toml_edit::Value::from(text.as_str()).to_string(),
        Json::Number(n) => match (n.as_i64(), n.as_f64()) {
            (Some(whole), _) => whole.to_string(),
            (None, Some(x)) => toml_edit::Value::from(x).to_string(),
            (None, None) => n.to_string(),
        },
        other => other.to_string(),
    }
}

fn bare_or_quoted(key: &str) -> String {
    toml_edit::Key::new(key).display_repr().into_owned()
}
