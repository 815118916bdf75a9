//! Which single further weighing would help most.
//!
//! In: a solved set of masses, the best scale at hand. Out: the item to weigh and what it would bring.
//!
//! First come weighings that make unknown masses known, most of them first; then those that shrink the
//! sum of the variances of the known masses most. A new reading with variance `u²` takes from the
//! variance of mass `g` the amount `cov(g, h)² / (var h + u²)` (one Kalman update). Its error is taken
//! as independent of the earlier readings.

use super::observe::proportional;
use super::solution::MassSolution;
use super::tree::is_container;
use crate::basis::{instrument_accuracy, unit};
use nalgebra::DVector;
use quantity::Dimension;
use record::{Dossier, Item, ItemKind};

/// A scale as good as the best recorded one.
#[derive(Debug, Clone, PartialEq)]
pub struct Scale {
    /// What it is called.
    pub name: String,
    /// Resolution, g.
    pub resolution: f64,
    /// Limit of error: constant part, g, and fraction of the reading.
    pub limit: (f64, f64),
}

impl Scale {
    /// Returns the standard uncertainty of one reading of `mass` grams, g.
    pub fn uncertainty(&self, mass: f64) -> f64 {
        let limit = self.limit.0 + self.limit.1 * mass.abs();
        (self.resolution.powi(2) / 12.0 + limit.powi(2) / 3.0).sqrt()
    }

    /// Returns the recorded instrument with the smallest uncertainty at `mass` grams; without one, a
    /// scale of 0.01 g.
    pub fn best(dossier: &Dossier, mass: f64) -> Self {
        let grams = |kg: f64| unit("g").of_si(kg);
        let mut found: Option<Scale> = None;
        for instrument in &dossier.instruments {
            let Some(accuracy) = instrument_accuracy(dossier, &instrument.id, Dimension::MASS)
            else {
                continue;
            };
            let Some(resolution) = accuracy.resolution else {
                continue;
            };
            let scale = Scale {
                name: instrument.name.clone(),
                resolution: grams(resolution),
                limit: (
                    grams(accuracy.absolute.unwrap_or(0.0)),
                    accuracy.relative.unwrap_or(0.0),
                ),
            };
            if found
                .as_ref()
                .is_none_or(|f| scale.uncertainty(mass) < f.uncertainty(mass))
            {
                found = Some(scale);
            }
        }
        found.unwrap_or_else(|| Scale {
            name: "a scale reading 0.01 g".to_string(),
            resolution: 0.01,
            limit: (0.0, 0.0),
        })
    }
}

/// The weighing that would help most.
#[derive(Debug, Clone, PartialEq)]
pub struct NextWeighing {
    /// Item to weigh.
    pub item: String,
    /// All pieces of it together.
    pub pieces: u32,
    /// The scale thought of.
    pub scale: Scale,
    /// Items whose mass would become known.
    pub newly_known: Vec<String>,
    /// Sum of the variances of the known masses now, g².
    pub variance_now: f64,
    /// The same after it, g².
    pub variance_then: f64,
}

/// Returns whether an item is a piece that one would put on a scale: not something soldered to or
/// stuck on another piece.
pub fn weighable(dossier: &Dossier, item: &Item) -> bool {
    item.kind != ItemKind::Adhesive
        && item
            .parent
            .as_deref()
            .and_then(|p| dossier.item(p))
            .is_none_or(is_container)
}

/// An item, what of it stays open, and, if nothing does, its weights and their spread.
type Candidate<'d> = (&'d Item, Vec<f64>, Option<(DVector<f64>, DVector<f64>)>);

/// Returns the weighing that would help most; `None` where none would. `possible` says whether an
/// item can still be weighed.
pub fn best(
    dossier: &Dossier,
    solution: &MassSolution,
    possible: impl Fn(&Item) -> bool,
) -> Option<NextWeighing> {
    let items: Vec<&Item> = dossier
        .items
        .iter()
        .filter(|i| weighable(dossier, i))
        .collect();
    // What stays open of each item, or its weights over the weighings and these times the covariance.
    let rows: Vec<Candidate<'_>> = items
        .iter()
        .filter_map(|i| {
            let row = solution.row(&i.id)?;
            let known = solution
                .row_weights(row)
                .map(|w| (w.clone(), solution.spread(&w)));
            Some((*i, solution.open(row), known))
        })
        .collect();
    let now: f64 = rows
        .iter()
        .filter_map(|(_, _, k)| k.as_ref())
        .map(|(w, s)| w.dot(s))
        .sum();
    let mut found: Option<NextWeighing> = None;
    for (item, open, known) in rows.iter().filter(|(i, _, _)| possible(i)) {
        let pieces = f64::from(item.count.max(1));
        let mass = solution.of(&item.id).map_or(0.0, |m| m.0 * pieces);
        let scale = Scale::best(dossier, mass);
        let mut candidate = NextWeighing {
            item: item.id.clone(),
            pieces: item.count.max(1),
            newly_known: Vec::new(),
            variance_now: now,
            variance_then: now,
            scale,
        };
        if let Some((weights, spread)) = known {
            let reading = candidate.scale.uncertainty(mass) / pieces;
            let denominator = weights.dot(spread) + reading * reading;
            if denominator > 0.0 {
                let gain: f64 = rows
                    .iter()
                    .filter_map(|(_, _, k)| k.as_ref())
                    .map(|(other, _)| other.dot(spread).powi(2) / denominator)
                    .sum();
                candidate.variance_then = (now - gain).max(0.0);
            }
        } else {
            candidate.newly_known = rows
                .iter()
                .filter(|(_, other, _)| !other.is_empty() && proportional(open, other))
                .map(|(i, _, _)| i.id.clone())
                .collect();
        }
        if found.as_ref().is_none_or(|f| better(&candidate, f)) {
            found = Some(candidate);
        }
    }
    found.filter(|f| !f.newly_known.is_empty() || f.variance_then < 0.99 * f.variance_now)
}

fn better(a: &NextWeighing, b: &NextWeighing) -> bool {
    match a.newly_known.len().cmp(&b.newly_known.len()) {
        std::cmp::Ordering::Equal => a.variance_then < b.variance_then * (1.0 - 1e-9),
        more => more.is_gt(),
    }
}
