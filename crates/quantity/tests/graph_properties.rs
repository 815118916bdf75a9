//! What holds for every graph: derivatives, sums of uncertainties, covariances, draws.
//!
//! Random graphs are recipes: each operation takes earlier terms by number. The same recipe is
//! evaluated here in plain numbers, which is what derivatives are compared with.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use proptest::prelude::*;
use quantity::{Distribution, MonteCarlo, Sheet, Term};
use support::{normal, plain};

/// Inputs of every graph.
const INPUTS: usize = 4;

/// One operation on earlier terms. Quotients, roots and logarithms keep clear of their poles.
#[derive(Debug, Clone, Copy)]
enum Make {
    Add(usize, usize),
    Sub(usize, usize),
    Mul(usize, usize),
    /// a / (1 + b²)
    Over(usize, usize),
    /// k·a + 1
    Scale(usize, f64),
    Min(usize, usize),
    Max(usize, usize),
    Sin(usize),
    Atan(usize),
    /// √(1 + a²)
    Root(usize),
    /// ln(1 + a²)
    Log(usize),
    /// exp(−a²)
    Bell(usize),
}

fn make() -> impl Strategy<Value = Make> {
    let two = || (0..64_usize, 0..64_usize);
    let one = || 0..64_usize;
    prop_oneof![
        two().prop_map(|(a, b)| Make::Add(a, b)),
        two().prop_map(|(a, b)| Make::Sub(a, b)),
        two().prop_map(|(a, b)| Make::Mul(a, b)),
        two().prop_map(|(a, b)| Make::Over(a, b)),
        (one(), -2.0..2.0_f64).prop_map(|(a, k)| Make::Scale(a, k)),
        two().prop_map(|(a, b)| Make::Min(a, b)),
        two().prop_map(|(a, b)| Make::Max(a, b)),
        one().prop_map(Make::Sin),
        one().prop_map(Make::Atan),
        one().prop_map(Make::Root),
        one().prop_map(Make::Log),
        one().prop_map(Make::Bell),
    ]
}

fn recipe() -> impl Strategy<Value = Vec<Make>> {
    proptest::collection::vec(make(), 1..12)
}

fn means() -> impl Strategy<Value = [f64; INPUTS]> {
    std::array::from_fn(|_| 0.2..2.0_f64)
}

/// Every term of a recipe in plain numbers, inputs first.
fn numbers(recipe: &[Make], inputs: &[f64]) -> Vec<f64> {
    let mut all = inputs.to_vec();
    for make in recipe {
        let at = |i: usize| all[i % all.len()];
        all.push(match *make {
            Make::Add(a, b) => at(a) + at(b),
            Make::Sub(a, b) => at(a) - at(b),
            Make::Mul(a, b) => at(a) * at(b),
            Make::Over(a, b) => at(a) / (1.0 + at(b) * at(b)),
            Make::Scale(a, k) => k * at(a) + 1.0,
            Make::Min(a, b) => at(a).min(at(b)),
            Make::Max(a, b) => at(a).max(at(b)),
            Make::Sin(a) => at(a).sin(),
            Make::Atan(a) => at(a).atan(),
            Make::Root(a) => (1.0 + at(a) * at(a)).sqrt(),
            Make::Log(a) => (1.0 + at(a) * at(a)).ln(),
            Make::Bell(a) => (-at(a) * at(a)).exp(),
        });
    }
    all
}

