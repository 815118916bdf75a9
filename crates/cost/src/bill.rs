//! All lines of a product as one derivation.
//!
//! In: lines with amounts and prices, levels with yields, what is not known and how well, rates and indices. Out: the
//! cost of one piece at a volume, at a point and as a term of a sheet.
//! Not here: draws (`rollup.rs`), what the doubt rests on (`drivers.rs`), where lines come from.
//!
//! What several lines have in common is one unknown: one rate of exchange per currency, one index per series, one
//! price row, one table of times. Drawn line by line instead, the spread of a sum in a foreign currency comes out 14 %
//! too small in the example of the tests.

mod derive;
mod group;

pub(crate) use derive::Kept;
pub use group::{Group, Sort};

use crate::Ladder;
use crate::placement::Attrition;
use crate::process::{Rework, level};
use quantity::{Currency, SheetError, Source};
use std::collections::BTreeMap;

/// How well something is known.
#[derive(Debug, Clone, PartialEq)]
pub enum Law {
    /// Without doubt.
    Exact,
    /// Its logarithm is normal.
    Lognormal {
        /// Standard deviation of the logarithm.
        sigma: f64,
    },
    /// Between two limits, most likely at the value.
    Triangular {
        /// Least.
        low: f64,
        /// Greatest.
        high: f64,
    },
    /// One of several, as (weight, factor on the value).
    Alternatives(Vec<(f64, f64)>),
}

/// Something that is not known exactly, and that lines share.
#[derive(Debug, Clone, PartialEq)]
pub struct Unknown {
    /// Its name, for readers.
    pub name: String,
    /// What sort.
    pub sort: Sort,
    /// The median; of a triangular law the most likely value; 1 where it is a factor on prices.
    pub value: f64,
    /// How well it is known.
    pub law: Law,
    /// Where it is from.
    pub source: Source,
    /// Whether somebody can look that up: a quote, a list, a table with a name and a date.
    pub sourced: bool,
}

/// How the price of a line depends on the volume.
#[derive(Debug, Clone, PartialEq)]
pub enum Pricing {
    /// So much for each; the ladder is asked at amount × volume.
    Each(Ladder),
    /// So much once, again after `life` pieces of the product: tools and set-ups.
    Once {
        /// Cost.
        cost: f64,
        /// Pieces that it lasts for, where it wears.
        life: Option<f64>,
    },
}

/// One line.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Its name, for readers.
    pub name: String,
    /// What it is for.
    pub group: Group,
    /// The level at which its value is added; after all levels where there is none.
    pub level: Option<usize>,
    /// How much of it one product takes, in what the price is for.
    pub amount: f64,
    /// Pieces lost in making, where it counts pieces.
    pub attrition: Option<Attrition>,
    /// Its price.
    pub pricing: Pricing,
    /// The currency of the price.
    pub currency: Currency,
    /// The series that carries the price to the day asked for.
    pub series: Option<String>,
    /// What it shares with other lines, or is unknown of it alone.
    pub unknowns: Vec<usize>,
}

/// A level of making at which pieces are found bad.
#[derive(Debug, Clone, PartialEq)]
pub struct Level {
    /// Its name ("board").
    pub name: String,
    /// The level that it goes into; a later one. The last level goes nowhere.
    pub into: Option<usize>,
    /// Share of good pieces, an unknown; all where there is none.
    pub good: Option<usize>,
    /// What is done with the others; scrapped where there is nothing.
    pub rework: Option<Rework>,
}

/// One rate of exchange, of one day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rate {
    /// The currency.
    pub of: Currency,
    /// What one of it is in the currency of the bill: an unknown.
    pub unknown: usize,
}

