//! A dossier in its own folder: other programs may change it, and nothing is lost on either side.

use crate::bench::{AT, answer, category, fill, lamp, lamp_text, list, send, set};
use bytes::Bytes;
use library::{
    Appended, EditList, Keeper as _, Library, LibraryError, ListAnswer, ListState, NewRevision,
    Origin, Outcome, Person, ROWS, RefusalKind, Rows, Which,
};
use record::{Draft, Place};
use serde_json::json;
use std::path::{Path, PathBuf};

struct Folder(tempfile::TempDir);

impl Folder {
    fn new() -> Self {
        let folder = Self(tempfile::tempdir().expect("a temporary folder"));
        folder.write(&lamp_text());
        folder
    }
    fn path(&self) -> &Path {
        self.0.path()
    }
    fn file(&self) -> PathBuf {
        self.path().join("dossier.toml")
    }
    fn read(&self) -> String {
        std::fs::read_to_string(self.file()).expect("there")
    }
    fn write(&self, text: &str) {
        std::fs::write(self.file(), text).expect("written");
    }
    /// What a person does in an editor.
    fn edit(&self, from: &str, to: &str) {
        let before = self.read();
        assert!(before.contains(from));
        self.write(&before.replace(from, to));
    }
    async fn open(&self) -> Library {
        Library::open(self.path())
            .await
            .expect("a dossier's folder")
    }
}

#[tokio::test]
async fn saves_stand_in_the_text_file() {
    let folder = Folder::new();
    let library = folder.open().await;
    assert!(library.holds_one());
    let id = lamp(&library).await;
    assert_eq!(
        library.current(&id).await.expect("there").text,
        folder.read()
    );
    send(
        &library,
        &id,
        "A",
        vec![list(1, vec![category("lamp", json!(null))])],
    )
    .await;
    assert!(folder.read().contains("\ncategory = \"lamp\""));
    assert_eq!(
        library.current(&id).await.expect("there").text,
        folder.read()
    );
    let undo = EditList {
        seq: 2,
        group: None,
        edits: Vec::new(),
        undo: Some(2),
    };
    send(&library, &id, "A", vec![undo]).await;
    assert_eq!(folder.read(), lamp_text());
    // Earlier texts are in the history alone, not beside it.
    let beside = std::fs::read_dir(folder.path().join(".revisions")).expect("there");
    let texts = beside.filter(|e| {
        e.as_ref()
            .expect("listed")
            .file_name()
            .to_string_lossy()
            .ends_with("toml")
    });
    assert_eq!(texts.count(), 0);
    library.close().await;
    let again = folder.open().await;
    assert_eq!(lamp(&again).await, id);
    assert_eq!(again.history(&id, None, 9).await.expect("there").len(), 3);
    assert!(again.verify().await.expect("in reach").damage.is_empty());
}

#[tokio::test]
async fn what_an_editor_writes_is_a_revision_and_edits_merge_with_it() {
    let folder = Folder::new();
    let library = folder.open().await;
    let id = lamp(&library).await;
    send(
        &library,
        &id,
        "A",
        vec![list(1, vec![category("lamp", json!(null))])],
    )
    .await;
    folder.edit("category = \"lamp\"", "category = \"torch\"");
    // The window has not seen it: another place merges, the same place is refused with what stands there now.
    let model = set(Place::product().at("model"), "V2", json!(null));
    let taken = answer(send(&library, &id, "A", vec![list(2, vec![model])]).await);
    assert_eq!(taken.lists[0].state, ListState::Kept { revision: 4 });
    let same = category("lantern", json!("lamp"));
    let taken = answer(send(&library, &id, "A", vec![list(3, vec![same])]).await);
    let ListState::Refused { why } = &taken.lists[0].state else {
        panic!("written over: {taken:?}");
    };
    assert_eq!(
        (why[0].kind, &why[0].now),
        (RefusalKind::Changed, &Some(json!("torch")))
    );
    let text = folder.read();
    assert!(text.contains("\ncategory = \"torch\"") && text.contains("\nmodel = \"V2\""));
    let (outside, _) = library.revision(&id, 3).await.expect("there");
    assert_eq!(outside.origin, Origin::Outside);
    // A new name in the file is a new name in the list.
    folder.edit("name = \"Vellit 2\"\nmaker", "name = \"Vellit 3\"\nmaker");
    assert_eq!(
        library.heads(Which::Present).await.expect("in reach")[0].name,
        "Vellit 3"
    );
    assert!(library.verify().await.expect("in reach").damage.is_empty());
}

