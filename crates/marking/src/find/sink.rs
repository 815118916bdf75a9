//! What has been found so far, and how dear a name may be to matter still.
//!
//! Totals are prices of a whole hypothesis: channel, prior and clues. The limit is the least of: the
//! best total (the unknown part included) plus the cut; once a part is found, the best total plus
//! [`BEYOND_BEST`] or that part plus [`BEYOND_FIRST`], whichever is more; the tenth best part plus
//! [`BEYOND_TENTH`], up to which the unlisted share is counted; and a fixed limit.

use crate::model::costs::{MilliNat, NEVER};

/// How many candidates are listed.
pub const LISTED: usize = 10;
/// Parts up to this much dearer than the tenth are counted into the unlisted share.
const BEYOND_TENTH: MilliNat = 1500;

/// Parts this much dearer than the best of all are not listed: a thousand times less likely than it.
const BEYOND_BEST: MilliNat = 7000;
/// When "none of these" is far likelier than any part, those up to this much dearer than the best part are.
const BEYOND_FIRST: MilliNat = 3000;

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
    /// Beyond the best of all, the best part, and the tenth.
    beyond_best: MilliNat,
    beyond_first: MilliNat,
    beyond: MilliNat,
}

impl Sink {
    /// Forgets everything. `none` is the total of the unknown part.
    pub(crate) fn begin(&mut self, none: MilliNat, cut: MilliNat) {
        self.clear();
        (self.best, self.cut, self.fixed) = (none, cut, NEVER);
        (self.beyond_best, self.beyond_first) = (BEYOND_BEST, BEYOND_FIRST);
        self.beyond = BEYOND_TENTH;
    }

    /// Forgets everything, to collect the ten nearest up to a limit.
    pub(crate) fn begin_nearest(&mut self, limit: MilliNat) {
        self.clear();
        (self.best, self.cut, self.fixed) = (NEVER, NEVER, limit);
        (self.beyond_best, self.beyond_first, self.beyond) = (NEVER, NEVER, 0);
    }

    fn clear(&mut self) {
        self.hits.clear();
        self.first.clear();
    }

    /// Returns the greatest total that still matters.
    pub(crate) fn limit(&self) -> MilliNat {
        let cut = self.best.saturating_add(self.cut);
        let first = match self.first.first() {
            Some((total, _)) => {
                let best = self.best.saturating_add(self.beyond_best);
                best.max(total.saturating_add(self.beyond_first))
            }
            None => NEVER,
        };
        let tenth = match self.first.get(LISTED - 1) {
            Some((total, _)) => total.saturating_add(self.beyond),
            None => NEVER,
        };
        cut.min(first).min(tenth).min(self.fixed)
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
