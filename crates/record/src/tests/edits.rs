//! Any sequence of edits, of any kind of entry that the grammar has, can be undone byte for byte, and
//! leaves a text that reads or of which it is said exactly which entry lacks what.
//!
//! Nothing here names a key: what can be edited is taken from the grammar.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "a test reads its cases from the disk"
)]

mod draw;
mod model;
mod writers;

use crate::grammar::{Kind, ROOT, Table};
use crate::{AnyFile, Applied, Draft, Edit, EditError, NewName, Place, State, TextPlaces};
use draw::{Dice, draw, kind_of, table_of};
use model::{model, pruned, values};
use proptest::prelude::*;
use serde_json::Value as Json;
use std::cell::RefCell;
use std::collections::BTreeMap;

const HEADERS: &str = include_str!("odd/headers.toml");
const INLINE: &str = include_str!("odd/inline.toml");
const DOTTED: &str = include_str!("odd/dotted.toml");
const KEPT: &str = include_str!("../../tests/forms/1.toml");
const DEMO: &str = include_str!("../../../../demo/lamp/dossier.toml");

fn small() -> [String; 7] {
    [
        HEADERS.to_string(),
        HEADERS.replace('\n', "\r\n"),
        INLINE.to_string(),
        DOTTED.to_string(),
        INLINE.trim_end().replace('\n', "\r\n"),
        format!("\u{feff}{HEADERS}"),
        KEPT.to_string(),
    ]
}

#[test]
fn the_texts_read() {
    for text in small().iter().map(String::as_str).chain([DEMO]) {
        let read = crate::read_text(text, "dossier.toml", &AnyFile);
        assert!(read.is_ok(), "{}", read.unwrap_err());
    }
}

/// Any text becomes any other by one edit that goes over the wire, and the edit is undone byte for byte.
#[test]
fn any_text_becomes_any_other_and_back() {
    let texts = small();
    let pairs = texts.iter().flat_map(|a| texts.iter().map(move |b| (a, b)));
    for (from, to) in pairs {
        let mut draft = Draft::parse(from, "dossier.toml").unwrap();
        let (before, wanted) = (draft.text(), crate::upgrade::upgrade(to).into_owned());
        let wire = serde_json::to_string(&draft.becoming(to)).unwrap();
        let edit: Edit = serde_json::from_str(&wire).unwrap();
        let applied = draft.apply(&edit).unwrap();
        assert_eq!(draft.text(), wanted);
        draft.apply(&applied.inverse).unwrap();
        assert_eq!(draft.text(), before);
    }
}

/// Every comment, without those inside of values.
fn comments(text: &str) -> BTreeMap<String, usize> {
    let layout = crate::layout::Layout::of(text);
    let mut all = BTreeMap::new();
    for (at, _) in text.match_indices('#') {
        let in_single = layout.nodes.iter().any(|n| {
            (n.form == crate::layout::Form::Single && n.span.contains(&at)) || n.key.contains(&at)
        });
        let line = text[..at].rfind('\n').map_or(0, |n| n + 1);
        let inside_comment = text[line..at].match_indices('#').any(|(n, _)| {
            !layout.nodes.iter().any(|node| {
                node.form == crate::layout::Form::Single && node.span.contains(&(line + n))
            })
        });
        if !in_single && !inside_comment {
            let words = text[at..].lines().next().unwrap();
            *all.entry(words.to_string()).or_insert(0) += 1;
        }
    }
    all
}

thread_local! {
    static COUNTS: RefCell<BTreeMap<&'static str, usize>> = const { RefCell::new(BTreeMap::new()) };
}

fn count(what: &'static str) {
    COUNTS.with_borrow_mut(|c| *c.entry(what).or_insert(0) += 1);
}

fn word(edit: &Edit) -> &'static str {
    match edit {
        Edit::Set { .. } => "set",
        Edit::Add { .. } => "add",
        Edit::Remove { .. } => "remove",
        Edit::Move { .. } => "move",
        Edit::Rename { .. } => "rename",
        Edit::Restore { .. } => "restore",
    }
}

