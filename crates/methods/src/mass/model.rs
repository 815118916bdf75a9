//! Readings as noisy rows, balances as exact rows over unknown masses, and their least-squares fit.
//!
//! In: a [`Model`]: rows over unknowns that are numbered from the leaves to the root. Out: a [`Fit`]: masses,
//! covariances, and the statistics of every reading. Any unit, the same throughout.
//! Not here: what the unknowns are (`adjust`), what no weighing determines (`structure`), the elimination
//! (`factor`).
//!
//! Readings `y = H x + F c + e` with independent `e` (variances `R`, a few stated covariances beside the
//! diagonal), common errors `c` of variance 1 (one per instrument) and `B x = 0`. With `G = [H F]` over `B`
//! the normal equations in augmented form are
//!
//! ```text
//! [ P  Gᵀ ] [x c]   [0]
//! [ G  −R ] [ λ ] = [y]     P = 1 for c, 0 for x
//! ```
//!
//! The inverse holds everything: its upper left block is the covariance of masses and common errors, its
//! lower right block is `−Q`, `Q = AᵀV⁻¹A` of the textbook form with all balances `A` of the readings and
//! `V = A S Aᵀ`; and `λ = −Q y`. Hence chi-square `yᵀ Q y` and the maximum-power statistic `(Q y)ⱼ / √Qⱼⱼ`.
//! Sources: Narasimhan and Jordache, *Data Reconciliation and Gross Error Detection* (2000), chapters 3
//! and 7; the augmented form: Å. Björck, *Numerical Methods for Least Squares Problems* (1996), 4.3.2 and
//! 7.2.

use super::factor::{Factor, System};
use super::inverse::{Inverse, Kept};
use super::number::{Dual, Number};
use super::structure::Structure;

/// One reading: what was on the scale and what it showed.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Unknowns with their counts.
    pub terms: Vec<(usize, f64)>,
    /// What was shown.
    pub shown: f64,
    /// Variance of the whole error.
    pub variance: f64,
    /// A common error it contains, and how much of it (a standard deviation).
    pub common: Option<(usize, f64)>,
    /// Covariances with other readings beyond what the common error gives, each pair at one of the two.
    pub stated: Vec<(usize, f64)>,
}

/// Readings and balances over unknown masses.
#[derive(Debug, Clone, Default)]
pub struct Model {
    /// Number of unknowns. Numbering what holds something after what it holds keeps the work linear.
    pub unknowns: usize,
    /// Number of common errors.
    pub commons: usize,
    /// The readings.
    pub rows: Vec<Row>,
    /// Sums that are zero.
    pub balances: Vec<Vec<(usize, f64)>>,
}

/// The fit of the readings kept.
#[derive(Debug, Clone)]
pub struct Fit {
    pub(super) layout: Layout,
    pub(super) factor: Factor<f64>,
    inverse: Inverse<f64>,
    solution: Vec<f64>,
}

/// Which variable of the system stands for what.
#[derive(Debug, Clone)]
pub(super) struct Layout {
    /// Of each unknown.
    pub(super) unknown: Vec<usize>,
    /// Of each reading; `None` for one left out.
    pub(super) reading: Vec<Option<usize>>,
    /// Of each common error.
    common: Vec<usize>,
    balance: Vec<usize>,
    is_row: Vec<bool>,
}

impl Row {
    /// Returns the variance of the reading's own error. A tiny remainder is rounding.
    fn own(&self) -> f64 {
        let shared = self.common.map_or(0.0, |(_, s)| s * s);
        let own = self.variance - shared;
        if own > 1e-12 * self.variance {
            own
        } else {
            0.0
        }
    }
}

impl Model {
    /// Numbers the variables: a reading before the first of its unknowns, an exact row before the last.
    fn layout(&self, kept: &[bool]) -> Layout {
        // Position of each row among the unknowns, those at the end stand in rows without unknowns.
        let mut before: Vec<Vec<(bool, usize)>> = vec![Vec::new(); self.unknowns + 1];
        for (j, row) in self.rows.iter().enumerate().filter(|(j, _)| kept[*j]) {
            let unknowns = row.terms.iter().map(|t| t.0);
            let at = if row.own() > 0.0 {
                unknowns.min()
            } else {
                unknowns.max()
            };
            before[at.unwrap_or(self.unknowns)].push((true, j));
        }
        for (i, terms) in self.balances.iter().enumerate() {
            let at = terms.iter().map(|t| t.0).max();
            before[at.unwrap_or(self.unknowns)].push((false, i));
        }
        let mut layout = Layout {
            unknown: vec![0; self.unknowns],
            reading: vec![None; self.rows.len()],
            common: Vec::with_capacity(self.commons),
            balance: vec![0; self.balances.len()],
            is_row: Vec::new(),
        };
        for (at, rows) in before.iter().enumerate() {
            for &(is_reading, index) in rows {
                if is_reading {
                    layout.reading[index] = Some(layout.is_row.len());
                } else {
                    layout.balance[index] = layout.is_row.len();
                }
                layout.is_row.push(true);
            }
            if at < self.unknowns {
                layout.unknown[at] = layout.is_row.len();
                layout.is_row.push(false);
            }
        }
        for _ in 0..self.commons {
            layout.common.push(layout.is_row.len());
            layout.is_row.push(false);
        }
        layout
    }

