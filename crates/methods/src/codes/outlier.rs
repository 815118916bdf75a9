//! Which of several ages stands apart from the others.
//!
//! In: ages in days. Out: how far each is from the middle, and which are too far.
//! Source: the modified z-score with the limit 3.5, B. Iglewicz and D. Hoaglin, How to Detect and Handle
//! Outliers (1993). The spread is never taken as less than four weeks, because parts of one delivery differ
//! by that much; with less than four ages nothing is said.

use crate::assumed;

/// Modified z-score beyond which an age stands apart.
pub const FARTHEST: f64 = assumed::AGE_APART.number();
/// Smallest spread that is used, in days: four weeks.
pub const LEAST_SPREAD_DAYS: f64 = assumed::LEAST_AGE_SPREAD.number();
/// Makes the median absolute deviation comparable with a standard deviation of a normal law.
const TO_SD: f64 = 1.4826;
/// Least number of ages.
const LEAST: usize = 4;

/// How the ages lie.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// Median of the ages, days.
    pub median: f64,
    /// Spread used, days.
    pub spread: f64,
    /// (age − median) / spread of each age, in the order given.
    pub scores: Vec<f64>,
}

impl Standing {
    /// Tells whether the age with a position stands apart.
    pub fn is_odd(&self, at: usize) -> bool {
        self.scores.get(at).is_some_and(|z| z.abs() > FARTHEST)
    }
}

fn median(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let half = sorted.len() / 2;
    if sorted.len() % 2 == 1 {
        sorted[half]
    } else {
        f64::midpoint(sorted[half - 1], sorted[half])
    }
}

/// Compares ages, in days; `None` for less than four.
pub fn odd_ones(ages: &[f64]) -> Option<Standing> {
    if ages.len() < LEAST {
        return None;
    }
    let middle = median(ages);
    let distances: Vec<f64> = ages.iter().map(|a| (a - middle).abs()).collect();
    let spread = (TO_SD * median(&distances)).max(LEAST_SPREAD_DAYS);
    Some(Standing {
        median: middle,
        spread,
        scores: ages.iter().map(|a| (a - middle) / spread).collect(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_two_years_older_stands_apart() {
        let found = odd_ones(&[60.0, 67.0, 74.0, 81.0, 800.0]).unwrap();
        assert_eq!(found.median, 74.0);
        let odd: Vec<usize> = (0..5).filter(|i| found.is_odd(*i)).collect();
        assert_eq!(odd, [4]);
    }

    #[test]
    fn parts_of_one_month_do_not() {
        let found = odd_ones(&[60.0, 60.0, 60.0, 60.0, 90.0]).unwrap();
        assert_eq!(found.spread, LEAST_SPREAD_DAYS);
        assert!((0..5).all(|i| !found.is_odd(i)));
        assert_eq!(odd_ones(&[1.0, 2.0, 300.0]), None);
    }

    #[test]
    fn the_score_is_that_of_the_publication() {
        // By hand: median 3, absolute deviations 2 1 0 1 97 with median 1; the floor is out of the way
        // at this scale of 100.
        let found = odd_ones(&[100.0, 200.0, 300.0, 400.0, 10_000.0]).unwrap();
        assert_eq!(found.spread, 148.26);
        assert!((found.scores[4] - 9700.0 / 148.26).abs() < 1e-12);
    }
}
