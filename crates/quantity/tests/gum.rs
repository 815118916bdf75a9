//! The worked examples of the GUM (JCGM 100:2008, annex H) and of JCGM GUM-5:2026.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use quantity::{Dimension, Distribution, Sheet, SheetError, Term};
use std::sync::Arc;
use support::{close, normal, plain, printed, within};

fn rectangular(half: f64) -> Distribution {
    Distribution::Rectangular {
        low: -half,
        high: half,
    }
}

/// JCGM 100:2008, H.1: calibration of an end gauge. Lengths in nm.
#[test]
fn h1_end_gauge() {
    let sheet = Sheet::new();
    let ls = sheet.input(normal("ls", 50_000_623.0, 25.0).with_degrees_of_freedom(18.0));
    let d0 = sheet.input(normal("d0", 215.0, 5.8).with_degrees_of_freedom(24.0));
    let d1 = sheet.input(normal("d1", 0.0, 3.9).with_degrees_of_freedom(5.0));
    let d2 = sheet.input(normal("d2", 0.0, 6.7).with_degrees_of_freedom(8.0));
    let alpha = sheet.input(plain(
        "αs",
        Distribution::Rectangular {
            low: 9.5e-6,
            high: 13.5e-6,
        },
    ));
    let da = sheet.input(plain("δα", rectangular(1e-6)).with_degrees_of_freedom(50.0));
    let dt = sheet.input(plain("δθ", rectangular(0.05)).with_degrees_of_freedom(2.0));
    let mean = sheet.input(normal("θ", -0.1, 0.2));
    let cycle = sheet.input(plain(
        "Δ",
        Distribution::Arcsine {
            low: -0.5,
            high: 0.5,
        },
    ));
    let d = d0 + d1 + d2;
    let theta = mean + cycle;
    let l = ls + d - ls * (da * theta + alpha * dt);

    let found = sheet.propagate(&[l, d]).unwrap();
    printed(found.values[0], "50000838");
    let u = found.covariance[0][0].sqrt();
    printed(u, "31.66388");
    printed(u, "32");
    printed(found.degrees_of_freedom[0], "16.75186");
    let component = |i: usize, u: f64| (found.sensitivities[0][i] * u).abs();
    printed(component(0, 25.0), "25");
    printed(component(1, 5.8), "5.8");
    printed(component(2, 3.9), "3.9");
    printed(component(3, 6.7), "6.7");
    printed(component(4, 4e-6 / 12f64.sqrt()), "0");
    printed(component(5, 2e-6 / 12f64.sqrt()), "2.886787");
    printed(component(6, 0.1 / 12f64.sqrt()), "16.599027");
    assert_eq!(
        (found.sensitivities[0][7], found.sensitivities[0][8]),
        (0.0, 0.0)
    );
    printed(found.covariance[1][1].sqrt(), "9.681942");
    printed(found.degrees_of_freedom[1], "25.447251");

    // With the two second-order terms the GUM gives 34 (H.1.7).
    let whole = (found.covariance[0][0] + found.second_order_variance[0]).sqrt();
    printed(whole, "34");
    within(whole, 33.80655, 1e-4);

    // U₉₉ = t₉₉(16)·u = 2.92 × 32 = 93 in the GUM; 92.48 before rounding u.
    let t = Distribution::ScaledT {
        mean: 0.0,
        scale: 1.0,
        degrees_of_freedom: 16.0,
    };
    printed(t.quantile(0.995) * u, "92.48328");
}

/// JCGM 100:2008, table H.2.
const SETS: [[f64; 3]; 5] = [
    [5.007, 19.663e-3, 1.0456],
    [4.994, 19.639e-3, 1.0438],
    [5.005, 19.640e-3, 1.0468],
    [4.990, 19.685e-3, 1.0428],
    [4.999, 19.678e-3, 1.0433],
];

