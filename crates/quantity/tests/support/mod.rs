//! What the checks share: inputs without ceremony, and closeness to printed digits.

#![allow(dead_code, reason = "every test file takes what it needs")]

use quantity::{Dimension, Distribution, Input, Origin, Source, Unit};

/// The plain number 1.
pub(crate) fn one() -> Unit {
    Unit::coherent(Dimension::NONE)
}

/// A source that says nothing.
pub(crate) fn source() -> Source {
    Source {
        origin: Origin::Measured,
        evidence: Vec::new(),
        note: String::new(),
    }
}

/// A plain number with a distribution.
pub(crate) fn plain(name: &str, distribution: Distribution) -> Input {
    Input::distributed(name, distribution, one(), source())
}

/// A plain number with a normal distribution.
pub(crate) fn normal(name: &str, mean: f64, sd: f64) -> Input {
    plain(name, Distribution::Normal { mean, sd })
}

/// Demands that a value rounds to what is printed: half a unit of the last digit written.
#[track_caller]
pub(crate) fn printed(found: f64, text: &str) {
    let (mantissa, exponent) = text.split_once('e').unwrap_or((text, "0"));
    let decimals = mantissa.split_once('.').map_or(0, |(_, d)| d.len() as i32);
    let wanted: f64 = text.parse().unwrap();
    let half = 0.5 * 10f64.powi(exponent.parse::<i32>().unwrap() - decimals);
    assert!(
        (found - wanted).abs() <= half * 1.000_001,
        "found {found}, printed {text}"
    );
}

/// Demands closeness relative to the wanted value.
#[track_caller]
pub(crate) fn close(found: f64, wanted: f64, relative: f64) {
    assert!(
        (found - wanted).abs() <= relative * wanted.abs(),
        "found {found}, wanted {wanted}"
    );
}

/// Demands closeness in absolute terms.
#[track_caller]
pub(crate) fn within(found: f64, wanted: f64, distance: f64) {
    assert!(
        (found - wanted).abs() <= distance,
        "found {found}, wanted {wanted} ± {distance}"
    );
}
