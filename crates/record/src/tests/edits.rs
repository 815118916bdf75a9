//! Any sequence of edits, of any kind of entry that the grammar has, can be undone byte for byte, and
//! leaves a text that reads or of which it is said exactly which entry lacks what.
//!
//! Nothing here names a key: what can be edited is taken from the grammar.

use crate::grammar::{Ids, Key, Kind, ROOT, Table};
use crate::place::{Address, Segment};
use crate::{
    AnyFile, Applied, Draft, Edit, EditError, NewName, Place, Position, State, TextPlaces,
};
use proptest::prelude::*;
use serde_json::{Map, Value as Json, json};
use std::cell::RefCell;
use std::collections::BTreeMap;

const HEADERS: &str = include_str!("odd/headers.toml");
const INLINE: &str = include_str!("odd/inline.toml");
const DOTTED: &str = include_str!("odd/dotted.toml");
const DEMO: &str = include_str!("../../../../demo/lamp/dossier.toml");

fn small() -> [String; 6] {
    [
        HEADERS.to_string(),
        HEADERS.replace('\n', "\r\n"),
        INLINE.to_string(),
        DOTTED.to_string(),
        INLINE.trim_end().replace('\n', "\r\n"),
        format!("\u{feff}{HEADERS}"),
    ]
}

#[test]
fn the_texts_read() {
    for text in small().iter().map(String::as_str).chain([DEMO]) {
        let read = crate::read_text(text, "dossier.toml", &AnyFile);
        assert!(read.is_ok(), "{}", read.unwrap_err());
    }
}

/// Draws numbers from a list, and 0 when it is used up.
struct Dice<'a>(&'a [u32], usize);

impl Dice<'_> {
    fn below(&mut self, n: usize) -> usize {
        let drawn = self.0.get(self.1).copied().unwrap_or(0);
        self.1 += 1;
        if n == 0 { 0 } else { drawn as usize % n }
    }
    fn id(&mut self) -> String {
        ["lamp", "chip", "top", "new-one", "x_2", "9"][self.below(6)].to_string()
    }
    fn text(&mut self) -> String {
        [
            "word",
            "a, b",
            "with \"quotes\" and \\",
            "two\nlines # [x]",
            "ümläut ⎓",
            "photo:top#chip.",
        ][self.below(6)]
        .to_string()
    }
}

/// A value that may stand under a key, not always a good one.
fn sample(kind: &Kind, dice: &mut Dice<'_>) -> Json {
    match kind {
        Kind::Id(_) | Kind::Ref(_) | Kind::RegionOf(_) => dice.id().into(),
        Kind::Evidence => ["photo:top", "photo:top#chip", "text:x"][dice.below(3)].into(),
        Kind::Text | Kind::Note | Kind::Marking | Kind::PhotoFile => dice.text().into(),
        Kind::Date => "2026-02-28".into(),
        Kind::Moment => crate::moment::EXAMPLE.into(),
        Kind::Quantity(asked) => asked.example.into(),
        Kind::Rating => "5 V ⎓ 2 A".into(),
        Kind::Words(words) => words[dice.below(words.len())].word.into(),
        Kind::Whole { least } => json!(least + dice.below(3) as u32),
        Kind::Number { low, high } => json!(low + (high - low) / 4.0),
        Kind::Boolean => json!(dice.below(2) == 0),
        Kind::List(element) => (0..dice.below(3)).map(|_| sample(element, dice)).collect(),
        Kind::Row(element, length) => (0..*length).map(|_| sample(element, dice)).collect(),
        Kind::Table(table) | Kind::Inline(table) => entry(table, dice),
        Kind::Tables(table) => (0..1 + dice.below(2)).map(|_| entry(table, dice)).collect(),
        Kind::Named(names) => json!({ names.known[0].name: names.known[0].asked.example }),
    }
}

/// An entry with most of the keys it needs and some that it may have.
fn entry(table: &Table, dice: &mut Dice<'_>) -> Json {
    let mut out = Map::new();
    for key in table.keys {
        let odds = if key.required { 8 } else { 40 };
        let draw = dice.below(odds);
        if key.required && draw > 0 || draw == 1 {
            out.insert(key.name.into(), sample(&key.kind, dice));
        }
    }
    out.into()
}