fn means_and_covariance(rows: &[[f64; 3]; 5]) -> ([f64; 3], [[f64; 3]; 3]) {
    let mean: [f64; 3] = std::array::from_fn(|i| rows.iter().map(|r| r[i]).sum::<f64>() / 5.0);
    let covariance = std::array::from_fn(|i| {
        std::array::from_fn(|j| {
            rows.iter()
                .map(|r| (r[i] - mean[i]) * (r[j] - mean[j]))
                .sum::<f64>()
                / 20.0
        })
    });
    (mean, covariance)
}

struct Impedance {
    values: [f64; 3],
    u: [f64; 3],
    r: [f64; 3],
}

/// R, X, Z by propagation; `r` are the coefficients of (V, I), (V, φ), (I, φ).
fn impedance(mean: [f64; 3], u: [f64; 3], r: [f64; 3], dof: Option<f64>) -> (Impedance, [f64; 3]) {
    let sheet = Sheet::new();
    let input = |name: &str, i: usize| {
        let input = normal(name, mean[i], u[i]);
        sheet.input(match dof {
            Some(nu) => input.with_degrees_of_freedom(nu),
            None => input,
        })
    };
    let (v, i, phi) = (input("V", 0), input("I", 1), input("φ", 2));
    sheet.correlate(v, i, r[0]);
    sheet.correlate(v, phi, r[1]);
    sheet.correlate(i, phi, r[2]);
    let results = [v / i * phi.cos(), v / i * phi.sin(), v / i];
    let found = sheet.propagate(&results).unwrap();
    let u: [f64; 3] = std::array::from_fn(|k| found.covariance[k][k].sqrt());
    let pair = |a: usize, b: usize| found.covariance[a][b] / (u[a] * u[b]);
    let degrees = std::array::from_fn(|k| found.degrees_of_freedom[k]);
    let values = std::array::from_fn(|k| found.values[k]);
    (
        Impedance {
            values,
            u,
            r: [pair(0, 1), pair(0, 2), pair(1, 2)],
        },
        degrees,
    )
}

/// JCGM 100:2008, H.2, first method: from the means with their correlations.
#[test]
fn h2_impedance_from_means() {
    let (mean, covariance) = means_and_covariance(&SETS);
    let u: [f64; 3] = std::array::from_fn(|i| covariance[i][i].sqrt());
    let pair = |a: usize, b: usize| covariance[a][b] / (u[a] * u[b]);
    let r = [pair(0, 1), pair(0, 2), pair(1, 2)];
    printed(mean[0], "4.9990");
    printed(mean[1] * 1e3, "19.6610");
    printed(mean[2], "1.04446");
    printed(u[0] * 1e3, "3.209361");
    printed(u[1] * 1e6, "9.471008");
    printed(u[2] * 1e4, "7.520638");
    printed(r[0], "-0.3553112");
    printed(r[1], "0.8576242");
    printed(r[2], "-0.6451112");

    let (found, degrees) = impedance(mean, u, r, Some(4.0));
    for (k, value) in ["127.732170", "219.846512", "254.259702"]
        .iter()
        .enumerate()
    {
        printed(found.values[k], value);
    }
    for (k, u) in ["0.0710714", "0.2955817", "0.2363361"].iter().enumerate() {
        printed(found.u[k], u);
    }
    for (k, r) in ["-0.5884298", "-0.4852592", "0.9925116"].iter().enumerate() {
        printed(found.r[k], r);
    }
    // Welch–Satterthwaite does not apply to correlated inputs.
    assert!(degrees.iter().all(|nu| nu.is_nan()));
}

#[test]
fn h2_impedance_from_rounded_means() {
    let mean = [4.9990, 19.6610e-3, 1.04446];
    let (found, _) = impedance(mean, [3.2e-3, 9.5e-6, 7.5e-4], [-0.36, 0.86, -0.65], None);
    for (k, u) in ["0.0699787", "0.2957168", "0.2366030"].iter().enumerate() {
        printed(found.u[k], u);
    }
    for (k, r) in ["-0.5914846", "-0.4906239", "0.9927975"].iter().enumerate() {
        printed(found.r[k], r);
    }
}