    /// Sets the system up and eliminates it. `weight` is an extra weight of each unknown.
    pub(super) fn eliminate<T: Number>(
        &self,
        kept: &[bool],
        weight: impl Fn(usize) -> T,
    ) -> (Layout, Factor<T>) {
        let layout = self.layout(kept);
        let mut system = System::new(layout.is_row.clone());
        for (u, &v) in layout.unknown.iter().enumerate() {
            system.add(v, v, weight(u));
        }
        for &v in &layout.common {
            system.add(v, v, T::from(1.0));
        }
        for (row, at) in self.rows.iter().zip(&layout.reading) {
            let Some(v) = *at else { continue };
            system.add(v, v, T::from(-row.own()));
            for &(u, count) in &row.terms {
                system.add(v, layout.unknown[u], T::from(count));
            }
            if let Some((c, loading)) = row.common {
                system.add(v, layout.common[c], T::from(loading));
            }
            for &(other, covariance) in &row.stated {
                if let Some(other) = layout.reading[other] {
                    system.add(v, other, T::from(-covariance));
                }
            }
        }
        for (terms, &v) in self.balances.iter().zip(&layout.balance) {
            for &(u, count) in terms {
                system.add(v, layout.unknown[u], T::from(count));
            }
        }
        let factor = system.eliminate();
        (layout, factor)
    }

    /// Fits the readings `kept`.
    pub fn fit(&self, kept: &[bool]) -> Fit {
        let (layout, factor) = self.eliminate(kept, |_| 0.0);
        let mut solution = vec![0.0; layout.is_row.len()];
        for (row, at) in self.rows.iter().zip(&layout.reading) {
            if let Some(v) = *at {
                solution[v] = row.shown;
            }
        }
        factor.solve(&mut solution);
        let inverse = Inverse::of(&factor);
        Fit {
            layout,
            factor,
            inverse,
            solution,
        }
    }

    /// Returns the variance of each unknown with the readings `kept`, and the sum of the squares of its
    /// covariances with the unknowns `of`.
    ///
    /// An extra weight `t` on each of them changes a variance at the rate of minus that sum, so the sum is a
    /// derivative and comes out of one elimination.
    pub(super) fn squares(&self, kept: &[bool], of: &[bool]) -> Vec<(f64, f64)> {
        let (layout, factor) = self.eliminate(kept, |u| Dual {
            value: 0.0,
            rate: if of[u] { -1.0 } else { 0.0 },
        });
        let inverse = Inverse::of(&factor);
        layout
            .unknown
            .iter()
            .map(|&v| {
                let entry = inverse.entry(&factor, v, v, &mut Kept::new());
                (entry.value, entry.rate)
            })
            .collect()
    }
}

impl Layout {
    /// Returns whether a variable is an unknown mass.
    pub(super) fn is_unknown(&self, v: usize) -> bool {
        !self.is_row[v] && self.common.first().is_none_or(|&first| v < first)
    }

    /// Returns how many exact rows say something that the others do not.
    pub(super) fn independent_balances(&self, factor: &Factor<f64>) -> usize {
        self.balance
            .iter()
            .filter(|&&v| factor.place[v].is_some())
            .count()
    }
}

impl Fit {
    fn at(&self, a: usize, b: usize) -> f64 {
        self.inverse.entry(&self.factor, a, b, &mut Kept::new())
    }

    /// Returns the mass of an unknown; without meaning where the readings do not determine it.
    pub fn mass(&self, unknown: usize) -> f64 {
        self.solution[self.layout.unknown[unknown]]
    }

    /// Returns the covariance of the masses of two unknowns that stand in a row together, or near each
    /// other in the tree.
    pub fn covariance(&self, a: usize, b: usize) -> f64 {
        self.at(self.layout.unknown[a], self.layout.unknown[b])
    }

    /// Returns how much a reading weighs in the mass of an unknown.
    pub(super) fn weight(&self, unknown: usize, reading: usize, kept: &mut Kept<f64>) -> f64 {
        self.layout.reading[reading].map_or(0.0, |v| {
            let u = self.layout.unknown[unknown];
            self.inverse.entry(&self.factor, u, v, kept)
        })
    }

