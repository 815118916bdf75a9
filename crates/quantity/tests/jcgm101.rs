//! The examples of JCGM 101:2008, clause 9 (propagation of distributions).
//!
//! Monte-Carlo answers are compared with the exact ones within what the number of draws leaves
//! open; every run has a fixed seed.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use quantity::{Distribution, MonteCarlo, Sampled, Sheet, Term};
use support::{close, normal, plain, printed, within};

fn run(sheet: &Sheet, term: Term<'_>, draws: u64) -> Sampled {
    let settings = MonteCarlo {
        draws,
        seed: 20_250_101,
        threads: 2,
        keep_samples: false,
    };
    sheet.monte_carlo(term, settings).unwrap()
}

fn t(mean: f64, scale: f64, nu: f64) -> Distribution {
    Distribution::ScaledT {
        mean,
        scale,
        degrees_of_freedom: nu,
    }
}

/// Expected value of a row of `jcgm101.csv`.
fn row(example: &str, case: &str) -> Vec<f64> {
    include_str!("published/jcgm101.csv")
        .lines()
        .find(|l| l.starts_with(example) && l.contains(case))
        .unwrap_or_else(|| panic!("{example} {case}"))
        .replace('"', "")
        .rsplit(',')
        .take(8)
        .map(|cell| cell.parse().unwrap_or(f64::NAN))
        .collect::<Vec<_>>()
        .into_iter()
        .rev()
        .collect()
}

/// 9.2: Y = X1 + X2 + X3 + X4.
#[test]
fn additive_model() {
    let three = 3f64.sqrt();
    let rectangular = |u: f64| Distribution::Rectangular {
        low: -three * u,
        high: three * u,
    };
    let cases: [(&str, [Distribution; 4]); 3] = [
        ("9.2.2", [Distribution::Normal { mean: 0.0, sd: 1.0 }; 4]),
        ("9.2.3", [rectangular(1.0); 4]),
        (
            "9.2.4",
            [
                rectangular(1.0),
                rectangular(1.0),
                rectangular(1.0),
                rectangular(10.0),
            ],
        ),
    ];
    for (example, distributions) in cases {
        let [.., exact_u, _, _, low, high] = row(example, "")[..] else {
            panic!()
        };
        let sheet = Sheet::new();
        let terms: Vec<Term<'_>> = distributions
            .iter()
            .enumerate()
            .map(|(i, l)| sheet.input(plain(&format!("X{i}"), *l)))
            .collect();
        let y = terms[0] + terms[1] + terms[2] + terms[3];
        let first = sheet.propagate(&[y]).unwrap();
        assert_eq!(first.values[0], 0.0);
        close(first.covariance[0][0].sqrt(), exact_u, 1e-6);
        assert_eq!(first.second_order_variance[0], 0.0);
        let sampled = run(&sheet, y, 300_000);
        // Five standard errors of the mean, of the deviation and of the 2.5 % point.
        within(sampled.mean, 0.0, 5.0 * exact_u / 547.0);
        within(sampled.sd, exact_u, 5.0 * exact_u / 774.0);
        let (a, b) = sampled.symmetric(0.95);
        within(a, low, 0.024 * exact_u);
        within(b, high, 0.024 * exact_u);
    }
}

/// 9.2.4: the dominant rectangular input makes the framework's interval (±19.9) too long; the
/// figure's is that of the combined distributions.
#[test]
fn dominant_rectangular_input_shapes_the_interval() {
    let sheet = Sheet::new();
    let three = 3f64.sqrt();
    let terms: Vec<Term<'_>> = [1.0, 1.0, 1.0, 10.0]
        .iter()
        .enumerate()
        .map(|(i, u)| {
            let distribution = Distribution::Rectangular {
                low: -three * u,
                high: three * u,
            };
            sheet.input(plain(&format!("X{i}"), distribution))
        })
        .collect();
    let figure = sheet.figure(sheet.sum(&terms)).unwrap();
    close(figure.standard_uncertainty, 103f64.sqrt(), 1e-12);
    printed(1.959_964 * figure.standard_uncertainty, "19.89146");
    within(figure.interval.high, 17.015_814, 0.02);
    assert_eq!(
        figure.method,
        "first order, with the distributions combined"
    );
    assert!(
        figure.notes[0].contains("97 % of the variance comes from X3"),
        "{:?}",
        figure.notes
    );
    assert_eq!(figure.inputs[0].name, "X3");
}

/// 9.3: mass calibration, mg; the published estimate is 1.2340 with 0.0539 to first order and
/// 0.0750 with higher-order terms.
#[test]
fn mass_calibration() {
    let sheet = Sheet::new();
    let reference = sheet.input(normal("mRc", 100_000.0, 0.050));
    let difference = sheet.input(normal("δmRc", 1.234, 0.020));
    let between = |name: &str, low: f64, high: f64| {
        sheet.input(plain(name, Distribution::Rectangular { low, high }))
    };
    let air = between("ρa", 1.10, 1.30);
    let weight = between("ρW", 7000.0, 9000.0);
    let standard = between("ρR", 7950.0, 8050.0);
    let buoyancy = 1.0 + (air - 1.2) * (1.0 / weight - 1.0 / standard);
    let dm = (reference + difference) * buoyancy - 100_000.0;

    let first = sheet.propagate(&[dm]).unwrap();
    printed(first.values[0], "1.2340");
    let u = first.covariance[0][0].sqrt();
    close(u, 0.053_851_65, 1e-6);
    printed(u, "0.0539");
    // "±" in round figures: 1.1285 … 1.3395 mg.
    printed(1.234 - 1.959_964 * u, "1.1285");
    printed(1.234 + 1.959_964 * u, "1.3395");
    let whole = (first.covariance[0][0] + first.second_order_variance[0]).sqrt();
    printed(whole, "0.0750");
    within(whole, 0.074_963_47, 2e-5);

    let sampled = run(&sheet, dm, 300_000);
    within(sampled.mean, 1.234, 5.0 * 0.0755 / 547.0);
    close(sampled.sd, 0.075_479_74, 5e-3);
    let (low, high) = sampled.symmetric(0.95);
    within(low, 1.084_433, 0.002);
    within(high, 1.383_567, 0.002);

    let figure = sheet.figure(dm).unwrap();
    assert!(
        figure.notes[0].starts_with("First order is not enough"),
        "{:?}",
        figure.notes
    );
    close(figure.standard_uncertainty, 0.075_479_74, 0.02);
}

