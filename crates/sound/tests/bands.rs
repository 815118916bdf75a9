//! Bands, filters and weightings against the tables of the standards.

#![allow(clippy::unwrap_used, reason = "a test may fail")]

mod support;

use sound::bands::{Band, G, between};
use sound::bank::Bank;
use sound::filter::{Bandpass, STATISTICAL_WIDTH};
use sound::leq::weighted_mean_square;
use sound::level;
use sound::weighting::{Weighting, poles_hz};
use support::{near, number, rows, sine};

/// IEC 61260-1:2014, equations (1) to (5).
#[test]
fn bands_stand_where_the_standard_has_them() {
    let table = rows(include_str!("published/acoustics_bands.csv"));
    assert_eq!(table.len(), 45);
    for row in &table {
        let band = Band {
            per_octave: number(row, "b") as u32,
            number: number(row, "x") as i32,
        };
        let name = format!("1/{} no. {}", band.per_octave, band.number);
        near(&name, band.mid_hz(), number(row, "exact_mid_hz"), 1e-6);
        near(&name, band.edges_hz().0, number(row, "lower_edge_hz"), 1e-6);
        near(&name, band.edges_hz().1, number(row, "upper_edge_hz"), 1e-6);
        near(&name, band.nominal_hz(), number(row, "nominal_hz"), 1e-9);
    }
    near("G", G, 1.995_262_315, 5e-10);
}

/// IEC 61260-1:2014, equation (3) and the examples of annex E.3.4.
#[test]
fn bands_of_even_fractions_have_1_khz_at_an_edge_and_their_own_names() {
    let all = between(24, 40.0, 9000.0);
    let named = |hz: f64| {
        all.iter()
            .find(|band| (band.mid_hz() - hz).abs() < 0.05)
            .unwrap()
    };
    near("41.567", named(41.567).nominal_hz(), 41.6, 1e-9);
    near("8785.2", named(8785.2).nominal_hz(), 8800.0, 1e-9);
    let sixth = Band {
        per_octave: 6,
        number: 0,
    };
    near("edge", sixth.edges_hz().0, 1000.0, 1e-9);
}

#[test]
fn bands_are_found_by_their_names() {
    let thirds = between(3, 50.0, 10_000.0);
    assert_eq!(
        (thirds.len(), thirds[0], thirds[23]),
        (24, Band::third(-13), Band::third(10))
    );
    let octaves = between(1, 63.0, 8000.0);
    assert_eq!(
        (octaves.len(), octaves[0], octaves[7]),
        (8, Band::octave(-4), Band::octave(3))
    );
    assert_eq!(between(3, 25.0, 20_000.0).len(), 30);
}

/// Least and most relative attenuation of class 1 at break points of the octave exponent; IEC 61260-1:2014, table 1.
fn class_1() -> Vec<(f64, f64, f64)> {
    rows(include_str!("published/acoustics_mask.csv"))
        .iter()
        .filter(|row| number(row, "b") == 1.0)
        .map(|row| {
            let most = number(row, "class1_max_db");
            (
                number(row, "octave_exponent"),
                number(row, "class1_min_db"),
                most,
            )
        })
        .collect()
}

/// Maps a break point to bands of 1/b octave; IEC 61260-1:2014, equations (9) and (10).
fn mapped(exponent: f64, b: u32) -> f64 {
    let half = G.powf(0.5 / f64::from(b));
    1.0 + (half - 1.0) / (G.sqrt() - 1.0) * (G.powf(exponent) - 1.0)
}

/// Limits at a relative frequency, straight in its logarithm between break points.
fn limits(b: u32, omega: f64) -> (f64, f64) {
    let omega = omega.max(1.0 / omega);
    let points = class_1();
    let x = omega.ln();
    let last = points.last().unwrap();
    if omega >= mapped(last.0, b) {
        return (last.1, f64::INFINITY);
    }
    for pair in points.windows(2) {
        let (low, high) = (mapped(pair[0].0, b).ln(), mapped(pair[1].0, b).ln());
        if low <= x && x < high {
            let share = (x - low) / (high - low);
            let between = |a: f64, b: f64| {
                if a.is_finite() && b.is_finite() {
                    a + share * (b - a)
                } else {
                    f64::INFINITY
                }
            };
            return (between(pair[0].1, pair[1].1), between(pair[0].2, pair[1].2));
        }
    }
    unreachable!("{omega}")
}

