//! The method that serves a figure gives the right answer. The values to compare with come from
//! 4·10⁶ independent draws (stated with three digits) or from closed forms, named beside them.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;
use quantity::{Distribution, Figure, Sheet, Term};
use support::{normal, plain, within};

const PROBABILITY: f64 = 0.005;

/// Demands the 95 % interval within a hundredth of its width.
#[track_caller]
fn interval(figure: &Figure, low: f64, high: f64) {
    let hundredth = (high - low) / 100.0;
    within(figure.interval.low, low, hundredth);
    within(figure.interval.high, high, hundredth);
}

fn lognormal(name: &str, mu: f64, sigma: f64) -> quantity::Input {
    plain(name, Distribution::Lognormal { mu, sigma })
}

/// P(x³ ≤ ½) = Φ(½^⅓); E = 0, sd = √15.
#[test]
fn a_cube_about_zero() {
    let sheet = Sheet::new();
    let cube = sheet.input(normal("x", 0.0, 1.0)).powi(3);
    within(
        sheet.probability_at_most(cube, 0.5).unwrap(),
        0.786_3,
        PROBABILITY,
    );
    let figure = sheet.figure(cube).unwrap();
    interval(&figure, -7.529, 7.529);
    within(figure.value, 0.0, 1e-9);
    within(figure.standard_uncertainty, 15f64.sqrt(), 0.01);
    assert!(
        figure.notes[0].contains("sensitivities vanish"),
        "{:?}",
        figure.notes
    );
    within(figure.inputs[0].variance_share, 1.0, 1e-9);
}

/// 4·10⁶ draws: 1.19 … 14.48. E = 3√e, sd = √(3e(e−1)).
#[test]
fn a_sum_of_three_lognormals() {
    let sheet = Sheet::new();
    let terms = ["a", "b", "c"].map(|n| sheet.input(lognormal(n, 0.0, 1.0)));
    let figure = sheet.figure(sheet.sum(&terms)).unwrap();
    interval(&figure, 1.19, 14.48);
    let e = std::f64::consts::E;
    within(figure.value, 3.0 * e.sqrt(), 1e-6);
    within(
        figure.standard_uncertainty,
        (3.0 * e * (e - 1.0)).sqrt(),
        1e-6,
    );
}

/// ln y = ln a − ln b is not normal; Φ((1.2 − 1)/√(0.05² + 1.2²·0.1²)) is Fieller's form.
#[test]
fn a_ratio_near_a_limit() {
    let sheet = Sheet::new();
    let (a, b) = (
        sheet.input(normal("a", 1.0, 0.05)),
        sheet.input(normal("b", 1.0, 0.1)),
    );
    let found = sheet.probability_at_most(a / b, 1.2).unwrap();
    within(found, 0.938, PROBABILITY);
}

/// Fieller: P(a/b ≤ y) ≈ Φ((y − 1)/√(0.1² + y²·0.3²)) while b > 0; the moments do not exist.
#[test]
fn a_ratio_whose_divisor_can_be_zero_has_no_standard_uncertainty() {
    let sheet = Sheet::new();
    let (a, b) = (
        sheet.input(normal("a", 1.0, 0.1)),
        sheet.input(normal("b", 1.0, 0.3)),
    );
    let figure = sheet.figure(a / b).unwrap();
    assert!(figure.standard_uncertainty.is_infinite());
    assert!(
        figure.notes[0].contains("no mean and no standard uncertainty"),
        "{:?}",
        figure.notes
    );
    within(figure.value, 1.0, 0.01);
    assert!(!figure.text.contains('±'), "{}", figure.text);
    // 1/x with x rectangular from 0: P(1/x ≤ y) = 1 − 1/y.
    let x = sheet.input(plain(
        "x",
        Distribution::Rectangular {
            low: 0.0,
            high: 1.0,
        },
    ));
    let inverse = 1.0 / x;
    let figure = sheet.figure(inverse).unwrap();
    assert!(figure.standard_uncertainty.is_infinite());
    within(figure.value, 2.0, 0.02);
    within(
        sheet.probability_at_most(inverse, 4.0).unwrap(),
        0.75,
        PROBABILITY,
    );
    // Far from zero there is one.
    let b = sheet.input(normal("b", 1.0, 0.05));
    assert!(sheet.figure(a / b).unwrap().standard_uncertainty < 0.2);
    let c = sheet.input(lognormal("c", 0.0, 0.5));
    assert!(
        sheet
            .figure(a / c)
            .unwrap()
            .standard_uncertainty
            .is_finite()
    );
}