/// Leaving the correlations out gives other uncertainties: what the check above would miss if
/// they were ignored.
#[test]
fn h2_impedance_without_correlations_is_wrong() {
    let (mean, covariance) = means_and_covariance(&SETS);
    let u = std::array::from_fn(|i| covariance[i][i].sqrt());
    let (found, degrees) = impedance(mean, u, [0.0; 3], Some(4.0));
    // The first is 0.19454445 before rounding.
    for (k, u) in [0.194_544_4, 0.200_909_3, 0.204_076_4].iter().enumerate() {
        within(found.u[k], *u, 1e-7);
    }
    assert!(degrees.iter().all(|nu| nu.is_finite()));
}

/// JCGM 100:2008, H.2, second method: R, X and Z of every set, then their means.
#[test]
fn h2_impedance_set_by_set() {
    let rows = SETS.map(|[v, i, phi]| {
        let (found, _) = impedance([v, i, phi], [0.0; 3], [0.0; 3], None);
        found.values
    });
    for (row, printed_value) in rows.iter().zip([
        "127.672486",
        "127.892445",
        "127.506261",
        "127.710423",
        "127.876537",
    ]) {
        printed(row[0], printed_value);
    }
    let (mean, covariance) = means_and_covariance(&rows);
    let u: [f64; 3] = std::array::from_fn(|i| covariance[i][i].sqrt());
    printed(mean[0], "127.7316305");
    printed(mean[1], "219.8468946");
    printed(mean[2], "254.2600496");
    printed(u[0], "0.0712735");
    printed(u[1], "0.2954891");
    printed(u[2], "0.2362475");
    printed(covariance[0][1] / (u[0] * u[1]), "-0.5882769");
    printed(covariance[0][2] / (u[0] * u[2]), "-0.4850646");
    printed(covariance[1][2] / (u[1] * u[2]), "0.9925075");
}

#[test]
fn contradicting_correlations_are_refused() {
    let sheet = Sheet::new();
    let inputs = ["a", "b", "c"].map(|name| sheet.input(normal(name, 1.0, 0.1)));
    let [a, b, c] = inputs;
    sheet.correlate(a, b, 0.9);
    sheet.correlate(b, c, 0.9);
    sheet.correlate(a, c, -0.9);
    let error = sheet.propagate(&[a + b + c]).unwrap_err();
    assert_eq!(
        error,
        SheetError::Value("the stated correlations contradict each other".into())
    );
    assert!(sheet.figure(a + b).is_err());
}

/// JCGM GUM-5:2026, relative molecular mass of glucose.
#[test]
fn glucose() {
    let sheet = Sheet::new();
    let h = sheet.input(normal("A(H)", 1.00798, 0.00008));
    let c = sheet.input(normal("A(C)", 12.0106, 0.00058));
    let o = sheet.input(normal("A(O)", 15.99940, 0.00021));
    let found = sheet.propagate(&[12.0 * h + 6.0 * c + 6.0 * o]).unwrap();
    printed(found.values[0], "180.155760");
    within(found.values[0], 180.1557, 1e-4);
    printed(found.covariance[0][0].sqrt(), "0.003823559");
    printed(found.covariance[0][0].sqrt(), "0.0038");
}

/// JCGM GUM-5:2026, breaking force of a wire rope, kN.
#[test]
fn wire_rope() {
    let readings: [f64; 6] = [10006.0, 10007.0, 10005.0, 10008.0, 10003.0, 10005.0];
    let mean = readings.iter().sum::<f64>() / 6.0;
    let u = (readings.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / 30.0).sqrt();
    printed(u, "0.714920");
    let sheet = Sheet::new();
    let mut terms = vec![sheet.input(normal("mean reading", mean, u).with_degrees_of_freedom(5.0))];
    for half in [6.8, 8.2, 8.7, 10.2] {
        terms.push(sheet.input(plain(&format!("error within {half}"), rectangular(half))));
    }
    let found = sheet.propagate(&[sheet.sum(&terms)]).unwrap();
    printed(found.values[0], "10005.666667");
    let u = found.covariance[0][0].sqrt();
    printed(u, "9.912002");
    printed(1.96 * u, "19.427523");
}

