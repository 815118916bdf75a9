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
use super::reach::Reach;
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
    layout: Layout,
    factor: Factor<f64>,
    inverse: Inverse<f64>,
    solution: Vec<f64>,
}

/// Which variable of the system stands for what; `None` for what takes no part.
#[derive(Debug, Clone)]
pub(super) struct Layout {
    /// Of each unknown.
    pub(super) unknown: Vec<Option<usize>>,
    /// Of each reading.
    pub(super) reading: Vec<Option<usize>>,
    /// Of each balance.
    pub(super) balance: Vec<Option<usize>>,
    /// Of the first common error; they come last.
    common: usize,
    is_row: Vec<bool>,
}

impl Row {
    /// Returns the variance of the reading's own error. It is never quite nothing, so that a row always has
    /// a pivot.
    fn own(&self) -> f64 {
        let shared = self.common.map_or(0.0, |(_, s)| s * s);
        (self.variance - shared).max(1e-9 * self.variance)
    }
}

impl Model {
    /// Numbers the variables: a reading before the first of its unknowns, a balance before the last.
    pub(super) fn layout(&self, kept: &[bool]) -> Layout {
        let mut before: Vec<Vec<(bool, usize)>> = vec![Vec::new(); self.unknowns + 1];
        for (j, row) in self.rows.iter().enumerate().filter(|(j, _)| kept[*j]) {
            let first = row.terms.iter().map(|t| t.0).min();
            before[first.unwrap_or(self.unknowns)].push((true, j));
        }
        for (i, terms) in self.balances.iter().enumerate() {
            let last = terms.iter().map(|t| t.0).max();
            before[last.unwrap_or(self.unknowns)].push((false, i));
        }
        let mut layout = Layout {
            unknown: vec![None; self.unknowns],
            reading: vec![None; self.rows.len()],
            balance: vec![None; self.balances.len()],
            common: 0,
            is_row: Vec::new(),
        };
        for (at, rows) in before.iter().enumerate() {
            for &(is_reading, index) in rows {
                let number = Some(layout.is_row.len());
                if is_reading {
                    layout.reading[index] = number;
                } else {
                    layout.balance[index] = number;
                }
                layout.is_row.push(true);
            }
            if at < self.unknowns {
                layout.unknown[at] = Some(layout.is_row.len());
                layout.is_row.push(false);
            }
        }
        layout.common = layout.is_row.len();
        layout.is_row.extend(vec![false; self.commons]);
        layout
    }

    /// Sets the system up. `weight` is an extra weight of each unknown.
    pub(super) fn system<T: Number>(
        &self,
        layout: &Layout,
        weight: impl Fn(usize) -> T,
    ) -> System<T> {
        let mut system = System::new(layout.is_row.clone());
        for (u, at) in layout.unknown.iter().enumerate() {
            if let Some(v) = *at {
                system.add(v, v, weight(u));
            }
        }
        for k in 0..self.commons {
            system.add(layout.common + k, layout.common + k, T::from(1.0));
        }
        let add_terms = |system: &mut System<T>, row: usize, terms: &[(usize, f64)]| {
            for &(u, count) in terms {
                if let Some(v) = layout.unknown[u] {
                    system.add(row, v, T::from(count));
                }
            }
        };
        for (row, at) in self.rows.iter().zip(&layout.reading) {
            let Some(v) = *at else { continue };
            system.add(v, v, T::from(-row.own()));
            add_terms(&mut system, v, &row.terms);
            if let Some((k, loading)) = row.common {
                system.add(v, layout.common + k, T::from(loading));
            }
            for &(other, covariance) in &row.stated {
                if let Some(other) = layout.reading[other] {
                    system.add(v, other, T::from(-covariance));
                }
            }
        }
        for (terms, at) in self.balances.iter().zip(&layout.balance) {
            if let Some(v) = *at {
                add_terms(&mut system, v, terms);
            }
        }
        system
    }

    /// Fits the readings that `structure` is of.
    pub fn fit(&self, structure: &Structure) -> Fit {
        let (layout, sizes) = structure.plan.with_commons(self.commons);
        let factor = self.system(&layout, |_| 0.0).eliminate_blocks(&sizes);
        Fit::of(self, layout, factor)
    }

    /// Returns the variance of each unknown by the readings that `structure` is of, and the sum of the
    /// squares of its covariances with the unknowns `of`.
    ///
    /// An extra weight `t` on each of them changes a variance at the rate of minus that sum, so the sum is a
    /// derivative and comes out of one elimination.
    pub(super) fn squares(&self, structure: &Structure, of: &[bool]) -> Vec<(f64, f64)> {
        let (layout, sizes) = structure.plan.with_commons(self.commons);
        let system = self.system(&layout, |u| Dual {
            value: 0.0,
            rate: if of[u] { -1.0 } else { 0.0 },
        });
        let factor = system.eliminate_blocks(&sizes);
        let inverse = Inverse::of(&factor);
        let entry = |v| inverse.entry(&factor, v, v, &mut Kept::new());
        layout
            .unknown
            .iter()
            .map(|at| at.map_or((0.0, 0.0), |v| (entry(v).value, entry(v).rate)))
            .collect()
    }
}

