//! Edits keep the author's comments and order.

#![allow(
    clippy::unwrap_used,
    reason = "a test may stop where its ground is missing"
)]

use record::{
    AnyFile, Draft, EditError, MeasureSubject, PhotoMeasure, Place, Reading, ReadingSubject,
    Reference, ReferenceShape,
};

const TEXT: &str = r#"# my lamp
format = 1

[product]
name = "Glimm 2" # as printed
maker = "Oskvale Works"
opened = 2026-03-01

# claims first
[[claims]]
id = "weight"
text = "Only 120 g"
printed = "box"
kind = "mass"
value = "120 g"   # on the box

[[items]]
id = "lamp"
name = "Lamp"
kind = "product"

[[items]]
id = "chip"
name = "Chip"
kind = "part"
parent = "lamp"

[items.part] # under the lens
marking = [ "OK41" ]

[[readings]]
id = "first"
item = "lamp"
what = "mass"
value = "119.8 g" # on a cold scale

[[correlations]]
between = ["first", "second"]
coefficient = 0.5
"#;

fn at(place: &str) -> Place {
    place.parse().unwrap()
}

fn draft() -> Draft {
    Draft::parse(TEXT, "dossier.toml").unwrap()
}

#[test]
fn an_unedited_draft_is_the_same_text() {
    assert_eq!(draft().text(), TEXT);
}

#[test]
fn setting_a_value_changes_only_that_value() {
    let mut draft = draft();
    draft.set(&at("product.name"), "Glimm 3").unwrap();
    draft
        .set(&at("items.chip.part.marking"), vec!["OK4[18]"])
        .unwrap();
    let expected = TEXT
        .replace("\"Glimm 2\" # as printed", "\"Glimm 3\" # as printed")
        .replace("[ \"OK41\" ]", "[\"OK4[18]\"]");
    assert_eq!(draft.text(), expected);
}

#[test]
fn new_keys_and_tables_join_their_entry() {
    let mut draft = draft();
    draft.set(&at("claims.weight.tolerance"), "3 %").unwrap();
    draft
        .set(&at("items.chip.part.ratings.efficiency"), "88 %")
        .unwrap();
    draft.set(&at("items.chip.size.length"), "3 mm").unwrap();
    draft.set(&at("items.chip.count"), 2).unwrap();
    draft.set(&at("product.bought"), "2026-02-01").unwrap();
    let text = draft.text();
    assert!(text.contains("tolerance = \"3 %\""), "{text}");
    assert!(text.contains("bought = 2026-02-01"), "{text}");
    for comment in TEXT.lines().filter_map(|l| l.split_once('#')) {
        assert!(text.contains(comment.1), "{text}");
    }
    draft.remove(&at("items.chip.count")).unwrap();
    draft.add(&at("readings"), &second()).unwrap();
    let dossier = draft
        .check(&AnyFile)
        .unwrap_or_else(|p| panic!("{p}\n{}", draft.text()));
    let chip = dossier.item("chip").unwrap();
    assert_eq!(chip.count.at_least(), 1);
    assert_eq!(chip.size["length"].text, "3 mm");
    assert_eq!(
        chip.part.as_ref().unwrap().ratings["efficiency"].text,
        "88 %"
    );
    assert_eq!(dossier.claims[0].tolerance.as_ref().unwrap().text, "3 %");
}

fn second() -> Reading {
    Reading {
        id: "second".into(),
        item: "chip".into(),
        what: ReadingSubject::Mass,
        mode: None,
        value: quantity::Stated::parse("0.12 g").unwrap(),
        instrument: None,
        pieces: None,
        tare: None,
        started: None,
        stopped: None,
        before: None,
        after: None,
        without: Vec::new(),
        private: false,
        evidence: Vec::new(),
        note: None,
    }
}

#[test]
fn a_reading_follows_the_last_one() {
    let mut draft = draft();
    draft.add(&at("readings"), &second()).unwrap();
    let text = draft.text();
    let place = |part: &str| text.find(part).unwrap_or_else(|| panic!("{text}"));
    assert!(place("cold scale") < place("id = \"second\""), "{text}");
    assert!(
        place("id = \"second\"") < place("[[correlations]]"),
        "{text}"
    );
    assert!(draft.check(&AnyFile).is_ok());
}

