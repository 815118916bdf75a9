//! Checks that need the inside of the crate: the grammar agrees with the types, the schema and the
//! page agree with the grammar, the starting text is clean.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "a test reads its cases from the disk"
)]

mod edits;
mod keys;
mod new_key;

use crate::{AnyFile, read_text, schema, starter};
use std::collections::BTreeSet;

#[test]
fn the_starting_text_checks_clean_without_photos() {
    let nothing = |_: &str| false;
    let dossier = read_text(&starter(), "dossier.toml", &nothing).unwrap();
    assert_eq!(dossier.items.len(), 1);
    assert_eq!(dossier.items[0].id, "product");
}

/// With its examples turned on, the starting text is a dossier too.
#[test]
fn the_examples_of_the_starting_text_check_clean() {
    let examples: Vec<String> = starter()
        .lines()
        .map(|line| match line.strip_prefix("# ") {
            Some(rest) if rest.starts_with('[') || is_assignment(rest) => rest.to_string(),
            _ => line.to_string(),
        })
        .collect();
    let dossier =
        read_text(&examples.join("\n"), "dossier.toml", &AnyFile).unwrap_or_else(|p| panic!("{p}"));
    assert_eq!(dossier.claims.len(), 2);
    assert_eq!(dossier.steps.len(), 2);
    assert_eq!(dossier.photos[0].regions.len(), 1);
}

fn is_assignment(line: &str) -> bool {
    line.split_once(" = ")
        .is_some_and(|(key, _)| key.chars().all(|c| c.is_ascii_lowercase() || c == '-'))
}

#[test]
fn the_starting_text_shows_every_table() {
    let text = starter();
    for header in headers(&crate::grammar::ROOT) {
        assert!(
            text.contains(&header),
            "the starting text does not show {header}"
        );
    }
}

fn headers(table: &'static crate::grammar::Table) -> Vec<String> {
    use crate::grammar::Kind;
    let mut all = Vec::new();
    for key in table.keys {
        match &key.kind {
            Kind::Table(inner) => {
                all.push(format!("[{}]", inner.name));
                all.extend(headers(inner));
            }
            Kind::Tables(inner) => {
                all.push(format!("[[{}]]", inner.name));
                all.extend(headers(inner));
            }
            Kind::Inline(_) => all.push(format!("{} = {{", key.name)),
            Kind::Named(names) if !names.inline => {
                all.push(format!("[{}.{}]", table.name, key.name))
            }
            _ => {}
        }
    }
    all
}

#[test]
fn every_reference_of_the_schema_resolves() {
    let schema = schema();
    let tables: BTreeSet<String> = schema["$defs"]
        .as_object()
        .unwrap()
        .keys()
        .cloned()
        .collect();
    let text = schema.to_string();
    let refs: Vec<&str> = text
        .split("\"#/$defs/")
        .skip(1)
        .map(|rest| rest.split('"').next().unwrap())
        .collect();
    assert!(refs.len() >= 20);
    for pointer in refs {
        assert!(tables.contains(pointer), "{pointer} is not defined");
    }
    assert_eq!(
        schema["$schema"],
        "https://json-schema.org/draft/2020-12/schema"
    );
    assert_eq!(schema["additionalProperties"], false);
}

/// Rewrite the page with `UPDATE=1 cargo test -p underlid-record --lib docs`.
#[test]
fn the_docs_page_lists_every_key() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/dossier.md");
    let page = std::fs::read_to_string(path).unwrap();
    let marker = "-->\n";
    let head = &page[..page.rfind(marker).unwrap() + marker.len()];
    let wanted = format!("{head}\n{}", crate::page::reference());
    let wanted = format!("{}\n", wanted.trim_end());
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(path, &wanted).unwrap();
    }
    let found = std::fs::read_to_string(path).unwrap();
    assert!(
        found == wanted,
        "docs/dossier.md is out of date; run with UPDATE=1"
    );
}
