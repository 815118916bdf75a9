//! Part numbers that no catalogue holds: how likely is a text as one of them?
//!
//! In: the names of a catalogue. Out: [`Unknown`]: −ln P of the next symbol after the two before it.
//!
//! A character model of order two with Witten-Bell interpolation: the trigram is smoothed by the
//! bigram, the bigram by the character classes (digit, letter, other: which class follows two
//! classes, and how frequent the symbol is in its class), so that a sequence never met still has a
//! probability.
//! Source: I. H. Witten, T. C. Bell, "The zero-frequency problem", IEEE Transactions on Information
//! Theory 37 (1991) 1085, method C.

use crate::model::costs::{MilliNat, milli};
use crate::model::query::{Query, Spot};
use crate::stored::{StoredError, put, take_exactly};
use crate::symbol::{PLAIN, Symbol, is_digit, is_letter};
use std::io::{self, Read, Write};

/// Plain symbols, one for all others, and one for both ends.
const SIZE: usize = PLAIN + 2;
const OTHER: usize = PLAIN;
const END: usize = PLAIN + 1;
/// Digit, letter, other, end.
const KINDS: usize = 4;

/// The model.
#[derive(Debug, Clone)]
pub(crate) struct Unknown {
    /// By the symbol before last, the last one and the next, flattened.
    next: Vec<MilliNat>,
    /// The next symbol after something unreadable.
    alone: Vec<MilliNat>,
}

fn place(s: Symbol) -> usize {
    usize::from(s).min(OTHER)
}

fn kind(place: usize) -> usize {
    match u8::try_from(place) {
        _ if place == END => 3,
        Ok(s) if is_digit(s) => 0,
        Ok(s) if is_letter(s) => 1,
        _ => 2,
    }
}

