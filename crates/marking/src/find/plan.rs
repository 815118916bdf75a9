//! Which runs of the text to look up, and what every name costs at least that has none of them.
//!
//! In: the folded text and the prices. Out: windows, and lower bounds on the price.
//!
//! The windows do not overlap. An alignment that damages a window swaps a symbol for one of another
//! class in it, loses or adds a character in it, or cuts the text before or behind it. So a name
//! without any window of the text costs at least [`Layout::damage_all`]; and a name in which window
//! `i` is the first undamaged one, `shift` places further on, at least [`Layout::first_intact`].

use crate::find::filter::{Text, WORD};
use crate::find::qgram_index::{FAR, LONGEST_RUN, SHORTEST};
use crate::model::costs::{Costs, MilliNat, NEVER};
use crate::symbol::LONGEST;

/// Shifts by more edits than this are bounded together.
const MOST_EDITS: usize = 4;

/// Most windows.
pub(crate) const MOST_WINDOWS: usize = WORD / SHORTEST;

/// Prices that bound others from below, made once for a table.
#[derive(Debug, Clone)]
pub(crate) struct Bounds {
    /// Least price of one edit inside the text.
    pub(crate) edit: MilliNat,
    pub(crate) swap: MilliNat,
    pub(crate) lost: MilliNat,
    pub(crate) extra: MilliNat,
    /// Least price of anything that can be done about a spot that does not match.
    pub(crate) any: MilliNat,
    /// Least price of a given number of characters missing at the start, without and with a gap.
    lead: [Vec<MilliNat>; 2],
    /// The same at the end.
    tail: [Vec<MilliNat>; 2],
    /// Least price of at least so many missing at the end, without and with a gap.
    tail_beyond: [Vec<MilliNat>; 2],
    /// Price of characters added at one end.
    added: Vec<MilliNat>,
    /// Least price of so many characters more than the name has, anywhere.
    more: Vec<MilliNat>,
}

impl Bounds {
    /// Makes the bounds; `swap` is the least price of a swap that the index notices.
    pub(crate) fn new(costs: &Costs, swap: MilliNat) -> Self {
        let edit = swap.min(costs.lost).min(costs.extra);
        let missing = |dropped: MilliNat, most: usize, gap: bool| -> Vec<MilliNat> {
            let price = |n: usize| {
                let lost = MilliNat::try_from(n).map_or(NEVER, |n| n.saturating_mul(costs.lost));
                let rubbed = costs.lead(n, 0, gap);
                match n {
                    _ if gap => rubbed,
                    0 => 0,
                    n if n <= most => rubbed.min(dropped).min(lost),
                    _ => rubbed.min(lost),
                }
            };
            (0..=LONGEST).map(price).collect()
        };
        let both = |dropped, most| [missing(dropped, most, false), missing(dropped, most, true)];
        let added: Vec<MilliNat> = (0..=LONGEST).map(|n| costs.added(n)).collect();
        let mut more: Vec<MilliNat> = vec![0];
        for n in 1..=LONGEST {
            more.push(added[n].min(more[n - 1].saturating_add(costs.extra)));
        }
        Self {
            edit,
            swap,
            lost: costs.lost,
            extra: costs.extra,
            any: edit.min(added[1]),
            lead: both(costs.prefix_dropped, 4),
            tail_beyond: both(costs.suffix_dropped, 6).map(|mut prices| {
                for n in (0..LONGEST).rev() {
                    prices[n] = prices[n].min(prices[n + 1]);
                }
                prices
            }),
            tail: both(costs.suffix_dropped, 6),
            added,
            more,
        }
    }

    /// Least price of symbols missing at the start.
    pub(crate) fn lead(&self, n: usize, gap: bool) -> MilliNat {
        self.lead[usize::from(gap)][n.min(LONGEST)]
    }

    /// Least price of symbols missing at the end.
    pub(crate) fn tail(&self, n: usize, gap: bool) -> MilliNat {
        self.tail[usize::from(gap)][n.min(LONGEST)]
    }

    /// Least price of so many characters more than the name has.
    pub(crate) fn more(&self, n: usize) -> MilliNat {
        self.more[n.min(LONGEST)]
    }

    /// Price of characters added at one end, of which there are at most `most`.
    pub(crate) fn added(&self, n: usize, most: usize) -> MilliNat {
        if n > most {
            NEVER
        } else {
            self.added[n.min(LONGEST)]
        }
    }