/// IEC 61260-1:2014, annex F, and values interpolated with a public implementation.
#[test]
fn the_mask_is_that_of_the_standard() {
    for (exponent, omega) in [
        (0.125, 1.02667),
        (0.25, 1.05575),
        (0.375, 1.08746),
        (0.5, 1.12202),
        (1.0, 1.29437),
        (2.0, 1.88173),
        (3.0, 3.05365),
        (4.0, 5.39195),
    ] {
        near("break point", mapped(exponent, 3), omega, 5e-6);
        near("below", mapped(exponent, 3).recip(), 1.0 / omega, 5e-6);
    }
    for row in rows(include_str!("published/acoustics_mask.csv")) {
        let b = number(&row, "b") as u32;
        near(
            "table",
            mapped(number(&row, "octave_exponent"), b),
            number(&row, "omega_high"),
            1e-6,
        );
        near(
            "table",
            mapped(number(&row, "octave_exponent"), b).recip(),
            number(&row, "omega_low"),
            1e-6,
        );
    }
    near("b 3", limits(3, 1.05).1, 0.660_865, 1e-6);
    near("b 3", limits(3, 1.15).0, 3.854_644, 1e-6);
    near("b 3", limits(3, 1.5).0, 26.017_724, 1e-6);
    near("b 3", limits(3, 2.5).0, 51.942_696, 1e-6);
    near("b 1", limits(1, 1.05).1, 0.456_505, 1e-6);
    near("b 1", limits(1, 1.15).1, 0.623_722, 1e-6);
    near("b 1", limits(1, 1.5).0, 3.878_703, 1e-6);
    near("b 1", limits(1, 2.5).0, 24.402_554, 1e-6);
}

/// Measures a band with sines on both sides, all the way through the bank, folding over included.
#[track_caller]
fn within_class_1(band: Band, rate_hz: f64) {
    let width = band.width_hz();
    let mut bank = Bank::new(vec![band]);
    // The beginning and the end of a sine are heard in every band for a while.
    bank.from_s = 14.0 / width;
    bank.to_s = bank.from_s + 0.05 + 20.0 / width;
    let seconds = bank.to_s + 14.0 / width;
    let level_at = |hz: f64| {
        let tone = sine(hz, rate_hz, seconds, 0.9);
        level::of_power(bank.mean_squares(&[&tone], rate_hz)[0][0])
    };
    let middle = level_at(band.mid_hz());
    near(
        "a sine in the middle",
        middle,
        level::of_power(0.9 * 0.9 / 2.0),
        0.05,
    );
    for k in -60..=60 {
        let exponent = f64::from(k) / 15.0;
        let high = mapped(exponent.abs(), band.per_octave);
        // Not on the edge itself, where the limits jump.
        let omega = if k < 0 { 1.0 / high } else { high } * 1.000_01;
        let hz = band.mid_hz() * omega;
        if hz >= 0.495 * rate_hz {
            continue;
        }
        let attenuation = middle - level_at(hz);
        let (least, most) = limits(band.per_octave, omega);
        assert!(
            attenuation >= least && attenuation <= most,
            "1/{} octave {:.1} Hz at {hz:.2} Hz (relative {omega:.5}): {attenuation:.3} dB, limits {least:.3} to {most:.3}",
            band.per_octave,
            band.mid_hz(),
        );
    }
}

#[test]
fn thirds_at_48_khz_lie_within_class_1() {
    for band in between(3, 50.0, 20_000.0) {
        within_class_1(band, 48_000.0);
    }
}

#[test]
fn thirds_at_other_rates_lie_within_class_1() {
    for band in between(3, 400.0, 16_000.0) {
        within_class_1(band, 44_100.0);
    }
    for band in between(3, 3150.0, 20_000.0) {
        within_class_1(band, 96_000.0);
    }
}

