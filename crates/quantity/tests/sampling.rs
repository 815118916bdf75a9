//! Monte Carlo: repeatable, independent of threads, true to every distribution; variance shares.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use quantity::{Distribution, MonteCarlo, Sampled, Sheet, SheetError};
use std::f64::consts::PI;
use support::{close, normal, plain, printed, within};

const DISTRIBUTIONS: [Distribution; 11] = [
    Distribution::Exact { value: 3.0 },
    Distribution::Normal { mean: 2.0, sd: 0.3 },
    Distribution::Rectangular {
        low: 2.0,
        high: 5.0,
    },
    Distribution::Triangular {
        low: 2.0,
        mode: 3.0,
        high: 7.0,
    },
    Distribution::Triangular {
        low: 2.0,
        mode: 2.0,
        high: 7.0,
    },
    Distribution::Arcsine {
        low: -1.0,
        high: 1.0,
    },
    Distribution::Trapezoid {
        low: -1.0,
        high: 1.0,
        top: 0.5,
    },
    Distribution::CurvilinearTrapezoid {
        low: -1.0,
        high: 1.0,
        inexactness: 0.4,
    },
    Distribution::Pert {
        low: 2.0,
        mode: 3.0,
        high: 7.0,
        lambda: 4.0,
    },
    Distribution::Lognormal {
        mu: 0.0,
        sigma: 0.5,
    },
    Distribution::ScaledT {
        mean: 1.0,
        scale: 2.0,
        degrees_of_freedom: 5.0,
    },
];

fn settings(draws: u64, threads: usize, keep_samples: bool) -> MonteCarlo {
    MonteCarlo {
        draws,
        seed: 42,
        threads,
        keep_samples,
    }
}

fn bits(sampled: &Sampled) -> Vec<u64> {
    let mut bits = vec![sampled.mean.to_bits(), sampled.sd.to_bits()];
    bits.extend([0.0, 0.01, 0.5, 0.975, 1.0].map(|p| sampled.quantile(p).to_bits()));
    bits.extend(sampled.samples.iter().flatten().map(|x| x.to_bits()));
    bits
}

#[test]
fn answers_do_not_depend_on_the_number_of_threads() {
    let sheet = Sheet::new();
    let inputs: Vec<_> = DISTRIBUTIONS
        .iter()
        .enumerate()
        .map(|(i, l)| sheet.input(plain(&i.to_string(), *l)))
        .collect();
    sheet.correlate(inputs[1], inputs[2], 0.5);
    let y = sheet.sum(&inputs) * inputs[1] / inputs[3] + inputs[2].sin();
    for keep in [false, true] {
        let one = bits(&sheet.monte_carlo(y, settings(30_000, 1, keep)).unwrap());
        for threads in [2, 3, 100] {
            let more = bits(
                &sheet
                    .monte_carlo(y, settings(30_000, threads, keep))
                    .unwrap(),
            );
            assert!(one == more, "{threads} threads");
        }
        let other = MonteCarlo {
            seed: 43,
            ..settings(30_000, 1, keep)
        };
        assert_ne!(one, bits(&sheet.monte_carlo(y, other).unwrap()));
    }
}

#[test]
fn kept_draws_and_counted_draws_agree() {
    let sheet = Sheet::new();
    let x = sheet.input(plain("x", DISTRIBUTIONS[9]));
    let y = sheet.input(plain("y", DISTRIBUTIONS[1]));
    let kept = sheet
        .monte_carlo(x * y, settings(100_000, 2, true))
        .unwrap();
    let counted = sheet
        .monte_carlo(x * y, settings(100_000, 2, false))
        .unwrap();
    assert_eq!(kept.samples.as_ref().map(Vec::len), Some(100_000));
    assert!(counted.samples.is_none());
    close(counted.mean, kept.mean, 1e-12);
    close(counted.sd, kept.sd, 1e-12);
    for p in [0.0, 0.025, 0.3, 0.5, 0.8, 0.975, 1.0] {
        within(counted.quantile(p), kept.quantile(p), 1e-3 * kept.sd);
        let x = kept.quantile(p);
        within(
            counted.probability_at_most(x),
            kept.probability_at_most(x),
            1e-3,
        );
    }
    let (a, b) = (counted.shortest(0.9), kept.shortest(0.9));
    within(a.1 - a.0, b.1 - b.0, 2e-3 * kept.sd);
    assert!(a.1 - a.0 <= counted.symmetric(0.9).1 - counted.symmetric(0.9).0);
}

/// Every distribution drawn alone, inside a sum, and correlated (by a coefficient of nought or one)
/// reproduces its own quantiles.
#[test]
fn draws_follow_the_distributions() {
    const DRAWS: u64 = 200_000;
    for distribution in DISTRIBUTIONS {
        let sheet = Sheet::new();
        let x = sheet.input(plain("x", distribution));
        let zero = sheet.input(plain(
            "zero",
            Distribution::Rectangular {
                low: 0.0,
                high: 1e-9,
            },
        ));
        let correlated = Sheet::new();
        let c = correlated.input(plain("c", distribution));
        let other = correlated.input(normal("other", 0.0, 1e-9));
        correlated.correlate(c, other, 0.3);
        for sampled in [
            sheet.monte_carlo(x, settings(DRAWS, 2, false)).unwrap(),
            sheet
                .monte_carlo(x + zero, settings(DRAWS, 2, false))
                .unwrap(),
            correlated
                .monte_carlo(c + other, settings(DRAWS, 2, false))
                .unwrap(),
        ] {
            let scale = if distribution.sd() > 0.0 {
                distribution.sd()
            } else {
                1.0
            };
            within(
                sampled.mean,
                distribution.mean(),
                5.0 * scale / (DRAWS as f64).sqrt() + 1e-8,
            );
            within(sampled.sd, distribution.sd(), 0.02 * scale);
            if distribution.sd() > 0.0 {
                for p in [0.05, 0.25, 0.5, 0.75, 0.95] {
                    // Five standard errors of an estimated probability.
                    let error = 5.0 * (p * (1.0 - p) / DRAWS as f64).sqrt();
                    within(
                        sampled.probability_at_most(distribution.quantile(p)),
                        p,
                        error,
                    );
                }
            }
        }
    }
}