/// A whole bill.
#[derive(Debug, Clone, PartialEq)]
pub struct Bill {
    /// The currency of the answer.
    pub currency: Currency,
    /// What is not known.
    pub unknowns: Vec<Unknown>,
    /// The lines.
    pub lines: Vec<Line>,
    /// The levels, each before the one that it goes into.
    pub levels: Vec<Level>,
    /// One rate for each other currency.
    pub rates: Vec<Rate>,
    /// One index for each series: an unknown, the factor on its prices.
    pub indices: BTreeMap<String, usize>,
    /// Overhead on the cost, an unknown.
    pub overhead: Option<usize>,
    /// The maker's margin on the price, an unknown.
    pub margin: Option<usize>,
}

/// Why a bill gives no cost.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum BillError {
    /// A volume that nobody builds.
    #[error("{0} is no volume to build")]
    Volume(f64),
    /// A currency without a rate.
    #[error("the line '{line}' is in {}, and no rate leads from it to {}", .from.code(), .to.code())]
    Rate {
        /// The line.
        line: String,
        /// Its currency.
        from: Currency,
        /// That of the bill.
        to: Currency,
    },
    /// A series without an index.
    #[error("the line '{line}' follows the index '{series}', which has no value")]
    Index {
        /// The line.
        line: String,
        /// Its series.
        series: String,
    },
    /// A level that goes into one before it, or a number of an entry that is not there.
    #[error("the bill does not hold together: {0}")]
    Broken(String),
    /// A bill without lines has no cost, which is not a cost of zero.
    #[error("no line has a price")]
    Empty,
    /// The derivation has no value.
    #[error(transparent)]
    Sheet(#[from] SheetError),
}

/// The cost at a point: everything at its value.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// Cost of one piece, overheads and margin included.
    pub total: f64,
    /// What each group adds, those that add something.
    pub groups: Vec<(Group, f64)>,
    /// What each line adds before losses and overheads, in the currency of the bill.
    pub lines: Vec<f64>,
}

/// Quantile of the normal distribution at 90 %.
pub(crate) const NORMAL_90: f64 = 1.281_551_565_544_600_5;

/// Returns the standard deviation of the logarithm of a value that lies within ± `share` of its median with a
/// probability of 80 %; the share is that by which the upper end lies above.
pub fn half_width_sigma(share: f64) -> f64 {
    share.ln_1p() / NORMAL_90
}

impl Bill {
    /// Returns what a line costs at a volume in its own currency, and the doubt of a price beyond the last break.
    pub(crate) fn own_cost(line: &Line, volume: f64) -> (f64, f64) {
        match &line.pricing {
            Pricing::Each(ladder) => {
                let needed = line.amount * volume;
                let bought = line.attrition.map_or(needed, |lost| lost.bought(needed));
                let (price, beyond) = ladder.price(bought);
                (price * bought / volume, beyond)
            }
            Pricing::Once { cost, life } => {
                let sets = life.map_or(1.0, |life| (volume / life).ceil().max(1.0));
                (line.amount * cost * sets / volume, 0.0)
            }
        }
    }

    /// Returns everything at its value.
    ///
    /// # Errors
    /// A bill that does not hold together, or without a rate or an index.
    pub fn point(&self, volume: f64) -> Result<Point, BillError> {
        self.sound(volume)?;
        let value = |unknown: &usize| self.unknowns[*unknown].middle();
        let lines: Vec<f64> = self
            .lines
            .iter()
            .map(|line| {
                let rate = self.rate(line.currency).map_or(1.0, |rate| value(&rate));
                let series = line.series.as_ref().and_then(|s| self.indices.get(s));
                let shared: f64 = line.unknowns.iter().map(value).product();
                Self::own_cost(line, volume).0 * rate * series.map_or(1.0, value) * shared
            })
            .collect();
        let mut there = vec![0.0; self.levels.len()];
        let mut after = 0.0;
        for (line, cost) in self.lines.iter().zip(&lines) {
            match line.level {
                Some(level) => there[level] += cost,
                None => after += cost,
            }
        }
        for (at, own) in self.levels.iter().enumerate() {
            let good = own.good.as_ref().map_or(1.0, value);
            let cost = level(there[at], good, own.rework).0;
            match own.into {
                Some(into) => there[into] += cost,
                None => after += cost,
            }
        }
        let overhead = self.overhead.as_ref().map_or(0.0, value);
        let margin = self.margin.as_ref().map_or(0.0, value);
        let total = after * (1.0 + overhead) / (1.0 - margin);
        let mut groups: BTreeMap<Group, f64> = BTreeMap::new();
        for (line, cost) in self.lines.iter().zip(&lines) {
            *groups.entry(line.group).or_default() += cost;
        }
        groups.insert(Group::Losses, after - lines.iter().sum::<f64>());
        groups.insert(Group::Overheads, total - after);
        // Sums in another order differ in the last bits.
        groups.retain(|_, cost| cost.abs() > 1e-12 * total.abs());
        Ok(Point {
            total,
            groups: groups.into_iter().collect(),
            lines,
        })
    }

