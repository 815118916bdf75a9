//! What each link carries: volts, and the most amperes and watts.
//!
//! In: the followed paths, each with its limits. Out: one value a link.
//! What branches off behind a link adds up, as far as what lies before the branches lets it. Of several sources the one that brings
//! most counts; one that reaches the link through another brings no more than that.
//! Not here: finding limits (`network`); drawing.

use crate::inputs::{tidy, unit};
use crate::network::{Chain, Path, Ratio};
use crate::{Cell, QuantityValue};
use quantity::{Sheet, Term, format_quantity};
use record::Item;
use std::collections::BTreeMap;

/// A value with its standard uncertainty, SI.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Amount {
    value: f64,
    u: f64,
}

impl Amount {
    fn of(sheet: &Sheet, term: Term<'_>) -> Option<Self> {
        let told = sheet.propagate(&[term]).ok()?;
        Some(Self {
            value: told.values[0],
            u: told.covariance[0][0].sqrt(),
        })
    }

    /// Adds another; as if both were off the same way, which no sum exceeds.
    fn plus(self, other: Self) -> Self {
        Self {
            value: self.value + other.value,
            u: self.u + other.u,
        }
    }

    /// Returns it with the digits that its uncertainty leaves, without ±.
    fn cell(self, symbol: &str) -> Cell {
        if self.u <= 0.0 {
            return Cell::quantity(tidy(self.value), unit(symbol));
        }
        match Cell::measured(self.value, self.u, unit(symbol)) {
            Cell::Quantity(value) => Cell::Quantity(QuantityValue::without_interval(value)),
            other => other,
        }
    }
}

/// Returns a value with the digits that its uncertainty leaves, without ±.
pub(super) fn told(sheet: &Sheet, term: Term<'_>, symbol: &str) -> Option<Cell> {
    Amount::of(sheet, term).map(|amount| amount.cell(symbol))
}

/// Current and power at one place.
#[derive(Debug, Clone, Copy)]
struct Flow {
    amps: Amount,
    watts: Option<Amount>,
}

impl Flow {
    fn of(sheet: &Sheet, amps: Term<'_>, volts: Option<Term<'_>>) -> Option<Self> {
        Some(Self {
            amps: Amount::of(sheet, amps)?,
            watts: volts.and_then(|volts| Amount::of(sheet, volts * amps)),
        })
    }

    fn plus(self, other: Self) -> Self {
        let watts = self.watts.zip(other.watts);
        Self {
            amps: self.amps.plus(other.amps),
            watts: watts.map(|(a, b)| a.plus(b)),
        }
    }

    fn smaller(self, other: Self) -> Self {
        if other.amps.value < self.amps.value {
            other
        } else {
            self
        }
    }
}

/// One path over a link.
struct Passing {
    /// Items behind the link.
    behind: Vec<String>,
    /// Limits behind the link with the number of the item among those behind, told as current over the link.
    limits: Vec<(usize, Flow)>,
    /// What lies before the link lets pass.
    before: Option<Flow>,
}

/// The paths over one link from one source.
#[derive(Default)]
struct Source {
    /// Items from the source to the link.
    through: Vec<String>,
    passing: Vec<Passing>,
}

impl Source {
    /// Returns the most that this source sends over the link; `None` where nothing limits it.
    fn most(&self) -> Option<Flow> {
        let all: Vec<&Passing> = self.passing.iter().collect();
        let before = self.passing.iter().map(|one| one.before);
        let before = before.reduce(|a, b| a.zip(b).map(|(a, b)| larger(a, b)));
        smallest([before.flatten(), together(&all, 0)])
    }
}

/// Returns the most that goes on from the item number `depth` behind the link, which all these paths pass: what it
/// lets pass itself, and no more than what branches from it take together.
fn together(paths: &[&Passing], depth: usize) -> Option<Flow> {
    let own = paths.iter().flat_map(|p| &p.limits);
    let own = own.filter(|(at, _)| *at == depth).map(|(_, flow)| *flow);
    let own = own.reduce(Flow::smaller);
    let mut branches: BTreeMap<&str, Vec<&Passing>> = BTreeMap::new();
    let mut ends_here = false;
    for path in paths {
        match path.behind.get(depth + 1) {
            Some(next) => branches.entry(next).or_default().push(path),
            None => ends_here = true,
        }
    }
    let branches = branches.values().map(|paths| together(paths, depth + 1));
    let taken = branches.collect::<Option<Vec<Flow>>>();
    let taken = taken.filter(|_| !ends_here);
    smallest([
        own,
        taken.and_then(|flows| flows.into_iter().reduce(Flow::plus)),
    ])
}

/// Returns the smaller of what is known.
fn smallest(flows: [Option<Flow>; 2]) -> Option<Flow> {
    flows.into_iter().flatten().reduce(Flow::smaller)
}

fn larger(a: Flow, b: Flow) -> Flow {
    if b.amps.value > a.amps.value { b } else { a }
}

/// What flows over the links.
#[derive(Default)]
pub(super) struct Flows {
    /// By number of the link, then by source.
    links: BTreeMap<usize, BTreeMap<String, Source>>,
    volts: BTreeMap<usize, Amount>,
}

