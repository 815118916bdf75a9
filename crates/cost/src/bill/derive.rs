//! A bill as a term of a sheet.
//!
//! In: a bill, a volume. Out: one term, and which unknown stands behind which input of the sheet.

use super::{Bill, BillError, Law, Sort, Unknown, alternatives};
use quantity::{Currency, Dimension, Distribution, Input, Model, Sheet, Source, Term, Unit};
use std::collections::BTreeMap;
use std::sync::Arc;

/// How alternatives stand in a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kept {
    /// As they are, for draws.
    Whole,
    /// By mean and standard deviation alone, for derivatives, which jumps have none of.
    Moments,
}

/// A bill derived.
pub(crate) struct Derived<'s> {
    /// The cost of one piece.
    pub(crate) total: Term<'s>,
    /// The inputs in the order of the sheet.
    pub(crate) inputs: Vec<Behind>,
}

/// What stands behind an input.
pub(crate) struct Behind {
    pub(crate) name: String,
    pub(crate) sort: Sort,
    pub(crate) sourced: bool,
    /// Its number among the unknowns; none for the distance from the last break of a line.
    pub(crate) unknown: Option<usize>,
    pub(crate) sd: f64,
}

struct Deriving<'s, 'b> {
    sheet: &'s Sheet,
    bill: &'b Bill,
    kept: Kept,
    made: Vec<Option<Term<'s>>>,
    inputs: Vec<Behind>,
}

impl Bill {
    /// Returns the cost of one piece at a volume as a term, in the currency of the bill.
    ///
    /// # Errors
    /// As [`Bill::point`].
    pub fn term<'s>(&self, sheet: &'s Sheet, volume: f64) -> Result<Term<'s>, BillError> {
        Ok(self.derived(sheet, volume, Kept::Whole)?.total)
    }

    pub(crate) fn derived<'s>(
        &self,
        sheet: &'s Sheet,
        volume: f64,
        kept: Kept,
    ) -> Result<Derived<'s>, BillError> {
        self.sound(volume)?;
        let mut deriving = Deriving {
            sheet,
            bill: self,
            kept,
            made: vec![None; self.unknowns.len()],
            inputs: Vec::new(),
        };
        let mut there: Vec<Vec<Term<'s>>> = vec![Vec::new(); self.levels.len()];
        let mut after = Vec::new();
        for ((level, ..), term) in deriving.sums(volume) {
            match level {
                Some(level) => there[level].push(term),
                None => after.push(term),
            }
        }
        for (at, level) in self.levels.iter().enumerate() {
            let here = std::mem::take(&mut there[at]);
            if here.is_empty() {
                continue;
            }
            let sum = sheet
                .sum(&here)
                .named(&format!("value at {}", level.name), &one());
            let good = match level.good.map(|unknown| deriving.unknown(unknown)) {
                Some(good) => deriving.after_yield(sum, good, at),
                None => sum,
            };
            match level.into {
                Some(into) => there[into].push(good),
                None => after.push(good),
            }
        }
        let mut total = sheet.sum(&after);
        if let Some(overhead) = self.overhead {
            total = total * (1.0 + deriving.unknown(overhead));
        }
        if let Some(margin) = self.margin {
            total = total / (1.0 - deriving.unknown(margin));
        }
        let unit = Unit::coherent(Dimension::money(self.currency));
        let total = (total * sheet.constant(1.0, &unit)).named("cost of one piece", &unit);
        Ok(Derived {
            total,
            inputs: deriving.inputs,
        })
    }
}

/// What the rates and indices are common to.
type Bucket = (Option<usize>, Currency, Option<String>);

