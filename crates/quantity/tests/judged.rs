//! Figures and probabilities of random formulas, judged by plain sampling that shares nothing with
//! the crate: generator, distributions and evaluation are written here.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "a test reads its cases from the disk"
)]
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;
use quantity::{Distribution, Sheet, Term};
use std::f64::consts::PI;
use support::plain;

/// SplitMix64.
struct Chance(u64);

impl Chance {
    fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }
    fn unit(&mut self) -> f64 {
        ((self.bits() >> 11) as f64 + 0.5) / 9_007_199_254_740_992.0
    }
    fn below(&mut self, n: u64) -> u64 {
        self.bits() % n
    }
    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }
    /// Box and Muller.
    fn bell(&mut self) -> f64 {
        (-2.0 * self.unit().ln()).sqrt() * (2.0 * PI * self.unit()).cos()
    }
    /// Marsaglia and Tsang, for shapes of at least one half.
    fn gamma(&mut self, shape: f64) -> f64 {
        if shape < 1.0 {
            return self.gamma(shape + 1.0) * self.unit().powf(1.0 / shape);
        }
        let d = shape - 1.0 / 3.0;
        loop {
            let z = self.bell();
            let v = (1.0 + z / (9.0 * d).sqrt()).powi(3);
            if v > 0.0 && self.unit().ln() < 0.5 * z * z + d - d * v + d * v.ln() {
                return d * v;
            }
        }
    }
    fn draw(&mut self, distribution: &Distribution) -> f64 {
        match *distribution {
            Distribution::Normal { mean, sd } => mean + sd * self.bell(),
            Distribution::Rectangular { low, high } => self.between(low, high),
            Distribution::Triangular { low, mode, high } => {
                // The convex mixture of smaller and greater of two rectangular numbers.
                let (u, v) = (self.unit(), self.unit());
                let place = (mode - low) / (high - low);
                low + (high - low) * ((1.0 - place) * u.min(v) + place * u.max(v))
            }
            Distribution::Arcsine { low, high } => {
                (low + high) / 2.0 + (high - low) / 2.0 * (2.0 * PI * self.unit()).cos()
            }
            Distribution::Pert {
                low,
                mode,
                high,
                lambda,
            } => {
                let a = self.gamma(1.0 + lambda * (mode - low) / (high - low));
                let b = self.gamma(1.0 + lambda * (high - mode) / (high - low));
                low + (high - low) * a / (a + b)
            }
            Distribution::Lognormal { mu, sigma } => (mu + sigma * self.bell()).exp(),
            Distribution::ScaledT {
                mean,
                scale,
                degrees_of_freedom: nu,
            } => {
                let chi2 = 2.0 * self.gamma(nu / 2.0);
                mean + scale * self.bell() / (chi2 / nu).sqrt()
            }
            Distribution::Trapezoid { low, high, top } => {
                let (u, v) = (self.unit() - 0.5, self.unit() - 0.5);
                let half = (high - low) / 2.0;
                (low + high) / 2.0 + half * ((1.0 + top) * u + (1.0 - top) * v)
            }
            _ => unreachable!("not made below"),
        }
    }
}

/// A formula over numbered inputs.
#[derive(Debug, Clone)]
enum Formula {
    Input(usize),
    Sum(Vec<Formula>),
    Minus(Box<Formula>, Box<Formula>),
    Times(Box<Formula>, Box<Formula>),
    Over(Box<Formula>, Box<Formula>),
    Root(Box<Formula>),
    Square(Box<Formula>),
    Cube(Box<Formula>),
    Exp(Box<Formula>),
    Log(Box<Formula>),
    Least(Box<Formula>, Box<Formula>),
    Greatest(Box<Formula>, Box<Formula>),
    Size(Box<Formula>),
}

use Formula::*;

