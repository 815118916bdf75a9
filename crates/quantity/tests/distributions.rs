//! Moments, quantiles and coverage factors against tables.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use quantity::Distribution;
use support::{close, printed, within};

fn parameters(text: &str) -> impl Fn(&str) -> f64 {
    let pairs: Vec<(String, f64)> = text
        .split(';')
        .filter_map(|p| p.split_once('='))
        .map(|(k, v)| (k.to_string(), v.parse().unwrap()))
        .collect();
    move |name| {
        pairs
            .iter()
            .find(|(k, _)| k == name)
            .unwrap_or_else(|| panic!("{name}"))
            .1
    }
}

fn distribution(name: &str, text: &str) -> Distribution {
    let p = parameters(text);
    match name {
        "uniform" => Distribution::Rectangular {
            low: p("a"),
            high: p("b"),
        },
        "triangular" | "triangular_sym" => Distribution::Triangular {
            low: p("a"),
            mode: p("m"),
            high: p("b"),
        },
        "pert_lambda4" => Distribution::Pert {
            low: p("a"),
            mode: p("m"),
            high: p("b"),
            lambda: 4.0,
        },
        "pert_lambda2" => Distribution::Pert {
            low: p("a"),
            mode: p("m"),
            high: p("b"),
            lambda: p("lambda"),
        },
        "lognormal" => Distribution::Lognormal {
            mu: p("mu"),
            sigma: p("sigma"),
        },
        "lognormal_from_moments" => {
            let variance = (p("sd") / p("mean")).powi(2).ln_1p();
            Distribution::Lognormal {
                mu: p("mean").ln() - variance / 2.0,
                sigma: variance.sqrt(),
            }
        }
        // The 95 % point of the standard normal distribution is 1.6448536269514722.
        "lognormal_from_q05_q95" => Distribution::Lognormal {
            mu: (p("q05").ln() + p("q95").ln()) / 2.0,
            sigma: (p("q95") / p("q05")).ln() / (2.0 * 1.644_853_626_951_472_2),
        },
        "arcsine" => Distribution::Arcsine {
            low: p("a"),
            high: p("b"),
        },
        "normal" => Distribution::Normal {
            mean: p("mu"),
            sd: p("sigma"),
        },
        "student_t" => Distribution::ScaledT {
            mean: 0.0,
            scale: 1.0,
            degrees_of_freedom: p("nu"),
        },
        "trapezoid" => Distribution::Trapezoid {
            low: p("a"),
            high: p("b"),
            top: p("beta"),
        },
        other => panic!("{other}"),
    }
}

#[test]
fn moments_and_quantiles_agree_with_the_table() {
    const LEVELS: [f64; 7] = [0.025, 0.05, 0.25, 0.5, 0.75, 0.95, 0.975];
    let mut rows = 0;
    for line in include_str!("published/distributions.csv").lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let distribution = distribution(cells[0], cells[1]);
        distribution.validate().unwrap();
        printed(distribution.mean(), cells[2]);
        printed(distribution.sd(), cells[3]);
        printed(distribution.sd().powi(2), cells[4]);
        for (p, cell) in LEVELS.iter().zip(&cells[6..]) {
            printed(distribution.quantile(*p), cell);
        }
        rows += 1;
    }
    assert_eq!(rows, 13);
}

#[test]
fn t_factors_agree_with_the_table() {
    let mut rows = 0;
    for line in include_str!("published/student_t.csv").lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let (p, nu): (f64, f64) = (cells[0].parse().unwrap(), cells[1].parse().unwrap());
        let distribution = Distribution::ScaledT {
            mean: 0.0,
            scale: 1.0,
            degrees_of_freedom: nu,
        };
        printed(distribution.quantile((1.0 + p) / 2.0), cells[2]);
        printed(-distribution.quantile((1.0 - p) / 2.0), cells[2]);
        rows += 1;
    }
    assert_eq!(rows, 168);
}

/// JCGM 100:2008, table G.2, spot values.
#[test]
fn t_factors_agree_with_the_gum() {
    let t = |p: f64, nu: f64| {
        Distribution::ScaledT {
            mean: 0.0,
            scale: 1.0,
            degrees_of_freedom: nu,
        }
        .quantile((1.0 + p) / 2.0)
    };
    // The columns headed 68.27, 95.45 and 99.73 are for those percentages as printed.
    printed(t(0.6827, 1.0), "1.84");
    printed(t(0.95, 1.0), "12.71");
    printed(t(0.9973, 5.0), "5.51");
    printed(t(0.90, 20.0), "1.72");
    printed(t(0.9973, 1.0), "235.8");
    printed(t(0.9973, 2.0), "19.21");
    printed(t(0.99, 11.0), "3.11");
}

