//! Numbers and units as text. Narrow no-break spaces are written as plain ones here.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use quantity::{
    COVERED, Figure, GAP, Stated, Unit, format_beside, format_measured, format_quantity,
};

fn plain(text: &str) -> String {
    text.replace(GAP, " ")
}

#[track_caller]
fn prints(value: f64, symbol: &str, expected: &str) {
    let text = format_quantity(value, &Unit::parse(symbol).expect(symbol));
    assert_eq!(plain(&text), expected);
}

#[track_caller]
fn between(value: f64, low: f64, high: f64, symbol: &str, expected: &str) {
    let text = format_measured(value, (low, high), &Unit::parse(symbol).expect(symbol));
    assert_eq!(plain(&text), expected);
}

#[track_caller]
fn measured(value: f64, half: f64, symbol: &str, expected: &str) {
    between(value, value - half, value + half, symbol, expected);
}

#[track_caller]
fn beside(value: f64, half: f64, limits: &[f64], symbol: &str, expected: &str) {
    let unit = Unit::parse(symbol).expect(symbol);
    let text = format_beside(value, (value - half, value + half), limits, &unit);
    assert_eq!(plain(&text), expected);
}

/// Source: SI Brochure, 9th edition, 5.4.3 (space before the symbol, also °C; none before °) and
/// 5.4.7 (space before %).
#[test]
fn spaces_follow_the_si_brochure() {
    prints(12.3, "g", "12.3 g");
    prints(30.2, "°C", "30.2 °C");
    prints(30.25, "°", "30.25°");
    prints(0.25, "%", "0.25 %");
    prints(10.234, "m", "10.234 m");
    let narrow = format_measured(41.13, (41.09, 41.17), &Unit::parse("g").unwrap());
    assert_eq!(narrow, "41.13 ±\u{202f}0.04\u{202f}g");
}

/// Source: JCGM 100:2008 (GUM), 7.2.6 (10.057 62 Ω with 27 mΩ; 28.05 kHz gives 28 kHz), table G.1
/// (1.960 for 95 %): ± is half the interval, one digit of it, two where it begins with 1.
#[test]
fn digits_follow_the_interval() {
    let half = |u: f64| COVERED * u;
    measured(10.057_62, half(0.027), "Ω", "10.06 ± 0.05 Ω");
    measured(500.0, half(28.05), "kHz", "500 ± 50 kHz");
    measured(41.13, 0.0353, "g", "41.13 ± 0.04 g");
    measured(1.95, 0.118, "", "1.95 ± 0.12");
    measured(4.62, 0.0996, "Wh", "4.62 ± 0.10 Wh");
    measured(4.62, 0.151, "Wh", "4.62 ± 0.15 Wh");
    measured(4.62, 0.196, "Wh", "4.6 ± 0.2 Wh");
    measured(4.62, 0.95, "Wh", "4.6 ± 1.0 Wh");
}

#[test]
fn values_and_intervals_of_every_size_are_readable() {
    measured(98_765.0, 1234.0, "J", "98 800 ± 1200 J");
    measured(5e-4, 1e-5, "A", "(5.00 ± 0.10) × 10⁻⁴ A");
    measured(1.234e8, 2.1e6, "mm³", "(1.23 ± 0.02) × 10⁸ mm³");
    measured(0.0, 0.02, "g", "0.00 ± 0.02 g");
    measured(-0.000_4, 1.0, "g", "0.0 ± 1.0 g");
    measured(-20.4, 0.3, "°C", "−20.4 ± 0.3 °C");
    measured(25.0, 1.25, "°C", "25.0 ± 1.2 °C");
    measured(68.0, 1.5, "dBA", "68.0 ± 1.5 dB(A)");
    measured(90.0, 0.2, "°", "90.0 ± 0.2°");
    measured(5.0, 1e-20, "V", "5 V");
    measured(5.0, 0.0, "V", "5 V");
    measured(5.0, f64::NAN, "V", "5 V");
    measured(0.85, 0.02, "", "0.85 ± 0.02");
}

