//! A new key is one entry in the grammar: reading, places, edits and their inverses, completeness,
//! schema and page follow from it.

use crate::grammar::{ITEM, Key, Kind, ROOT, Table, Word};
use crate::place::Thing;
use crate::{AnyFile, Draft, Edit, NewName, Place, Position};
use serde_json::json;

const SHADES: &[Word] = &[
    Word {
        word: "light",
        doc: "reflects most",
    },
    Word {
        word: "dark",
        doc: "reflects little",
    },
];

/// The entry for a required key.
const SHADE: Key = Key {
    name: "shade",
    kind: Kind::Words(SHADES),
    required: true,
    doc: "how it looks against the light",
};

/// The entry for a list of its own.
static STICKER: Table = Table {
    name: "items.stickers",
    thing: Thing::Label,
    natural: &["title"],
    doc: "something stuck on it",
    keys: &[
        Key {
            name: "title",
            kind: Kind::Text,
            required: true,
            doc: "what it says first",
        },
        Key {
            name: "left",
            kind: Kind::Boolean,
            required: false,
            doc: "whether it still sticks",
        },
    ],
};
const STICKERS: Key = Key {
    name: "stickers",
    kind: Kind::Tables(&STICKER),
    required: false,
    doc: "what sticks on it",
};

/// The format with the two keys more.
fn grammar() -> &'static Table {
    let keys = |of: &'static Table, more: &[Key]| -> &'static [Key] {
        Box::leak(of.keys.iter().chain(more).copied().collect())
    };
    let item: &'static Table = Box::leak(Box::new(Table {
        keys: keys(&ITEM, &[SHADE, STICKERS]),
        ..ITEM
    }));
    let mut top: Vec<Key> = ROOT.keys.to_vec();
    for key in &mut top {
        if key.name == "items" {
            key.kind = Kind::Tables(item);
        }
    }
    Box::leak(Box::new(Table {
        keys: Box::leak(top.into()),
        ..ROOT
    }))
}

const TEXT: &str = "format = 1
[product]
name = \"Glimm\"
maker = \"Oskvale\"
opened = 2026-03-01

[[items]] # the whole
id = \"lamp\"
name = \"Lamp\"
kind = \"product\"
";

#[test]
fn a_new_key_is_one_entry_in_the_grammar() {
    let grammar = grammar();
    let place = |text: &str| Place::parse_in(grammar, text).unwrap();
    assert!(Place::parse_in(&ROOT, "items.lamp.shade").is_err());

    // Completeness.
    let lacking = |text: &str| -> Vec<(String, String)> {
        match crate::check::check(grammar, text, "dossier.toml", &AnyFile) {
            Ok(_) => Vec::new(),
            Err(problems) => {
                let told = problems.0.into_iter();
                told.map(|p| (p.place.unwrap().to_string(), p.lacks.unwrap_or(p.message)))
                    .collect()
            }
        }
    };
    assert_eq!(
        lacking(TEXT),
        [("items.lamp".to_string(), "shade".to_string())]
    );

    // Edits, each undone.
    let mut draft = Draft::parse_in(grammar, TEXT, "dossier.toml").unwrap();
    let shade = place("items.lamp.shade");
    let stickers = place("items.lamp.stickers");
    let edits = [
        Edit::Set {
            at: shade.clone(),
            new: json!("dark"),
            old: Some(json!(null)),
        },
        Edit::Add {
            to: stickers.clone(),
            entry: json!({ "title": "Keep dry" }),
            position: Position::Last,
        },
        Edit::Add {
            to: stickers,
            entry: json!({ "left": true }),
            position: Position::First,
        },
        Edit::Set {
            at: place("items.lamp.stickers.\"\".title"),
            new: json!("QC"),
            old: None,
        },
        Edit::Move {
            at: place("items.lamp.stickers.QC"),
            position: Position::Last,
        },
        Edit::Rename {
            at: place("items.lamp.stickers.\"Keep dry\""),
            to: NewName::One("Dry".into()),
        },
        Edit::Rename {
            at: place("items.lamp"),
            to: NewName::One("light".into()),
        },
        Edit::Set {
            at: place("items.light.shade"),
            new: json!("light"),
            old: Some(json!("dark")),
        },
    ];
    let mut undo = Vec::new();
    for edit in &edits {
        undo.push((draft.text(), draft.apply(edit).unwrap().inverse));
    }
    let text = draft.text();
    assert_eq!(
        text,
        TEXT.replace("lamp", "light")
            + "shade = \"light\"\n\n[[items.stickers]]\ntitle = \"Dry\"\n\n[[items.stickers]]\nleft = true\ntitle = \"QC\"\n"
    );
    assert_eq!(lacking(&text), []);
    assert_eq!(
        lacking(&text.replace("\"light\"\n\n", "\"lit\"\n\n")).len(),
        1
    );
    for (before, inverse) in undo.iter().rev() {
        draft.apply(inverse).unwrap();
        assert_eq!(draft.text(), *before);
    }

    // Schema and page.
    let schema = crate::schema::schema_of(grammar);
    let item = &schema["$defs"]["items"];
    assert_eq!(item["properties"]["shade"]["oneOf"][1]["const"], "dark");
    assert!(
        item["required"]
            .as_array()
            .unwrap()
            .contains(&json!("shade"))
    );
    assert_eq!(
        schema["$defs"]["items.stickers"]["required"],
        json!(["title"])
    );
    let page = crate::page::reference_of(grammar);
    assert!(page.contains("| `shade` | required | one of the words below |"));
    assert!(page.contains("### `[[items.stickers]]`"));
}
