//! Drawing edits that have a chance in a text, from the grammar alone.

use crate::grammar::{Key, Kind, ROOT, Table};
use crate::place::Segment;
use crate::{Edit, NewName, Place, Position, TextPlaces};
use serde_json::{Map, Value as Json, json};

/// Draws numbers from a list, and 0 when it is used up.
pub(super) struct Dice<'a>(pub(super) &'a [u32], pub(super) usize);

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
pub(super) fn sample(kind: &Kind, dice: &mut Dice<'_>) -> Json {
    match kind {
        Kind::Id(_) | Kind::Ref(_) | Kind::RegionOf(_) => dice.id().into(),
        Kind::Evidence => ["photo:top", "photo:top#chip", "text:x"][dice.below(3)].into(),
        Kind::Text | Kind::Note | Kind::Marking | Kind::FileIn(_) => dice.text().into(),
        Kind::Date => "2026-02-28".into(),
        Kind::Moment => crate::moment::EXAMPLE.into(),
        Kind::FilmTime => crate::film_time::EXAMPLE.into(),
        Kind::Quantity(asked) => asked.example.into(),
        Kind::Rating => "5 V ⎓ 2 A".into(),
        Kind::Words(words) => words[dice.below(words.len())].word.into(),
        Kind::Count => [json!(1 + dice.below(3)), json!("unknown")][dice.below(2)].clone(),
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
pub(super) fn entry(table: &Table, dice: &mut Dice<'_>) -> Json {
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
pub(super) fn places(text: &str) -> (Vec<Place>, Vec<(Place, &'static Kind)>) {
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
pub(super) fn kind_of(place: &Place) -> Option<&'static Kind> {
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
pub(super) fn table_of(place: &Place) -> Option<&'static Table> {
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
pub(super) fn draw(text: &str, dice: &mut Dice<'_>) -> Edit {
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
