//! The cells of the published values, and their tables.

#![allow(dead_code, reason = "every test file uses some of it")]
#![allow(clippy::unwrap_used, reason = "a test may fail")]

use charging::{Cell, Ends, Law, Limits, Ocv, Pair, Phase, Stage};

pub(crate) const A: [(f64, f64); 13] = [
    (0.0, 3.0),
    (0.05, 3.3),
    (0.10, 3.42),
    (0.20, 3.52),
    (0.30, 3.59),
    (0.40, 3.64),
    (0.50, 3.70),
    (0.60, 3.79),
    (0.70, 3.88),
    (0.80, 3.97),
    (0.90, 4.07),
    (0.95, 4.12),
    (1.0, 4.2),
];
pub(crate) const B: [(f64, f64); 13] = [
    (0.0, 2.60),
    (0.02, 3.05),
    (0.05, 3.35),
    (0.10, 3.55),
    (0.20, 3.65),
    (0.30, 3.72),
    (0.40, 3.76),
    (0.50, 3.80),
    (0.60, 3.86),
    (0.70, 3.94),
    (0.80, 4.03),
    (0.90, 4.13),
    (1.0, 4.35),
];
/// Flat from 0.3 to 0.7.
pub(crate) const L: [(f64, f64); 7] = [
    (0.0, 2.50),
    (0.05, 3.10),
    (0.10, 3.22),
    (0.30, 3.29),
    (0.70, 3.29),
    (0.95, 3.34),
    (1.0, 3.60),
];

pub(crate) fn pair(ohm: f64, farad: f64) -> Pair {
    Pair { ohm, farad }
}

/// The constructed cells of the reference calculations, by their names there.
pub(crate) fn cell(name: &str) -> Cell {
    let (capacity, table, ohm, pairs): (f64, &[(f64, f64)], f64, &[Pair]) = match name {
        "A1" => (5.0, &A, 0.020, &[pair(0.010, 3000.0)]),
        "A2" => (5.0, &A, 0.020, &[pair(0.008, 2500.0), pair(0.012, 25000.0)]),
        "A0" => (5.0, &A, 0.030, &[]),
        "B1" => (0.062, &B, 0.45, &[pair(0.25, 120.0)]),
        "B0 350 mAh 0.2 ohm" => (0.35, &B, 0.20, &[]),
        "L1" => (2.5, &L, 0.012, &[pair(0.010, 6000.0)]),
        _ => panic!("no cell {name}"),
    };
    Cell::new(capacity, Ocv::new(table).unwrap(), ohm, pairs).unwrap()
}

/// A voltage held until the current has fallen.
pub(crate) fn hold(volt: f64, until_a: f64) -> Stage {
    let limits = Limits::new()
        .and(
            Law::Voltage { volt, ohm: 0.0 },
            charging::Binding::ChargeVoltage,
        )
        .unwrap();
    Stage::new(
        Phase::Charge,
        limits,
        Ends {
            falls_to_a: Some(until_a),
            ..Ends::default()
        },
    )
}

/// Rows of a table as text.
pub(crate) fn rows(text: &str) -> Vec<Vec<String>> {
    csv::Reader::from_reader(text.as_bytes())
        .records()
        .map(|row| row.unwrap().iter().map(str::to_owned).collect())
        .collect()
}

pub(crate) fn numbers(text: &str) -> Vec<f64> {
    text.split(';')
        .filter(|cell| !cell.is_empty())
        .map(|cell| cell.trim().parse().unwrap())
        .collect()
}

#[track_caller]
pub(crate) fn near(what: &str, found: f64, wanted: f64, within: f64) {
    assert!(
        (found - wanted).abs() <= within,
        "{what}: {found} instead of {wanted}, off by {:.3e}, allowed {within:.1e}",
        found - wanted
    );
}
