//! What it says that something was not seen before, and how much is still unseen.
//!
//! In: how many products came before, how often the position was identified, how large the market is; how often each
//! kind was seen. Out: the greatest share that can have it, chances of having missed it, kinds still unseen.
//! Not here: which position it is, and the words: "not seen in n earlier products, m of them identified".
//! Source: upper limits as in B. D. Jovanovic and P. S. Levy, A look at the rule of three, 1997; unseen kinds as in
//! A. Chao, 1984, and A. Chao and L. Jost, 2012.

use crate::numeric::{least_that, proper};

/// Earlier products in which something was not seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unseen {
    /// How many there are.
    pub products: usize,
    /// In how many of them the position was identified, and was something else.
    pub identified: usize,
    /// How many products the market holds, these among them; none where nobody says.
    pub market: Option<usize>,
}

/// What earlier products can say of something they did not show.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bound {
    /// The greatest share of all products that can have it.
    pub share: f64,
    /// The same as a number of products of the market, where its size is known.
    pub products: Option<usize>,
}

impl Unseen {
    /// Returns how many can have it all the same. Products in which the position was not identified say nothing.
    pub fn bound(self, confidence: f64) -> Bound {
        let identified = self.identified.min(self.products);
        match self.market {
            Some(market) => {
                let most = most_of_market(market.max(self.products), identified, confidence);
                Bound {
                    share: most as f64 / market.max(self.products).max(1) as f64,
                    products: Some(most),
                }
            }
            None => Bound {
                share: greatest_share(identified, 1.0, confidence),
                products: None,
            },
        }
    }
}

/// Returns the greatest share of all products that can have what none of `n` showed, one-sided, when it is identified
/// with a probability where it is.
pub fn greatest_share(n: usize, identified: f64, confidence: f64) -> f64 {
    if n == 0 || identified <= 0.0 {
        return 1.0;
    }
    let doubt = 1.0 - confidence.clamp(0.0, 1.0);
    ((1.0 - doubt.powf(1.0 / n as f64)) / identified).min(1.0)
}

/// Returns the most products of a finite market that can have what none of `n` of them has, one-sided.
pub fn most_of_market(market: usize, n: usize, confidence: f64) -> usize {
    let n = n.min(market);
    // The probability that all n drawn are among those without it.
    let missed = |having: usize| -> f64 {
        let without = |i: usize| (market - having - i) as f64 / (market - i) as f64;
        (0..n).map(without).product()
    };
    let (mut most, mut too_many) = (0, (market - n).saturating_add(1));
    while too_many - most > 1 {
        let middle = most + (too_many - most) / 2;
        if missed(middle) >= 1.0 - confidence {
            most = middle;
        } else {
            too_many = middle;
        }
    }
    most
}

/// Returns the probability of not seeing in `n` products what a share of all have and what is identified with a
/// probability where it is.
pub fn chance_unseen(n: usize, share: f64, identified: f64) -> f64 {
    not_shown(share, identified).powf(n as f64)
}

/// Returns the least number of products among which something is seen that a share of all have; none where no number
/// is enough.
pub fn least_products(share: f64, identified: f64, confidence: f64) -> Option<usize> {
    let doubt = 1.0 - proper(confidence)?;
    least_that(|n| not_shown(share, identified).powf(n) <= doubt)
}

/// The probability that one product does not show it.
fn not_shown(share: f64, identified: f64) -> f64 {
    1.0 - (share * identified).clamp(0.0, 1.0)
}

/// Returns the probability that it was in so many earlier products and was identified in none.
pub fn chance_missed(products: usize, identified: f64) -> f64 {
    not_shown(1.0, identified).powf(products as f64)
}

/// How often kinds were seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Kinds {
    /// Sightings of all.
    pub sightings: usize,
    /// Kinds seen.
    pub seen: usize,
    /// Kinds seen once.
    pub once: usize,
    /// Kinds seen twice.
    pub twice: usize,
}

impl Kinds {
    /// Counts kinds; those never seen are passed over.
    pub fn count(sightings: &[usize]) -> Self {
        let times = |times: usize| sightings.iter().filter(|c| **c == times).count();
        Self {
            sightings: sightings.iter().sum(),
            seen: sightings.len() - times(0),
            once: times(1),
            twice: times(2),
        }
    }

    /// Returns how many kinds there are at least, seen or not: bias-corrected Chao 1.
    pub fn at_least(self) -> f64 {
        let once = self.once as f64;
        self.seen as f64 + once * (once - 1.0).max(0.0) / (2.0 * (self.twice as f64 + 1.0))
    }

    /// Returns the same as first published, which is too high for few sightings; bias-corrected where no kind was
    /// seen twice.
    pub fn at_least_classic(self) -> f64 {
        if self.twice == 0 {
            return self.at_least();
        }
        self.seen as f64 + (self.once as f64).powi(2) / (2.0 * self.twice as f64)
    }

    /// Returns the probability that the next sighting is of a new kind (Good and Turing); none without sightings.
    pub fn next_is_new(self) -> Option<f64> {
        (self.sightings > 0).then(|| self.once as f64 / self.sightings as f64)
    }

    /// Returns the share of all sightings to come whose kind was seen (Chao and Jost); none without sightings.
    pub fn coverage(self) -> Option<f64> {
        let rest = self.sightings.saturating_sub(1) as f64 * self.once as f64;
        let twice = 2.0 * self.twice as f64;
        let finer = if rest + twice > 0.0 {
            rest / (rest + twice)
        } else {
            0.0
        };
        Some(1.0 - self.next_is_new()? * finer)
    }
}
