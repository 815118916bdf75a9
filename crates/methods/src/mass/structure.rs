//! What a set of weighings can tell at all, whatever they show and however good the scale.
//!
//! In: a model. Out: which unknowns are determined and which stay open together, which readings are
//! checked by others and which cannot be told from each other, the number of independent balances.
//! Not here: masses (`model`).
//!
//! Uncertainties play no part, so every reading is given weight one here and numbers stay near one. Two rows
//! or columns are proportional if their products with random vectors are, except with probability zero
//! (randomised identity testing: J. T. Schwartz, J. ACM 27 (1980) 701–717); three fixed vectors are used.

use super::model::{Fit, Model, Plan};
use std::collections::{BTreeMap, BTreeSet};

/// Products with three vectors, up to a common factor.
pub(super) type Probe = [f64; 3];

/// What weighings can tell.
#[derive(Debug, Clone)]
pub struct Structure {
    /// Of each unknown, what of it stays open: zero where the weighings determine it.
    pub(super) open: Vec<Probe>,
    /// Whether other readings check a reading.
    pub checked: Vec<bool>,
    /// How each reading enters the balances; readings with proportional entries cannot be told apart.
    pub(super) entry: Vec<Probe>,
    /// Number of independent balances.
    pub degrees_of_freedom: usize,
    /// How the system is eliminated. Found at equal weights, where a pivot that vanishes is told from a
    /// small one.
    pub(super) plan: Plan,
}

/// A fixed number in ±[1, 2) for each index and vector, without pattern (the mixing function of SplitMix64).
fn random(index: usize, vector: usize) -> f64 {
    let mut x = (index as u64)
        .wrapping_mul(3)
        .wrapping_add(vector as u64 + 1)
        .wrapping_mul(0x9E37_79B9_7F4A_7C15);
    x = (x ^ (x >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    x = (x ^ (x >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    x ^= x >> 31;
    let size = 1.0 + (x >> 11) as f64 / (1_u64 << 53) as f64;
    if x & 1 == 0 { size } else { -size }
}

impl Structure {
    /// Tells what the readings `kept` can tell.
    pub fn of(model: &Model, kept: &[bool]) -> Self {
        Self::with_fit(model, kept).0
    }

    /// The same, with the fit at equal weights it rests on.
    pub(super) fn with_fit(model: &Model, kept: &[bool]) -> (Self, Fit) {
        let mut plain = Model {
            commons: 0,
            ..model.clone()
        };
        for row in &mut plain.rows {
            row.variance = 1.0;
            row.common = None;
            row.stated.clear();
        }
        let layout = plain.layout(kept);
        let factor = plain.system(&layout, |_| 0.0).eliminate();
        let is_unknown: BTreeSet<usize> = layout.unknown.iter().copied().flatten().collect();
        let mut open = vec![[0.0; 3]; model.unknowns];
        for vector in 0..3 {
            let null = factor.null_vector(|v| random(v, vector), |v| is_unknown.contains(&v));
            for (probe, at) in open.iter_mut().zip(&layout.unknown) {
                probe[vector] = at.map_or(0.0, |v| null[v]);
            }
        }
        let pivots = |list: &[Option<usize>]| {
            let eliminated = |v: &usize| factor.place[*v].is_some();
            list.iter().flatten().filter(|v| eliminated(v)).count()
        };
        let rows = kept.iter().filter(|k| **k).count() + pivots(&layout.balance);
        let degrees_of_freedom = rows.saturating_sub(pivots(&layout.unknown));
        let plan = Plan::of(&layout, &factor);
        let fit = Fit::of(&plain, layout, factor);
        let n = model.rows.len();
        let checked: Vec<bool> = (0..n).map(|j| fit.power(j) > 1e-12).collect();
        let products: Vec<Vec<f64>> = (0..3)
            .map(|vector| fit.times_alone((0..n).map(|j| random(j, vector))))
            .collect();
        let entry = (0..n)
            .map(|j| [0, 1, 2].map(|k: usize| if checked[j] { products[k][j] } else { 0.0 }))
            .collect();
        let structure = Self {
            open,
            checked,
            entry,
            degrees_of_freedom,
            plan,
        };
        (structure, fit)
    }

    /// Returns whether the weighings determine an unknown.
    pub fn is_determined(&self, unknown: usize) -> bool {
        self.open[unknown] == [0.0; 3]
    }

    /// Returns whether the weighings determine a sum.
    pub(super) fn determines(&self, terms: &[(usize, f64)]) -> bool {
        (0..3).all(|vector| {
            let (sum, size) = terms.iter().fold((0.0_f64, 0.0_f64), |(s, t), &(u, n)| {
                let x = n * self.open[u][vector];
                (s + x, t + x.abs())
            });
            sum.abs() <= 1e-9 * size
        })
    }

    /// Returns the readings that enter every balance in the same proportion as `reading`, itself included.
    pub(super) fn alike(&self, reading: usize) -> Vec<usize> {
        (0..self.entry.len())
            .filter(|&j| j == reading || proportional(&self.entry[reading], &self.entry[j]))
            .collect()
    }
}

/// Returns whether two probes belong to proportional rows.
pub(super) fn proportional(a: &Probe, b: &Probe) -> bool {
    let size = |p: &Probe| p.iter().fold(0.0_f64, |m, x| m.max(x.abs()));
    let tolerance = 1e-7 * size(a) * size(b);
    tolerance > 0.0
        && (a[0] * b[1] - a[1] * b[0]).abs() <= tolerance
        && (a[0] * b[2] - a[2] * b[0]).abs() <= tolerance
        && (a[1] * b[2] - a[2] * b[1]).abs() <= tolerance
}

/// Puts proportional probes together: for each index in `of`, the number of its group; zero probes have none.
pub(super) fn groups(probes: &[Probe], of: &[usize]) -> BTreeMap<usize, usize> {
    let slope = |i: usize| probes[i][1] / probes[i][0];
    let mut order: Vec<usize> = of
        .iter()
        .copied()
        .filter(|&i| probes[i] != [0.0; 3])
        .collect();
    order.sort_by(|&a, &b| slope(a).total_cmp(&slope(b)).then(a.cmp(&b)));
    let mut found = BTreeMap::new();
    let mut group = 0;
    for (at, &i) in order.iter().enumerate() {
        if at > 0 && !proportional(&probes[order[at - 1]], &probes[i]) {
            group += 1;
        }
        found.insert(i, group);
    }
    found
}
