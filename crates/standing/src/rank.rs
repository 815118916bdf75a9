//! Where one value stands among others.
//!
//! In: the value and those of the others, known or with a standard uncertainty. Out: how many are less, equal and
//! more; percentiles by four definitions; the probability of each rank.
//! Not here: whether standing there means anything (`record`). The value itself is never one of the others: a
//! percentile within a set that holds it differs by one part in as many as there are.

use crate::numeric::{normal_above, normal_limit};

/// How many of the others are less, equal and more.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    /// Less.
    pub less: usize,
    /// Equal.
    pub equal: usize,
    /// More.
    pub more: usize,
}

/// Returns where a value stands among others.
pub fn place(value: f64, others: &[f64]) -> Place {
    let count = |test: fn(&f64, &f64) -> bool| others.iter().filter(|o| test(o, &value)).count();
    Place {
        less: count(|other, value| other < value),
        equal: count(|other, value| other == value),
        more: count(|other, value| other > value),
    }
}

impl Place {
    /// Returns how many others there are.
    pub fn others(self) -> usize {
        self.less + self.equal + self.more
    }

    /// Returns the share of the others that are less, in percent; none without others.
    pub fn below(self) -> Option<f64> {
        self.percent(self.less as f64)
    }

    /// Returns the share of the others that are less or equal, in percent; none without others.
    pub fn at_or_below(self) -> Option<f64> {
        self.percent((self.less + self.equal) as f64)
    }

    /// Returns the mid-rank percentile, in percent: equals count half. None without others.
    pub fn midway(self) -> Option<f64> {
        self.percent(self.less as f64 + 0.5 * self.equal as f64)
    }

    /// Returns the percentile of the mean rank of the equals, in percent; none without others.
    pub fn mean_rank(self) -> Option<f64> {
        let equals = if self.equal == 0 {
            0.0
        } else {
            0.5 * (self.equal + 1) as f64
        };
        self.percent(self.less as f64 + equals)
    }

    fn percent(self, count: f64) -> Option<f64> {
        (self.others() > 0).then(|| 100.0 * count / self.others() as f64)
    }
}

/// A value with what is not known of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// Best estimate.
    pub value: f64,
    /// Standard uncertainty in the same unit; 0 where it is known. Taken as normal.
    pub uncertainty: f64,
}

impl Measured {
    /// Probability of being below a limit.
    fn below(self, limit: f64) -> f64 {
        if self.uncertainty > 0.0 {
            normal_above((self.value - limit) / self.uncertainty)
        } else {
            f64::from(u8::from(self.value < limit))
        }
    }
}

/// How many equal shares what is not known of the one value is cut into.
const SHARES: usize = 512;

/// Probabilities below this are dropped from a sum; a thousand of them change nothing that is shown.
const NOTHING: f64 = 1e-13;

/// Returns the probability that 0, 1, 2 … all of the others are less than a value.
///
/// Errors are independent of one another. Within 1e-3 for each rank.
pub fn rank_probabilities(own: Measured, others: &[Measured]) -> Vec<f64> {
    let mut probabilities = vec![0.0; others.len() + 1];
    let shares = if own.uncertainty > 0.0 { SHARES } else { 1 };
    for share in 0..shares {
        let above = (share as f64 + 0.5) / shares as f64;
        let value = own.value + own.uncertainty * normal_limit(above);
        let (first, counts) = how_many_below(value, others);
        for (probability, count) in probabilities[first..].iter_mut().zip(counts) {
            *probability += count / shares as f64;
        }
    }
    probabilities
}

/// The distribution of how many of the others are below a value, without its empty ends: where it begins, and the
/// probabilities from there. One factor after another is multiplied in.
fn how_many_below(value: f64, others: &[Measured]) -> (usize, Vec<f64>) {
    let mut first = 0;
    let mut counts = vec![1.0];
    for other in others {
        let below = other.below(value);
        if below >= 1.0 - NOTHING {
            first += 1;
        } else if below > NOTHING {
            counts.push(0.0);
            for k in (1..counts.len()).rev() {
                counts[k] = counts[k] * (1.0 - below) + counts[k - 1] * below;
            }
            counts[0] *= 1.0 - below;
            let empty = counts.iter().take_while(|c| **c < NOTHING).count();
            counts.drain(..empty);
            first += empty;
            while counts.last().is_some_and(|c| *c < NOTHING) {
                counts.pop();
            }
        }
    }
    (first, counts)
}
