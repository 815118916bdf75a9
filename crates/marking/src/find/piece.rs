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
use crate::model::costs::{MilliNat, NEVER};

/// Most spots of a piece.
pub(crate) const LONGEST_PIECE: usize = 8;

/// Prices of accounting for so many spots of a piece.
pub(crate) type Cells = [MilliNat; LONGEST_PIECE + 1];

/// What is looked for in the trie.
pub(crate) struct Piece<'a> {
    pub(crate) spots: &'a [&'a SpotPrices],
    /// What is paid before the first spot, and what may be paid in all.
    pub(crate) spent: MilliNat,
    pub(crate) budget: MilliNat,
    /// For the last piece: price of so many spots of it and all behind it, being none of the name, by the
    /// spots of the piece that are left.
    pub(crate) added_after: Option<Cells>,
}

/// Postings of one node, where the piece may stand.
pub(crate) struct Standing<'a> {
    pub(crate) postings: &'a [u32],
    /// Letters of the name that are accounted for.
    pub(crate) letters: usize,
    /// Price of the piece up to so many spots.
    pub(crate) cells: &'a [MilliNat],
    /// The first spot of these cells.
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
        let mut cells = [NEVER; LONGEST_PIECE + 1];
        for (i, cell) in cells.iter_mut().enumerate().take(self.spots.len() + 1) {
            *cell = self.spent + bounds.extra * i as MilliNat;
        }
        self.walk(trie, bounds, Node::default(), &cells, take);
    }

    fn walk(
        &self,
        trie: &GramTrie,
        bounds: &Bounds,
        node: Node,
        cells: &Cells,
        take: &mut impl FnMut(Standing<'_>),
    ) {
        let len = self.spots.len();
        let mut letters = 0;
        for (i, spot) in self.spots.iter().enumerate() {
            let room = self.budget - cells[i];
            if room >= 0 {
                letters |= spot.letters_within(room);
                if i > 0 && room >= bounds.lost {
                    letters = (1 << END) - 1;
                }
            }
        }
        while letters != 0 {
            let letter = letters.trailing_zeros() as usize;
            letters &= letters - 1;
            let child = node.child(letter);
            let postings = trie.at(child);
            if postings.is_empty() {
                continue;
            }
            let mut next = [NEVER; LONGEST_PIECE + 1];
            let mut least = NEVER;
            for i in 1..=len {
                let swapped = cells[i - 1] + self.spots[i - 1].by_letter[letter];
                let extra = next[i - 1] + bounds.extra;
                let mut cell = swapped.min(extra);
                if i < len {
                    cell = cell.min(cells[i] + bounds.lost);
                    least = least.min(cell);
                }
                next[i] = cell;
            }
            if child.depth == DEPTH {
                if least.min(next[len]) <= self.budget {
                    take(Standing {
                        postings,
                        letters: DEPTH,
                        cells: &next[1..=len],
                        from: 1,
                        ended: false,
                    });
                }
                continue;
            }
            if next[len] <= self.budget {
                take(Standing {
                    postings,
                    letters: child.depth,
                    cells: &next[len..=len],
                    from: len,
                    ended: false,
                });
            }
            if least <= self.budget {
                self.walk(trie, bounds, child, &next, take);
            }
        }
        let Some(added) = &self.added_after else {
            return;
        };
        if node.depth > 0 {
            let ended = (1..len).map(|i| cells[i].saturating_add(added[len - i]));
            let ended = ended.min().unwrap_or(NEVER);
            if ended <= self.budget {
                let postings = trie.at(node.child(END));
                if !postings.is_empty() {
                    take(Standing {
                        postings,
                        letters: node.depth,
                        cells: &[ended],
                        from: len,
                        ended: true,
                    });
                }
            }
        }
    }
}
