//! Reading and printing for all values and for all texts.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "a test reads its cases from the disk"
)]
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use proptest::prelude::*;
use quantity::{Quantity, Rating, Stated, Unit, format_measured, format_quantity};
use std::time::{Duration, Instant};

const SYMBOLS: [&str; 18] = [
    "mAh", "Wh", "V", "mA", "µF", "mΩ", "g", "mm", "mm²", "°C", "%", "dB", "pcs", "EUR/pcs",
    "Wh/kg", "min", "°", "",
];

/// Pieces that readers look for, so that random joins reach deep into the grammar.
const PIECES: [&str; 44] = [
    "1", "12", "1,234", "0.5", "3e", "-", "–", "…", "..", "±", "+/-", "(", ")", " ", "×", "10^",
    "⁻³", "mAh", "h", "min", "V", "A", "W", "⎓", "/", "·", "^", "%", "°", "°C", "€", "k=", "dof=",
    ",", ";", "typ", "max", "to", "from", "per", "dB", "½", "\u{301}", "x",
];

fn no_panic(text: &str) {
    for error in [Stated::parse(text).err(), Rating::parse(text).err()]
        .into_iter()
        .flatten()
    {
        assert!(
            text.get(error.at.clone()).is_some(),
            "{text:?}: {:?}",
            error.at
        );
        assert!(!error.message.is_empty());
    }
    if let Ok(stated) = Stated::parse(text) {
        assert!(
            stated.si().is_finite() || stated.value.abs() > 1e200,
            "{text:?}"
        );
        let _ = (
            stated.low_si(),
            stated.high_si(),
            stated.stated_distribution(),
        );
    }
    if let Ok(unit) = Unit::parse(text) {
        assert_eq!(Unit::parse(unit.symbol()), Ok(unit.clone()), "{text:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn any_text_is_read_or_refused(text in any::<String>()) {
        no_panic(&text);
    }

    #[test]
    fn any_join_of_known_pieces_is_read_or_refused(
        pieces in proptest::collection::vec(proptest::sample::select(&PIECES[..]), 0..14),
    ) {
        no_panic(&pieces.concat());
    }

    #[test]
    fn printed_values_read_back(
        value in prop_oneof![-1e9..1e9, -1.0..1.0, -1e-6..1e-6, Just(0.0)],
        symbol in proptest::sample::select(&SYMBOLS[..]),
    ) {
        let unit = Unit::parse(symbol).unwrap();
        let text = format_quantity(value, &unit);
        let read = Stated::parse(&text).unwrap();
        prop_assert_eq!(&read.unit, &unit);
        prop_assert!((read.value - value).abs() <= value.abs() * 5e-12, "{}", text);
    }

    #[test]
    fn printed_measurements_read_back(
        value in -1e6..1e6_f64,
        exponent in -8..8_i32,
        digits in 1.0..9.99_f64,
        symbol in proptest::sample::select(&SYMBOLS[..]),
    ) {
        let unit = Unit::parse(symbol).unwrap();
        let u = digits * 10_f64.powi(exponent);
        let text = format_measured(value, (value - u, value + u), &unit);
        let read = Stated::parse(&text).unwrap();
        prop_assert_eq!(read.unit.dimension(), unit.dimension());
        // One digit of the half, 2 or more: the value is off by at most a quarter of that, which a half from 1.95 on
        // is rounded to.
        let most = 0.25 * 2.0 / 1.95 * u + 1e-9 * value.abs();
        prop_assert!((read.value - value).abs() <= most, "{}", text);
    }

    #[test]
    fn units_convert_there_and_back(
        value in -1e9..1e9_f64,
        (from, to) in proptest::sample::select(&[
            ("mAh", "C"), ("Wh", "eV"), ("g", "oz"), ("mm", "in"), ("°C", "°F"), ("min", "d"),
            ("bar", "psi"), ("°", "rad"), ("Mbit", "MiB"), ("km/h", "m/s"), ("Wh/L", "J/mm³"),
        ][..]),
    ) {
        let (from, to) = (Unit::parse(from).unwrap(), Unit::parse(to).unwrap());
        let there = Quantity::new(value, from.clone()).to(&to).unwrap();
        let back = there.to(&from).unwrap();
        prop_assert!((back.value - value).abs() <= 1e-12 * (value.abs() + 1000.0));
    }
}

#[test]
fn long_texts_are_refused_quickly() {
    for piece in PIECES
        .into_iter()
        .chain(["m·", "5 V ", "1 ", "'", "a", "µ", "((", "d1"])
    {
        let text = piece.repeat(10_000 / piece.len());
        let start = Instant::now();
        no_panic(&text);
        no_panic(&format!("5 {text}"));
        no_panic(&format!("5 V {text}"));
        let taken = start.elapsed();
        assert!(
            taken < Duration::from_millis(500),
            "{piece:?} took {taken:?}"
        );
    }
}
