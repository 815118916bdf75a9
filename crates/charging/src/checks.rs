//! Checks of what lies inside: rates, crossings, and the closed forms against steps of a solver.

use crate::cell::State;
use crate::decay::{Decay, Side};
use crate::limit::Law;
use crate::modes::{Circuit, Modes, constant_current, constant_voltage};
use crate::ocv::Segment;
use crate::stepped::Step;
use crate::{MAX_PAIRS, Pair};

fn rows(text: &str) -> Vec<Vec<String>> {
    csv::Reader::from_reader(text.as_bytes())
        .records()
        .map(|row| row.unwrap().iter().map(str::to_owned).collect())
        .collect()
}

fn circuit(ampere_hours: f64, r0: f64, pairs: &[(f64, f64)]) -> Circuit {
    let mut list = [Pair {
        ohm: 1.0,
        farad: 1.0,
    }; MAX_PAIRS];
    for (slot, (ohm, farad)) in list.iter_mut().zip(pairs) {
        *slot = Pair {
            ohm: *ohm,
            farad: *farad,
        };
    }
    Circuit {
        coulombs: 3600.0 * ampere_hours,
        r0,
        pairs: list,
        count: pairs.len(),
        load_a: 0.0,
    }
}

fn named(name: &str) -> Circuit {
    match name {
        "A0" => circuit(5.0, 0.030, &[]),
        "A1" => circuit(5.0, 0.020, &[(0.010, 3000.0)]),
        "A2" => circuit(5.0, 0.020, &[(0.008, 2500.0), (0.012, 25000.0)]),
        "B1" => circuit(0.062, 0.45, &[(0.25, 120.0)]),
        "L1" => circuit(2.5, 0.012, &[(0.010, 6000.0)]),
        _ => panic!("no cell {name}"),
    }
}

fn segment(volts: f64, slope: f64) -> Segment {
    Segment {
        from: 0.0,
        to: 1.0,
        volts,
        slope,
    }
}

/// Rates of 54 stretches of five cells. Source: numpy, held against roots in 40 digits (mpmath); printed to 13 digits.
#[test]
fn rates_at_constant_voltage_are_the_zeros_of_the_impedance() {
    let table = rows(include_str!("../tests/published/charging_cv_rates.csv"));
    assert_eq!(table.len(), 54);
    for row in table {
        let circuit = named(&row[0]);
        let slope: f64 = row[3].parse().unwrap();
        let state = State {
            soc: 0.0,
            pair_v: [0.01, 0.02],
        };
        let modes = constant_voltage(&circuit, &segment(3.0, slope), &state, 4.0, 0.0);
        let mut found = modes.rates[..=circuit.count].to_vec();
        found.sort_by(f64::total_cmp);
        for (k, rate) in found.into_iter().enumerate() {
            let wanted: f64 = row[4 + k].parse().unwrap();
            let off = (rate - wanted).abs();
            assert!(
                off <= 6e-13 * wanted.abs(),
                "{row:?}: {rate:e} instead of {wanted:e}"
            );
        }
    }
}

/// The slow rate of a nearly flat table keeps its digits. Source: limit −b/(q·(R0 + R1)), exact for b to 0.
#[test]
fn the_slowest_rate_keeps_its_digits_on_a_nearly_flat_table() {
    let one = circuit(5.0, 0.02, &[(0.01, 3000.0)]);
    let two = circuit(5.0, 0.02, &[(0.004, 7500.0), (0.006, 7500.0)]);
    for circuit in [one, two] {
        let modes = constant_voltage(&circuit, &segment(3.3, 1e-9), &State::rested(0.0), 3.4, 0.0);
        let slowest = modes.rates[..=circuit.count]
            .iter()
            .copied()
            .fold(f64::MIN, f64::max);
        let wanted = -1e-9 / (18000.0 * 0.03);
        assert!(
            (slowest / wanted - 1.0).abs() < 1e-9,
            "{slowest:e} instead of {wanted:e}"
        );
    }
}

/// Source: closed form in numpy, three digits.
#[test]
fn the_fastest_rate_grows_as_the_series_resistance_vanishes() {
    for (ohm, slope, wanted) in [
        (0.02, 1.0, -0.051),
        (0.002, 1.6, -0.238),
        (2e-4, 1.6, -2.14),
        (2e-6, 1.6, -211.0),
    ] {
        let circuit = circuit(5.0, ohm, &[(0.01, 3000.0)]);
        let modes = constant_voltage(
            &circuit,
            &segment(4.05, slope),
            &State::rested(0.0),
            4.2,
            0.0,
        );
        let fastest = modes.rates.iter().copied().fold(0.0, f64::min);
        assert!(
            (fastest / wanted - 1.0).abs() < 4e-3,
            "{fastest} instead of {wanted}"
        );
    }
}

