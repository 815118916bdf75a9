//! One text to look for: what was seen, ready for comparing.

use crate::model::costs::{Costs, MilliNat, NEVER};
use crate::symbol::{LONGEST, PLACEHOLDER, SYMBOLS, Symbol, symbol};
use record::marking::Glyph;

/// One place of a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Spot {
    Read(Symbol),
    Any,
    OneOf(Vec<Symbol>),
}

/// A text to look for.
#[derive(Debug, Clone, Default)]
pub(crate) struct Query {
    pub(crate) spots: Vec<Spot>,
    /// The character each spot shows; `?` where none was read.
    pub(crate) shown: Vec<char>,
    /// Something is rubbed away before or after.
    pub(crate) gap_before: bool,
    pub(crate) gap_after: bool,
    /// Spots before which something is rubbed away inside.
    pub(crate) gaps_inside: Vec<usize>,
    /// Every character was read and nothing is noted as missing.
    pub(crate) sharp: bool,
    /// Prices of spots that are not a plain character, by the symbol of the name.
    rows: Vec<[MilliNat; SYMBOLS]>,
    /// For each spot its row: below 256 that of the cost table, else of `rows`.
    row_of: Vec<u16>,
}

impl Query {
    /// Takes the glyphs of one line, or of several that are read as one.
    pub(crate) fn set<'a>(&mut self, glyphs: impl Iterator<Item = &'a Glyph>, costs: &Costs) {
        self.spots.clear();
        self.shown.clear();
        self.rows.clear();
        self.row_of.clear();
        self.gaps_inside.clear();
        (self.gap_before, self.gap_after) = (false, false);
        for glyph in glyphs {
            if self.is_too_long() {
                break;
            }
            let (spot, shown) = match glyph {
                Glyph::Read(c) => match symbol(*c) {
                    Some(s) => (Spot::Read(s), *c),
                    None => continue,
                },
                Glyph::Unreadable => (Spot::Any, '?'),
                Glyph::OneOf(choices) => match one_of(choices) {
                    Some(spot) => (spot, choices.first().copied().unwrap_or('?')),
                    None => continue,
                },
                Glyph::Gap if self.spots.is_empty() => {
                    self.gap_before = true;
                    continue;
                }
                Glyph::Gap => {
                    self.gap_after = true;
                    continue;
                }
                Glyph::Logo(_) => continue,
            };
            // A gap with something behind it lies inside.
            if std::mem::take(&mut self.gap_after) {
                self.gaps_inside.push(self.spots.len());
            }
            self.push(spot, shown, costs);
        }
        let read = |spot: &Spot| matches!(spot, Spot::Read(_));
        let gaps = self.gap_before || self.gap_after || !self.gaps_inside.is_empty();
        self.sharp = !gaps && self.spots.iter().all(read);
    }

    /// The same text with other spots; ends as they are.
    pub(crate) fn with_spots(
        &self,
        spots: impl Iterator<Item = (Spot, char)>,
        costs: &Costs,
    ) -> Self {
        let mut out = Self {
            gap_before: self.gap_before,
            gap_after: self.gap_after,
            sharp: self.sharp,
            ..Self::default()
        };
        spots.for_each(|(spot, shown)| out.push(spot, shown, costs));
        out
    }

    fn push(&mut self, spot: Spot, shown: char, costs: &Costs) {
        self.shown.push(shown);
        let row = match &spot {
            Spot::Read(s) => u16::from(*s),
            Spot::Any => self.add_row([0; SYMBOLS]),
            Spot::OneOf(choices) => {
                let mut row = [0; SYMBOLS];
                for (name, price) in row.iter_mut().enumerate() {
                    *price = mean(choices.iter().map(|s| costs.swap[usize::from(*s)][name]));
                }
                row[usize::from(PLACEHOLDER)] = 0;
                self.add_row(row)
            }
        };
        self.row_of.push(row);
        self.spots.push(spot);
    }

    fn add_row(&mut self, row: [MilliNat; SYMBOLS]) -> u16 {
        self.rows.push(row);
        // There are at most `LONGEST` + 1 spots.
        u16::try_from(SYMBOLS + self.rows.len() - 1).unwrap_or(u16::MAX)
    }

    /// Number of spots.
    pub(crate) fn len(&self) -> usize {
        self.spots.len()
    }

    /// Most characters at one end that may not belong to the name: half the text, at most eight.
    pub(crate) fn most_added(&self) -> usize {
        (self.len() / 2).min(8)
    }

    /// Price of `n` spots before or after the name.
    pub(crate) fn added(&self, n: usize, costs: &Costs) -> MilliNat {
        if n > self.most_added() {
            NEVER
        } else {
            costs.added(n)
        }
    }

    /// Price of so many characters before the name.
    pub(crate) fn added_ahead(&self, n: usize, costs: &Costs) -> MilliNat {
        let lead = costs.lead(0, 0, self.gap_before);
        self.added(n, costs).saturating_add(lead)
    }

    /// Price of so many characters behind the name.
    pub(crate) fn added_after(&self, n: usize, costs: &Costs) -> MilliNat {
        let tail = costs.tail(0, 0, self.gap_after);
        self.added(n, costs).saturating_add(tail)
    }

    /// The dearest alignment that is considered: half of what was read may be something else, and an end
    /// missing.
    pub(crate) fn farthest(&self, costs: &Costs) -> MilliNat {
        let read = self.spots.iter().filter(|spot| **spot != Spot::Any).count();
        let half = MilliNat::try_from(read / 2).unwrap_or(MilliNat::MAX / 1_000_000);
        let half = half
            .saturating_mul(costs.other)
            .saturating_add(costs.rubbed_open);
        costs.farthest.min(half)
    }

    /// Whether it is too long for a part number.
    pub(crate) fn is_too_long(&self) -> bool {
        self.len() > LONGEST
    }

    /// Prices of a spot by the symbol of the name.
    pub(crate) fn prices<'a>(&'a self, spot: usize, costs: &'a Costs) -> &'a [MilliNat; SYMBOLS] {
        let row = usize::from(self.row_of[spot]);
        if row < SYMBOLS {
            &costs.swap[row]
        } else {
            &self.rows[row - SYMBOLS]
        }
    }
}

fn one_of(choices: &[char]) -> Option<Spot> {
    let mut symbols: Vec<Symbol> = choices.iter().filter_map(|c| symbol(*c)).collect();
    symbols.sort_unstable();
    symbols.dedup();
    match symbols[..] {
        [] => None,
        [one] => Some(Spot::Read(one)),
        _ => Some(Spot::OneOf(symbols)),
    }
}

/// −ln of the mean probability.
fn mean(prices: impl ExactSizeIterator<Item = MilliNat>) -> MilliNat {
    #[allow(clippy::cast_precision_loss, reason = "a handful of choices")]
    let n = prices.len() as f64;
    let sum: f64 = prices.map(|c| (-f64::from(c) / 1000.0).exp()).sum();
    super::costs::milli(-(sum / n).ln()).max(0)
}
