//! The case: what a method may import, that an examination can be stopped, that the registry is whole.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "a test reads its cases from the disk"
)]
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use methods::{Cancelled, Case, Known, METHODS, Progress};
use record::Dossier;
use std::cell::Cell;
use std::collections::BTreeSet;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

fn lamp() -> Dossier {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp");
    store::open(&folder).unwrap()
}

/// What a method may import from its crate: the case, and the ground that methods share.
const GROUND: [&str; 32] = [
    "assessment",
    "assumed",
    "bench",
    "case",
    "cells",
    "chart",
    "chemistry",
    "deadline",
    "decimal",
    "detail",
    "distinct",
    "energy",
    "film",
    "finding",
    "grounds",
    "heard",
    "id",
    "inputs",
    "judgement",
    "moved",
    "network",
    "others",
    "photogrammetry",
    "precedence",
    "presence",
    "recorded",
    "registry",
    "rows_of",
    "side",
    "sizes",
    "table",
    "word",
    "words",
];

/// Results that the case holds although a method's folder makes them: only `case` may name these.
const MADE_BY_METHODS: [(&str, &str); 2] = [("case", "mass"), ("case", "claims")];

fn sources(path: &Path) -> Vec<PathBuf> {
    if path.is_file() {
        return vec![path.to_path_buf()];
    }
    let entries = std::fs::read_dir(path).unwrap();
    entries.flat_map(|e| sources(&e.unwrap().path())).collect()
}

/// The modules of this crate that a file names, in imports and in paths.
fn named(path: &Path) -> BTreeSet<String> {
    let text = std::fs::read_to_string(path).unwrap();
    let mut found = BTreeSet::new();
    for rest in text.split("crate::").skip(1) {
        // A list `{a, b::c, d::{e, f}}`, or a single name.
        let list = match rest.strip_prefix('{') {
            Some(list) => top_level(list),
            None => vec![rest.to_string()],
        };
        for entry in list {
            let word = |c: char| c.is_alphanumeric() || c == '_';
            let name: String = entry.trim().chars().take_while(|c| word(*c)).collect();
            if name.starts_with(|c: char| c.is_lowercase()) {
                found.insert(name);
            }
        }
    }
    found
}

fn top_level(list: &str) -> Vec<String> {
    let (mut depth, mut entries, mut now) = (0, Vec::new(), String::new());
    for c in list.chars() {
        match c {
            '}' if depth == 0 => break,
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => entries.push(std::mem::take(&mut now)),
            _ if depth == 0 => now.push(c),
            _ => {}
        }
    }
    entries.push(now);
    entries
}

#[test]
fn no_method_looks_into_another() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let methods: BTreeSet<&str> = METHODS.iter().map(|m| m.name).collect();
    let mut seen = 0;
    for file in sources(&source) {
        let inside = file.strip_prefix(&source).unwrap();
        let top = inside.components().next().unwrap();
        let module = Path::new(top.as_os_str()).with_extension("");
        let module = module.to_str().unwrap();
        if ["lib", "registry"].contains(&module) {
            continue;
        }
        for used in named(&file) {
            if used == module {
                continue;
            }
            let shown = format!("{} names crate::{used}", inside.display());
            if methods.contains(module) {
                assert!(GROUND.contains(&used.as_str()), "{shown}");
                seen += 1;
            } else if methods.contains(used.as_str()) {
                let allowed = MADE_BY_METHODS.contains(&(module, used.as_str()));
                assert!(allowed, "{shown}");
            }
        }
    }
    assert!(seen > 50, "only {seen} imports were found");
}

#[test]
fn every_module_is_a_method_or_ground() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let methods = METHODS.iter().map(|m| m.name);
    let known: BTreeSet<String> = methods
        .chain(GROUND)
        .chain(["lib"])
        .map(String::from)
        .collect();
    let entries = std::fs::read_dir(source).unwrap();
    let found: BTreeSet<String> = entries
        .map(|e| e.unwrap().path().with_extension(""))
        .map(|p| p.file_name().unwrap().to_string_lossy().into_owned())
        .collect();
    assert_eq!(found, known);
}

#[test]
fn the_registry_is_in_the_order_of_the_methods() {
    let names: BTreeSet<&str> = METHODS.iter().map(|m| m.name).collect();
    assert_eq!(names.len(), METHODS.len());
    for (at, entry) in METHODS.iter().enumerate() {
        assert_eq!(entry.method as usize, at);
        assert_eq!(entry.method.entry().name, entry.name);
        assert!(entry.question.ends_with('?'), "{}", entry.question);
    }
}

/// Stopped at each of its questions in turn, an examination answers with nothing but that it was stopped,
/// and asks no further.
#[test]
fn an_examination_can_be_stopped_at_every_question() {
    let (dossier, known) = (lamp(), Known::default());
    let asked = Cell::new(0_usize);
    let counts = |_| {
        asked.set(asked.get() + 1);
        ControlFlow::Continue(())
    };
    let whole = methods::examine(&dossier, &known, &counts).unwrap();
    let all = asked.get();
    assert!(all > dossier.items.len(), "{all} questions");
    assert!(!whole.findings.is_empty());
    for stop in [1, 2, all / 3, all / 2, all] {
        asked.set(0);
        let stops = |_| {
            asked.set(asked.get() + 1);
            if asked.get() >= stop {
                ControlFlow::Break(())
            } else {
                ControlFlow::Continue(())
            }
        };
        assert_eq!(methods::examine(&dossier, &known, &stops), Err(Cancelled));
        assert_eq!(asked.get(), stop);
    }
}

#[test]
fn every_method_can_be_stopped_inside() {
    let (dossier, known) = (lamp(), Known::default());
    for entry in METHODS {
        let stops = |at| match at {
            Progress::Works => ControlFlow::Break(()),
            Progress::Begins { .. } => ControlFlow::Continue(()),
        };
        let case = Case::watched(&dossier, &known, &stops);
        assert_eq!((entry.examine)(&case), Err(Cancelled), "{}", entry.name);
    }
}

/// The methods share their results: asked in any order they answer the same.
#[test]
fn the_order_of_the_methods_does_not_matter() {
    let (dossier, known) = (lamp(), Known::default());
    let goes_on = |_| ControlFlow::Continue(());
    let whole = methods::examine(&dossier, &known, &goes_on).unwrap();
    let case = Case::new(&dossier, &known);
    let mut turned: Vec<_> = METHODS.iter().rev().collect();
    turned.rotate_left(3);
    for entry in turned {
        let own: Vec<_> = whole
            .findings
            .iter()
            .filter(|f| f.method() == entry.method)
            .collect();
        let again = (entry.examine)(&case).unwrap();
        assert_eq!(again.iter().collect::<Vec<_>>(), own, "{}", entry.name);
    }
}
