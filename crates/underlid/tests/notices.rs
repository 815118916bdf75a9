//! What the program's notices must name: every crate of `Cargo.lock`, every typeface, every table of others.
//!
//! `UPDATE=1 cargo test -p underlid --test notices` writes `crates/underlid/notices.txt` anew, from the texts
//! that each crate brings with it. Comparing needs no network and nothing but this repository.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use support::{code, said, underlid};

const NOTICES: &str = include_str!("../notices.txt");

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// Name and version of everything in `Cargo.lock` that comes from elsewhere.
fn locked() -> BTreeSet<String> {
    let text = fs::read_to_string(root().join("Cargo.lock")).unwrap();
    let lock: toml_edit::DocumentMut = text.parse().unwrap();
    let packages = lock["package"].as_array_of_tables().unwrap();
    let foreign = packages.iter().filter(|p| p.contains_key("source"));
    foreign
        .map(|p| {
            let text = |key: &str| p[key].as_str().unwrap().to_string();
            format!("{} {}", text("name"), text("version"))
        })
        .collect()
}

/// Typefaces that lie in this repository, by the folder they lie in.
fn folders_of_typefaces(from: &Path, found: &mut BTreeSet<PathBuf>) {
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            folders_of_typefaces(&path, found);
        } else if let Some(kind) = path.extension().and_then(|e| e.to_str())
            && ["otf", "ttf", "woff2", "pfb"].contains(&kind)
        {
            found.insert(path.parent().unwrap().to_path_buf());
        }
    }
}

#[test]
fn every_locked_crate_is_named_with_its_licence() {
    if std::env::var_os("UPDATE").is_some() {
        fs::write(
            Path::new(env!("CARGO_MANIFEST_DIR")).join("notices.txt"),
            written(),
        )
        .unwrap();
        return;
    }
    let list = NOTICES.split("\nCrates\n").nth(1).unwrap();
    let list = list.trim_start().split("\n\n").next().unwrap();
    let named: BTreeMap<String, &str> = list
        .lines()
        .map(|line| {
            let (crate_, licence) = line.trim().split_once(": ").unwrap();
            (crate_.to_string(), licence)
        })
        .collect();
    let locked = locked();
    let missing: Vec<_> = locked.iter().filter(|c| !named.contains_key(*c)).collect();
    let gone: Vec<_> = named.keys().filter(|c| !locked.contains(*c)).collect();
    assert!(
        missing.is_empty() && gone.is_empty(),
        "missing: {missing:?}; no longer used: {gone:?}; \
         run UPDATE=1 cargo test -p underlid --test notices"
    );
    assert!(named.values().all(|licence| licence.len() > 2));
}

/// Source: SIL Open Font License 1.1, condition 2: each copy holds the copyright notice and the licence.
#[test]
fn every_typeface_has_its_licence_in_the_notices() {
    let mut folders = BTreeSet::new();
    folders_of_typefaces(&root().join("crates"), &mut folders);
    assert!(!folders.is_empty());
    for folder in folders {
        let texts = licences(&folder);
        assert!(
            !texts.is_empty(),
            "{} holds typefaces and no licence",
            folder.display()
        );
        for text in texts {
            assert!(NOTICES.contains(&text), "{}", folder.display());
        }
    }
    for face in ["Inter", "Libertinus Serif", "DejaVu", "NewComputerModern"] {
        assert!(NOTICES.contains(face), "{face}");
    }
    assert!(NOTICES.contains("SIL OPEN FONT LICENSE Version 1.1"));
}

#[test]
fn the_command_prints_them() {
    let out = underlid(&["notices"], &root());
    assert_eq!(code(&out), 0);
    let text = said(&out);
    for words in [
        "Apache License",
        "CC BY-SA 4.0",
        "Bitstream",
        "typst 0.15.1: Apache-2.0",
    ] {
        assert!(text.contains(words), "{words}");
    }
    assert!(text.lines().count() > 2_000);
}

/// Texts of the licences that lie beside typefaces.
fn licences(folder: &Path) -> Vec<String> {
    let files = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path());
    let mut files: Vec<PathBuf> = files
        .filter(|path| {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            name.starts_with("OFL") || name.starts_with("LICEN")
        })
        .collect();
    files.sort();
    let read = |path: &PathBuf| tidy(&fs::read_to_string(path).unwrap());
    files.iter().map(read).collect()
}