/// In which order and blocks a system is eliminated, without common errors.
#[derive(Debug, Clone)]
pub(super) struct Plan {
    layout: Layout,
    sizes: Vec<usize>,
}

impl Plan {
    /// Numbers the variables of an eliminated system anew, in the order of its elimination; free ones take
    /// no part.
    pub(super) fn of(layout: &Layout, factor: &Factor<f64>) -> Self {
        let sizes: Vec<usize> = factor.pivots.iter().map(|p| p.size).collect();
        let mut start = Vec::with_capacity(sizes.len());
        let mut is_row = Vec::with_capacity(layout.is_row.len());
        for pivot in &factor.pivots {
            start.push(is_row.len());
            is_row.extend(
                pivot.variables[..pivot.size]
                    .iter()
                    .map(|&v| layout.is_row[v]),
            );
        }
        let renumber = |list: &[Option<usize>]| {
            let number = |v: usize| factor.place[v].map(|(pivot, slot)| start[pivot] + slot);
            list.iter().map(|at| at.and_then(number)).collect()
        };
        Self {
            layout: Layout {
                unknown: renumber(&layout.unknown),
                reading: renumber(&layout.reading),
                balance: renumber(&layout.balance),
                common: is_row.len(),
                is_row,
            },
            sizes,
        }
    }

    fn with_commons(&self, commons: usize) -> (Layout, Vec<usize>) {
        let mut layout = self.layout.clone();
        layout.is_row.extend(vec![false; commons]);
        let mut sizes = self.sizes.clone();
        sizes.extend(vec![1; commons]);
        (layout, sizes)
    }
}

impl Fit {
    pub(super) fn of(model: &Model, layout: Layout, factor: Factor<f64>) -> Self {
        let mut solution = vec![0.0; layout.is_row.len()];
        for (row, at) in model.rows.iter().zip(&layout.reading) {
            if let Some(v) = *at {
                solution[v] = row.shown;
            }
        }
        factor.solve(&mut solution);
        let inverse = Inverse::of(&factor);
        Self {
            layout,
            factor,
            inverse,
            solution,
        }
    }

    fn at(&self, a: usize, b: usize) -> f64 {
        self.inverse.entry(&self.factor, a, b, &mut Kept::new())
    }

    /// Returns the mass of an unknown; without meaning where the readings do not determine it.
    pub fn mass(&self, unknown: usize) -> f64 {
        self.layout.unknown[unknown].map_or(0.0, |v| self.solution[v])
    }

    /// Returns the covariance of the masses of two unknowns that stand in a row together, or near each
    /// other in the tree.
    pub fn covariance(&self, a: usize, b: usize) -> f64 {
        match (self.layout.unknown[a], self.layout.unknown[b]) {
            (Some(a), Some(b)) => self.at(a, b),
            _ => 0.0,
        }
    }

    /// Returns how much a reading weighs in the mass of an unknown.
    pub(super) fn weight(&self, unknown: usize, reading: usize, kept: &mut Kept<f64>) -> f64 {
        match (self.layout.unknown[unknown], self.layout.reading[reading]) {
            (Some(u), Some(v)) => self.inverse.entry(&self.factor, u, v, kept),
            _ => 0.0,
        }
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

    /// Prepares columns of the inverse with the common errors held at zero.
    pub(super) fn reach(&self) -> Reach<'_> {
        let variables = self.layout.is_row.len();
        let scale = (0..variables).map(|v| self.at(v, v).abs().sqrt());
        Reach::of(&self.factor, self.layout.common, scale.collect())
    }

    /// Returns the variable of a reading.
    pub(super) fn variable(&self, reading: usize) -> Option<usize> {
        self.layout.reading[reading]
    }

    /// Returns `Q` times values of the readings, the common errors held at zero in `Q`.
    pub(super) fn times_alone(&self, values: impl Iterator<Item = f64>) -> Vec<f64> {
        let mut side = vec![0.0; self.layout.is_row.len()];
        for (value, at) in values.zip(&self.layout.reading) {
            if let Some(v) = *at {
                side[v] = -value;
            }
        }
        self.factor.solve_before(self.layout.common, &mut side);
        self.readings(&side)
    }

    fn readings(&self, side: &[f64]) -> Vec<f64> {
        let reading = self.layout.reading.iter();
        reading.map(|at| at.map_or(0.0, |v| side[v])).collect()
    }

    /// Returns what the other readings say of `row`, reading number `reading` left out.
    pub(super) fn left_out(&self, reading: usize, row: &Row) -> f64 {
        let Some(v) = self.layout.reading[reading] else {
            return self.sum(&row.terms).0;
        };
        let step = self.solution[v] / self.at(v, v);
        row.terms
            .iter()
            .map(|&(u, n)| {
                let change = self.layout.unknown[u].map_or(0.0, |u| self.at(u, v) * step);
                n * (self.mass(u) - change)
            })
            .sum()
    }

    /// Returns the number of entries of the factor, a measure of work and memory.
    pub fn entries(&self) -> usize {
        self.factor.entries()
    }
}