/// JCGM GUM-5:2026, resistance thermometer: R0(1 + At + Bt²) = W·RS solved for t.
fn thermometer<'s>(sheet: &'s Sheet, solve: impl Fn([Term<'s>; 5]) -> Term<'s>) -> (f64, f64) {
    let r0 = sheet.input(normal("R0", 99.996_10, 5.0e-4));
    let a = sheet.input(normal("A", 0.003_909_6, 2.7e-6));
    let b = sheet.input(normal("B", -6.0e-7, 1.1e-7));
    let rs = sheet.input(normal("RS", 99.999_47, 1.0e-4));
    let w = sheet.input(normal("W", 1.078_005_7, 5.0e-6));
    sheet.correlate(r0, a, -0.155);
    sheet.correlate(r0, b, 0.092);
    sheet.correlate(a, b, -0.959);
    let found = sheet.propagate(&[solve([r0, a, b, rs, w])]).unwrap();
    (found.values[0], found.covariance[0][0].sqrt())
}

#[test]
fn thermometer_by_formula() {
    let sheet = Sheet::new();
    let (t, u) = thermometer(&sheet, |[r0, a, b, rs, w]| {
        // The stable root of Bt² + At + (1 − W·RS/R0) = 0.
        let c = 1.0 - w * rs / r0;
        -2.0 * c / (a + (a.powi(2) - 4.0 * b * c).sqrt())
    });
    printed(t, "20.0231703");
    printed(u, "0.00448243");
    printed(u, "0.0045");
}

/// The temperature that satisfies RS·W = R0 (1 + A·t + B·t²), sought by Newton's method.
struct Thermometer;

impl quantity::Model for Thermometer {
    fn run(&self, arguments: &[f64], results: &mut [f64]) {
        let &[r0, a, b, rs, w] = arguments else {
            panic!("five arguments")
        };
        let mut t = 0.0;
        for _ in 0..50 {
            let miss = r0 * (1.0 + a * t + b * t * t) - w * rs;
            t -= miss / (r0 * (a + 2.0 * b * t));
        }
        results[0] = t;
    }
}

#[test]
fn thermometer_by_search() {
    let sheet = Sheet::new();
    let (t, u) = thermometer(&sheet, |inputs| {
        let results = [("temperature", Dimension::NONE)];
        sheet.model(&inputs, &results, Arc::new(Thermometer))[0]
    });
    printed(t, "20.0231703");
    printed(u, "0.00448243");
}

/// JCGM GUM-5:2026, decay of an activity, kBq; times in years.
#[test]
fn decay() {
    let sheet = Sheet::new();
    let activity = sheet.input(normal("A0", 11.450, 0.05));
    let half_life = sheet.input(normal("half-life", 32.9, 1.4));
    let elapsed = sheet.number(2.73);
    let now = activity * (-(std::f64::consts::LN_2 * elapsed / half_life)).exp();
    let found = sheet.propagate(&[now]).unwrap();
    printed(found.values[0], "10.8100176");
    printed(found.values[0], "10.810");
    printed(found.covariance[0][0].sqrt(), "0.0541142");
    printed(found.covariance[0][0].sqrt(), "0.054");
}

/// Welch–Satterthwaite for two equal components: ν₁ + ν₂ shared by halves.
#[test]
fn effective_degrees_of_freedom() {
    let sheet = Sheet::new();
    let a = sheet.input(normal("a", 0.0, 1.0).with_degrees_of_freedom(4.0));
    let b = sheet.input(normal("b", 0.0, 1.0).with_degrees_of_freedom(4.0));
    let c = sheet.input(normal("c", 0.0, 1.0));
    let found = sheet.propagate(&[a + b, a, c, a + c]).unwrap();
    close(found.degrees_of_freedom[0], 8.0, 1e-12);
    close(found.degrees_of_freedom[1], 4.0, 1e-12);
    assert!(found.degrees_of_freedom[2].is_infinite());
    close(found.degrees_of_freedom[3], 16.0, 1e-12);
    close(found.covariance[0][1], 1.0, 1e-12);
    assert_eq!(found.covariance[0][2], 0.0);
}
