//! Whether a name can be within so many edits of the text, without aligning them.
//!
//! In: text and name as sixteen classes in one word, and a run they share. Out: the least number of
//! edits (swap between classes, lost or extra character, characters added at an end of the text) on
//! either side of the run, up to a budget.
//!
//! Matching classes are followed as far as they go along a diagonal, then one edit is spent: the
//! furthest-reaching rule. Source: G. M. Landau, U. Vishkin, Journal of Algorithms 10 (1989) 157.
//! Ends of the name that reach beyond the text cost no edit here; the caller prices them.
//! Limit: names longer than sixteen count as matching beyond.

use crate::symbol::LONGEST;

const ONES: u64 = 0x1111_1111_1111_1111;
/// Edits that are told apart; with this many, anything passes.
pub(crate) const MOST_EDITS: usize = 4;
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
    pub(crate) len: usize,
    /// So many characters added at an end cost less than one more edit than the index says.
    pub(crate) ends: [usize; MOST_EDITS + 1],
}

/// The name.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Name {
    pub(crate) word: u64,
    pub(crate) len: usize,
}

fn low(n: isize) -> u64 {
    match usize::try_from(n) {
        Err(_) => 0,
        Ok(n) if n >= WORD => u64::MAX,
        Ok(n) => (1 << (4 * n)) - 1,
    }
}

/// One bit for each spot of the text whose class differs from that of the name `shift` further on.
fn differing(text: &Text, name: Name, shift: isize) -> u64 {
    let (moved, from) = if shift >= 0 {
        (
            name.word
                .checked_shr(4 * shift.unsigned_abs() as u32)
                .unwrap_or(0),
            0,
        )
    } else {
        let back = shift.unsigned_abs();
        (name.word.checked_shl(4 * back as u32).unwrap_or(0), back)
    };
    let held = isize::try_from(name.len.min(WORD)).unwrap_or(0);
    let end = isize::try_from(name.len).unwrap_or(0);
    // Spots over the stored part of the name are compared; those over its rest match; those
    // outside the name do not.
    let from = isize::try_from(from).unwrap_or(0);
    let stored = low(held - shift) & !low(from);
    let inside = low(end - shift) & !low(from);
    let x = moved ^ text.word;
    let any = (x | x >> 1 | x >> 2 | x >> 3) & ONES;
    let length = isize::try_from(text.len.min(WORD)).unwrap_or(0);
    ((any & stored) | (ONES & !inside)) & !text.wild & low(length)
}

/// Least number of edits from spot `from` to the end of the text, if at most `budget`.
pub(crate) fn right(
    text: &Text,
    name: Name,
    from: usize,
    shift: isize,
    budget: usize,
) -> Option<usize> {
    (0..=budget).find(|edits| right_within(text, name, from, shift, *edits))
}

fn right_within(text: &Text, name: Name, from: usize, shift: isize, edits: usize) -> bool {
    let after = !low(isize::try_from(from).unwrap_or(0));
    let rest = differing(text, name, shift) & after;
    if rest == 0 {
        return true;
    }
    if edits == 0 {
        return false;
    }
    let first = (rest.trailing_zeros() / 4) as usize;
    text.len - first <= text.ends[edits.min(MOST_EDITS)]
        || right_within(text, name, first + 1, shift, edits - 1)
        || right_within(text, name, first, shift + 1, edits - 1)
        || right_within(text, name, first + 1, shift - 1, edits - 1)
}

/// Least number of edits from the beginning of the text to spot `to`, which is not included.
pub(crate) fn left(
    text: &Text,
    name: Name,
    to: usize,
    shift: isize,
    budget: usize,
) -> Option<usize> {
    (0..=budget).find(|edits| left_within(text, name, to, shift, *edits))
}

fn left_within(text: &Text, name: Name, to: usize, shift: isize, edits: usize) -> bool {
    let rest = differing(text, name, shift) & low(isize::try_from(to).unwrap_or(0));
    if rest == 0 {
        return true;
    }
    if edits == 0 {
        return false;
    }
    let last = ((63 - rest.leading_zeros()) / 4) as usize;
    last < text.ends[edits.min(MOST_EDITS)]
        || left_within(text, name, last, shift, edits - 1)
        || left_within(text, name, last + 1, shift - 1, edits - 1)
        || left_within(text, name, last, shift + 1, edits - 1)
}

const _: () = assert!(LONGEST < 1 << 16, "shifts fit a signed word");

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
        fn edits_to_the_right_and_left_are_the_fewest(
            text in proptest::collection::vec(0..4_u8, 0..14),
            name in proptest::collection::vec(0..4_u8, 0..14),
        ) {
            let folded = Name { word: packed(name.iter().copied()), len: name.len() };
            let t = Text {
                word: packed(text.iter().copied()), wild: 0, len: text.len(), ends: [0; 5],
            };
            let expected = plain(&text, &name);
            let found = right(&t, folded, 0, 0, 3);
            prop_assert_eq!(found, (expected <= 3).then_some(expected));
            // From the other end: both reversed, so that their ends stand on one diagonal.
            let (mut back_text, mut back_name) = (text.clone(), name.clone());
            back_text.reverse();
            back_name.reverse();
            let shift = name.len() as isize - text.len() as isize;
            let folded = Name { word: packed(back_name.iter().copied()), len: name.len() };
            let t = Text { word: packed(back_text.iter().copied()), ..t };
            let found = left(&t, folded, text.len(), shift, 3);
            prop_assert_eq!(found, (expected <= 3).then_some(expected));
        }
    }
}
