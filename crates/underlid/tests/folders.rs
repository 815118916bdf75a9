//! Output goes only where nothing of the user's is.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use std::fs;
use std::path::Path;
use support::{code, demo, said, told, underlid};
use tempfile::TempDir;

#[track_caller]
fn refused(arguments: &[&str], at: &Path, words: &str) {
    let output = underlid(arguments, at);
    assert_eq!(code(&output), 3, "{arguments:?}: {}", said(&output));
    let told = told(&output);
    assert!(told.contains(words) && told.contains("try:"), "{told}");
}

#[test]
fn pictures_do_not_replace_photographs() {
    let at = TempDir::new().unwrap();
    let folder = demo(at.path(), &["bench-lamp.jpg"]);
    // An original with the name that the picture of another photograph would have.
    let original = folder.join("photos/bench-lamp.png");
    fs::write(&original, "the original").unwrap();
    let mut photos: Vec<_> = fs::read_dir(folder.join("photos"))
        .unwrap()
        .map(|e| e.unwrap().path())
        .collect();
    photos.sort();
    let picture = ["picture", "lamp", "--photo", "bench-lamp", "--into"];
    for into in [
        "lamp/photos",
        "lamp/photos/drawn",
        "lamp/logs",
        "lamp/catalogue/x",
    ] {
        refused(
            &[&picture[..], &[into]].concat(),
            at.path(),
            "a dossier keeps",
        );
    }
    let measure = [
        "measure",
        "lamp",
        "--photo",
        "bench-lamp",
        "--what",
        "diameter",
        "--at",
        "1550,403 1295,666 1027,404 1283,142",
        "--pictures",
        "lamp/photos",
    ];
    refused(&measure, at.path(), "a dossier keeps");
    assert_eq!(fs::read_to_string(&original).unwrap(), "the original");
    let mut after: Vec<_> = fs::read_dir(folder.join("photos"))
        .unwrap()
        .map(|e| e.unwrap().path())
        .collect();
    after.sort();
    assert_eq!(photos, after);
    // A folder of photographs that belongs to no dossier yet.
    fs::create_dir(at.path().join("camera")).unwrap();
    for name in ["bench-lamp.png", "bench-lamp.svg"] {
        fs::write(at.path().join("camera").join(name), "the original").unwrap();
    }
    refused(
        &[&picture[..], &["camera"]].concat(),
        at.path(),
        "already holds 'bench-lamp.",
    );
    for name in ["bench-lamp.png", "bench-lamp.svg"] {
        let text = fs::read_to_string(at.path().join("camera").join(name)).unwrap();
        assert_eq!(text, "the original");
    }
    // What was drawn here may be drawn again.
    for _ in 0..2 {
        let output = underlid(&[&picture[..], &["drawn"]].concat(), at.path());
        assert_eq!(code(&output), 0, "{}", told(&output));
    }
}

#[test]
fn a_folder_called_like_a_report_is_not_removed() {
    let at = TempDir::new().unwrap();
    assert_eq!(code(&underlid(&["new", "mine"], at.path())), 0);
    let work = at.path().join("mine/report/report.html");
    fs::create_dir_all(&work).unwrap();
    fs::write(work.join("chapter.txt"), "years of work").unwrap();
    refused(&["publish", "mine"], at.path(), "report.html");
    assert_eq!(
        fs::read_to_string(work.join("chapter.txt")).unwrap(),
        "years of work"
    );
}

#[test]
fn a_report_of_an_earlier_version_is_replaced_and_notes_beside_it_are_not() {
    let at = TempDir::new().unwrap();
    assert_eq!(code(&underlid(&["new", "mine"], at.path())), 0);
    assert_eq!(code(&underlid(&["publish", "mine"], at.path())), 0);
    let report = at.path().join("mine/report");
    // Earlier versions wrote no marker and fewer files.
    for later in [
        ".underlid-output",
        "working.pdf",
        "sheet.html",
        "sheet.pdf",
        "article.md",
        "link.jpg",
    ] {
        fs::remove_file(report.join(later)).unwrap();
    }
    fs::write(report.join("report.html"), "earlier").unwrap();
    fs::write(report.join("notes.txt"), "mine").unwrap();
    refused(&["publish", "mine"], at.path(), "");
    assert_eq!(
        fs::read_to_string(report.join("notes.txt")).unwrap(),
        "mine"
    );
    fs::remove_file(report.join("notes.txt")).unwrap();
    assert_eq!(code(&underlid(&["publish", "mine"], at.path())), 0);
    assert_ne!(
        fs::read_to_string(report.join("report.html")).unwrap(),
        "earlier"
    );
}

#[test]
fn the_demo_run_again_keeps_and_publishes_edits() {
    let at = TempDir::new().unwrap();
    // As a first run leaves it, but for the photographs, which take their time.
    fs::create_dir(at.path().join("out")).unwrap();
    let folder = demo(&at.path().join("out"), &[]);
    fs::rename(folder, at.path().join("out/dossier")).unwrap();
    let text = at.path().join("out/dossier/dossier.toml");
    let edited = fs::read_to_string(&text).unwrap();
    let name = edited.lines().find(|l| l.starts_with("name = ")).unwrap();
    let edited = edited.replacen(name, "name = \"Lamp as I see it\"", 1);
    fs::write(&text, &edited).unwrap();
    fs::write(at.path().join("out/dossier/photos/mine.jpg"), "mine").unwrap();
    let second = underlid(&["demo", "--into", "out"], at.path());
    assert_eq!(code(&second), 0, "{}", told(&second));
    assert!(
        fs::read_to_string(&text).unwrap() == edited,
        "edits are gone"
    );
    assert!(at.path().join("out/dossier/photos/mine.jpg").is_file());
    assert!(
        said(&second).contains("with your edits"),
        "{}",
        said(&second)
    );
    let html = fs::read_to_string(at.path().join("out/report/report.html")).unwrap();
    assert!(html.contains("Lamp as I see it"));
}

#[test]
fn the_demo_leaves_a_folder_of_another_kind_alone() {
    let at = TempDir::new().unwrap();
    fs::create_dir_all(at.path().join("out/dossier")).unwrap();
    fs::write(at.path().join("out/dossier/thesis.txt"), "years").unwrap();
    refused(&["demo", "--into", "out"], at.path(), "not empty");
    assert!(!at.path().join("out/report").exists());
}
