//! The least price at which a text and a name that share a run can be aligned, without aligning them.
//!
//! In: text and name as sixteen classes in one word each, and the place of the run. Out: a lower
//! bound on the price of what is to the left and to the right of the run.
//!
//! Matching classes are followed as far as they go along a diagonal, then one edit is paid (a swap,
//! a lost or an extra character) or the rest of the text is cut off: the furthest-reaching rule.
//! Source: G. M. Landau, U. Vishkin, Journal of Algorithms 10 (1989) 157.
//! Limit: beyond the known classes everything counts as matching.

use crate::find::plan::Bounds;
use crate::model::costs::{MilliNat, NEVER};

const ONES: u64 = 0x1111_1111_1111_1111;
/// Classes that one word holds.
pub(crate) const WORD: usize = 16;

/// A text or name folded into one word, the first class in the lowest four bits.
pub(crate) fn packed(classes: impl Iterator<Item = u8>) -> u64 {
    let word = classes.take(WORD).enumerate();
    word.fold(0, |w, (i, class)| w | (u64::from(class) << (4 * i)))
}

/// The text.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Text {
    pub(crate) word: u64,
    /// One bit for each spot that matches anything.
    pub(crate) wild: u64,
    /// One bit for each spot that does not, as far as the word goes.
    pub(crate) compared: u64,
    pub(crate) len: usize,
    /// At most so many characters are added at one end.
    pub(crate) most_added: usize,
    pub(crate) gap_before: bool,
    pub(crate) gap_after: bool,
}

impl Text {
    /// Returns the class of one of the first spots.
    pub(crate) fn class(&self, spot: usize) -> u8 {
        (self.word >> (4 * spot) & 15) as u8
    }

    /// Sets which spots are compared.
    pub(crate) fn ready(mut self) -> Self {
        self.compared = ONES & !self.wild & LOW[self.len.min(WORD)];
        self
    }
}

/// The lowest `n` classes of a word.
pub(crate) const LOW: [u64; WORD + 1] = {
    let mut low = [u64::MAX; WORD + 1];
    let mut n = 0;
    while n < WORD {
        low[n] = (1 << (4 * n)) - 1;
        n += 1;
    }
    low
};

/// The lowest classes of a word, none for a number below zero.
pub(crate) fn low(n: isize) -> u64 {
    LOW[n.clamp(0, WORD as isize) as usize]
}

/// With more edits than this too many diagonals are in reach to tell anything.
pub(crate) const MOST_EDITS: usize = 3;
/// Diagonals in reach of so many edits, that of the run in the middle.
pub(crate) const DIAGONALS: usize = 2 * MOST_EDITS + 1;

/// For each diagonal one bit for each spot of the text whose class differs from that of the name.
pub(crate) type Differing = [u64; DIAGONALS];

/// How the text is laid along the name, and what the ends cost there.
#[derive(Debug, Clone, Copy)]
struct Diagonal {
    right: u32,
    left: u32,
    /// Spots that are compared; of the others some lie outside the name.
    compared: u64,
    outside: u64,
    /// Least price of what is missing before and after.
    start: MilliNat,
    end: MilliNat,
}

impl Diagonal {
    const FREE: Self = Self {
        right: 0,
        left: 0,
        compared: 0,
        outside: 0,
        start: 0,
        end: 0,
    };
}

/// What names of one length that stand at one place along the text are compared with.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Check<'a> {
    text: &'a Text,
    bounds: &'a Bounds,
    diagonals: [Diagonal; DIAGONALS],
    /// Diagonals up to so far from the middle are followed.
    reach: usize,
}

