//! Levels in decibels: what combines with what, and what is refused.
//!
//! Source of the rules: ISO 80000-1:2009, annex C; SI Brochure, 9th edition, table 8.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use quantity::{
    Dimension, Distribution, GAP, Input, LevelReference, Quantity, Sheet, SheetError, Stated, Term,
    Unit, units,
};
use support::{source, within};

/// An operation on two terms of one sheet.
type Join = for<'s> fn(Term<'s>, Term<'s>) -> Term<'s>;

fn unit(symbol: &str) -> Unit {
    Unit::parse(symbol).unwrap()
}

/// An input of known value and standard uncertainty 0.5.
fn level<'s>(sheet: &'s Sheet, name: &str, value: f64, symbol: &str) -> Term<'s> {
    let distribution = Distribution::Normal {
        mean: value,
        sd: 0.5,
    };
    sheet.input(Input::distributed(
        name,
        distribution,
        unit(symbol),
        source(),
    ))
}

/// Demands a refusal that names both sides.
#[track_caller]
fn refused(sheet: &Sheet, term: Term<'_>, parts: [&str; 3]) {
    let message = sheet.value(term).unwrap_err().to_string();
    for part in parts {
        assert!(message.contains(part), "{message}");
    }
}

#[test]
fn every_reference_has_its_own_dimension_and_reads_back() {
    for (i, a) in LevelReference::ALL.into_iter().enumerate() {
        let found = unit(a.symbol());
        assert_eq!(found.dimension(), Dimension::level(a), "{}", a.symbol());
        assert_eq!(found.symbol(), a.symbol());
        assert_eq!(Unit::coherent(found.dimension()), found);
        assert_eq!(found.difference(), units::decibel());
        assert_eq!(found.dimension().level_reference(), Some(a));
        assert!(found.dimension().is_level());
        assert_eq!(
            found.dimension().to_string(),
            format!("level in {}", a.symbol())
        );
        for b in &LevelReference::ALL[i + 1..] {
            assert_ne!(Dimension::level(a), Dimension::level(*b));
        }
    }
    assert_eq!(Dimension::LEVEL.level_reference(), None);
    assert!(Dimension::LEVEL.is_level() && !Dimension::NONE.is_level());
}

/// A transmitter's power, its cable and its receiver: the dB of a link budget.
#[test]
fn plain_decibels_move_a_level() {
    let sheet = Sheet::new();
    let sent = level(&sheet, "sent", 4.0, "dBm");
    let gain = level(&sheet, "gain", 2.5, "dB");
    let loss = level(&sheet, "loss", 40.0, "dB");
    let received = (sent + gain - loss).named("received", &unit("dBm"));
    let other_order = gain + sent;
    let summed = sheet.sum(&[gain, sent, gain]);
    for (term, value) in [(received, -33.5), (other_order, 6.5), (summed, 9.0)] {
        assert_eq!(
            term.dimension(),
            Dimension::level(LevelReference::Milliwatt)
        );
        within(sheet.value(term).unwrap(), value, 1e-12);
    }
    assert_eq!(
        sheet.working(received).unwrap()[0].replace(GAP, " "),
        "received = sent + gain − loss = 4 dBm + 2.5 dB − 40 dB = −33.5 ± 1.7 dBm"
    );
}

#[test]
fn levels_of_one_reference_differ_by_plain_decibels() {
    let sheet = Sheet::new();
    let off = level(&sheet, "off", 71.0, "dB(A)");
    let on = level(&sheet, "on", 39.5, "dBA");
    let depth = (off - on).named("depth", &units::decibel());
    assert_eq!(depth.dimension(), Dimension::LEVEL);
    assert_eq!(sheet.value(depth).unwrap(), 31.5);
    assert_eq!(sheet.value(off.max(on)).unwrap(), 71.0);
}