/// 9.4: comparison loss Y = X1² + X2² with u = 0.005; values in units of 1e-6.
#[test]
fn comparison_loss() {
    for x1 in [0.0, 0.010, 0.050] {
        for r in [0.0, 0.9] {
            let x1_text = if x1 == 0.0 {
                "x1=0.0,".into()
            } else {
                format!("x1={x1},")
            };
            let case = format!("r={r:.1};{x1_text}");
            let [y, u, exact_mean, exact_u, _, _, low, high] = row("9.4", &case)[..] else {
                panic!()
            };
            let sheet = Sheet::new();
            let a = sheet.input(normal("X1", x1, 0.005));
            let b = sheet.input(normal("X2", 0.0, 0.005));
            if r != 0.0 {
                sheet.correlate(a, b, r);
            }
            let loss = a.powi(2) + b.powi(2);
            let first = sheet.propagate(&[loss]).unwrap();
            within(first.values[0] * 1e6, y, 1e-9);
            within(first.covariance[0][0].sqrt() * 1e6, u, 1e-9);
            // The formula is a quadratic, so the second-order parts complete the moments.
            let whole = (first.covariance[0][0] + first.second_order_variance[0]).sqrt();
            close(whole * 1e6, exact_u, 1e-6);
            close(
                (first.values[0] + first.second_order_shift[0]) * 1e6,
                exact_mean,
                1e-9,
            );

            let sampled = run(&sheet, loss, 300_000);
            within(sampled.mean * 1e6, exact_mean, 5.0 * exact_u / 547.0);
            close(sampled.sd * 1e6, exact_u, 0.01);
            let shortest = sampled.shortest(0.95);
            within(shortest.0 * 1e6, low, 0.05 * exact_u);
            within(shortest.1 * 1e6, high, 0.05 * exact_u);
        }
    }
}

/// 9.4 with x1 = x2 = 0: first order reports no uncertainty at all; the figure must not.
#[test]
fn comparison_loss_at_zero_warns() {
    for r in [0.0, 0.9] {
        let sheet = Sheet::new();
        let a = sheet.input(normal("X1", 0.0, 0.005));
        let b = sheet.input(normal("X2", 0.0, 0.005));
        sheet.correlate(a, b, r);
        let figure = sheet.figure(a.powi(2) + b.powi(2)).unwrap();
        assert!(
            figure.notes[0].starts_with("First order is not enough"),
            "{:?}",
            figure.notes
        );
        close(figure.value, 50e-6, 0.002);
        let u = if r == 0.0 { 50e-6 } else { 67.268_12e-6 };
        close(figure.standard_uncertainty, u, 0.01);
        assert!(figure.interval.low >= 0.0 && figure.interval.high > 150e-6);
        assert!(figure.method != "first order");
    }
}

/// 9.5: gauge block, deviation from the nominal length in nm; published 838, 36 with 99 %
/// interval 745 … 932 by Monte Carlo.
#[test]
fn gauge_block() {
    let sheet = Sheet::new();
    let ls = sheet.input(plain("LS", t(50_000_623.0, 25.0, 18.0)));
    let d = sheet.input(plain("D", t(215.0, 6.0, 24.0)));
    let d1 = sheet.input(plain("d1", t(0.0, 4.0, 5.0)));
    let d2 = sheet.input(plain("d2", t(0.0, 7.0, 8.0)));
    let alpha = sheet.input(plain(
        "αs",
        Distribution::Rectangular {
            low: 9.5e-6,
            high: 13.5e-6,
        },
    ));
    let theta = sheet.input(normal("θ0", -0.1, 0.2));
    let cycle = sheet.input(plain(
        "Δ",
        Distribution::Arcsine {
            low: -0.5,
            high: 0.5,
        },
    ));
    let da = Distribution::CurvilinearTrapezoid {
        low: -1e-6,
        high: 1e-6,
        inexactness: 1e-7,
    };
    let da = sheet.input(plain("δα", da));
    let dt = Distribution::CurvilinearTrapezoid {
        low: -0.05,
        high: 0.05,
        inexactness: 0.025,
    };
    let dt = sheet.input(plain("δθ", dt));
    let deviation = ls + d + d1 + d2 - ls * (da * (theta + cycle) + alpha * dt) - 50_000_000.0;
    let first = sheet.propagate(&[deviation]).unwrap();
    printed(first.values[0], "838");
    printed(first.covariance[0][0].sqrt(), "32");

    let sampled = run(&sheet, deviation, 300_000);
    within(sampled.mean, 837.98, 0.2);
    printed(sampled.sd, "36");
    within(sampled.sd, 35.81, 0.15);
    let (low, high) = sampled.symmetric(0.99);
    within(low, 744.3, 1.0);
    within(high, 931.7, 1.0);
    let (low, high) = sampled.shortest(0.99);
    within(low, 744.5, 2.5);
    within(high, 931.8, 2.5);
}