/// Every term of a recipe on a sheet, inputs first.
fn terms<'s>(recipe: &[Make], inputs: &[Term<'s>]) -> Vec<Term<'s>> {
    let mut all = inputs.to_vec();
    for make in recipe {
        let at = |i: usize| all[i % all.len()];
        all.push(match *make {
            Make::Add(a, b) => at(a) + at(b),
            Make::Sub(a, b) => at(a) - at(b),
            Make::Mul(a, b) => at(a) * at(b),
            Make::Over(a, b) => at(a) / (1.0 + at(b).powi(2)),
            Make::Scale(a, k) => k * at(a) + 1.0,
            Make::Min(a, b) => at(a).min(at(b)),
            Make::Max(a, b) => at(a).max(at(b)),
            Make::Sin(a) => at(a).sin(),
            Make::Atan(a) => at(a).atan(),
            Make::Root(a) => (1.0 + at(a) * at(a)).sqrt(),
            Make::Log(a) => (1.0 + at(a).powi(2)).ln(),
            Make::Bell(a) => (-at(a).powi(2)).exp(),
        });
    }
    all
}

fn inputs<'s>(sheet: &'s Sheet, means: &[f64]) -> Vec<Term<'s>> {
    let names = ["a", "b", "c", "d"];
    let input = |(i, m): (usize, &f64)| normal(names[i], *m, 0.01 * (i + 1) as f64);
    means
        .iter()
        .enumerate()
        .map(|pair| sheet.input(input(pair)))
        .collect()
}

/// The last term's derivative by one input, from five points.
fn difference(recipe: &[Make], means: &[f64], k: usize, h: f64) -> f64 {
    let at = |by: f64| {
        let mut moved = means.to_vec();
        moved[k] += by;
        numbers(recipe, &moved).pop().unwrap()
    };
    (8.0 * (at(h) - at(-h)) - (at(2.0 * h) - at(-2.0 * h))) / (12.0 * h)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn values_and_gradients_agree_with_plain_numbers(recipe in recipe(), means in means()) {
        let value = numbers(&recipe, &means).pop().unwrap();
        prop_assume!(value.abs() < 1e6);
        let sheet = Sheet::new();
        let last = *terms(&recipe, &inputs(&sheet, &means)).last().unwrap();
        let found = sheet.propagate(&[last]).unwrap();
        prop_assert!((found.values[0] - value).abs() <= 1e-12 * (1.0 + value.abs()));
        prop_assert_eq!(sheet.value(last).unwrap(), found.values[0]);
        for k in 0..INPUTS {
            let wide = difference(&recipe, &means, k, 1e-3);
            let narrow = difference(&recipe, &means, k, 5e-4);
            let scale = 1.0 + value.abs() + narrow.abs();
            // Across a corner, or where the function bends sharply, differences have not settled.
            if (wide - narrow).abs() > 1e-7 * scale {
                continue;
            }
            let slope = found.sensitivities[0][k];
            prop_assert!((slope - narrow).abs() <= 1e-6 * scale, "{} {} {}", k, slope, narrow);
        }
    }

    #[test]
    fn a_sum_is_no_less_certain_than_its_parts_together(
        recipe in recipe(), means in means(), r in -0.99..0.99_f64,
    ) {
        let sheet = Sheet::new();
        let inputs = inputs(&sheet, &means);
        sheet.correlate(inputs[0], inputs[1], r);
        let all = terms(&recipe, &inputs);
        let (a, b) = (all[all.len() - 1], all[all.len() / 2]);
        let found = sheet.propagate(&[a, b, a + b, a - b]).unwrap();
        let u: Vec<f64> = (0..4).map(|i| found.covariance[i][i].sqrt()).collect();
        let most = (u[0] + u[1]) * (1.0 + 1e-9);
        prop_assert!(u[2] <= most && u[3] <= most, "{:?}", u);
    }

    /// What is shared cancels: exactly where one term is taken off itself, to rounding where it
    /// was written twice.
    #[test]
    fn a_term_less_itself_is_certain(recipe in recipe(), means in means()) {
        let sheet = Sheet::new();
        let inputs = inputs(&sheet, &means);
        let once = *terms(&recipe, &inputs).last().unwrap();
        let again = *terms(&recipe, &inputs).last().unwrap();
        let found = sheet.propagate(&[once - once, once - again, once]).unwrap();
        prop_assert_eq!((found.values[0], found.covariance[0][0]), (0.0, 0.0));
        let (u, whole) = (found.covariance[1][1].sqrt(), found.covariance[2][2].sqrt());
        prop_assert!(u <= 1e-12 * (1.0 + whole), "{} of {}", u, whole);
    }

    #[test]
    fn covariances_are_symmetric_and_positive(
        recipe in recipe(), means in means(), r in -1.0..=1.0_f64,
    ) {
        let sheet = Sheet::new();
        let inputs = inputs(&sheet, &means);
        sheet.correlate(inputs[1], inputs[2], r);
        let all = terms(&recipe, &inputs);
        let found = sheet.propagate(&all).unwrap();
        let n = all.len();
        let matrix = nalgebra::DMatrix::from_fn(n, n, |i, j| found.covariance[i][j]);
        prop_assert_eq!(&matrix, &matrix.transpose());
        let least = matrix.clone().symmetric_eigen().eigenvalues.min();
        prop_assert!(least >= -1e-12 * matrix.trace(), "{} of {}", least, matrix.trace());
    }
}

