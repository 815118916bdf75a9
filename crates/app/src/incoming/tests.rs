//! Tables as analysts keep them, written for this test.

use super::*;
use record::{AnyFile, Draft, read_text};

fn demo() -> (String, Dossier) {
    let text = include_str!("../../../../demo/lamp/dossier.toml").to_string();
    let dossier = read_text(&text, "dossier.toml", &AnyFile).expect("it reads");
    (text, dossier)
}

fn taken(table: &str) -> (Incoming, Dossier) {
    let (text, now) = demo();
    let incoming = incoming(table.as_bytes(), "seen.csv", None, &now).expect("it is a table");
    let mut draft = Draft::parse(&text, "dossier.toml").expect("it is TOML");
    for row in &incoming.rows {
        if let Comes::Edits { edits, .. } = &row.comes {
            for edit in edits {
                draft.apply(edit).expect("the edit fits");
            }
        }
    }
    let after = draft.check(&AnyFile).expect("the record reads with them");
    (incoming, after)
}

#[test]
fn a_parts_list_becomes_items_that_the_record_reads() {
    let table = "RefDes;Top marking;MPN;Manufacturer;Package;Qty;Board\n\
                 U91;ZK4|71;NHF9120;Ostrand;SOT-23;1;lamp-main\n\
                 R12;103;;;;4;lamp-main\n";
    let (incoming, after) = taken(table);
    assert_eq!(incoming.sort, Some(Sort::Parts));
    let added = after
        .items
        .iter()
        .find(|i| i.designator.as_deref() == Some("U91"))
        .expect("added");
    let part = added.part.as_ref().expect("a part");
    assert_eq!(part.package.as_deref(), Some("SOT-23"));
    assert_eq!(part.marking.len(), 2);
    // A list is hearsay about the marking: it does not make a part read.
    assert_eq!(
        part.identity.as_ref().map(|i| i.certainty),
        Some(record::Certainty::Assumed)
    );
    let resistors = after
        .items
        .iter()
        .find(|i| i.designator.as_deref() == Some("R12"));
    assert!(resistors.is_some_and(|i| i.count != record::Count::default()));
}

#[test]
fn weights_take_the_unit_of_the_heading_and_never_another() {
    let (incoming, after) = taken("item,mass (g)\nlamp,41.20\nLamp,41.13\nnowhere,3\n");
    assert_eq!(incoming.sort, Some(Sort::Readings));
    assert!(matches!(incoming.rows[0].comes, Comes::Edits { .. }));
    assert!(
        matches!(incoming.rows[1].comes, Comes::Known { .. }),
        "{:?}",
        incoming.rows[1]
    );
    assert!(matches!(incoming.rows[2].comes, Comes::Refused { .. }));
    assert!(
        after
            .readings
            .iter()
            .any(|r| r.value.text == "41.20 g" && r.item == "lamp")
    );
    let (bare, _) = taken("item,mass\nlamp,41.20\n");
    assert!(matches!(bare.rows[0].comes, Comes::Refused { .. }));
}

#[test]
fn what_is_recorded_already_is_not_taken_twice() {
    for table in [
        "reference,marking,board\nU91,ZK4,lamp-main\nU92,ZK5,lamp-main\n",
        "item,mass (g)\nlamp,41.20\nlamp-back,4.71\n",
    ] {
        let (first, after) = taken(table);
        let again = incoming(table.as_bytes(), "seen.csv", None, &after).expect("it is a table");
        assert_eq!(again.rows.len(), 2);
        for (before, now) in first.rows.iter().zip(&again.rows) {
            assert!(matches!(before.comes, Comes::Edits { .. }), "{before:?}");
            assert!(matches!(now.comes, Comes::Known { .. }), "{now:?}");
        }
    }
}

#[test]
fn a_table_of_something_else_asks_what_its_columns_are() {
    let (_, now) = demo();
    let table = b"colour,taste\nU91,ZK4\n";
    let asked = incoming(table, "fruit.csv", None, &now).expect("it is a table");
    assert!(asked.sort.is_none() && asked.unsorted.is_some());
    assert!(asked.edits().is_empty());
    assert_eq!(asked.columns[0].0, "colour");
    // Corrected, it is a parts list.
    let map = [Some(Column::Reference), Some(Column::Marking)];
    let corrected = incoming(table, "fruit.csv", Some(&map), &now).expect("it is a table");
    assert_eq!(corrected.sort, Some(Sort::Parts));
    assert_eq!(corrected.edits().len(), 1);
    assert_eq!(corrected.counts(), [1, 0, 0]);
}

#[test]
fn every_column_has_the_word_that_it_is_sent_by() {
    for column in Column::ALL {
        assert_eq!(serde_json::json!(column), column.word());
    }
}
