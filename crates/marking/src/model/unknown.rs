//! Part numbers that no catalogue holds: how likely is a text as one of them?
//!
//! In: the names of a catalogue. Out: [`Unknown`]: −ln P of the next symbol after the two before it.
//!
//! A character model of order two with Witten-Bell interpolation: the trigram is smoothed by the
//! bigram, the bigram by the character classes (digit, letter, other: which class follows two
//! classes, and how frequent the symbol is in its class), so that a sequence never met still has a
//! probability. What cannot be read is summed over: behind it the bigram goes on from every symbol that
//! may stand there, so that a text costs what its length says, too.
//! Source: I. H. Witten, T. C. Bell, "The zero-frequency problem", IEEE Transactions on Information
//! Theory 37 (1991) 1085, method C.

use crate::model::costs::{MilliNat, milli, nats};
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
    /// By the last symbol and the next, flattened.
    after_one: Vec<MilliNat>,
    /// A symbol of which nothing is known before.
    alone: Vec<MilliNat>,
    /// Probabilities of `after_one`.
    shares_after_one: Vec<f64>,
}

/// What is known of the symbols before the next.
enum Before {
    /// The last two.
    Pair(usize, usize),
    /// The last: the probability of each.
    Last(Box<[f64; SIZE]>),
    /// Nothing: something is rubbed away.
    Gap,
}

impl Before {
    fn one(symbol: usize) -> Self {
        let share = std::array::from_fn(|c| f64::from(u8::from(c == symbol)));
        Self::Last(Box::new(share))
    }

    /// After one more symbol.
    fn and(&self, symbol: usize) -> Self {
        match self {
            Self::Pair(_, b) => Self::Pair(*b, symbol),
            Self::Last(share) => match share.iter().position(|p| *p == 1.0) {
                Some(b) => Self::Pair(b, symbol),
                None => Self::one(symbol),
            },
            Self::Gap => Self::one(symbol),
        }
    }
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
        let after_kind = |b: usize, c: usize| {
            let count = |a: usize, k: usize| kinds[(a * KINDS + kind(b)) * KINDS + k];
            let of = |k: usize| (0..KINDS).map(|a| count(a, k)).sum::<f64>();
            let total: f64 = (0..KINDS).map(of).sum();
            (of(kind(c)) + 1.0) / (total + 4.0) * within(c)
        };
        let mut next = vec![0; SIZE * SIZE * SIZE];
        let mut after_one = vec![0; SIZE * SIZE];
        for b in 0..SIZE {
            let row = &two[b * SIZE..(b + 1) * SIZE];
            let (n2, t2) = mass(row.iter().copied());
            for c in 0..SIZE {
                let p = (row[c] + t2 * after_kind(b, c)) / (n2 + t2);
                after_one[b * SIZE + c] = milli(-p.ln());
            }
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
        Self::of_prices(next, after_one, alone)
    }

    fn of_prices(next: Vec<MilliNat>, after_one: Vec<MilliNat>, alone: Vec<MilliNat>) -> Self {
        let shares_after_one = after_one.iter().map(|price| share(*price)).collect();
        Self {
            next,
            after_one,
            alone,
            shares_after_one,
        }
    }

    /// Writes the model.
    pub(crate) fn put(&self, to: &mut dyn Write) -> io::Result<()> {
        put(to, &self.next)?;
        put(to, &self.after_one)?;
        put(to, &self.alone)
    }

