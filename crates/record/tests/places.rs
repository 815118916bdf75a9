//! Places: one way to print each, read back the same, found in the dossier and in its text.

#![allow(
    clippy::unwrap_used,
    reason = "a test may stop where its ground is missing"
)]

use proptest::prelude::*;
use record::{AnyFile, Dossier, Evidence, Place, RecordPlaces, TextPlaces, Thing, read_text};

const DEMO: &str = include_str!("../../../demo/lamp/dossier.toml");

fn demo() -> Dossier {
    read_text(DEMO, "dossier.toml", &AnyFile).unwrap()
}

#[track_caller]
fn place(text: &str) -> Place {
    text.parse().unwrap_or_else(|e| panic!("{e}"))
}

/// Each form that evidence, findings and messages use is read, says what it is about, and is
/// printed in one way.
#[test]
fn the_forms_in_use_are_read_and_say_what_they_are_about() {
    let forms = [
        ("photo:lid", Thing::Photo, "photo:lid"),
        ("photos.lid", Thing::Photo, "photo:lid"),
        ("photo:lid#label", Thing::Region, "photo:lid#label"),
        ("photos.lid.regions.label", Thing::Region, "photo:lid#label"),
        (
            "photo:lid#label.rect",
            Thing::Region,
            "photos.lid.regions.label.rect",
        ),
        (
            "photos.lid.scale.length",
            Thing::Scale,
            "photos.lid.scale.length",
        ),
        (
            "photos.lid.references.\"ID-1 card\"",
            Thing::Reference,
            "photos.lid.references.\"ID-1 card\"",
        ),
        ("reading:r3", Thing::Reading, "reading:r3"),
        ("readings.r3.value", Thing::Reading, "readings.r3.value"),
        ("measure:m", Thing::Measure, "measure:m"),
        ("label:under", Thing::Label, "label:under"),
        (
            "product.labels.under.input",
            Thing::Label,
            "product.labels.under.input",
        ),
        ("product.price.paid", Thing::Price, "product.price.paid"),
        ("claims.weight", Thing::Claim, "claims.weight"),
        (
            "claims.weight.tolerance",
            Thing::Claim,
            "claims.weight.tolerance",
        ),
        ("items.lamp", Thing::Item, "items.lamp"),
        (
            "items.lamp-cell.cell.capacity",
            Thing::Cell,
            "items.lamp-cell.cell.capacity",
        ),
        (
            "items.socket.contact.rating",
            Thing::Contact,
            "items.socket.contact.rating",
        ),
        (
            "items.u1.part.marking",
            Thing::Part,
            "items.u1.part.marking",
        ),
        (
            "items.u1.part.ratings.efficiency",
            Thing::Rating,
            "items.u1.part.ratings.efficiency",
        ),
        (
            "items.lamp.size.length",
            Thing::Size,
            "items.lamp.size.length",
        ),
        (
            "items.lamp.loads.\"low light\".current",
            Thing::Load,
            "items.lamp.loads.\"low light\".current",
        ),
        (
            "items.lamp.loads.on#2",
            Thing::Load,
            "items.lamp.loads.on#2",
        ),
        ("links.socket-charger", Thing::Link, "links.socket-charger"),
        (
            "links.socket,charger,power.voltage",
            Thing::Link,
            "links.socket,charger,power.voltage",
        ),
        ("correlations.a,b", Thing::Correlation, "correlations.a,b"),
        ("cost.volume", Thing::Cost, "cost.volume"),
        ("prices.u1.each", Thing::ItemPrice, "prices.u1.each"),
        ("rates.USD", Thing::Rate, "rates.USD"),
        ("repair.product", Thing::Repair, "repair.product"),
        (
            "repair-facts.spare,cell.until",
            Thing::RepairFact,
            "repair-facts.spare,cell.until",
        ),
        ("logs.charge-1", Thing::Logged, "logs.charge-1"),
        (
            "logs.charge-1.columns.voltage.unit",
            Thing::LogColumn,
            "logs.charge-1.columns.voltage.unit",
        ),
        ("recordings.noise", Thing::Sound, "recordings.noise"),
        (
            "recordings.noise.heard.levels",
            Thing::Heard,
            "recordings.noise.heard.levels",
        ),
        ("steps.open.started", Thing::Step, "steps.open.started"),
        ("instruments.scale", Thing::Instrument, "instruments.scale"),
        ("product", Thing::Product, "product"),
        ("dossier", Thing::Dossier, "dossier"),
        ("log:charge run 1.csv", Thing::Log, "log:charge run 1.csv"),
        (
            "url:https://example.org/a#b.c",
            Thing::Page,
            "url:https://example.org/a#b.c",
        ),
        (
            "text:Handbook, 3rd ed.",
            Thing::Publication,
            "text:Handbook, 3rd ed.",
        ),
    ];
    for (text, thing, printed) in forms {
        let place = place(text);
        assert_eq!(place.thing(), thing, "{text}");
        assert_eq!(place.to_string(), printed);
        let wire = serde_json::to_string(&place).unwrap();
        assert_eq!(serde_json::from_str::<Place>(&wire).unwrap(), place);
    }
}