impl Unknown {
    /// Learns from names.
    pub(crate) fn new<'a>(names: impl Iterator<Item = &'a [Symbol]>) -> Self {
        let mut three = vec![0_u32; SIZE * SIZE * SIZE];
        for name in names {
            let (mut a, mut b) = (END, END);
            for c in name.iter().map(|s| place(*s)).chain([END]) {
                three[(a * SIZE + b) * SIZE + c] += 1;
                (a, b) = (b, c);
            }
        }
        Self::of_counts(&three)
    }

    #[allow(clippy::needless_range_loop, reason = "three indices make one place")]
    fn of_counts(three: &[u32]) -> Self {
        let at = |a: usize, b: usize, c: usize| (a * SIZE + b) * SIZE + c;
        let mut two = vec![0.0; SIZE * SIZE];
        let mut one = [0.0; SIZE];
        let mut kinds = [0.0; KINDS * KINDS * KINDS];
        for a in 0..SIZE {
            for b in 0..SIZE {
                for c in 0..SIZE {
                    let n = f64::from(three[at(a, b, c)]);
                    two[b * SIZE + c] += n;
                    one[c] += n;
                    kinds[(kind(a) * KINDS + kind(b)) * KINDS + kind(c)] += n;
                }
            }
        }
        // A symbol within its class: one is added to each count.
        let mut in_kind = [0.0; KINDS];
        (0..SIZE).for_each(|c| in_kind[kind(c)] += one[c] + 1.0);
        let within = |c: usize| (one[c] + 1.0) / in_kind[kind(c)];
        let by_kind = |a: usize, b: usize, c: usize| {
            let from = (kind(a) * KINDS + kind(b)) * KINDS;
            let total: f64 = kinds[from..from + KINDS].iter().sum();
            (kinds[from + kind(c)] + 1.0) / (total + 4.0) * within(c)
        };
        let total: f64 = one.iter().sum();
        let mut next = vec![0; SIZE * SIZE * SIZE];
        for b in 0..SIZE {
            let row = &two[b * SIZE..(b + 1) * SIZE];
            let (n2, t2) = mass(row.iter().copied());
            for a in 0..SIZE {
                let row3 = &three[at(a, b, 0)..at(a, b, 0) + SIZE];
                let (n3, t3) = mass(row3.iter().map(|n| f64::from(*n)));
                for c in 0..SIZE {
                    let back = by_kind(a, b, c);
                    let middle = (row[c] + t2 * back) / (n2 + t2);
                    let p = (f64::from(row3[c]) + t3 * middle) / (n3 + t3);
                    next[at(a, b, c)] = milli(-p.ln());
                }
            }
        }
        let alone = (0..SIZE)
            .map(|c| milli(-((one[c] + 1.0) / (total + 38.0)).ln()))
            .collect();
        Self { next, alone }
    }

    /// Writes the model.
    pub(crate) fn put(&self, to: &mut dyn Write) -> io::Result<()> {
        put(to, &self.next)?;
        put(to, &self.alone)
    }

    /// Reads the model.
    pub(crate) fn take(from: &mut dyn Read) -> Result<Self, StoredError> {
        let what = "prices of characters";
        Ok(Self {
            next: take_exactly(from, SIZE * SIZE * SIZE, what)?,
            alone: take_exactly(from, SIZE, what)?,
        })
    }

    /// Price, in nats, of one of some symbols at a place of a name, given the two before and after it,
    /// among all plain symbols but the one that stands there.
    pub(crate) fn instead(&self, name: &[Symbol], at: usize, seen: &[Symbol]) -> f64 {
        let around: [usize; 5] = std::array::from_fn(|k| match (at + k).checked_sub(2) {
            Some(i) => name.get(i).map_or(END, |s| place(*s)),
            None => END,
        });
        let [a, b, own, d, e] = around;
        let weight = |c: usize| {
            let next = |a: usize, b: usize, c: usize| self.next[(a * SIZE + b) * SIZE + c];
            let last = if d == END { 0 } else { next(c, d, e) };
            (-f64::from(next(a, b, c) + next(b, c, d) + last) / 1000.0).exp()
        };
        let others = || (0..PLAIN).filter(|c| *c != own);
        let all: f64 = others().map(weight).sum();
        let these: f64 = others()
            .filter(|c| seen.iter().any(|s| place(*s) == *c))
            .map(weight)
            .sum();
        (all / these.max(1e-12 * all)).ln()
    }

    /// Price of a text as an unknown part number; an end with a gap costs nothing.
    pub(crate) fn price(&self, query: &Query) -> MilliNat {
        let mut before = if query.gap_before {
            None
        } else {
            Some((END, END))
        };
        let mut sum: MilliNat = 0;
        for (i, spot) in query.spots.iter().enumerate() {
            if query.gaps_inside.contains(&i) {
                before = None;
            }
            let price = |c: usize| match before {
                Some((a, b)) => self.next[(a * SIZE + b) * SIZE + c],
                None => self.alone[c],
            };
            match spot {
                Spot::Read(s) => {
                    let c = place(*s);
                    sum = sum.saturating_add(price(c));
                    before = Some((before.map_or(OTHER, |(_, b)| b), c));
                }
                Spot::Any => before = None,
                Spot::OneOf(choices) => {
                    let p: f64 = choices
                        .iter()
                        .map(|s| (-f64::from(price(place(*s))) / 1000.0).exp())
                        .sum();
                    #[allow(clippy::cast_precision_loss, reason = "a handful of choices")]
                    let mean = p / choices.len().max(1) as f64;
                    sum = sum.saturating_add(milli(-mean.ln()));
                    before = None;
                }
            }
        }
        if let (Some((a, b)), false) = (before, query.gap_after) {
            sum = sum.saturating_add(self.next[(a * SIZE + b) * SIZE + END]);
        }
        sum
    }
}

/// Sum and number of different followers, at least one.
fn mass(counts: impl Iterator<Item = f64>) -> (f64, f64) {
    let (sum, kinds) = counts.fold((0.0, 0.0), |(n, t), c| {
        (n + c, t + if c > 0.0 { 1.0 } else { 0.0 })
    });
    (sum, f64::max(kinds, 1.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::symbol::EncodedName;

    #[test]
    fn probabilities_of_the_next_symbol_sum_to_one() {
        let names = ["ZUC30", "ZUC7702", "TH310", "OVP135"].map(|n| EncodedName::of(n).symbols);
        let model = Unknown::new(names.iter().map(Vec::as_slice));
        for row in model.next.chunks(SIZE).chain([&model.alone[..]]) {
            let sum: f64 = row.iter().map(|c| (-f64::from(*c) / 1000.0).exp()).sum();
            // Prices are rounded to thousandths.
            assert!((sum - 1.0).abs() < 1e-3, "{sum}");
        }
    }
}
