//! Noise of a series, and the levels it holds.
//!
//! In: evenly or unevenly spaced values. Out: a robust standard deviation of the noise; runs of values about one mean.
//! Not here: what a level is called (`phases`).

use crate::changepoint::change_points;

/// Median of the absolute value of a standard normal variable.
const NORMAL_MEDIAN: f64 = 0.674_489_75;

/// Least relative standard deviation: the noise of a reading is never less than this share of the largest.
const LEAST_NOISE: f64 = 0.003;

/// Neighbouring levels that differ by less than this share of the larger are one.
const SAME: f64 = 0.03;

/// Values about one mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Level {
    pub(crate) first: usize,
    pub(crate) last: usize,
    pub(crate) mean: f64,
    pub(crate) deviation: f64,
}

/// Returns the standard deviation of the noise on a smooth curve: the middle second difference, so that neither slope
/// nor steps count.
pub(crate) fn noise(values: &[f64]) -> f64 {
    let mut bends: Vec<f64> = values
        .windows(3)
        .map(|three| (three[0] - 2.0 * three[1] + three[2]).abs())
        .collect();
    if bends.is_empty() {
        return 0.0;
    }
    let middle = bends.len() / 2;
    let (_, median, _) = bends.select_nth_unstable_by(middle, f64::total_cmp);
    // The second difference of white noise has six times its variance.
    *median / NORMAL_MEDIAN / 6.0_f64.sqrt()
}

/// Splits values into levels. Values in one segment of the cheapest segmentation stay together; neighbours that
/// differ by no more than a reading's spread are joined.
pub(crate) fn levels(values: &[f64]) -> Vec<Level> {
    let largest = values
        .iter()
        .fold(0.0_f64, |most, value| most.max(value.abs()));
    let sigma = noise(values).max(LEAST_NOISE * largest);
    let n = values.len() as f64;
    // The usual penalty for a change of the mean (Schwarz): two parameters, and room for unlucky draws.
    let penalty = 3.0 * n.max(2.0).ln() * sigma * sigma;
    let Some(changes) = change_points(values, penalty, 2) else {
        return Vec::new();
    };
    let mut levels: Vec<Level> = Vec::new();
    let mut first = 0;
    for end in changes.ends {
        let level = level(values, first, end - 1);
        first = end;
        match levels.last_mut() {
            Some(last) if alike(last, &level, sigma) => {
                *last = self::level(values, last.first, level.last)
            }
            _ => levels.push(level),
        }
    }
    levels
}

fn alike(one: &Level, other: &Level, sigma: f64) -> bool {
    let larger = one.mean.abs().max(other.mean.abs());
    (one.mean - other.mean).abs() <= (SAME * larger).max(4.0 * sigma)
}

fn level(values: &[f64], first: usize, last: usize) -> Level {
    let values = &values[first..=last];
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let deviation = (values
        .iter()
        .map(|value| (value - mean) * (value - mean))
        .sum::<f64>()
        / n)
        .sqrt();
    Level {
        first,
        last,
        mean,
        deviation,
    }
}
