//! What a film needs, published beside the report of the demonstration.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use app::{PublishOptions, Unwatched};
use std::collections::BTreeMap;
use std::fs;
use tempfile::TempDir;

/// A clip whose clock said 10:00:00 at 0:30; the film leaves out what lies between two cuts.
const FILM: &str = r#"
[[films]]
id = "main"
title = "Inside the lamp"

[[films.clips]]
name = "A1.mp4"
at = "0:30"
clock = 2026-10-05T10:00:00Z

[[films.cuts]]
clip = "A1.mp4"
from = "0:30"
to = "5:00"

[[films.cuts]]
clip = "A1.mp4"
from = "20:00"
to = "25:00"
"#;

fn published() -> (TempDir, BTreeMap<String, Vec<u8>>) {
    let at = TempDir::new().unwrap();
    let folder = app::write_demo(at.path(), &Unwatched).unwrap().folder;
    let text = folder.join("dossier.toml");
    let mut words = fs::read_to_string(&text).unwrap();
    for (step, clock) in [
        ("part-lamp", "10:00:10"),
        ("peel-foot", "10:01:00"),
        ("cradle-unscrew", "10:10:00"),
        ("lift-base", "10:21:00"),
    ] {
        let id = format!("[[steps]]\nid = \"{step}\"\n");
        assert!(words.contains(&id));
        words = words.replace(&id, &format!("{id}started = 2026-10-05T{clock}Z\n"));
    }
    fs::write(&text, words + FILM).unwrap();
    let options = PublishOptions {
        folder,
        into: Some(at.path().join("out")),
        film: true,
        ..PublishOptions::default()
    };
    let files = app::publish(&options, &Unwatched).unwrap().files;
    let film = files.into_iter().filter(|f| f.path.starts_with("film/"));
    let film = film.map(|f| (f.path["film/".len()..].to_string(), f.bytes));
    (at, film.collect())
}

#[test]
fn a_film_gets_script_chapters_shots_names_and_overlays() {
    let (_at, files) = published();
    let text = |name: &str| String::from_utf8(files[name].clone()).unwrap();

    // 10:00:10 is 0:40 of the clip and 0:10 of the film; what began at 10:10 was cut out.
    let read = captions::read(&files["chapters-main.vtt"], captions::Format::WebVtt).unwrap();
    let starts: Vec<u64> = read.cues.iter().map(|c| c.start_ms).collect();
    // The second cut begins at 10:19:30; the base was lifted at 10:21.
    assert_eq!(starts, [0, 10_000, 60_000, 270_000 + 90_000]);
    assert_eq!(read.cues.last().unwrap().end_ms, 570_000);
    assert_eq!(
        text("chapters-main.txt"),
        "0:00 Inside the lamp\n0:10 Take the lamp off the magnet of the cradle\n\
         1:00 Peel the rubber foot off from one corner\n\
         6:00 Release four clips along the rim and lift the base off\n"
    );
    let json: serde_json::Value = serde_json::from_slice(&files["chapters-main.json"]).unwrap();
    assert_eq!(json["version"], "1.2.0");
    assert_eq!(json["chapters"][3]["startTime"], 360.0);
    assert!(text("notes.txt").contains("cradle-unscrew: the film does not show it"));
    assert!(text("notes.txt").contains("Brysbaert"));

    let script = text("narration.md");
    assert!(
        script.contains("Said: This is the nivalay three by on drel camp"),
        "{script}"
    );
    let shots = text("shots.csv");
    assert!(shots.starts_with("number,step,item,when,see,settles,last chance,state\n"));
    assert!(
        shots.contains(",before,") && shots.contains(",to film"),
        "{shots}"
    );

    // Every verdict of the description is that of a finding, and no claim is missing.
    let description = text("description.txt");
    assert!(
        description.contains("- “38 g light.” fails (found: 41.13"),
        "{description}"
    );
    assert!(description.contains("6:00 Release four clips"));
    let lexicon = text("pronunciation.pls");
    assert!(lexicon.contains("<grapheme>Ondrelkamp</grapheme><alias>on drel camp</alias>"));
    assert!(lexicon.contains("<grapheme>ZUC30</grapheme><alias>Z U C three zero</alias>"));

    let pictures = files.keys().filter(|f| f.ends_with(".png")).count();
    assert!(pictures >= 15, "{pictures}");
    assert_eq!(
        files.keys().filter(|f| f.ends_with(".svg")).count(),
        pictures
    );
}

#[test]
fn nothing_private_is_said_or_shown_over_a_picture() {
    let (_at, files) = published();
    for (name, bytes) in &files {
        let text = String::from_utf8_lossy(bytes);
        assert!(!text.contains("NV3-2631-004417"), "{name}");
    }
}