impl<'a> Check<'a> {
    /// For names of `len` classes, of whose word the first `known` are theirs, `shift` places further
    /// on than the text, when `edits` can be paid.
    pub(crate) fn new(
        text: &'a Text,
        bounds: &'a Bounds,
        shift: isize,
        (len, known): (usize, usize),
        edits: usize,
    ) -> Self {
        let mut out = Self {
            text,
            bounds,
            diagonals: [Diagonal::FREE; DIAGONALS],
            reach: edits.min(MOST_EDITS),
        };
        for at in out.followed() {
            let shift = shift + at as isize - MOST_EDITS as isize;
            let places = shift.unsigned_abs().min(WORD - 1);
            let before = if shift < 0 {
                LOW[shift.unsigned_abs().min(WORD)]
            } else {
                0
            };
            let inside = low(len as isize - shift) & !before;
            let compared = if len > known {
                low(known as isize - shift)
            } else {
                !0
            };
            let missing = len as isize - text.len as isize - shift;
            out.diagonals[at] = Diagonal {
                right: if shift > 0 { 4 * places as u32 } else { 0 },
                left: if shift < 0 { 4 * places as u32 } else { 0 },
                // Names begin so far ahead only when their length is not known.
                compared: if shift < WORD as isize {
                    text.compared & inside & compared
                } else {
                    0
                },
                outside: text.compared & !inside,
                start: match usize::try_from(shift) {
                    Ok(n) => bounds.lead(n, text.gap_before).min(bounds.edit),
                    Err(_) => 0,
                },
                end: match usize::try_from(missing) {
                    Ok(n) => bounds.tail(n, text.gap_after).min(bounds.edit),
                    Err(_) => 0,
                },
            };
        }
        out
    }

    fn followed(&self) -> std::ops::RangeInclusive<usize> {
        MOST_EDITS - self.reach..=MOST_EDITS + self.reach
    }

    /// Compares a name.
    #[inline]
    pub(crate) fn differing(&self, name: u64) -> Differing {
        let mut out = [0; DIAGONALS];
        for at in self.followed() {
            let d = &self.diagonals[at];
            let x = ((name >> d.right) << d.left) ^ self.text.word;
            let x = x | x >> 2;
            out[at] = (x | x >> 1) & d.compared | d.outside;
        }
        out
    }

    /// Number of `spots` that match nothing, when those of `out` do not count on each diagonal.
    #[inline]
    pub(crate) fn unmatched(&self, differing: &Differing, spots: u64, out: &Differing) -> usize {
        let open = self
            .followed()
            .fold(spots, |open, at| open & (differing[at] | out[at]));
        // The run is none of them, so that there are fewer than sixteen.
        (open.wrapping_mul(ONES) >> 60) as usize
    }

    /// Least price of a name whose spots `from..to` match; beyond `room` any greater price.
    #[inline]
    pub(crate) fn least(
        &self,
        differing: &Differing,
        (from, to): (usize, usize),
        room: MilliNat,
    ) -> MilliNat {
        self.around(differing, (from, to, 0), room)
    }

    /// The same when the text goes on from spot `to` so many places further along the name than it
    /// did up to spot `from`; what lies between is not counted.
    #[inline]
    pub(crate) fn around(
        &self,
        differing: &Differing,
        (from, to, moved): (usize, usize, isize),
        room: MilliNat,
    ) -> MilliNat {
        let left = self.left(differing, from, MOST_EDITS, room);
        if left > room {
            return left;
        }
        let at = MOST_EDITS.wrapping_add_signed(moved);
        left.saturating_add(self.right(differing, to, at, room - left))
    }

    /// Returns those of `spots` that differ on a diagonal, or the diagonal if none does.
    #[inline]
    fn rest(&self, differing: &Differing, at: usize, spots: u64) -> Result<u64, &Diagonal> {
        // Diagonals out of reach count as matching.
        let (Some(d), Some(differs)) = (self.diagonals.get(at), differing.get(at)) else {
            return Err(&Diagonal::FREE);
        };
        match differs & spots {
            0 => Err(d),
            rest => Ok(rest),
        }
    }

