//! A new cost table from confirmed readings.
//!
//! In: pairs of what was seen and the true name, and the table so far. Out: the table with prices
//! estimated anew.
//!
//! Each pair is aligned at its least price (the expectation is taken at the likeliest alignment),
//! what happened to each character is counted, and a price is −ln of the odds of that event against
//! reading right. The table so far counts as [`TableWeight::characters`] characters seen before, so that
//! an event never met keeps a price. Alignments with the new table may differ, so this is repeated
//! until prices stay or [`ROUNDS`] is reached.
//! Not here: prices of markings with an unreadable character, which says nothing about swaps.

use crate::model::align::{self, Pair, Target};
use crate::model::costs::{CostError, CostTable, Costs, key};
use crate::model::query::Query;
use crate::symbol::{EncodedName, PLAIN, Symbol, symbol};
use record::marking::Line;
use std::collections::BTreeMap;

/// A confirmed reading.
#[derive(Debug, Clone, PartialEq)]
pub struct ConfirmedReading {
    /// The line as seen.
    pub seen: Line,
    /// The part number that it turned out to be.
    pub name: String,
}

/// How much the table so far counts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TableWeight {
    /// As if so many characters had been read that obey the table so far.
    pub characters: f64,
}

impl Default for TableWeight {
    fn default() -> Self {
        Self { characters: 2000.0 }
    }
}

/// Estimates prices at most so many times.
const ROUNDS: usize = 8;

/// Estimates a table from confirmed readings.
///
/// # Errors
/// When an estimate leaves the range of prices, which takes a prior of almost nothing.
pub fn learn(
    readings: &[ConfirmedReading],
    from: &Costs,
    prior: TableWeight,
) -> Result<Costs, CostError> {
    let mut costs = from.clone();
    for _ in 0..ROUNDS {
        let counts = Counts::of(readings, &costs);
        let next = Costs::new(counts.table(from.table(), prior))?;
        let same = next.table() == costs.table();
        costs = next;
        if same {
            break;
        }
    }
    Ok(costs)
}

/// What happened, over all readings.
#[derive(Debug, Default)]
struct Counts {
    /// Characters read, by true character and character seen.
    swaps: BTreeMap<(Symbol, Symbol), f64>,
    /// Characters read, by true character.
    read: BTreeMap<Symbol, f64>,
    lost: f64,
    extra: f64,
    /// Ends of texts, ends at which something is missing, and characters missing there.
    ends: f64,
    rubbed: f64,
    rubbed_characters: f64,
    added: f64,
    added_characters: f64,
}

impl Counts {
    fn of(readings: &[ConfirmedReading], costs: &Costs) -> Self {
        let mut counts = Self::default();
        let mut query = Query::default();
        for ConfirmedReading { seen, name } in readings {
            query.set(seen.glyphs.iter(), costs);
            let spelled = EncodedName::of(name);
            if query.len() == 0 || query.is_too_long() || spelled.symbols.is_empty() {
                continue;
            }
            let target = Target {
                symbols: &spelled.symbols,
                prefix: 0,
                suffix: 0,
            };
            let (_, pairs) = align::trace(&query, target, &spelled.chars, costs);
            counts.take(&pairs, query.gap_before, query.gap_after);
        }
        counts
    }

    fn take(&mut self, pairs: &[Pair], gap_before: bool, gap_after: bool) {
        for pair in pairs {
            match *pair {
                Pair::Same { both } => self.swap(both, both),
                Pair::Swapped { seen, name } if seen != '?' => self.swap(name, seen),
                Pair::Lost { .. } => self.lost += 1.0,
                Pair::Extra { .. } => self.extra += 1.0,
                _ => {}
            }
        }
        let missing = |p: &&Pair| matches!(p, Pair::Missing { .. });
        let added = |p: &&Pair| matches!(p, Pair::Added { .. });
        let both = [
            (
                gap_before,
                pairs.iter().take_while(missing).count(),
                pairs.iter().take_while(added).count(),
            ),
            (
                gap_after,
                pairs.iter().rev().take_while(missing).count(),
                pairs.iter().rev().take_while(added).count(),
            ),
        ];
        for (gap, missing, added) in both {
            self.ends += 1.0;
            // An end with a noted gap says nothing about ends without.
            if missing > 0 && !gap {
                self.rubbed += 1.0;
                self.rubbed_characters += missing as f64;
            }
            if added > 0 {
                self.added += 1.0;
                self.added_characters += added as f64;
            }
        }
    }

