//! Weighings adjusted under balances, against reference values, computed apart from this program, and printed examples.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use methods::mass::balance::{chi_square_critical, normal_critical, sidak_critical};
use methods::mass::model::{Fit, Model, Row as Reading};
use methods::mass::next::Scale;
use methods::mass::reconciled::Reconciled;
use methods::mass::structure::Structure;

#[track_caller]
fn near(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "found {found}, expected {expected}"
    );
}

struct Row {
    measured: f64,
    u: f64,
    reconciled: f64,
    after: f64,
    adjustment: f64,
    z: f64,
    power: Option<f64>,
}

fn rows(text: &str) -> Vec<Row> {
    text.lines()
        .skip(1)
        .map(|line| {
            let n: Vec<f64> = line
                .split(',')
                .skip(1)
                .map(|x| x.parse().expect("the table holds numbers"))
                .collect();
            Row {
                measured: n[0],
                u: n[1],
                reconciled: n[2],
                after: n[3],
                adjustment: n[4],
                z: n[5],
                power: n.get(6).copied(),
            }
        })
        .collect()
}

struct Solved {
    model: Model,
    fit: Fit,
    result: Reconciled,
}

impl Solved {
    /// Readings of one unknown each, under balances.
    fn of(readings: Vec<Reading>, balances: &[&[f64]]) -> Self {
        let model = Model {
            unknowns: readings.len(),
            commons: 1,
            rows: readings,
            balances: balances
                .iter()
                .map(|b| {
                    b.iter()
                        .copied()
                        .enumerate()
                        .filter(|t| t.1 != 0.0)
                        .collect()
                })
                .collect(),
        };
        let structure = Structure::of(&model, &vec![true; model.rows.len()]);
        let fit = model.fit(&structure);
        let result = Reconciled::of(&model, &structure, &fit);
        Self { model, fit, result }
    }

    /// What a balance is off by, and its nodal statistic.
    fn nodal(&self, balance: &[f64]) -> (f64, f64) {
        let weights: Vec<(usize, f64)> = balance.iter().copied().enumerate().collect();
        let (residual, variance) = self.model.combination(&weights);
        (residual, residual / variance.sqrt())
    }
}

fn reading(unknown: usize, shown: f64, variance: f64) -> Reading {
    Reading {
        terms: vec![(unknown, 1.0)],
        shown,
        variance,
        common: None,
        stated: Vec::new(),
    }
}

fn solve(rows: &[Row], balances: &[&[f64]]) -> Solved {
    let readings = rows
        .iter()
        .enumerate()
        .map(|(j, r)| reading(j, r.measured, r.u * r.u))
        .collect();
    Solved::of(readings, balances)
}

fn compare(rows: &[Row], found: &Solved) {
    let found = &found.result;
    for (j, row) in rows.iter().enumerate() {
        near(found.adjusted[j], row.reconciled, 1e-9);
        near(found.variance[j].sqrt(), row.after, 1e-9);
        near(found.adjustment[j], row.adjustment, 1e-9);
        near(found.z[j], row.z, 1e-8);
        near(found.z_power[j], row.power.unwrap_or(row.z), 1e-8);
    }
}

/// Source: constructed example A, computed with numpy 2.4 from the textbook formulas.
#[test]
fn a_whole_against_five_parts() {
    let rows = rows(include_str!("reference/mass/mass_reconcile_a.csv"));
    let balance = [1.0, -1.0, -1.0, -1.0, -1.0, -1.0];
    let solved = solve(&rows, &[&balance]);
    compare(&rows, &solved);
    near(solved.nodal(&balance).0, 0.64, 1e-12);
    let found = &solved.result;
    near(found.chi_square, 1.476036, 5e-7);
    assert_eq!(found.degrees_of_freedom, 1);
    near(found.p_value().unwrap(), 0.224396, 5e-7);
    // With one balance every |z| is the root of chi-square: none is more suspicious.
    for z in &found.z {
        near(z.abs(), found.chi_square.sqrt(), 1e-9);
    }
    for (i, j, covariance) in [
        (0, 1, 0.009009009),
        (1, 2, -0.000360360),
        (1, 3, -0.000090090),
        (3, 4, -0.000022523),
        (0, 3, 0.002252252),
    ] {
        near(solved.fit.covariance(i, j), covariance, 5e-10);
    }
}

/// Source: constructed example B, computed with numpy 2.4 from the textbook formulas.
#[test]
fn a_two_level_tree_with_a_gross_error() {
    let rows = rows(include_str!("reference/mass/mass_reconcile_b.csv"));
    let product = [1.0, -1.0, -1.0, -1.0, 0.0, 0.0, 0.0];
    let front = [0.0, 1.0, 0.0, 0.0, -1.0, -1.0, -1.0];
    let solved = solve(&rows, &[&product, &front]);
    compare(&rows, &solved);
    let found = &solved.result;
    near(found.chi_square, 390.545875, 5e-7);
    near(solved.nodal(&product).1, 0.375278, 5e-7);
    near(solved.nodal(&front).1, 19.200595, 5e-7);
    let p = found.p_value().unwrap();
    assert!((1.55e-85..1.65e-85).contains(&p), "{p}");
}

