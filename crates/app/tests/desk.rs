//! Dossiers of a library under the hand: what edits move, shown before they are written and after.

use app::desk::{AcrossAsked, Desk};
use bytes::Bytes;
use jiff::Timestamp;
use library::{ClientId, DossierId, EditList, Library, ListState, Person, Submission, Taken};
use methods::Verdict;
use record::{Edit, Place, Position};
use serde_json::json;
use std::path::Path;
use std::sync::Arc;

const AT: Timestamp = Timestamp::UNIX_EPOCH;

/// The demonstration in a library in memory.
async fn demo() -> (Desk, DossierId) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp");
    let read = |path: &Path| std::fs::read(path).expect("the demonstration is there");
    let mut files = Vec::new();
    for inside in ["photos", "logs", "recordings", "captions", "catalogue"] {
        let Ok(names) = std::fs::read_dir(folder.join(inside)) else {
            continue;
        };
        for name in names {
            let path = name.expect("a name").path();
            let file = path
                .file_name()
                .expect("a name")
                .to_string_lossy()
                .into_owned();
            files.push((format!("{inside}/{file}"), Bytes::from(read(&path))));
        }
    }
    let text = String::from_utf8(read(&folder.join("dossier.toml"))).expect("text");
    let library = Library::in_memory();
    let made = library.create(&text, files, &Person::from("A."), AT).await;
    let id = made.expect("the demonstration reads");
    (Desk::at(library, Vec::new()), id)
}

/// The reading that the claim "Answers a touch within 50 ms." waits for.
fn touch(value: &str) -> Edit {
    Edit::Add {
        to: Place::list_of_readings(),
        entry: json!({"id": "touch", "item": "lamp", "what": "delay", "value": value}),
        position: Position::Last,
    }
}

fn list(seq: u64, edits: Vec<Edit>, undo: Option<u64>) -> Submission {
    let client: ClientId = "window-1".parse().expect("letters and digits");
    let group = None;
    let lists = vec![EditList {
        seq,
        group,
        edits,
        undo,
    }];
    Submission { client, lists }
}

#[tokio::test]
async fn a_claim_that_waits_for_a_reading_turns_when_it_arrives_and_back() {
    let (desk, id) = demo().await;
    let would = desk
        .would(&id, vec![touch("38.0 ms")])
        .await
        .expect("it fits");
    let turned = |moved: &methods::Moved| {
        let about = Some(Place::claim("delay"));
        let verdict = moved.verdicts.iter().find(|v| v.about == about);
        verdict.map(|v| (v.was, v.now))
    };
    let (open, holds) = (Some(Verdict::NeedsEvidence), Some(Verdict::Holds));
    assert_eq!(turned(&would), Some((open, holds)));
    // Nothing was written by asking.
    let before = desk.view(&id).await.expect("there");
    assert_eq!(before.revision, 1);

    let by = Person::from("A.");
    let written = desk
        .take(&id, &list(1, vec![touch("38.0 ms")], None), &by, AT)
        .await;
    let written = written.expect("it is taken");
    assert_eq!(written.view.revision, 2);
    assert_eq!(written.moved, would);

    let back = desk.take(&id, &list(2, Vec::new(), Some(2)), &by, AT).await;
    let back = back.expect("it is taken back");
    assert_eq!(turned(&back.moved), Some((holds, open)));
    assert_eq!(back.view.text, before.text);
    let between = desk.between(&id, 1, 2).await.expect("both are kept");
    assert_eq!(between, would);
    let same = desk.between(&id, 1, 3).await.expect("both are kept");
    assert!(same.is_empty());
}

#[tokio::test]
async fn a_list_that_is_refused_moves_nothing() {
    let (desk, id) = demo().await;
    let by = Person::from("A.");
    let wrong = desk
        .take(&id, &list(1, vec![touch("38.0 g")], None), &by, AT)
        .await;
    let wrong = wrong.expect("it is answered");
    let Taken::Lists(answer) = &wrong.taken else {
        panic!("a gap: {:?}", wrong.taken);
    };
    assert!(matches!(answer.lists[0].state, ListState::Refused { .. }));
    assert!(wrong.moved.is_empty());
    assert_eq!(wrong.view.revision, 1);
    let unread = desk.would(&id, vec![touch("38.0 g")]).await;
    assert!(unread.is_err());
}

#[tokio::test]
async fn a_revision_laid_out_as_a_folder_has_the_bytes_that_came_in() {
    let (desk, id) = demo().await;
    let place = tempfile::tempdir().expect("a temporary folder");
    let desk = desk.copying_to(store::Copies::at(place.path().join("desk"), store::ROOM));
    let by = Person::from("A.");
    let edit = vec![touch("38.0 ms")];
    let written = desk.take(&id, &list(1, edit, None), &by, AT).await;
    written.expect("it is taken");
    let original = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp");
    // Once with nothing kept from before, once from what was kept.
    for _ in 0..2 {
        let copy = desk.copy(&id, 1).await.expect("the first revision is kept");
        let read = |path: &Path| std::fs::read(path).expect("the file is there");
        let text = "dossier.toml";
        assert!(read(&original.join(text)) == read(&copy.path().join(text)));
        let mut files = 0;
        for inside in ["photos", "logs", "recordings", "captions", "catalogue"] {
            let Ok(names) = std::fs::read_dir(original.join(inside)) else {
                continue;
            };
            for name in names {
                let path = Path::new(inside).join(name.expect("a name").file_name());
                assert!(read(&original.join(&path)) == read(&copy.path().join(&path)));
                files += 1;
            }
        }
        assert!(files > 5, "{files} files");
    }
    // The use cases that take a folder take it.
    let copy = desk
        .copy(&id, 2)
        .await
        .expect("the second revision is kept");
    let options = app::ExamineOptions {
        folder: copy.path().to_path_buf(),
        catalogues: copy.catalogues.clone(),
    };
    let examined = app::examine(&options, &app::Unwatched).expect("it reads");
    assert_eq!(
        examined.findings,
        desk.view(&id).await.expect("there").findings
    );
    assert!(desk.copy(&id, 3).await.is_err());
}