/// Makes one edit and holds what came of it against the promises.
fn one(draft: &mut Draft, edit: &Edit) -> Option<Applied> {
    let before = draft.text();
    // As it would come over the wire.
    let wire = serde_json::to_string(edit).unwrap();
    let edit: Edit = serde_json::from_str(&wire).unwrap();
    let applied = match draft.apply(&edit) {
        Ok(applied) => applied,
        Err(EditError::Layout { at, why }) => panic!("{at}: {why}\n{wire}\n{before}"),
        Err(refused) => {
            assert_eq!(draft.text(), before, "{refused}");
            count("refused");
            return None;
        }
    };
    count(word(&edit));
    let after = draft.text();
    let mut back = draft.clone();
    let wire_back = serde_json::to_string(&applied.inverse).unwrap();
    let undone = back
        .apply(&serde_json::from_str(&wire_back).unwrap())
        .unwrap();
    assert_eq!(back.text(), before, "{wire}");
    back.apply(&undone.inverse).unwrap();
    assert_eq!(back.text(), after, "{wire}");
    let renames = matches!(&edit, Edit::Set { at, .. } if matches!(kind_of(at), Some(Kind::Id(_))));
    if let Some(wanted) = model(&before, &edit).filter(|_| !renames) {
        assert_eq!(
            pruned(values(&after)),
            pruned(wanted),
            "{wire}\n{before}\n----\n{after}"
        );
    }
    if let Edit::Rename {
        at,
        to: NewName::One(_),
    } = &edit
        && table_of(at).is_some_and(|t| t.natural == ["id"])
        && crate::read_text(&before, "", &AnyFile).is_ok()
    {
        // Every reference follows, or the text would not read any more.
        let read = crate::read_text(&after, "", &AnyFile);
        assert!(read.is_ok(), "{wire}\n{}", read.unwrap_err());
        count("renamed and read");
    }
    let there = TextPlaces::of(&after, "").unwrap();
    if !matches!(
        edit,
        Edit::Remove { .. }
            | Edit::Set {
                new: Json::Null,
                ..
            }
    ) {
        let is_empty = matches!(&edit, Edit::Set { new: Json::Array(a), .. } if a.is_empty());
        assert!(
            is_empty || there.span(&applied.at).is_some(),
            "{wire}: {}\n{after}",
            applied.at
        );
    }
    if !matches!(edit, Edit::Remove { .. } | Edit::Set { .. }) {
        assert_eq!(comments(&after), comments(&before), "{wire}\n{after}");
    }
    Some(applied)
}

/// The text reads, or what is said about it is true.
fn told(draft: &Draft) {
    let text = draft.text();
    let State::NotYet { missing, problems } = draft.state(&AnyFile) else {
        count("reads");
        return;
    };
    count(if problems.is_empty() {
        "incomplete"
    } else {
        "faulty"
    });
    assert!(!missing.is_empty() || !problems.is_empty());
    let places = TextPlaces::of(&text, "").unwrap();
    let there = places.all();
    for entry in &missing {
        assert!(
            entry.at.segments().unwrap().is_empty() || there.contains(&entry.at),
            "{}\n{text}",
            entry.at
        );
        for key in &entry.keys {
            let table = table_of(&entry.at).unwrap_or_else(|| panic!("{} is no table", entry.at));
            assert!(table.key(key).is_some(), "{}: {key}", entry.at);
            let lacking = entry.at.clone().at_key(key);
            assert!(!there.contains(&lacking), "{lacking}");
        }
    }
    for problem in &problems {
        let at = problem.place.as_ref().unwrap();
        assert!(
            at.segments().unwrap().is_empty() || there.contains(at),
            "{at}: {problem}"
        );
    }
    for place in there {
        let printed = place.to_string();
        assert_eq!(printed.parse::<Place>().as_ref(), Ok(&place), "{printed}");
    }
}

