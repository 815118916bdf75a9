//! Which masses the weighings determine, and which combinations of weighings must agree.
//!
//! In: one row per weighing, saying how many of each elementary piece were on the scale. Out: the
//! balances among the weighings, and for any item the weighings whose combination gives its mass.
//! Not here: uncertainties (`balance`), the item tree (`tree`).
//!
//! Gauss–Jordan elimination of `[H | I]`: rows of `H` that vanish leave, on the right, combinations of
//! weighings that must be zero (balances, unmeasured pieces projected out); the other rows say what is
//! determined. Entries are piece counts, so pivots are small whole numbers or their ratios and a fixed
//! tolerance tells zero from rounding.

use nalgebra::{DMatrix, DVector};

const ZERO: f64 = 1e-9;

/// Weighings after elimination.
#[derive(Debug, Clone)]
pub struct Observed {
    pieces: usize,
    weighings: usize,
    /// Reduced rows with their pivot column: (pivot, row over pieces, combination of weighings).
    determined: Vec<(usize, Vec<f64>, Vec<f64>)>,
    balances: Vec<Vec<f64>>,
}

impl Observed {
    /// Eliminates. Each row has `pieces` entries.
    pub fn new(rows: &[Vec<f64>], pieces: usize) -> Self {
        let weighings = rows.len();
        let mut work: Vec<(Vec<f64>, Vec<f64>)> = rows
            .iter()
            .enumerate()
            .map(|(i, row)| {
                let mut unit = vec![0.0; weighings];
                unit[i] = 1.0;
                (row.clone(), unit)
            })
            .collect();
        let mut pivots = Vec::new();
        let mut done = 0;
        for column in 0..pieces {
            let best = (done..weighings)
                .map(|r| (r, work[r].0[column].abs()))
                .fold(
                    (done, 0.0),
                    |best, now| if now.1 > best.1 + ZERO { now } else { best },
                );
            if best.1 <= ZERO {
                continue;
            }
            work.swap(done, best.0);
            let pivot = work[done].0[column];
            scale(&mut work[done], 1.0 / pivot);
            let (row, unit) = work[done].clone();
            for (r, other) in work.iter_mut().enumerate() {
                if r != done && other.0[column].abs() > ZERO {
                    let factor = other.0[column];
                    subtract(&mut other.0, &row, factor);
                    subtract(&mut other.1, &unit, factor);
                }
            }
            pivots.push(column);
            done += 1;
        }
        let balances = work
            .split_off(done)
            .into_iter()
            .map(|(_, unit)| unit)
            .collect();
        let determined = pivots
            .into_iter()
            .zip(work)
            .map(|(p, (row, unit))| (p, row, unit))
            .collect();
        Self {
            pieces,
            weighings,
            determined,
            balances,
        }
    }

    /// Returns the balances, one row each over the weighings.
    pub fn balances(&self) -> DMatrix<f64> {
        DMatrix::from_fn(self.balances.len(), self.weighings, |i, j| {
            self.balances[i][j]
        })
    }

    /// Returns the combination of weighings that makes up `row`, or what of `row` stays unknown.
    ///
    /// # Errors
    /// The remainder over the pieces, where the weighings do not determine `row`.
    pub fn combination(&self, row: &[f64]) -> Result<DVector<f64>, Vec<f64>> {
        let mut rest = row.to_vec();
        rest.resize(self.pieces, 0.0);
        let mut found = vec![0.0; self.weighings];
        for (pivot, reduced, unit) in &self.determined {
            let factor = rest[*pivot];
            if factor.abs() > ZERO {
                subtract(&mut rest, reduced, factor);
                subtract(&mut found, unit, -factor);
            }
        }
        if rest.iter().all(|x| x.abs() <= ZERO) {
            Ok(DVector::from_vec(found))
        } else {
            Err(rest)
        }
    }
}

fn scale(row: &mut (Vec<f64>, Vec<f64>), factor: f64) {
    row.0
        .iter_mut()
        .chain(row.1.iter_mut())
        .for_each(|x| *x *= factor);
}

/// Subtracts `factor` times `other`, taking what is only rounding for zero.
fn subtract(row: &mut [f64], other: &[f64], factor: f64) {
    for (x, y) in row.iter_mut().zip(other) {
        *x -= factor * y;
        if x.abs() <= ZERO * 1e-3 {
            *x = 0.0;
        }
    }
}

/// Returns whether two rows point the same way, so that learning one teaches the other.
pub fn proportional(a: &[f64], b: &[f64]) -> bool {
    let lead = a.iter().zip(b).find(|(x, _)| x.abs() > ZERO);
    let Some((x, y)) = lead else { return false };
    let ratio = y / x;
    ratio.abs() > ZERO && a.iter().zip(b).all(|(p, q)| (q - ratio * p).abs() <= ZERO)
}
