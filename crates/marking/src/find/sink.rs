//! What has been found so far, and how dear a name may be to matter still.
//!
//! Totals are prices of a whole hypothesis: channel, prior and clues. The limit is the least of: the
//! best total (the unknown part included) plus the cut; the tenth best part plus [`BEYOND_TENTH`],
//! up to which the unlisted share is counted; and a fixed limit.

use crate::model::costs::{MilliNat, NEVER};

/// How many candidates are listed.
pub const LISTED: usize = 10;
/// Parts up to this much dearer than the tenth are counted into the unlisted share.
pub(crate) const BEYOND_TENTH: MilliNat = 1500;

/// An entry of the catalogue under one hypothesis on the lines.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Hit {
    pub(crate) total: MilliNat,
    pub(crate) part: u32,
    pub(crate) entry: u32,
    pub(crate) hypothesis: u16,
    /// Price of the alignment alone.
    pub(crate) channel: MilliNat,
}

/// Collects hits.
#[derive(Debug, Clone, Default)]
pub(crate) struct Sink {
    hits: Vec<Hit>,
    /// Total and part of the ten best parts, ascending.
    first: Vec<(MilliNat, u32)>,
    best: MilliNat,
    cut: MilliNat,
    fixed: MilliNat,
    beyond: MilliNat,
}

impl Sink {
    /// Forgets everything. `none` is the total of the unknown part.
    pub(crate) fn begin(
        &mut self,
        none: MilliNat,
        cut: MilliNat,
        fixed: MilliNat,
        beyond: MilliNat,
    ) {
        self.hits.clear();
        self.first.clear();
        (self.best, self.cut, self.fixed, self.beyond) = (none, cut, fixed, beyond);
    }

    /// Returns the greatest total that still matters.
    pub(crate) fn limit(&self) -> MilliNat {
        let cut = self.best.saturating_add(self.cut);
        let tenth = match self.first.get(LISTED - 1) {
            Some((total, _)) => total.saturating_add(self.beyond),
            None => NEVER,
        };
        cut.min(tenth).min(self.fixed)
    }

    /// Takes a hit.
    pub(crate) fn add(&mut self, hit: Hit) {
        if hit.total > self.limit() {
            return;
        }
        self.hits.push(hit);
        self.best = self.best.min(hit.total);
        if let Some(known) = self.first.iter().position(|(_, part)| *part == hit.part) {
            if self.first[known].0 <= hit.total {
                return;
            }
            self.first.remove(known);
        }
        let at = self
            .first
            .partition_point(|known| *known < (hit.total, hit.part));
        if at < LISTED {
            self.first.truncate(LISTED - 1);
            self.first.insert(at, (hit.total, hit.part));
        }
    }

    /// Returns the best hit of each part within the limit, best first, ties by part.
    pub(crate) fn finish(&mut self) -> &[Hit] {
        let limit = self.limit();
        self.hits.retain(|hit| hit.total <= limit);
        self.hits.sort_unstable_by_key(|hit| (hit.part, *hit));
        self.hits.dedup_by_key(|hit| hit.part);
        self.hits.sort_unstable();
        &self.hits
    }
}
