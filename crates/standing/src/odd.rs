//! Values that lie far from the others.
//!
//! In: values. Out: robust scores, limits, and which are odd. Not here: why they are.
//! Source: B. Iglewicz and D. C. Hoaglin, How to Detect and Handle Outliers, 1993.

use crate::numeric::{median, normal_limit};

/// Values below which none is called odd.
pub const LEAST: usize = 7;

/// The score beyond which a value is odd.
pub const LIMIT: f64 = 3.5;

/// The median deviation of a normal distribution in standard deviations, as the source rounds it.
const MEDIAN_DEVIATION: f64 = 0.6745;

/// One standard deviation of a normal distribution in mean deviations, √(π/2), as programs round it.
const BY_MEAN_DEVIATION: f64 = 1.253314;

/// The middle of values and how far half of them are from it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Middle {
    /// Median.
    pub median: f64,
    /// Median of the distances from the median.
    pub deviation: f64,
    /// Mean of the distances from the median.
    pub mean_deviation: f64,
}

/// Returns the middle of values; none of none.
pub fn middle(values: &[f64]) -> Option<Middle> {
    let middle = median(values)?;
    let apart: Vec<f64> = values.iter().map(|x| (x - middle).abs()).collect();
    Some(Middle {
        median: middle,
        deviation: median(&apart)?,
        mean_deviation: apart.iter().sum::<f64>() / apart.len() as f64,
    })
}

/// Returns the factor from a median deviation to the standard deviation of a normal distribution.
pub fn scale() -> f64 {
    1.0 / normal_limit(0.25)
}

impl Middle {
    /// Returns the score of a value: by the median deviation, or by the mean one where more than half are equal;
    /// none where all are.
    pub fn score(self, value: f64) -> Option<f64> {
        let apart = value - self.median;
        if self.deviation > 0.0 {
            Some(MEDIAN_DEVIATION * apart / self.deviation)
        } else if self.mean_deviation > 0.0 {
            Some(apart / (BY_MEAN_DEVIATION * self.mean_deviation))
        } else {
            None
        }
    }

    /// Returns the values so many scaled median deviations below and above the median.
    pub fn limits(self, deviations: f64) -> (f64, f64) {
        let reach = deviations * scale() * self.deviation;
        (self.median - reach, self.median + reach)
    }
}

/// Returns which values are odd, by index, with their scores; none under seven values.
pub fn odd(values: &[f64]) -> Vec<(usize, f64)> {
    let Some(middle) = middle(values).filter(|_| values.len() >= LEAST) else {
        return Vec::new();
    };
    let scores = values.iter().enumerate();
    let scores = scores.filter_map(|(i, x)| Some((i, middle.score(*x)?)));
    scores.filter(|(_, score)| score.abs() > LIMIT).collect()
}
