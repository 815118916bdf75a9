//! What a text may stand for besides itself: slips of the one who read, and gaps inside.
//!
//! In: a [`Query`]. Out: the texts to look for instead, each with the price of its being meant.
//! Two neighbours may have been written down in each other's place, or a character twice; among characters that cannot be
//! read there may be one `?` too many or too few; a gap inside stands for any number of `?`. A text is
//! compared with names as each of these, so that the index need not know any of it.
//! Limit: one slip in a text, and with it no further edit (`slip-farthest`).

use crate::model::align::Pair;
use crate::model::costs::{Costs, MilliNat};
use crate::model::query::{Query, Spot};

/// Most characters that gaps inside one text stand for.
const MOST_IN_GAPS: usize = 8;
/// Gaps beyond the second count as nothing missing.
const MOST_GAPS: usize = 2;
/// Stretches of `?` that may be miscounted.
const MOST_STRETCHES: usize = 4;

/// A text that may be meant.
#[derive(Debug, Clone)]
pub(crate) struct Intended {
    pub(crate) query: Query,
    /// Price of its being meant by the text that was written.
    pub(crate) price: MilliNat,
    /// Alignments dearer than this are not considered.
    pub(crate) farthest: MilliNat,
    change: Change,
    /// How a spot that was left out is told.
    removed: Pair,
}

/// What was changed of the text as written.
#[derive(Debug, Clone, Copy)]
enum Change {
    /// This spot and the next in each other's place.
    Exchanged(usize),
    /// This spot left out.
    Removed(usize),
    /// So many spots put in before a spot, for the first gap and the second.
    Added([(usize, usize); MOST_GAPS]),
}

impl Query {
    /// Whether the text is looked for as it is: it has no gap inside.
    pub(crate) fn is_whole(&self) -> bool {
        self.gaps_inside.is_empty()
    }

    /// The least price of a text that may be meant instead.
    pub(crate) fn least_slip(costs: &Costs) -> MilliNat {
        costs.exchanged.min(costs.miscounted).min(costs.doubled)
    }

    /// Returns the texts that may be meant instead, the cheapest first.
    pub(crate) fn intended(&self, costs: &Costs) -> Vec<Intended> {
        let mut out = if self.is_whole() {
            self.slips(costs)
        } else {
            self.filled(costs)
        };
        out.sort_by_key(|intended| intended.price);
        out
    }

    fn slips(&self, costs: &Costs) -> Vec<Intended> {
        let mut changes = Vec::new();
        for (k, pair) in self.spots.windows(2).enumerate() {
            if let [Spot::Read(a), Spot::Read(b)] = pair
                && a != b
            {
                changes.push((Change::Exchanged(k), costs.exchanged));
            }
            if let [Spot::Read(a), Spot::Read(b)] = pair
                && a == b
            {
                changes.push((Change::Removed(k), costs.doubled));
            }
        }
        let any = |k: usize| self.spots.get(k) == Some(&Spot::Any);
        let starts = (0..self.len()).filter(|k| any(*k) && (*k == 0 || !any(*k - 1)));
        for k in starts.take(MOST_STRETCHES) {
            changes.push((Change::Removed(k), costs.miscounted));
            changes.push((Change::Added([(k, 1), (k, 0)]), costs.miscounted));
        }
        let farthest = costs.slip_farthest.min(self.farthest(costs));
        let intend = |(change, price)| self.changed(change, price, farthest, costs);
        changes.into_iter().map(intend).collect()
    }

    fn filled(&self, costs: &Costs) -> Vec<Intended> {
        let at = |k: usize| self.gaps_inside.get(k).copied();
        let first = at(0).unwrap_or(0);
        let price = |n: usize| match MilliNat::try_from(n) {
            Ok(n) if n > 0 => n * costs.gap_each,
            _ => costs.gap_empty,
        };
        let mut out = Vec::new();
        for n in 0..=MOST_IN_GAPS {
            match at(1) {
                None => {
                    let change = Change::Added([(first, n), (first, 0)]);
                    out.push(self.changed(change, price(n), self.farthest(costs), costs));
                }
                Some(second) => out.extend((0..=MOST_IN_GAPS - n).map(|m| {
                    let change = Change::Added([(first, n), (second, m)]);
                    self.changed(change, price(n) + price(m), self.farthest(costs), costs)
                })),
            }
        }
        out
    }

    fn changed(
        &self,
        change: Change,
        price: MilliNat,
        farthest: MilliNat,
        costs: &Costs,
    ) -> Intended {
        let spots = self.spots.iter().cloned().zip(self.shown.iter().copied());
        let mut spots: Vec<(Spot, char)> = spots.collect();
        match change {
            Change::Exchanged(k) => spots.swap(k, k + 1),
            Change::Removed(k) => drop(spots.remove(k)),
            Change::Added(gaps) => {
                // From behind, so that the places before stay.
                for (place, n) in gaps.into_iter().rev() {
                    spots.splice(place..place, std::iter::repeat_n((Spot::Any, '?'), n));
                }
            }
        }
        let seen = match change {
            Change::Removed(k) => self.shown[k],
            _ => '?',
        };
        Intended {
            query: self.with_spots(spots.into_iter(), costs),
            price,
            farthest,
            change,
            removed: Pair::Extra { seen },
        }
    }
}