#[test]
fn levels_of_unlike_references_never_combine() {
    const UNLIKE: [(&str, &str); 5] = [
        ("dBm", "dB(A)"),
        ("dBm", "dBu"),
        ("dBu", "dBV"),
        ("dB(A)", "dB(C)"),
        ("dBm", "dBi"),
    ];
    for (a, b) in UNLIKE {
        const JOINS: [(&str, Join); 4] = [
            ("add", |a, b| a + b),
            ("subtract", |a, b| a - b),
            ("compare", |a, b| a.min(b)),
            ("compare", |a, b| a.max(b)),
        ];
        for (operation, join) in JOINS {
            let sheet = Sheet::new();
            let joined = join(level(&sheet, "x", 1.0, a), level(&sheet, "y", 1.0, b));
            refused(
                &sheet,
                joined,
                [
                    operation,
                    &format!("level in {a} and level in {b}"),
                    "same reference",
                ],
            );
        }
        assert!(Quantity::new(1.0, unit(a)).to(&unit(b)).is_err());
    }
}

#[test]
fn levels_of_one_reference_do_not_add() {
    let sheet = Sheet::new();
    let (a, b) = (
        level(&sheet, "a", 60.0, "dB(A)"),
        level(&sheet, "b", 60.0, "dB(A)"),
    );
    refused(
        &sheet,
        a + b,
        [
            "cannot add level in dB(A) and level in dB(A)",
            "a plain dB adds",
            "powers add",
        ],
    );
    let sheet = Sheet::new();
    let terms = [60.0, 60.0].map(|x| level(&sheet, "x", x, "dBm"));
    assert!(matches!(
        sheet.value(sheet.sum(&terms)),
        Err(SheetError::Dimension { .. })
    ));
}

/// A plain dB is no level: it is neither comparable with one nor can one be taken off it.
#[test]
fn a_plain_decibel_is_no_level() {
    const JOINS: [Join; 2] = [|a, b| a.min(b), |a, b| a - b];
    for join in JOINS {
        let sheet = Sheet::new();
        let joined = join(
            level(&sheet, "gain", 3.0, "dB"),
            level(&sheet, "sent", 3.0, "dBm"),
        );
        refused(&sheet, joined, ["cannot", "level and", "level in dBm"]);
    }
    let sheet = Sheet::new();
    let sum = level(&sheet, "sent", 3.0, "dBm") + 1.0;
    refused(&sheet, sum, ["add", "level in dBm", "plain number"]);
}

/// Two levels add through their powers: 60 dB and 60 dB make 63.01 dB.
#[test]
fn levels_add_through_powers() {
    let sheet = Sheet::new();
    let one = sheet.constant(1.0, &unit("dB(A)"));
    let tenth = std::f64::consts::LN_10 / 10.0;
    let [a, b] = [60.0, 60.0].map(|x| (tenth * (level(&sheet, "x", x, "dB(A)") / one)).exp());
    let sum = (a + b).ln() / tenth * one;
    assert_eq!(sum.dimension(), Dimension::level(LevelReference::SoundA));
    within(sheet.value(sum).unwrap(), 60.0 + 10.0 * 2f64.log10(), 1e-9);
}

#[test]
fn written_levels_keep_their_reference() {
    let stated = Stated::parse("68.0 dB(A) ± 1.5 dB").unwrap();
    assert_eq!((stated.low_si(), stated.high_si()), (66.5, 69.5));
    let stated = Stated::parse("68.0 dBA ± 1.5 dBA").unwrap();
    assert_eq!(stated.high_si(), 69.5);
    let error = Stated::parse("68.0 dB(A) ± 1.5 dBm").unwrap_err().message;
    assert!(
        error.contains("level in dBm") && error.contains("level in dB(A)"),
        "{error}"
    );
    let error = Stated::parse("30 dBA to 40 dB(C)").unwrap_err().message;
    assert!(
        error.contains("level in dB(A)") && error.contains("level in dB(C)"),
        "{error}"
    );
    let error = Stated::parse_as("35 dBm", Dimension::LEVEL).unwrap_err();
    assert!(
        error.message.contains("expected level, found level in dBm"),
        "{error}"
    );
}
