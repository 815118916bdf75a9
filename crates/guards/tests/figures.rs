//! Figures of standards, margins and bench calculations against published and worked values.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use guards::bench::{
    Coil, Layer, Shape, copper_um, heat_w, quarter_wave_mm, resistor_share, resonance_hz,
    resonant_f, trace_current_a, trace_width_mm, warmer_k,
};
use guards::margin::Law;
use guards::standards::{
    CONTACTS, Checked, DISCHARGE, ES1, ES2, PARTS, SURGE, TRANSPORT, breakdown_v,
    capacitor_limit_v, charge_c, discharge_a, energy_j, fuse_rating_a, mixed_share,
    pulse_power_factor, pulse_power_share, straight_clamp_v, surge_a, trip_a,
};

#[track_caller]
fn near(found: f64, printed: f64, within: f64) {
    assert!(
        (found - printed).abs() <= within,
        "{found}, printed {printed} ± {within}"
    );
}

/// Worked with Python's `math` beside the tables of sparks and surges.
#[test]
fn sparks_and_surges() {
    for (kv, currents, millijoules) in [
        (2.0, [7.5, 4.0, 2.0], 0.3),
        (4.0, [15.0, 8.0, 4.0], 1.2),
        (6.0, [22.5, 12.0, 6.0], 2.7),
        (8.0, [30.0, 16.0, 8.0], 4.8),
        (15.0, [56.25, 30.0, 15.0], 16.875),
    ] {
        assert_eq!(discharge_a(kv), currents);
        near(1e3 * energy_j(kv), millijoules, 1e-9);
    }
    near(1e6 * charge_c(8.0), 1.2, 1e-12);
    let through = |ohm: f64| [500.0, 1000.0, 2000.0, 4000.0].map(|v| surge_a(v, ohm));
    assert_eq!(through(2.0), [250.0, 500.0, 1000.0, 2000.0]);
    for (ohm, printed) in [
        (12.0, [41.667, 83.333, 166.667, 333.333]),
        (42.0, [11.905, 23.810, 47.619, 95.238]),
    ] {
        through(ohm)
            .iter()
            .zip(printed)
            .for_each(|(a, b)| near(*a, b, 5e-4));
    }
}

/// The same; the points 12 V at 1 A and 17 V at 5 A of one public data sheet.
#[test]
fn protecting_parts() {
    let clamp = |a: f64| straight_clamp_v([12.0, 1.0], [17.0, 5.0], a);
    near(clamp(16.0), 30.75, 1e-9);
    near(clamp(30.0), 48.25, 1e-9);
    for (alpha, printed) in [(5e-4, [6.256, 6.512, 6.592]), (1e-3, [6.112, 6.624, 6.784])] {
        for (celsius, volts) in [-20.0, 60.0, 85.0].into_iter().zip(printed) {
            near(breakdown_v(6.40, alpha, celsius), volts, 5e-4);
        }
    }
    for (celsius, share) in [
        (25.0, 1.0),
        (50.0, 0.8),
        (75.0, 0.6),
        (85.0, 0.52),
        (100.0, 0.4),
        (125.0, 0.2),
    ] {
        near(pulse_power_share(celsius), share, 1e-12);
    }
    near(pulse_power_factor(1000e-6, 20e-6), 7.07, 5e-3);
    for (milliohm, amps) in [
        (12.5, [4.0, 6.0, 8.0]),
        (25.0, [2.0, 3.0, 4.0]),
        (50.0, [1.0, 1.5, 2.0]),
    ] {
        for (volts, printed) in [0.10, 0.15, 0.20].into_iter().zip(amps) {
            near(trip_a(volts, 1e-3 * milliohm), printed, 1e-9);
        }
    }
    near(trip_a(0.15, 1.3 * 25e-3), 2.308, 5e-4);
    near(trip_a(1.0, 25e-3), 20.0, 1e-9);
    let [loaded, rated] = fuse_rating_a(1.0);
    near(loaded, 1.333, 5e-4);
    near(rated, 1.25, 1e-12);
}

/// Limits of ES1 and ES2 as a national text of the standard's table 4 prints them; worked points beside them.
#[test]
fn contacts_that_may_be_touched() {
    near(ES1.ac_limit_v(20.0), 38.0, 1e-12);
    near(ES2.ac_limit_v(100.0), 140.0, 1e-12);
    near(ES1.ac_limit_v(1000.0), 70.0, 1e-12);
    near(mixed_share(&ES1, 48.0, 9.0, 0.05), 1.1, 1e-12);
    near(capacitor_limit_v(47.0).unwrap()[0], 142.5, 1e-9);
    assert_eq!(capacitor_limit_v(61.0), Some([125.0, 250.0]));
    assert_eq!(capacitor_limit_v(1e6), Some([60.0, 120.0]));
    assert_eq!(capacitor_limit_v(1.0), None);
}

/// Rows from memory, and rows on which sources part, carry no verdict.
#[test]
fn rows_say_how_they_were_checked() {
    let all = [DISCHARGE, SURGE, PARTS, CONTACTS, TRANSPORT].concat();
    let soft: Vec<&str> = all
        .iter()
        .filter(|r| !r.is_hard())
        .map(|r| r.what)
        .collect();
    for what in [
        "PS1; PS2; PS3",
        "a.c. touch current to 1 kHz",
        "coefficient α",
        "levels 1 to 4",
        "T.2",
    ] {
        assert!(soft.contains(&what), "{what}");
    }
    assert!(
        all.iter()
            .all(|r| !r.source.is_empty() && r.checked != Checked::ReadIn(0))
    );
}

