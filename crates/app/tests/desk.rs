//! Dossiers of a library under the hand: what edits move, shown before they are written and after.

use app::desk::Desk;
use bytes::Bytes;
use jiff::Timestamp;
use library::{ClientId, DossierId, EditList, Library, ListState, Person, Submission, Taken};
use methods::Verdict;
use record::{Edit, Place, Position};
use serde_json::json;
use std::path::Path;

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

/// An end of an order is told with one chance in as many as there are, and only where no interval overlaps.
#[test]
fn an_end_of_an_order_is_told_with_its_chance() {
    let at = |less, equal, more| {
        let rank = standing::rank::Place { less, equal, more };
        let measure = app::desk::Measure {
            name: "Mass".to_string(),
            value: "12 g".to_string(),
            of: rank.others() + 1,
            rank: Some(rank),
        };
        measure.record()
    };
    assert_eq!(at(0, 0, 9), Some((app::desk::End::Least, 0.1)));
    assert_eq!(at(4, 0, 0), Some((app::desk::End::Greatest, 0.2)));
    for (less, equal, more) in [(0, 1, 8), (3, 0, 6), (8, 1, 0), (0, 0, 0)] {
        assert_eq!(at(less, equal, more), None);
    }
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

/// One product of five is ranked, of four not.
#[tokio::test]
async fn a_figure_is_ranked_from_five_products_on() {
    let (desk, id) = demo().await;
    let view = desk.view(&id).await.expect("there");
    let text = view.text.clone();
    for at in 2..=app::desk::LEAST {
        let standing = desk.standing(&view).await.expect("in reach");
        assert!(standing.measures.iter().all(|m| m.rank.is_none()), "{at}");
        twin(&desk, &id, &text).await;
    }
    let standing = desk.standing(&view).await.expect("in reach");
    assert_eq!(standing.products, app::desk::LEAST);
    assert!(!standing.measures.is_empty());
    // Equal products cannot be told apart.
    for measure in &standing.measures {
        let told = measure.rank.map(|rank| (rank.less, rank.more));
        assert_eq!((measure.of, told), (5, Some((0, 0))), "{measure:?}");
        assert_eq!(measure.record(), None);
    }
    assert!(standing.parts.iter().all(|part| part.others.len() == 4));
}

/// The thickest of five is told as that, with one chance in five; the others are told apart from it alone.
#[tokio::test]
async fn the_greatest_of_five_is_told_with_its_chance() {
    let (desk, id) = demo().await;
    let text = desk.view(&id).await.expect("there").text.clone();
    let thick = text.replace("value = \"13.91 mm\"", "value = \"15.91 mm\"");
    assert_ne!(thick, text);
    for _ in 0..3 {
        twin(&desk, &id, &text).await;
    }
    let thick = twin(&desk, &id, &thick).await;
    let mut told = Vec::new();
    for id in [&thick, &id] {
        let view = desk.view(id).await.expect("there");
        let standing = desk.standing(&view).await.expect("in reach");
        let measure = standing
            .measures
            .iter()
            .find(|m| m.name == "Thickness of the lamp");
        let measure = measure.expect("a claim is held against it");
        let rank = measure.rank.expect("five products");
        told.push(((rank.less, rank.equal, rank.more), measure.record()));
        // Five figures of five products: one less the product of five times 1 − 2/5.
        assert!((standing.any_record - 0.92224).abs() < 1e-9);
    }
    let greatest = Some((app::desk::End::Greatest, 0.2));
    assert_eq!(told, [((4, 0, 0), greatest), ((0, 3, 1), None)]);
}

/// A library's log is read from the bytes that it keeps; an edit of its columns is shown before it is written.
#[tokio::test]
async fn a_log_of_a_library_decides_a_claim_and_follows_its_columns() {
    let (desk, id) = demo().await;
    let view = desk.view(&id).await.expect("the demonstration reads");
    let finding = |findings: &[methods::Finding], id: &str| {
        let found = findings.iter().find(|f| f.id.to_string() == id);
        found.expect("it is told").clone()
    };
    let found = &view.findings.findings;
    let claim = finding(found, "claims.verdict/claims.charging-time");
    assert_eq!(claim.verdict, Some(Verdict::Fails));
    assert!(claim.sentence.contains("Logged"), "{}", claim.sentence);
    let log = finding(found, "power.log/logs.lamp-charge");
    let charts = log.details.iter();
    let charts = charts.filter(|d| matches!(d, methods::Detail::Chart(_)));
    assert_eq!(charts.count(), 2);
    // A column that the file does not have.
    let edit = Edit::Set {
        at: "logs.lamp-charge.columns.current.column"
            .parse()
            .expect("a place"),
        new: json!(9),
        old: Some(json!(3)),
    };
    let (_, findings) = desk.with(&id, vec![edit]).await.expect("it can be tried");
    let told = finding(&findings.findings, "power.log/logs.lamp-charge");
    assert_eq!(
        told.verdict,
        Some(Verdict::NeedsEvidence),
        "{}",
        told.sentence
    );
    let claim = finding(&findings.findings, "claims.verdict/claims.charging-time");
    assert!(!claim.sentence.contains("Logged"), "{}", claim.sentence);
}
