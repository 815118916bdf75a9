//! What people write, and what is refused.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use quantity::Sense::{About, AtLeast, Between, Exactly, UpTo};
use quantity::{Dimension, Distribution, Sense, Spread, Stated};

#[track_caller]
fn read(text: &str) -> Stated {
    Stated::parse(text).unwrap_or_else(|e| panic!("{text}: {e}"))
}

#[track_caller]
fn reads(text: &str, sense: Sense, value: f64, unit: &str, last_digit: f64) {
    let found = read(text);
    assert_eq!(
        (
            found.sense,
            found.value,
            found.unit.symbol(),
            found.last_digit
        ),
        (sense, value, unit, last_digit),
        "{text}"
    );
    assert_eq!(found.text, text);
}

fn plus_minus(half_width: f64, k: Option<f64>, dof: Option<f64>) -> Spread {
    Spread::PlusMinus {
        half_width,
        coverage_factor: k,
        degrees_of_freedom: dof,
    }
}

#[track_caller]
fn spreads(text: &str, value: f64, unit: &str, spread: Spread) {
    let found = read(text);
    assert_eq!(
        (found.value, found.unit.symbol(), found.spread),
        (value, unit, spread),
        "{text}"
    );
}

#[track_caller]
fn refused(text: &str, part: &str, expected: &str) {
    let error = Stated::parse(text).expect_err(text);
    assert!(
        error.message.contains(expected),
        "{text}: {}",
        error.message
    );
    assert_eq!(&text[error.at.clone()], part, "{text}: {}", error.message);
}

#[test]
fn single_figures() {
    reads("620 mAh", Exactly, 620.0, "mAh", 1.0);
    reads("620mAh", Exactly, 620.0, "mAh", 1.0);
    reads("  620\u{a0}mAh ", Exactly, 620.0, "mAh", 1.0);
    reads("620\u{2009}mAh", Exactly, 620.0, "mAh", 1.0);
    reads("83.4 g", Exactly, 83.4, "g", 0.1);
    reads("12,5 g", Exactly, 12.5, "g", 0.1);
    reads("1.2e-3 A", Exactly, 1.2e-3, "A", 1e-4);
    reads("1.2 × 10^-3 A", Exactly, 1.2e-3, "A", 1e-4);
    reads("1.2×10⁻³ A", Exactly, 1.2e-3, "A", 1e-4);
    reads("1.2 x 10^-3 A", Exactly, 1.2e-3, "A", 1e-4);
    reads("4.7 uF", Exactly, 4.7, "µF", 0.1);
    reads("4.7 µF", Exactly, 4.7, "µF", 0.1);
    reads("4.7 μF", Exactly, 4.7, "µF", 0.1);
    reads("-5 °C", Exactly, -5.0, "°C", 1.0);
    reads("−5 ℃", Exactly, -5.0, "°C", 1.0);
    reads("25° C", Exactly, 25.0, "°C", 1.0);
    reads("298 K", Exactly, 298.0, "K", 1.0);
    reads("120 mm2", Exactly, 120.0, "mm²", 1.0);
    reads("120 mm²", Exactly, 120.0, "mm²", 1.0);
    reads("230 Wh/kg", Exactly, 230.0, "Wh/kg", 1.0);
    reads("0.85", Exactly, 0.85, "", 0.01);
    reads(".5 mm", Exactly, 0.5, "mm", 0.1);
    reads("85 %", Exactly, 85.0, "%", 1.0);
    reads("35 dB(A)", Exactly, 35.0, "dB(A)", 1.0);
    reads("94 dB SPL", Exactly, 94.0, "dBSPL", 1.0);
    reads("5 V DC", Exactly, 5.0, "V", 1.0);
    reads("5 W/(m²·K)", Exactly, 5.0, "W/(m²·K)", 1.0);
    reads("620 mA h", Exactly, 620.0, "mAh", 1.0);
    reads("620 mA·h", Exactly, 620.0, "mAh", 1.0);
    reads("500 cycles", Exactly, 500.0, "", 1.0);
    reads("16 GB", Exactly, 16.0, "GB", 1.0);
    reads("90°", Exactly, 90.0, "°", 1.0);
    reads("4 pcs.", Exactly, 4.0, "pcs", 1.0);
}

