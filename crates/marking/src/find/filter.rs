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
use crate::model::costs::{Milli, NEVER};

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
    /// Sets which spots are compared.
    pub(crate) fn ready(mut self) -> Self {
        self.compared = ONES & !self.wild & LOW[self.len.min(WORD)];
        self
    }
}

/// The name.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Name {
    pub(crate) word: u64,
    pub(crate) len: usize,
    /// So many classes of the word are the name's own, if it has as many.
    pub(crate) known: usize,
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

fn low(n: isize) -> u64 {
    LOW[n.clamp(0, WORD as isize) as usize]
}

/// One bit for each spot of the text whose class differs from that of the name `shift` further on.
#[inline]
fn differing(text: &Text, name: Name, shift: isize) -> u64 {
    // Spots over the stored part of the name are compared; those over its rest match; those
    // outside the name do not.
    let (moved, before) = if shift >= 0 {
        (name.word.checked_shr(4 * shift as u32).unwrap_or(0), 0)
    } else {
        let back = shift.unsigned_abs();
        (
            name.word.checked_shl(4 * back as u32).unwrap_or(0),
            LOW[back.min(WORD)],
        )
    };
    let x = moved ^ text.word;
    let mut any = x | x >> 1 | x >> 2 | x >> 3;
    if name.len > name.known {
        any &= low(name.known as isize - shift);
    }
    let inside = low(name.len as isize - shift) & !before;
    (any | !inside) & text.compared
}

/// A text and a name to be compared.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Check<'a> {
    pub(crate) text: &'a Text,
    pub(crate) name: Name,
    pub(crate) bounds: &'a Bounds,
}

impl Check<'_> {
    /// Least price from spot `from` to the end; beyond `room` the result may be any greater price.
    pub(crate) fn right(&self, from: usize, shift: isize, room: Milli) -> Milli {
        let after = !low(isize::try_from(from).unwrap_or(0));
        let rest = differing(self.text, self.name, shift) & after;
        let bounds = self.bounds;
        if rest == 0 {
            let missing = self.name.len as isize - self.text.len as isize - shift;
            return match usize::try_from(missing) {
                Ok(n) => bounds.tail(n, self.text.gap_after).min(bounds.edit),
                Err(_) => 0,
            };
        }
        if room < bounds.any {
            return NEVER;
        }
        let first = (rest.trailing_zeros() / 4) as usize;
        let cut = bounds.added(self.text.len - first, self.text.most_added);
        self.edits(
            cut,
            room,
            |price, place, shift, room| match place {
                Place::Here => price.saturating_add(self.right(first, shift, room)),
                Place::Beyond => price.saturating_add(self.right(first + 1, shift, room)),
            },
            shift,
        )
    }

    /// Least price from the beginning to spot `to`, which is not included.
    pub(crate) fn left(&self, to: usize, shift: isize, room: Milli) -> Milli {
        let rest = differing(self.text, self.name, shift) & low(isize::try_from(to).unwrap_or(0));
        let bounds = self.bounds;
        if rest == 0 {
            return match usize::try_from(shift) {
                Ok(n) => bounds.lead(n, self.text.gap_before).min(bounds.edit),
                Err(_) => 0,
            };
        }
        if room < bounds.any {
            return NEVER;
        }
        let last = ((63 - rest.leading_zeros()) / 4) as usize;
        let cut = bounds.added(last + 1, self.text.most_added);
        self.edits(
            cut,
            room,
            |price, place, moved, room| {
                // Leftwards a lost character moves the rest of the text back along the name.
                let shift = 2 * shift - moved;
                match place {
                    Place::Here => price.saturating_add(self.left(last + 1, shift, room)),
                    Place::Beyond => price.saturating_add(self.left(last, shift, room)),
                }
            },
            shift,
        )
    }

    /// Least price of cutting off or of one edit and what comes after it.
    fn edits(
        &self,
        cut: Milli,
        room: Milli,
        after: impl Fn(Milli, Place, isize, Milli) -> Milli,
        shift: isize,
    ) -> Milli {
        let bounds = self.bounds;
        let mut least = cut;
        for (price, place, shift) in [
            (bounds.swap, Place::Beyond, shift),
            (bounds.lost, Place::Here, shift + 1),
            (bounds.extra, Place::Beyond, shift - 1),
        ] {
            let room = room.min(least) - price;
            if room >= 0 {
                least = least.min(after(price, place, shift, room));
            }
        }
        least
    }
}

/// Where the text goes on after an edit: at the same spot or at the next.
#[derive(Debug, Clone, Copy)]
enum Place {
    Here,
    Beyond,
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
            let price = |n: usize| if n <= 3 { n as Milli * 1000 } else { NEVER };
            let cut = |found: Milli| if found <= 3000 { found } else { NEVER };
            let folded = Name { word: packed(name.iter().copied()), len: name.len(), known: WORD };
            let t = Text {
                word: packed(text.iter().copied()), len: text.len(), ..Text::default()
            }.ready();
            let expected = price(plain(&text, &name));
            let check = Check { text: &t, name: folded, bounds: &bounds };
            prop_assert_eq!(cut(check.right(0, 0, 3000)), expected);
            // From the other end: both reversed, so that their ends stand on one diagonal.
            let (mut back_text, mut back_name) = (text.clone(), name.clone());
            back_text.reverse();
            back_name.reverse();
            let shift = name.len() as isize - text.len() as isize;
            let folded = Name { word: packed(back_name.iter().copied()), len: name.len(), known: WORD };
            let t = Text { word: packed(back_text.iter().copied()), ..t };
            let check = Check { text: &t, name: folded, bounds: &bounds };
            prop_assert_eq!(cut(check.left(text.len(), shift, 3000)), expected);
        }
    }
}