/// What one link carries, ready to be told.
#[derive(Debug, Clone, Default)]
pub(super) struct Carried {
    pub(super) volts: Cell,
    /// The most amperes, or the range of what is drawn.
    pub(super) amps: Cell,
    pub(super) watts: Cell,
}

impl Flows {
    /// Notes a path; `is_open` where what reaches its end is not known.
    pub(super) fn pass<'s>(
        &mut self,
        sheet: &'s Sheet,
        path: &Path<'_>,
        chain: &Chain<'s>,
        is_open: bool,
    ) {
        // What the last item allows does not say what an unknown charger gives it.
        let last = path.items.len() - 1;
        let limits: Vec<(usize, Term<'s>)> = chain
            .limits
            .iter()
            .filter_map(|limit| {
                let at = path.items.iter().position(|i| i.id == limit.item)?;
                let at = at + usize::from(limit.on_link);
                (!is_open || at < last).then_some((at, limit.term))
            })
            .collect();
        for (k, link) in path.links.iter().enumerate() {
            let volts = chain.stages[k].volts_out;
            if let Some(amount) = volts.and_then(|v| Amount::of(sheet, v)) {
                self.volts.entry(link.number).or_insert(amount);
            }
            // Carried from the end of the path back to this link.
            let here = |at_end: Term<'s>| match chain.gains[k + 1] {
                Ratio::One => Some(at_end),
                Ratio::Times(gain) => Some(at_end / gain),
                Ratio::Unknown => None,
            };
            let told = limits
                .iter()
                .filter_map(|(at, term)| Some((*at, Flow::of(sheet, here(*term)?, volts)?)));
            let (before, behind): (Vec<_>, Vec<_>) = told.partition(|(at, _)| *at <= k);
            let start = path.start().id.clone();
            let source = self.links.entry(link.number).or_default();
            let source = source.entry(start).or_default();
            let ids = |items: &[&Item]| items.iter().map(|i| i.id.clone()).collect();
            source.through = ids(&path.items[..=k]);
            source.passing.push(Passing {
                behind: ids(&path.items[k + 1..]),
                limits: behind
                    .into_iter()
                    .map(|(at, flow)| (at - k - 1, flow))
                    .collect(),
                before: before
                    .into_iter()
                    .map(|(_, flow)| flow)
                    .reduce(Flow::smaller),
            });
        }
    }

    /// Returns what a link into an item carries.
    pub(super) fn over(&self, link: usize, to: &Item) -> Carried {
        let volts = self.volts.get(&link).copied();
        let most = self.most(link);
        let drawn = drawn(to).filter(|_| most.is_none());
        Carried {
            volts: volts.map_or(Cell::Nothing, |v| v.cell("V")),
            amps: match (most, drawn) {
                (Some(most), _) => most.amps.cell("A").named("at most"),
                (None, Some((low, high))) => range(low, high, "A").named("draws"),
                (None, None) => Cell::Nothing,
            },
            watts: match (most.map(|m| m.watts), drawn.zip(volts)) {
                (Some(watts), _) => watts.map_or(Cell::Nothing, |w| w.cell("W")),
                (None, Some(((low, high), volts))) => {
                    range(low * volts.value, high * volts.value, "W")
                }
                (None, None) => Cell::Nothing,
            },
        }
    }

    fn most(&self, link: usize) -> Option<Flow> {
        let sources = self.links.get(&link)?;
        let alone: BTreeMap<&str, Option<Flow>> = sources
            .iter()
            .map(|(start, source)| (start.as_str(), source.most()))
            .collect();
        let bounded = sources.iter().map(|(start, source)| {
            let through = source.through.iter().filter(|id| *id != start);
            let on_the_way = through.filter_map(|id| *alone.get(id.as_str())?);
            let own = alone[start.as_str()];
            own.into_iter().chain(on_the_way).reduce(Flow::smaller)
        });
        let all = bounded.collect::<Option<Vec<Flow>>>()?;
        all.into_iter().reduce(larger)
    }
}

/// Returns the least and the most current on record for what draws it, A.
fn drawn(item: &Item) -> Option<(f64, f64)> {
    let currents = item
        .loads
        .iter()
        .map(|l| (l.current.low_si(), l.current.high_si()));
    currents.reduce(|(a, b), (c, d)| (a.min(c), b.max(d)))
}

/// Below this a range is told in thousandths of the unit.
const FEW: f64 = 0.1;

/// Tells a range of SI values, in thousandths where both are small.
fn range(low: f64, high: f64, symbol: &str) -> Cell {
    let (scale, symbol) = match high < FEW {
        true => (1e3, format!("m{symbol}")),
        false => (1.0, symbol.to_string()),
    };
    let shown = |value: f64| quantity::digits::significant(value, 2);
    let end = |value: f64| quantity::digits::decimal(value, shown(value));
    let (low, high) = (low * scale, high * scale);
    if end(low) == end(high) {
        let rounded = end(high).parse().unwrap_or(high);
        return Cell::words(format_quantity(rounded, &unit(&symbol)));
    }
    Cell::words(format!("{} to {}\u{202f}{symbol}", end(low), end(high)))
}
