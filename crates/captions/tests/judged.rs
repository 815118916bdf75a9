//! Proof-reading judged on films made by hand, which were never used for fitting.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod kept_out;

use captions::{Correction, ENGLISH, Format, Kind, Term, Thresholds, Vocabulary, proof_read, read};

fn term(kind: Kind, written: &str) -> Term {
    Term {
        kind,
        written: written.into(),
        said: vec![],
        place: format!("items.{written}"),
    }
}

fn corrected(speech: &str, terms: &[Term], existing: &[&str]) -> (String, Vec<Correction>) {
    let head = "WEBVTT\n\n00:00.000 --> 00:09.000\n";
    let film = read(format!("{head}{speech}").as_bytes(), Format::WebVtt).unwrap();
    let existing: Vec<String> = existing.iter().map(|e| (*e).to_string()).collect();
    let vocabulary = Vocabulary::new(terms, &existing, &ENGLISH);
    let found = proof_read(&film, &vocabulary, &Thresholds::default());
    let written = String::from_utf8(found.written(&film).unwrap()).unwrap();
    (
        written.strip_prefix(head).unwrap().to_string(),
        found.corrections,
    )
}

/// The best general match reaches a precision of 0.91 at a recall of 0.35 on such films.
#[test]
fn proof_reading_beats_a_general_match() {
    // The fourth set is made to mislead: most of its right speech is near a term.
    for (set, precision, recall) in [
        (kept_out::FIRST, 0.95, 0.85),
        (kept_out::SECOND, 0.95, 0.85),
        (kept_out::THIRD, 0.95, 0.85),
        (kept_out::FOURTH, 0.91, 0.80),
        (kept_out::FIFTH, 0.95, 0.85),
    ] {
        let score = kept_out::judged(&set);
        assert!(score.mentions > 50);
        assert!(score.precision() > precision, "{:?}", score.slips);
        assert!(score.recall() > recall, "{:?}", score.slips);
    }
}

/// Worked example: Brier and bins as computed with numpy.
#[test]
fn the_calibration_error_is_that_of_the_worked_example() {
    let p = [0.95, 0.95, 0.9, 0.9, 0.85, 0.7, 0.6, 0.55, 0.3, 0.2];
    let right = [
        true, true, true, false, true, true, false, true, false, false,
    ];
    let stated: Vec<(f64, bool)> = p.into_iter().zip(right).collect();
    assert!((kept_out::calibration_error(&stated) - 0.27).abs() < 1e-12);
}

#[test]
fn digits_are_never_exchanged_and_siblings_stand() {
    let terms = [term(Kind::Part, "VT4056"), term(Kind::Quantity, "3.62 V")];
    for right in [
        "it is the VT4057 here",
        "it is the VT 4065 here",
        "vee tea forty fifty seven",
        "about 3.26 volts there",
        "a VT4056 as ever",
    ] {
        assert_eq!(
            corrected(right, &terms, &["VT4057"]),
            (right.to_string(), vec![]),
            "{right}"
        );
    }
    // Near in sound and of the same digits: right where it exists, a garble where not.
    assert_eq!(
        corrected("it is the ZT4056 here", &terms, &["ZT4056"]).1,
        []
    );
    assert_eq!(
        corrected("it is the BT4056 here", &terms, &[]).0,
        "it is the VT4056 here"
    );
}

#[test]
fn only_words_change_and_the_list_is_plain_json() {
    let terms = [term(Kind::Part, "VT4056"), term(Kind::Quantity, "3.62 V")];
    let (written, corrections) = corrected(
        "<i>Here</i> is, the vee tea\nforty fifty six;  at 3.62 bolts!",
        &terms,
        &[],
    );
    assert_eq!(written, "<i>Here</i> is, the VT4056\n;  at 3.62 V!");
    let json = serde_json::to_value(&corrections).unwrap();
    assert_eq!(json[0]["before"], "vee tea forty fifty six");
    assert_eq!(json[0]["after"], "VT4056");
    assert_eq!(
        (&json[0]["cue"], &json[0]["applied"]),
        (&0.into(), &true.into())
    );
    assert_eq!(json[0]["place"], "items.VT4056");
    let again: Vec<Correction> = serde_json::from_value(json).unwrap();
    assert_eq!(again.len(), corrections.len());
}

#[test]
fn a_pronunciation_of_the_analyst_is_heard() {
    let mut given = term(Kind::Maker, "Xiuqe");
    assert_eq!(
        corrected("made by shoe cay again", &[given.clone()], &[]).1,
        []
    );
    given.said = vec!["shoo kay".into()];
    assert_eq!(
        corrected("made by shoe cay again", &[given], &[]).0,
        "made by Xiuqe again"
    );
}

#[test]
fn empty_vocabularies_and_films_change_nothing() {
    assert_eq!(corrected("a b c", &[], &[]), ("a b c".to_string(), vec![]));
    assert_eq!(
        corrected("", &[term(Kind::Maker, ""), term(Kind::Quantity, "V")], &[]).1,
        []
    );
}
