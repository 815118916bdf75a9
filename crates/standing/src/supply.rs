//! How supply is spread over makers.
//!
//! In: how many products each supplies. Out: concentration, the greatest ones' share, inequality, the chance of the
//! same maker again. Not here: limits of one share (`share`). Under about fifty kinds an exponent of a heavy tail is
//! not told: only the ordered counts and their running sum.
//! Source: the sum of squared shares after O. C. Herfindahl and A. O. Hirschman; C. Gini, 1912.

/// Returns the sum of squared shares in parts of 10 000; none of no counts.
pub fn concentration(counts: &[usize]) -> Option<f64> {
    let all: usize = counts.iter().sum();
    let squares = counts.iter().map(|x| (*x as f64 / all as f64).powi(2));
    (all > 0).then(|| 1e4 * squares.sum::<f64>())
}

/// Returns the same without the bias of small numbers: the chance that two products have the same maker. None of
/// fewer than two.
pub fn concentration_unbiased(counts: &[usize]) -> Option<f64> {
    let all = counts.iter().sum::<usize>() as f64;
    let pairs: f64 = counts.iter().map(|x| *x as f64 * (*x as f64 - 1.0)).sum();
    (all > 1.0).then(|| 1e4 * pairs / (all * (all - 1.0)))
}

/// Returns the share of the `kinds` greatest counts; none of no counts.
pub fn share_of_greatest(counts: &[usize], kinds: usize) -> Option<f64> {
    let all: usize = counts.iter().sum();
    let greatest: usize = falling(counts).iter().take(kinds).sum();
    (all > 0).then(|| greatest as f64 / all as f64)
}

/// Returns how many of the greatest counts make up a share; none of no counts.
pub fn kinds_for(counts: &[usize], share: f64) -> Option<usize> {
    let kinds = 1..=counts.len();
    kinds
        .into_iter()
        .find(|kinds| share_of_greatest(counts, *kinds).is_some_and(|held| held >= share - 1e-12))
}

/// Returns Gini's coefficient; none of no counts.
pub fn inequality(counts: &[usize]) -> Option<f64> {
    let all: usize = counts.iter().sum();
    let n = counts.len() as f64;
    let rising = falling(counts).into_iter().rev().enumerate();
    let weighed: f64 = rising.map(|(i, x)| (i as f64 + 1.0) * x as f64).sum();
    (all > 0).then(|| 2.0 * weighed / (n * all as f64) - (n + 1.0) / n)
}

/// Returns the probability that at least `again` of `positions` drawn from `all` have a maker that `its` of all have.
///
/// Hypergeometric; for several makers the probabilities are adjusted by [`crate::many::holm`].
pub fn chance_of_same(again: usize, positions: usize, its: usize, all: usize) -> f64 {
    let (its, positions) = (its.min(all), positions.min(all));
    let log = |n: usize, k: usize| statrs::function::factorial::ln_binomial(n as u64, k as u64);
    let least = again.max((positions + its).saturating_sub(all));
    let exactly =
        |k: usize| (log(its, k) + log(all - its, positions - k) - log(all, positions)).exp();
    let sum: f64 = (least..=positions.min(its)).map(exactly).sum();
    sum.min(1.0)
}

fn falling(counts: &[usize]) -> Vec<usize> {
    let mut falling = counts.to_vec();
    falling.sort_by(|a, b| b.cmp(a));
    falling
}
