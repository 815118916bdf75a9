//! What the tests of a library begin with: a dossier of a lamp, and lists sent to it.

use bytes::Bytes;
use jiff::Timestamp;
use library::{
    Answer, ClientId, DossierId, EditList, Library, ListState, Person, Submission, Taken, Which,
};
use record::{Edit, Place};
use serde_json::json;

pub(crate) const AT: Timestamp = Timestamp::UNIX_EPOCH;

/// The text of a lamp as it is begun.
pub(crate) fn lamp_text() -> String {
    let facts = json!({"name": "Vellit 2", "maker": "Quenmora"});
    record::starter_of(facts.as_object().expect("an object")).expect("facts fit")
}

/// Returns the dossier of a lamp: a new one, or the only one.
pub(crate) async fn lamp(library: &Library) -> DossierId {
    if library.holds_one() {
        let heads = library.heads(Which::Present).await.expect("in reach");
        return heads[0].id.clone();
    }
    let text = lamp_text();
    let files: Vec<(String, Bytes)> = Vec::new();
    let made = library.create(&text, files, &Person::from("A."), AT).await;
    made.expect("the starting text reads")
}

pub(crate) fn set(at: Place, new: &str, old: serde_json::Value) -> Edit {
    Edit::Set {
        at,
        new: json!(new),
        old: Some(old),
    }
}

pub(crate) async fn send(
    library: &Library,
    id: &DossierId,
    who: &str,
    lists: Vec<EditList>,
) -> Taken {
    let client: ClientId = who.to_lowercase().parse().expect("letters and digits");
    let submission = Submission { client, lists };
    let taken = library.take(id, &submission, &Person::from(who), AT).await;
    taken.expect("the library can be reached")
}

pub(crate) fn list(seq: u64, edits: Vec<Edit>) -> EditList {
    EditList {
        seq,
        group: None,
        edits,
        undo: None,
    }
}

pub(crate) fn answer(taken: Taken) -> Answer {
    match taken {
        Taken::Lists(answer) => answer,
        Taken::Gap { expect } => panic!("a gap: {expect}"),
    }
}

pub(crate) fn category(new: &str, old: serde_json::Value) -> Edit {
    set(Place::product().at("category"), new, old)
}

/// Sends lists that each add an item, and returns the revisions they were kept as.
pub(crate) async fn fill(
    library: Library,
    id: DossierId,
    who: &'static str,
    lists: u64,
) -> Vec<u64> {
    let mut kept = Vec::new();
    for seq in 1..=lists {
        let name = format!("{}{seq}", who.to_lowercase());
        let entry = json!({"id": name, "name": name, "kind": "part", "parent": "product"});
        let add = Edit::Add {
            to: Place::dossier().at("items"),
            entry,
            position: record::Position::default(),
        };
        let taken = send(&library, &id, who, vec![list(seq, vec![add])]).await;
        let Taken::Lists(answer) = taken else {
            panic!("a gap");
        };
        let ListState::Kept { revision } = answer.lists[0].state else {
            panic!("{answer:?}");
        };
        kept.push(revision);
    }
    kept
}