    /// Returns the sum over `terms` and its variance.
    pub(super) fn sum(&self, terms: &[(usize, f64)]) -> (f64, f64) {
        let value = terms.iter().map(|&(u, n)| n * self.mass(u)).sum();
        let mut variance = 0.0;
        for &(a, n) in terms {
            for &(b, m) in terms {
                variance += n * m * self.covariance(a, b);
            }
        }
        (value, variance.max(0.0))
    }

    /// Returns `(Q y)ⱼ` of a reading: zero for one left out.
    pub(super) fn pull(&self, reading: usize) -> f64 {
        self.layout.reading[reading].map_or(0.0, |v| -self.solution[v])
    }

    /// Returns `Qⱼⱼ` of a reading: zero for one left out.
    pub(super) fn power(&self, reading: usize) -> f64 {
        self.layout.reading[reading].map_or(0.0, |v| (-self.at(v, v)).max(0.0))
    }

    /// Returns the column of `Q` for a reading.
    pub(super) fn column(&self, reading: usize) -> Vec<f64> {
        let mut unit = vec![0.0; self.layout.is_row.len()];
        if let Some(v) = self.layout.reading[reading] {
            unit[v] = -1.0;
        }
        self.project(unit)
    }

    /// Returns `Q` times values of the readings.
    pub(super) fn times(&self, values: &[f64]) -> Vec<f64> {
        let mut side = vec![0.0; self.layout.is_row.len()];
        for (value, at) in values.iter().zip(&self.layout.reading) {
            if let Some(v) = *at {
                side[v] = -value;
            }
        }
        self.project(side)
    }

    fn project(&self, mut side: Vec<f64>) -> Vec<f64> {
        self.factor.solve(&mut side);
        self.layout
            .reading
            .iter()
            .map(|at| at.map_or(0.0, |v| side[v]))
            .collect()
    }

    /// Returns what the other readings say of `row`, reading number `reading` left out.
    pub(super) fn left_out(&self, reading: usize, row: &Row) -> f64 {
        let Some(v) = self.layout.reading[reading] else {
            return self.sum(&row.terms).0;
        };
        let step = self.solution[v] / self.at(v, v);
        row.terms
            .iter()
            .map(|&(u, n)| n * (self.mass(u) - self.at(self.layout.unknown[u], v) * step))
            .sum()
    }

    /// Returns the number of entries of the factor, a measure of work and memory.
    pub fn entries(&self) -> usize {
        self.factor.entries()
    }
}

/// The outcome of an adjustment. Lists follow the readings.
#[derive(Debug, Clone)]
pub struct Reconciled {
    /// Adjusted readings.
    pub adjusted: Vec<f64>,
    /// Variances of the adjusted readings.
    pub variance: Vec<f64>,
    /// Reading minus adjusted reading.
    pub adjustment: Vec<f64>,
    /// Weighted sum of squares of what the balances are off by.
    pub chi_square: f64,
    /// Number of independent balances.
    pub degrees_of_freedom: usize,
    /// Measurement-test statistic of each reading: adjustment over its standard deviation; zero for a
    /// reading that no balance touches.
    pub z: Vec<f64>,
    /// Maximum-power measurement statistic; equal to `z` where readings are independent.
    pub z_power: Vec<f64>,
}

impl Reconciled {
    /// Gathers the statistics of a fit.
    pub fn of(model: &Model, structure: &Structure, fit: &Fit) -> Self {
        let n = model.rows.len();
        let sums: Vec<(f64, f64)> = model.rows.iter().map(|row| fit.sum(&row.terms)).collect();
        let adjustment: Vec<f64> = (0..n).map(|j| model.rows[j].shown - sums[j].0).collect();
        let ratio = |value: f64, variance: f64, j: usize| {
            if structure.checked[j] && variance > 0.0 {
                value / variance.sqrt()
            } else {
                0.0
            }
        };
        Self {
            // Equal to yᵀ Q y, without its cancellation: Q times a fitted reading is zero.
            chi_square: (0..n).map(|j| adjustment[j] * fit.pull(j)).sum::<f64>(),
            degrees_of_freedom: structure.degrees_of_freedom,
            z: (0..n)
                .map(|j| ratio(adjustment[j], model.rows[j].variance - sums[j].1, j))
                .collect(),
            z_power: (0..n)
                .map(|j| ratio(fit.pull(j), fit.power(j), j))
                .collect(),
            adjusted: sums.iter().map(|s| s.0).collect(),
            variance: sums.iter().map(|s| s.1).collect(),
            adjustment,
        }
    }

    /// Returns the probability of a greater chi-square if all is well; `None` without a balance.
    pub fn p_value(&self) -> Option<f64> {
        super::balance::chi_square_tail(self.chi_square, self.degrees_of_freedom)
    }
}
