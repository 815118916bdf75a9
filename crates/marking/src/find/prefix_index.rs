//! Which names begin with a run of classes.
//!
//! In: folded names in the order of their classes. Out: the range of names for a run of up to five.
//! Such names lie together, so that looking at one fetches the others.

use crate::find::filter::LOW;
use crate::find::qgram_index::LONGEST_RUN;
use std::ops::Range;

/// Where the names with each beginning start.
#[derive(Debug, Clone)]
pub(crate) struct PrefixIndex {
    /// By the five first classes, the first in the uppermost four bits; one more for the end.
    starts: Vec<u32>,
}

impl PrefixIndex {
    /// Indexes the first classes of names, as words that `alike_together` has sorted.
    pub(crate) fn new(words: &[u64]) -> Self {
        let mut starts = vec![0_u32; (1 << (4 * LONGEST_RUN)) + 1];
        debug_assert!(Self::fits(words));
        words.iter().for_each(|word| starts[key(*word) + 1] += 1);
        for k in 1..starts.len() {
            starts[k] += starts[k - 1];
        }
        Self { starts }
    }

    /// Whether words lie in the order of their classes.
    pub(crate) fn fits(words: &[u64]) -> bool {
        words.is_sorted_by_key(|word| key(*word))
    }

    /// Returns the names that begin with `q` classes, packed with the first in the lowest four bits;
    /// missing classes of shorter names count as zero.
    pub(crate) fn of(&self, run: u64, q: usize) -> Range<usize> {
        let from = key(run & LOW[q]);
        let to = from + (1 << (4 * (LONGEST_RUN - q.min(LONGEST_RUN))));
        self.starts[from] as usize..self.starts[to] as usize
    }

    /// Bytes held.
    pub(crate) fn bytes(&self) -> usize {
        self.starts.len() * 4
    }
}

/// The five first classes, the first in the uppermost four bits.
fn key(word: u64) -> usize {
    (0..LONGEST_RUN).fold(0, |key, i| key << 4 | (word >> (4 * i)) as usize & 15)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::find::filter::packed;

    #[test]
    fn names_are_found_by_their_beginning() {
        let names: [&[u8]; 5] = [
            &[0, 1],
            &[1, 2],
            &[1, 2, 3, 4, 5],
            &[1, 2, 3, 4, 5, 6],
            &[9],
        ];
        let word = |classes: &[u8]| packed(classes.iter().copied());
        let prefixes = PrefixIndex::new(&names.map(word));
        assert_eq!(prefixes.of(word(&[1, 2]), 2), 1..4);
        assert_eq!(prefixes.of(word(&[1, 2, 3, 4, 5]), 5), 2..4);
        assert_eq!(prefixes.of(word(&[9]), 1), 4..5);
        assert!(prefixes.of(word(&[2]), 1).is_empty());
    }
}
