//! What is kept is sound, and a history comes along whole.

use crate::bench::{AT, answer, category, lamp, list, send, set};
use bytes::Bytes;
use library::{
    Brought, DossierId, EditList, FileEntry, Library, LibraryError, Origin, Person, Publication,
    Revision, Verified, Which,
};
use record::Place;
use serde_json::json;

/// Fills a dossier with a file, kept, refused and taken back lists.
pub(crate) async fn used(library: &Library) -> DossierId {
    let id = lamp(library).await;
    let log = Bytes::from_static(b"s,mA\n0,45\n");
    library
        .add_file(&id, "logs/night.csv", log)
        .await
        .expect("room");
    let model = set(Place::product().at("model"), "V2-100", json!(null));
    let lists = vec![
        list(1, vec![category("lamp", json!(null))]),
        list(2, vec![model]),
    ];
    send(library, &id, "A", lists).await;
    send(
        library,
        &id,
        "B",
        vec![list(1, vec![category("torch", json!(null))])],
    )
    .await;
    let undo = EditList {
        seq: 2,
        group: None,
        edits: Vec::new(),
        undo: Some(2),
    };
    answer(send(library, &id, "B", vec![undo]).await);
    id
}

pub(crate) async fn a_library_in_use_is_sound(library: Library) {
    let id = used(&library).await;
    let other = lamp(&library).await;
    library.withdraw(&other, true, AT).await.expect("there");
    let revisions = library.head(&id).await.expect("there").revision + 1;
    let expected = Verified {
        dossiers: 2,
        revisions,
        files: 1,
        bytes: 10,
        unused: 0,
        damage: Vec::new(),
    };
    assert_eq!(library.verify().await.expect("in reach"), expected);
}

/// Publishes the dossier of a lamp with one file.
pub(crate) async fn published(library: &Library) -> DossierId {
    let id = lamp(library).await;
    let page = Bytes::from_static(b"<!doctype html>");
    let file = library
        .keep_published("report.html", page)
        .await
        .expect("room");
    let publication = Publication {
        version: 1,
        revision: 1,
        at: AT,
        by: Person::from("A"),
        reason: None,
        fingerprint: None,
        files: vec![file],
    };
    library.publish(&id, publication).await.expect("the first");
    id
}

pub(crate) async fn what_was_published_is_looked_at(library: Library) {
    published(&library).await;
    let verified = library.verify().await.expect("in reach");
    assert_eq!(
        (verified.files, verified.bytes, verified.unused),
        (1, 15, 0)
    );
    assert_eq!(verified.damage, []);
}

pub(crate) async fn bytes_that_no_dossier_names_are_counted_and_no_damage(library: Library) {
    used(&library).await;
    library
        .keep("photos/x", Bytes::from_static(b"x"))
        .await
        .expect("room");
    let verified = library.verify().await.expect("in reach");
    assert_eq!((verified.unused, verified.damage), (1, Vec::new()));
}

fn brought(history: Vec<(Revision, String)>, files: Vec<FileEntry>) -> Brought {
    Brought {
        history,
        files,
        publications: Vec::new(),
    }
}

pub(crate) async fn a_history_comes_along_whole_and_can_be_taken_back(library: Library) {
    let id = used(&library).await;
    let mut history = Vec::new();
    for number in 1..=library.head(&id).await.expect("there").revision {
        history.push(library.revision(&id, number).await.expect("there"));
    }
    let files = library.files(&id).await.expect("there");
    let brought = library
        .bring(brought(history.clone(), files.clone()), AT)
        .await
        .expect("holds together");
    for (revision, text) in &history {
        let (kept, kept_text) = library
            .revision(&brought, revision.number)
            .await
            .expect("there");
        assert_eq!(&kept_text, text);
        let origin = if revision.number == 1 {
            Origin::Here
        } else {
            Origin::Imported
        };
        assert_eq!(
            kept,
            Revision {
                origin,
                ..revision.clone()
            }
        );
    }
    assert!(library.verify().await.expect("in reach").damage.is_empty());
    let undo = EditList {
        seq: 1,
        group: None,
        edits: Vec::new(),
        undo: Some(3),
    };
    let model = |text: &str| text.contains("\nmodel = \"V2-100\"");
    assert!(model(&library.current(&brought).await.expect("there").text));
    send(&library, &brought, "C", vec![undo]).await;
    assert!(!model(
        &library.current(&brought).await.expect("there").text
    ));
}

pub(crate) async fn a_history_that_does_not_hold_together_is_refused(library: Library) {
    let id = used(&library).await;
    let mut history = Vec::new();
    for number in 1..=3 {
        history.push(library.revision(&id, number).await.expect("there"));
    }
    let refused = async |history: Vec<(Revision, String)>| {
        let files: Vec<FileEntry> = Vec::new();
        let brought = library.bring(brought(history, files), AT).await;
        assert!(
            matches!(brought, Err(LibraryError::BrokenHistory(_))),
            "{brought:?}"
        );
    };
    refused(Vec::new()).await;
    refused(history[1..].to_vec()).await;
    let mut other = history.clone();
    other[1].1 = other[1].1.replace("lamp", "torch");
    refused(other).await;
    assert_eq!(
        library.heads(Which::Present).await.expect("in reach").len(),
        1
    );
}