/// Probabilities worked with Python's `math` (section on margins beside the published cases).
#[test]
fn margins_are_probabilities() {
    let threshold = Law::Triangular {
        low: 6.5,
        mode: 6.65,
        high: 6.8,
    };
    for (limit, printed) in [(6.55, 0.055556), (6.65, 0.5), (6.70, 0.777778), (6.80, 1.0)] {
        near(threshold.below(limit), printed, 5e-7);
    }
    let normal = Law::Normal {
        mean: 6.65,
        sd: 0.05,
    };
    near(normal.below(6.70), 0.841345, 5e-7);
    near(normal.between(5.25, 7.0), 1.0, 5e-10);
    near(
        Law::Normal {
            mean: 0.9,
            sd: 0.05,
        }
        .below(1.0),
        0.977250,
        5e-7,
    );
    let charge = Law::Uniform {
        low: 4.158,
        high: 4.242,
    };
    near(charge.below(4.25), 1.0, 1e-12);
    near(charge.below(4.20), 0.5, 1e-9);
}

/// Two independent ratings. Uniform against uniform is an area of a square; normals differ as a normal; a triangular
/// one is the sum of two uniform ones, so that P is a volume of a cube: 1/6 of it where one starts as the other ends
/// its first half.
#[test]
fn two_ratings_are_compared() {
    let uniform = |low: f64, high: f64| Law::Uniform { low, high };
    near(
        uniform(0.0, 1.0).below_other(uniform(0.5, 1.5)),
        0.875,
        1e-4,
    );
    near(
        uniform(0.0, 2.0).below_other(Law::Triangular {
            low: 0.0,
            mode: 1.0,
            high: 2.0,
        }),
        0.5,
        1e-4,
    );
    let normal = |mean: f64, sd: f64| Law::Normal { mean, sd };
    near(
        normal(0.0, 3.0).below_other(normal(5.0, 4.0)),
        0.841_344_7,
        1e-6,
    );
    near(Law::Exact(5.0).below_other(normal(5.0, 1.0)), 0.5, 1e-9);
    near(uniform(0.0, 1.0).below_other(normal(0.5, 0.1)), 0.5, 1e-4);
    // P(U ≤ T) for U uniform on 0 to 1, T triangular on 0 to 1 with its peak at 1: E[T] = 2/3.
    near(
        uniform(0.0, 1.0).below_other(Law::Triangular {
            low: 0.0,
            mode: 1.0,
            high: 1.0,
        }),
        2.0 / 3.0,
        1e-4,
    );
}

/// Widths from four public sources of the IPC-2221 curve fit.
#[test]
fn tracks() {
    for (amps, warmer, ounces, printed) in [
        (0.5, 10.0, 1.0, 0.1155),
        (1.0, 10.0, 1.0, 0.3004),
        (2.0, 10.0, 1.0, 0.7814),
        (3.0, 20.0, 1.0, 0.8976),
        (3.0, 10.0, 2.0, 0.6835),
    ] {
        let thickness = copper_um(ounces);
        let width = trace_width_mm(Layer::External, amps, thickness, warmer);
        near(width, printed, 1e-4);
        near(
            trace_current_a(Layer::External, width, thickness, warmer),
            amps,
            1e-9,
        );
        // The constant inside is half of that outside.
        near(
            trace_width_mm(Layer::Internal, amps / 2.0, thickness, warmer),
            width,
            1e-9,
        );
    }
}

/// Ten turns of 0.5 mm with 0.2 mm between, 30 mm outside: each form worked apart with the paper's constants.
#[test]
fn coils_by_three_forms() {
    let coil = |shape| Coil::wound(shape, 10.0, 30.0, 0.5, 0.2);
    near(coil(Shape::Square).inner_mm, 16.4, 1e-9);
    for (shape, printed) in [
        (Shape::Square, [3.77735, 3.73718, 3.83345]),
        (Shape::Hexagon, [3.20471, 3.24743, 3.35710]),
        (Shape::Octagon, [3.21470, 3.23194, 3.25078]),
    ] {
        let coil = coil(shape);
        near(1e6 * coil.wheeler_h().unwrap(), printed[0], 1e-5);
        near(1e6 * coil.sheet_h(), printed[1], 1e-5);
        near(1e6 * coil.monomial_h().unwrap(), printed[2], 1e-5);
        assert!(coil.spread().unwrap() < 0.05, "{shape:?}");
    }
    near(1e6 * coil(Shape::Circle).sheet_h(), 3.12614, 1e-5);
    assert_eq!(coil(Shape::Circle).spread(), None);
}

/// A coil of 24 µH and 183 nF resonates near 76 kHz; common practice for a coil of 100 kHz transmitters: from memory
/// 24 µH with 100 nF at 100 kHz, 1/(2π√(LC)) = 102.73 kHz by hand.
#[test]
fn resonance() {
    near(resonance_hz(24e-6, 100e-9), 102_734.0, 1.0);
    near(
        resonant_f(24e-6, resonance_hz(24e-6, 183e-9)),
        183e-9,
        1e-15,
    );
}

/// c is exact; quarter waves worked beside the tables of tracks and coils.
#[test]
fn quarter_waves_and_heat() {
    near(quarter_wave_mm(2.44e9, 1.0), 30.7164, 5e-5);
    near(quarter_wave_mm(2.40e9, 1.0), 31.2284, 5e-5);
    near(quarter_wave_mm(2.45e9, 1.0), 30.5911, 5e-5);
    near(quarter_wave_mm(2.44e9, 4.4), 14.64, 5e-3);
    near(heat_w(2.0, 0.025), 0.1, 1e-12);
    near(warmer_k(0.1, 200.0), 20.0, 1e-12);
    near(resistor_share(70.0), 1.0, 1e-12);
    near(resistor_share(112.5), 0.5, 1e-12);
    near(resistor_share(155.0), 0.0, 1e-12);
}
