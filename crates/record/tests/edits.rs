//! What edits do to a text, seen from outside; that any sequence of them can be undone is held by a
//! property test beside the grammar.

#![allow(
    clippy::unwrap_used,
    reason = "a test may stop where its ground is missing"
)]

use record::{AnyFile, Dossier, Draft, Edit, EditError, Place, State};
use serde_json::{Value, json};

const TEXT: &str = include_str!("../src/tests/odd/headers.toml");
const INLINE: &str = include_str!("../src/tests/odd/inline.toml");
const DEMO: &str = include_str!("../../../demo/lamp/dossier.toml");

fn draft(text: &str) -> Draft {
    Draft::parse(text, "dossier.toml").unwrap()
}

/// Makes an edit that is given as JSON.
#[track_caller]
fn edit(draft: &mut Draft, edit: Value) -> record::Applied {
    let edit: Edit = serde_json::from_value(edit).unwrap();
    draft.apply(&edit).unwrap_or_else(|e| panic!("{e}"))
}

#[track_caller]
fn refused(draft: &mut Draft, edit: Value) -> EditError {
    let before = draft.text();
    let edit: Edit = serde_json::from_value(edit).unwrap();
    let error = draft.apply(&edit).unwrap_err();
    assert_eq!(draft.text(), before);
    error
}

#[track_caller]
fn read(draft: &Draft) -> Dossier {
    draft.check(&AnyFile).unwrap_or_else(|p| panic!("{p}"))
}

#[track_caller]
fn at(place: &str) -> Place {
    place.parse().unwrap()
}

/// Lines that one text has and the other has not.
fn difference(before: &str, after: &str) -> (Vec<String>, Vec<String>) {
    let only = |a: &str, b: &str| -> Vec<String> {
        let mut rest: Vec<&str> = b.lines().collect();
        let mut out = Vec::new();
        for line in a.lines() {
            match rest.iter().position(|l| *l == line) {
                Some(n) => drop(rest.remove(n)),
                None => out.push(line.to_string()),
            }
        }
        out
    };
    (only(before, after), only(after, before))
}

#[test]
fn renaming_an_item_follows_references_evidence_and_notes() {
    let mut draft = draft(TEXT);
    let applied = edit(
        &mut draft,
        json!({"do": "rename", "at": "items.chip", "to": "driver"}),
    );
    assert_eq!(applied.at, at("items.driver"));
    let (gone, new) = difference(TEXT, &draft.text());
    let follow = |line: &str| {
        line.replace("\"chip\"", "\"driver\"")
            .replace("items.chip", "items.driver")
    };
    assert_eq!(new, gone.iter().map(|l| follow(l)).collect::<Vec<_>>());
    // Its id, the region's item, two links, a reading, a measure, and the place in a note.
    assert_eq!(new.len(), 7, "{new:#?}");
    let dossier = read(&draft);
    assert!(
        dossier.items[0]
            .note
            .as_ref()
            .unwrap()
            .contains("items.driver.part, or photo:topside")
    );
    assert_eq!(dossier.measures[0].item.as_deref(), Some("driver"));
    // The region of the same name is another thing.
    assert_eq!(dossier.measures[0].region.as_deref(), Some("chip"));
}

#[test]
fn renaming_a_photo_or_a_region_follows_evidence_and_measures() {
    let mut draft = draft(TEXT);
    edit(
        &mut draft,
        json!({"do": "rename", "at": "photo:top", "to": "upper"}),
    );
    edit(
        &mut draft,
        json!({"do": "rename", "at": "photo:upper#chip", "to": "ic"}),
    );
    let dossier = read(&draft);
    let evidence: Vec<&str> = dossier.items[1]
        .evidence
        .iter()
        .map(|e| e.0.as_str())
        .collect();
    assert_eq!(evidence, ["photo:upper", "photo:upper#ic"]);
    assert_eq!(dossier.measures[0].photo, "upper");
    assert_eq!(dossier.measures[0].region.as_deref(), Some("ic"));
    assert_eq!(dossier.measures[0].item.as_deref(), Some("chip"));
    let note = dossier.items[0].note.as_ref().unwrap();
    assert_eq!(
        note,
        "see photo:upper#ic and items.chip.part, or photo:topside"
    );
    assert!(draft.text().contains("# the region\n"));
}