/// Every place of a text, and every key below its tables that is not given.
fn places(text: &str) -> (Vec<Place>, Vec<(Place, &'static Kind)>) {
    let there = TextPlaces::of(text, "").unwrap().all();
    let mut free = Vec::new();
    for place in &there {
        if let Some(table) = table_of(place) {
            for Key { name, kind, .. } in table.keys {
                let at = place.clone().at_key(name);
                if !there.contains(&at) {
                    free.push((at, kind));
                }
            }
        }
    }
    (there, free)
}

/// The kind of a place, by a walk of its own.
fn kind_of(place: &Place) -> Option<&'static Kind> {
    let mut table: &'static Table = &ROOT;
    let mut kind: Option<&'static Kind> = None;
    for segment in place.segments()? {
        kind = match (segment, kind) {
            (Segment::Key(_), Some(Kind::Named(_))) => Some(&Kind::Text),
            (Segment::Key(key), _) => Some(&table.key(key)?.kind),
            (Segment::Entry(_), _) => None,
        };
        if let Some(Kind::Table(t) | Kind::Inline(t) | Kind::Tables(t)) = kind {
            table = t;
        }
    }
    kind
}

/// The table that a place is, if it is one.
fn table_of(place: &Place) -> Option<&'static Table> {
    let segments = place.segments()?;
    match segments.last() {
        None => Some(&ROOT),
        Some(Segment::Entry(_)) => match kind_of(&place.parent()?) {
            Some(Kind::Tables(table)) => Some(table),
            _ => None,
        },
        Some(Segment::Key(_)) => match kind_of(place) {
            Some(Kind::Table(table) | Kind::Inline(table)) => Some(table),
            _ => None,
        },
    }
}

/// Draws an edit that has a chance in this text.
fn draw(text: &str, dice: &mut Dice<'_>) -> Edit {
    let (there, free) = places(text);
    let pick = |of: &[Place], dice: &mut Dice<'_>| of[dice.below(of.len())].clone();
    let entries: Vec<Place> = there
        .iter()
        .filter(|p| p.key().is_none() && p.parent().is_some())
        .cloned()
        .collect();
    let position = |at: &Place, dice: &mut Dice<'_>| {
        let list = at.parent();
        let others: Vec<Place> = entries
            .iter()
            .filter(|e| e.parent() == list)
            .cloned()
            .collect();
        match dice.below(4) {
            0 => Position::First,
            1 => Position::Last,
            _ if others.is_empty() => Position::Last,
            _ => Position::After(others[dice.below(others.len())].clone()),
        }
    };
    match dice.below(7) {
        0 if !free.is_empty() => {
            let (at, kind) = free[dice.below(free.len())].clone();
            let new = sample(kind, dice);
            Edit::Set { at, new, old: None }
        }
        1 => {
            let at = pick(&there, dice);
            let new = kind_of(&at).map_or(Json::Null, |kind| sample(kind, dice));
            Edit::Set { at, new, old: None }
        }
        2 => Edit::Remove {
            at: pick(&there, dice),
            old: None,
        },
        3 => {
            let mut lists: Vec<(Place, &Table)> = Vec::new();
            for at in there.iter().chain(free.iter().map(|(at, _)| at)) {
                if let Some(Kind::Tables(table)) = kind_of(at).filter(|_| at.key().is_some()) {
                    lists.push((at.clone(), table));
                }
            }
            let (to, table) = lists[dice.below(lists.len())].clone();
            let position = position(
                &to.clone()
                    .with(Segment::Entry(crate::place::Name::first(vec![]))),
                dice,
            );
            Edit::Add {
                to,
                entry: entry(table, dice),
                position,
            }
        }
        4 if !entries.is_empty() => {
            let at = pick(&entries, dice);
            let position = position(&at, dice);
            Edit::Move { at, position }
        }
        5 if !entries.is_empty() => {
            let at = pick(&entries, dice);
            let to = match dice.below(2) {
                0 => NewName::One(dice.id()),
                _ => NewName::Several(vec![dice.id(), dice.id(), dice.text()]),
            };
            Edit::Rename { at, to }
        }
        _ => Edit::Rename {
            at: pick(&there, dice),
            to: NewName::One("length".into()),
        },
    }
}

/// The values of a text.
fn values(text: &str) -> Json {
    let source = crate::source::Source::new(text, "");
    json_of(&crate::tree::parse(&source).root)
}

fn json_of(node: &crate::tree::Node) -> Json {
    use crate::tree::Value;
    match &node.value {
        Value::Text(text) | Value::Date(text) => text.clone().into(),
        Value::Whole(n) => json!(*n as f64),
        Value::Number(x) => json!(x),
        Value::Boolean(b) => json!(b),
        Value::List(nodes) => nodes.iter().map(json_of).collect(),
        Value::Table(entries) => {
            let all = entries.iter().map(|e| (e.key.clone(), json_of(&e.node)));
            Json::Object(all.collect())
        }
    }
}