    /// Reads the model.
    pub(crate) fn take(from: &mut dyn Read) -> Result<Self, StoredError> {
        let what = "prices of characters";
        let next = take_exactly(from, SIZE * SIZE * SIZE, what)?;
        let after_one = take_exactly(from, SIZE * SIZE, what)?;
        let alone = take_exactly(from, SIZE, what)?;
        Ok(Self::of_prices(next, after_one, alone))
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
        let mut before = match query.gap_before {
            true => Before::Gap,
            false => Before::Pair(END, END),
        };
        let mut sum: MilliNat = 0;
        for (i, spot) in query.spots.iter().enumerate() {
            if query.gaps_inside.contains(&i) {
                before = Before::Gap;
            }
            let price;
            (price, before) = match spot {
                Spot::Read(s) => (self.after(&before, place(*s)), before.and(place(*s))),
                Spot::Any if matches!(before, Before::Gap) => (0, Before::Gap),
                Spot::Any => self.any_of(&before, 0..END),
                Spot::OneOf(choices) => {
                    let (price, last) = self.any_of(&before, choices.iter().map(|s| place(*s)));
                    #[allow(clippy::cast_precision_loss, reason = "a handful of choices")]
                    let which = milli((choices.len().max(1) as f64).ln());
                    (price.saturating_add(which), last)
                }
            };
            sum = sum.saturating_add(price);
        }
        match before {
            Before::Gap => sum,
            _ if query.gap_after => sum,
            _ => sum.saturating_add(self.after(&before, END)),
        }
    }

    /// Price of the next symbol.
    fn after(&self, before: &Before, c: usize) -> MilliNat {
        match before {
            Before::Pair(a, b) => self.next[(a * SIZE + b) * SIZE + c],
            Before::Last(last) => {
                let p: f64 = last
                    .iter()
                    .zip(self.shares_after_one.iter().skip(c).step_by(SIZE))
                    .map(|(b, next)| b * next)
                    .sum();
                milli(-p.ln())
            }
            Before::Gap => self.alone[c],
        }
    }

    /// Price of the next symbol being one of some, and what is known then.
    fn any_of(&self, before: &Before, of: impl Iterator<Item = usize>) -> (MilliNat, Before) {
        let mut last = [0.0; SIZE];
        for c in of {
            last[c] = share(self.after(before, c));
        }
        let sum: f64 = last.iter().sum();
        last.iter_mut().for_each(|p| *p /= sum);
        (milli(-sum.ln()), Before::Last(Box::new(last)))
    }
}

/// Probability of a price.
fn share(price: MilliNat) -> f64 {
    (-nats(price)).exp()
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
    use crate::model::costs::Costs;
    use crate::symbol::EncodedName;

    #[test]
    fn probabilities_of_the_next_symbol_sum_to_one() {
        let names = ["ZUC30", "ZUC7702", "TH310", "OVP135"].map(|n| EncodedName::of(n).symbols);
        let model = Unknown::new(names.iter().map(Vec::as_slice));
        let rows = model.next.chunks(SIZE).chain(model.after_one.chunks(SIZE));
        for row in rows.chain([&model.alone[..]]) {
            let sum: f64 = row.iter().map(|c| (-f64::from(*c) / 1000.0).exp()).sum();
            // Prices are rounded to thousandths.
            assert!((sum - 1.0).abs() < 1e-3, "{sum}");
        }
    }

    #[test]
    fn what_cannot_be_read_is_the_sum_of_what_may_stand_there() {
        use crate::symbol::shown;
        use record::marking::Seen;
        let names = ["ZUC30", "ZUC7702", "TH310", "OVP135", "ZUD-71"];
        let names = names.map(|n| EncodedName::of(n).symbols);
        let model = Unknown::new(names.iter().map(Vec::as_slice));
        let price = |text: &str| {
            let mut query = Query::default();
            let seen = Seen::parse(text).unwrap();
            query.set(seen.lines[0].glyphs.iter(), &Costs::default());
            share(model.price(&query))
        };
        // At the end the sum is over the next symbol alone; what has the others' place stays out of the text.
        let all: f64 = (0..PLAIN)
            .filter_map(|s| Symbol::try_from(s).ok())
            .map(|s| price(&format!("ZUC7{}~", shown(s))))
            .sum();
        let any = price("ZUC7?~");
        assert!(any >= all && any - all < 0.05 * any, "{any} {all}");
        // A name seldom ends right behind its first two letters.
        assert!(price("ZU?~") > 3.0 * price("ZU?"));
    }
}
