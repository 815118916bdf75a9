//! Whatever is sent, engines answer the same and hold the same.

use crate::bench::{AT, lamp};
use library::{DossierId, EditList, Library, Person, Submission};
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use record::{Edit, Place};
use serde_json::{Value as Json, json};

fn value() -> impl Strategy<Value = Json> {
    prop_oneof![
        Just(json!(null)),
        Just(json!("lamp")),
        Just(json!("a “torch”")),
        Just(json!(5)),
    ]
}

fn edit() -> impl Strategy<Value = Edit> {
    let key = prop_oneof![
        Just("category"),
        Just("model"),
        Just("maker"),
        Just("bought")
    ];
    let item = prop_oneof![Just("led"), Just("lid")];
    let set = (key, value(), proptest::option::of(value()));
    prop_oneof![
        4 => set.prop_map(|(key, new, old)| Edit::Set { at: Place::product().at(key), new, old }),
        2 => item.clone().prop_map(|id| Edit::Add {
            to: Place::dossier().at("items"),
            entry: json!({"id": id, "name": id, "kind": "part", "parent": "product"}),
            position: record::Position::default(),
        }),
        1 => item.prop_map(|id| Edit::Remove { at: Place::item(id), old: None }),
    ]
}

fn lists() -> impl Strategy<Value = Vec<(&'static str, EditList)>> {
    let edits = prop_oneof![
        5 => proptest::collection::vec(edit(), 0..3).prop_map(|edits| (edits, None)),
        2 => (0_u64..8).prop_map(|revision| (Vec::new(), Some(revision))),
    ];
    let sent = (prop_oneof![Just("a"), Just("b")], 0_u64..3, edits);
    proptest::collection::vec(sent, 1..14).prop_map(|all| {
        let mut last = [0_u64; 2];
        let listed = all.into_iter().map(|(client, step, (edits, undo))| {
            // A list that comes again, the next one, or one after a gap.
            let last = &mut last[usize::from(client == "b")];
            let seq = (*last + step).max(1);
            *last = (*last).max(seq.min(*last + 1));
            let group = (step == 1).then(|| "part".to_string());
            (
                client,
                EditList {
                    seq,
                    group,
                    edits,
                    undo,
                },
            )
        });
        listed.collect()
    })
}

/// All that can be asked of a dossier, as text.
async fn told(library: &Library, id: &DossierId) -> String {
    let mut head = library.head(id).await.expect("there");
    head.id = "same".parse().expect("letters");
    let current = library.current(id).await.expect("there");
    let history = library.history(id, None, 100).await.expect("there");
    let untaken = library.untaken(id).await.expect("there");
    let mut texts = Vec::new();
    for revision in &history {
        texts.push(
            library
                .revision(id, revision.number)
                .await
                .expect("there")
                .1,
        );
    }
    format!("{head:?}\n{current:?}\n{history:?}\n{untaken:?}\n{texts:?}")
}

/// Sends random lists to a library and to one in memory.
pub(crate) fn holds_what_memory_does<K>(begin: impl AsyncFn() -> Option<(K, Library)>) {
    let mut runner = TestRunner::new(ProptestConfig {
        cases: 24,
        failure_persistence: None,
        ..ProptestConfig::default()
    });
    let runtime = tokio::runtime::Runtime::new().expect("the system has threads");
    let compared = runner.run(&lists(), |lists| {
        runtime.block_on(async {
            let one = Library::in_memory();
            let Some((_kept, other)) = begin().await else {
                return Ok(());
            };
            let (id, other_id) = (lamp(&one).await, lamp(&other).await);
            for (client, list) in &lists {
                let submission = Submission {
                    client: client.parse().expect("a letter"),
                    lists: vec![list.clone()],
                };
                let by = Person::from(*client);
                let left = one.take(&id, &submission, &by, AT).await;
                let right = other.take(&other_id, &submission, &by, AT).await;
                prop_assert_eq!(left.expect("in reach"), right.expect("in reach"));
            }
            prop_assert_eq!(told(&one, &id).await, told(&other, &other_id).await);
            other.close().await;
            Ok(())
        })
    });
    compared.expect("both are the same");
}