impl<'s> Deriving<'s, '_> {
    /// Returns the sums of lines of one level, currency and series, in the currency of the bill.
    fn sums(&mut self, volume: f64) -> Vec<(Bucket, Term<'s>)> {
        // Lines of one unknown are added up before they meet it.
        let mut plain: BTreeMap<Bucket, BTreeMap<Vec<usize>, f64>> = BTreeMap::new();
        let mut beyond: BTreeMap<Bucket, Vec<Term<'s>>> = BTreeMap::new();
        for line in &self.bill.lines {
            let bucket = (line.level, line.currency, line.series.clone());
            let (cost, doubt) = Bill::own_cost(line, volume);
            let mut unknowns = line.unknowns.clone();
            unknowns.sort_unstable();
            if doubt > 0.0 {
                let far = self.beyond(&line.name, doubt);
                let term = self
                    .product(&unknowns)
                    .map_or(cost * far, |own| cost * own * far);
                beyond.entry(bucket).or_default().push(term);
            } else {
                *plain
                    .entry(bucket)
                    .or_default()
                    .entry(unknowns)
                    .or_default() += cost;
            }
        }
        let mut sums = Vec::new();
        let buckets: Vec<Bucket> = plain.keys().chain(beyond.keys()).cloned().collect();
        let buckets: std::collections::BTreeSet<Bucket> = buckets.into_iter().collect();
        for bucket in buckets {
            let mut terms = beyond.remove(&bucket).unwrap_or_default();
            for (unknowns, cost) in plain.remove(&bucket).unwrap_or_default() {
                terms.push(match self.product(&unknowns) {
                    Some(own) => cost * own,
                    None => self.sheet.number(cost),
                });
            }
            let mut sum = self.sheet.sum(&terms);
            if let Some(rate) = self.bill.rate(bucket.1)
                && bucket.1 != self.bill.currency
            {
                sum = sum * self.unknown(rate);
            }
            let index = bucket
                .2
                .as_ref()
                .and_then(|series| self.bill.indices.get(series));
            if let Some(&index) = index {
                sum = sum * self.unknown(index);
            }
            sums.push((bucket, sum));
        }
        sums
    }

    fn product(&mut self, unknowns: &[usize]) -> Option<Term<'s>> {
        let terms: Vec<Term<'s>> = unknowns.iter().map(|&u| self.unknown(u)).collect();
        terms.into_iter().reduce(|a, b| a * b)
    }

    fn after_yield(&self, sum: Term<'s>, good: Term<'s>, level: usize) -> Term<'s> {
        match self.bill.levels[level].rework {
            None => sum / good,
            Some(rework) => {
                let bad = 1.0 - good;
                (sum + rework.cost * bad) / (good + rework.saves * bad)
            }
        }
    }

    /// Returns the term of an unknown, the same wherever it is asked for.
    fn unknown(&mut self, number: usize) -> Term<'s> {
        if let Some(made) = self.made[number] {
            return made;
        }
        let unknown = &self.bill.unknowns[number];
        let term = match (&unknown.law, self.kept) {
            (Law::Exact, _) => self.sheet.number(unknown.value),
            (Law::Alternatives(all), Kept::Whole) => {
                let chance = Distribution::Rectangular {
                    low: 0.0,
                    high: 1.0,
                };
                let chance = self.input(unknown, chance, Some(number));
                let choice = Arc::new(Choice::of(unknown.value, all));
                self.sheet
                    .model(&[chance], &[("alternative", Dimension::NONE)], choice)[0]
            }
            _ => self.input(unknown, unknown.distribution(), Some(number)),
        };
        self.made[number] = Some(term);
        term
    }

    fn beyond(&mut self, line: &str, sigma: f64) -> Term<'s> {
        let far = Unknown {
            name: format!("{line}: beyond the last price"),
            sort: Sort::Price,
            value: 1.0,
            law: Law::Lognormal { sigma },
            source: Source {
                origin: quantity::Origin::Assumed,
                evidence: Vec::new(),
                note: "a choice: 0.1 of the logarithm for every tenfold".into(),
            },
            sourced: false,
        };
        self.input(&far, far.distribution(), None)
    }

    fn input(&mut self, of: &Unknown, law: Distribution, number: Option<usize>) -> Term<'s> {
        self.inputs.push(Behind {
            name: of.name.clone(),
            sort: of.sort,
            sourced: of.sourced,
            unknown: number,
            sd: law.sd(),
        });
        let input = Input::distributed(of.name.clone(), law, one(), of.source.clone());
        self.sheet.input(input)
    }
}

impl Unknown {
    /// Returns its distribution; alternatives by their first two moments.
    pub(crate) fn distribution(&self) -> Distribution {
        match &self.law {
            Law::Exact => Distribution::Exact { value: self.value },
            Law::Lognormal { sigma } => Distribution::Lognormal {
                mu: self.value.ln(),
                sigma: *sigma,
            },
            Law::Triangular { low, high } => Distribution::Triangular {
                low: *low,
                mode: self.value,
                high: *high,
            },
            Law::Alternatives(all) => {
                let (mean, sd) = alternatives(all);
                Distribution::Normal {
                    mean: self.value * mean,
                    sd: self.value * sd,
                }
            }
        }
    }
}

/// Chooses one of several by a number between 0 and 1.
struct Choice {
    /// Up to which number, and what it gives.
    steps: Vec<(f64, f64)>,
}

impl Choice {
    fn of(value: f64, all: &[(f64, f64)]) -> Self {
        let whole: f64 = all.iter().map(|(weight, _)| weight).sum();
        let steps = all.iter().scan(0.0, |sum, (weight, factor)| {
            *sum += weight / whole;
            Some((*sum, value * factor))
        });
        Self {
            steps: steps.collect(),
        }
    }
}

impl Model for Choice {
    fn run(&self, arguments: &[f64], results: &mut [f64]) {
        let at = arguments.first().copied().unwrap_or(0.0);
        let step = self
            .steps
            .iter()
            .find(|(end, _)| at < *end)
            .or(self.steps.last());
        if let (Some(result), Some((_, value))) = (results.first_mut(), step) {
            *result = *value;
        }
    }

    fn identity(&self) -> Option<Vec<u64>> {
        let name = u64::from_le_bytes(*b"a choice");
        let steps = self.steps.iter();
        let words = steps.flat_map(|(end, value)| [end.to_bits(), value.to_bits()]);
        Some([name].into_iter().chain(words).collect())
    }
}

/// The unit of plain numbers.
fn one() -> Unit {
    Unit::coherent(Dimension::NONE)
}
