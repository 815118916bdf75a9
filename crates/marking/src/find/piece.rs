//! Pieces of a text, and the names that hold one of them with little damage.
//!
//! In: some spots of the text, what may be paid for them, the trie. Out: places in names where the
//! piece stands at that price or less.
//!
//! The trie is walked with a row of prices: cell i is the least price at which the first i spots of the
//! piece are accounted for by the letters up to the node. A node whose cells are all too dear is left;
//! of the others only those letters are followed that a cell can pay for. Beyond the depth of the
//! trie the cheapest cell counts.
//! Source: the search of a trie by rows of the edit distance, H. Shang, T. H. Merrett, IEEE Transactions
//! on Knowledge and Data Engineering 8 (1996) 540.

use crate::find::bounds::{Bounds, SpotPrices};
use crate::find::gram_trie::{DEPTH, END, GramTrie, Node};
use crate::model::costs::MilliNat;

/// Most spots of a piece.
pub(crate) const LONGEST_PIECE: usize = 8;

/// Prices of accounting for so many spots of a piece, from one on. Sixteen bits each, so that a row is one
/// word of the processor.
pub(crate) type Cells = [i16; LONGEST_PIECE];

/// More than this is not paid for a piece.
pub(crate) const MOST: MilliNat = 32_000;

/// A price as a cell has it; what is dearer than any budget stays so.
pub(crate) fn cell(price: MilliNat) -> i16 {
    i16::try_from(price).unwrap_or(i16::MAX)
}

/// What is looked for in the trie.
pub(crate) struct Piece<'a> {
    pub(crate) spots: &'a [&'a SpotPrices],
    /// What is paid before the first spot, and what may be paid in all.
    pub(crate) spent: MilliNat,
    pub(crate) budget: i16,
    /// For the last piece: price of all behind so many spots of it being none of the name.
    pub(crate) added_after: Option<Cells>,
}

/// A piece ready for walking.
struct Walk<'a> {
    trie: &'a GramTrie,
    piece: &'a Piece<'a>,
    /// For each letter the prices of the spots.
    prices: [Cells; END],
    lost: i16,
    extra: i16,
}

/// Postings of one node, where the piece may stand.
pub(crate) struct Standing<'a> {
    pub(crate) node: Node,
    /// Letters of the name that are accounted for.
    pub(crate) letters: usize,
    /// Price of the piece up to so many spots.
    pub(crate) cells: &'a [i16],
    /// Spots that the first of these cells accounts for.
    pub(crate) from: usize,
    /// The name ends here, and the price is that of everything up to the end of the text.
    pub(crate) ended: bool,
}

impl Piece<'_> {
    /// Finds where the piece stands.
    pub(crate) fn find(
        &self,
        trie: &GramTrie,
        bounds: &Bounds,
        take: &mut impl FnMut(Standing<'_>),
    ) {
        let mut walk = Walk {
            trie,
            piece: self,
            prices: [[i16::MAX; LONGEST_PIECE]; END],
            lost: cell(bounds.lost),
            extra: cell(bounds.extra),
        };
        for (i, spot) in self.spots.iter().enumerate() {
            for (row, price) in walk.prices.iter_mut().zip(&spot.by_letter) {
                row[i] = cell(*price);
            }
        }
        let mut cells = [i16::MAX; LONGEST_PIECE];
        for (i, price) in (1..).zip(&mut cells[..self.spots.len()]) {
            *price = cell(self.spent + bounds.extra * i);
        }
        walk.on(Node::default(), cell(self.spent), &cells, take);
    }
}

impl Walk<'_> {
    /// Letters that can be paid for from a node, as bits.
    fn letters(&self, none: i16, cells: &Cells) -> u64 {
        let Piece { spots, budget, .. } = *self.piece;
        let mut letters = 0;
        let before = std::iter::once(none).chain(cells.iter().copied());
        for (i, (spot, spent)) in spots.iter().zip(before).enumerate() {
            let room = budget.saturating_sub(spent);
            if room >= 0 {
                if i > 0 && room >= self.lost {
                    return (1 << END) - 1;
                }
                letters |= spot.letters_within(MilliNat::from(room));
            }
        }
        letters
    }

    /// Returns the row one letter further; `none` accounts for no spot.
    #[inline(always)]
    fn next(&self, none: i16, cells: &Cells, letter: usize) -> Cells {
        let prices = &self.prices[letter];
        let mut out = [0; LONGEST_PIECE];
        out[0] = none.saturating_add(prices[0]);
        for i in 1..LONGEST_PIECE {
            out[i] = cells[i - 1].saturating_add(prices[i]);
        }
        for i in 0..LONGEST_PIECE {
            out[i] = out[i].min(cells[i].saturating_add(self.lost));
        }
        // What is extra behind a spot is so once, twice and four times at most: eight spots at most.
        for step in [1, 2, 4] {
            let one = self.extra.saturating_mul(step);
            let by = step.unsigned_abs().into();
            let last: Cells = out;
            for i in by..LONGEST_PIECE {
                out[i] = out[i].min(last[i - by].saturating_add(one));
            }
        }
        out
    }

    fn on(&self, node: Node, none: i16, cells: &Cells, take: &mut impl FnMut(Standing<'_>)) {
        let (len, budget) = (self.piece.spots.len(), self.piece.budget);
        let onward = self.trie.onward(node);
        let mut letters = self.letters(none, cells) & onward;
        while letters != 0 {
            let letter = letters.trailing_zeros() as usize;
            letters &= letters - 1;
            let next = self.next(none, cells, letter);
            let least = next.iter().fold(i16::MAX, |least, cell| least.min(*cell));
            let child = node.child(letter);
            if least > budget {
                continue;
            }
            let (cells, from) = match child.depth {
                DEPTH => (&next[..len], 1),
                _ => (&next[len - 1..len], len),
            };
            if child.depth == DEPTH || cells[0] <= budget {
                take(Standing {
                    node: child,
                    letters: child.depth,
                    cells,
                    from,
                    ended: false,
                });
            }
            if child.depth < DEPTH {
                // What accounts for all of the piece goes no further.
                let mut open = next;
                open[len - 1..].fill(i16::MAX);
                if open.iter().any(|cell| *cell <= budget) {
                    self.on(child, i16::MAX, &open, take);
                }
            }
        }
        let ends = onward >> END & 1 == 1 && node.depth > 0;
        let Some(added) = self.piece.added_after.as_ref().filter(|_| ends) else {
            return;
        };
        let ended = cells
            .iter()
            .zip(added)
            .map(|(cell, added)| cell.saturating_add(*added));
        let ended = ended.min().unwrap_or(i16::MAX);
        let end = node.child(END);
        if ended <= budget {
            take(Standing {
                node: end,
                letters: node.depth,
                cells: &[ended],
                from: len,
                ended: true,
            });
        }
    }
}
