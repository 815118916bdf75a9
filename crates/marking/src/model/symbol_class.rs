//! Sixteen classes of symbols, so that cheap swaps vanish from the index.
//!
//! In: the cost table. Out: [`SymbolClasses`]: the class of each symbol, and the least price of a swap
//! between classes.
//!
//! Symbols that look so much alike that a swap costs less than `across` share a class; then the classes with the fewest members are merged until
//! sixteen are left. Any merging is allowed: inside a class the index assumes that swaps cost
//! nothing, which is never more than they cost.

use crate::model::costs::{Costs, MilliNat};
use crate::symbol::{PLACEHOLDER, PLAIN, SYMBOLS, Symbol};

/// How many classes there are: one hexadecimal digit.
pub(crate) const CLASSES: usize = 16;

#[derive(Debug, Clone)]
pub(crate) struct SymbolClasses {
    class: [u8; SYMBOLS],
    /// Least price of a swap between symbols of different classes.
    pub(crate) least_swap: MilliNat,
}

impl SymbolClasses {
    /// Makes the classes for a table of prices.
    pub(crate) fn new(costs: &Costs) -> Self {
        // One group for each plain symbol and one for all others; groups are merged by pairs.
        let mut group: Vec<usize> = (0..=PLAIN).collect();
        let merge = |group: &mut Vec<usize>, a: usize, b: usize| {
            let (a, b) = (group[a].min(group[b]), group[a].max(group[b]));
            group.iter_mut().filter(|g| **g == b).for_each(|g| *g = a);
        };
        let price = |a: usize, b: usize| costs.swap[a][b].min(costs.swap[b][a]);
        for a in 0..PLAIN {
            for b in 0..a {
                if price(a, b) < costs.across {
                    merge(&mut group, a, b);
                }
            }
        }
        loop {
            let mut sizes: Vec<(usize, usize)> = (0..=PLAIN)
                .map(|g| (group.iter().filter(|x| **x == g).count(), g))
                .filter(|(n, _)| *n > 0)
                .collect();
            if sizes.len() <= CLASSES {
                break;
            }
            // The group of all other characters counts as one and is merged first among equals.
            sizes.sort_by_key(|&(n, g)| (n, std::cmp::Reverse(g)));
            merge(&mut group, sizes[0].1, sizes[1].1);
        }
        let mut names: Vec<usize> = group.clone();
        names.sort_unstable();
        names.dedup();
        let mut class = [0; SYMBOLS];
        for (s, c) in class.iter_mut().enumerate() {
            let name = names.binary_search(&group[s.min(PLAIN)]).unwrap_or(0);
            *c = u8::try_from(name).unwrap_or(0);
        }
        let mut least_swap = costs.other;
        for a in 0..PLAIN {
            for b in 0..PLAIN {
                if class[a] != class[b] {
                    least_swap = least_swap.min(costs.swap[a][b]);
                }
            }
        }
        Self { class, least_swap }
    }

    /// Returns the class of a symbol.
    pub(crate) fn class(&self, s: Symbol) -> u8 {
        debug_assert!(s != PLACEHOLDER || self.class[255] < 16);
        self.class[usize::from(s)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::symbol::symbol;

    #[test]
    fn look_alikes_share_a_class_and_others_cost_more() {
        let classes = SymbolClasses::new(&Costs::default());
        let class = |c| classes.class(symbol(c).unwrap());
        for group in [
            "0ODQ", "1IL7T", "5S", "8B3", "2Z", "6GC", "UVY", "EF", "PR", "MNH", "4A",
        ] {
            let classes: Vec<u8> = group.chars().map(class).collect();
            assert!(classes.windows(2).all(|w| w[0] == w[1]), "{group}");
        }
        assert_ne!(class('9'), class('0'));
        assert_eq!(classes.least_swap, Costs::default().across);
        assert!((0..=255).all(|s| usize::from(classes.class(s)) < CLASSES));
    }
}
