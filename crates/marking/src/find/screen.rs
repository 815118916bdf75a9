//! A first look at names that share a run with the text: how many spots match nowhere within reach.
//!
//! In: the text, the place of the run, the number of edits that can be paid. Out: a lower bound on
//! the price of a name, in some ten instructions a diagonal and without a branch.
//!
//! With so many edits the rest of the text can move so far along the name and no further. A spot
//! that matches the name on none of these diagonals is swapped, extra, or cut off at an end.

use crate::find::filter::{LOW, Text, WORD};
use crate::find::plan::Bounds;
use crate::model::costs::Milli;

/// With more edits than this too many diagonals are in reach to tell anything.
pub(crate) const MOST_EDITS: usize = 3;
/// Diagonals in reach of so many edits.
pub(crate) const DIAGONALS: usize = 2 * MOST_EDITS + 1;

/// Least price of a number of spots that match nothing.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Unmatched {
    prices: [Milli; WORD + 1],
    /// The cheapest thing that can be done about one.
    pub(crate) one: Milli,
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

#[derive(Debug, Clone, Copy, Default)]
struct Diagonal {
    right: u32,
    left: u32,
    /// Spots that are compared; the others count as matching.
    compared: u64,
    /// Spots for which it is out of reach.
    out: u64,
}

/// What names with one run at one place are compared with.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Screen {
    text: u64,
    spots: u64,
    diagonals: [Diagonal; DIAGONALS],
    count: usize,
}

impl Screen {
    /// For a run of `q` spots from `from`, `shift` places further on in the name, of which the first
    /// `known` classes are known, when so many edits can be paid;
    /// `right` tells which diagonals can be used to the right of the run.
    pub(crate) fn new(
        text: &Text,
        (from, q): (usize, usize),
        shift: isize,
        known: usize,
        (edits, right): (usize, &[bool; DIAGONALS]),
    ) -> Self {
        let mut out = Self {
            text: text.word,
            spots: 0,
            diagonals: [Diagonal::default(); DIAGONALS],
            count: 0,
        };
        if edits > MOST_EDITS {
            return out;
        }
        out.spots = text.compared & !(LOW[(from + q).min(WORD)] & !LOW[from.min(WORD)]);
        let reach = edits as isize;
        let before = LOW[from.min(WORD)];
        // The diagonal of the run first; a spot that is not in the name differs.
        for moved in std::iter::once(0).chain((1..=reach).flat_map(|r| [r, -r])) {
            let shift = shift + moved;
            let places = shift.unsigned_abs();
            if places >= WORD {
                if shift > 0 {
                    out.spots = 0;
                }
                continue;
            }
            let bits = 4 * places as u32;
            let compared = LOW[(known as isize - shift).clamp(0, WORD as isize) as usize];
            out.diagonals[out.count] = Diagonal {
                right: if shift > 0 { bits } else { 0 },
                left: if shift < 0 { bits } else { 0 },
                compared,
                // `moved` is at most `MOST_EDITS` either way.
                out: match right[(moved + MOST_EDITS as isize) as usize] {
                    true => 0,
                    false => !before,
                },
            };
            out.count += 1;
        }
        out
    }

    /// Number of spots of the text that match nothing in a name.
    #[inline]
    pub(crate) fn unmatched(&self, name: u64) -> usize {
        let mut open = self.spots;
        for d in &self.diagonals[..self.count] {
            let x = ((name >> d.right) << d.left) ^ self.text;
            let x = x | x >> 2;
            open &= (x | x >> 1) & d.compared | d.out;
        }
        // The run is none of them, so that there are fewer than sixteen.
        (open.wrapping_mul(0x1111_1111_1111_1111) >> 60) as usize
    }
}

impl Unmatched {
    /// Least price of so many spots.
    #[inline]
    pub(crate) fn price(&self, spots: usize) -> Milli {
        self.prices[spots.min(WORD)]
    }
}