    /// Shortest and longest name within `limit`, when `bound` is the least price with a window of a
    /// text `shift` places further on, of which `spent` is for what stands before the window.
    pub(crate) fn lengths(
        &self,
        text: &Text,
        shift: isize,
        bound: MilliNat,
        spent: MilliNat,
        limit: MilliNat,
    ) -> (usize, usize) {
        let room = limit.saturating_sub(bound);
        let left = limit.saturating_sub(spent).max(0);
        let beyond = &self.tail_beyond[usize::from(text.gap_after)];
        let missing = beyond
            .partition_point(|price| *price <= room)
            .saturating_sub(1);
        let lost = usize::try_from(left / self.lost.max(1)).unwrap_or(0);
        let more = self.more.partition_point(|price| *price <= left);
        let more = more.saturating_sub(1);
        let end = text.len as isize + shift;
        let low = end - more as isize;
        let high = end + (missing + lost) as isize;
        (low.max(0) as usize, high.max(0) as usize)
    }

    /// Every edit costs the same, ends missing cost nothing, nothing is added.
    #[cfg(test)]
    pub(crate) fn even(edit: MilliNat) -> Self {
        let costs = Costs::default();
        let free = || [vec![0; LONGEST + 1], vec![0; LONGEST + 1]];
        Self {
            edit,
            swap: edit,
            lost: edit,
            extra: edit,
            any: edit.min(costs.added(1)),
            lead: free(),
            tail: free(),
            ..Self::new(&costs, edit)
        }
    }
}

/// Windows of a text: beginning and length.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Layout {
    windows: [(usize, usize); MOST_WINDOWS],
    count: usize,
}

impl Layout {
    /// Lays up to `wanted` windows over the spots that were read, as long as they can be.
    pub(crate) fn new(text: &Text, wanted: usize) -> Self {
        let len = text.len.min(WORD);
        let readable = |i: usize| text.wild >> (4 * i) & 1 == 0;
        let mut runs = [(0, 0); WORD];
        let mut count = 0;
        let mut i = 0;
        while i < len {
            let from = i;
            while i < len && readable(i) {
                i += 1;
            }
            if i > from {
                runs[count] = (from, i - from);
                count += 1;
            }
            i = i.max(from + 1);
        }
        let runs = &runs[..count];
        let room = |q: usize| runs.iter().map(|(_, n)| n / q).sum::<usize>();
        let longest = (SHORTEST..=LONGEST_RUN).rev().find(|q| room(*q) >= wanted);
        let q = longest.unwrap_or(SHORTEST);
        let mut layout = Self::default();
        let mut left = wanted.min(room(q)).min(MOST_WINDOWS);
        for &(from, n) in runs {
            let here = (n / q).min(left);
            left -= here;
            for k in 0..here {
                let (a, b) = (k * n / here, (k + 1) * n / here);
                layout.windows[layout.count] = (from + a, (b - a).min(LONGEST_RUN));
                layout.count += 1;
            }
        }
        layout
    }

    /// Returns the windows.
    pub(crate) fn windows(&self) -> &[(usize, usize)] {
        &self.windows[..self.count]
    }

    /// Least price of damaging every window.
    pub(crate) fn damage_all(&self, text: &Text, bounds: &Bounds) -> MilliNat {
        let mut least = NEVER;
        for before in 0..=self.count {
            for after in 0..=self.count - before {
                let cut_before = self.cut_before(before, text.most_added, bounds);
                let cut_after = match after {
                    0 => 0,
                    n => {
                        let (from, q) = self.windows[self.count - n];
                        bounds.added(text.len + 1 - from - q, text.most_added)
                    }
                };
                let inside = self.edits(self.count - before - after, bounds);
                least = least.min(cut_before.saturating_add(cut_after).saturating_add(inside));
            }
        }
        least
    }

    fn edits(&self, n: usize, bounds: &Bounds) -> MilliNat {
        MilliNat::try_from(n).map_or(NEVER, |n| n.saturating_mul(bounds.edit))
    }

    /// Price of adding so many characters before the name that the first `n` windows are damaged.
    fn cut_before(&self, n: usize, most: usize, bounds: &Bounds) -> MilliNat {
        match n {
            0 => 0,
            n => bounds.added(self.windows[n - 1].0 + 1, most),
        }
    }