/// A photo and an item of the same name are two places.
#[test]
fn a_photo_is_not_the_item_of_the_same_name() {
    let (photo, item) = (Place::photo("lid"), Place::item("lid"));
    assert_ne!(photo, item);
    assert_eq!((photo.photo_id(), photo.item_id()), (Some("lid"), None));
    assert_eq!((item.photo_id(), item.item_id()), (None, Some("lid")));
    assert!(Place::region("lid", "x").is_within(&photo));
}

#[test]
fn what_is_no_place_is_refused_with_the_reason() {
    for (text, why) in [
        ("", "a name is missing"),
        ("items", ""),
        ("items.lamp.capasity", "no key `capasity` in [[items]]"),
        ("items.lamp.name.x", "below a single value"),
        ("items.lamp.size.depth", "no key `depth`"),
        ("items.\"lamp", "not closed"),
        ("items.low light.name", "in quotes"),
        ("items.lamp#0", "a number from 1"),
        ("foto:lid", "no place has this form"),
        ("photo:", "an id is letters"),
        ("measure:a#b", "only a region"),
        ("url:ftp://x", "https://"),
        ("text: ", "publication"),
    ] {
        match text.parse::<Place>() {
            Ok(place) => assert!(why.is_empty(), "{text} is read as {place}"),
            Err(error) => assert!(
                !why.is_empty() && error.to_string().contains(why),
                "{error}"
            ),
        }
    }
}

/// Every place of the demonstration reads back and is found again, in the values and in the text.
#[test]
fn every_place_of_the_demonstration_is_found_again() {
    let dossier = demo();
    let record = RecordPlaces::of(&dossier);
    let text = TextPlaces::of(DEMO, "dossier.toml").unwrap();
    let all = text.all();
    assert!(all.len() > 2000, "{}", all.len());
    let mut printed = std::collections::BTreeSet::new();
    for place in &all {
        let name = place.to_string();
        assert_eq!(name.parse::<Place>().unwrap(), *place);
        assert!(printed.insert(name), "{place} is printed twice");
        let span = text.span(place).unwrap();
        // A list under headers begins with its first entry, and so does a table with a scale.
        let back = text.at(span.start);
        assert!(
            back.is_within(place) || place.is_within(&back),
            "{place} is found as {back}"
        );
        assert!(
            record.value(place).is_some() || is_default(DEMO, &text, place),
            "{place}"
        );
    }
    // Sizes of pictures are noted on reading; everything else stands in the text.
    for place in record.all() {
        assert!(
            text.span(&place).is_some() || place.key() == Some("pixels"),
            "{place}"
        );
    }
    for item in &dossier.items {
        for evidence in &item.evidence {
            let place = evidence.place().unwrap();
            assert_eq!(place.to_string(), evidence.0);
            assert!(record.value(&place).is_some(), "{place}");
        }
    }
}

/// What says no more than the default is left out of the values.
fn is_default(demo: &str, text: &TextPlaces<'_>, place: &Place) -> bool {
    let written = &demo[text.span(place).unwrap()];
    ["1", "true", "false", "[]"].contains(&written)
}

