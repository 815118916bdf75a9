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

/// Writes one entry of a list of tables under its own header.
pub(crate) fn entry(grammar: &Table, value: &Json) -> String {
    let mut out = format!("[[{}]]\n", grammar.name);
    if let Json::Object(values) = value {
        table(&mut out, grammar, values);
    }
    out
}

/// Writes one entry of a list of tables in line.
pub(crate) fn inline_table(grammar: &'static Table, value: &Json) -> String {
    inline(&Kind::Inline(grammar), value, 0)
}

/// Writes a table, or quantities by name, under the header `path`.
pub(crate) fn headed(path: &str, kind: &Kind, value: &Json) -> String {
    let mut out = format!("[{path}]\n");
    match (kind, value) {
        (Kind::Table(grammar), Json::Object(values)) => table(&mut out, grammar, values),
        (Kind::Named(_), Json::Object(values)) => {
            for (name, value) in values {
                let _ = writeln!(out, "{} = {}", bare_or_quoted(name), scalar(value));
            }
        }
        _ => {}
    }
    out
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
pub(crate) fn inline(kind: &Kind, value: &Json, indent: usize) -> String {
    match (kind, value) {
        (Kind::Date | Kind::Moment, Json::String(date)) => date.clone(),
        (Kind::List(element) | Kind::Row(element, _), Json::Array(values)) => {
            let parts: Vec<String> = values.iter().map(|v| inline(element, v, indent)).collect();
            let line = format!("[{}]", parts.join(", "));
            if line.chars().count() + indent <= WIDTH || parts.len() < 2 {
                line
            } else {
                format!("[\n    {},\n]", parts.join(",\n    "))
            }
        }
        (Kind::Tables(table), Json::Array(entries)) => {
            let parts: Vec<String> = entries.iter().map(|e| inline_table(table, e)).collect();
            match &parts[..] {
                [_, _, ..] => format!("[\n    {},\n]", parts.join(",\n    ")),
                _ => format!("[{}]", parts.join("")),
            }
        }
        (Kind::Inline(table) | Kind::Table(table), Json::Object(values)) => {
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

/// Writes a single value.
pub(crate) fn scalar(value: &Json) -> String {
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

/// Writes a key.
pub(crate) fn bare_or_quoted(key: &str) -> String {
    toml_edit::Key::new(key).display_repr().into_owned()
}
