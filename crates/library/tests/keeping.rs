//! What a library promises of revisions and edits, whatever holds its rows.

use bytes::Bytes;
use jiff::Timestamp;
use library::{
    Answer, ClientId, DossierId, EditList, Library, ListState, Person, RefusalKind, Submission,
    Taken, Which,
};
use record::{Edit, Place};
use serde_json::json;

const AT: Timestamp = Timestamp::UNIX_EPOCH;

async fn lamp(library: &Library) -> DossierId {
    let facts = json!({"name": "Vellit 2", "maker": "Quenmora"});
    let text = record::starter_of(facts.as_object().expect("an object")).expect("facts fit");
    let files: Vec<(String, Bytes)> = Vec::new();
    let made = library.create(&text, files, &Person::from("A."), AT).await;
    made.expect("the starting text reads")
}

fn set(at: Place, new: &str, old: serde_json::Value) -> Edit {
    Edit::Set {
        at,
        new: json!(new),
        old: Some(old),
    }
}

async fn send(library: &Library, id: &DossierId, who: &str, lists: Vec<EditList>) -> Taken {
    let client: ClientId = who.to_lowercase().parse().expect("letters and digits");
    let submission = Submission { client, lists };
    let taken = library.take(id, &submission, &Person::from(who), AT).await;
    taken.expect("the library can be reached")
}

fn list(seq: u64, edits: Vec<Edit>) -> EditList {
    EditList {
        seq,
        group: None,
        edits,
        undo: None,
    }
}

fn answer(taken: Taken) -> Answer {
    match taken {
        Taken::Lists(answer) => answer,
        Taken::Gap { expect } => panic!("a gap: {expect}"),
    }
}

fn category(new: &str, old: serde_json::Value) -> Edit {
    set(Place::product().at("category"), new, old)
}

#[tokio::test]
async fn a_list_sent_twice_is_done_once() {
    let library = Library::in_memory();
    let id = lamp(&library).await;
    let lists = vec![list(1, vec![category("desk lamp", json!(null))])];
    let first = send(&library, &id, "A", lists.clone()).await;
    let again = send(&library, &id, "A", lists).await;
    assert_eq!(first, again);
    let current = library.current(&id).await.expect("there");
    assert_eq!(current.revision, 2);
    assert_eq!(current.text.matches("desk lamp").count(), 1);
}

#[tokio::test]
async fn a_gap_is_told_and_nothing_behind_it_is_taken() {
    let library = Library::in_memory();
    let id = lamp(&library).await;
    send(
        &library,
        &id,
        "A",
        vec![list(1, vec![category("lamp", json!(null))])],
    )
    .await;
    let taken = send(
        &library,
        &id,
        "A",
        vec![list(3, vec![category("torch", json!("lamp"))])],
    )
    .await;
    assert_eq!(taken, Taken::Gap { expect: 2 });
    assert_eq!(library.current(&id).await.expect("there").revision, 2);
}

#[tokio::test]
async fn edits_of_two_people_merge_unless_they_touch_the_same_place() {
    let library = Library::in_memory();
    let id = lamp(&library).await;
    send(
        &library,
        &id,
        "A",
        vec![list(1, vec![category("lamp", json!(null))])],
    )
    .await;
    let model = set(Place::product().at("model"), "V2-100", json!(null));
    let other = answer(send(&library, &id, "B", vec![list(1, vec![model])]).await);
    assert_eq!(other.lists[0].state, ListState::Kept { revision: 3 });
    let same = answer(
        send(
            &library,
            &id,
            "B",
            vec![list(2, vec![category("torch", json!(null))])],
        )
        .await,
    );
    let ListState::Refused { why } = &same.lists[0].state else {
        panic!("taken over another's value: {same:?}");
    };
    assert_eq!(why[0].kind, RefusalKind::Changed);
    assert_eq!(why[0].now, Some(json!("lamp")));
    assert_eq!(why[0].by, Some(Person::from("A")));
    assert_eq!(why[0].revision, Some(2));
    // What was not taken stays in the history, with its author.
    let untaken = library.untaken(&id).await.expect("there");
    assert_eq!(untaken.len(), 1);
    assert_eq!(untaken[0].by, Person::from("B"));
}

#[tokio::test]
async fn taking_back_and_putting_back_give_the_texts_byte_for_byte() {
    let library = Library::in_memory();
    let id = lamp(&library).await;
    let before = library.current(&id).await.expect("there").text;
    send(
        &library,
        &id,
        "A",
        vec![list(1, vec![category("lamp", json!(null))])],
    )
    .await;
    let with = library.current(&id).await.expect("there").text;
    let undo = |seq, undo| EditList {
        seq,
        group: None,
        edits: Vec::new(),
        undo: Some(undo),
    };
    send(&library, &id, "A", vec![undo(2, 2)]).await;
    assert_eq!(library.current(&id).await.expect("there").text, before);
    send(&library, &id, "A", vec![undo(3, 3)]).await;
    assert_eq!(library.current(&id).await.expect("there").text, with);
    let history = library.history(&id, None, 10).await.expect("there");
    let undoes: Vec<_> = history.iter().map(|revision| revision.undoes).collect();
    assert_eq!(undoes, [Some(3), Some(2), None, None]);
}

#[tokio::test]
async fn a_list_that_would_make_the_record_wrong_is_refused_whole() {
    let library = Library::in_memory();
    let id = lamp(&library).await;
    let name = set(Place::product().at("model"), "V2", json!(null));
    let wrong = set(Place::product().at("bought"), "yesterday", json!(null));
    let refused = answer(send(&library, &id, "A", vec![list(1, vec![name, wrong])]).await);
    assert!(matches!(refused.lists[0].state, ListState::Refused { .. }));
    let current = library.current(&id).await.expect("there");
    assert_eq!(current.revision, 1);
    assert!(!current.text.contains("\nmodel = \"V2\""));
}

#[tokio::test]
async fn withdrawn_dossiers_come_back() {
    let library = Library::in_memory();
    let id = lamp(&library).await;
    library.withdraw(&id, true, AT).await.expect("there");
    assert!(
        library
            .heads(Which::Present)
            .await
            .expect("in reach")
            .is_empty()
    );
    library.withdraw(&id, false, AT).await.expect("there");
    assert_eq!(
        library.heads(Which::Present).await.expect("in reach")[0].name,
        "Vellit 2"
    );
}