/// A line and one exponential cross zero where Lambert's functions say. Source: mpmath, 16 digits.
#[test]
fn a_line_and_an_exponential_cross_where_lambert_says() {
    /// W0 and W−1 meet at −1/e.
    const BRANCH: f64 = -0.3678;
    for row in rows(include_str!("../tests/published/charging_lambert.csv")) {
        let (x, wanted): (f64, f64) = (row[1].parse().unwrap(), row[2].parse().unwrap());
        let line = |constant: f64, weight: f64| Decay {
            constant,
            slope: 1.0,
            rates: [-1.0, 0.0, 0.0],
            weights: [weight, 0.0, 0.0],
        };
        let crossing = |function: Decay, side| function.first_crossing(0.0, side, f64::INFINITY);
        let found = match row[0].as_str() {
            // t − x·e^(−t) = 0 has the root W(x).
            "W0" if x > 0.0 => crossing(line(0.0, -x), Side::Below),
            "W0" if x == 0.0 => Some(0.0),
            // t + ln(−x) + e^(−t) has its least value at 0 and then the root W0(x) − ln(−x).
            "W0" => crossing(line((-x).ln(), 1.0), Side::Below).map(|t| t + (-x).ln()),
            // Begun 3 earlier it comes down through W−1(x) − ln(−x) + 3 first. Beside the branch point it dips below
            // zero by less than the last digit of its terms, so that nobody can see the crossing.
            "W-1" if x < BRANCH => continue,
            "W-1" => crossing(line((-x).ln() - 3.0, 3f64.exp()), Side::Above)
                .map(|t| t + (-x).ln() - 3.0),
            // t − c − e^(y + c)·e^(−t) has the root c + ω(y); c keeps the weight within range.
            "omega" => {
                let c = if x > 700.0 { 700.0 - x } else { 0.0 };
                crossing(line(-c, -(x + c).exp()), Side::Below).map(|t| t - c)
            }
            other => panic!("no function {other}"),
        };
        let found = found.unwrap();
        // Beside the branch point the root is nearly double, and half of the digits are lost for everybody.
        let within = if x < BRANCH {
            2e-7
        } else {
            1e-13 * wanted.abs().max(1.0)
        };
        assert!((found - wanted).abs() <= within, "{row:?}: {found:e}");
    }
}

#[test]
fn every_crossing_of_three_exponentials_is_found() {
    // 1 − 6x + 11x² − 6x³ = (1 − x)(1 − 2x)(1 − 3x), with x = e^(−t): zeros at t = 0, ln 2, ln 3.
    let cubic = Decay {
        constant: 1.0,
        slope: 0.0,
        rates: [-1.0, -2.0, -3.0],
        weights: [-6.0, 11.0, -6.0],
    };
    let first = cubic.first_crossing(0.0, Side::Above, f64::INFINITY);
    let none = cubic.first_crossing(0.0, Side::Above, 0.6);
    assert!(cubic.value(0.3) > 0.0 && cubic.value(0.9) < 0.0 && cubic.value(2.0) > 0.0);
    assert!((first.unwrap() - 2f64.ln()).abs() < 1e-14);
    assert_eq!(none, None);
    let from_below = Decay {
        constant: -1.0,
        weights: [6.0, -11.0, 6.0],
        ..cubic
    };
    let back = from_below.first_crossing(0.0, Side::Below, f64::INFINITY);
    assert!((back.unwrap() - 2f64.ln()).abs() < 1e-14);
}

/// The same hour by a solver that steps. Source: Dormand–Prince with a bound of 1e-10 a step.
#[test]
fn closed_forms_agree_with_a_solver_that_steps() {
    let circuit = Circuit {
        load_a: 0.4,
        ..named("A2")
    };
    let segment = segment(3.5, 0.6);
    let start = State {
        soc: 0.2,
        pair_v: [0.06, -0.01],
    };
    for (law, modes) in [
        (
            Law::Current(2.0),
            constant_current(&circuit, &segment, &start, 1.6),
        ),
        (
            Law::Voltage {
                volt: 3.9,
                ohm: 0.05,
            },
            constant_voltage(&circuit, &segment, &start, 3.9, 0.05),
        ),
    ] {
        agree(law, &modes, circuit, segment, start);
    }
}

fn agree(law: Law, modes: &Modes, circuit: Circuit, segment: Segment, start: State) {
    let (mut state, mut time, mut tried) = (start, 0.0, 1.0);
    let mut sums = [0.0; 4];
    while time < 3600.0 {
        let step = Step {
            law,
            segment,
            circuit,
            from: state,
        };
        let (length, end, next) = step.take(tried, 3600.0 - time);
        for (sum, value) in
            sums.iter_mut()
                .zip([end.energy_j, end.squared_a, end.pairs_j, end.volt_s])
        {
            *sum += value;
        }
        state = end.state;
        time += length;
        tried = next;
    }
    let closed = modes.state_after(&circuit, &start, 3600.0);
    let integrals = modes.integrals(&circuit, 3600.0);
    assert!((closed.soc - state.soc).abs() < 1e-10, "{law:?}");
    for pair in 0..MAX_PAIRS {
        assert!(
            (closed.pair_v[pair] - state.pair_v[pair]).abs() < 1e-10,
            "{law:?}"
        );
    }
    let closed = [
        integrals.energy_j,
        integrals.squared,
        integrals.pairs_j,
        integrals.volt_s,
    ];
    for (a, b) in closed.into_iter().zip(sums) {
        assert!((a / b - 1.0).abs() < 1e-8, "{law:?}: {a} and {b}");
    }
}
