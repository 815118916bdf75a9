//! The reference: the textbook formulas with full matrices over elementary pieces, cubic in the number of
//! readings. It shares nothing with the code under test but the laws of chi-square and Šidák.
//!
//! Gauss–Jordan elimination of `[H | I]` gives the balances `A`; `r = A y`, `V = A S Aᵀ`,
//! `x̂ = y − S Aᵀ V⁻¹ r`, `cov x̂ = S − S Aᵀ V⁻¹ A S` (Narasimhan and Jordache 2000, chapters 3 and 7).

use super::super::balance::{chi_square_tail, sidak_critical};
use nalgebra::{DMatrix, DVector, SymmetricEigen};
use record::{Dossier, ItemKind};
use std::collections::BTreeMap;

const ZERO: f64 = 1e-9;

/// How many of each elementary piece one of each item holds.
pub(super) fn piece_rows(dossier: &Dossier) -> Vec<Vec<f64>> {
    let items = &dossier.items;
    let index: BTreeMap<&str, usize> = items
        .iter()
        .enumerate()
        .map(|(i, item)| (item.id.as_str(), i))
        .collect();
    let parent: Vec<Option<usize>> = items
        .iter()
        .map(|i| i.parent.as_deref().map(|p| index[p]))
        .collect();
    let holds = |i: usize| parent.contains(&Some(i));
    let container = |i: usize| matches!(items[i].kind, ItemKind::Product | ItemKind::Assembly);
    let pieces: Vec<usize> = (0..items.len())
        .filter(|&i| !holds(i) || !container(i))
        .collect();
    let mut rows = vec![vec![0.0; pieces.len()]; items.len()];
    for (piece, &item) in pieces.iter().enumerate() {
        let (mut at, mut count) = (item, 1.0);
        rows[at][piece] = 1.0;
        while let Some(up) = parent[at] {
            count *= f64::from(items[at].count.at_least());
            rows[up][piece] += count;
            at = up;
        }
    }
    rows
}

/// Weighings after elimination.
pub(super) struct Observed {
    weighings: usize,
    determined: Vec<(usize, Vec<f64>, Vec<f64>)>,
    balances: Vec<Vec<f64>>,
}

impl Observed {
    pub(super) fn new(rows: &[Vec<f64>], pieces: usize) -> Self {
        let n = rows.len();
        let mut work: Vec<(Vec<f64>, Vec<f64>)> = rows
            .iter()
            .enumerate()
            .map(|(i, row)| {
                let mut unit = vec![0.0; n];
                unit[i] = 1.0;
                (row.clone(), unit)
            })
            .collect();
        let (mut pivots, mut done) = (Vec::new(), 0);
        for column in 0..pieces {
            let Some(best) = (done..n)
                .filter(|&r| work[r].0[column].abs() > ZERO)
                .max_by(|&a, &b| work[a].0[column].abs().total_cmp(&work[b].0[column].abs()))
            else {
                continue;
            };
            work.swap(done, best);
            let pivot = work[done].0[column];
            let scale = |row: &mut Vec<f64>| row.iter_mut().for_each(|x| *x /= pivot);
            scale(&mut work[done].0);
            scale(&mut work[done].1);
            let (row, unit) = work[done].clone();
            for (r, other) in work.iter_mut().enumerate() {
                let factor = other.0[column];
                if r != done && factor.abs() > ZERO {
                    subtract(&mut other.0, &row, factor);
                    subtract(&mut other.1, &unit, factor);
                }
            }
            pivots.push(column);
            done += 1;
        }
        let balances = work.split_off(done).into_iter().map(|w| w.1).collect();
        let determined = pivots
            .into_iter()
            .zip(work)
            .map(|(p, (row, unit))| (p, row, unit))
            .collect();
        Self {
            weighings: n,
            determined,
            balances,
        }
    }

    pub(super) fn balances(&self) -> DMatrix<f64> {
        DMatrix::from_fn(self.balances.len(), self.weighings, |i, j| {
            self.balances[i][j]
        })
    }

    /// The combination of weighings that makes up `row`, or what of it stays open.
    pub(super) fn combination(&self, row: &[f64]) -> Result<DVector<f64>, Vec<f64>> {
        let mut rest = row.to_vec();
        let mut found = vec![0.0; self.weighings];
        for (pivot, reduced, unit) in &self.determined {
            let factor = rest[*pivot];
            subtract(&mut rest, reduced, factor);
            subtract(&mut found, unit, -factor);
        }
        if rest.iter().all(|x| x.abs() <= ZERO) {
            Ok(DVector::from_vec(found))
        } else {
            Err(rest)
        }
    }
}

fn subtract(row: &mut [f64], other: &[f64], factor: f64) {
    for (x, y) in row.iter_mut().zip(other) {
        *x -= factor * y;
        if x.abs() <= ZERO * 1e-3 {
            *x = 0.0;
        }
    }
}

pub(super) fn proportional(a: &[f64], b: &[f64]) -> bool {
    let Some((x, y)) = a.iter().zip(b).find(|(x, _)| x.abs() > ZERO) else {
        return false;
    };
    let ratio = y / x;
    ratio.abs() > ZERO && a.iter().zip(b).all(|(p, q)| (q - ratio * p).abs() <= ZERO)
}