impl Formula {
    fn value(&self, x: &[f64]) -> f64 {
        match self {
            Input(k) => x[*k],
            Sum(parts) => parts.iter().map(|p| p.value(x)).sum(),
            Minus(a, b) => a.value(x) - b.value(x),
            Times(a, b) => a.value(x) * b.value(x),
            Over(a, b) => a.value(x) / b.value(x),
            Root(a) => a.value(x).sqrt(),
            Square(a) => a.value(x).powi(2),
            Cube(a) => a.value(x).powi(3),
            Exp(a) => a.value(x).exp(),
            Log(a) => a.value(x).ln(),
            Least(a, b) => a.value(x).min(b.value(x)),
            Greatest(a, b) => a.value(x).max(b.value(x)),
            Size(a) => a.value(x).abs(),
        }
    }
    fn term<'s>(&self, sheet: &'s Sheet, x: &[Term<'s>]) -> Term<'s> {
        let of = |f: &Formula| f.term(sheet, x);
        match self {
            Input(k) => x[*k],
            Sum(parts) => sheet.sum(&parts.iter().map(of).collect::<Vec<_>>()),
            Minus(a, b) => of(a) - of(b),
            Times(a, b) => of(a) * of(b),
            Over(a, b) => of(a) / of(b),
            Root(a) => of(a).sqrt(),
            Square(a) => of(a).powi(2),
            Cube(a) => of(a).powi(3),
            Exp(a) => of(a).exp(),
            Log(a) => of(a).ln(),
            Least(a, b) => of(a).min(of(b)),
            Greatest(a, b) => of(a).max(of(b)),
            Size(a) => of(a).abs(),
        }
    }
    /// Makes a formula of a depth.
    fn random(chance: &mut Chance, inputs: usize, depth: u32) -> Self {
        if depth == 0 {
            return Input(chance.below(inputs as u64) as usize);
        }
        let mut next = || Box::new(Self::random(chance, inputs, depth - 1));
        let (a, b) = (next(), next());
        match chance.below(16) {
            0..3 => Times(a, b),
            3..6 => Over(a, b),
            6..8 => {
                let count = 2 + chance.below(4);
                let more = (0..count).map(|_| Self::random(chance, inputs, depth - 1));
                Sum(more.collect())
            }
            8 => Minus(a, b),
            9 => Root(a),
            10 => Square(a),
            11 => Cube(a),
            12 => Exp(a),
            13 => Log(a),
            14 if chance.below(2) == 0 => Least(a, b),
            14 => Greatest(a, b),
            _ => Size(Box::new(Minus(a, b))),
        }
    }
}

/// Makes a distribution about a value near one, of a relative width that varies over two decades.
fn distribution(chance: &mut Chance) -> Distribution {
    let middle = chance.between(0.4, 2.5);
    let width = middle * 10f64.powf(chance.between(-2.3, -0.5));
    let (low, high) = (middle - width, middle + width);
    match chance.below(12) {
        0..4 => Distribution::Normal {
            mean: middle,
            sd: width / 2.0,
        },
        4 | 5 => Distribution::Rectangular { low, high },
        6 => Distribution::Triangular {
            low,
            mode: middle + 0.5 * width,
            high,
        },
        7 => Distribution::Arcsine { low, high },
        8 => Distribution::Pert {
            low,
            mode: middle - 0.7 * width,
            high,
            lambda: 4.0,
        },
        9 => Distribution::Lognormal {
            mu: middle.ln(),
            sigma: width / middle,
        },
        10 => Distribution::ScaledT {
            mean: middle,
            scale: width / 8.0,
            degrees_of_freedom: chance.between(3.0, 20.0).floor(),
        },
        _ => Distribution::Trapezoid {
            low,
            high,
            top: 0.4,
        },
    }
}

struct Judgement {
    /// Greatest distance of a probability.
    probability: f64,
    /// Greatest distance of an end, in widths of the interval.
    end: f64,
    method: String,
    formula: String,
}

/// Judges one random case; `None` where plain sampling itself has no answer.
fn judge(seed: u64, draws: usize) -> Option<Judgement> {
    let mut chance = Chance(seed.wrapping_mul(0x2545_F491_4F6C_DD1D) ^ 0xA5A5);
    let count = 1 + chance.below(6) as usize;
    let distributions: Vec<Distribution> = (0..count).map(|_| distribution(&mut chance)).collect();
    let depth = 1 + chance.below(3) as u32;
    let formula = Formula::random(&mut chance, count, depth);
    let mut x = vec![0.0; count];
    let mut reference: Vec<f64> = (0..draws)
        .map(|_| {
            for (x, distribution) in x.iter_mut().zip(&distributions) {
                *x = chance.draw(distribution);
            }
            formula.value(&x)
        })
        .collect();
    if reference.iter().any(|y| !y.is_finite()) {
        return None;
    }
    reference.sort_by(f64::total_cmp);
    let quantile = |p: f64| reference[(p * draws as f64) as usize];
    let (low, high) = (quantile(0.025), quantile(0.975));
    if high - low <= 1e-9 * (low.abs() + high.abs()) {
        return None;
    }
    let sheet = Sheet::new();
    let inputs: Vec<Term<'_>> = distributions
        .iter()
        .enumerate()
        .map(|(k, distribution)| sheet.input(plain(&format!("x{k}"), *distribution)))
        .collect();
    let term = formula.term(&sheet, &inputs);
    let found = sheet.figure(term).ok()?;
    let ends = [found.interval.low - low, found.interval.high - high];
    let end = ends
        .iter()
        .map(|d| (d / (high - low)).abs())
        .fold(0.0, f64::max);
    let probability = [0.01, 0.03, 0.1, 0.3, 0.5, 0.7, 0.9, 0.97, 0.99]
        .iter()
        .map(|&p| {
            let limit = quantile(p);
            let exact = reference.partition_point(|&y| y <= limit) as f64 / draws as f64;
            (sheet.probability_at_most(term, limit).unwrap() - exact).abs()
        })
        .fold(0.0, f64::max);
    Some(Judgement {
        probability,
        end,
        method: found.method,
        formula: format!("{formula:?} {distributions:?}"),
    })
}

/// Judges cases and returns how many there were, how many within the tolerances, and by draws.
fn judged(seeds: std::ops::Range<u64>, draws: usize, probability: f64, end: f64) -> [usize; 3] {
    let mut counts = [0; 3];
    for seed in seeds {
        let Some(case) = judge(seed, draws) else {
            continue;
        };
        counts[0] += 1;
        if case.probability <= probability && case.end <= end {
            counts[1] += 1;
        } else {
            println!(
                "seed {seed}: probability {:.4}, end {:.4} by {}\n    {}",
                case.probability, case.end, case.method, case.formula
            );
        }
        counts[2] += usize::from(case.method.contains("Monte Carlo"));
    }
    println!("{counts:?} cases, right, by draws");
    counts
}

/// 0.005 in probability and 1 % of the width, plus three standard errors of the reference's
/// 100,000 draws.
#[test]
fn random_formulas_agree_with_plain_sampling() {
    let [cases, right, _] = judged(1_000..1_060, 100_000, 0.005 + 0.0048, 0.01 + 0.008);
    assert!(cases >= 40, "{cases}");
    assert_eq!(right, cases);
}

/// The tolerances themselves, against four million draws. `cargo test --release -- --ignored`.
/// Seeds from 930,000, chosen after the code was written: 86 of 89 cases; those missed are
/// told, so the share demanded is less than all.
#[test]
#[ignore = "takes minutes"]
fn random_formulas_agree_with_four_million_draws() {
    let first: u64 = std::env::var("FIRST_SEED").map_or(50_000, |s| s.parse().unwrap());
    let [cases, right, _] = judged(first..first + 100, 4_000_000, 0.005, 0.01);
    assert!(right * 100 >= cases * 95, "{right} of {cases}");
}