    /// Least price of damaging the first `n` windows.
    pub(crate) fn damage_first(&self, n: usize, bounds: &Bounds) -> MilliNat {
        let cuts = (0..=n).map(|k| {
            self.cut_before(k, LONGEST, bounds)
                .saturating_add(self.edits(n - k, bounds))
        });
        cuts.min().unwrap_or(0)
    }

    /// Least price when `window` is the first undamaged one and stands at `place` in the name, for
    /// each place (the last for all beyond), given that damage alone costs at least `damage`.
    pub(crate) fn first_intact(
        &self,
        window: usize,
        damage: MilliNat,
        gap: bool,
        bounds: &Bounds,
    ) -> [MilliNat; FAR + 1] {
        let times =
            |n: usize| MilliNat::try_from(n).map_or(NEVER, |n| n.saturating_mul(bounds.lost));
        let from = self.windows[window].0;
        // Price of edits that move the rest of the text by `r` places, `r` characters lost or extra.
        let later: [MilliNat; MOST_EDITS + 1] = std::array::from_fn(|r| {
            let rest = self.damage_first(window.saturating_sub(r), bounds);
            times(r).saturating_add(rest).max(damage)
        });
        let earlier: [MilliNat; MOST_EDITS + 1] = std::array::from_fn(|r| {
            bounds.more[r]
                .max(self.damage_first(window, bounds))
                .max(damage)
        });
        let beyond = times(MOST_EDITS + 1).min(bounds.more[MOST_EDITS + 1]);
        let at = |place: usize| {
            let mut least = if from == 0 { NEVER } else { beyond };
            // Nothing stands before a window at the beginning that could be edited.
            for r in 0..=if from == 0 { 0 } else { MOST_EDITS } {
                if let Some(missing) = place.checked_sub(from + r) {
                    least = least.min(later[r].saturating_add(bounds.lead(missing, gap)));
                }
                if let Some(missing) = (place + r).checked_sub(from) {
                    least = least.min(earlier[r].saturating_add(bounds.lead(missing, gap)));
                }
            }
            least
        };
        // Prices do not fall with the place, but for the step from nothing missing to a noted gap.
        std::array::from_fn(|place| match place {
            FAR => at(FAR).min(at(FAR + 1)),
            place => at(place),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::symbol_class::SymbolClasses;

    fn text(len: usize, wild: &[usize]) -> Text {
        let wild = wild.iter().map(|i| 1 << (4 * i)).sum();
        Text {
            wild,
            len,
            most_added: len / 2,
            ..Text::default()
        }
    }

    #[test]
    fn windows_fill_what_was_read() {
        let windows = |len, wild: &[usize], n| Layout::new(&text(len, wild), n).windows().to_vec();
        assert_eq!(windows(10, &[], 2), [(0, 5), (5, 5)]);
        assert_eq!(windows(10, &[], 3), [(0, 3), (3, 3), (6, 4)]);
        assert_eq!(windows(10, &[4], 2), [(0, 4), (5, 5)]);
        assert_eq!(windows(3, &[], 2), [(0, 1), (1, 2)]);
        assert_eq!(windows(3, &[1], 3), [(0, 1), (2, 1)]);
        assert_eq!(windows(60, &[], 2), [(0, 5), (8, 5)]);
    }

    #[test]
    fn bounds_follow_the_prices() {
        let costs = Costs::default();
        let bounds = Bounds::new(&costs, SymbolClasses::new(&costs).least_swap);
        let layout = Layout::new(&text(10, &[]), 2);
        let edit = costs.across;
        assert_eq!(bounds.edit, edit);
        assert_eq!(layout.damage_all(&text(10, &[]), &bounds), 2 * edit);
        let rubbed = |n| costs.lead(n, 0, false);
        let first = layout.first_intact(0, 0, false, &bounds);
        assert_eq!((first[0], first[1]), (0, costs.prefix_dropped));
        assert_eq!(first[5], rubbed(5));
        let second = layout.first_intact(1, 0, false, &bounds);
        assert_eq!((second[5], second[6]), (edit, costs.lost));
        assert_eq!(second[4], costs.extra.min(costs.added(1)));
        let later = layout.first_intact(0, 17_000, false, &bounds);
        assert_eq!(
            (later[0], later[1]),
            (17_000, 17_000 + costs.prefix_dropped)
        );
    }
}