#[test]
fn digit_groups_and_decimal_commas() {
    reads("10 000 mAh", Exactly, 10_000.0, "mAh", 1.0);
    reads("10\u{202f}000 mAh", Exactly, 10_000.0, "mAh", 1.0);
    reads("10'000 mAh", Exactly, 10_000.0, "mAh", 1.0);
    reads("1,234.5 g", Exactly, 1234.5, "g", 0.1);
    reads("1.234,5 g", Exactly, 1234.5, "g", 0.1);
    reads("1,234,567 pcs", Exactly, 1_234_567.0, "pcs", 1.0);
    reads("1.234.567 pcs", Exactly, 1_234_567.0, "pcs", 1.0);
    reads("1 234,567 g", Exactly, 1234.567, "g", 0.001);
    reads("0,234 g", Exactly, 0.234, "g", 0.001);
    reads("1234,567 g", Exactly, 1234.567, "g", 0.001);
    reads("1.234 g", Exactly, 1.234, "g", 0.001);
    // As printed in the GUM, 7.2.6.
    reads("10.057 62 Ω", Exactly, 10.05762, "Ω", 1e-5);
}

#[test]
fn senses() {
    reads("up to 40 h", UpTo, 40.0, "h", 1.0);
    reads("Up to 40 hours", UpTo, 40.0, "h", 1.0);
    reads("≤ 40 h", UpTo, 40.0, "h", 1.0);
    reads("max. 40 h", UpTo, 40.0, "h", 1.0);
    reads("40 h max", UpTo, 40.0, "h", 1.0);
    reads("<40 h", UpTo, 40.0, "h", 1.0);
    reads("≥35 dB", AtLeast, 35.0, "dB", 1.0);
    reads(">= 35 dB", AtLeast, 35.0, "dB", 1.0);
    reads("at least 35 dB", AtLeast, 35.0, "dB", 1.0);
    reads("min. 35 dB", AtLeast, 35.0, "dB", 1.0);
    reads("35 dB min", AtLeast, 35.0, "dB", 1.0);
    reads("min 5 min", AtLeast, 5.0, "min", 1.0);
    reads("35 min", Exactly, 35.0, "min", 1.0);
    reads("40+ h", AtLeast, 40.0, "h", 1.0);
    reads("over 35 dB", AtLeast, 35.0, "dB", 1.0);
    reads("about 28 g", About, 28.0, "g", 1.0);
    reads("~28 g", About, 28.0, "g", 1.0);
    reads("approx. 28 g", About, 28.0, "g", 1.0);
    reads("typ 3 mA", About, 3.0, "mA", 1.0);
    reads("3 mA (typ.)", About, 3.0, "mA", 1.0);
}

#[test]
fn ranges() {
    for text in [
        "10-12 h",
        "10 h to 12 h",
        "10…12 h",
        "10 – 12 h",
        "10..12 h",
        "10 to 12 h",
        "10~12 h",
        "10h-12h",
        "from 10 to 12 h",
        "between 10 and 12 h",
        "10 - 12 hours",
    ] {
        reads(text, Between, 11.0, "h", 1.0);
        spreads(
            text,
            11.0,
            "h",
            Spread::Range {
                low: 10.0,
                high: 12.0,
            },
        );
    }
    spreads(
        "-5 to -3 °C",
        -4.0,
        "°C",
        Spread::Range {
            low: -5.0,
            high: -3.0,
        },
    );
    spreads(
        "-20–60 °C",
        20.0,
        "°C",
        Spread::Range {
            low: -20.0,
            high: 60.0,
        },
    );
    spreads(
        "500 mA to 2 A",
        1.25,
        "A",
        Spread::Range {
            low: 0.5,
            high: 2.0,
        },
    );
    spreads(
        "2.8...3.2 mA",
        3.0,
        "mA",
        Spread::Range {
            low: 2.8,
            high: 3.2,
        },
    );
    assert_eq!(
        (read("10-12 h").low_si(), read("10-12 h").high_si()),
        (36_000.0, 43_200.0)
    );
}