/// Lines without blanks at their ends, and at most one empty line in a row.
fn tidy(text: &str) -> String {
    let mut out = String::new();
    let mut empty = 0;
    for line in text.lines().map(str::trim_end) {
        empty = if line.is_empty() { empty + 1 } else { 0 };
        if empty < 2 {
            out += &line.replace(['\t', '\u{c}'], "    ");
            out.push('\n');
        }
    }
    out.trim_matches('\n').to_string()
}

struct Crate {
    name: String,
    licence: String,
    authors: String,
    folder: PathBuf,
}

fn crates() -> Vec<Crate> {
    let out = Command::new(env!("CARGO"))
        .args(["metadata", "--format-version", "1", "--locked"])
        .current_dir(root())
        .output()
        .unwrap();
    assert!(
        out.status.success(),
        "{}",
        String::from_utf8_lossy(&out.stderr)
    );
    let metadata: serde_json::Value = serde_json::from_slice(&out.stdout).unwrap();
    let packages = metadata["packages"].as_array().unwrap().iter();
    let mut all: Vec<Crate> = packages
        .filter(|p| !p["source"].is_null())
        .map(|p| {
            let text = |key: &str| p[key].as_str().unwrap_or_default().to_string();
            let authors = p["authors"].as_array().unwrap().iter();
            let authors: Vec<&str> = authors.filter_map(|a| a.as_str()).collect();
            Crate {
                name: format!("{} {}", text("name"), text("version")),
                licence: text("license"),
                authors: authors.join(", "),
                folder: Path::new(&text("manifest_path"))
                    .parent()
                    .unwrap()
                    .to_path_buf(),
            }
        })
        .collect();
    all.sort_by(|a, b| a.name.cmp(&b.name));
    all
}

/// Texts that a crate brings with it; those of a licence that is only offered beside Apache-2.0 are left out.
fn texts(of: &Crate) -> Vec<String> {
    let chosen_apache = of.licence.contains("Apache-2.0") && !of.licence.contains("AND");
    let mut files: Vec<PathBuf> = fs::read_dir(&of.folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| {
            let name = path.file_name().unwrap().to_string_lossy().to_uppercase();
            let kinds = ["LICEN", "COPYING", "COPYRIGHT", "UNLICENSE", "NOTICE"];
            let wanted = if chosen_apache {
                &kinds[4..]
            } else {
                &kinds[..]
            };
            path.is_file() && wanted.iter().any(|kind| name.starts_with(kind))
        })
        .collect();
    files.sort();
    let read = |path: &PathBuf| tidy(&String::from_utf8_lossy(&fs::read(path).unwrap()));
    files.iter().map(read).collect()
}

fn written() -> String {
    let crates = crates();
    let read = |path: &str| tidy(&fs::read_to_string(root().join(path)).unwrap());
    let (apache, mit) = (read("LICENSE-APACHE"), read("LICENSE-MIT"));
    let mut out = format!(
        "Notices of Underlid\n\nUnderlid is under the MIT licence or the Apache License 2.0, as you choose:\n\n\
         {mit}\n\n{apache}\n\nTables of others\n\n{}\n\n{}\n\nTypefaces\n\n",
        read("crates/imaging/src/geometry/data/README.md"),
        read("crates/captions/data/README.md")
    );
    let mut folders = BTreeSet::new();
    folders_of_typefaces(&root().join("crates"), &mut folders);
    for folder in folders {
        let about = fs::read_to_string(folder.join("README.md")).unwrap_or_default();
        out += &format!("{}\n\n{}\n\n", tidy(&about), licences(&folder).join("\n\n"));
    }
    out += "Those that the typesetting library brings are named in the notice of typst-assets below.\n\nCrates\n\n";
    let mut by_text: BTreeMap<String, Vec<&str>> = BTreeMap::new();
    let mut list = String::new();
    for one in &crates {
        list += &format!("{}: {}\n", one.name, one.licence);
        let mut texts = texts(one);
        if texts.is_empty() && !one.licence.contains("Apache-2.0") {
            let rest = mit
                .split_once("\n\n")
                .unwrap()
                .1
                .split_once("\n\n")
                .unwrap()
                .1;
            texts.push(format!(
                "{}, as stated; no text comes with it\n\nCopyright (c) {}\n\n{rest}",
                one.licence, one.authors
            ));
        }
        for text in texts {
            by_text.entry(text).or_default().push(&one.name);
        }
    }
    out += &list;
    out += "\nWhere a crate offers Apache-2.0 among others, it is used under that licence, whose text stands above.\n";
    for (text, names) in by_text {
        out += &format!("\n{}\n{}\n\n{text}\n", "-".repeat(72), names.join(", "));
    }
    out
}
