//! The index follows what is saved, goes on where it was ended, and leaves alone what a change does not touch.

use app::desk::{Desk, indexed};
use bytes::Bytes;
use jiff::Timestamp;
use library::{ClientId, DossierId, EditList, Find, Found, Library, Person, Submission};
use record::{Edit, Place};
use serde_json::json;
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

const AT: Timestamp = Timestamp::UNIX_EPOCH;

/// Keeps the demonstration, changed, with its catalogue.
async fn lamp(library: &Library, change: impl Fn(String) -> String) -> DossierId {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp");
    let mut files = Vec::new();
    for inside in ["photos", "logs", "recordings", "catalogue"] {
        for name in std::fs::read_dir(folder.join(inside)).expect("the demonstration is there") {
            let name = name
                .expect("a name")
                .file_name()
                .to_string_lossy()
                .into_owned();
            let bytes = std::fs::read(folder.join(inside).join(&name)).expect("it can be read");
            files.push((format!("{inside}/{name}"), Bytes::from(bytes)));
        }
    }
    let text = std::fs::read_to_string(folder.join("dossier.toml")).expect("text");
    let made = library
        .create(&change(text), files, &Person::from("A."), AT)
        .await;
    made.expect("the demonstration reads")
}

async fn rename(desk: &Desk, id: &DossierId, seq: u64, old: &str, new: &str) {
    let client: ClientId = "window-1".parse().expect("letters and digits");
    let edits = vec![Edit::Set {
        at: Place::product().at("name"),
        new: json!(new),
        old: Some(json!(old)),
    }];
    let lists = vec![EditList {
        seq,
        group: None,
        edits,
        undo: None,
    }];
    let sent = Submission { client, lists };
    let edited = desk
        .take(id, &sent, &Person::from("A."), AT)
        .await
        .expect("in reach");
    assert_eq!(edited.view.dossier.product.name, new);
}

async fn found(library: &Library, line: &str) -> Found {
    library
        .find(&Find::read(line).expect("it reads"))
        .await
        .expect("in reach")
}

#[tokio::test]
async fn what_a_dossier_says_and_what_follows_from_it_is_found() {
    let library = Library::in_memory();
    let id = lamp(&library, |text| text).await;
    let desk = Desk::at(library.clone(), Vec::new());
    let left = desk.bring_index_forward().await.expect("in reach");
    assert!(left.is_empty());
    // The parts and texts are those of demo/lamp/dossier.toml.
    for line in [
        "OXT7",
        "maker:threndova role:motion",
        "TH310",
        "marking:TH31B",
        "marking:Q8D2",
        "qfn-48",
        "run-time>1h",
        "mass:100..200g",
        "needs-evidence:>0",
    ] {
        let hits = found(&library, line).await.hits;
        assert_eq!(hits.len(), 1, "{line}");
        assert_eq!(hits[0].dossier, id);
    }
    for line in [
        "maker:Threndova role:charger",
        // On standby the cradle lasts some two years.
        "run-time>100000h",
        // Of TH31? only the last character is in doubt.
        "marking:TH411",
    ] {
        assert!(found(&library, line).await.hits.is_empty(), "{line}");
    }
    let motion = &found(&library, "marking:TH310").await.hits[0];
    assert_eq!(motion.matched[0].place, Some(Place::item("lamp-motion")));
    // Counted by the method that judges claims.
    let view = desk.view(&id).await.expect("there");
    let counts = methods::verdict_counts(&view.findings.findings);
    assert_eq!(motion.verdicts.fails as usize, counts.fails);
    assert!(indexed(&view).rests.contains(&"TH31B".to_string()));
}

#[tokio::test]
async fn saves_are_indexed_beside_the_work_and_the_newest_wins() {
    let library = Library::in_memory();
    let id = lamp(&library, |text| text).await;
    let desk = Arc::new(Desk::at(library.clone(), Vec::new()));
    let keeper = Arc::clone(&desk);
    let task = tokio::spawn(async move { keeper.keep_index().await });
    rename(&desk, &id, 1, "Nivalet 3", "Second name").await;
    rename(&desk, &id, 2, "Second name", "Third name").await;
    while !library.behind().await.expect("in reach").is_empty() {
        tokio::time::sleep(Duration::from_millis(5)).await;
    }
    let third = found(&library, "third").await;
    assert_eq!((third.behind, third.hits[0].revision), (0, 3));
    assert!(found(&library, "second").await.hits.is_empty());
    task.abort();
}

#[tokio::test]
async fn an_index_that_was_ended_goes_on_at_the_next_start() {
    let folder = tempfile::tempdir().expect("a folder");
    let library = Library::open(folder.path()).await.expect("it can be made");
    let id = lamp(&library, |text| text).await;
    let desk = Arc::new(Desk::at(library.clone(), Vec::new()));
    let indexing = Arc::clone(&desk);
    let task = tokio::spawn(async move { indexing.keep_index().await });
    tokio::task::yield_now().await;
    task.abort();
    rename(&desk, &id, 1, "Nivalet 3", "After the end").await;
    library.close().await;

    let library = Library::open_existing(folder.path()).await.expect("there");
    assert_eq!(
        library.behind().await.expect("in reach"),
        std::slice::from_ref(&id)
    );
    let desk = Desk::at(library.clone(), Vec::new());
    desk.bring_index_forward().await.expect("in reach");
    let after = found(&library, "\"after the end\"").await;
    assert_eq!((after.behind, after.hits[0].revision), (0, 2));
}

#[tokio::test]
async fn a_corrected_part_is_examined_only_where_it_is_touched() {
    let library = Library::in_memory();
    let with = lamp(&library, |text| text).await;
    let without = lamp(&library, |text| {
        let plain = text.replace("\"TH31?\", \"[8B]24\"", "\"ZZ9\"");
        // An inductor's marking is a far misreading of that name, too.
        let plain = plain.replace("\"1R0\"", "\"4\"");
        plain.replace("name = \"TH310\"", "name = \"ZZ9\"")
    })
    .await;
    let desk = Desk::at(library.clone(), Vec::new());
    desk.bring_index_forward().await.expect("in reach");
    let before = (
        desk.view(&with).await.expect("there"),
        desk.view(&without).await.expect("there"),
    );
    // TH31B was a candidate that nobody took; TH310 is what the part was decided to be.
    for name in ["TH31B", "TH310"] {
        let touched = desk
            .parts_changed(&[name.to_string()])
            .await
            .expect("in reach");
        assert_eq!(touched, std::slice::from_ref(&with), "{name}");
    }
    let after = (
        desk.view(&with).await.expect("there"),
        desk.view(&without).await.expect("there"),
    );
    assert!(!Arc::ptr_eq(&before.0, &after.0));
    assert!(Arc::ptr_eq(&before.1, &after.1));
}
