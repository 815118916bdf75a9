//! Which single further weighing would help most.
//!
//! In: a solved set of masses, the best scale at hand. Out: the item to weigh and what it would bring.
//!
//! First come weighings that make unknown masses known, most of them first; then those that shrink the
//! sum of the variances of the known masses most. A new reading with variance `u²` takes from the
//! variance of mass `g` the amount `cov(g, h)² / (var h + u²)` (one Kalman update). Its error is taken
//! as independent of the earlier readings. The sums of squares for all candidates come out of one
//! elimination (`model`).

use super::solution::MassSolution;
use super::structure;
use crate::assumed;
use crate::inputs::{instrument_accuracy, unit};
use quantity::Dimension;
use record::{Dossier, Item, ItemKind};
use std::collections::BTreeMap;

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

    /// Returns the recorded scales.
    pub fn all(dossier: &Dossier) -> Vec<Self> {
        let grams = |kg: f64| unit("g").of_si(kg);
        let scale = |instrument: &record::Instrument| {
            let accuracy = instrument_accuracy(dossier, &instrument.id, Dimension::MASS)?;
            Some(Scale {
                name: instrument.name.clone(),
                resolution: grams(accuracy.resolution?),
                limit: (
                    grams(accuracy.absolute.unwrap_or(0.0)),
                    accuracy.relative.unwrap_or(0.0),
                ),
            })
        };
        dossier.instruments.iter().filter_map(scale).collect()
    }

    /// Returns the first of `scales` with the smallest uncertainty at `mass` grams; without one, a scale of
    /// 0.01 g.
    pub fn best(scales: &[Self], mass: f64) -> Self {
        let best = scales
            .iter()
            .min_by(|a, b| a.uncertainty(mass).total_cmp(&b.uncertainty(mass)));
        best.cloned().unwrap_or_else(|| Scale {
            name: format!("a scale reading {}", assumed::SCALE_RESOLUTION.text()),
            resolution: assumed::SCALE_RESOLUTION.number(),
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

/// Returns whether item number `item` is a piece that one would put on a scale: not something soldered to
/// or stuck on another piece.
pub(super) fn weighable(dossier: &Dossier, solution: &MassSolution, item: usize) -> bool {
    let tree = &solution.tree;
    dossier.items[item].kind != ItemKind::Adhesive
        && tree.parent(item).is_none_or(|up| tree.is_sum(up))
}

/// What weighing an item again, or at last, would bring.
struct Candidate {
    item: usize,
    mass: f64,
    /// Items whose mass would become known.
    group: Option<usize>,
    gained: usize,
    variance_then: f64,
}

/// Returns the weighing that would help most; `None` where none would. `possible` says whether an
/// item can still be weighed; it is asked for the most helpful weighings first.
pub fn best(
    dossier: &Dossier,
    solution: &MassSolution,
    possible: impl Fn(&Item) -> bool,
) -> Option<NextWeighing> {
    let items: Vec<usize> = (0..dossier.items.len())
        .filter(|&i| weighable(dossier, solution, i))
        .collect();
    let unknown = |i: usize| solution.unknown[i];
    let structure = solution.structure();
    let mut known = vec![false; solution.unknown.len()];
    for &i in &items {
        known[unknown(i)] = structure.is_determined(unknown(i));
    }
    let squares = solution.model.squares(structure, &known);
    let now: f64 = (0..known.len())
        .filter(|&u| known[u])
        .map(|u| squares[u].0)
        .sum();
    let open: Vec<usize> = items.iter().map(|&i| unknown(i)).collect();
    let groups = structure::groups(&structure.open, &open);
    let mut sizes: BTreeMap<usize, usize> = BTreeMap::new();
    for group in groups.values() {
        *sizes.entry(*group).or_default() += 1;
    }
    let scales = Scale::all(dossier);
    let mut candidates: Vec<Candidate> = items
        .iter()
        .map(|&i| {
            let pieces = f64::from(dossier.items[i].count.at_least());
            let mass = solution
                .adjusted(i)
                .or_else(|| solution.measured(i))
                .map_or(0.0, |m| m.0 * pieces);
            let group = groups.get(&unknown(i)).copied();
            let mut variance_then = now;
            if group.is_none() {
                let reading = Scale::best(&scales, mass).uncertainty(mass) / pieces;
                let (variance, squares) = squares[unknown(i)];
                let denominator = variance + reading * reading;
                if denominator > 0.0 {
                    variance_then = (now - squares / denominator).max(0.0);
                }
            }
            Candidate {
                item: i,
                mass,
                group,
                gained: group.map_or(0, |g| sizes[&g]),
                variance_then,
            }
        })
        .collect();
    candidates.sort_by(|a, b| {
        let gained = b.gained.cmp(&a.gained);
        gained.then(a.variance_then.total_cmp(&b.variance_then))
    });
    let is_possible = |c: &&Candidate| possible(&dossier.items[c.item]);
    let at = candidates.iter().position(|c| is_possible(&c))?;
    let best = &candidates[at];
    // Of weighings that help equally, the first in the record.
    let chosen = candidates[at..]
        .iter()
        .take_while(|c| {
            c.gained == best.gained && c.variance_then * (1.0 - 1e-9) <= best.variance_then
        })
        .filter(|c| c.item < best.item)
        .map(|c| (c.item, c))
        .collect::<BTreeMap<usize, &Candidate>>()
        .into_values()
        .find(is_possible)
        .unwrap_or(best);
    let found = NextWeighing {
        item: dossier.items[chosen.item].id.clone(),
        pieces: dossier.items[chosen.item].count.at_least(),
        newly_known: match chosen.group {
            Some(group) => items
                .iter()
                .filter(|&&i| groups.get(&unknown(i)) == Some(&group))
                .map(|&i| dossier.items[i].id.clone())
                .collect(),
            None => Vec::new(),
        },
        variance_now: now,
        variance_then: chosen.variance_then,
        scale: Scale::best(&scales, chosen.mass),
    };
    (!found.newly_known.is_empty()
        || found.variance_then < assumed::WORTH_WEIGHING.number() * found.variance_now)
        .then_some(found)
}