/// JCGM 101, 6.4.9.2: a t distribution with ν = 3; convolved with what is normal it is still a t distribution where
/// it dominates: 3.182 × 0.1.
#[test]
fn few_degrees_of_freedom() {
    let sheet = Sheet::new();
    let few = sheet.input(normal("few", 1.0, 0.1).with_degrees_of_freedom(3.0));
    interval(&sheet.figure(few).unwrap(), 1.0 - 0.3182, 1.0 + 0.3182);
    let other = sheet.input(normal("other", 0.0, 0.0001));
    interval(
        &sheet.figure(few + other).unwrap(),
        1.0 - 0.3182,
        1.0 + 0.3182,
    );
    // The square of a t variable is an F variable: F(0.95; 1, 3) = 10.13 (tables of F).
    let centred = sheet.input(normal("centred", 0.0, 1.0).with_degrees_of_freedom(3.0));
    within(
        sheet.probability_at_most(centred.powi(2), 10.128).unwrap(),
        0.95,
        PROBABILITY,
    );
    // And through products with another input.
    let factor = sheet.input(normal("factor", 0.0, 1.0));
    let product = sheet.figure(few * factor * factor.exp()).unwrap();
    assert!(product.standard_uncertainty > 0.0);
}

/// A small input of few degrees among correlated ones: 1.96 × √(2·0.06²·1.4 + 0.001²).
#[test]
fn a_small_input_of_few_degrees_does_not_widen_the_interval() {
    let sheet = Sheet::new();
    let (a, b) = (
        sheet.input(normal("a", 0.0, 0.06)),
        sheet.input(normal("b", 0.0, 0.06)),
    );
    sheet.correlate(a, b, 0.4);
    let small = sheet.input(normal("small", 0.0, 0.001).with_degrees_of_freedom(1.0));
    let figure = sheet.figure(a + b + small).unwrap();
    interval(&figure, -0.1969, 0.1969);
    assert!(figure.degrees_of_freedom.unwrap() > 1e6);
}

/// Correlated observations of equal degrees of freedom keep them (JCGM 100, H.2: ν = n − 1).
#[test]
fn jointly_observed_inputs_keep_their_degrees_of_freedom() {
    let sheet = Sheet::new();
    let one = |name: &str| sheet.input(normal(name, 1.0, 0.1).with_degrees_of_freedom(4.0));
    let (a, b) = (one("a"), one("b"));
    sheet.correlate(a, b, 0.5);
    assert_eq!(sheet.figure(a + b).unwrap().degrees_of_freedom, Some(4.0));
}

/// The stated coefficient is that of the values: kept draws of both inputs are correlated by it.
#[test]
fn a_stated_correlation_is_that_of_the_values() {
    let rectangular = Distribution::Rectangular {
        low: 0.0,
        high: 1.0,
    };
    let skewed = Distribution::Lognormal {
        mu: 0.0,
        sigma: 0.7,
    };
    let pert = Distribution::Pert {
        low: 0.0,
        mode: 0.2,
        high: 1.0,
        lambda: 4.0,
    };
    let bell = Distribution::Normal { mean: 1.0, sd: 0.1 };
    for (x, y, r) in [
        (rectangular, rectangular, 0.8),
        (skewed, skewed, 0.8),
        (skewed, skewed, -0.4),
        (skewed, rectangular, 0.6),
        (pert, skewed, 0.7),
        (bell, rectangular, -0.9),
    ] {
        let sheet = Sheet::new();
        let (a, b) = (sheet.input(plain("a", x)), sheet.input(plain("b", y)));
        sheet.correlate(a, b, r);
        let run = quantity::MonteCarlo {
            draws: 400_000,
            seed: 11,
            threads: 1,
            keep_samples: false,
        };
        let sampled = |t: Term<'_>| sheet.monte_carlo(t, run).unwrap();
        let (p, q) = (sampled(a), sampled(b));
        let product = sampled((a - p.mean) * (b - q.mean));
        within(product.mean / (p.sd * q.sd), r, 0.01);
        // First order and the distribution of a sum agree about the uncertainty.
        let first = sheet.propagate(&[a + b]).unwrap().covariance[0][0].sqrt();
        within(sampled(a + b).sd / first, 1.0, 0.005);
        let figure = sheet.figure(a + b).unwrap();
        let (low, high) = sampled(a + b).symmetric(0.95);
        interval(&figure, low, high);
    }
}