#[tokio::test]
async fn a_text_that_does_not_read_is_kept_and_told() {
    let folder = Folder::new();
    let library = folder.open().await;
    let id = lamp(&library).await;
    folder.edit("format = 1", "format = ");
    let current = library.current(&id).await.expect("there");
    assert!(matches!(current.dossier(), Err(LibraryError::Mistakes(_))));
    assert_eq!(library.head(&id).await.expect("there").name, "Vellit 2");
    folder.edit("format = ", "format = 1");
    assert!(library.current(&id).await.expect("there").dossier().is_ok());
    assert_eq!(library.history(&id, None, 9).await.expect("there").len(), 3);
    // Without a history there is nothing to begin from.
    let other = Folder::new();
    other.edit("format = 1", "format = ");
    let opened = Library::open(other.path()).await.err();
    assert!(
        matches!(opened, Some(LibraryError::Mistakes(_))),
        "{opened:?}"
    );
}

#[tokio::test]
async fn photographs_are_those_that_lie_there() {
    let folder = Folder::new();
    std::fs::create_dir(folder.path().join("photos")).expect("made");
    let path = folder.path().join("photos/lid.jpg");
    std::fs::write(&path, "one").expect("written");
    let library = folder.open().await;
    let id = lamp(&library).await;
    assert_eq!(
        library.bytes(&id, "photos/lid.jpg").await.expect("there"),
        "one"
    );
    library
        .add_file(&id, "logs/a.csv", Bytes::from_static(b"1"))
        .await
        .expect("room");
    assert_eq!(
        std::fs::read(folder.path().join("logs/a.csv")).expect("written"),
        b"1"
    );
    std::fs::write(&path, "other").expect("written");
    std::fs::write(folder.path().join("photos/new.jpg"), "new").expect("written");
    std::fs::remove_file(folder.path().join("logs/a.csv")).expect("removed");
    let files = library.files(&id).await.expect("there");
    let paths: Vec<&str> = files.iter().map(|file| file.path.as_str()).collect();
    assert_eq!(paths, ["photos/lid.jpg", "photos/new.jpg"]);
    assert_eq!(
        library.bytes(&id, "photos/lid.jpg").await.expect("there"),
        "other"
    );
    let outside = library
        .add_file(&id, "elsewhere/a", Bytes::from_static(b"1"))
        .await;
    assert!(matches!(outside, Err(LibraryError::Path(_))), "{outside:?}");
    assert!(!folder.path().join("elsewhere").exists());
    // Saves see files that came meanwhile.
    let photo = record::Edit::Add {
        to: Place::dossier().at("photos"),
        entry: json!({"id": "lid", "file": "new.jpg", "caption": "The lid"}),
        position: record::Position::default(),
    };
    let taken = answer(send(&library, &id, "A", vec![list(1, vec![photo])]).await);
    assert!(matches!(
        taken.lists[0].state,
        ListState::Kept { .. } | ListState::Refused { .. }
    ));
    assert!(library.verify().await.expect("in reach").damage.is_empty());
}

#[tokio::test]
async fn it_takes_no_other_dossier_and_is_backed_up_as_a_library() {
    let folder = Folder::new();
    let library = folder.open().await;
    let id = lamp(&library).await;
    fill(library.clone(), id.clone(), "A", 3).await;
    library
        .add_file(&id, "logs/a.csv", Bytes::from_static(b"1"))
        .await
        .expect("room");
    let files = vec![("photos/x.jpg".to_string(), Bytes::from_static(b"x"))];
    let other = library
        .create(&lamp_text(), files, &Person::from("A"), AT)
        .await;
    assert!(matches!(other, Err(LibraryError::OneOnly)), "{other:?}");
    assert!(!folder.path().join("photos/x.jpg").exists());
    let into = tempfile::tempdir().expect("a temporary folder");
    let into = into.path().join("copy");
    library.backup(&into).await.expect("room");
    assert!(into.join(ROWS).is_file());
    let copy = Library::open_existing(&into).await.expect("a library");
    assert!(!copy.holds_one());
    assert_eq!(copy.current(&id).await.expect("there").text, folder.read());
    assert_eq!(copy.bytes(&id, "logs/a.csv").await.expect("there"), "1");
}