#[test]
fn stated_spreads() {
    spreads("83.4(2) g", 83.4, "g", Spread::Standard(0.2));
    spreads("14 ± 0.05 mm", 14.0, "mm", plus_minus(0.05, None, None));
    spreads("14±0.05mm", 14.0, "mm", plus_minus(0.05, None, None));
    spreads("(14 ± 0.05) mm", 14.0, "mm", plus_minus(0.05, None, None));
    spreads("14 mm ± 0.05 mm", 14.0, "mm", plus_minus(0.05, None, None));
    spreads("14 mm +/- 0.05", 14.0, "mm", plus_minus(0.05, None, None));
    spreads("50 mm ± 2 %", 50.0, "mm", plus_minus(1.0, None, None));
    spreads("50 ± 2 %", 50.0, "%", plus_minus(2.0, None, None));
    spreads("2 m ± 5 mm", 2.0, "m", plus_minus(0.005, None, None));
    spreads("25 ± 2 °C", 25.0, "°C", plus_minus(2.0, None, None));
    spreads("25 °C ± 2 K", 25.0, "°C", plus_minus(2.0, None, None));
    spreads(
        "83.4 g ± 0.2 g, k=2",
        83.4,
        "g",
        plus_minus(0.2, Some(2.0), None),
    );
    spreads(
        "83.4 ± 0.2 g (k = 2)",
        83.4,
        "g",
        plus_minus(0.2, Some(2.0), None),
    );
    spreads(
        "83.4 ± 0.2 g, k=2, dof=9",
        83.4,
        "g",
        plus_minus(0.2, Some(2.0), Some(9.0)),
    );
    spreads(
        "83.4(2) g, dof=9",
        83.4,
        "g",
        plus_minus(0.2, Some(1.0), Some(9.0)),
    );
    let triple = Spread::MinTypMax {
        low: 2.8,
        high: 3.2,
    };
    spreads("typ 3.0 (2.8…3.2) mA", 3.0, "mA", triple.clone());
    spreads("typ. 3.0 mA (2.8 to 3.2 mA)", 3.0, "mA", triple.clone());
    spreads("3.0 mA (min 2.8 mA, max 3.2 mA)", 3.0, "mA", triple);
    spreads(
        "14 +0.5/-0.25 mm",
        14.0,
        "mm",
        Spread::MinTypMax {
            low: 13.75,
            high: 14.5,
        },
    );
    // As printed in the SI Brochure, 9th edition, 5.4.5.
    let neutron = read("1.674 927 471 (21) × 10⁻²⁷ kg");
    assert_eq!(
        (neutron.value, neutron.spread),
        (1.674_927_471e-27, Spread::Standard(2.1e-35))
    );
}

#[test]
fn lone_margins_hold_their_half_width() {
    let margin = read("± 0.2 g, k=2, dof=9");
    assert_eq!(
        (margin.value, &margin.spread),
        (0.2, &plus_minus(0.2, Some(2.0), Some(9.0)))
    );
    assert!(margin.is_margin());
    assert_eq!(read("± 2 %").si(), 0.02);
    assert_eq!(read("± 2 °C").si(), 2.0);
    let stated = read("± 0.5 V").stated_distribution();
    assert_eq!(
        stated,
        Some(Distribution::Rectangular {
            low: -0.5,
            high: 0.5
        })
    );
}

#[test]
fn compound_times() {
    reads("2 h 30 min", Exactly, 150.0, "min", 1.0);
    reads("2h30", Exactly, 150.0, "min", 1.0);
    reads("2h 30min", Exactly, 150.0, "min", 1.0);
    reads("up to 1 d 4 h", UpTo, 28.0, "h", 1.0);
    reads("1 h 2 min 5 s", Exactly, 3725.0, "s", 1.0);
    reads("1.5h", Exactly, 1.5, "h", 0.1);
    refused("2h30m", "30m", "'m' is the metre; write min for minutes");
    refused("2 h 75 min", "75 min", "fewer than 60");
}

#[test]
fn money_stands_before_or_after() {
    reads("12.50 €", Exactly, 12.5, "EUR", 0.01);
    reads("€12.50", Exactly, 12.5, "EUR", 0.01);
    reads("US$ 3", Exactly, 3.0, "USD", 1.0);
    reads("EUR 0.12/pcs", Exactly, 0.12, "EUR/pcs", 0.01);
    reads("0.12 EUR/pcs", Exactly, 0.12, "EUR/pcs", 0.01);
    refused("¥ 500", "¥ 500", "expected a number");
    refused("500 ¥", "¥", "write CNY or JPY");
}

#[test]
fn distributions_follow_the_writing() {
    let of = |text: &str| read(text).stated_distribution();
    assert_eq!(of("620 mAh"), None);
    assert_eq!(
        of("14 ± 2 m"),
        Some(Distribution::Rectangular {
            low: 12.0,
            high: 16.0
        })
    );
    assert_eq!(
        of("14 ± 2 m, k=2"),
        Some(Distribution::Normal {
            mean: 14.0,
            sd: 1.0
        })
    );
    assert_eq!(
        of("14 ± 2 m, k=2, dof=9"),
        Some(Distribution::ScaledT {
            mean: 14.0,
            scale: 1.0,
            degrees_of_freedom: 9.0
        })
    );
    assert_eq!(
        of("14(2) m"),
        Some(Distribution::Normal {
            mean: 14.0,
            sd: 2.0
        })
    );
    assert_eq!(
        of("10-12 m"),
        Some(Distribution::Rectangular {
            low: 10.0,
            high: 12.0
        })
    );
    assert_eq!(
        of("typ 3 (2…5) A"),
        Some(Distribution::Triangular {
            low: 2.0,
            mode: 3.0,
            high: 5.0
        })
    );
    assert_eq!(of("5 ± 0 V"), Some(Distribution::Exact { value: 5.0 }));
    assert_eq!(
        of("25 ± 2 °C"),
        Some(Distribution::Rectangular {
            low: 23.0 + 273.15,
            high: 27.0 + 273.15
        })
    );
}

