//! Quantiles of a few values and how far they are known.
//!
//! In: values, which quantile, by which definition, how sure. Out: the quantile; limits by order statistics, each
//! only where it exists. Not here: where one product stands (`rank`).
//! Source: R. J. Hyndman and Y. Fan, Sample quantiles in statistical packages, 1996: types 1 to 9; order-statistic
//! limits as in W. J. Conover, Practical Nonparametric Statistics, 3.2.

use crate::numeric::{at_most, fewer, least_that, proper, sorted};

/// The nine definitions of a sample quantile, by Hyndman and Fan's numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Type {
    /// Inverse of the stepped distribution function.
    Inverse = 1,
    /// The same, means at the steps.
    Averaged,
    /// The closest observation, the even one of two.
    Closest,
    /// Straight lines through the steps.
    Straight,
    /// Straight lines through the middles of the steps (Hazen).
    Middles,
    /// Expected shares (Weibull).
    Expected,
    /// Shares of the gaps between values.
    Gaps,
    /// Nearly unbiased for the median whatever the distribution; the one its authors recommend.
    MedianUnbiased,
    /// Nearly unbiased for values of a normal distribution.
    NormalUnbiased,
}

/// All nine in the order of their numbers.
pub const TYPES: [Type; 9] = [
    Type::Inverse,
    Type::Averaged,
    Type::Closest,
    Type::Straight,
    Type::Middles,
    Type::Expected,
    Type::Gaps,
    Type::MedianUnbiased,
    Type::NormalUnbiased,
];

/// Returns the quantile `q` of values, in their unit, by one of the nine definitions; none of no values, or where `q`
/// is not between 0 and 1.
pub fn quantile_by(kind: Type, values: &[f64], q: f64) -> Option<f64> {
    let sorted = sorted(values);
    let n = sorted.len();
    if n == 0 || !(0.0..=1.0).contains(&q) {
        return None;
    }
    let shift = match kind {
        Type::Inverse | Type::Averaged | Type::Straight => 0.0,
        Type::Closest => -0.5,
        Type::Middles => 0.5,
        Type::Expected => q,
        Type::Gaps => 1.0 - q,
        Type::MedianUnbiased => (q + 1.0) / 3.0,
        Type::NormalUnbiased => q / 4.0 + 0.375,
    };
    let position = n as f64 * q + shift;
    // A position that is whole but for rounding is taken as whole; otherwise 0.3 × 10 would fall below 3.
    let whole = (position + 4.0 * f64::EPSILON * position.max(1.0)).floor();
    let rest = Some(position - whole).filter(|rest| rest.abs() >= 1e-12);
    let upper = match (kind, rest) {
        (Type::Inverse, rest) => f64::from(u8::from(rest.is_some())),
        (Type::Averaged, rest) => rest.map_or(0.5, |_| 1.0),
        (Type::Closest, rest) => f64::from(u8::from(rest.is_some() || whole % 2.0 != 0.0)),
        (_, rest) => rest.unwrap_or(0.0),
    };
    let at = |place: f64| sorted[place.clamp(1.0, n as f64) as usize - 1];
    Some((1.0 - upper) * at(whole) + upper * at(whole + 1.0))
}

/// Returns the quantile `q` of values, in their unit, by type 8; none of no values, or where `q` is not between 0 and 1.
pub fn quantile(values: &[f64], q: f64) -> Option<f64> {
    quantile_by(Type::MedianUnbiased, values, q)
}

/// Which values in order, counted from 1, hold a quantile between them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ranks {
    /// The lower one; none where even the least value is too high.
    pub lower: Option<usize>,
    /// The upper one; none where even the greatest value is too low.
    pub upper: Option<usize>,
    /// Probability that the quantile is within, at least what was asked for.
    pub coverage: f64,
}

/// Returns which of `n` values in order hold the quantile `q`, with equal shares of doubt on either side.
pub fn ranks(n: usize, q: f64, confidence: f64) -> Ranks {
    let doubt = 0.5 * (1.0 - confidence);
    let lower = (1..=n).rev().find(|rank| fewer(*rank, n, q) <= doubt);
    let upper = (1..=n).find(|rank| fewer(*rank, n, q) >= 1.0 - doubt);
    let below = upper.map_or(1.0, |rank| fewer(rank, n, q));
    Ranks {
        lower,
        upper,
        coverage: below - lower.map_or(0.0, |rank| fewer(rank, n, q)),
    }
}

/// Returns the probability that a quantile is between the values at two ranks, counted from 1.
pub fn coverage(n: usize, lower: usize, upper: usize, q: f64) -> f64 {
    at_most(upper.saturating_sub(1), n, q) - fewer(lower, n, q)
}

/// How far a quantile is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limits {
    /// Between two of the values.
    Between {
        /// Lower limit, in their unit.
        low: f64,
        /// Upper limit, in their unit.
        high: f64,
        /// Probability of being within.
        coverage: f64,
    },
    /// No limits exist on both sides.
    TooFew {
        /// How many values there are.
        values: usize,
        /// The least number with which limits exist; none where no number is enough.
        least: Option<usize>,
    },
}

/// Returns the limits of a quantile by order statistics, or that there are too few values.
pub fn limits(values: &[f64], q: f64, confidence: f64) -> Limits {
    let sorted = sorted(values);
    let ranks = ranks(sorted.len(), q, confidence);
    match (ranks.lower, ranks.upper) {
        (Some(lower), Some(upper)) => Limits::Between {
            low: sorted[lower - 1],
            high: sorted[upper - 1],
            coverage: ranks.coverage,
        },
        _ => Limits::TooFew {
            values: sorted.len(),
            least: least_for_limits(q, confidence),
        },
    }
}

/// Returns the least number of values with which both limits of a quantile exist; none where no number is enough.
pub fn least_for_limits(q: f64, confidence: f64) -> Option<usize> {
    let doubt = 0.5 * (1.0 - proper(confidence)?);
    least_that(|n| q.powf(n) <= doubt && (1.0 - q).powf(n) <= doubt)
}

/// Returns the least number of values whose greatest is above a quantile; none where no number is enough.
pub fn least_for_greatest(q: f64, confidence: f64) -> Option<usize> {
    let doubt = 1.0 - proper(confidence)?;
    least_that(|n| q.powf(n) <= doubt)
}

/// Returns the least number of values whose least and greatest hold a share of all between them; none where no
/// number is enough.
///
/// Source: S. S. Wilks, Determination of sample sizes for setting tolerance limits, 1941.
pub fn least_for_span(share: f64, confidence: f64) -> Option<usize> {
    let confidence = proper(confidence)?;
    least_that(|n| 1.0 - n * share.powf(n - 1.0) + (n - 1.0) * share.powf(n) >= confidence)
}
