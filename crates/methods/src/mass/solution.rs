//! Adjusted masses of a dossier: readings of mass put against the item tree.
//!
//! In: a dossier. Out: [`MassSolution`]: masses with covariance, tests, the readings each rests on.
//! Not here: sentences (`finding`), the algebra (`balance`, `observe`).

use super::balance::{self, Reconciled, reconcile};
use super::observe::{Observed, proportional};
use super::tree::Tree;
use crate::basis;
use nalgebra::{DMatrix, DVector};
use quantity::{Dimension, Distribution, Input, Origin, Source};
use record::{Dossier, Reading, ReadingSubject};

/// Overall probability of a false alarm of the tests.
pub const ALPHA: f64 = 0.05;

/// One weighing. Grams.
#[derive(Debug, Clone, PartialEq)]
pub struct Weighing {
    /// Reading id.
    pub reading: String,
    /// Item on the scale.
    pub item: String,
    /// How many of it.
    pub pieces: f64,
    /// Whether other items had been taken out of it.
    pub incomplete: bool,
    /// What the scale showed, g.
    pub shown: f64,
    /// Standard uncertainty, g.
    pub uncertainty: f64,
    /// Places it rests on.
    pub evidence: Vec<String>,
}

/// A balance at one assembly: what it weighed against what it holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// The assembly.
    pub item: String,
    /// Weighed whole minus sum of what it holds, g.
    pub residual: f64,
    /// Standard uncertainty of that, g.
    pub uncertainty: f64,
    /// Nodal statistic.
    pub z: f64,
}

/// What one reading should have shown if it alone were wrong.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspect {
    /// Index of the weighing.
    pub weighing: usize,
    /// What the others say it should have shown, g.
    pub should_be: f64,
    /// Chi-square that remains without it.
    pub chi_square: f64,
    /// Degrees of freedom that remain.
    pub degrees_of_freedom: usize,
}

/// Masses of the items of one dossier, adjusted to each other.
#[derive(Debug, Clone)]
pub struct MassSolution {
    tree: Tree,
    observed: Observed,
    rows: Vec<Vec<f64>>,
    covariance: DMatrix<f64>,
    /// The weighings used, in the order of the record.
    pub weighings: Vec<Weighing>,
    /// The adjustment; vectors follow `weighings`.
    pub reconciled: Reconciled,
    /// Weighings that could not be used and why.
    pub unused: Vec<String>,
}

/// Adjusts the weighings of a dossier.
pub fn adjusted(dossier: &Dossier) -> MassSolution {
    let tree = Tree::of(dossier);
    let mut unused = Vec::new();
    let mut used: Vec<&Reading> = Vec::new();
    let mut weighings = Vec::new();
    let mut rows = Vec::new();
    for reading in dossier
        .readings
        .iter()
        .filter(|r| r.what == ReadingSubject::Mass)
    {
        match weighing(dossier, &tree, reading) {
            Ok((weighing, row)) => {
                used.push(reading);
                weighings.push(weighing);
                rows.push(row);
            }
            Err(why) => unused.push(format!("reading '{}': {why}", reading.id)),
        }
    }
    let n = weighings.len();
    let covariance = DMatrix::from_fn(n, n, |i, j| {
        basis::correlation(dossier, used[i], used[j])
            * weighings[i].uncertainty
            * weighings[j].uncertainty
    });
    let mut solution = solve(tree, rows, covariance, weighings);
    solution.unused = unused;
    solution
}

/// Puts given weighings against a tree. `rows` are piece counts, `covariance` is in g².
pub(super) fn solve(
    tree: Tree,
    rows: Vec<Vec<f64>>,
    covariance: DMatrix<f64>,
    weighings: Vec<Weighing>,
) -> MassSolution {
    let observed = Observed::new(&rows, tree.pieces);
    let shown = DVector::from_iterator(weighings.len(), weighings.iter().map(|w| w.shown));
    let reconciled = reconcile(&shown, &covariance, &observed.balances());
    MassSolution {
        tree,
        observed,
        rows,
        covariance,
        weighings,
        reconciled,
        unused: Vec::new(),
    }
}