    /// Returns the unknown that is the rate of a currency; none for that of the bill.
    pub(crate) fn rate(&self, of: Currency) -> Option<usize> {
        self.rates.iter().find(|r| r.of == of).map(|r| r.unknown)
    }

    /// Checks that everything named is there.
    pub(crate) fn sound(&self, volume: f64) -> Result<(), BillError> {
        if !(volume >= 1.0 && volume.is_finite()) {
            return Err(BillError::Volume(volume));
        }
        if self.lines.is_empty() {
            return Err(BillError::Empty);
        }
        let broken = |what: String| Err(BillError::Broken(what));
        for line in &self.lines {
            if line.currency != self.currency && self.rate(line.currency).is_none() {
                return Err(BillError::Rate {
                    line: line.name.clone(),
                    from: line.currency,
                    to: self.currency,
                });
            }
            if let Some(series) = &line.series
                && !self.indices.contains_key(series)
            {
                return Err(BillError::Index {
                    line: line.name.clone(),
                    series: series.clone(),
                });
            }
            if line.level.is_some_and(|level| level >= self.levels.len()) {
                return broken(format!("the line '{}' is at no level", line.name));
            }
            if !(line.amount >= 0.0 && line.amount.is_finite()) {
                return broken(format!("the line '{}' has no amount", line.name));
            }
        }
        for (at, level) in self.levels.iter().enumerate() {
            if level
                .into
                .is_some_and(|into| into <= at || into >= self.levels.len())
            {
                return broken(format!(
                    "the level '{}' goes into none after it",
                    level.name
                ));
            }
        }
        let named = self.lines.iter().flat_map(|line| &line.unknowns);
        let named = named.chain(self.levels.iter().filter_map(|level| level.good.as_ref()));
        let named = named.chain(self.rates.iter().map(|rate| &rate.unknown));
        let named = named
            .chain(self.indices.values())
            .chain(&self.overhead)
            .chain(&self.margin);
        match named.max().is_some_and(|most| *most >= self.unknowns.len()) {
            true => broken("an unknown is named that is not there".into()),
            false => Ok(()),
        }
    }
}

impl Unknown {
    /// The value that a point takes: of alternatives their mean.
    pub(crate) fn middle(&self) -> f64 {
        match &self.law {
            Law::Alternatives(all) => self.value * alternatives(all).0,
            _ => self.value,
        }
    }
}

/// Returns mean and standard deviation of weighted alternatives.
pub(crate) fn alternatives(all: &[(f64, f64)]) -> (f64, f64) {
    let whole: f64 = all.iter().map(|(weight, _)| weight).sum();
    let mean = all.iter().map(|(w, x)| w * x).sum::<f64>() / whole;
    let square = all
        .iter()
        .map(|(w, x)| w * (x - mean) * (x - mean))
        .sum::<f64>()
        / whole;
    (mean, square.sqrt())
}
