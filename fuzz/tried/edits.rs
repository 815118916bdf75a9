//! Any edits of a small dossier: each is made or refused, what is refused changes nothing, and what was made is taken
//! back to the same bytes, last in, first out.
//!
//! Each line is an edit as JSON; or a letter for what to do, a character for a place of the text below, and the rest as
//! the value.

use record::{Draft, Edit, NewName, Place, Position};
use serde_json::Value;

/// What is edited.
const TEXT: &str = include_str!("../seeds/dossier/small.toml");

/// Places that there are, that there could be, and that there are not.
const PLACES: [&str; 24] = [
    "product.name",
    "product.price",
    "product.price.paid",
    "product.labels",
    "items",
    "items.product",
    "items.board",
    "items.board.size",
    "items.board.size.length",
    "items.charger.part.marking",
    "items.charger.part.identity",
    "items.charger.loads",
    "items.cell.cell.capacity",
    "items.none.name",
    "claims",
    "claims.weight.tolerance",
    "claims.weight",
    "readings",
    "readings.mass-whole",
    "readings.mass-whole.value",
    "links",
    "photos.top.regions",
    "photos.top.regions.charger.rect",
    "steps.open.frees",
];

/// Most edits of one input; each reads the text several times.
const MOST: usize = 12;

/// Makes the edits and takes them back.
pub fn tried(data: &[u8]) {
    let lines = String::from_utf8_lossy(data);
    let mut draft = Draft::parse(TEXT, "dossier.toml").expect("the small dossier reads");
    let mut made = Vec::new();
    for edit in lines.lines().take(MOST).filter_map(edit) {
        let before = draft.text();
        match draft.apply(&edit) {
            Ok(applied) => made.push((applied.inverse, before)),
            Err(_) => assert_eq!(draft.text(), before, "refused, and changed"),
        }
    }
    let _ = draft.check(&record::AnyFile);
    for (inverse, before) in made.iter().rev() {
        let back = draft.apply(inverse);
        assert!(back.is_ok(), "{back:?}");
        assert_eq!(&draft.text(), before, "not taken back");
    }
}

fn edit(line: &str) -> Option<Edit> {
    if let Ok(edit) = serde_json::from_str(line) {
        return Some(edit);
    }
    let mut letters = line.chars();
    let (what, which) = (letters.next()?, letters.next()?);
    let rest = letters.as_str();
    let at: Place = PLACES[which as usize % PLACES.len()].parse().ok()?;
    let value = serde_json::from_str(rest).unwrap_or_else(|_| Value::from(rest));
    let position = match rest.len() % 3 {
        0 => Position::First,
        1 => Position::Last,
        _ => Position::After("items.board".parse().ok()?),
    };
    let old = None;
    Some(match what as u32 % 5 {
        0 => Edit::Remove { at, old },
        1 => Edit::Add {
            to: at,
            entry: value,
            position,
        },
        2 => Edit::Move { at, position },
        3 => Edit::Rename {
            at,
            to: NewName::One(rest.to_string()),
        },
        _ => Edit::Set {
            at,
            new: value,
            old,
        },
    })
}