#[test]
fn ambiguous_and_broken_texts_say_why() {
    refused(
        "1,234 g",
        "1,234",
        "'1,234 g' is ambiguous: 1.234 g or 1234 g",
    );
    refused("weight 1 g", "weight 1 g", "expected a number");
    refused("about 12,345 mAh", "12,345", "12.345 mAh or 12345 mAh");
    refused("1,23.4 g", "1,23.4", "do not make a number");
    refused("1.2.3 g", "1.2.3", "do not make a number");
    refused("620 mah", "mah", "did you mean 'mAh'?");
    refused("620 mÄh", "mÄh", "unknown unit 'mÄh'");
    refused("9V/1.5A", "/1.5A", "more than one figure");
    refused("14 x 20 mm", "x 20 mm", "more than one figure");
    refused("14 mm wide", "wide", "not understood after the figure");
    refused("12-10 h", "12-10 h", "runs downward");
    refused(
        "10 h to 12 g",
        "10 h to 12 g",
        "cannot run from time to mass",
    );
    refused(
        "14 mm ± 2 g",
        "2 g",
        "mass cannot stand after ± beside length",
    );
    refused("14 ± -2 g", "-2", "must not be negative");
    refused("(14 ± 2 g", "", "bracket is not closed");
    refused("typ 3 (4…5) mA", "3 (4…5) mA", "between its limits");
    refused(
        "14 ± 2 g, dof=9",
        "14 ± 2 g, dof=9",
        "need a coverage factor",
    );
    refused("14 g, k=2", "k=2", "k and dof belong to ±");
    refused("up to 10-12 h", "10-12 h", "exclude each other");
    refused("from 10 h", "10 h", "end of the range is missing");
    refused("½ mm", "½ mm", "fractions are not read");
    refused("1e999 g", "1e999", "too large or too small");
    refused("1e-999 g", "1e-999", "too large or too small");
    refused("", "", "nothing is written");
    refused(" ", " ", "nothing is written");
    refused("mAh", "mAh", "expected a number, found 'mAh'");
    refused("up to", "", "a number is missing");
    refused("16 Gb", "Gb", "write Gbit or GB");
}

#[test]
fn another_dimension_is_refused_with_an_example() {
    let refused = |text: &str, dimension, expected: &str| {
        let error = Stated::parse_as(text, dimension).expect_err(text);
        assert_eq!(error.message, expected);
        assert_eq!(&text[error.at.clone()], text.trim());
    };
    refused(
        "4.6 Wh",
        Dimension::CHARGE,
        "expected charge, found energy (4.6 Wh); write for example 620 mAh",
    );
    refused(
        " 620 ",
        Dimension::CHARGE,
        "expected charge, found a number without unit (620); write for example 620 mAh",
    );
    refused(
        "85 C",
        Dimension::TEMPERATURE,
        "expected temperature, found charge (85 C); C is the coulomb; write for example 85 °C",
    );
    refused(
        "20 m",
        Dimension::TIME,
        "expected time, found length (20 m); m is the metre, a minute is min; write for example 1.5 h or 20 min",
    );
    refused(
        "12 USD",
        Dimension::money(quantity::Currency::Eur),
        "expected EUR, found USD (12 USD); write for example 12.50 EUR",
    );
    assert!(Stated::parse_as("620 mAh", Dimension::CHARGE).is_ok());
}

#[test]
fn statements_serialise_as_their_text() {
    let stated: Stated = "83.4(2) g".parse().unwrap();
    assert_eq!(stated.to_string(), "83.4(2) g");
    assert_eq!(stated, read("83.4(2) g"));
}

#[test]
fn margins_keep_their_meaning_behind_a_word() {
    let margin = read("max. ±0.5 mm");
    assert!(margin.is_margin());
    assert_eq!((margin.sense, margin.value), (UpTo, 0.5));
    assert_eq!(read("500 mA to 2 A").last_digit, 1e-3);
    refused(
        "25 °C ± 2 %",
        "2 %",
        "plain number cannot stand after ± beside temperature",
    );
}