fn floats(value: &Json) -> Json {
    match value {
        Json::Number(n) => json!(n.as_f64()),
        Json::Array(all) => all.iter().map(floats).collect(),
        Json::Object(all) => all
            .iter()
            .map(|(k, v)| (k.clone(), floats(v)))
            .collect::<Map<_, _>>()
            .into(),
        other => other.clone(),
    }
}

/// A place as positions in plain values.
fn pointer(text: &str, place: &Place) -> Vec<String> {
    let mut at = values(text);
    let mut out = Vec::new();
    let mut path = Vec::new();
    for segment in place.segments().unwrap() {
        match segment {
            Segment::Key(key) => {
                out.push(key.clone());
                at = at.get(key).cloned().unwrap_or(Json::Null);
            }
            Segment::Entry(name) => {
                let list = Place(Address::Record(path.clone()));
                let Some(Kind::Tables(table)) = kind_of(&list) else {
                    panic!("{list} is no list")
                };
                let nodes = at.as_array().cloned().unwrap_or_default();
                let number = crate::place::position(table, &nodes, name).unwrap();
                out.push(number.to_string());
                at = nodes[number].clone();
            }
        }
        path.push(segment.clone());
    }
    out
}

/// Does to plain values what an edit should do to the text. `None` for renaming.
fn model(before: &str, edit: &Edit) -> Option<Json> {
    let mut all = values(before);
    match edit {
        Edit::Set { at, new, .. } if new.is_null() => take(&mut all, &pointer(before, at)),
        Edit::Set { at, new, .. } => {
            let mut node = &mut all;
            for key in &pointer(before, at) {
                node = match node {
                    Json::Array(list) => &mut list[key.parse::<usize>().unwrap()],
                    _ => node
                        .as_object_mut()
                        .unwrap()
                        .entry(key)
                        .or_insert(json!({})),
                };
            }
            *node = floats(new);
        }
        Edit::Remove { at, .. } => take(&mut all, &pointer(before, at)),
        Edit::Add {
            to,
            entry,
            position,
        } => {
            let path = pointer(before, to);
            let mut node = &mut all;
            for key in &path {
                node = match node {
                    Json::Array(list) => &mut list[key.parse::<usize>().unwrap()],
                    _ => node
                        .as_object_mut()
                        .unwrap()
                        .entry(key)
                        .or_insert(Json::Null),
                };
            }
            if node.is_null() {
                *node = json!([]);
            }
            let list = node.as_array_mut().unwrap();
            let at = match position {
                Position::First => 0,
                Position::Last => list.len(),
                Position::After(other) => {
                    1 + pointer(before, other)
                        .last()
                        .unwrap()
                        .parse::<usize>()
                        .unwrap()
                }
            };
            list.insert(at, floats(entry));
        }
        Edit::Move { at, position } => {
            let path = pointer(before, at);
            let from: usize = path.last().unwrap().parse().unwrap();
            let mut node = &mut all;
            for key in &path[..path.len() - 1] {
                node = match node {
                    Json::Array(list) => &mut list[key.parse::<usize>().unwrap()],
                    _ => node.get_mut(key).unwrap(),
                };
            }
            let list = node.as_array_mut().unwrap();
            let moved = list.remove(from);
            let to = match position {
                Position::First => 0,
                Position::Last => list.len(),
                Position::After(other) => {
                    let n: usize = pointer(before, other).last().unwrap().parse().unwrap();
                    if n < from { n + 1 } else { n }
                }
            };
            list.insert(to, moved);
        }
        Edit::Rename { .. } | Edit::Restore { .. } => return None,
    }
    Some(all)
}

fn take(node: &mut Json, path: &[String]) {
    match (node, path) {
        (Json::Array(list), [last]) => {
            list.remove(last.parse().unwrap());
        }
        (Json::Array(list), [first, rest @ ..]) => {
            take(&mut list[first.parse::<usize>().unwrap()], rest);
        }
        (Json::Object(map), [last]) => {
            map.remove(last);
        }
        (Json::Object(map), [first, rest @ ..]) => {
            let inner = map.get_mut(first).unwrap();
            take(inner, rest);
        }
        _ => panic!("no such place"),
    }
}

/// Lists and tables that hold nothing are as good as not there.
fn pruned(value: Json) -> Option<Json> {
    match value {
        Json::Array(all) if all.iter().all(Json::is_object) => {
            let all: Vec<Json> = all
                .into_iter()
                .map(|v| pruned(v).unwrap_or(json!({})))
                .collect();
            (!all.is_empty()).then(|| all.into())
        }
        Json::Object(map) => {
            let all: Map<_, _> = map
                .into_iter()
                .filter_map(|(k, v)| Some((k, pruned(v)?)))
                .collect();
            (!all.is_empty()).then(|| all.into())
        }
        other => Some(other),
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
    assert!(Ids::Photos.short_form().is_some());
}