    fn swap(&mut self, name: char, seen: char) {
        if let (Some(name), Some(seen)) = (symbol(name), symbol(seen)) {
            *self.swaps.entry((name, seen)).or_default() += 1.0;
            *self.read.entry(name).or_default() += 1.0;
        }
    }

    fn table(&self, old: &CostTable, prior: TableWeight) -> CostTable {
        let mut table = old.clone();
        // Each of the plain characters counts for its share of the prior.
        let each = prior.characters / PLAIN as f64;
        let before = Costs::new(old.clone()).unwrap_or_default();
        let price = |name: Symbol, seen: Symbol| {
            f64::from(before.swap[usize::from(seen)][usize::from(name)]) / 1000.0
        };
        let count = |name, seen| self.swaps.get(&(name, seen)).copied().unwrap_or(0.0);
        table.look_alike.clear();
        let (mut other, mut other_prior, mut right_all) = (0.0, 0.0, 0.0);
        for name in (0..PLAIN).filter_map(|s| Symbol::try_from(s).ok()) {
            // Odds against reading right: the prior is split between right and the swaps.
            let odds: f64 = (0..PLAIN)
                .filter_map(|s| Symbol::try_from(s).ok())
                .map(|seen| (-price(name, seen)).exp())
                .sum();
            let right = each / odds + count(name, name);
            right_all += right;
            for seen in (0..PLAIN).filter_map(|s| Symbol::try_from(s).ok()) {
                if seen == name {
                    continue;
                }
                let expected = each / odds * (-price(name, seen)).exp();
                let met = count(name, seen);
                let pair = [(name, seen), (seen, name)];
                let listed = pair
                    .iter()
                    .any(|(a, b)| old.look_alike.contains_key(&key(*a, *b)))
                    || before.swap[usize::from(seen)][usize::from(name)] != before.other;
                // A swap not in the table earns its own price by being met often.
                if listed || met >= ENOUGH {
                    let odds = (expected + met) / right;
                    table
                        .look_alike
                        .insert(key(name, seen), (-odds.ln()).clamp(0.05, 20.0));
                } else {
                    other += met;
                    other_prior += expected;
                }
            }
        }
        let places: f64 = self.read.values().sum::<f64>() + prior.characters;
        let unlisted = (PLAIN * (PLAIN - 1))
            .saturating_sub(table.look_alike.len())
            .max(1) as f64;
        table.inside.other = odds(other + other_prior, right_all * unlisted / PLAIN as f64);
        table.inside.lost = odds(
            self.lost + expected(old.inside.lost, prior.characters),
            places,
        );
        // Any of the plain characters may be the extra one.
        let extra = self.extra / PLAIN as f64;
        table.inside.extra = odds(extra + expected(old.inside.extra, prior.characters), places);
        self.ends(old, prior, &mut table);
        table
    }

    fn ends(&self, old: &CostTable, prior: TableWeight, table: &mut CostTable) {
        // The prior's characters stand in texts of ten, each with two ends.
        let ends_prior = prior.characters / 5.0;
        let whole = self.ends - self.rubbed + ends_prior;
        let (open, each) = geometric(
            (self.rubbed, self.rubbed_characters),
            (old.ends.rubbed_open, old.ends.rubbed_each),
            whole,
            ends_prior,
            0.0,
        );
        (table.ends.rubbed_open, table.ends.rubbed_each) = (open, each);
        let whole = self.ends - self.added + ends_prior;
        let (open, each) = geometric(
            (self.added, self.added_characters),
            (old.ends.added_open, old.ends.added_each),
            whole,
            ends_prior,
            SUFFIX_CHOICE,
        );
        (table.ends.added_open, table.ends.added_each) = (open, each);
    }
}

/// What naming one added character costs: suffixes use few letters, as good as five.
const SUFFIX_CHOICE: f64 = 1.609;
/// A swap met so often gets a price of its own.
const ENOUGH: f64 = 5.0;

fn odds(events: f64, against: f64) -> f64 {
    (-(events / against.max(1e-9)).ln()).clamp(0.05, 20.0)
}

fn expected(price: f64, of: f64) -> f64 {
    (-price).exp() * of
}