/// Every id of the demonstration, renamed one after the other: the text reads, and says the same.
#[test]
fn every_id_of_the_demonstration_can_be_renamed() {
    let mut draft = draft(DEMO);
    let mut dossier = read(&draft);
    let mut ids: Vec<Place> = Vec::new();
    ids.extend(dossier.items.iter().step_by(9).map(|i| Place::item(&i.id)));
    ids.extend(dossier.steps.iter().step_by(5).map(|s| Place::step(&s.id)));
    ids.extend(
        dossier
            .readings
            .iter()
            .step_by(9)
            .map(|r| Place::reading(&r.id)),
    );
    ids.extend(
        dossier
            .measures
            .iter()
            .step_by(9)
            .map(|m| Place::measure(&m.id)),
    );
    ids.extend(
        dossier
            .instruments
            .iter()
            .step_by(3)
            .map(|i| Place::instrument(&i.id)),
    );
    ids.extend(
        dossier
            .claims
            .iter()
            .step_by(5)
            .map(|c| Place::claim(&c.id)),
    );
    ids.extend(dossier.product.labels.iter().map(|l| Place::label(&l.id)));
    ids.extend(
        dossier
            .photos
            .iter()
            .step_by(4)
            .map(|p| Place::photo(&p.id)),
    );
    assert!(ids.len() > 25, "{}", ids.len());
    let mut undo = Vec::new();
    for (n, id) in ids.iter().enumerate() {
        let to = format!("renamed-{n}");
        undo.push(edit(&mut draft, json!({"do": "rename", "at": id, "to": to})).inverse);
    }
    let renamed = read(&draft);
    assert_eq!(renamed.items.len(), dossier.items.len());
    for (old, new) in dossier.items.iter_mut().zip(&renamed.items) {
        assert_eq!(
            (&old.name, old.kind, &old.size),
            (&new.name, new.kind, &new.size)
        );
    }
    for inverse in undo.iter().rev() {
        draft.apply(inverse).unwrap();
    }
    assert_eq!(draft.text(), DEMO);
}

#[test]
fn names_that_are_taken_or_none_are_refused() {
    let mut draft = draft(TEXT);
    let taken = refused(
        &mut draft,
        json!({"do": "rename", "at": "items.chip", "to": "lamp"}),
    );
    assert_eq!(
        taken,
        EditError::Taken {
            at: at("items.lamp")
        }
    );
    let bad = refused(
        &mut draft,
        json!({"do": "rename", "at": "items.chip", "to": "the chip"}),
    );
    assert_eq!(
        bad,
        EditError::BadId {
            id: "the chip".into()
        }
    );
    let twice = refused(
        &mut draft,
        json!({"do": "add", "to": "items", "entry": {"id": "chip"}}),
    );
    assert_eq!(
        twice,
        EditError::Taken {
            at: at("items.chip")
        }
    );
    let key = refused(
        &mut draft,
        json!({"do": "add", "to": "items", "entry": {"colour": "red"}}),
    );
    assert!(matches!(key, EditError::UnknownKey { .. }), "{key}");
    let other = refused(
        &mut draft,
        json!({"do": "move", "at": "items.chip", "position": {"after": "photo:top"}}),
    );
    assert!(matches!(other, EditError::WrongPlace { .. }), "{other}");
}

