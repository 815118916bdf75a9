//! The cheapest way to see a name as a text.
//!
//! In: a [`Query`] and a spelled name. Out: the price of the cheapest alignment, and on request the
//! alignment itself.
//!
//! D(i, j) is the least price at which the first i spots and the first j symbols of the name are
//! accounted for:
//! D(i, j) = min{ D(i−1, j−1) + swap, D(i−1, j) + extra, D(i, j−1) + lost }, with
//! D(0, j) = min{ lead(j), j·lost } and D(i, 0) = min{ added(i) + lead(0), lead(0) + i·extra };
//! the result is min over j of D(L, j) + tail(n−j), and over i < L of D(i, n) + added(L−i) + tail(0).
//! added(k) counts for at most half of the text, `Query::most_added`.
//! Only cells that can still lead to a price within the limit are visited.
//! Source: S. B. Needleman, C. D. Wunsch, Journal of Molecular Biology 48 (1970) 443, with free-form
//! ends; cut-off after E. Ukkonen, Information and Control 64 (1985) 100.

use crate::find::bounds::ByShift;
use crate::model::costs::{Costs, MilliNat, NEVER};
use crate::model::query::{Query, Spot};
use crate::symbol::{LONGEST, PLACEHOLDER, Symbol};

/// A name as the alignment takes it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Target<'a> {
    pub(crate) symbols: &'a [Symbol],
    pub(crate) prefix: u8,
    pub(crate) suffix: u8,
}

/// What happened to one character.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pair {
    /// Read as it is.
    Same {
        /// The character.
        both: char,
    },
    /// Read as another one, or as one of several.
    Swapped {
        /// What was seen, `?` where nothing was read.
        seen: char,
        /// What the name has there.
        name: char,
    },
    /// Unreadable, one of several, or a placeholder of the name: consistent.
    Open {
        /// What was seen.
        seen: char,
        /// What the name has there.
        name: char,
    },
    /// In the name but not seen, between others.
    Lost {
        /// What the name has there.
        name: char,
    },
    /// Seen but not in the name, between others.
    Extra {
        /// What was seen.
        seen: char,
    },
    /// At an end of the name and not seen: rubbed away or left out by the maker.
    Missing {
        /// What the name has there.
        name: char,
    },
    /// Seen before or after the name.
    Added {
        /// What was seen.
        seen: char,
    },
}

const WIDE: usize = LONGEST + 1;

/// Space for one alignment, used again and again.
#[derive(Debug, Clone)]
pub(crate) struct Rows {
    before: [MilliNat; WIDE],
    now: [MilliNat; WIDE],
}

impl Default for Rows {
    fn default() -> Self {
        Self {
            before: [NEVER; WIDE],
            now: [NEVER; WIDE],
        }
    }
}

/// Returns the price of the cheapest alignment if it is at most `limit`. `behind` is the least price of
/// the rest, by how many more symbols than spots are left, counted from [`LONGEST`].
pub(crate) fn price(
    query: &Query,
    target: Target<'_>,
    costs: &Costs,
    limit: MilliNat,
    behind: &ByShift,
    rows: &mut Rows,
) -> Option<MilliNat> {
    let name = target.symbols;
    let (len, n) = (query.len(), name.len());
    let ahead = |k| query.added_ahead(k, costs);
    let after = |k| query.added_after(k, costs);
    let Rows { before, now } = rows;
    let (mut before, mut now) = (before, now);
    let mut high = 0;
    // What the rest costs by the symbol that comes next, when so many spots are left.
    let rest = |spots: usize| &behind[LONGEST - spots..];
    let all = rest(len);
    for (j, cell) in before.iter_mut().enumerate().take(n + 1) {
        *cell = lead(costs, query, target, j);
        if *cell + if j == 0 { 0 } else { all[n - j] } <= limit {
            high = j;
        }
    }
    // Cells `low..=high` of the row before hold prices; those around them count as never.
    let mut low = 0;
    let mut best = NEVER;
    if high == n && len > 0 {
        best = before[n].saturating_add(after(len));
    }
    for i in 1..=len {
        let prices = query.prices(i - 1, costs);
        let after_spot = rest(len - i);
        let first = if i == 1 || low == 0 { 0 } else { low };
        let mut left = NEVER;
        let mut diagonal = if first > 0 && first > low {
            before[first - 1]
        } else {
            NEVER
        };
        let (mut new_low, mut new_high) = (usize::MAX, 0);
        let mut j = first;
        while j <= n {
            let up = if j <= high { before[j] } else { NEVER };
            let mut cell = (left + costs.lost).min(up + costs.extra).min(NEVER);
            if j == 0 {
                cell = cell.min(ahead(i));
            } else {
                cell = cell.min(diagonal + prices[usize::from(name[j - 1])]);
            }
            now[j] = cell;
            // Of characters added before the name there may be more, at less than all that are left cost.
            if cell + if j == 0 { 0 } else { after_spot[n - j] } <= limit {
                new_low = new_low.min(j);
                new_high = j;
            } else if j > high {
                // Nothing beyond can be reached except over this cell.
                break;
            }
            left = cell;
            diagonal = up;
            j += 1;
        }
        // Prices at the left edge rise with i, so column 0 is left for good once it is too dear.
        if new_low == usize::MAX {
            return (best <= limit).then_some(best);
        }
        if new_high == n && i < len {
            best = best.min(now[n].saturating_add(after(len - i)));
        }
        (low, high) = (new_low, new_high);
        (before, now) = (now, before);
    }
    for (j, cell) in before.iter().enumerate().take(high + 1).skip(low) {
        best = best.min(cell.saturating_add(costs.tail(n - j, target.suffix, query.gap_after)));
    }
    (best <= limit).then_some(best)
}