fn weighing(
    dossier: &Dossier,
    tree: &Tree,
    reading: &Reading,
) -> Result<(Weighing, Vec<f64>), String> {
    if reading.value.dimension() != Dimension::MASS {
        return Err(format!("'{}' is not a mass", reading.value));
    }
    let row = tree
        .row(&reading.item)
        .ok_or_else(|| format!("no item '{}'", reading.item))?;
    let pieces = f64::from(reading.pieces.unwrap_or(1).max(1));
    let mut row: Vec<f64> = row.iter().map(|x| x * pieces).collect();
    for gone in &reading.without {
        let count = dossier.item(gone).map_or(1.0, |i| f64::from(i.count));
        let part = tree
            .row(gone)
            .ok_or_else(|| format!("no item '{gone}' to leave out"))?;
        for (x, y) in row.iter_mut().zip(part) {
            // What was taken out cannot be counted twice (a part and the board it sits on).
            *x = (*x - count * pieces * y).max(0.0);
        }
    }
    if row.iter().all(|&x| x == 0.0) {
        return Err("nothing was left on the scale".to_string());
    }
    let input = basis::reading_input(dossier, reading, "mass");
    let (shown, uncertainty) = (
        input.distribution.mean() * 1000.0,
        input.distribution.sd() * 1000.0,
    );
    if !(shown.is_finite() && uncertainty.is_finite() && uncertainty > 0.0) {
        return Err(format!("'{}' has no usable uncertainty", reading.value));
    }
    let weighing = Weighing {
        reading: reading.id.clone(),
        item: reading.item.clone(),
        pieces,
        incomplete: !reading.without.is_empty(),
        shown,
        uncertainty,
        evidence: basis::reading_evidence(reading),
    };
    Ok((weighing, row))
}

impl MassSolution {
    /// Returns the adjusted mass of one of `item` and its standard uncertainty, both in grams;
    /// `None` where the weighings do not determine it.
    pub fn of(&self, item: &str) -> Option<(f64, f64)> {
        let weights = self.weights(item)?;
        let mass: f64 = weights
            .iter()
            .zip(&self.weighings)
            .map(|(w, weighing)| w * weighing.shown)
            .sum();
        Some((mass, self.variance(&weights).sqrt()))
    }

    /// Returns the covariance of the masses of two items, g².
    pub fn covariance(&self, a: &str, b: &str) -> Option<f64> {
        let (a, b) = (self.weights(a)?, self.weights(b)?);
        Some((a.transpose() * &self.covariance * b).sum())
    }

    /// Returns the weight of each weighing in the adjusted mass of `item`.
    pub fn weights(&self, item: &str) -> Option<DVector<f64>> {
        let row = self.tree.row(item)?;
        let combination = self.observed.combination(row).ok()?;
        Some(self.reconciled.weights.transpose() * combination)
    }

    /// Returns the pieces in one of `item`.
    pub(super) fn row(&self, item: &str) -> Option<&[f64]> {
        self.tree.row(item)
    }

    /// Returns what of `row` the weighings leave open: empty where nothing.
    pub(super) fn open(&self, row: &[f64]) -> Vec<f64> {
        self.observed.combination(row).err().unwrap_or_default()
    }

    /// Returns the covariance of the adjusted mass of two combinations of pieces, g².
    pub(super) fn covariance_of(&self, a: &[f64], b: &[f64]) -> Option<f64> {
        let weights = |row: &[f64]| {
            let combination = self.observed.combination(row).ok()?;
            Some(self.reconciled.weights.transpose() * combination)
        };
        let (a, b) = (weights(a)?, weights(b)?);
        Some((a.transpose() * &self.covariance * b).sum())
    }

    fn variance(&self, weights: &DVector<f64>) -> f64 {
        (weights.transpose() * &self.covariance * weights)
            .sum()
            .max(0.0)
    }

    /// Returns the places in the record that the adjusted mass of `item` rests on.
    pub fn evidence(&self, item: &str) -> Vec<String> {
        let Some(weights) = self.weights(item) else {
            return Vec::new();
        };
        let mut places: Vec<String> = Vec::new();
        for (weight, weighing) in weights.iter().zip(&self.weighings) {
            if weight.abs() > 1e-6 {
                places.extend(weighing.evidence.iter().cloned());
            }
        }
        let mut seen = Vec::new();
        places.retain(|p| {
            !seen.contains(p) && {
                seen.push(p.clone());
                true
            }
        });
        places
    }

    /// Returns the adjusted mass of one of `item` as an input of a derivation.
    pub fn input(&self, item: &str, name: &str) -> Option<Input> {
        let (mass, uncertainty) = self.of(item)?;
        let source = Source {
            origin: Origin::Derived,
            evidence: self.evidence(item),
            note: "from all weighings, adjusted to each other".to_string(),
        };
        let law = Distribution::Normal {
            mean: mass / 1000.0,
            sd: uncertainty / 1000.0,
        };
        Some(Input::distributed(name, law, basis::unit("g"), source))
    }