/// Pictures that are kept are those that would be made: equal pages, before and after an edit, whatever is left out.
#[tokio::test]
async fn a_preview_with_kept_pictures_equals_one_without() {
    let folder = tempfile::tempdir().expect("a folder");
    let copies = || store::Copies::at(folder.path().to_path_buf(), store::ROOM);
    let (desk, id) = demo().await;
    let desk = desk.copying_to(copies());
    let out = |photographs: &[&str]| library::LeavingOut {
        photographs: photographs.iter().map(|id| (*id).to_string()).collect(),
        ..library::LeavingOut::default()
    };
    let first = desk.preview(&id, 1, out(&[])).await.expect("it is set");
    let list = list(1, vec![touch("38.0 ms")], None);
    let taken = desk.take(&id, &list, &Person::from("A."), AT).await;
    taken.expect("it fits");
    for (revision, left) in [(1, out(&[])), (2, out(&[])), (2, out(&["lamp-main"]))] {
        let fresh = Desk::at(desk.library().clone(), Vec::new()).copying_to(copies());
        let kept = desk
            .preview(&id, revision, left.clone())
            .await
            .expect("it is set");
        let made = fresh.preview(&id, revision, left).await.expect("it is set");
        assert!(kept == made, "revision {revision}");
    }
    let again = desk.preview(&id, 1, out(&[])).await.expect("it is set");
    assert!(again == first);
}

/// Another product of the library, of a text and with the files of one that is there.
async fn twin(desk: &Desk, id: &DossierId, text: &str) -> DossierId {
    let library = desk.library();
    let files = library.files(id).await.expect("there");
    let mut held = Vec::new();
    for file in files {
        let bytes = library.bytes(id, &file.path).await.expect("there");
        held.push((file.path.clone(), bytes));
    }
    let made = library.create(text, held, &Person::from("A."), AT).await;
    let made = made.expect("it reads");
    let left = desk.bring_index_forward().await.expect("in reach");
    assert!(left.is_empty());
    made
}

fn standing(view: &app::desk::View, question: &str) -> String {
    let mut all = view.findings.findings.iter();
    let found = all
        .find(|f| f.method() == methods::Method::Standing && f.id.to_string().contains(question));
    found.map(|f| f.sentence.clone()).unwrap_or_default()
}

/// One product of five is ranked, of four not; equal products cannot be told apart. What stood before is looked at again
/// when another product comes, and only then.
#[tokio::test]
async fn a_figure_is_ranked_from_five_products_on() {
    let (desk, id) = demo().await;
    let text = desk.view(&id).await.expect("there").text.clone();
    assert_eq!(
        standing(&desk.view(&id).await.expect("there"), "figures"),
        ""
    );
    for at in 2..=5 {
        twin(&desk, &id, &text).await;
        let view = desk.view(&id).await.expect("there");
        let says = standing(&view, "figures");
        assert_eq!(says.contains("no order is told"), at < 5, "{at}: {says}");
        assert!(Arc::ptr_eq(&view, &desk.view(&id).await.expect("there")));
    }
    let says = standing(&desk.view(&id).await.expect("there"), "figures");
    assert!(says.contains("cannot be told apart in"), "{says}");
}

/// Products with a part, what its maker supplies, a figure over the years.
#[tokio::test]
async fn parts_makers_and_figures_are_followed_across_products() {
    let (desk, id) = demo().await;
    let text = desk.view(&id).await.expect("there").text.clone();
    for _ in 0..2 {
        twin(&desk, &id, &text).await;
    }
    let view = desk.view(&id).await.expect("there");
    let identities = view.dossier.items.iter();
    let mut identities = identities.filter_map(|i| i.part.as_ref()?.identity.as_ref());
    let identity = identities
        .find(|i| i.maker.is_some())
        .expect("one has a maker");
    let maker = identity.maker.clone().expect("it has one");
    let asked = AcrossAsked {
        part: identity.name.clone(),
        maker: maker.clone(),
        figure: "mass".into(),
        ..AcrossAsked::default()
    };
    let seen = desk.across(&asked).await.expect("in reach");
    let holders = seen.part.expect("asked for");
    assert_eq!((holders.products.len(), holders.more), (3, false));
    assert_eq!(holders.makers, std::slice::from_ref(&maker));
    let supplier = seen.maker.expect("asked for");
    let row = supplier.parts.iter().find(|row| row.part == identity.name);
    assert_eq!(row.map(|row| row.products), Some(3));
    let over = seen.figure.expect("asked for");
    assert_eq!(over.rows.len(), 3);
    assert!(
        over.sentence.contains("Under 5 products"),
        "{}",
        over.sentence
    );
    assert_eq!(seen.classes.len(), 1);
    let begun = AcrossAsked {
        words: identity.name[..2].to_lowercase(),
        ..AcrossAsked::default()
    };
    let names = desk
        .across(&begun)
        .await
        .expect("in reach")
        .names
        .expect("asked for");
    assert!(names.parts.contains(&identity.name), "{names:?}");
}