fn sequence(text: &str, seeds: &[Vec<u32>]) {
    let mut draft = Draft::parse(text, "dossier.toml").unwrap();
    let mut undo = Vec::new();
    for seed in seeds {
        let edit = draw(&draft.text(), &mut Dice(seed, 0));
        undo.extend(one(&mut draft, &edit).map(|a| a.inverse));
    }
    told(&draft);
    for inverse in undo.iter().rev() {
        draft.apply(inverse).unwrap();
    }
    assert_eq!(draft.text(), text);
    count("sequences");
}

fn seeds(most: usize) -> impl Strategy<Value = Vec<Vec<u32>>> {
    prop::collection::vec(prop::collection::vec(any::<u32>(), 60), 1..most)
}

fn config() -> ProptestConfig {
    let mut config = ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::default()
    };
    if std::env::var_os("PROPTEST_CASES").is_none() {
        config.cases = 64;
    }
    config
}

/// More with `PROPTEST_CASES=10000`.
#[test]
fn sequences_of_edits_are_undone_byte_for_byte() {
    let texts = small();
    let mut runner = proptest::test_runner::TestRunner::new(config());
    runner
        .run(&(0..texts.len(), seeds(9)), |(text, seeds)| {
            sequence(&texts[text], &seeds);
            Ok(())
        })
        .unwrap_or_else(|e| panic!("{e}"));
    COUNTS.with_borrow(|c| {
        println!("{c:?}");
        for kind in [
            "set",
            "add",
            "remove",
            "move",
            "rename",
            "reads",
            "incomplete",
        ] {
            assert!(c.contains_key(kind), "no sequence had {kind}: {c:?}");
        }
    });
}

/// Texts that lost some lines on the way are edited as well, as long as they are TOML.
#[test]
fn edits_of_damaged_texts_are_undone_byte_for_byte() {
    let texts = small();
    let lines = prop::collection::vec(any::<usize>(), 1..4);
    let mut runner = proptest::test_runner::TestRunner::new(config());
    runner
        .run(&(0..texts.len(), lines, seeds(5)), |(text, gone, seeds)| {
            let mut left: Vec<&str> = texts[text].split_inclusive('\n').collect();
            for line in gone {
                left.remove(line % left.len());
            }
            let text = left.concat();
            match Draft::parse(&text, "dossier.toml") {
                Ok(_) => sequence(&text, &seeds),
                Err(problems) => assert!(!problems.0.is_empty()),
            }
            Ok(())
        })
        .unwrap_or_else(|e| panic!("{e}"));
    COUNTS.with_borrow(|c| assert!(c.contains_key("sequences"), "{c:?}"));
}

#[test]
fn edits_of_the_demonstration_are_undone_byte_for_byte() {
    let mut config = config();
    config.cases = (config.cases / 32).max(2);
    let mut runner = proptest::test_runner::TestRunner::new(config);
    runner
        .run(&seeds(4), |seeds| {
            sequence(DEMO, &seeds);
            Ok(())
        })
        .unwrap_or_else(|e| panic!("{e}"));
    COUNTS.with_borrow(|c| {
        println!("{c:?}");
        assert!(c.contains_key("sequences"));
    });
}

#[test]
fn every_list_of_the_format_has_natural_keys() {
    fn walk(table: &'static Table) -> usize {
        let mut seen = 0;
        for key in table.keys {
            match key.kind {
                Kind::Tables(inner) => {
                    assert!(!inner.natural.is_empty(), "{}", inner.name);
                    let known = inner.natural.iter().all(|k| inner.key(k).is_some());
                    assert!(known, "{}", inner.name);
                    let has_id = inner.keys.iter().any(|k| matches!(k.kind, Kind::Id(_)));
                    assert_eq!(has_id, inner.natural == ["id"], "{}", inner.name);
                    seen += 1 + walk(inner);
                }
                Kind::Table(inner) | Kind::Inline(inner) => seen += walk(inner),
                _ => assert!(inner_is_plain(&key.kind)),
            }
        }
        seen
    }
    fn inner_is_plain(kind: &Kind) -> bool {
        !matches!(kind, Kind::List(Kind::Tables(_)))
    }
    assert!(walk(&ROOT) >= 15);
}
