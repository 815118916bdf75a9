//! How equal cells are joined.
//!
//! In: a cell item with its count, series and parallel. Out: cells in a row, side by side, and how many
//! such groups there are. The figures of a pack are those of the pack; of any other form, those of one cell.
//! Not here: volts, amperes, charge.

use crate::Case;
use record::Item;

/// The cells of one item as they are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Joined {
    /// Figures of one cell in a row: their voltages add.
    pub(crate) series: u32,
    /// Figures of one cell side by side: their charges add.
    pub(crate) parallel: u32,
    /// Such groups, each with its own use.
    pub(crate) groups: u32,
    /// Whether there is one figure only, or series or parallel is stated.
    pub(crate) known: bool,
}

impl Joined {
    /// Returns how many cells of a group are in a row and side by side.
    fn within(item: &Item) -> (u32, u32, bool) {
        let Some(facts) = item.cell.as_ref().filter(|c| c.form != "pack") else {
            return (1, 1, true);
        };
        let own = item.count.at_least();
        let rest = |n: u32| (own / n.max(1)).max(1);
        match (facts.series, facts.parallel) {
            (None, None) => (1, 1, own == 1),
            (Some(s), None) => (s.max(1), rest(s), true),
            (None, Some(p)) => (rest(p), p.max(1), true),
            (Some(s), Some(p)) => (s.max(1), p.max(1), true),
        }
    }

    /// Returns the cells in a row of one group.
    pub(crate) fn in_series(item: &Item) -> u32 {
        Self::within(item).0
    }

    /// Returns how the cells of an item are joined.
    pub(crate) fn of(case: &Case<'_>, item: &Item) -> Self {
        let (series, parallel, known) = Self::within(item);
        let pieces = case.tree().pieces(item).max(1);
        Self {
            series,
            parallel,
            groups: (pieces / series.saturating_mul(parallel)).max(1),
            known,
        }
    }
}