const DRAWS: u64 = 20_000;

fn run(threads: usize) -> MonteCarlo {
    MonteCarlo {
        draws: DRAWS,
        seed: 11,
        threads,
        keep_samples: false,
    }
}

/// Distributions with a kurtosis of at most 3, so that sd/√(2n) bounds the error of the deviation.
fn distribution() -> impl Strategy<Value = Distribution> {
    let limits = || (-5.0..5.0_f64, 0.1..4.0_f64);
    prop_oneof![
        limits().prop_map(|(mean, sd)| Distribution::Normal { mean, sd }),
        limits().prop_map(|(low, width)| Distribution::Rectangular {
            low,
            high: low + width
        }),
        (limits(), 0.0..1.0_f64).prop_map(|((low, width), at)| Distribution::Triangular {
            low,
            mode: low + at * width,
            high: low + width
        }),
        limits().prop_map(|(low, width)| Distribution::Arcsine {
            low,
            high: low + width
        }),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn draws_of_a_straight_graph_agree_with_first_order(
        summands in proptest::collection::vec((distribution(), -3.0..3.0_f64), 1..8), shift in -10.0..10.0_f64,
    ) {
        let sheet = Sheet::new();
        let parts: Vec<Term<'_>> = summands
            .iter()
            .enumerate()
            .map(|(i, (distribution, c))| *c * sheet.input(plain(&i.to_string(), *distribution)))
            .collect();
        let sum = sheet.sum(&parts) + shift;
        let found = sheet.propagate(&[sum]).unwrap();
        let u = found.covariance[0][0].sqrt();
        let sampled = sheet.monte_carlo(sum, run(1)).unwrap();
        // Six standard errors.
        let error = 6.0 * u / (DRAWS as f64).sqrt();
        prop_assert!((sampled.mean - found.values[0]).abs() <= error);
        prop_assert!((sampled.sd - u).abs() <= error / 2_f64.sqrt(), "{} {}", sampled.sd, u);
        prop_assert_eq!(found.second_order_variance[0], 0.0);
    }

    #[test]
    fn draws_do_not_depend_on_the_number_of_threads(
        recipe in recipe(), means in means(), threads in 2..9_usize,
    ) {
        let sheet = Sheet::new();
        let last = *terms(&recipe, &inputs(&sheet, &means)).last().unwrap();
        let (one, more) = (sheet.monte_carlo(last, run(1)), sheet.monte_carlo(last, run(threads)));
        let (one, more) = (one.unwrap(), more.unwrap());
        prop_assert_eq!(
            [one.mean, one.sd, one.quantile(0.1), one.quantile(0.9)].map(f64::to_bits),
            [more.mean, more.sd, more.quantile(0.1), more.quantile(0.9)].map(f64::to_bits)
        );
    }
}