/// Two hands at one value: the later one is told what stands there.
#[test]
fn an_edit_that_expects_another_value_is_refused_with_the_present_one() {
    let mut draft = draft(TEXT);
    let set = |old: &str, new: &str| json!({"do": "set", "at": "claims.weight.value", "old": old, "new": new});
    edit(&mut draft, set("120 g", "121 g"));
    let late = refused(&mut draft, set("120 g", "122 g"));
    assert_eq!(
        late,
        EditError::Changed {
            at: at("claims.weight.value"),
            present: json!("121 g")
        }
    );
    let there = json!({"do": "set", "at": "claims.weight.tolerance", "old": null, "new": "5 %"});
    edit(&mut draft, there.clone());
    let twice = refused(&mut draft, there);
    assert!(matches!(
        twice,
        EditError::Changed {
            present: Value::String(_),
            ..
        }
    ));
    let gone = json!({"do": "remove", "at": "items.chip.count", "old": 2});
    assert!(matches!(
        refused(&mut draft, gone),
        EditError::Changed {
            present: Value::Null,
            ..
        }
    ));
}

#[test]
fn an_inverse_is_data_and_is_refused_once_the_same_was_changed() {
    let mut draft = draft(TEXT);
    let first = edit(
        &mut draft,
        json!({"do": "set", "at": "product.name", "new": "Glimm 3"}),
    );
    let tie =
        json!({"at": {"within": "", "unit": {"unit": "product.name", "number": 0, "offset": 0}}});
    let line = TEXT.lines().find(|l| l.contains("Glimm 2")).unwrap();
    assert_eq!(
        serde_json::to_value(&first.inverse).unwrap(),
        json!({"do": "restore", "at": "product.name", "text": [{
            "at": tie,
            "old": format!("{}\n", line.replace("Glimm 2", "Glimm 3")),
            "new": format!("{line}\n"),
        }]})
    );
    edit(
        &mut draft,
        json!({"do": "set", "at": "product.name", "new": "Glimm 4"}),
    );
    let error = draft.apply(&first.inverse).unwrap_err();
    assert_eq!(
        error.to_string(),
        "product.name was changed meanwhile: product.name is written otherwise by now"
    );
}

#[test]
fn entries_without_id_are_added_moved_renamed_and_removed() {
    let mut draft = draft(TEXT);
    let load = edit(
        &mut draft,
        json!({"do": "add", "to": "items.chip.loads", "position": "first",
               "entry": {"mode": "off", "current": "1 µA"}}),
    );
    assert_eq!(load.at, at("items.chip.loads.off"));
    edit(
        &mut draft,
        json!({"do": "move", "at": "items.chip.loads.off", "position": {"after": "items.chip.loads.\"on, bright\""}}),
    );
    edit(
        &mut draft,
        json!({"do": "rename", "at": "items.chip.loads.\"on, bright\"#2", "to": "on, dim"}),
    );
    let loads: Vec<String> = read(&draft).items[1]
        .loads
        .iter()
        .map(|l| l.mode.clone())
        .collect();
    assert_eq!(loads, ["on, bright", "off", "on, dim"]);
    edit(
        &mut draft,
        json!({"do": "rename", "at": "links.lamp,chip,power,3V3", "to": ["chip", "lamp", "signal", "SDA"]}),
    );
    edit(
        &mut draft,
        json!({"do": "move", "at": "links.chip,lamp", "position": "first"}),
    );
    edit(
        &mut draft,
        json!({"do": "set", "at": "links.chip,lamp,signal,SDA.voltage", "new": "3.3 V"}),
    );
    edit(&mut draft, json!({"do": "remove", "at": "links.lamp-chip"}));
    let links = read(&draft).links;
    assert_eq!(links.len(), 1);
    assert_eq!(links[0].voltage.as_ref().unwrap().text, "3.3 V");
    for entry in [
        json!({"do": "add", "to": "product.identifiers", "entry": {"kind": "GTIN", "text": "1"}}),
        json!({"do": "add", "to": "product.identifiers", "entry": {"kind": "serial", "text": "2"}}),
        json!({"do": "add", "to": "product.accessories", "entry": {"name": "cable, 1 m"}}),
        json!({"do": "rename", "at": "product.accessories.\"cable, 1 m\"", "to": "cable"}),
        json!({"do": "move", "at": "product.identifiers.serial", "position": "first"}),
        json!({"do": "rename", "at": "photos.top.references.\"edge.of \\\"it\\\"\"", "to": "edge"}),
        json!({"do": "rename", "at": "correlations.first,second", "to": ["second", "first"]}),
    ] {
        edit(&mut draft, entry);
    }
    let dossier = read(&draft);
    assert_eq!(dossier.product.identifiers[0].kind, "serial");
    assert_eq!(dossier.product.accessories[0].name, "cable");
    assert_eq!(dossier.photos[0].references[0].name, "edge");
    assert_eq!(dossier.correlations[0].between, ["second", "first"]);
}

