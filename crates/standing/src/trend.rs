//! Whether a figure rises or falls with time, from few points.
//!
//! In: dates and values. Out: the median slope with limits, and the probability of so much order by chance; nothing
//! under five points. Not here: classes. Products of one class only: mixed ones can show the opposite trend.
//! Source: H. Theil, 1950; P. K. Sen, 1968; H. B. Mann, 1945; M. G. Kendall, Rank Correlation Methods.

use crate::numeric::{median, normal_above, normal_limit, proper};

/// Points below which no order can be told from chance at 5 %: the surest of four has 8.3 %.
pub const LEAST: usize = 5;

/// Points up to which the probability is counted out, where no two are equal.
const COUNTED: usize = 10;

/// Points above which no line is drawn: the slopes of all pairs would be tens of millions.
pub const MOST: usize = 4000;

/// A trend.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trend {
    /// The slope with its limits, in the unit of the values by that of the dates.
    pub line: Line,
    /// How much order there is.
    pub order: Order,
    /// Probability of so much order or more, either way, by chance.
    pub probability: f64,
}

/// The median line through points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// The median of the slopes of all pairs.
    pub slope: f64,
    /// Its lower limit.
    pub low: f64,
    /// Its upper limit.
    pub high: f64,
    /// Value at date 0: the median of what the slope leaves of each value.
    pub intercept: f64,
    /// Value at date 0 by another convention: the median value less the slope times the median date.
    pub intercept_of_medians: f64,
}

/// Mann and Kendall's count.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Order {
    /// Rising pairs less falling ones.
    pub score: i64,
    /// Its variance by chance, equals counted.
    pub variance: f64,
    /// The score in standard deviations, one step nearer to 0.
    pub z: f64,
}

/// Returns the trend of values over dates; none under five points, or where all dates are one.
pub fn trend(dates: &[f64], values: &[f64], confidence: f64) -> Option<Trend> {
    if dates.len() < LEAST {
        return None;
    }
    let order = order(dates, values)?;
    Some(Trend {
        line: line(dates, values, confidence)?,
        order,
        probability: probability(dates, values, order),
    })
}

/// Returns the median line through points; none where all dates are one, or there is no [`order`].
pub fn line(dates: &[f64], values: &[f64], confidence: f64) -> Option<Line> {
    let order = order(dates, values)?;
    let doubt = 0.5 * (1.0 - proper(confidence)?);
    let mut slopes: Vec<f64> = pairs(dates.len())
        .filter(|(i, j)| dates[*i] != dates[*j])
        .map(|(i, j)| (values[j] - values[i]) / (dates[j] - dates[i]))
        .collect();
    slopes.sort_by(f64::total_cmp);
    let slope = median(&slopes)?;
    let reach = normal_limit(doubt) * order.variance.sqrt();
    let count = slopes.len() as f64;
    let upper = (0.5 * (count + reach)).round_ties_even().min(count - 1.0);
    let lower = ((0.5 * (count - reach)).round_ties_even() - 1.0).max(0.0);
    let left: Vec<f64> = dates
        .iter()
        .zip(values)
        .map(|(x, y)| y - slope * x)
        .collect();
    Some(Line {
        slope,
        low: slopes[lower as usize],
        high: slopes[upper as usize],
        intercept: median(&left)?,
        intercept_of_medians: median(values)? - slope * median(dates)?,
    })
}

/// Returns how much order values have over dates; none under two points or above [`MOST`], where lengths
/// differ or one is no number.
pub fn order(dates: &[f64], values: &[f64]) -> Option<Order> {
    let n = dates.len() as f64;
    let finite = dates.iter().chain(values).all(|x| x.is_finite());
    if !(2..=MOST).contains(&dates.len()) || dates.len() != values.len() || !finite {
        return None;
    }
    let score: i64 = pairs(dates.len())
        .map(|(i, j)| rises(dates[i], dates[j]) * rises(values[i], values[j]))
        .sum();
    let (x, y) = (equals(dates), equals(values));
    let sum = |groups: &[f64], f: fn(f64) -> f64| groups.iter().map(|t| f(*t)).sum::<f64>();
    let pairs = |groups: &[f64]| sum(groups, |t| t * (t - 1.0));
    let spread = |groups: &[f64]| sum(groups, |t| t * (t - 1.0) * (2.0 * t + 5.0));
    let triples = |groups: &[f64]| sum(groups, |t| t * (t - 1.0) * (t - 2.0));
    let mut variance = (spread(&[n]) - spread(&x) - spread(&y)) / 18.0
        + pairs(&x) * pairs(&y) / (2.0 * pairs(&[n]));
    if n > 2.0 {
        variance += triples(&x) * triples(&y) / (9.0 * triples(&[n]));
    }
    let z = if score == 0 {
        0.0
    } else {
        (score - score.signum()) as f64 / variance.sqrt()
    };
    Some(Order { score, variance, z })
}

/// Returns the probability of a score or a greater one among `n` points in any order, none equal. The work grows with the
/// fourth power of their number.
pub fn chance_of_score(n: usize, score: i64) -> f64 {
    let most = (n * n.saturating_sub(1) / 2) as i64;
    let reached = shares_of_inversions(n)
        .into_iter()
        .zip(0..)
        .filter(|(_, inversions)| most - 2 * inversions >= score);
    reached.map(|(share, _)| share).sum()
}

/// Counted out where that is right, by the normal distribution otherwise.
fn probability(dates: &[f64], values: &[f64], order: Order) -> f64 {
    let equal = !equals(dates).is_empty() || !equals(values).is_empty();
    if equal || dates.len() > COUNTED {
        2.0 * normal_above(order.z.abs())
    } else {
        (2.0 * chance_of_score(dates.len(), order.score.abs())).min(1.0)
    }
}

/// The share of all orders of `n` that have 0, 1, 2 … pairs the wrong way round: putting the k-th in adds 0 to k − 1.
fn shares_of_inversions(n: usize) -> Vec<f64> {
    let mut shares = vec![1.0];
    for k in 2..=n {
        let mut next = vec![0.0; shares.len() + k - 1];
        for (i, share) in shares.iter().enumerate() {
            for place in &mut next[i..i + k] {
                *place += share / k as f64;
            }
        }
        shares = next;
    }
    shares
}

fn pairs(n: usize) -> impl Iterator<Item = (usize, usize)> {
    (0..n).flat_map(move |i| (i + 1..n).map(move |j| (i, j)))
}

fn rises(from: f64, to: f64) -> i64 {
    i64::from(to > from) - i64::from(to < from)
}

/// How many there are of each value that is there more than once.
fn equals(values: &[f64]) -> Vec<f64> {
    let sorted = crate::numeric::sorted(values);
    let groups = sorted.chunk_by(|a, b| a == b);
    groups
        .filter(|g| g.len() > 1)
        .map(|g| g.len() as f64)
        .collect()
}