    /// Least price from spot `from` to the end on a diagonal; beyond `room` any greater price.
    fn right(&self, differing: &Differing, from: usize, at: usize, room: MilliNat) -> MilliNat {
        let bounds = self.bounds;
        let rest = match self.rest(differing, at, !LOW[from.min(WORD)]) {
            Err(d) => return d.end,
            Ok(_) if room < bounds.any => return NEVER,
            Ok(rest) => rest,
        };
        let first = (rest.trailing_zeros() / 4) as usize;
        let mut least = bounds.added(self.text.len - first, self.text.most_added);
        for (price, from, at) in [
            (bounds.swap, first + 1, at),
            (bounds.lost, first, at + 1),
            (bounds.extra, first + 1, at.wrapping_sub(1)),
        ] {
            let room = room.min(least) - price;
            // What can pay for no further edit is told here, without another call.
            if room >= bounds.any {
                least = least.min(price.saturating_add(self.right(differing, from, at, room)));
            } else if room >= 0
                && let Err(d) = self.rest(differing, at, !LOW[from.min(WORD)])
            {
                least = least.min(price + d.end);
            }
        }
        least
    }

    /// Least price from the beginning to spot `to`, which is not included.
    fn left(&self, differing: &Differing, to: usize, at: usize, room: MilliNat) -> MilliNat {
        let bounds = self.bounds;
        let rest = match self.rest(differing, at, LOW[to.min(WORD)]) {
            Err(d) => return d.start,
            Ok(_) if room < bounds.any => return NEVER,
            Ok(rest) => rest,
        };
        let last = ((63 - rest.leading_zeros()) / 4) as usize;
        let mut least = bounds.added(last + 1, self.text.most_added);
        // Leftwards a lost character moves the rest of the text back along the name.
        for (price, to, at) in [
            (bounds.swap, last, at),
            (bounds.lost, last + 1, at.wrapping_sub(1)),
            (bounds.extra, last, at + 1),
        ] {
            let room = room.min(least) - price;
            if room >= bounds.any {
                least = least.min(price.saturating_add(self.left(differing, to, at, room)));
            } else if room >= 0
                && let Err(d) = self.rest(differing, at, LOW[to.min(WORD)])
            {
                least = least.min(price + d.start);
            }
        }
        least
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Edits to turn the text into the beginning of the name: rows over the text, free end.
    fn plain(text: &[u8], name: &[u8]) -> usize {
        let mut row: Vec<usize> = (0..=name.len()).collect();
        for (i, t) in text.iter().enumerate() {
            let mut now = vec![i + 1];
            for (j, n) in name.iter().enumerate() {
                let swap = row[j] + usize::from(t != n);
                now.push(swap.min(row[j + 1] + 1).min(now[j] + 1));
            }
            row = now;
        }
        row.into_iter().min().unwrap_or(0)
    }

    proptest! {
        #[test]
        fn prices_to_the_right_and_left_are_the_least(
            text in proptest::collection::vec(0..4_u8, 0..14),
            name in proptest::collection::vec(0..4_u8, 0..14),
        ) {
            // All edits cost one, what is missing at the end nothing.
            let bounds = Bounds::even(1000);
            let price = |n: usize| if n <= 3 { n as MilliNat * 1000 } else { NEVER };
            let cut = |found: MilliNat| if found <= 3000 { found } else { NEVER };
            let t = Text {
                word: packed(text.iter().copied()), len: text.len(), ..Text::default()
            }.ready();
            let expected = price(plain(&text, &name));
            let check = Check::new(&t, &bounds, 0, (name.len(), WORD), 3);
            let differing = check.differing(packed(name.iter().copied()));
            prop_assert_eq!(cut(check.right(&differing, 0, MOST_EDITS, 3000)), expected);
            // From the other end: both reversed, so that their ends stand on one diagonal.
            let (mut back_text, mut back_name) = (text.clone(), name.clone());
            back_text.reverse();
            back_name.reverse();
            let shift = name.len() as isize - text.len() as isize;
            let t = Text { word: packed(back_text.iter().copied()), ..t };
            let check = Check::new(&t, &bounds, shift, (name.len(), WORD), 3);
            let differing = check.differing(packed(back_name.iter().copied()));
            prop_assert_eq!(cut(check.left(&differing, text.len(), MOST_EDITS, 3000)), expected);
        }
    }
}