/// An entry goes with the comments right above it and its tables, wherever those stand.
#[test]
fn a_moved_entry_takes_its_comments_along() {
    let mut draft = draft(TEXT);
    edit(
        &mut draft,
        json!({"do": "add", "to": "items", "entry": {"id": "shell", "name": "Shell", "kind": "shell", "parent": "lamp"}}),
    );
    edit(
        &mut draft,
        json!({"do": "move", "at": "items.lamp", "position": "last"}),
    );
    let text = draft.text();
    let order = [
        "id = \"chip\"",
        "# under the lens",
        "id = \"shell\"",
        "# the whole\n[[items]]\nid = \"lamp\"",
        "[[links]]",
    ];
    let places: Vec<usize> = order.iter().map(|part| text.find(part).unwrap()).collect();
    assert!(places.is_sorted(), "{places:?}\n{text}");
    read(&draft);
    let mut inline = self::draft(INLINE);
    edit(
        &mut inline,
        json!({"do": "move", "at": "items.cell", "position": "first"}),
    );
    let text = inline.text();
    assert!(
        text.contains(
            "parent = \"lamp\", cell.form = \"pouch\", cell.capacity = \"620 mAh\" }, # last\n"
        ),
        "{text}"
    );
    assert!(
        text.contains("kind = \"product\" }, # the whole\n  # a chip\n  { id = \"chip\""),
        "{text}"
    );
    read(&inline);
}

/// A text with the line breaks of another system keeps them.
#[test]
fn line_breaks_stay_as_they_are() {
    let mut draft = draft(&TEXT.replace('\n', "\r\n"));
    for change in [
        json!({"do": "set", "at": "product.model", "new": "G2"}),
        json!({"do": "add", "to": "steps", "entry": {"id": "lift", "action": "lift", "text": "Lift it", "undo": "yes"}}),
        json!({"do": "set", "at": "items.chip.part.identity", "new": {"name": "OK41", "certainty": "read"}}),
        json!({"do": "move", "at": "readings.second", "position": "first"}),
    ] {
        edit(&mut draft, change);
    }
    let text = draft.text();
    let lone = text.matches('\n').count() - text.matches("\r\n").count();
    assert_eq!(lone, 0, "{text}");
    read(&draft);
    // Inside a value, what was given stays as it was given.
    edit(
        &mut draft,
        json!({"do": "set", "at": "steps.lift.text", "new": "Lift\nit"}),
    );
    assert_eq!(read(&draft).steps[1].text, "Lift\nit");
}

/// What a freshly added entry lacks is told by place, not as one problem after another.
#[test]
fn an_entry_that_is_not_complete_is_told_by_its_place() {
    let mut draft = draft(TEXT);
    edit(
        &mut draft,
        json!({"do": "add", "to": "items", "entry": {"id": "foil"}}),
    );
    edit(
        &mut draft,
        json!({"do": "add", "to": "photos", "entry": {"id": "side", "caption": "Side"}}),
    );
    let told = |draft: &Draft| match draft.state(&AnyFile) {
        State::Reads(_) => panic!("it reads"),
        State::NotYet { missing, problems } => {
            assert_eq!(problems, []);
            serde_json::to_value(missing).unwrap()
        }
    };
    assert_eq!(
        told(&draft),
        json!([
            {"at": "photo:side", "keys": ["file"]},
            {"at": "items.foil", "keys": ["name", "kind"]},
        ])
    );
    edit(
        &mut draft,
        json!({"do": "set", "at": "photo:side.file", "new": "side.jpg"}),
    );
    edit(
        &mut draft,
        json!({"do": "set", "at": "items.foil.name", "new": "Foil"}),
    );
    edit(
        &mut draft,
        json!({"do": "set", "at": "items.foil.kind", "new": "other"}),
    );
    assert_eq!(
        told(&draft),
        json!([{"at": "items.foil", "keys": ["parent"]}])
    );
    edit(
        &mut draft,
        json!({"do": "set", "at": "items.foil.parent", "new": "lamp"}),
    );
    assert!(matches!(draft.state(&AnyFile), State::Reads(_)));
}