impl Intended {
    /// Turns the alignment of the text that is meant into that of the text as written.
    pub(crate) fn as_written(&self, pairs: Vec<Pair>) -> Vec<Pair> {
        let mut out = Vec::with_capacity(pairs.len() + 1);
        let mut spot = 0;
        for pair in pairs {
            let seen = !matches!(pair, Pair::Lost { .. } | Pair::Missing { .. });
            match self.change {
                Change::Exchanged(k) if seen && (spot == k || spot == k + 1) => {
                    let other = self.query.shown[2 * k + 1 - spot];
                    out.push(match pair {
                        Pair::Same { both: name }
                        | Pair::Swapped { name, .. }
                        | Pair::Open { name, .. } => Pair::Swapped { seen: other, name },
                        Pair::Added { .. } => Pair::Added { seen: other },
                        _ => Pair::Extra { seen: other },
                    });
                }
                Change::Removed(k) if seen && spot == k => {
                    out.extend([self.removed, pair]);
                }
                Change::Added(gaps) if seen && is_added(gaps, spot) => match pair {
                    Pair::Open { name, .. } | Pair::Swapped { name, .. } => {
                        out.push(Pair::Missing { name });
                    }
                    _ => {}
                },
                _ => out.push(pair),
            }
            spot += usize::from(seen);
        }
        if matches!(self.change, Change::Removed(k) if k == spot) {
            out.push(self.removed);
        }
        out
    }
}

/// Whether a spot is one that was put in.
fn is_added(gaps: [(usize, usize); MOST_GAPS], spot: usize) -> bool {
    let [(first, n), (second, m)] = gaps;
    (first..first + n).contains(&spot) || (second + n..second + n + m).contains(&spot)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::align::{self, Target};
    use crate::symbol::EncodedName;
    use record::marking::Seen;

    fn query(text: &str, costs: &Costs) -> Query {
        let mut query = Query::default();
        query.set(Seen::parse(text).unwrap().lines[0].glyphs.iter(), costs);
        query
    }

    /// The cheapest way to mean a name, and its alignment with the text as written.
    fn meant(text: &str, name: &str) -> (MilliNat, Vec<Pair>) {
        let costs = Costs::default();
        let spelled = EncodedName::of(name);
        let target = Target {
            symbols: &spelled.symbols,
            prefix: spelled.prefix,
            suffix: spelled.suffix,
        };
        let all = query(text, &costs).intended(&costs);
        let each = all.into_iter().map(|i| {
            let (price, pairs) = align::trace(&i.query, target, &spelled.chars, &costs);
            (price + i.price, i.as_written(pairs))
        });
        each.min_by_key(|(price, _)| *price).unwrap()
    }

    #[test]
    fn neighbours_exchanged_are_one_event() {
        let (price, pairs) = meant("ZUC7720", "ZUC7702");
        assert_eq!(price, Costs::default().exchanged);
        let swapped = |seen, name| Pair::Swapped { seen, name };
        assert_eq!(pairs[5..], [swapped('2', '0'), swapped('0', '2')]);
    }

    #[test]
    fn a_character_written_twice_is_one_slip() {
        let (price, pairs) = meant("ZUCC7702", "ZUC7702");
        assert_eq!(price, Costs::default().doubled);
        let extra = pairs.iter().filter(|p| **p == Pair::Extra { seen: 'C' });
        assert_eq!(extra.count(), 1, "{pairs:?}");
    }

    #[test]
    fn one_placeholder_too_many_or_too_few_is_a_slip() {
        let costs = Costs::default();
        let (price, pairs) = meant("ZUC7??02", "ZUC7702");
        assert_eq!(price, costs.miscounted);
        assert!(pairs.contains(&Pair::Extra { seen: '?' }), "{pairs:?}");
        let (price, pairs) = meant("ZU?02", "ZUC702");
        assert_eq!(price, costs.miscounted);
        let missing = pairs.iter().filter(|p| matches!(p, Pair::Missing { .. }));
        assert_eq!(missing.count(), 1, "{pairs:?}");
    }

    #[test]
    fn a_gap_inside_stands_for_any_number_of_characters() {
        let costs = Costs::default();
        for (text, lost) in [("ZU~02", 3), ("ZUC7~702", 0), ("Z~C~02", 3)] {
            let (price, pairs) = meant(text, "ZUC7702");
            let missing = pairs.iter().filter(|p| matches!(p, Pair::Missing { .. }));
            assert_eq!(missing.count(), lost, "{text} {pairs:?}");
            assert!(
                price <= 3 * costs.gap_each + costs.gap_empty,
                "{text} {price}"
            );
        }
    }
}
