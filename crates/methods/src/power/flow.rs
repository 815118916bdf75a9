//! What each link carries: volts, and the most amperes and watts.
//!
//! In: the followed paths, each with the current that its limits allow. Out: one value a link.
//! Ends that a link feeds add up, as far as what lies before it lets them. Of several sources the one that brings
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
    end: String,
    /// What reaches that end, where a limit is known.
    flow: Option<Flow>,
    /// What lies before the link lets pass, to whichever end.
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
        let mut ends: BTreeMap<&str, Option<Flow>> = BTreeMap::new();
        for one in &self.passing {
            let known = ends.entry(&one.end).or_insert(one.flow);
            *known = known.zip(one.flow).map(|(a, b)| larger(a, b));
        }
        let all = ends.into_values().collect::<Option<Vec<Flow>>>();
        let together = all.and_then(|flows| flows.into_iter().reduce(Flow::plus));
        let before = self.passing.iter().map(|one| one.before);
        let before = before.reduce(|a, b| a.zip(b).map(|(a, b)| larger(a, b)));
        match (together, before.flatten()) {
            (Some(a), Some(b)) => Some(a.smaller(b)),
            (a, b) => a.or(b),
        }
    }
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
    /// Notes a path; `current` is the most that reaches its end, where that is known.
    pub(super) fn pass<'s>(
        &mut self,
        sheet: &'s Sheet,
        path: &Path<'_>,
        chain: &Chain<'s>,
        current: Option<Term<'s>>,
    ) {
        let place = |item: &str| path.items.iter().position(|i| i.id == item);
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
            let flow = |at_end: Term<'s>| Flow::of(sheet, here(at_end)?, volts);
            let limits = chain.limits.iter();
            let limits = limits.filter(|l| place(&l.item).is_some_and(|at| at <= k));
            let start = path.start().id.clone();
            let source = self.links.entry(link.number).or_default();
            let source = source.entry(start).or_default();
            source.through = path.items[..=k].iter().map(|i| i.id.clone()).collect();
            source.passing.push(Passing {
                end: path.end().id.clone(),
                flow: current.and_then(flow),
                before: limits
                    .filter_map(|l| flow(l.term))
                    .reduce(|a, b| a.smaller(b)),
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

/// Tells a range in the thousandth, if its upper end is below a tenth.
fn range(low: f64, high: f64, symbol: &str) -> Cell {
    let (scale, symbol) = match high < 0.1 {
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
    Cell::words(format!(
        "{} to {}\u{202f}{symbol}",
        end(low),
        end(high)
    ))
}