/// Two lognormals of σ and τ reach (e^στ − 1)/√((e^σ² − 1)(e^τ² − 1)) at most, for 0.2 and 1: 0.836.
#[test]
fn correlations_that_cannot_be_are_refused_with_the_reason() {
    let sheet = Sheet::new();
    let (a, b) = (
        sheet.input(lognormal("a", 0.0, 0.2)),
        sheet.input(lognormal("b", 0.0, 1.0)),
    );
    sheet.correlate(a, b, 0.9);
    let error = sheet.figure(a + b).unwrap_err().to_string();
    assert!(error.contains("to 0.84"), "{error}");
    assert!(error.contains("lognormal"), "{error}");
}

/// Three skewed PERT near a decision; their exact distribution by convolution on 20,000 cells.
#[test]
fn three_skewed_pert_near_a_decision() {
    let (low, mode, high) = (1.0, 1.1, 3.0);
    let distribution = Distribution::Pert {
        low,
        mode,
        high,
        lambda: 4.0,
    };
    let sheet = Sheet::new();
    let terms = ["a", "b", "c"].map(|n| sheet.input(plain(n, distribution)));
    let sum = sheet.sum(&terms);
    // Density x^α(1−x)^β with α = 4·0.05, β = 4·0.95.
    let cells = 1_000;
    let width = (high - low) / cells as f64;
    let density: Vec<f64> = (0..cells)
        .map(|k| {
            let x = (k as f64 + 0.5) / cells as f64;
            x.powf(0.2) * (1.0 - x).powf(3.8)
        })
        .collect();
    let whole: f64 = density.iter().sum();
    let p: Vec<f64> = density.iter().map(|d| d / whole).collect();
    let convolve = |a: &[f64], b: &[f64]| {
        let mut sum = vec![0.0; a.len() + b.len() - 1];
        for (i, x) in a.iter().enumerate() {
            for (j, y) in b.iter().enumerate() {
                sum[i + j] += x * y;
            }
        }
        sum
    };
    let three = convolve(&convolve(&p, &p), &p);
    for limit in [3.4, 3.5, 4.0, 4.6, 5.4, 5.9] {
        let exact: f64 = three
            .iter()
            .enumerate()
            .filter(|(k, _)| 3.0 * low + width * (*k as f64 + 1.5) <= limit)
            .map(|(_, p)| p)
            .sum();
        within(
            sheet.probability_at_most(sum, limit).unwrap(),
            exact,
            PROBABILITY,
        );
    }
}

/// Nothing but the formula decides: a second figure in between changes nothing.
#[test]
fn figures_repeat() {
    let make = || {
        let sheet = Sheet::new();
        let (a, b) = (
            sheet.input(normal("a", 1.0, 0.3)),
            sheet.input(lognormal("b", 0.0, 0.6)),
        );
        let y = (a * b + b.powi(2)).max(a);
        let first = sheet.figure(y).unwrap();
        sheet.figure(a + b).unwrap();
        assert_eq!(sheet.figure(y).unwrap(), first);
        first
    };
    let other = std::thread::spawn(make).join().unwrap();
    assert_eq!(make(), other);
}
