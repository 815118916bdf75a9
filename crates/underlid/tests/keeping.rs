//! `underlid library`: answers, exit codes, and nothing lost on the way in and out.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use serde_json::Value as Json;
use std::fs;
use std::path::Path;
use support::{code, demo, said, told, underlid};
use tempfile::TempDir;

const DOSSIER: &[&str] = &["library"];

fn ok(arguments: &[&str], at: &Path) -> String {
    let output = underlid(&[DOSSIER, arguments].concat(), at);
    assert_eq!(code(&output), 0, "{arguments:?}: {}", told(&output));
    said(&output)
}

fn answered(arguments: &[&str], at: &Path) -> Json {
    let text = ok(&[arguments, &["--format", "json"]].concat(), at);
    serde_json::from_str(&text).unwrap()
}

fn failed(arguments: &[&str], at: &Path) -> (i32, String) {
    let output = underlid(&[DOSSIER, arguments].concat(), at);
    (code(&output), told(&output) + &said(&output))
}

#[test]
fn a_dossier_goes_in_and_comes_out_the_same() {
    let at = TempDir::new().unwrap();
    let folder = demo(at.path(), &[]);
    let text = fs::read(folder.join("dossier.toml")).unwrap();
    let imported = answered(&["import", "all", "lamp", "--by", "Mira"], at.path());
    let id = imported["imported"][0]["id"].as_str().unwrap();
    let listed = answered(&["list", "all"], at.path());
    assert_eq!(listed["dossiers"][0]["id"], id);
    assert!(ok(&["list", "all"], at.path()).contains(id));
    let history = answered(&["history", "all", id], at.path());
    assert_eq!(history["revisions"][0]["by"], "Mira");
    let name = listed["dossiers"][0]["name"].as_str().unwrap();
    for into in ["out", "out.zip"] {
        ok(&["export", "all", &name.to_uppercase(), into], at.path());
        ok(&["import", "other", into], at.path());
    }
    assert_eq!(fs::read(at.path().join("out/dossier.toml")).unwrap(), text);
    let photos = |folder: &Path| fs::read_dir(folder.join("photos")).unwrap().count();
    assert_eq!(photos(&at.path().join("out")), photos(&folder));
    let (exit, said) = failed(&["export", "all", id, "out"], at.path());
    assert_eq!(exit, 3, "{said}");
    // Two of one name are told apart by their ids alone.
    let (exit, said) = failed(&["history", "other", name], at.path());
    assert_eq!(exit, 3, "{said}");
    assert!(said.contains("several dossiers"), "{said}");
}

#[test]
fn withdrawn_dossiers_are_listed_apart_and_come_back() {
    let at = TempDir::new().unwrap();
    demo(at.path(), &[]);
    let imported = answered(&["import", "all", "lamp"], at.path());
    let id = imported["imported"][0]["id"].as_str().unwrap();
    let count = |arguments: &[&str]| {
        answered(arguments, at.path())["dossiers"]
            .as_array()
            .unwrap()
            .len()
    };
    ok(&["withdraw", "all", id], at.path());
    assert_eq!(
        (
            count(&["list", "all"]),
            count(&["list", "all", "--withdrawn"])
        ),
        (0, 1)
    );
    ok(&["withdraw", "all", id, "--back"], at.path());
    assert_eq!(
        (
            count(&["list", "all"]),
            count(&["list", "all", "--withdrawn"])
        ),
        (1, 0)
    );
}

#[test]
fn damage_is_found_and_a_backup_is_whole() {
    let at = TempDir::new().unwrap();
    demo(at.path(), &[]);
    ok(&["import", "all", "lamp"], at.path());
    assert!(ok(&["verify", "all"], at.path()).contains("The library is sound."));
    assert!(ok(&["backup", "all", "copy"], at.path()).contains("the copy is sound"));
    assert_eq!(answered(&["verify", "copy"], at.path())["sound"], true);
    let (exit, said) = failed(&["backup", "all", "copy"], at.path());
    assert_eq!(exit, 3, "{said}");
    let objects = at.path().join("all/objects");
    let folder = fs::read_dir(objects)
        .unwrap()
        .next()
        .unwrap()
        .unwrap()
        .path();
    fs::write(
        fs::read_dir(folder)
            .unwrap()
            .next()
            .unwrap()
            .unwrap()
            .path(),
        "other",
    )
    .unwrap();
    let (exit, said) = failed(&["verify", "all"], at.path());
    assert_eq!(exit, 1, "{said}");
    assert!(said.contains("damaged"), "{said}");
    assert_eq!(failed(&["backup", "all", "another"], at.path()).0, 3);
    assert!(!at.path().join("another").exists());
}

/// The id of the only dossier.
fn ok_id(at: &Path) -> String {
    let listed = answered(&["list", "all"], at);
    listed["dossiers"][0]["id"].as_str().unwrap().to_string()
}

#[test]
fn the_folder_of_a_dossier_is_a_library_of_one() {
    let at = TempDir::new().unwrap();
    let folder = demo(at.path(), &[]);
    let listed = answered(&["list", "lamp"], at.path());
    let name = listed["dossiers"][0]["name"].as_str().unwrap();
    let text = fs::read_to_string(folder.join("dossier.toml")).unwrap();
    fs::write(folder.join("dossier.toml"), format!("{text}\n# A note.\n")).unwrap();
    let history = ok(&["history", "lamp", name], at.path());
    assert_eq!(history.matches("edited outside").count(), 2, "{history}");
    assert!(ok(&["verify", "lamp"], at.path()).contains("The library is sound."));
    assert!(ok(&["backup", "lamp", "copy"], at.path()).contains("the copy is sound"));
}

#[test]
fn what_is_not_there_is_told_with_a_remedy() {
    let at = TempDir::new().unwrap();
    demo(at.path(), &[]);
    ok(&["import", "all", "lamp"], at.path());
    ok(&["export", "all", &ok_id(at.path()), "out.zip"], at.path());
    for (arguments, expected) in [
        (&["list", "none"][..], "holds no library"),
        (&["verify", "lamp/photos"], "holds no library"),
        (&["import", "lamp", "out.zip"], "the folder of one dossier"),
        (
            &["import", "all", "none"],
            "there is no such file or folder",
        ),
        (
            &["import", "all", "lamp/dossier.toml"],
            "cannot be read as a zip archive",
        ),
        (
            &["history", "all", "nobody"],
            "there is no dossier “nobody”",
        ),
        (&["export", "all", "nobody", "out"], "there is no dossier"),
    ] {
        let (exit, said) = failed(arguments, at.path());
        assert_eq!(exit, 3, "{arguments:?}: {said}");
        assert!(said.contains(expected), "{arguments:?}: {said}");
        assert!(said.contains("try:"), "{arguments:?}: {said}");
    }
    assert!(!at.path().join("none").exists());
    fs::write(
        at.path().join("lamp/dossier.toml"),
        "format = 1\n[product]\n",
    )
    .unwrap();
    assert_eq!(failed(&["import", "all", "lamp"], at.path()).0, 1);
}
