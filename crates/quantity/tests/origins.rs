//! The distribution and standard uncertainty that an origin gives to a written figure.
//!
//! Sources: JCGM 100:2008 (GUM), 4.3.7 (limits ± a: u = a/√3), 4.3.9 (triangular: u = a/√6),
//! 4.3.3 (U = k·u), F.2.2.1 (resolution δx: u = 0.29 δx); JCGM 101:2008, 6.4.2, 6.4.5, 6.4.9.4.
//! The PERT deviation follows from the beta distribution: with λ = 4 and the mode in the middle
//! it is Beta(3, 3) with variance 1/28.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use quantity::{Accuracy, Distribution, Input, Origin, Sheet, Stated};
use support::{close, source};

const EVERY: [Origin; 7] = [
    Origin::Label,
    Origin::Measured,
    Origin::DataSheet,
    Origin::Estimated,
    Origin::Standard,
    Origin::Assumed,
    Origin::Derived,
];

fn input(text: &str, origin: Origin, accuracy: Option<Accuracy>) -> Input {
    let mut source = source();
    source.origin = origin;
    Input::stated("x", &Stated::parse(text).unwrap(), accuracy, source)
}

/// Demands mean and standard uncertainty in the figure's own unit.
#[track_caller]
fn gives(input: &Input, mean: f64, u: f64) {
    close(input.unit.of_si(input.distribution.mean()), mean, 1e-12);
    let sheet = Sheet::new();
    let first = sheet.propagate(&[sheet.input(input.clone())]).unwrap();
    let found = first.covariance[0][0].sqrt() / input.unit.factor();
    if u == 0.0 {
        assert_eq!(found, 0.0);
    } else {
        close(found, u, 1e-9);
    }
}

fn root(x: f64) -> f64 {
    x.sqrt()
}

#[test]
fn printed_figures_are_rectangular_in_half_the_last_digit() {
    for origin in [Origin::Label, Origin::DataSheet, Origin::Derived] {
        for (text, value, half) in [
            ("620 mAh", 620.0, 0.5),
            ("3.85 V", 3.85, 0.005),
            ("25 °C", 25.0, 0.5),
        ] {
            let found = input(text, origin, None);
            assert!(matches!(
                found.distribution,
                Distribution::Rectangular { .. }
            ));
            gives(&found, value, half / root(3.0));
        }
    }
}

#[test]
fn a_measurement_has_the_resolution_and_the_limit_of_its_instrument() {
    // GUM F.2.2.1: u = 0.29 δx.
    let found = input("83.4 g", Origin::Measured, None);
    assert!(matches!(
        found.distribution,
        Distribution::Rectangular { .. }
    ));
    gives(&found, 83.4, 0.1 / root(12.0));

    let coarse = Accuracy {
        resolution: Some(0.5e-3),
        ..Accuracy::default()
    };
    gives(
        &input("83.5 g", Origin::Measured, Some(coarse)),
        83.5,
        0.5 / root(12.0),
    );

    // Two independent rectangular errors: variances a²/3 add.
    let limited = Accuracy {
        resolution: Some(0.1e-3),
        absolute: Some(0.3e-3),
        relative: None,
    };
    let found = input("83.4 g", Origin::Measured, Some(limited));
    assert!(matches!(found.distribution, Distribution::Trapezoid { .. }));
    gives(
        &found,
        83.4,
        root((0.05_f64.powi(2) + 0.3_f64.powi(2)) / 3.0),
    );

    // ±(0.5 % of reading + 2 mV) and a last digit of 1 mV.
    let meter = Accuracy {
        resolution: Some(1e-3),
        absolute: Some(2e-3),
        relative: Some(0.005),
    };
    let limit = 0.005 * 3.812 + 0.002;
    gives(
        &input("3.812 V", Origin::Measured, Some(meter)),
        3.812,
        root((0.0005_f64.powi(2) + limit * limit) / 3.0),
    );
}

/// An instrument says nothing about a figure that was not measured with it.
#[test]
fn an_instrument_does_not_change_a_printed_figure() {
    let coarse = Accuracy {
        resolution: Some(1.0),
        absolute: Some(1.0),
        relative: Some(1.0),
    };
    for origin in EVERY.into_iter().filter(|o| *o != Origin::Measured) {
        assert_eq!(
            input("620 mAh", origin, Some(coarse)).distribution,
            input("620 mAh", origin, None).distribution
        );
    }
}

/// GUM 4.3.9: a triangle of half-width a has u = a/√6.
#[test]
fn least_typical_and_greatest_make_a_triangle() {
    let found = input("typ 3.0 (2.8…3.2) mA", Origin::DataSheet, None);
    assert!(matches!(
        found.distribution,
        Distribution::Triangular { .. }
    ));
    gives(&found, 3.0, 0.2 / root(6.0));

    let (a, c, b) = (2.8, 2.9, 3.2_f64);
    let variance = (a * a + b * b + c * c - a * b - a * c - b * c) / 18.0;
    gives(
        &input("typ 2.9 (2.8…3.2) mA", Origin::DataSheet, None),
        (a + b + c) / 3.0,
        root(variance),
    );
}

#[test]
fn estimates_are_pert_within_a_fifth() {
    for origin in [Origin::Estimated, Origin::Assumed] {
        let found = input("28 g", origin, None);
        assert!(matches!(found.distribution, Distribution::Pert { .. }));
        gives(&found, 28.0, 2.0 * 0.2 * 28.0 / root(28.0));
        gives(
            &input("4 pcs", origin, None),
            4.0,
            2.0 * 0.2 * 4.0 / root(28.0),
        );
        gives(&input("0 g", origin, None), 0.0, 0.0);
    }
}

#[test]
fn definitions_and_counts_are_exact() {
    gives(&input("100 Wh", Origin::Standard, None), 100.0, 0.0);
    for origin in [
        Origin::Label,
        Origin::Measured,
        Origin::DataSheet,
        Origin::Derived,
    ] {
        gives(&input("4 pcs", origin, None), 4.0, 0.0);
    }
}

/// The writing's own spread wins over the origin: tolerance (GUM 4.3.7), range, standard
/// uncertainty, expanded uncertainty (GUM 4.3.3), with degrees of freedom (JCGM 101, 6.4.9.4).
#[test]
fn a_written_spread_wins_whatever_the_origin() {
    for origin in EVERY {
        gives(&input("14 ± 0.05 mm", origin, None), 14.0, 0.05 / root(3.0));
        gives(&input("10-12 h", origin, None), 11.0, 1.0 / root(3.0));
        gives(&input("83.4(2) g", origin, None), 83.4, 0.2);
        let expanded = input("83.4 ± 0.2 g, k=2", origin, None);
        assert!(matches!(expanded.distribution, Distribution::Normal { .. }));
        gives(&expanded, 83.4, 0.1);
        assert_eq!(expanded.degrees_of_freedom, None);
        let repeated = input("83.4 ± 0.2 g, k=2, dof=9", origin, None);
        assert!(matches!(
            repeated.distribution,
            Distribution::ScaledT { .. }
        ));
        gives(&repeated, 83.4, 0.1);
        assert_eq!(repeated.degrees_of_freedom, Some(9.0));
    }
}