#[test]
fn correlated_draws_have_the_stated_correlation() {
    let sheet = Sheet::new();
    let a = sheet.input(normal("a", 0.0, 1.0));
    let b = sheet.input(normal("b", 0.0, 1.0));
    let c = sheet.input(normal("c", 0.0, 1.0));
    sheet.correlate(a, b, 1.0);
    sheet.correlate(b, c, -0.6);
    sheet.correlate(a, c, -0.6);
    let difference = sheet
        .monte_carlo(a - b, settings(10_000, 1, false))
        .unwrap();
    within(difference.sd, 0.0, 1e-12);
    let sum = sheet
        .monte_carlo(b + c, settings(200_000, 1, false))
        .unwrap();
    close(sum.sd, 0.8_f64.sqrt(), 0.02);
}

#[test]
fn runs_that_cannot_be_are_refused() {
    let sheet = Sheet::new();
    let x = sheet.input(normal("x", 1.0, 1.0));
    assert!(sheet.monte_carlo(x, settings(0, 1, false)).is_err());
    assert!(sheet.monte_carlo(x, settings(u64::MAX, 1, true)).is_err());
    let error = sheet.monte_carlo(
        x.ln().named("log", &support::one()),
        settings(10_000, 1, false),
    );
    let message = error.unwrap_err().to_string();
    assert!(
        message.starts_with("log has draws without a finite value"),
        "{message}"
    );
    let constant = sheet.number(4.0) + 1.0;
    let sampled = sheet.monte_carlo(constant, settings(10, 8, false)).unwrap();
    assert_eq!(
        (sampled.mean, sampled.sd, sampled.quantile(0.3)),
        (5.0, 0.0, 5.0)
    );
    assert_eq!(sampled.probability_at_most(4.999), 0.0);
    assert_eq!(sampled.probability_at_most(5.0), 1.0);
}

/// T. Ishigami, T. Homma (1990), a = 7, b = 0.1; indices in closed form.
#[test]
fn ishigami_shares() {
    let sheet = Sheet::new();
    let x = ["x1", "x2", "x3"]
        .map(|n| sheet.input(plain(n, Distribution::Rectangular { low: -PI, high: PI })));
    let f = x[0].sin() + 7.0 * x[1].sin().powi(2) + 0.1 * x[2].powi(4) * x[0].sin();
    let sampled = sheet.monte_carlo(f, settings(1_000_000, 2, false)).unwrap();
    within(sampled.mean, 3.5, 5.0 * 3.72 / 1e3);
    close(sampled.sd.powi(2), 13.844_588, 5e-3);
    let shares = sheet.variance_shares(f, 1 << 18, 7).unwrap();
    for (k, s) in [0.313_905, 0.442_411, 0.0].into_iter().enumerate() {
        within(shares.first[k], s, 0.01);
    }
    for (k, s) in [0.557_589, 0.442_411, 0.243_684].into_iter().enumerate() {
        within(shares.total[k], s, 0.01);
    }
}

#[test]
fn shares_of_a_linear_model() {
    let sheet = Sheet::new();
    let x = [1.0, 0.5, 0.2].map(|u| sheet.input(normal("x", 0.0, u)));
    let y = x[0] + 2.0 * x[1] + 3.0 * x[2];
    let first = sheet.propagate(&[y]).unwrap();
    printed(first.covariance[0][0].sqrt(), "1.536229");
    let shares = sheet.variance_shares(y, 1 << 17, 3).unwrap();
    for (k, s) in [0.423_729, 0.423_729, 0.152_542].into_iter().enumerate() {
        within(shares.first[k], s, 0.01);
        within(shares.total[k], s, 0.01);
    }
    let figure = sheet.figure(y).unwrap();
    for (input, s) in figure
        .inputs
        .iter()
        .zip(["0.423729", "0.423729", "0.152542"])
    {
        printed(input.variance_share, s);
    }
}

#[test]
fn shares_of_a_product() {
    let sheet = Sheet::new();
    let a = sheet.input(normal("a", 5.0, 0.2));
    let b = sheet.input(normal("b", 3.0, 0.15));
    let first = sheet.propagate(&[a * b]).unwrap();
    printed(first.covariance[0][0].sqrt(), "0.960469");
    let whole = first.covariance[0][0] + first.second_order_variance[0];
    printed(whole, "0.9234");
    printed(whole.sqrt(), "0.960937");
    let shares = sheet.variance_shares(a * b, 1 << 17, 3).unwrap();
    within(shares.first[0], 0.389_864, 0.01);
    within(shares.first[1], 0.609_162, 0.01);
    within(shares.total[0], 0.390_839, 0.01);
    sheet.correlate(a, b, 0.5);
    assert!(matches!(
        sheet.variance_shares(a * b, 1000, 3),
        Err(SheetError::Value(_))
    ));
}