/// Prices of opening and of each character, for events of geometric length: each character after
/// the first follows with probability q, so that n of them cost open + n·each with each = −ln q and
/// open = −ln(odds · (1−q)/q). `choice` is what naming the character costs.
fn geometric(
    (events, characters): (f64, f64),
    (old_open, old_each): (f64, f64),
    whole: f64,
    prior: f64,
    choice: f64,
) -> (f64, f64) {
    let q_old = (choice - old_each).exp().clamp(0.01, 0.99);
    let odds_old = (-old_open).exp() * q_old / (1.0 - q_old);
    let prior_events = odds_old * prior;
    let prior_characters = prior_events / (1.0 - q_old);
    let n = events + prior_events;
    let q = (1.0 - n / (characters + prior_characters)).clamp(0.01, 0.99);
    let open = -((n / whole.max(1e-9)) * (1.0 - q) / q).ln();
    let each = choice - q.ln();
    (open.clamp(0.0, 20.0), each.clamp(0.0, 20.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use record::marking::Seen;

    /// SplitMix64.
    struct Dice(u64);

    impl Dice {
        fn unit(&mut self) -> f64 {
            self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
            let mut z = self.0;
            z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
            z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
            ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
        }
    }

    /// Readings in which 8 is read as B with odds 0.3, 5 as S with 0.05, W as K (which no table
    /// names) with 0.1, and the last two characters are gone with odds 0.2.
    fn readings(count: usize) -> Vec<ConfirmedReading> {
        let mut dice = Dice(7);
        let alphabet: Vec<char> = ('0'..='9').chain('A'..='Z').collect();
        let mut out = Vec::new();
        for _ in 0..count {
            let name: String = (0..10)
                .map(|_| alphabet[(dice.unit() * 36.0) as usize])
                .collect();
            let read = |c: char, odds: f64, seen: char, dice: &mut Dice| {
                if dice.unit() < odds / (1.0 + odds) {
                    seen
                } else {
                    c
                }
            };
            let mut text: String = name
                .chars()
                .map(|c| match c {
                    '8' => read(c, 0.3, 'B', &mut dice),
                    '5' => read(c, 0.05, 'S', &mut dice),
                    'W' => read(c, 0.1, 'K', &mut dice),
                    c => c,
                })
                .collect();
            if dice.unit() < 0.2 / 1.2 {
                text.truncate(8);
            }
            let seen = Seen::parse(&text).unwrap().lines.remove(0);
            out.push(ConfirmedReading { seen, name });
        }
        out
    }

    #[test]
    fn a_known_table_is_recovered_from_simulated_readings() {
        let learned = learn(&readings(20_000), &Costs::default(), TableWeight::default()).unwrap();
        let price = |seen, name| {
            let at = |c| usize::from(symbol(c).unwrap());
            f64::from(learned.swap[at(seen)][at(name)]) / 1000.0
        };
        // Two tenths of a nat are a fifth of the odds; some 500 events of each kind were simulated.
        assert!(
            (price('B', '8') + 0.3_f64.ln()).abs() < 0.2,
            "{}",
            price('B', '8')
        );
        assert!(
            (price('S', '5') + 0.05_f64.ln()).abs() < 0.2,
            "{}",
            price('S', '5')
        );
        assert!(
            (price('K', 'W') + 0.1_f64.ln()).abs() < 0.2,
            "{}",
            price('K', 'W')
        );
        // The other direction was never met: dearer than before.
        assert!(price('8', 'B') > 4.0, "{}", price('8', 'B'));
        // One end in twelve misses two characters; a geometric length of mean two gives exactly two
        // a chance of one in four.
        let two = f64::from(learned.rubbed_open + 2 * learned.rubbed_each) / 1000.0;
        assert!((two - 44_f64.ln()).abs() < 0.2, "{two}");
        assert!(learned.table().inside.lost > 8.5);
    }

    #[test]
    fn without_readings_the_table_stays() {
        let costs = Costs::default();
        let learned = learn(&[], &costs, TableWeight::default()).unwrap();
        for (a, b) in costs.swap[8].iter().zip(&learned.swap[8]) {
            assert!((a - b).abs() <= 60, "{a} {b}");
        }
        assert!((learned.rubbed_open - costs.rubbed_open).abs() < 60);
        assert!((learned.rubbed_each - costs.rubbed_each).abs() < 20);
        assert!((learned.added_open - costs.added_open).abs() < 60);
        assert!((learned.lost - costs.lost).abs() < 60);
    }
}