/// Source: Narasimhan and Jordache, Data Reconciliation and Gross Error Detection (2000), example 1.1
/// (readings and printed results recalled, not re-read; the computed results equal the printed ones).
#[test]
fn the_heat_exchanger_with_bypass() {
    let rows = rows(include_str!("reference/mass/mass_reconcile_c.csv"));
    let balances: [&[f64]; 4] = [
        &[1.0, -1.0, -1.0, 0.0, 0.0, 0.0],
        &[0.0, 1.0, 0.0, -1.0, 0.0, 0.0],
        &[0.0, 0.0, 1.0, 0.0, -1.0, 0.0],
        &[0.0, 0.0, 0.0, 1.0, 1.0, -1.0],
    ];
    let solved = solve(&rows, &balances);
    compare(&rows, &solved);
    let found = &solved.result;
    for (j, printed) in [100.22, 64.50, 35.72, 64.50, 35.72, 100.22]
        .into_iter()
        .enumerate()
    {
        near(found.adjusted[j], printed, 0.005);
    }
    near(found.chi_square, 6.4075, 5e-5);
    assert_eq!(found.degrees_of_freedom, 4);
    near(found.p_value().unwrap(), 0.170713, 5e-7);
    let greatest = found.z.iter().fold(0.0_f64, |a, z| a.max(z.abs()));
    assert!(
        greatest > 1.96 && greatest < sidak_critical(0.05, 6),
        "{greatest}"
    );
    // A balance written twice changes nothing.
    let twice = solve(
        &rows,
        &[
            balances[0],
            balances[1],
            balances[2],
            balances[3],
            balances[0],
        ],
    );
    compare(&rows, &twice);
    assert_eq!(twice.result.degrees_of_freedom, 4);
}

/// Source: constructed example D (one scale error common to all readings), computed with numpy 2.4.
#[test]
fn a_common_scale_error() {
    let readings = [(100.30, 0.04), (59.85, 0.0225), (40.30, 0.01)]
        .into_iter()
        .enumerate()
        .map(|(j, (shown, own))| Reading {
            common: Some((0, 0.05)),
            ..reading(j, shown, 0.0025 + own)
        })
        .collect();
    let balance = [1.0, -1.0, -1.0];
    let solved = Solved::of(readings, &[&balance]);
    near(solved.nodal(&balance).0, 0.15, 1e-12);
    let found = &solved.result;
    for (j, (mass, u)) in [(100.225, 0.154110), (59.900, 0.129099), (40.325, 0.102062)]
        .into_iter()
        .enumerate()
    {
        near(found.adjusted[j], mass, 1e-9);
        near(found.variance[j].sqrt(), u, 5e-7);
    }
    near(found.chi_square, 0.3, 1e-9);
    near(found.p_value().unwrap(), 0.583882, 5e-7);
}

/// Source: critical values as tabulated in any statistics text; digits from scipy 1.17.
#[test]
fn critical_values() {
    let table = [
        (
            0.10,
            1.644854,
            [2.705543, 4.605170, 6.251389, 7.779440, 9.236357, 10.644641],
        ),
        (
            0.05,
            1.959964,
            [3.841459, 5.991465, 7.814728, 9.487729, 11.070498, 12.591587],
        ),
        (
            0.01,
            2.575829,
            [
                6.634897, 9.210340, 11.344867, 13.276704, 15.086272, 16.811894,
            ],
        ),
        (
            0.001,
            3.290527,
            [
                10.827566, 13.815511, 16.266236, 18.466827, 20.515006, 22.457744,
            ],
        ),
    ];
    for (alpha, z, chi_square) in table {
        near(normal_critical(alpha), z, 6e-7);
        for (dof, expected) in (1..).zip(chi_square) {
            near(chi_square_critical(alpha, dof).unwrap(), expected, 6e-7);
        }
    }
    assert!(chi_square_critical(0.05, 0).is_none());
}

/// Source: Šidák and Bonferroni levels at overall 5 %, digits from scipy 1.17.
#[test]
fn critical_values_for_several_readings() {
    for (n, sidak) in [
        (2, 2.236477),
        (3, 2.387738),
        (5, 2.568763),
        (6, 2.631038),
        (7, 2.682801),
        (10, 2.799625),
        (20, 3.015995),
    ] {
        near(sidak_critical(0.05, n), sidak, 6e-7);
    }
}

/// Source: rectangular distribution of half-width d/2 (JCGM 100:2008, 4.3.7); digits computed.
#[test]
fn scale_resolution() {
    for (d, u) in [
        (0.001, 0.000288675),
        (0.01, 0.002886751),
        (0.1, 0.028867513),
        (1.0, 0.288675135),
        (5.0, 1.443375673),
    ] {
        let scale = Scale {
            name: String::new(),
            resolution: d,
            limit: (0.0, 0.0),
        };
        near(scale.uncertainty(10.0), u, 6e-10);
    }
}
