//! Shares of products, with limits.
//!
//! In: how many of how many, by which method, how sure. Out: limits of the share between 0 and 1.
//! Not here: who supplies what (`supply`). Products are the units, never parts: one product may hold forty of a kind.
//! Source: E. B. Wilson, 1927; C. J. Clopper and E. S. Pearson, 1934; R. G. Newcombe, 1998; L. D. Brown, T. T. Cai and
//! A. DasGupta, 2001; L. A. Goodman, 1965.

use crate::numeric::{at_most, beta_quantile, fewer, normal_limit, proper, root};
use statrs::function::beta::beta_reg;

/// Limits of a share. Wald and Agresti–Coull may leave 0 to 1, which tells against them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Lower.
    pub low: f64,
    /// Upper.
    pub high: f64,
}

/// How limits of a share are found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Method {
    /// Score limits: the ones to print.
    Wilson,
    /// Score limits with correction for continuity.
    WilsonCorrected,
    /// Clopper and Pearson's: never too narrow, mostly too wide.
    Exact,
    /// Jeffreys's prior, equal tails.
    Jeffreys,
    /// Jeffreys's prior, highest density.
    JeffreysDensest,
    /// Half of what was seen counts on either side.
    MidP,
    /// Two of each added.
    AgrestiCoull,
    /// Normal approximation, which covers far less than it says in small numbers.
    Wald,
}

/// Returns Wilson's limits of a share of `x` in `n`; none of no products, or of more than there are.
pub fn wilson(x: usize, n: usize, confidence: f64) -> Option<Limits> {
    limits(Method::Wilson, x, n, confidence)
}

/// Returns the limits of a share of `x` in `n` by a method; none of no products, of more than there are, or of a
/// confidence that is not between 0 and 1.
pub fn limits(method: Method, x: usize, n: usize, confidence: f64) -> Option<Limits> {
    if n == 0 || x > n {
        return None;
    }
    let doubt = 0.5 * (1.0 - proper(confidence)?);
    let z = normal_limit(doubt);
    let (count, all) = (x as f64, n as f64);
    Some(match method {
        Method::Wilson => score(count, all, z),
        Method::WilsonCorrected => corrected(count, all, z),
        Method::Exact => Limits {
            low: if x == 0 {
                0.0
            } else {
                beta_quantile(count, all - count + 1.0, doubt)
            },
            high: if x == n {
                1.0
            } else {
                beta_quantile(count + 1.0, all - count, 1.0 - doubt)
            },
        },
        Method::Jeffreys => {
            let quantile = |share| beta_quantile(count + 0.5, all - count + 0.5, share);
            Limits {
                low: if x == 0 { 0.0 } else { quantile(doubt) },
                high: if x == n { 1.0 } else { quantile(1.0 - doubt) },
            }
        }
        Method::JeffreysDensest => densest(count + 0.5, all - count + 0.5, confidence),
        Method::MidP => mid_p(x, n, doubt),
        Method::AgrestiCoull => {
            let all = all + z * z;
            wald((count + 0.5 * z * z) / all, all, z)
        }
        Method::Wald => wald(count / all, all, z),
    })
}

/// Wilson's limits for counts that need not be whole, as an effective number is not.
fn score(x: f64, n: f64, z: f64) -> Limits {
    let share = x / n;
    let middle = share + z * z / (2.0 * n);
    let reach = z * (share * (1.0 - share) / n + z * z / (4.0 * n * n)).sqrt();
    let scale = 1.0 + z * z / n;
    // Exactly 0 and 1 at the ends, where rounding would leave the share outside its own limits.
    Limits {
        low: if x <= 0.0 {
            0.0
        } else {
            (middle - reach) / scale
        },
        high: if x >= n {
            1.0
        } else {
            (middle + reach) / scale
        },
    }
}

fn corrected(x: f64, n: f64, z: f64) -> Limits {
    let share = x / n;
    let scale = 2.0 * (n + z * z);
    let reach = |sign: f64| {
        z * (z * z - sign * 2.0 - 1.0 / n + 4.0 * share * (n * (1.0 - share) + sign)).sqrt()
    };
    Limits {
        low: if x == 0.0 {
            0.0
        } else {
            (2.0 * x + z * z - 1.0 - reach(1.0)) / scale
        },
        high: if x == n {
            1.0
        } else {
            (2.0 * x + z * z + 1.0 + reach(-1.0)) / scale
        },
    }
}

