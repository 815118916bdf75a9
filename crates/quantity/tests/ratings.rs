//! Ratings as labels print them.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use quantity::{Rating, Sense, Stated};

#[track_caller]
fn rates(text: &str, volts: Option<f64>, amperes: Option<f64>, watts: Option<f64>) {
    let found = Rating::parse(text).unwrap_or_else(|e| panic!("{text}: {e}"));
    let si = |s: &Option<Stated>| s.as_ref().map(Stated::si);
    let [one] = found.choices.as_slice() else {
        panic!("{text}: {:?}", found.choices)
    };
    let all = (si(&one.voltage), si(&one.current), si(&one.power));
    assert_eq!(all, (volts, amperes, watts), "{text}");
    assert_eq!(found.text, text.trim());
    for piece in found.figures() {
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
    assert_eq!(
        rating.choices[0].current.as_ref().unwrap().sense,
        Sense::UpTo
    );
}

/// Volts, amperes and watts of each alternative, and the watts of all, in SI.
fn choices(text: &str) -> (Vec<[Option<f64>; 3]>, Option<f64>) {
    let found = Rating::parse(text).unwrap_or_else(|e| panic!("{text}: {e}"));
    let si = |s: &Option<Stated>| s.as_ref().map(Stated::high_si);
    let all = found.choices.iter();
    let all = all.map(|c| [si(&c.voltage), si(&c.current), si(&c.power)]);
    (all.collect(), si(&found.total))
}

#[test]
fn several_voltages_are_alternatives() {
    let two = vec![[Some(5.0), Some(3.0), None], [Some(9.0), Some(2.0), None]];
    for text in [
        "5 V ⎓ 3 A / 9 V ⎓ 2 A",
        "5V/3A, 9V/2A",
        "5V⎓3A; 9V⎓2A",
        "5V 3A or 9V 2A",
        "3A 5V / 2A 9V",
        "OUTPUT: 5V=3A, 9V=2A",
        "5V/9V ⎓ 3A/2A",
    ] {
        assert_eq!(choices(text), (two.clone(), None), "{text}");
        assert_eq!(Rating::parse(text).unwrap().to_string(), text);
    }
    assert_eq!(choices("5 V ⎓ 3 A / 9 V ⎓ 2 A, 18 W"), (two, Some(18.0)));
    assert_eq!(
        choices("5 V ⎓ 3 A, 15 W / 9 V ⎓ 2 A, 18 W"),
        (
            vec![
                [Some(5.0), Some(3.0), Some(15.0)],
                [Some(9.0), Some(2.0), Some(18.0)]
            ],
            None
        )
    );
    assert_eq!(
        choices("5V/9V ⎓ 2A, 18 W"),
        (
            vec![[Some(5.0), Some(2.0), None], [Some(9.0), Some(2.0), None]],
            Some(18.0)
        )
    );
    assert_eq!(
        choices("5–20 V ⎓ 3 A, 60 W"),
        (vec![[Some(20.0), Some(3.0), Some(60.0)]], None)
    );
    assert_eq!(
        choices("3.3-11V 3A / 3.3-21V 1.5A").0,
        [[Some(11.0), Some(3.0), None], [Some(21.0), Some(1.5), None]]
    );
    assert_eq!(
        choices("18 V, 20 V max").0,
        [[Some(18.0), None, None], [Some(20.0), None, None]]
    );
    assert!(Rating::parse("9 V × 3 A = 20 W").unwrap().choices[0].product);
    assert!(!Rating::parse("9 V ⎓ 3 A, 20 W").unwrap().choices[0].product);
}

#[test]
fn the_greatest_power_is_that_of_the_upper_ends() {
    for (text, watts) in [
        ("5 V ⎓ 3 A / 9 V ⎓ 2 A", 18.0),
        ("5-20 V ⎓ 3 A", 60.0),
        ("5-20 V ⎓ 3 A, 45 W", 45.0),
        ("5V/9V/12V ⎓ 3A, 27 W", 27.0),
        ("10 W", 10.0),
    ] {
        assert_eq!(
            Rating::parse(text).unwrap().greatest_power(),
            Some(watts),
            "{text}"
        );
    }
}

#[test]
fn what_is_no_rating_says_why() {
    for (text, part, expected) in [
        (
            "5V 2A 1.5A",
            "1.5A",
            "two values of current and one voltage (2A and 1.5A)",
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
