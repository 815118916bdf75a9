//! The conformance probability against values of the standard normal distribution function.

use super::acceptance::Acceptance;
use super::conformance::{Conformance, decide, deciding_uncertainty, probability};
use crate::Verdict;
use crate::inputs::unit;
use quantity::{Distribution, Input, Origin, Sheet, Source};

/// The conformance probability of a normal state of knowledge, V.
fn of_normal(mean: f64, sd: f64, low: Option<f64>, high: Option<f64>) -> f64 {
    let sheet = Sheet::new();
    let source = Source {
        origin: Origin::Measured,
        evidence: Vec::new(),
        note: String::new(),
    };
    let input = Input::distributed(
        "value",
        Distribution::Normal { mean, sd },
        unit("V"),
        source,
    );
    let limits = Acceptance {
        low,
        high,
        tolerance: 0.1,
        granted: String::new(),
        unit: unit("V"),
    };
    probability(&sheet, sheet.input(input), &limits)
        .unwrap()
        .inside
}

/// Source of the numbers: values of the standard normal distribution function, Φ(1) = 0.841 345,
/// Φ(1.644 854) = 0.95, Φ(2) − Φ(−2) = 0.954 500; the formulas are JCGM 106:2012, 7.3 (one limit)
/// and 7.4 (two limits).
#[test]
fn one_and_two_limits_match_the_normal_distribution_function() {
    for (mean, low, high, expected) in [
        (1.0, Some(0.0), None, 0.841_345),
        (1.644_854, Some(0.0), None, 0.95),
        (-1.0, Some(0.0), None, 0.158_655),
        (0.0, Some(0.0), None, 0.5),
        (0.0, None, Some(1.0), 0.841_345),
        (0.0, None, Some(-1.0), 0.158_655),
        (0.0, Some(-1.0), Some(1.0), 0.682_689),
        (0.0, Some(-2.0), Some(2.0), 0.954_500),
        (0.0, Some(-3.0), Some(3.0), 0.997_300),
        (1.0, Some(-1.0), Some(1.0), 0.477_250),
    ] {
        let ours = of_normal(mean, 1.0, low, high);
        assert!(
            (ours - expected).abs() < 1e-6,
            "{mean} {low:?} {high:?}: {ours} for {expected}"
        );
    }
}

#[test]
fn the_decision_turns_at_the_stated_probabilities() {
    for (inside, below, verdict) in [
        (1.0, 0.0, Verdict::Holds),
        (0.95, 0.05, Verdict::Holds),
        (0.949, 0.051, Verdict::Undecided),
        (0.5, 0.5, Verdict::Undecided),
        (0.051, 0.949, Verdict::Undecided),
        (0.049, 0.951, Verdict::Fails),
        (0.0, 1.0, Verdict::Fails),
        // Wide on both sides: nothing is known.
        (0.04, 0.5, Verdict::Undecided),
    ] {
        let above = 1.0 - inside - below;
        let found = Conformance {
            inside,
            below,
            above,
        };
        assert_eq!(decide(found), verdict, "{found:?}");
    }
}

#[test]
fn a_measurement_with_the_deciding_uncertainty_decides() {
    for distance in [0.01, 0.3, 2.0] {
        let u = deciding_uncertainty(distance).unwrap();
        let p = of_normal(10.0 + distance, u, Some(10.0), None);
        assert!((p - 0.95).abs() < 1e-6, "{p}");
    }
    assert_eq!(deciding_uncertainty(0.0), None);
    assert_eq!(deciding_uncertainty(f64::NAN), None);
}

#[test]
fn a_value_without_doubt_is_compared_as_it_is() {
    let sheet = Sheet::new();
    let source = Source {
        origin: Origin::Standard,
        evidence: Vec::new(),
        note: String::new(),
    };
    let term = sheet.input(Input::exact("value", 38.0, unit("g"), source));
    for (low, high, expected) in [
        (Some(0.038), None, 1.0),
        (None, Some(0.038), 1.0),
        (Some(0.037), Some(0.039), 1.0),
        (Some(0.0381), None, 0.0),
    ] {
        let limits = Acceptance {
            low,
            high,
            tolerance: 0.0,
            granted: String::new(),
            unit: unit("g"),
        };
        assert_eq!(probability(&sheet, term, &limits).unwrap().inside, expected);
    }
}
