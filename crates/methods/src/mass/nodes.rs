//! What every assembly weighed whole is off by from what it holds.
//!
//! In: a solved set of masses. Out: the nodal statistics. Not here: which reading is wrong (`gross`).
//!
//! The nodal test of Mah, Stanley and Downing (Ind. Eng. Chem. Process Des. Dev. 15 (1976) 175–183), one
//! balance at a time, on the readings as they were shown.

use super::model::Model;
use super::solution::MassSolution;
use std::collections::BTreeMap;

/// A balance at one assembly: what it weighed against what it holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// The assembly, by its place in the record's list of items.
    pub item: usize,
    /// Weighed whole minus sum of what it holds, g.
    pub residual: f64,
    /// Standard uncertainty of that, g.
    pub uncertainty: f64,
    /// Nodal statistic.
    pub z: f64,
}

impl Model {
    /// Returns a weighted sum of readings as shown, each at most once in `weights`, and its variance.
    pub fn combination(&self, weights: &[(usize, f64)]) -> (f64, f64) {
        let mut common: BTreeMap<usize, f64> = BTreeMap::new();
        let (mut value, mut variance) = (0.0, 0.0);
        for &(j, w) in weights {
            let row = &self.rows[j];
            value += w * row.shown;
            let shared = row.common.map_or(0.0, |(k, loading)| {
                *common.entry(k).or_default() += w * loading;
                loading
            });
            variance += w * w * (row.variance - shared * shared);
        }
        variance += common.values().map(|x| x * x).sum::<f64>();
        if weights
            .iter()
            .any(|&(j, _)| !self.rows[j].stated.is_empty())
        {
            let of: BTreeMap<usize, f64> = weights.iter().copied().collect();
            for (&j, w) in &of {
                for (other, covariance) in &self.rows[j].stated {
                    variance += of.get(other).map_or(0.0, |v| 2.0 * w * v * covariance);
                }
            }
        }
        (value, variance.max(0.0))
    }
}

impl MassSolution {
    /// Returns the balance of every assembly that was weighed whole and in all its pieces, in tree order.
    pub fn nodes(&self) -> Vec<Node> {
        let mut below: Vec<Vec<(usize, f64)>> = vec![Vec::new(); self.unknown.len()];
        let mut nodes = Vec::new();
        // From the leaves up: an item is known by its own weighing, or else by what it holds.
        for &(item, _) in self.tree.order.iter().rev() {
            let own = self.direct(item);
            let held = self.held(item, &mut below);
            if !own.is_empty() && !held.is_empty() {
                let difference: Vec<(usize, f64)> = own
                    .iter()
                    .copied()
                    .chain(held.iter().map(|&(j, w)| (j, -w)))
                    .collect();
                let (residual, variance) = self.model.combination(&difference);
                let uncertainty = variance.sqrt();
                let z = if uncertainty > 0.0 {
                    residual / uncertainty
                } else {
                    0.0
                };
                nodes.push(Node {
                    item,
                    residual,
                    uncertainty,
                    z,
                });
            }
            below[item] = if own.is_empty() { held } else { own };
        }
        nodes.reverse();
        nodes
    }

    /// Returns what an item holds as weights of weighings, empty where a piece of it is not known.
    fn held(&self, item: usize, below: &mut [Vec<(usize, f64)>]) -> Vec<(usize, f64)> {
        let children = self.tree.children(item);
        if !self.tree.is_sum(item) || children.iter().any(|&c| below[c].is_empty()) {
            return Vec::new();
        }
        self.tree.moved_up(item, below)
    }
}