    /// Returns whether the weighings agree at the 5 % level; `None` where none checks another.
    pub fn agree(&self) -> Option<bool> {
        self.reconciled.p_value().map(|p| p >= ALPHA)
    }

    /// Returns the |z| above which a reading is flagged: Šidák for the readings that are checked.
    pub fn critical_z(&self) -> f64 {
        let checked = self.reconciled.z.iter().filter(|z| **z != 0.0).count();
        balance::sidak_critical(ALPHA, checked)
    }

    /// Returns the mean of the direct weighings of one complete `item` as weights over the weighings.
    pub(super) fn direct(&self, item: &str) -> Option<DVector<f64>> {
        let own: Vec<usize> = (0..self.weighings.len())
            .filter(|&i| self.weighings[i].item == item && !self.weighings[i].incomplete)
            .collect();
        let mut weights = DVector::zeros(self.weighings.len());
        for &i in &own {
            weights[i] = 1.0 / (own.len() as f64 * self.weighings[i].pieces);
        }
        (!own.is_empty()).then_some(weights)
    }

    /// Returns the directly weighed mass of one `item`, and its standard uncertainty, g.
    pub fn measured(&self, item: &str) -> Option<(f64, f64)> {
        let weights = self.direct(item)?;
        let mass = weights
            .iter()
            .zip(&self.weighings)
            .map(|(w, r)| w * r.shown)
            .sum();
        Some((mass, self.variance(&weights).sqrt()))
    }

    /// Returns the balance of every assembly that was weighed whole and in all its pieces.
    pub fn nodes(&self, dossier: &Dossier) -> Vec<Node> {
        let order = super::tree::in_order(dossier);
        let mut below: std::collections::BTreeMap<&str, DVector<f64>> = Default::default();
        let mut nodes = Vec::new();
        // From the leaves up: an item is known by its own weighing, or else by what it holds.
        for (item, _) in order.iter().rev() {
            let own = self.direct(&item.id);
            let mut inside = dossier.children(&item.id).peekable();
            let held = if super::tree::is_container(item) && inside.peek().is_some() {
                inside.try_fold(DVector::zeros(self.weighings.len()), |sum, child| {
                    below
                        .get(child.id.as_str())
                        .map(|w| sum + w * f64::from(child.count))
                })
            } else {
                None
            };
            if let (Some(own), Some(held)) = (&own, &held) {
                let difference = own - held;
                let residual: f64 = difference
                    .iter()
                    .zip(&self.weighings)
                    .map(|(w, r)| w * r.shown)
                    .sum();
                let uncertainty = self.variance(&difference).sqrt();
                let z = if uncertainty > 0.0 {
                    residual / uncertainty
                } else {
                    0.0
                };
                nodes.push(Node {
                    item: item.id.clone(),
                    residual,
                    uncertainty,
                    z,
                });
            }
            if let Some(weights) = own.or(held) {
                below.insert(item.id.as_str(), weights);
            }
        }
        nodes.reverse();
        nodes
    }

    /// Returns the readings whose error, if only one is wrong, cannot be told from an error of
    /// `weighing`: it enters every balance in the same proportion. Includes `weighing` itself.
    pub fn alike(&self, weighing: usize) -> Vec<usize> {
        let balances = self.observed.balances();
        let column = |j: usize| balances.column(j).iter().copied().collect::<Vec<f64>>();
        let own = column(weighing);
        (0..self.weighings.len())
            .filter(|&j| j == weighing || proportional(&own, &column(j)))
            .collect()
    }

    /// Returns what the other weighings say that `weighing` should have shown; `None` where they do
    /// not determine it.
    pub fn without(&self, weighing: usize) -> Option<Suspect> {
        let keep: Vec<usize> = (0..self.weighings.len())
            .filter(|&i| i != weighing)
            .collect();
        let rows = keep.iter().map(|&i| self.rows[i].clone()).collect();
        let covariance = self.covariance.select_rows(&keep).select_columns(&keep);
        let weighings = keep.iter().map(|&i| self.weighings[i].clone()).collect();
        let rest = solve(self.tree.clone(), rows, covariance, weighings);
        let combination = rest.observed.combination(&self.rows[weighing]).ok()?;
        Some(Suspect {
            weighing,
            should_be: combination.dot(&rest.reconciled.adjusted),
            chi_square: rest.reconciled.chi_square,
            degrees_of_freedom: rest.reconciled.degrees_of_freedom,
        })
    }
}