/// The new keys, set one by one.
#[test]
fn times_origins_and_designators_are_set_and_read() {
    let mut draft = draft(TEXT);
    for (place, new) in [
        ("items.chip.role-origin", "catalogue"),
        ("items.chip.designator", "U5"),
        ("steps.open.started", "2026-03-01T14:05:00+01:00"),
        ("steps.open.stopped", "2026-03-01T14:07:30+01:00"),
        ("photo:top.taken", "2026-03-01T14:31:20.5Z"),
        ("measure:across.region", "chip"),
    ] {
        edit(&mut draft, json!({"do": "set", "at": place, "new": new}));
    }
    assert!(
        draft
            .text()
            .contains("started = 2026-03-01T14:05:00+01:00\n")
    );
    let dossier = read(&draft);
    assert_eq!(
        dossier.items[1].role_origin,
        Some(record::RoleOrigin::Catalogue)
    );
    assert_eq!(dossier.items[1].designator.as_deref(), Some("U5"));
    assert!(
        dossier.steps[0]
            .started
            .unwrap()
            .is_before(&dossier.steps[0].stopped.unwrap())
    );
    assert_eq!(
        dossier.photos[0].taken.unwrap().to_string(),
        "2026-03-01T14:31:20.5+00:00"
    );
    let error = refused(
        &mut draft,
        json!({"do": "set", "at": "steps.open.started", "new": "14:05"}),
    );
    assert!(matches!(error, EditError::WrongValue { .. }), "{error}");
}

/// Comments inside a table or a list stay where what they are about stays.
#[test]
fn setting_a_whole_table_or_list_keeps_the_comments_inside() {
    let text = "format = 1\n[product]\nname = \"Lamp\"\n\n[[items]]\nid = \"lamp\"\nname = \"Lamp\"\nkind = \"product\"\n\n\
        [[items]]\nid = \"cell\"\nname = \"Cell\"\nkind = \"cell\"\nparent = \"lamp\"\n\n\
        [items.cell]\n# printed on the side\nform = \"pouch\"\n# under the tape\ncapacity = \"620 mAh\" # twice\n\n\
        [[items.loads]]\n# with the light on\nmode = \"on\"\ncurrent = \"20 mA\"\n\n\
        [[items.loads]]\n# asleep\nmode = \"standby\"\ncurrent = \"20 µA\"\n";
    let mut draft = draft(text);
    let cell = edit(
        &mut draft,
        json!({"do": "set", "at": "items.cell.cell",
            "new": {"form": "pouch", "capacity": "600 mAh", "nominal-voltage": "3.7 V"}}),
    );
    let loads = edit(
        &mut draft,
        json!({"do": "set", "at": "items.cell.loads", "new": [
            {"mode": "standby", "current": "20 µA"},
            {"mode": "boost", "current": "80 mA"},
            {"mode": "on", "current": "25 mA"}]}),
    );
    let now = draft.text();
    let order = [
        "# printed on the side\nform = \"pouch\"",
        "# under the tape\ncapacity = \"600 mAh\" # twice",
        "nominal-voltage = \"3.7 V\"",
        "# asleep\nmode = \"standby\"",
        "mode = \"boost\"",
        "# with the light on\nmode = \"on\"\ncurrent = \"25 mA\"",
    ];
    let places: Vec<Option<usize>> = order.iter().map(|part| now.find(part)).collect();
    assert!(places.iter().all(Option::is_some), "{places:?}\n{now}");
    assert!(places.is_sorted(), "{places:?}\n{now}");
    for applied in [loads, cell] {
        draft.apply(&applied.inverse).unwrap();
    }
    assert_eq!(draft.text(), text);
}
