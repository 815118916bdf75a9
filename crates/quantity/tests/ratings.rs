//! Ratings as labels print them.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use quantity::{Rating, Sense, Stated};

#[track_caller]
fn rates(text: &str, volts: Option<f64>, amperes: Option<f64>, watts: Option<f64>) {
    let found = Rating::parse(text).unwrap_or_else(|e| panic!("{text}: {e}"));
    let si = |s: &Option<Stated>| s.as_ref().map(Stated::si);
    let all = (si(&found.voltage), si(&found.current), si(&found.power));
    assert_eq!(all, (volts, amperes, watts), "{text}");
    assert_eq!(found.text, text.trim());
    for piece in [found.voltage, found.current, found.power]
        .into_iter()
        .flatten()
    {
        assert!(text.contains(&piece.text), "{text}: {}", piece.text);
        let again = Stated::parse(&piece.text).expect(text);
        assert_eq!(
            (again.value, &again.unit),
            (piece.value, &piece.unit),
            "{text}"
        );
    }
}

#[test]
fn every_usual_punctuation_is_read() {
    for text in [
        "9 V ⎓ 1.67 A",
        "9V⎓1.67A",
        "9V/1.67A",
        "9 V, 1.67 A",
        "9V;1.67A",
        "9V=1.67A",
        "9V 1.67A",
        "9V1.67A",
        "9 V DC 1.67 A",
        "9VDC/1.67A",
        "9Vx1.67A",
        "9 V × 1.67 A",
        "9V @ 1.67A",
        "9V⎯1.67A",
        "9V---1.67A",
        "9V–1.67A",
        "9V-1.67A",
        "1.67A/9V",
        "Input: 9V ⎓ 1.67A",
        "OUTPUT 9 V ⎓ 1,67 A",
        "DC 9V 1670mA",
        " 9 V ⎓ 1.67 A ",
    ] {
        rates(text, Some(9.0), Some(1.67), None);
    }
}

#[test]
fn watts_ranges_and_mains() {
    rates("9 V; 1.67 A; 15 W", Some(9.0), Some(1.67), Some(15.0));
    rates("5V⎓2A(10W)", Some(5.0), Some(2.0), Some(10.0));
    rates("15 W max", None, None, Some(15.0));
    rates("5-9V 2A", Some(7.0), Some(2.0), None);
    rates("100-240V~50/60Hz 0.5A", Some(170.0), Some(0.5), None);
    rates("230 V ~ 50 Hz 0.5 A", Some(230.0), Some(0.5), None);
    rates("5V2A", Some(5.0), Some(2.0), None);
    let rating = Rating::parse("5 V ⎓ max 2 A").unwrap();
    assert_eq!(rating.current.unwrap().sense, Sense::UpTo);
}

#[test]
fn what_is_no_rating_says_why() {
    for (text, part, expected) in [
        (
            "5V/2A, 9V/1.5A",
            "9V",
            "two values of voltage in one rating (5V and 9V)",
        ),
        ("5V 620 mAh", "620 mAh", "not charge (620 mAh)"),
        ("5 2A", "5", "has no unit"),
        ("5V 2", "2", "has no unit"),
        ("", "", "no volts, amperes or watts"),
        ("⎓", "⎓", "no volts, amperes or watts"),
        ("50 Hz", "50 Hz", "no volts, amperes or watts"),
        ("5V 1,234 A", "1,234", "ambiguous"),
        ("5V 2 amperés", "amperés", "unknown unit"),
        ("5V lots", "lots", "expected a number"),
    ] {
        let error = Rating::parse(text).expect_err(text);
        assert!(
            error.message.contains(expected),
            "{text}: {}",
            error.message
        );
        assert_eq!(&text[error.at.clone()], part, "{text}: {}", error.message);
    }
}