/// Writes a revision to the history alone: what a crash leaves between the two writes of a save.
async fn half_saved(folder: &Folder, model: &str) {
    let rows = Rows::sqlite(&folder.path().join(".revisions/history.sqlite"))
        .await
        .expect("there");
    let head = rows
        .heads(Which::Present, usize::MAX)
        .await
        .expect("in reach")
        .remove(0);
    let (number, text) = rows
        .current(&head.id)
        .await
        .expect("in reach")
        .expect("there");
    let edit = set(Place::product().at("model"), model, json!(null));
    let mut draft = Draft::parse(&text, "dossier.toml").expect("reads");
    let applied = draft.apply(&edit).expect("it fits");
    let outcome = Outcome {
        client: "a".parse().expect("a letter"),
        by: Person::from("A"),
        at: AT,
        list: list(1, vec![edit]),
        answer: ListAnswer {
            seq: 1,
            state: ListState::Kept {
                revision: number + 1,
            },
        },
        revision: Some(NewRevision {
            number: number + 1,
            inverse: vec![applied.inverse],
            text: draft.text(),
            name: head.name.clone(),
            maker: head.maker.clone(),
        }),
    };
    let appended = rows.append(&head.id, number, &outcome).await.expect("room");
    assert_eq!(appended, Appended::Kept);
    rows.close().await;
}

#[tokio::test]
async fn a_save_that_was_broken_off_is_brought_to_its_end() {
    let folder = Folder::new();
    folder.open().await.close().await;
    half_saved(&folder, "V2").await;
    assert_eq!(folder.read(), lamp_text(), "the file is behind");
    let library = folder.open().await;
    let id = lamp(&library).await;
    assert!(folder.read().contains("\nmodel = \"V2\""));
    let history = library.history(&id, None, 9).await.expect("there");
    assert_eq!(history.len(), 2);
    assert_eq!(history[0].origin, Origin::Here);
    // From then on the same text in an editor is an edit, not a save that was broken off.
    folder.write(&lamp_text());
    let history = library.history(&id, None, 9).await.expect("there");
    assert_eq!((history.len(), history[0].origin), (3, Origin::Outside));
    assert_eq!(folder.read(), lamp_text());
}

#[tokio::test]
async fn an_editor_that_was_faster_after_a_crash_is_not_written_over() {
    let folder = Folder::new();
    folder.open().await.close().await;
    half_saved(&folder, "V2").await;
    folder.edit("name = \"Vellit 2\"\nmaker", "name = \"Vellit 3\"\nmaker");
    let edited = folder.read();
    let library = folder.open().await;
    let id = lamp(&library).await;
    assert_eq!(folder.read(), edited);
    let history = library.history(&id, None, 9).await.expect("there");
    let origins: Vec<Origin> = history.iter().map(|revision| revision.origin).collect();
    assert_eq!(origins, [Origin::Outside, Origin::Here, Origin::Outside]);
    let (_, half) = library.revision(&id, 2).await.expect("there");
    assert!(
        half.contains("\nmodel = \"V2\""),
        "what was half saved is in the history"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn two_programs_at_one_folder_lose_nothing() {
    let folder = Folder::new();
    let (one, other) = (folder.open().await, folder.open().await);
    let id = lamp(&one).await;
    let left = tokio::spawn(fill(one.clone(), id.clone(), "A", 12));
    let right = tokio::spawn(fill(other, id.clone(), "B", 12));
    let (left, right) = (
        left.await.expect("no panic"),
        right.await.expect("no panic"),
    );
    let text = folder.read();
    for (who, number) in (1..=12).flat_map(|number| [("a", number), ("b", number)]) {
        assert!(
            text.contains(&format!("id = \"{who}{number}\"")),
            "{who}{number} is lost"
        );
    }
    let mut numbers: Vec<u64> = left.into_iter().chain(right).collect();
    numbers.sort_unstable();
    assert_eq!(numbers, (2..=25).collect::<Vec<u64>>());
    let history = one.history(&id, None, 99).await.expect("there");
    assert_eq!(
        history.len(),
        25,
        "none of the saves is taken for an edit outside"
    );
    assert!(one.verify().await.expect("in reach").damage.is_empty());
}