/// Returns the least price at which every character of the text is read right and none is lost or
/// extra inside: the text is a piece of the name, or the name of the text.
pub(crate) fn unworn(query: &Query, target: Target<'_>, costs: &Costs) -> MilliNat {
    let name = target.symbols;
    let (len, n) = (query.len(), name.len());
    // Price of a run of both, from spot `i` and symbol `j`.
    let run = |i: usize, j: usize| {
        let mut sum: MilliNat = 0;
        for k in 0..len.min(n) {
            let symbol = name[j + k];
            match query.prices(i + k, costs)[usize::from(symbol)] {
                0 => {}
                price if symbol == PLACEHOLDER => sum = sum.saturating_add(price),
                _ => return NEVER,
            }
        }
        sum
    };
    let mut least = NEVER;
    if len <= n {
        for j in 0..=n - len {
            let ends = lead(costs, query, target, j).saturating_add(costs.tail(
                n - len - j,
                target.suffix,
                query.gap_after,
            ));
            least = least.min(run(0, j).saturating_add(ends));
        }
    } else {
        for i in 0..=len - n {
            let added = query
                .added(i, costs)
                .saturating_add(query.added(len - n - i, costs));
            least = least.min(run(i, 0).saturating_add(added));
        }
    }
    least
}

fn lead(costs: &Costs, query: &Query, target: Target<'_>, j: usize) -> MilliNat {
    let lost = MilliNat::try_from(j).map_or(NEVER, |j| j.saturating_mul(costs.lost));
    let lead = costs.lead(j, target.prefix, query.gap_before);
    // Without a gap an alignment may also lose characters one by one.
    if query.gap_before {
        lead
    } else {
        lead.min(lost)
    }
}

/// Where an alignment came from.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Step {
    Lead,
    Added,
    Diagonal,
    Extra,
    Lost,
}

/// Returns the cheapest alignment and its price.
pub(crate) fn trace(
    query: &Query,
    target: Target<'_>,
    chars: &[char],
    costs: &Costs,
) -> (MilliNat, Vec<Pair>) {
    let name = target.symbols;
    let (len, n) = (query.len(), name.len());
    let ahead = |k| query.added_ahead(k, costs);
    let after = |k| query.added_after(k, costs);
    let wide = n + 1;
    let mut cells = vec![NEVER; (len + 1) * wide];
    let mut steps = vec![Step::Lead; (len + 1) * wide];
    for (j, cell) in cells.iter_mut().enumerate().take(n + 1) {
        *cell = lead(costs, query, target, j);
    }
    for i in 1..=len {
        let prices = query.prices(i - 1, costs);
        for j in 0..=n {
            let up = (
                cells[(i - 1) * wide + j].saturating_add(costs.extra),
                Step::Extra,
            );
            let other = if j == 0 {
                (ahead(i), Step::Added)
            } else {
                let swap = prices[usize::from(name[j - 1])];
                let diagonal = cells[(i - 1) * wide + j - 1].saturating_add(swap);
                let lost = cells[i * wide + j - 1].saturating_add(costs.lost);
                if diagonal <= lost {
                    (diagonal, Step::Diagonal)
                } else {
                    (lost, Step::Lost)
                }
            };
            let (cell, step) = if other.0 <= up.0 { other } else { up };
            cells[i * wide + j] = cell;
            steps[i * wide + j] = step;
        }
    }
    let ends = (0..=n).map(|j| {
        let tail = costs.tail(n - j, target.suffix, query.gap_after);
        (cells[len * wide + j].saturating_add(tail), len, j)
    });
    let added = (0..len).map(|i| {
        let more = after(len - i);
        (cells[i * wide + n].saturating_add(more), i, n)
    });
    let (price, end_i, end_j) = ends
        .chain(added)
        .min_by_key(|(price, i, j)| (*price, len - i, n - j))
        .unwrap_or((NEVER, 0, 0));
    let shown = |j: usize| chars.get(j).copied().unwrap_or('·');
    let mut pairs = Vec::with_capacity(len + n);
    pairs.extend((end_j..n).rev().map(|j| Pair::Missing { name: shown(j) }));
    pairs.extend((end_i..len).rev().map(|i| Pair::Added {
        seen: query.shown[i],
    }));
    let (mut i, mut j) = (end_i, end_j);
    while i > 0 {
        match steps[i * wide + j] {
            Step::Diagonal => {
                (i, j) = (i - 1, j - 1);
                pairs.push(pair(query, i, name[j], shown(j)));
            }
            Step::Extra => {
                i -= 1;
                pairs.push(Pair::Extra {
                    seen: query.shown[i],
                });
            }
            Step::Lost => {
                j -= 1;
                pairs.push(Pair::Lost { name: shown(j) });
            }
            Step::Added | Step::Lead => {
                pairs.extend((0..i).rev().map(|i| Pair::Added {
                    seen: query.shown[i],
                }));
                break;
            }
        }
    }
    if i == 0 {
        pairs.extend((0..j).rev().map(|j| Pair::Missing { name: shown(j) }));
    }
    pairs.reverse();
    (price, pairs)
}