/// The adjustment of the weighings kept.
pub(super) struct Dense {
    pub(super) kept: Vec<usize>,
    pub(super) observed: Observed,
    pub(super) adjusted: DVector<f64>,
    pub(super) covariance: DMatrix<f64>,
    pub(super) weights: DMatrix<f64>,
    pub(super) chi_square: f64,
    pub(super) degrees_of_freedom: usize,
    pub(super) z_power: Vec<f64>,
}

impl Dense {
    pub(super) fn of(rows: &[Vec<f64>], y: &[f64], s: &DMatrix<f64>, kept: &[usize]) -> Self {
        let n = kept.len();
        let taken: Vec<Vec<f64>> = kept.iter().map(|&j| rows[j].clone()).collect();
        let observed = Observed::new(&taken, rows.first().map_or(0, Vec::len));
        let y = DVector::from_iterator(n, kept.iter().map(|&j| y[j]));
        let s = s.select_rows(kept).select_columns(kept);
        let a = observed.balances();
        let residual = &a * &y;
        let inverse = inverse(&(&a * &s * a.transpose()));
        let gain = &s * a.transpose() * &inverse;
        let power = a.transpose() * &inverse * &a;
        let pull = a.transpose() * &inverse * &residual;
        let z_power = (0..n)
            .map(|j| {
                if power[(j, j)] > 1e-12 / s[(j, j)] {
                    pull[j] / power[(j, j)].sqrt()
                } else {
                    0.0
                }
            })
            .collect();
        let weights = DMatrix::identity(n, n) - &gain * &a;
        Self {
            kept: kept.to_vec(),
            adjusted: &y - &gain * &residual,
            // Equal to `S − S Aᵀ V⁻¹ A S`, without its cancellation beside a coarse scale.
            covariance: &weights * &s * weights.transpose(),
            weights,
            chi_square: (residual.transpose() * &inverse * &residual).sum(),
            degrees_of_freedom: a.nrows(),
            z_power,
            observed,
        }
    }

    /// Mass and standard uncertainty of a row of pieces.
    pub(super) fn mass(&self, row: &[f64]) -> Option<(f64, f64)> {
        let c = self.observed.combination(row).ok()?;
        let variance = (c.transpose() * &self.covariance * &c).sum();
        Some((c.dot(&self.adjusted), variance.max(0.0).sqrt()))
    }

    /// Covariance of the masses of two rows of pieces.
    pub(super) fn between(&self, a: &[f64], b: &[f64]) -> Option<f64> {
        let a = self.observed.combination(a).ok()?;
        let b = self.observed.combination(b).ok()?;
        Some((a.transpose() * &self.covariance * b).sum())
    }

    /// Readings, by their place among those kept, that enter every balance in proportion to one.
    pub(super) fn alike(&self, reading: usize) -> Vec<usize> {
        let a = self.observed.balances();
        let column = |j: usize| a.column(j).iter().copied().collect::<Vec<f64>>();
        (0..a.ncols())
            .filter(|&j| j == reading || proportional(&column(reading), &column(j)))
            .collect()
    }

    /// What is set aside next.
    fn suspects(&self) -> Option<Vec<usize>> {
        if chi_square_tail(self.chi_square, self.degrees_of_freedom)? >= 0.05 {
            return None;
        }
        let checked = self.z_power.iter().filter(|z| **z != 0.0).count();
        let worst = (0..self.z_power.len())
            .max_by(|&a, &b| self.z_power[a].abs().total_cmp(&self.z_power[b].abs()))?;
        (self.z_power[worst].abs() > sidak_critical(0.05, checked)).then(|| self.alike(worst))
    }
}

/// The adjustment of all weighings, and of those that serial elimination keeps.
pub(super) fn solve(rows: &[Vec<f64>], y: &[f64], s: &DMatrix<f64>) -> (Dense, Dense) {
    let everything: Vec<usize> = (0..rows.len()).collect();
    let all = Dense::of(rows, y, s, &everything);
    let mut sound = Dense::of(rows, y, s, &everything);
    while let Some(suspects) = sound.suspects() {
        let kept: Vec<usize> = (0..sound.kept.len())
            .filter(|k| !suspects.contains(k))
            .map(|k| sound.kept[k])
            .collect();
        sound = Dense::of(rows, y, s, &kept);
    }
    (all, sound)
}

fn inverse(matrix: &DMatrix<f64>) -> DMatrix<f64> {
    let n = matrix.nrows();
    if n == 0 {
        return DMatrix::zeros(0, 0);
    }
    let scale: Vec<f64> = (0..n).map(|i| matrix[(i, i)].sqrt().recip()).collect();
    let scaled = DMatrix::from_fn(n, n, |i, j| matrix[(i, j)] * scale[i] * scale[j]);
    let eigen = SymmetricEigen::new(scaled);
    let mut inverse = DMatrix::zeros(n, n);
    for (k, &value) in eigen.eigenvalues.iter().enumerate() {
        let column = eigen.eigenvectors.column(k);
        inverse += column * column.transpose() / value;
    }
    DMatrix::from_fn(n, n, |i, j| inverse[(i, j)] * scale[i] * scale[j])
}
