//! What scales, calipers and scanners send, typed for this test.

use super::*;
use record::{AnyFile, read_text};
use std::ops::ControlFlow;

fn found(text: &str, held: Option<&str>) -> Vec<Destination> {
    let demo = include_str!("../../../../demo/lamp/dossier.toml");
    let dossier = read_text(demo, "dossier.toml", &AnyFile).expect("it reads");
    let known = methods::Known::default();
    let findings = methods::examine(&dossier, &known, &|_| ControlFlow::Continue(()));
    let findings = findings.expect("nothing stops it");
    destinations(&dossier, &findings, text, held)
}

fn entry(destination: &Destination) -> &Json {
    match &destination.edits[0] {
        Edit::Add { entry, .. } => entry,
        other => panic!("{other:?}"),
    }
}

#[test]
fn what_instruments_send_is_read_as_people_write_it() {
    let told = [
        ("3.02", "3.02"),
        ("+003,02", "3.02"),
        ("-0000.15mm", "-0.15 mm"),
        ("ST,GS,+  41.13 g", "41.13 g"),
        ("1,234", "1.234"),
        ("0", "0"),
    ];
    for (sent, read) in told {
        assert_eq!(value(sent, None).as_deref(), Some(read), "{sent}");
    }
    assert_eq!(value("3,02", Some("mm")).as_deref(), Some("3.02 mm"));
    for sent in ["", "TH310", "1.234.5", "hello 3", "3 furlongs"] {
        assert_eq!(value(sent, None), None, "{sent}");
    }
}

#[test]
fn a_bare_number_takes_the_unit_of_an_instrument_that_shows_such_digits() {
    let item = "lamp-motion";
    let found = found("3.02", Some(item));
    let first = &found[0];
    assert!(first.says.starts_with("length of "), "{first:?}");
    assert_eq!(entry(first)["value"], "3.02 mm");
    assert_eq!(entry(first)["instrument"], "caliper");
    assert!(first.note.is_none());
    let mass = found.iter().find(|one| entry(one)["what"] == "mass");
    assert_eq!(entry(mass.unwrap())["value"], "3.02 g");
}

#[test]
fn more_decimals_than_an_instrument_shows_are_told() {
    let found = found("3.0234", Some("lamp-motion"));
    let length = found.iter().find(|one| entry(one)["what"] == "length");
    assert!(length.unwrap().note.is_some());
}

#[test]
fn a_unit_that_is_sent_decides_what_it_can_be() {
    for one in found("41.13 g", Some("lamp-motion")) {
        assert_eq!(entry(&one)["what"], "mass", "{one:?}");
    }
    assert!(found("20 ms", None)[0].says.starts_with("delay of"));
}

/// Source: the worked example of the check digit, GS1 General Specifications, section 7.9: 629104150021 gives 3.
#[test]
fn codes_with_a_check_digit_go_to_the_identifiers() {
    let right = &found("6291041500213", None)[0];
    assert_eq!(right.code.as_deref(), Some("GTIN-13"));
    assert_eq!(entry(right)["text"], "6291041500213");
    let wrong = found("6291041500218", None);
    assert_eq!(wrong.len(), 1, "{wrong:?}");
    assert!(wrong[0].code.is_none() && wrong[0].note.is_some());
}