fn pair(query: &Query, i: usize, name: Symbol, shown: char) -> Pair {
    let seen = query.shown[i];
    match &query.spots[i] {
        _ if name == PLACEHOLDER => Pair::Open { seen, name: shown },
        Spot::Read(s) if *s == name => Pair::Same { both: shown },
        Spot::OneOf(choices) if choices.contains(&name) => Pair::Open { seen, name: shown },
        Spot::Any => Pair::Open { seen, name: shown },
        _ => Pair::Swapped { seen, name: shown },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::find::bounds::Bounds;
    use crate::symbol::EncodedName;
    use record::marking::Seen;

    fn both(text: &str, name: &str) -> (Option<MilliNat>, MilliNat, Vec<Pair>) {
        let costs = Costs::default();
        let seen = Seen::parse(text).unwrap();
        let mut query = Query::default();
        query.set(seen.lines[0].glyphs.iter(), &costs);
        let spelled = EncodedName::of(name);
        let target = Target {
            symbols: &spelled.symbols,
            prefix: spelled.prefix,
            suffix: spelled.suffix,
        };
        let bounds = Bounds::new(&costs);
        let behind = bounds.behind(query.gap_after);
        let fast = price(&query, target, &costs, 60_000, behind, &mut Rows::default());
        let (slow, pairs) = trace(&query, target, &spelled.chars, &costs);
        (fast, slow, pairs)
    }

    #[track_caller]
    fn costs_nats(text: &str, name: &str, expected: f64) {
        let (fast, slow, _) = both(text, name);
        assert_eq!(fast, Some(slow), "{text} {name}");
        assert!(
            (f64::from(slow) / 1000.0 - expected).abs() < 1e-9,
            "{text} {name}: {slow}"
        );
    }

    #[test]
    fn prices_are_those_of_the_table() {
        costs_nats("ZUC 7702", "zuc-7702", 0.0);
        costs_nats("2UC77O2", "ZUC7702", 2.2 + 2.4);
        costs_nats("ZUC770", "ZUC7702", 3.0 + 0.3);
        costs_nats("UC7702", "ZUC7702", 3.0 + 0.3);
        costs_nats("7702", "ZUC7702", 2.5);
        costs_nats("ZUC7702", "ZUC7702QR", 3.0);
        costs_nats("ZUC7702", "ZUC7702-T1", 3.0);
        costs_nats("ZUC7702QR", "ZUC7702", 6.2 + 2.0 * 2.3);
        costs_nats("ZUC702", "ZUC7702", 7.0);
        costs_nats("ZUC7W702", "ZUC7702", 9.0);
        costs_nats("ZUC7W02", "ZUC7702", 8.0);
        costs_nats("ZUC7~", "ZUC7702", 3.0 * 0.3);
        costs_nats("ZUC7702~", "ZUC7702", 1.5);
        costs_nats("Z?C77?2", "ZUC7702", 0.0);
        costs_nats("ZUC77[08]2", "ZUC7702", 0.689);
        costs_nats("ZUC7702", "ZUC77x2", 3.0);
    }

    #[test]
    fn differing_characters_are_marked() {
        let (_, _, pairs) = both("UC7?O2", "ZUC7702R");
        assert_eq!(
            pairs,
            [
                Pair::Missing { name: 'Z' },
                Pair::Same { both: 'U' },
                Pair::Same { both: 'C' },
                Pair::Same { both: '7' },
                Pair::Open {
                    seen: '?',
                    name: '7'
                },
                Pair::Swapped {
                    seen: 'O',
                    name: '0'
                },
                Pair::Same { both: '2' },
                Pair::Missing { name: 'R' },
            ]
        );
    }

    proptest::proptest! {
        #[test]
        fn the_cut_off_changes_nothing(
            text in "[0-9A-D?]{1,9}", name in "[0-9A-D]{1,9}", limit in 0..40_000_i32,
        ) {
            let costs = Costs::default();
            let seen = Seen::parse(&text).unwrap();
            let mut query = Query::default();
            query.set(seen.lines[0].glyphs.iter(), &costs);
            let spelled = EncodedName::of(&name);
            let target = Target {
                symbols: &spelled.symbols, prefix: spelled.prefix, suffix: spelled.suffix,
            };
            let (slow, _) = trace(&query, target, &spelled.chars, &costs);
            let bounds = Bounds::new(&costs);
            let behind = bounds.behind(query.gap_after);
            let fast = price(&query, target, &costs, limit, behind, &mut Rows::default());
            proptest::prop_assert_eq!(fast, (slow <= limit).then_some(slow));
        }
    }
}