/// The coverage factor of a result that is one input, from the distribution's own quantiles.
#[test]
fn coverage_factors_by_shape() {
    let k = |distribution: Distribution| {
        (distribution.quantile(0.975) - distribution.mean()) / distribution.sd()
    };
    printed(k(Distribution::Normal { mean: 3.0, sd: 0.5 }), "1.959964");
    printed(
        k(Distribution::Rectangular {
            low: -1.0,
            high: 1.0,
        }),
        "1.645448",
    );
    printed(
        k(Distribution::Triangular {
            low: -1.0,
            mode: 0.0,
            high: 1.0,
        }),
        "1.901767",
    );
    printed(
        k(Distribution::Arcsine {
            low: -1.0,
            high: 1.0,
        }),
        "1.409854",
    );
    let normal = Distribution::Normal { mean: 0.0, sd: 1.0 };
    printed(normal.quantile(0.5 + 0.954_499_7 / 2.0), "2.00000");
    printed(normal.quantile(0.5 + 0.997_300_2 / 2.0), "3.00000");
    printed(normal.quantile(0.995), "2.575829");
}

/// JCGM 101:2008, 6.4.3: a rectangle with inexact limits; variance (b − a)²/12 + d²/9.
#[test]
fn inexact_limits() {
    let distribution = Distribution::CurvilinearTrapezoid {
        low: -1.0e-6,
        high: 1.0e-6,
        inexactness: 0.1e-6,
    };
    printed(distribution.sd() * 1e7, "5.783117");
    let wide = Distribution::CurvilinearTrapezoid {
        low: -0.05,
        high: 0.05,
        inexactness: 0.025,
    };
    printed(wide.sd() * 1e2, "3.004626");
    // The variance by quadrature over the quantile function.
    let n = 200_000;
    let sum: f64 = (0..n)
        .map(|i| wide.quantile((f64::from(i) + 0.5) / f64::from(n)).powi(2))
        .sum();
    close((sum / f64::from(n)).sqrt(), wide.sd(), 1e-6);
    within(wide.quantile(1.0), 0.075, 1e-12);
    let exact = Distribution::CurvilinearTrapezoid {
        low: 2.0,
        high: 4.0,
        inexactness: 0.0,
    };
    within(exact.quantile(0.25), 2.5, 1e-12);
}

#[test]
fn closed_forms() {
    let older_rule = (7.0_f64 - 2.0) / 6.0;
    let pert = Distribution::Pert {
        low: 2.0,
        mode: 3.0,
        high: 7.0,
        lambda: 4.0,
    };
    printed(pert.sd().powi(2), "0.75");
    printed(older_rule.powi(2), "0.694444");
    let t = Distribution::ScaledT {
        mean: 0.0,
        scale: 2.0,
        degrees_of_freedom: 2.0,
    };
    assert!(t.sd().is_infinite());
}

#[test]
fn impossible_parameters_are_named() {
    let fault = |distribution: Distribution| distribution.validate().unwrap_err().to_string();
    assert_eq!(
        fault(Distribution::Rectangular {
            low: 3.0,
            high: 2.0
        }),
        "the lower limit (3) lies above the upper limit (2)"
    );
    assert_eq!(
        fault(Distribution::Normal {
            mean: 0.0,
            sd: -1.0
        }),
        "the standard deviation (-1) is below zero"
    );
    assert_eq!(
        fault(Distribution::Exact { value: f64::NAN }),
        "the value is not a finite number"
    );
    assert!(
        fault(Distribution::Triangular {
            low: 0.0,
            mode: 5.0,
            high: 4.0
        })
        .contains("mode")
    );
    assert!(
        fault(Distribution::Trapezoid {
            low: 0.0,
            high: 1.0,
            top: 1.5
        })
        .contains("1.5")
    );
    assert!(
        fault(Distribution::CurvilinearTrapezoid {
            low: 0.0,
            high: 1.0,
            inexactness: 0.6
        })
        .contains("inexactness")
    );
    assert!(
        fault(Distribution::ScaledT {
            mean: 0.0,
            scale: 1.0,
            degrees_of_freedom: 0.0
        })
        .contains("degrees of freedom")
    );
    assert!(
        Distribution::Normal { mean: 0.0, sd: 1.0 }
            .quantile(1.5)
            .is_nan()
    );
}
