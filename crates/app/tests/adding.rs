//! Adding to a dossier as a server does it: what is refused says which field, and leaves the folder as it was.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use app::{Addition, Kind, Unwatched};
use serde_json::{Map, Value as Json, json};
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

fn started() -> (TempDir, PathBuf) {
    let at = TempDir::new().unwrap();
    let folder = at.path().join("mine");
    app::new(&folder).unwrap();
    (at, folder)
}

fn entry(json: Json) -> Map<String, Json> {
    json.as_object().unwrap().clone()
}

fn addition(word: &str, json: Json) -> Addition {
    Addition {
        word: word.to_string(),
        entry: entry(json),
        ..Addition::default()
    }
}

#[test]
fn a_value_that_does_not_fit_is_told_by_its_field() {
    let (_at, folder) = started();
    let before = fs::read(folder.join("dossier.toml")).unwrap();
    let reading = json!({ "item": "product", "what": "mass", "value": "5 mm" });
    let problem = app::add(&folder, &addition("reading", reading), &Unwatched).unwrap_err();
    let Kind::Unfit(faults) = &problem.kind else {
        panic!("{problem}");
    };
    assert_eq!(faults.len(), 1);
    assert_eq!(faults[0].field.as_deref(), Some("value"));
    assert!(faults[0].remedy.contains("83.4 g"), "{}", faults[0].remedy);
    let nothing = app::add(&folder, &addition("thing", json!({})), &Unwatched).unwrap_err();
    assert!(nothing.remedy.to_string().contains("reading"));
    assert_eq!(fs::read(folder.join("dossier.toml")).unwrap(), before);
}

#[test]
fn what_is_added_is_found_at_the_place_that_is_answered() {
    let (_at, folder) = started();
    let item = json!({ "name": "Main board", "kind": "board", "parent": "product" });
    let added = app::add(&folder, &addition("item", item), &Unwatched).unwrap();
    assert_eq!(added.at.to_string(), "items.main-board");
    let load = Addition {
        of: Some("main-board".to_string()),
        ..addition("load", json!({ "mode": "on", "current": "4 mA" }))
    };
    let added = app::add(&folder, &load, &Unwatched).unwrap();
    assert_eq!(added.at.to_string(), "items.main-board.loads.on");
    let nowhere = Addition {
        of: Some("lid".to_string()),
        ..load
    };
    let problem = app::add(&folder, &nowhere, &Unwatched).unwrap_err();
    assert!(problem.message.contains("main-board"), "{problem}");
    app::set(
        &folder,
        &"items.main-board.name".parse().unwrap(),
        &["Board".to_string()],
        &Unwatched,
    )
    .unwrap();
    let dossier = app::open(&folder, &Unwatched).unwrap();
    assert_eq!(dossier.item("main-board").unwrap().name, "Board");
    app::remove(&folder, &"items.main-board".parse().unwrap(), &Unwatched).unwrap();
    assert!(
        app::open(&folder, &Unwatched)
            .unwrap()
            .item("main-board")
            .is_none()
    );
    // The root cannot go: a dossier has one.
    let root = app::remove(&folder, &"items.product".parse().unwrap(), &Unwatched);
    assert!(matches!(root.unwrap_err().kind, Kind::Unfit(_)));
}

#[test]
fn a_log_is_copied_and_what_its_columns_are_is_written_down() {
    let (at, folder) = started();
    let cell = json!({ "name": "Cell", "kind": "cell", "parent": "product" });
    app::add(&folder, &addition("item", cell), &Unwatched).unwrap();
    let file = at.path().join("charge.csv");
    let text = "t;U/mV;I/mA\n0;3700;800\n10;3800;800\n20;3900;800\n";
    std::fs::write(&file, text).unwrap();
    let entry = json!({ "what": "charge", "seat": "cell", "item": "cell", "from": "empty" });
    let log = Addition {
        file: Some(file),
        ..addition("log", entry.clone())
    };
    let added = app::add(&folder, &log, &Unwatched).unwrap();
    assert_eq!(added.at.to_string(), "logs.charge");
    assert_eq!(added.file.as_deref(), Some("logs/charge.csv"));
    let dossier = app::open(&folder, &Unwatched).unwrap();
    let columns = dossier.logs[0].columns.clone().unwrap();
    let column = |c: Option<record::LogColumn>| c.map(|c| (c.column, c.unit));
    assert_eq!(column(columns.voltage), Some((2, "mV".to_string())));
    assert_eq!(column(columns.current), Some((3, "mA".to_string())));
    assert_eq!(columns.delimiter, Some(record::LogDelimiter::Semicolon));
    let options = app::ExamineOptions {
        folder: folder.clone(),
        ..app::ExamineOptions::default()
    };
    let found = app::examine(&options, &Unwatched)
        .unwrap()
        .findings
        .findings;
    let told = found
        .iter()
        .find(|f| f.id.to_string() == "power.log/logs.charge");
    // 0.8 A for 20 s.
    let charge = told
        .unwrap()
        .figures
        .iter()
        .find(|f| f.key.to_string() == "charge");
    assert!(
        (charge.unwrap().figure.value - 0.8 * 20.0 / 3.6).abs() < 1e-9,
        "{told:?}"
    );

    // What is no log is refused, and nothing is written.
    let prose = at.path().join("notes.txt");
    std::fs::write(&prose, "Charged it over night.\n").unwrap();
    let no_log = Addition {
        file: Some(prose),
        ..addition("log", entry)
    };
    assert!(app::add(&folder, &no_log, &Unwatched).is_err());
    assert!(!folder.join("logs/notes.txt").exists());
    assert_eq!(app::open(&folder, &Unwatched).unwrap().logs.len(), 1);
}

#[test]
fn a_part_to_identify_comes_with_a_crop_of_its_marking() {
    let (at, folder) = started();
    let photos = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp/photos");
    let photo = Addition {
        file: Some(photos.join("lamp-led.jpg")),
        ..addition("photo", json!({ "caption": "The light" }))
    };
    let photo = app::add(&folder, &photo, &Unwatched).unwrap();
    assert_eq!(photo.at.to_string(), "photo:lamp-led");
    assert_eq!(photo.file.as_deref(), Some("photos/lamp-led.jpg"));
    let item = json!({ "name": "Driver", "kind": "part", "parent": "product", "part": { "marking": ["OK4?"] } });
    app::add(&folder, &addition("item", item), &Unwatched).unwrap();
    let region = Addition {
        of: Some("lamp-led".to_string()),
        ..addition(
            "region",
            json!({ "rect": [40, 40, 60, 50], "item": "driver" }),
        )
    };
    app::add(&folder, &region, &Unwatched).unwrap();
    let options = app::ExamineOptions {
        folder: folder.clone(),
        ..app::ExamineOptions::default()
    };
    let examined = app::examine(&options, &Unwatched).unwrap();
    let tasks = app::tasks(&examined.dossier, &examined.findings);
    let task = tasks
        .tasks
        .iter()
        .find(|t| t.what == "identify Driver")
        .unwrap();
    assert_eq!(task.look_at[0].to_string(), "photo:lamp-led#driver");
    let into = at.path().join("crops");
    let crops =
        app::task_pictures(&folder, &examined.dossier, &tasks.tasks, &into, &Unwatched).unwrap();
    assert_eq!(
        crops,
        [(task.look_at[0].clone(), "lamp-led-driver.jpg".to_string())]
    );
    assert!(
        fs::read(into.join("lamp-led-driver.jpg"))
            .unwrap()
            .starts_with(&[0xff, 0xd8])
    );
}