#[test]
fn octaves_and_narrower_bands_lie_within_class_1() {
    for band in between(1, 125.0, 16_000.0) {
        within_class_1(band, 48_000.0);
    }
    for band in [-30, 0, 30] {
        within_class_1(
            Band {
                per_octave: 12,
                number: band,
            },
            48_000.0,
        );
    }
}

/// ∫|H|²)²/∫|H|⁴ of the filter itself, in narrow steps; 1.2566 was confirmed by 2,000 draws of noise.
#[test]
fn noise_is_averaged_over_more_than_the_width_between_the_edges() {
    let band = Band::third(-10);
    let (low, high) = band.edges_hz();
    let filter = Bandpass::new(low, high, 2000.0);
    let (mut squares, mut fourths) = (0.0, 0.0);
    let step = 0.01;
    for k in 1..100_000 {
        let power = filter.response(f64::from(k) * step / 2000.0).powi(2);
        squares += power * step;
        fourths += power * power * step;
    }
    near(
        "width",
        squares * squares / fourths / band.width_hz(),
        STATISTICAL_WIDTH,
        0.01,
    );
}

/// IEC 61672-1:2013, table 3 and annex E.
#[test]
fn weightings_are_those_of_the_standard() {
    let table = rows(include_str!("published/acoustics_weighting.csv"));
    assert_eq!(table.len(), 34);
    let one_digit = |x: f64| (x * 10.0).round() / 10.0;
    let mut beside: f64 = 0.0;
    for row in &table {
        let hz = number(row, "exact_hz");
        near("A", Weighting::A.db(hz), number(row, "a_exact_db"), 1e-6);
        near("C", Weighting::C.db(hz), number(row, "c_exact_db"), 1e-6);
        near(
            "A printed",
            one_digit(Weighting::A.db(hz)),
            number(row, "a_table_db"),
            1e-9,
        );
        near(
            "C printed",
            one_digit(Weighting::C.db(hz)),
            number(row, "c_table_db"),
            1e-9,
        );
        near(
            "Z printed",
            Weighting::Z.db(hz),
            number(row, "z_table_db"),
            0.0,
        );
        let nominal = Weighting::A.db(number(row, "nominal_hz"));
        beside = beside.max((nominal - Weighting::A.db(hz)).abs());
    }
    near(
        "at the name instead of the frequency",
        beside,
        0.266_149,
        1e-6,
    );
    for (pole, printed) in
        poles_hz()
            .iter()
            .zip([20.598_997, 107.652_649, 737.862_231, 12_194.217_148])
    {
        near("pole", *pole, printed, 1e-6);
    }
    near("C at 1 kHz", Weighting::C.raw_db(1000.0), -0.061_902, 1e-6);
    near("A at 1 kHz", Weighting::A.raw_db(1000.0), -1.999_656, 1e-6);
}

/// A sine at each frequency of the table, weighted as sound; class 1 would allow far more.
#[test]
fn weighted_levels_of_sines_lie_within_the_table() {
    for row in rows(include_str!("published/acoustics_weighting.csv")) {
        let hz = number(&row, "exact_hz");
        // Without a click at its ends, which is heard at all frequencies.
        let mut tone = sine(hz, 48_000.0, 4.0, 0.5);
        let length = tone.len();
        for (n, x) in tone.iter_mut().enumerate() {
            let turn = 2.0 * std::f64::consts::PI * n as f64 / length as f64;
            *x *= (0.5 - 0.5 * turn.cos()) as f32;
        }
        let unweighted = level::of_power(weighted_mean_square(&tone, 48_000.0, Weighting::Z));
        for (weighting, column) in [(Weighting::A, "a_table_db"), (Weighting::C, "c_table_db")] {
            let weighted = level::of_power(weighted_mean_square(&tone, 48_000.0, weighting));
            let off = weighted - unweighted - number(&row, column);
            assert!(off.abs() <= 0.06, "{} at {hz}: {off}", weighting.letter());
            assert!(
                off <= number(&row, "class1_upper_db") && off >= number(&row, "class1_lower_db")
            );
        }
    }
}