fn wald(share: f64, n: f64, z: f64) -> Limits {
    let reach = z * (share * (1.0 - share) / n).sqrt();
    Limits {
        low: share - reach,
        high: share + reach,
    }
}

/// The shortest stretch of a beta distribution that holds a probability: its density is the same at both ends.
fn densest(a: f64, b: f64, confidence: f64) -> Limits {
    if a < 1.0 {
        return Limits {
            low: 0.0,
            high: beta_quantile(a, b, confidence),
        };
    }
    if b < 1.0 {
        return Limits {
            low: beta_quantile(a, b, 1.0 - confidence),
            high: 1.0,
        };
    }
    let end = |low: f64| beta_quantile(a, b, (beta_reg(a, b, low) + confidence).min(1.0));
    let density = |x: f64| (a - 1.0) * x.ln() + (b - 1.0) * (1.0 - x).ln();
    let low = root(0.0, beta_quantile(a, b, 1.0 - confidence), |low| {
        let rise = density(low) - density(end(low));
        if rise.is_nan() { 1.0 } else { rise }
    });
    Limits {
        low,
        high: end(low),
    }
}

fn mid_p(x: usize, n: usize, doubt: f64) -> Limits {
    // The upper tail from x and the lower tail to x, with half of the probability of x itself.
    let upper = |p: f64| 1.0 - 0.5 * (at_most(x, n, p) + fewer(x, n, p));
    Limits {
        low: if x == 0 {
            0.0
        } else {
            root(0.0, 1.0, |p| upper(p) - doubt)
        },
        high: if x == n {
            1.0
        } else {
            root(0.0, 1.0, |p| upper(p) - (1.0 - doubt))
        },
    }
}

/// A share of which some identities are not known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Partly {
    /// Of those identified, with Wilson's limits; none where none is.
    pub of_identified: Option<(f64, Limits)>,
    /// Of all, were no unknown one of the kind, and were every one; none of no products.
    pub range: Option<(f64, f64)>,
    /// Wilson's limits from the lower one of the first to the upper one of the second.
    pub limits: Option<Limits>,
}

/// Returns the share of `x` in `identified` products, with `unknown` further ones of which nobody knows.
pub fn partly(x: usize, identified: usize, unknown: usize, confidence: f64) -> Partly {
    let all = identified + unknown;
    let of_all = |count: usize| count as f64 / all as f64;
    let least = wilson(x, all, confidence);
    let most = wilson(x + unknown, all, confidence);
    Partly {
        of_identified: wilson(x, identified, confidence)
            .map(|limits| (x as f64 / identified as f64, limits)),
        range: (least.is_some() && most.is_some()).then(|| (of_all(x), of_all(x + unknown))),
        limits: least.zip(most).map(|(least, most)| Limits {
            low: least.low,
            high: most.high,
        }),
    }
}

/// Returns limits of all shares of a table at once (Goodman): all hold together with the confidence.
pub fn together(counts: &[usize], confidence: f64) -> Vec<Limits> {
    let all: usize = counts.iter().sum();
    if all == 0 || proper(confidence).is_none() {
        return Vec::new();
    }
    // Each share by the score, the doubt divided by how many there are.
    let z = normal_limit(0.5 * (1.0 - confidence) / counts.len() as f64);
    let limits = counts.iter().map(|x| score(*x as f64, all as f64, z));
    limits.collect()
}

/// Returns how many independent products clusters of one size count as, when those within correlate.
pub fn effective(products: f64, cluster: f64, correlation: f64) -> f64 {
    products / (1.0 + (cluster - 1.0) * correlation)
}

/// Returns Wilson's limits of a share of products that count as fewer; none of none.
pub fn wilson_effective(share: f64, effective: f64, confidence: f64) -> Option<Limits> {
    let z = normal_limit(0.5 * (1.0 - proper(confidence)?));
    (effective > 0.0).then(|| score(share * effective, effective, z))
}

/// Returns how often the limits by a method hold a true share of `n` products.
pub fn true_coverage(method: Method, n: usize, share: f64, confidence: f64) -> f64 {
    let held = (0..=n).filter(|x| {
        limits(method, *x, n, confidence)
            .is_some_and(|l| l.low - 1e-12 <= share && share <= l.high + 1e-12)
    });
    held.map(|x| at_most(x, n, share) - fewer(x, n, share))
        .sum()
}
