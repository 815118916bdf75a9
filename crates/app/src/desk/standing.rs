//! Where a product stands among all of its library, from the index alone.
//!
//! In: a view, the library's index. Out: measures that products can be ranked by, parts that others have too.
//! Not here: words for it (`workbench`). A figure is ranked only where a printed claim is
//! held against it and the product has one of its kind, and an order
//! is told only as far as 95 % intervals do not overlap.

use super::{Desk, View, indexed};
use crate::Problem;
use ::standing::rank::Place as Rank;
use ::standing::record as extreme;
use library::{FigureRange, Find, Ranged};
use methods::{FigureKey, Finding, Method};
use record::Place;
use std::collections::{BTreeMap, BTreeSet};

/// Products that have a figure, this one among them, from which on an order is told.
pub const LEAST: usize = 5;

/// Most products that are counted.
const MOST: usize = 1000;

/// Where a product stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// Products in the library, this one among them.
    pub products: usize,
    /// Products whose last change is not indexed yet.
    pub behind: usize,
    /// Figures by the kind of quantity.
    pub measures: Vec<Measure>,
    /// Probability that chance alone makes at least one of the figures with a rank the least or the greatest.
    pub any_record: f64,
    /// Known parts in it, those that others have too first.
    pub parts: Vec<SharedPart>,
}

/// A figure beside those of the others.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    /// Which quantity it is.
    pub name: String,
    /// Its value as printed.
    pub value: String,
    /// Products that have a figure of the kind, this one among them.
    pub of: usize,
    /// How many of the others are surely less, not to be told apart and surely more; none where there are too few, or
    /// too many to count.
    pub rank: Option<Rank>,
}

/// Which end of an order a figure is at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// Surely less than all others.
    Least,
    /// Surely more than all others.
    Greatest,
}

impl Measure {
    /// Returns the end it is at and the probability that chance puts it there; none where it is at no end or its
    /// interval overlaps another.
    pub fn record(&self) -> Option<(End, f64)> {
        let rank = self.rank.filter(|rank| rank.equal == 0)?;
        let end = match (rank.less, rank.more) {
            (0, 1..) => End::Least,
            (1.., 0) => End::Greatest,
            _ => return None,
        };
        Some((end, extreme::chance(rank.others(), 1)))
    }
}

/// A known part and how many have it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SharedPart {
    /// Its name.
    pub name: String,
    /// Products besides this one that have it, by name; at most a few.
    pub others: Vec<String>,
}

/// Products that are named for a part.
const NAMED: usize = 5;

impl Desk {
    /// Returns where a product stands among those of its library.
    ///
    /// # Errors
    /// A library that cannot be reached.
    pub async fn standing(&self, view: &View) -> Result<Standing, Problem> {
        let everything = self.found(Find::default()).await?;
        let mut measures = Vec::new();
        for (figure, name, value) in single_figures(view) {
            measures.push(self.measure(view, &figure, name, value).await?);
        }
        let mut parts = Vec::new();
        for name in parts_of(view) {
            let found = self.library.with_part(&name, NAMED + 1).await?;
            let others = found.hits.into_iter().filter(|hit| hit.dossier != view.id);
            let others = others.map(|hit| hit.product).take(NAMED).collect();
            parts.push(SharedPart { name, others });
        }
        parts.sort_by_key(|part| std::cmp::Reverse(part.others.len()));
        let ranked = measures.iter().filter_map(|m: &Measure| m.rank);
        let any_record = extreme::chance_of_any(ranked.map(Rank::others));
        Ok(Standing {
            // This one counts whether or not its last change is indexed yet, as it does among those with a figure.
            products: 1 + everything
                .hits
                .iter()
                .filter(|hit| hit.dossier != view.id)
                .count(),
            behind: everything.behind,
            measures,
            any_record,
            parts,
        })
    }

    async fn found(&self, find: Find) -> Result<library::Found, Problem> {
        Ok(self.library.find(&Find { most: MOST, ..find }).await?)
    }

    async fn measure(
        &self,
        view: &View,
        own: &FigureRange,
        name: String,
        value: String,
    ) -> Result<Measure, Problem> {
        let others = async |low: f64, high: f64| -> Result<Option<usize>, Problem> {
            let figures = vec![Ranged {
                kind: own.kind.clone(),
                dimension: own.dimension.clone(),
                low,
                high,
            }];
            let found = self
                .found(Find {
                    figures,
                    ..Find::default()
                })
                .await?;
            let others = found.hits.iter().filter(|hit| hit.dossier != view.id);
            Ok((!found.more).then(|| others.count()))
        };
        let all = others(f64::MIN, f64::MAX).await?;
        let of = all.map_or(MOST, |others| others + 1);
        let mut rank = None;
        if let Some(all) = all.filter(|_| of >= LEAST) {
            let reach = others(own.low, f64::MAX).await?.unwrap_or(all);
            let begin = others(f64::MIN, own.high).await?.unwrap_or(all);
            let (less, more) = (all.saturating_sub(reach), all.saturating_sub(begin));
            let equal = all.saturating_sub(less + more);
            rank = Some(Rank { less, equal, more });
        }
        Ok(Measure {
            name,
            value,
            of,
            rank,
        })
    }
}

/// The figures that printed claims are held against and whose kind the product has once, with name and value as
/// printed.
fn single_figures(view: &View) -> Vec<(FigureRange, String, String)> {
    let ranges = indexed(view).figures;
    let mut counts: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    for range in &ranges {
        *counts.entry((&range.kind, &range.dimension)).or_default() += 1;
    }
    let judged = || view.findings.findings.iter();
    let judged = || judged().filter(|f| f.method() == Method::Claims);
    let keyed = || judged().flat_map(|f| f.figures.iter().map(move |keyed| (f, keyed)));
    let single = ranges
        .iter()
        .filter(|range| counts.get(&(range.kind.as_str(), range.dimension.as_str())) == Some(&1));
    let named = single.filter_map(|range| {
        let (finding, figure) = keyed().find(|(_, keyed)| {
            keyed.key.what.to_string() == range.kind
                && keyed.figure.unit.dimension().to_string() == range.dimension
        })?;
        let quantity = methods::words::capital(&range.kind.replace('-', " "));
        let name = match thing(view, finding, &figure.key) {
            Some(thing) => format!("{quantity} of {thing}"),
            None => quantity,
        };
        Some((range.clone(), name, figure.figure.text.clone()))
    });
    named.collect()
}

/// Names what a figure is of, with its article; none where it is of the product as a whole.
fn thing(view: &View, finding: &Finding, key: &FigureKey) -> Option<String> {
    let own = key.of.as_ref().and_then(Place::item_id);
    let claimed = || finding.claim(&view.dossier)?.says.item.as_deref();
    let item = view.dossier.item(own.or_else(claimed)?)?;
    item.parent.as_ref()?;
    Some(methods::words::the(item))
}

/// The names of the known parts in it, each once.
fn parts_of(view: &View) -> BTreeSet<String> {
    let items = view.dossier.items.iter();
    let identities = items.filter_map(|item| item.part.as_ref()?.identity.as_ref());
    identities.map(|identity| identity.name.clone()).collect()
}
