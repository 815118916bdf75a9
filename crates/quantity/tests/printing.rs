//! Numbers and units as text.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use quantity::{Stated, Unit, format_measured, format_quantity};

#[track_caller]
fn prints(value: f64, symbol: &str, expected: &str) {
    assert_eq!(
        format_quantity(value, &Unit::parse(symbol).expect(symbol)),
        expected
    );
}

#[track_caller]
fn measured(value: f64, u: f64, symbol: &str, expected: &str) {
    assert_eq!(
        format_measured(value, u, &Unit::parse(symbol).expect(symbol)),
        expected
    );
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
}

/// Source: JCGM 100:2008 (GUM), 7.2.6 (10.057 62 Ω with 27 mΩ gives 10.058 Ω; 28.05 kHz gives
/// 28 kHz) and 7.2.2 (100.021 47 g with 0.35 mg).
#[test]
fn digits_follow_the_uncertainty_as_in_the_gum() {
    measured(10.057_62, 0.027, "Ω", "10.058 Ω ± 0.027 Ω");
    measured(500.0, 28.05, "kHz", "500 kHz ± 28 kHz");
    measured(100.021_47, 0.35e-3, "g", "100.02147 g ± 0.00035 g");
}

/// The GUM lets 10.47 mΩ be rounded up to 11 mΩ; here uncertainties round to the nearest.
#[test]
fn uncertainties_round_to_the_nearest() {
    measured(350.0, 10.47, "mΩ", "350 mΩ ± 10 mΩ");
    measured(4.62, 0.0996, "Wh", "4.62 Wh ± 0.10 Wh");
    measured(4.6204, 0.0721, "Wh", "4.620 Wh ± 0.072 Wh");
}

#[test]
fn values_and_uncertainties_of_every_size_are_readable() {
    measured(98_765.0, 1234.0, "J", "98800 J ± 1200 J");
    measured(5e-4, 1e-5, "A", "(5.00 ± 0.10) × 10⁻⁴ A");
    measured(1.234e8, 2.1e6, "mm³", "(1.234 ± 0.021) × 10⁸ mm³");
    measured(0.0, 0.02, "g", "0.000 g ± 0.020 g");
    measured(-0.000_4, 1.0, "g", "0.0 g ± 1.0 g");
    measured(25.0, 1.25, "°C", "25.0 °C ± 1.2 °C");
    measured(68.0, 1.5, "dBA", "68.0 dB(A) ± 1.5 dB");
    measured(5.0, 1e-20, "V", "5 V ± 1 × 10⁻²⁰ V");
    measured(5.0, 0.0, "V", "5 V");
    measured(5.0, f64::NAN, "V", "5 V");
    measured(5.0, f64::INFINITY, "V", "5 V");
    measured(0.85, 0.02, "", "0.850 ± 0.020");
}

#[test]
fn plain_values_have_no_needless_digits() {
    prints(4.62, "Wh", "4.62 Wh");
    prints(620.0, "mAh", "620 mAh");
    prints(0.1 + 0.2, "A", "0.3 A");
    prints(1.0 / 3.0, "V", "0.333333333333 V");
    prints(0.0012, "A", "0.0012 A");
    prints(1.2e-4, "A", "1.2 × 10⁻⁴ A");
    prints(1_250_000.0, "pcs", "1250000 pcs");
    prints(12_500_000.0, "pcs", "1.25 × 10⁷ pcs");
    prints(-5.0, "°C", "-5 °C");
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
        (1.234e8, 2.1e6, "mm³"),
        (21.5, 0.4, "°C"),
    ] {
        let text = format_measured(value, u, &Unit::parse(symbol).unwrap());
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