#[test]
fn measuring_again_keeps_the_older_measure() {
    let photo = "\n[[photos]]\nid = \"top\"\nfile = \"top.jpg\"\ncaption = \"Top\"\n\
                 scale = { from = [0, 9], to = [90, 9], length = \"9 mm\" }\n";
    let mut draft = Draft::parse(&format!("{TEXT}{photo}"), "dossier.toml").unwrap();
    let first = PhotoMeasure {
        id: "chip-across".into(),
        photo: "top".into(),
        item: Some("chip".into()),
        region: None,
        what: MeasureSubject::Width,
        at: vec![[10.25, 20.0], [42.5, 20.125]],
        on_sides: false,
        within: Some(0.25),
        snapped: Vec::new(),
        steps: Vec::new(),
        height: None,
        replaces: None,
        note: None,
    };
    let again = PhotoMeasure {
        id: "chip-across-2".into(),
        replaces: Some("chip-across".into()),
        ..first.clone()
    };
    draft.add(&at("readings"), &second()).unwrap();
    draft.add(&at("measures"), &first).unwrap();
    draft.add(&at("measures"), &again).unwrap();
    let dossier = draft
        .check(&AnyFile)
        .unwrap_or_else(|p| panic!("{p}\n{}", draft.text()));
    assert_eq!(dossier.measures, [first, again.clone()]);
    assert_eq!(dossier.current_measures().collect::<Vec<_>>(), [&again]);
}

#[test]
fn a_thing_of_known_size_is_added_to_its_photograph() {
    let card = Reference {
        name: "card".into(),
        shape: ReferenceShape::Rectangle,
        at: vec![[1.5, 2.0], [900.25, 2.0], [900.0, 600.0], [1.0, 600.0]],
        on_sides: false,
        length: Some(quantity::Stated::parse("85.60 mm").unwrap()),
        width: Some(quantity::Stated::parse("53.98 mm").unwrap()),
        marks: Vec::new(),
        pitch: None,
        columns: None,
        within: Some(0.125),
        snapped: Vec::new(),
    };
    for before in [
        "",
        "references = [{ name = \"edge\", shape = \"distance\", at = [[0, 0], [9, 0]], length = \"9 mm\" }]\n",
        "[[photos.references]]\nname = \"edge\"\nshape = \"distance\"\nat = [[0, 0], [9, 0]]\nlength = \"9 mm\"\n",
    ] {
        let photo = format!(
            "\n[[photos]]\nid = \"top\"\nfile = \"top.jpg\"\ncaption = \"Top\" # seen\n{before}"
        );
        let mut draft = Draft::parse(&format!("{TEXT}{photo}"), "dossier.toml").unwrap();
        draft.add(&at("readings"), &second()).unwrap();
        draft.add(&at("photos.top.references"), &card).unwrap();
        let dossier = draft
            .check(&AnyFile)
            .unwrap_or_else(|p| panic!("{p}\n{}", draft.text()));
        assert_eq!(dossier.photos[0].references.last(), Some(&card));
        assert_eq!(
            dossier.photos[0].references.len(),
            1 + usize::from(!before.is_empty())
        );
        assert!(draft.text().contains("# seen"));
        assert!(draft.add(&at("photos.side.references"), &card).is_err());
    }
}

#[test]
fn places_that_lead_nowhere_are_refused() {
    let mut draft = draft();
    assert!("product.nam".parse::<Place>().is_err());
    assert!("items.chip.size.depth".parse::<Place>().is_err());
    assert!("product.name.x".parse::<Place>().is_err());
    assert!(matches!(
        draft.set(&Place::product().at("nam"), "x"),
        Err(EditError::NoPlace(_))
    ));
    assert!(matches!(
        draft.set(&at("items.fan.name"), "x"),
        Err(EditError::NothingThere { .. })
    ));
    assert!(matches!(
        draft.set(&at("items"), "x"),
        Err(EditError::WrongValue { .. })
    ));
    assert!(matches!(
        draft.set(&at("items.chip.count"), "two"),
        Err(EditError::WrongValue { .. })
    ));
    assert!(matches!(
        draft.remove(&at("items.chip.count")),
        Err(EditError::NothingThere { .. })
    ));
    assert_eq!(draft.text(), TEXT);
}

#[test]
fn a_draft_of_broken_text_tells_where() {
    let told = Draft::parse("format = 1\nname = \"x\n", "dossier.toml")
        .unwrap_err()
        .to_string();
    assert!(told.starts_with("dossier.toml:2:"), "{told}");
}
