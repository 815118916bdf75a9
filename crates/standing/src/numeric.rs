//! Distribution functions and roots that the questions here share.
//!
//! In: plain numbers. Out: plain numbers. Not here: any question.

use statrs::function::beta::beta_reg;
use statrs::function::erf::{erfc, erfc_inv};
use std::f64::consts::SQRT_2;

/// Returns the probability of a standard normal value above a limit.
pub(crate) fn normal_above(z: f64) -> f64 {
    0.5 * erfc(z / SQRT_2)
}

/// Returns the standard normal value that is exceeded with a probability.
pub(crate) fn normal_limit(above: f64) -> f64 {
    SQRT_2 * erfc_inv(2.0 * above)
}

/// Returns the probability of at most `k` of `n`, each with probability `p`; no number where that is none.
pub(crate) fn at_most(k: usize, n: usize, p: f64) -> f64 {
    if p.is_nan() {
        p
    } else if k >= n || p <= 0.0 {
        1.0
    } else if p >= 1.0 {
        0.0
    } else {
        beta_reg((n - k) as f64, k as f64 + 1.0, 1.0 - p)
    }
}

/// Returns the probability of fewer than `k` of `n`, each with probability `p`.
pub(crate) fn fewer(k: usize, n: usize, p: f64) -> f64 {
    if k == 0 { 0.0 } else { at_most(k - 1, n, p) }
}

/// Returns the value of a beta distribution below which a share of it lies.
pub(crate) fn beta_quantile(a: f64, b: f64, share: f64) -> f64 {
    root(0.0, 1.0, |x| beta_reg(a, b, x) - share)
}

/// Returns where a function that rises from below zero to above it crosses it, to the last bit, by halving.
pub(crate) fn root(mut low: f64, mut high: f64, rising: impl Fn(f64) -> f64) -> f64 {
    loop {
        let middle = 0.5 * (low + high);
        if middle <= low || middle >= high {
            return middle;
        }
        if rising(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
}

/// Returns a confidence that is one: between 0 and 1.
pub(crate) fn proper(confidence: f64) -> Option<f64> {
    (0.0 < confidence && confidence < 1.0).then_some(confidence)
}

/// Returns the least whole number from 1 on that meets what every greater one meets too; none up to 2^53.
pub(crate) fn least_that(meets: impl Fn(f64) -> bool) -> Option<usize> {
    let most = (1_u64 << 53) as f64;
    let mut high = 1.0;
    while !meets(high) {
        high *= 2.0;
        if high > most {
            return None;
        }
    }
    let mut low = (high / 2.0_f64).floor();
    while high - low > 1.0 {
        let middle = (0.5 * (low + high)).floor();
        if meets(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(high as usize)
}

/// Returns the values in rising order.
pub(crate) fn sorted(values: &[f64]) -> Vec<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted
}

/// Returns the middle value, or the mean of the two in the middle; none of no values.
pub(crate) fn median(values: &[f64]) -> Option<f64> {
    let sorted = sorted(values);
    let half = sorted.len() / 2;
    let upper = *sorted.get(half)?;
    Some(if sorted.len() % 2 == 1 {
        upper
    } else {
        0.5 * (sorted[half - 1] + upper)
    })
}
