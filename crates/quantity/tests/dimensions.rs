//! Formulas that join unlike things are refused with both named; `min`, `max` and `abs` at their
//! corners.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use quantity::{
    ConvertError, Dimension, Input, MonteCarlo, Quantity, Sheet, SheetError, Stated, Term, Unit,
    units,
};
use std::f64::consts::PI;
use support::{normal, source, within};

fn exact<'s>(sheet: &'s Sheet, text: &str) -> Term<'s> {
    let stated = Stated::parse(text).unwrap();
    sheet.input(Input::exact(text, stated.value, stated.unit, source()))
}

#[track_caller]
fn refused(join: impl for<'s> Fn(&'s Sheet) -> Term<'s>, message: &str) {
    let sheet = Sheet::new();
    let term = join(&sheet);
    let wanted = Err(message.to_string());
    let text = |e: SheetError| e.to_string();
    assert_eq!(sheet.value(term).map_err(text), wanted);
    assert_eq!(sheet.propagate(&[term]).map(|_| 0.0).map_err(text), wanted);
    assert_eq!(sheet.figure(term).map(|_| 0.0).map_err(text), wanted);
    assert_eq!(sheet.working(term).map(|_| 0.0).map_err(text), wanted);
}

#[test]
fn unlike_dimensions_are_refused_and_both_named() {
    refused(
        |s| exact(s, "620 mAh") + exact(s, "2.4 Wh"),
        "cannot add charge and energy",
    );
    refused(
        |s| exact(s, "9 V") - exact(s, "1.67 A"),
        "cannot subtract voltage and current",
    );
    refused(
        |s| exact(s, "83 g").min(exact(s, "14 mm")),
        "cannot compare mass and length",
    );
    refused(
        |s| exact(s, "1 h").max(exact(s, "4 pcs")),
        "cannot compare time and count",
    );
    refused(
        |s| s.sum(&[exact(s, "12 EUR"), exact(s, "3 EUR"), exact(s, "5 USD")]),
        "cannot add EUR and USD",
    );
    refused(
        |s| exact(s, "3 EUR") / exact(s, "4 pcs") + exact(s, "5 EUR"),
        "cannot add EUR/pcs and EUR",
    );
    refused(
        |s| exact(s, "35 dB") + 1.0,
        "cannot add level and plain number",
    );
    refused(
        |s| exact(s, "3.8 V").exp(),
        "exp needs a plain number, found voltage",
    );
    refused(
        |s| exact(s, "5 W").sqrt(),
        "cannot take the square root of power",
    );
    refused(
        |s| (exact(s, "1.2 Ah") * exact(s, "3.8 V")).named("energy", &units::milliamp_hour()),
        "cannot show energy (energy) in mAh (charge)",
    );
}

/// The first mistake is the one that is told, whatever follows from it.
#[test]
fn the_first_mistake_is_told() {
    let sheet = Sheet::new();
    let wrong = exact(&sheet, "1 g") + exact(&sheet, "1 m");
    let worse = wrong + exact(&sheet, "1 s");
    assert_eq!(
        sheet.value(worse),
        Err(SheetError::Dimension {
            operation: "add",
            left: Dimension::MASS,
            right: Dimension::LENGTH
        })
    );
}

#[test]
fn a_place_that_asks_for_charge_refuses_energy() {
    let error = Stated::parse_as("4.6 Wh", Dimension::CHARGE).unwrap_err();
    assert!(
        error
            .message
            .starts_with("expected charge, found energy (4.6 Wh)"),
        "{error}"
    );
    let error = Quantity::new(4.6, units::watt_hour())
        .to(&Unit::parse("mAh").unwrap())
        .unwrap_err();
    assert!(matches!(error, ConvertError::Dimension { .. }));
    assert_eq!(
        error.to_string(),
        "expected charge, found energy (4.6\u{202f}Wh)"
    );
}

/// At a tie `min` and `max` follow their first argument, and `abs` is flat at nought: a choice,
/// so the figure does not rest on it but is sampled.
#[test]
fn derivatives_at_a_corner_follow_the_first_argument() {
    let sheet = Sheet::new();
    let a = sheet.input(normal("a", 1.0, 0.1));
    let b = sheet.input(normal("b", 1.0, 0.1));
    let terms = [a.min(b), a.max(b), b.min(a), b.max(a), (a - b).abs()];
    let found = sheet.propagate(&terms).unwrap();
    let expected = [[1.0, 0.0], [1.0, 0.0], [0.0, 1.0], [0.0, 1.0], [0.0, 0.0]];
    for (row, wanted) in found.sensitivities.iter().zip(expected) {
        assert_eq!(row, &wanted);
    }
    assert_eq!(found.values, [1.0, 1.0, 1.0, 1.0, 0.0]);
    for term in terms {
        let figure = sheet.figure(term).unwrap();
        assert!(
            figure.method.starts_with("quasi-Monte Carlo"),
            "{}",
            figure.method
        );
        let note = &figure.notes[0];
        assert!(note.starts_with("First order is not enough"), "{note}");
    }
    // One term on both sides is no corner that matters.
    let same = sheet.propagate(&[a.max(a), a.min(a)]).unwrap();
    assert_eq!(same.sensitivities, [[1.0, 0.0], [1.0, 0.0]]);
}

/// For two normal variables with standard deviation σ and correlation r, E max = μ + σ√((1 − r)/π)
/// and Var max = σ²(1 − (1 − r)/π) (C. E. Clark, "The greatest of a finite set of random
/// variables", Operations Research 9 (1961) 145); for independent standard ones 1/√π.
#[test]
fn greatest_of_two_normals() {
    const DRAWS: u64 = 400_000;
    let run = MonteCarlo {
        draws: DRAWS,
        seed: 5,
        threads: 2,
        keep_samples: false,
    };
    for r in [0.0, 0.6, -0.8] {
        let sheet = Sheet::new();
        let a = sheet.input(normal("a", 0.0, 1.0));
        let b = sheet.input(normal("b", 0.0, 1.0));
        sheet.correlate(a, b, r);
        let mean = ((1.0 - r) / PI).sqrt();
        let sd = (1.0 - (1.0 - r) / PI).sqrt();
        let error = 5.0 * sd / (DRAWS as f64).sqrt();
        let greatest = sheet.monte_carlo(a.max(b), run).unwrap();
        within(greatest.mean, mean, error);
        within(greatest.sd, sd, error);
        let least = sheet.monte_carlo(a.min(b), run).unwrap();
        within(least.mean, -mean, error);
        // max + min = a + b draw by draw.
        let both = sheet.monte_carlo(a.max(b) + a.min(b) - a - b, run).unwrap();
        within(both.sd, 0.0, 1e-12);
    }
    let sheet = Sheet::new();
    let a = sheet.input(normal("a", 0.0, 1.0));
    let b = sheet.input(normal("b", 0.0, 1.0));
    let figure = sheet.figure(a.max(b)).unwrap();
    within(figure.value, 1.0 / PI.sqrt(), 0.01);
    within(figure.standard_uncertainty, (1.0 - 1.0 / PI).sqrt(), 0.01);
}
