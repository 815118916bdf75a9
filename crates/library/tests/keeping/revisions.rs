//! Revisions and edits: merged, refused, taken back.

use crate::bench::{AT, answer, category, lamp, list, send, set};
use library::{EditList, Library, ListState, Person, RefusalKind, Taken, Which};
use record::{Draft, Place};
use serde_json::json;

pub(crate) async fn a_list_sent_twice_is_done_once(library: Library) {
    let id = lamp(&library).await;
    let lists = vec![list(1, vec![category("desk lamp", json!(null))])];
    let first = send(&library, &id, "A", lists.clone()).await;
    let again = send(&library, &id, "A", lists).await;
    assert_eq!(first, again);
    let current = library.current(&id).await.expect("there");
    assert_eq!(current.revision, 2);
    assert_eq!(current.text.matches("desk lamp").count(), 1);
}

pub(crate) async fn a_gap_is_told_and_nothing_behind_it_is_taken(library: Library) {
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

pub(crate) async fn edits_of_two_people_merge_unless_they_touch_the_same_place(library: Library) {
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

pub(crate) async fn taking_back_and_putting_back_give_the_texts_byte_for_byte(library: Library) {
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

/// Three lists of one action with another's between them: one taking back, one putting back.
pub(crate) async fn one_action_is_taken_back_as_one(library: Library) {
    let id = lamp(&library).await;
    let product = || Place::product();
    let of_part = |seq, at: Place, new: &str| EditList {
        group: Some("part-1".to_string()),
        ..list(seq, vec![set(at, new, json!(null))])
    };
    let text = async || library.current(&id).await.expect("there").text;
    send(
        &library,
        &id,
        "A",
        vec![of_part(1, product().at("model"), "V2")],
    )
    .await;
    send(
        &library,
        &id,
        "B",
        vec![list(1, vec![category("lamp", json!(null))])],
    )
    .await;
    send(
        &library,
        &id,
        "A",
        vec![of_part(2, product().at("firmware"), "1.2")],
    )
    .await;
    let with = text().await;
    let undo = |seq, number| EditList {
        undo: Some(number),
        ..list(seq, Vec::new())
    };
    let back = answer(send(&library, &id, "A", vec![undo(3, 4)]).await);
    assert_eq!(back.revision, 5, "{back:?}");
    let without = text().await;
    assert!(
        !without.contains("\nmodel = ") && !without.contains("\nfirmware = "),
        "{without}"
    );
    assert!(without.contains("\ncategory = \"lamp\""), "{without}");
    let forth = answer(send(&library, &id, "A", vec![undo(4, 5)]).await);
    assert_eq!(forth.revision, 6, "{forth:?}");
    assert_eq!(text().await, with);
}

pub(crate) async fn a_whole_revision_comes_back_as_a_new_one(library: Library) {
    let id = lamp(&library).await;
    let before = library.current(&id).await.expect("there").text;
    let model = set(Place::product().at("model"), "V2", json!(null));
    send(
        &library,
        &id,
        "A",
        vec![list(1, vec![category("lamp", json!(null))])],
    )
    .await;
    send(&library, &id, "A", vec![list(2, vec![model])]).await;
    let present = library.current(&id).await.expect("there").text;
    let draft = Draft::parse(&present, "dossier.toml").expect("it reads");
    let back = EditList::as_of(1, draft.becoming(&before));
    let kept = answer(send(&library, &id, "back", vec![back]).await);
    assert_eq!(kept.revision, 4, "{kept:?}");
    assert_eq!(library.current(&id).await.expect("there").text, before);
    let (revision, _) = library.revision(&id, 4).await.expect("there");
    assert_eq!(revision.brought_back(), Some(1));
    let undo = EditList {
        undo: Some(4),
        ..list(3, Vec::new())
    };
    send(&library, &id, "A", vec![undo]).await;
    assert_eq!(library.current(&id).await.expect("there").text, present);
}

pub(crate) async fn a_list_that_would_make_the_record_wrong_is_refused_whole(library: Library) {
    let id = lamp(&library).await;
    let name = set(Place::product().at("model"), "V2", json!(null));
    let wrong = set(Place::product().at("bought"), "yesterday", json!(null));
    let refused = answer(send(&library, &id, "A", vec![list(1, vec![name, wrong])]).await);
    assert!(matches!(refused.lists[0].state, ListState::Refused { .. }));
    let current = library.current(&id).await.expect("there");
    assert_eq!(current.revision, 1);
    assert!(!current.text.contains("\nmodel = \"V2\""));
}

pub(crate) async fn withdrawn_dossiers_come_back(library: Library) {
    let id = lamp(&library).await;
    let counts = async || {
        let of = async |which| library.count(which).await.expect("in reach");
        (of(Which::Present).await, of(Which::Withdrawn).await)
    };
    assert_eq!(counts().await, (1, 0));
    library.withdraw(&id, true, AT).await.expect("there");
    assert_eq!(counts().await, (0, 1));
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