#[test]
fn places_made_from_entries_are_those_that_are_read() {
    let dossier = demo();
    let record = RecordPlaces::of(&dossier);
    let json = |v: &str| serde_json::Value::from(v);
    for (at, link) in dossier.links.iter().enumerate() {
        let place = Place::link(&dossier, at).unwrap();
        assert_eq!(place, place.to_string().parse().unwrap());
        assert_eq!(record.value(&place).unwrap()["from"], json(&link.from));
        assert_eq!(record.value(&place.at("to")), Some(&json(&link.to)));
    }
    let mut loads = 0;
    for item in &dossier.items {
        for (at, load) in item.loads.iter().enumerate() {
            let place = Place::load(item, at).unwrap();
            assert_eq!(record.value(&place.at("mode")), Some(&json(&load.mode)));
            loads += 1;
        }
    }
    for (at, correlation) in dossier.correlations.iter().enumerate() {
        let place = Place::correlation(&dossier, at).unwrap();
        assert_eq!(record.value(&place.clone().at("between.0")), None);
        assert_eq!(
            record.value(&place).unwrap()["between"][0],
            json(&correlation.between[0])
        );
    }
    for photo in &dossier.photos {
        for at in 0..photo.references.len() {
            assert!(
                record
                    .value(&Place::reference(photo, at).unwrap())
                    .is_some()
            );
        }
    }
    assert!(loads > 3 && dossier.links.len() > 10);
}

/// Loads keep their address when their order changes; only equal ones are counted.
#[test]
fn addresses_do_not_move_with_the_order() {
    let mut dossier = demo();
    let at = dossier
        .items
        .iter()
        .position(|i| i.loads.len() > 1)
        .unwrap();
    let before: Vec<Place> = (0..2)
        .map(|n| Place::load(&dossier.items[at], n).unwrap())
        .collect();
    dossier.items[at].loads.swap(0, 1);
    assert_eq!(
        Place::load(&dossier.items[at], 1).as_ref(),
        Some(&before[0])
    );
    let first = dossier.items[at].loads[0].clone();
    dossier.items[at].loads.push(first);
    let last = dossier.items[at].loads.len() - 1;
    let twin = Place::load(&dossier.items[at], last).unwrap();
    assert!(twin.to_string().ends_with("#2"), "{twin}");
}

/// Problems say what they are about.
#[test]
fn a_problem_tells_its_place() {
    let broken = DEMO.replacen("maker = \"Ondrelkamp\"", "maker = 3", 1);
    let problems = read_text(&broken, "dossier.toml", &AnyFile).unwrap_err();
    assert_eq!(problems.0[0].place, Some(place("product.maker")));
    let text = TextPlaces::of(&broken, "dossier.toml").unwrap();
    assert_eq!(text.line(&place("product.maker")), Some(problems.0[0].line));
}

proptest! {
    /// Whatever the names hold, a place is read as it was printed, and two names are never printed
    /// the same.
    #[test]
    fn names_of_any_characters_are_printed_and_read(
        a in "[a-z\"\\\\#.,: \n\tÅ⎓-]{0,8}",
        b in "[a-z\"\\\\#.,: \n\tÅ⎓-]{0,8}",
    ) {
        let text = |mode: &str| {
            format!(
                "format = 1\n[[items]]\nid = {id}\n[[items.loads]]\nmode = {id}\n[[links]]\nfrom = {id}\nto = \"x\"\n[[photos]]\nid = {id}\n",
                id = serde_json::Value::from(mode)
            )
        };
        let (first, second) = (text(&a), text(&b));
        let one = TextPlaces::of(&first, "").unwrap();
        let two = TextPlaces::of(&second, "").unwrap();
        for (p, q) in one.all().into_iter().zip(two.all()) {
            let printed = p.to_string();
            prop_assert_eq!(printed.parse::<Place>(), Ok(p.clone()), "{}", printed);
            prop_assert!(one.span(&p).is_some());
            prop_assert_eq!(p == q, printed == q.to_string());
        }
    }

    #[test]
    fn no_text_makes_reading_a_place_fall_over(text in "[a-z\"\\\\#.,:/ é0-9-]{0,24}") {
        if let Ok(place) = Evidence(text).place() {
            let printed = place.to_string();
            prop_assert_eq!(printed.parse::<Place>(), Ok(place));
        }
    }
}
