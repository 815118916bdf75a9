//! Broken dossiers, one fault each, and exactly what is said about each.
//!
//! `tests/broken/NAME/dossier.toml` is read with the files beside it; what is said has to be
//! `expected.txt`. Rewrite those with `UPDATE=1` and read the difference.

#![allow(
    clippy::unwrap_used,
    reason = "a test may stop where its ground is missing"
)]

use record::{Problems, read_text, text_of};
use std::fs;
use std::path::{Path, PathBuf};
use store::DossierFolder;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/broken")
}

fn said_about(folder: &Path) -> Result<record::Dossier, Problems> {
    let bytes = fs::read(folder.join("dossier.toml")).unwrap();
    let text = text_of(&bytes, "dossier.toml")?;
    read_text(&text, "dossier.toml", &DossierFolder::at(folder)?)
}

#[test]
fn the_dossier_they_were_made_from_is_good() {
    let text = fs::read_to_string(folder().join("good.toml")).unwrap();
    let nothing = |_: &str| false;
    let read = read_text(&text, "good.toml", &nothing);
    assert!(read.is_ok(), "{}", read.unwrap_err());
}

#[test]
fn every_broken_dossier_is_told_as_expected() {
    let mut names: Vec<PathBuf> = fs::read_dir(folder())
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.is_dir())
        .collect();
    names.sort();
    assert!(names.len() >= 40, "only {} broken dossiers", names.len());
    let mut wrong = Vec::new();
    for path in &names {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let said = match said_about(path) {
            Ok(_) => {
                wrong.push(format!("{name}: nothing is said to be wrong"));
                continue;
            }
            Err(problems) => {
                if problems.0.len() != 1 {
                    wrong.push(format!(
                        "{name}: {} problems instead of one:\n{problems}",
                        problems.0.len()
                    ));
                }
                format!("{problems}\n")
            }
        };
        let expected = path.join("expected.txt");
        if std::env::var_os("UPDATE").is_some() {
            fs::write(&expected, &said).unwrap();
        }
        if fs::read_to_string(&expected).unwrap_or_default() != said {
            wrong.push(format!("{name}: found\n{said}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// All faults at once: two broken texts in one still tell both.
#[test]
fn faults_do_not_hide_each_other() {
    let text = fs::read_to_string(folder().join("good.toml")).unwrap();
    let text = text
        .replace("capacity = \"620 mAh\"", "capasity = \"620 mAh\"")
        .replace(
            "parent = \"board\"\n\n[items.contact]",
            "parent = \"bord\"\n\n[items.contact]",
        )
        .replace("value = \"11.42 g\"", "value = \"-11.42 g\"")
        .replace("opened = 2026-03-01", "opened = 2026-02-01")
        .replace("undo = \"with-new-material\"", "undo = maybe");
    let nothing = |_: &str| false;
    let problems = read_text(&text, "dossier.toml", &nothing).unwrap_err();
    let told: Vec<&str> = problems.0.iter().map(|p| p.text.as_str()).collect();
    assert_eq!(problems.0.len(), 4, "{problems}");
    assert!(told.iter().any(|t| t.contains("2026-02-01")));
    let whole = text.replace("undo = maybe", "undo = \"maybe\"");
    let problems = read_text(&whole, "dossier.toml", &nothing).unwrap_err();
    assert_eq!(problems.0.len(), 5, "{problems}");
}
