//! Prices that bound others from below, made once for a table.
//!
//! In: the cost table. Out: the least price of what stands before and behind a piece of the text, of
//! characters that the name has not, and of one spot of the text by the letter of the name.

use crate::find::gram_trie::{END, LETTERS, OPEN, OTHER};
use crate::model::costs::{Costs, MilliNat, NEVER};
use crate::symbol::{LONGEST, PLACEHOLDER, PLAIN, SYMBOLS};

/// Steps of a mask of letters, thousandths of a nat, and how many there are.
const STEP: MilliNat = 500;
const STEPS: usize = 20;

/// What a spot of the text costs by the letter of the name.
#[derive(Debug, Clone)]
pub(crate) struct SpotPrices {
    pub(crate) by_letter: [MilliNat; LETTERS],
    /// Letters that cost no more than each step; all at the last.
    within: [u64; STEPS],
}

impl SpotPrices {
    /// Takes the prices of a spot by the symbol of the name.
    pub(crate) fn new(prices: &[MilliNat; SYMBOLS]) -> Self {
        let mut by_letter = [NEVER; LETTERS];
        by_letter[..PLAIN].copy_from_slice(&prices[..PLAIN]);
        let others = &prices[PLAIN..usize::from(PLACEHOLDER)];
        by_letter[OTHER] = others.iter().copied().min().unwrap_or(NEVER);
        by_letter[OPEN] = prices[usize::from(PLACEHOLDER)];
        let mut within = [(1 << END) - 1; STEPS];
        for (limit, mask) in (1..).map(|k| k * STEP).zip(&mut within[..STEPS - 1]) {
            let cheap = (0..END).filter(|c| by_letter[*c] <= limit);
            *mask = cheap.fold(0, |mask, c| mask | 1 << c);
        }
        Self { by_letter, within }
    }

    /// Returns the letters that cost no more than `room`, as bits, and perhaps some others.
    #[inline]
    pub(crate) fn letters_within(&self, room: MilliNat) -> u64 {
        match usize::try_from(room / STEP) {
            Ok(step) if room >= 0 => self.within[step.min(STEPS - 1)],
            _ => 0,
        }
    }
}

/// Prices by how much further on something stands in the name than in the text, counted from [`LONGEST`].
pub(crate) type ByShift = [MilliNat; 2 * LONGEST + 1];

/// Prices that bound others from below.
#[derive(Debug, Clone)]
pub(crate) struct Bounds {
    pub(crate) lost: MilliNat,
    pub(crate) extra: MilliNat,
    /// Least price of a character that moves the rest of the text along the name.
    pub(crate) moved: MilliNat,
    /// Least price of one more of several characters that the name has not.
    pub(crate) outside: MilliNat,
    /// Least price of what stands before a place of the text, without and with a gap.
    before: [ByShift; 2],
    /// The same behind.
    behind: [ByShift; 2],
    /// Least price of so many characters more than the name has, at one end.
    more: Vec<MilliNat>,
    /// Spots that show a plain symbol, and one of which nothing was read.
    pub(crate) plain: Vec<SpotPrices>,
    pub(crate) any: SpotPrices,
}

impl Bounds {
    /// Makes the bounds.
    pub(crate) fn new(costs: &Costs) -> Self {
        let times = |n: usize, price: MilliNat| {
            MilliNat::try_from(n).map_or(NEVER, |n| n.saturating_mul(price))
        };
        let missing = |dropped: MilliNat, most: usize, gap: bool| -> Vec<MilliNat> {
            let mut prices: Vec<MilliNat> = (0..=LONGEST)
                .map(|n| match n {
                    n if (1..=most).contains(&n) && !gap => costs.lead(n, 0, gap).min(dropped),
                    n => costs.lead(n, 0, gap),
                })
                .collect();
            // Some of them may be lost one by one.
            for n in 1..prices.len() {
                prices[n] = prices[n].min(prices[n - 1].saturating_add(costs.lost));
            }
            // More may be missing where something is extra.
            for n in (0..LONGEST).rev() {
                prices[n] = prices[n].min(prices[n + 1]);
            }
            prices
        };
        let mut more: Vec<MilliNat> = vec![0];
        for n in 1..=LONGEST {
            more.push(costs.added(n).min(times(n, costs.extra)));
        }
        for n in 1..=LONGEST {
            more[n] = more[n].min(more[n - 1].saturating_add(costs.extra));
        }
        let beside = |dropped, most| {
            [false, true].map(|gap| {
                let missing = missing(dropped, most, gap);
                std::array::from_fn(|at| match at.checked_sub(LONGEST) {
                    Some(n) => missing[n],
                    None => more[LONGEST - at].saturating_add(missing[0]),
                })
            })
        };
        Self {
            before: beside(costs.prefix_dropped, 4),
            behind: beside(costs.suffix_dropped, 6),
            lost: costs.lost,
            extra: costs.extra,
            moved: costs.lost.min(costs.extra).max(1),
            outside: costs.added_each.min(costs.extra),
            more,
            plain: costs.swap[..PLAIN].iter().map(SpotPrices::new).collect(),
            any: SpotPrices::new(&[0; SYMBOLS]),
        }
    }

    /// Least price of what stands before a spot of the text, by its place in the name.
    pub(crate) fn before(&self, spot: usize, gap: bool) -> &[MilliNat] {
        &self.before[usize::from(gap)][LONGEST - spot.min(LONGEST)..]
    }

    /// Least price of what stands behind, by how many characters more the name has than the text has spots,
    /// counted from [`LONGEST`].
    pub(crate) fn behind(&self, gap: bool) -> &ByShift {
        &self.behind[usize::from(gap)]
    }

    /// Least price of so many characters that the name has not, at either end.
    pub(crate) fn more(&self, n: usize) -> MilliNat {
        self.more[n.min(LONGEST)]
    }
}
