//! Adjusted masses of a dossier, and what can be asked of them.
//!
//! Out: masses with covariance, tests, the readings each rests on.
//! Not here: sentences (`finding`), how they are found (`adjust`), the algebra (`balance`, `observe`).

use super::adjust;
use super::balance::{self, Reconciled};
use super::observe::Observed;
use super::tree::Tree;
use crate::basis;
use nalgebra::{DMatrix, DVector};
use quantity::{Distribution, Input, Origin, Source};
use record::Dossier;

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
///
/// Where the weighings contradict each other, the most suspicious reading, with those that cannot be
/// told from it, is set aside until the rest agrees; masses then rest on the rest. An item that only
/// readings set aside could give keeps its own reading as it was.
#[derive(Debug, Clone)]
pub struct MassSolution {
    pub(super) tree: Tree,
    pub(super) rows: Vec<Vec<f64>>,
    pub(super) covariance: DMatrix<f64>,
    pub(super) all: Observed,
    pub(super) kept: Vec<usize>,
    pub(super) kept_observed: Observed,
    pub(super) kept_weights: DMatrix<f64>,
    pub(super) kept_z: Vec<f64>,
    /// The weighings, in the order of the record.
    pub weighings: Vec<Weighing>,
    /// The adjustment of all of them; vectors follow `weighings`.
    pub reconciled: Reconciled,
    /// Indexes of the weighings set aside.
    pub set_aside: Vec<usize>,
    /// Weighings that could not be used and why.
    pub unused: Vec<String>,
}

impl MassSolution {
    /// Returns the mass of one of `item` and its standard uncertainty, both in grams; `None` where the
    /// weighings do not determine it.
    pub fn of(&self, item: &str) -> Option<(f64, f64)> {
        let weights = self.weights(item)?;
        Some((self.combine(&weights), self.variance(&weights).sqrt()))
    }

    /// Returns whether the mass of `item` rests on weighings that agree (or that nothing checks), and
    /// not on a reading that was set aside.
    pub fn is_sound(&self, item: &str) -> bool {
        self.tree
            .row(item)
            .is_some_and(|row| self.row_weights(row).is_some())
    }

    /// Returns the covariance of the masses of two items, g².
    pub fn covariance(&self, a: &str, b: &str) -> Option<f64> {
        let (a, b) = (self.weights(a)?, self.weights(b)?);
        Some((a.transpose() * &self.covariance * b).sum())
    }

    /// Returns the correlation coefficient of the masses of two items; `None` where one is not known.
    pub fn correlation(&self, a: &str, b: &str) -> Option<f64> {
        let scale = self.of(a)?.1 * self.of(b)?.1;
        let covariance = self.covariance(a, b)?;
        Some(if scale > 0.0 {
            (covariance / scale).clamp(-1.0, 1.0)
        } else {
            0.0
        })
    }

    /// Returns what a weighing should have shown by all sound weighings, and the standard uncertainty of
    /// that, g; `None` where they do not determine it.
    pub fn expected(&self, weighing: usize) -> Option<(f64, f64)> {
        let weights = self.row_weights(self.rows.get(weighing)?)?;
        Some((self.combine(&weights), self.variance(&weights).sqrt()))
    }

    /// Returns the measurement statistic of a weighing: among the sound ones, or among all of them if it
    /// was set aside. Zero where nothing checks it.
    pub fn z(&self, weighing: usize) -> f64 {
        match self.kept.iter().position(|&j| j == weighing) {
            Some(k) => self.kept_z[k],
            None => self.reconciled.z_power[weighing],
        }
    }

    /// Returns whether a weighing is flagged: set aside, or beyond the critical value among the sound.
    pub fn is_flagged(&self, weighing: usize) -> bool {
        self.set_aside.contains(&weighing) || self.z(weighing).abs() > self.critical_z()
    }

    /// Returns the weight of each weighing in the mass of `item`.
    pub fn weights(&self, item: &str) -> Option<DVector<f64>> {
        self.row_weights(self.tree.row(item)?)
            .or_else(|| self.direct(item))
    }

    /// Returns the weight of each weighing in the mass of `row`; `None` where the sound weighings do not
    /// determine it.
    pub(super) fn row_weights(&self, row: &[f64]) -> Option<DVector<f64>> {
        let combination = self.kept_observed.combination(row).ok()?;
        let inner = self.kept_weights.transpose() * combination;
        let mut weights = DVector::zeros(self.weighings.len());
        for (k, &j) in self.kept.iter().enumerate() {
            weights[j] = inner[k];
        }
        Some(weights)
    }

    fn combine(&self, weights: &DVector<f64>) -> f64 {
        weights
            .iter()
            .zip(&self.weighings)
            .map(|(w, weighing)| w * weighing.shown)
            .sum()
    }

    /// Returns the pieces in one of `item`.
    pub(super) fn row(&self, item: &str) -> Option<&[f64]> {
        self.tree.row(item)
    }

    /// Returns what of `row` the sound weighings leave open: empty where nothing.
    pub(super) fn open(&self, row: &[f64]) -> Vec<f64> {
        self.kept_observed
            .combination(row)
            .err()
            .unwrap_or_default()
    }

    /// Returns the covariance of the readings times `weights`, g².
    pub(super) fn spread(&self, weights: &DVector<f64>) -> DVector<f64> {
        &self.covariance * weights
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
        let checked = self
            .reconciled
            .z_power
            .iter()
            .filter(|z| **z != 0.0)
            .count();
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
        Some((self.combine(&weights), self.variance(&weights).sqrt()))
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
                let residual = self.combine(&difference);
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
        adjust::alike(&self.all, weighing)
    }

    /// Returns what the other weighings say that `weighing` should have shown; `None` where they do
    /// not determine it.
    pub fn without(&self, weighing: usize) -> Option<Suspect> {
        let keep: Vec<usize> = (0..self.weighings.len())
            .filter(|&i| i != weighing)
            .collect();
        let shown: Vec<f64> = self.weighings.iter().map(|w| w.shown).collect();
        let (observed, result) = adjust::adjust(
            &self.rows,
            &shown,
            &self.covariance,
            self.tree.pieces,
            &keep,
        );
        let combination = observed.combination(&self.rows[weighing]).ok()?;
        Some(Suspect {
            weighing,
            should_be: combination.dot(&result.adjusted),
            chi_square: result.chi_square,
            degrees_of_freedom: result.degrees_of_freedom,
        })
    }
}