#[test]
fn a_lopsided_interval_shows_both_ends_rounded_outward() {
    between(157.2, 132.8, 197.0, "min", "about 160 min (130 to 200 min)");
    between(0.83, 0.612, 1.207, "mm", "about 0.8 mm (0.6 to 1.3 mm)");
    // Halves of 9 and 10 differ by a tenth; of 8 and 10 by a fifth.
    between(50.0, 41.0, 60.0, "g", "50 ± 10 g");
    between(50.0, 42.0, 60.0, "g", "about 50 g (42 to 60 g)");
    between(4.0, f64::NEG_INFINITY, f64::INFINITY, "h", "about 4.0 h");
    between(4.0, 2.47, f64::INFINITY, "h", "about 4.0 h (2.4 h or more)");
}

#[test]
fn a_value_is_printed_on_its_side_of_a_limit() {
    beside(30.046, 0.23, &[30.0], "h", "30.05 ± 0.23 h");
    beside(30.13, 0.23, &[30.0], "h", "30.1 ± 0.2 h");
    beside(13.907, 0.03, &[13.9], "mm", "13.91 ± 0.03 mm");
    beside(13.9004, 0.03, &[13.9], "mm", "13.9004 ± 0.0300 mm");
    beside(41.13, 0.04, &[38.76, 37.24], "g", "41.13 ± 0.04 g");
    // Equal but for the residue of computing is equal.
    beside(41.13, 0.04, &[41.130_000_000_000_01], "g", "41.13 ± 0.04 g");
}

#[test]
fn short_times_are_minutes_and_long_ones_days() {
    let told = |value: f64, half: f64, symbol: &str| {
        let unit = Unit::parse(symbol).unwrap();
        plain(&Figure::told(
            value,
            (value - half, value + half),
            &[],
            &unit,
        ))
    };
    assert_eq!(told(1.5, 0.04, "h"), "90 ± 2 min");
    assert_eq!(told(3.313, 0.031, "h"), "3.31 ± 0.03 h");
    assert_eq!(told(7305.0, 24.0, "h"), "304.4 ± 1.0 d");
    assert_eq!(told(126.7, 1.0, "min"), "126.7 ± 1.0 min");
    assert_eq!(told(20.0, 1.0, "s"), "20.0 ± 1.0 s");
}

#[test]
fn plain_values_have_no_needless_digits() {
    prints(4.62, "Wh", "4.62 Wh");
    prints(620.0, "mAh", "620 mAh");
    prints(0.1 + 0.2, "A", "0.3 A");
    prints(1.0 / 3.0, "V", "0.333333333333 V");
    prints(0.0012, "A", "0.0012 A");
    prints(1.2e-4, "A", "1.2 × 10⁻⁴ A");
    prints(1_250_000.0, "pcs", "1 250 000 pcs");
    prints(12_500_000.0, "pcs", "1.25 × 10⁷ pcs");
    prints(-5.0, "°C", "−5 °C");
    prints(-0.0, "g", "0 g");
    prints(9.999_999_999_999_9, "g", "10 g");
    prints(f64::NAN, "g", "not a number g");
    prints(f64::INFINITY, "g", "∞ g");
    prints(0.5, "", "0.5");
}

#[test]
fn printed_text_reads_back() {
    for (value, u, symbol) in [
        (4.62, 0.07, "Wh"),
        (5e-4, 1e-5, "A"),
        (1.23e8, 2e6, "mm³"),
        (-20.5, 0.3, "°C"),
        (98_765.0, 15.0, "J"),
        (21.5, 0.4, "°C"),
    ] {
        let unit = Unit::parse(symbol).unwrap();
        let text = format_measured(value, (value - u, value + u), &unit);
        let read = Stated::parse(&text).unwrap();
        assert!((read.value / value - 1.0).abs() < 1e-12, "{text}");
        let spread = read.stated_distribution().unwrap();
        let quantity::Distribution::Rectangular { low, high } = spread else {
            panic!("{text}")
        };
        let half = (high - low) / 2.0 / read.unit.factor();
        assert!((half / u - 1.0).abs() < 1e-9, "{text}: {half}");
    }
}
