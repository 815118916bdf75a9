//! What spots of the text that match a name nowhere within reach cost at least.
//!
//! In: how many there are. Out: a lower bound on the price of the name.
//!
//! With so many edits the text can move so far along the name and no further. A spot that matches the
//! name on none of these diagonals is swapped, extra, or cut off at an end.

use crate::find::filter::{Text, WORD};
use crate::find::plan::Bounds;
use crate::model::costs::MilliNat;

/// Least price of a number of spots that match nothing.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Unmatched {
    prices: [MilliNat; WORD + 1],
    /// The cheapest thing that can be done about one.
    pub(crate) one: MilliNat,
}

impl Unmatched {
    /// Prices for a text.
    pub(crate) fn new(text: &Text, bounds: &Bounds) -> Self {
        let mut at_end = [0; WORD + 1];
        let mut prices = [0; WORD + 1];
        for n in 1..=WORD {
            let edited = at_end[n - 1] + bounds.edit;
            at_end[n] = edited.min(bounds.added(n, text.most_added));
        }
        for n in 1..=WORD {
            let both = (0..=n).map(|k| at_end[k] + at_end[n - k]);
            prices[n] = both.min().unwrap_or(0);
        }
        // Fewer spots are never dearer: one of more may be paid for as one of fewer.
        for n in (1..WORD).rev() {
            prices[n] = prices[n].min(prices[n + 1]);
        }
        Self {
            prices,
            one: prices[1],
        }
    }
}

impl Unmatched {
    /// Least price of so many spots.
    #[inline]
    pub(crate) fn price(&self, spots: usize) -> MilliNat {
        self.prices[spots.min(WORD)]
    }
}
