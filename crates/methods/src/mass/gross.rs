//! Which readings are set aside because they contradict the rest.
//!
//! In: a model and what it can tell. Out: for each reading whether it is kept.
//! Not here: the masses that rest on those kept (`model`).
//!
//! While the global test fails and a measurement test says which, the reading with the greatest |z| is set
//! aside with those that cannot be plain_columns from it (serial elimination: Ripps, Chem. Eng. Prog. Symp. Ser. 61
//! (1965) 8–13, with the measurement test for choosing). Nothing is eliminated anew for that. With the
//! common errors `F c` held at zero, `Q` becomes `Q₀` and leaving out reading `j` changes it by `−q qᵀ / qⱼ`
//! with its column `q`, which reaches only the neighbourhood in the tree; and
//! `Q = Q₀ − Q₀F (1 + FᵀQ₀F)⁻¹ FᵀQ₀` (both are forms of the Sherman–Morrison–Woodbury identity: W. W. Hager,
//! SIAM Review 31 (1989) 221–239).

use super::balance;
use super::model::{Fit, Model};
use super::reach::Reach;
use super::reconciled::Reconciled;
use super::solution::ALPHA;
use super::structure::{Probe, Structure, proportional};
use nalgebra::{DMatrix, DVector};

/// A column `q` of `Q₀` as `sign · own · entries`, `own = √|qⱼ|` for its reading `j`, so that what it takes
/// from `Q₀` is `sign · entries entriesᵀ`.
struct Column {
    entries: Vec<(usize, f64)>,
    own: f64,
    /// Minus one only where stated correlations make up for a common error.
    sign: f64,
}

/// Columns of `Q₀` while readings are left out.
struct Columns<'f> {
    fit: &'f Fit,
    reach: Reach<'f>,
    /// The reading of each variable.
    reading: Vec<Option<usize>>,
    /// Columns of readings left out, each at the time.
    gone: Vec<Column>,
    /// In which of them each reading stands, with its entry.
    within: Vec<Vec<(usize, f64)>>,
    room: Vec<f64>,
}

impl<'f> Columns<'f> {
    fn of(fit: &'f Fit, readings: usize) -> Self {
        let mut reading = Vec::new();
        for j in 0..readings {
            if let Some(v) = fit.variable(j) {
                reading.resize(reading.len().max(v + 1), None);
                reading[v] = Some(j);
            }
        }
        Self {
            reach: fit.reach(),
            fit,
            reading,
            gone: Vec::new(),
            within: vec![Vec::new(); readings],
            room: vec![0.0; readings],
        }
    }

    /// Leaves a reading out; returns its column, `None` where its own entry is nothing.
    fn leave_out(&mut self, reading: usize) -> Option<&Column> {
        let column = self.reach.column(self.fit.variable(reading)?);
        let mut touched = Vec::new();
        for (v, value) in column {
            if let Some(j) = self.reading.get(v).copied().flatten() {
                self.room[j] = -value;
                touched.push(j);
            }
        }
        let mut size = self.room[reading].abs();
        for &(k, x) in &self.within[reading] {
            let gone = &self.gone[k];
            for &(j, y) in &gone.entries {
                self.room[j] -= gone.sign * x * y;
                touched.push(j);
            }
            size += x * x;
        }
        touched.sort_unstable();
        touched.dedup();
        let (sign, own) = (self.room[reading].signum(), self.room[reading].abs().sqrt());
        let scale = if own > 0.0 { sign / own } else { 0.0 };
        let entries: Vec<(usize, f64)> =
            touched.iter().map(|&j| (j, self.room[j] * scale)).collect();
        touched.iter().for_each(|&j| self.room[j] = 0.0);
        if own * own <= 1e-11 * size {
            return None;
        }
        for &(j, x) in &entries {
            self.within[j].push((self.gone.len(), x));
        }
        self.gone.push(Column { entries, own, sign });
        self.gone.last()
    }
}

/// Returns which readings are kept. `plain` is the fit at equal weights, `all` the outcome of `fit`.
pub(super) fn kept(
    model: &Model,
    structure: &Structure,
    plain: &Fit,
    fit: &Fit,
    all: &Reconciled,
) -> Vec<bool> {
    let mut kept = vec![true; model.rows.len()];
    if all.p_value().is_none_or(|p| p >= ALPHA) {
        return kept;
    }
    let mut is_done = set_aside(model, structure, plain, fit, &mut kept);
    while !is_done {
        let (structure, plain) = Structure::with_fit(model, &kept);
        let fit = model.fit(&structure);
        is_done = set_aside(model, &structure, &plain, &fit, &mut kept);
    }
    kept
}

/// Sets readings aside one group after the other; returns whether it came to an end, or must go on from an
/// elimination of what is kept.
fn set_aside(
    model: &Model,
    structure: &Structure,
    plain: &Fit,
    fit: &Fit,
    kept: &mut [bool],
) -> bool {
    let n = kept.len();
    let mut state = State::of(model, structure, fit);
    let mut measured = Columns::of(fit, n);
    let mut plain_columns = Columns::of(plain, n);
    while let Some(worst) = state.suspect() {
        kept[worst] = false;
        let (Some(column), Some(entries)) =
            (measured.leave_out(worst), plain_columns.leave_out(worst))
        else {
            state.alike(worst, 0..n).for_each(|j| kept[j] = false);
            return false;
        };
        // A reading that cannot be plain_columns from it stands in its column.
        let near = entries.entries.iter().map(|e| e.0);
        let group: Vec<usize> = state.alike(worst, near).collect();
        state.leave_out(model, worst, column, entries);
        // Nothing is left to check these.
        for j in group {
            kept[j] = false;
            state.checked[j] = false;
            state.entry[j] = [0.0; 3];
        }
    }
    true
}

/// The statistics while readings are left out, with the common errors held at zero.
struct State {
    /// `Q₀ y`.
    pull: Vec<f64>,
    /// Diagonal of `Q₀`.
    power: Vec<f64>,
    /// `Q₀ F`, one row for each reading.
    common: Vec<Vec<f64>>,
    /// `1 + Fᵀ Q₀ F`.
    inner: DMatrix<f64>,
    /// `Fᵀ Q₀ y`.
    side: DVector<f64>,
    /// `yᵀ Q₀ y`.
    chi_square: f64,
    entry: Vec<Probe>,
    checked: Vec<bool>,
    degrees_of_freedom: usize,
}

impl State {
    fn of(model: &Model, structure: &Structure, fit: &Fit) -> Self {
        let (rows, commons) = (&model.rows, model.commons);
        let n = rows.len();
        // Less a fit, which Q₀ takes to zero, so that no digits cancel.
        let off = rows.iter().map(|row| row.shown - fit.sum(&row.terms).0);
        let off: Vec<f64> = off.collect();
        let pull = fit.times_alone(off.iter().copied());
        let mut common = vec![vec![0.0; commons]; n];
        for k in 0..commons {
            let column = fit.times_alone(rows.iter().map(|row| loading(row.common, k)));
            common
                .iter_mut()
                .zip(column)
                .for_each(|(row, x)| row[k] = x);
        }
        let mut inner = DMatrix::identity(commons, commons);
        let mut side = DVector::zeros(commons);
        for (j, row) in rows.iter().enumerate() {
            if let Some((k, loading)) = row.common {
                side[k] += loading * pull[j];
                for (l, x) in common[j].iter().enumerate() {
                    inner[(k, l)] += loading * x;
                }
            }
        }
        let mut state = Self {
            chi_square: off.iter().zip(&pull).map(|(y, p)| y * p).sum(),
            pull,
            power: (0..n).map(|j| fit.power(j)).collect(),
            common,
            inner,
            side,
            entry: structure.entry.clone(),
            checked: structure.checked.clone(),
            degrees_of_freedom: structure.degrees_of_freedom,
        };
        if let Some(inverse) = state.inner.clone().try_inverse() {
            for (power, row) in state.power.iter_mut().zip(&state.common) {
                *power += quadratic(&inverse, row);
            }
        }
        state
    }

    /// Returns the reading with the greatest |z|, if the global test fails and it is beyond its critical
    /// value.
    fn suspect(&self) -> Option<usize> {
        let inverse = self.inner.clone().try_inverse()?;
        let errors = &inverse * &self.side;
        let chi_square = self.chi_square - self.side.dot(&errors);
        let p = balance::chi_square_tail(chi_square, self.degrees_of_freedom)?;
        if p >= ALPHA {
            return None;
        }
        let (mut worst, mut greatest, mut checked) = (None, 0.0, 0);
        for j in (0..self.pull.len()).filter(|&j| self.checked[j]) {
            let shared: f64 = self.common[j]
                .iter()
                .zip(errors.iter())
                .map(|(b, c)| b * c)
                .sum();
            let power = self.power[j] - quadratic(&inverse, &self.common[j]);
            if power <= 0.0 {
                continue;
            }
            // With a common scale error the maximum-power statistic finds the culprit, the plain one
            // need not.
            let z = (self.pull[j] - shared).abs() / power.sqrt();
            checked += usize::from(z != 0.0);
            if z > greatest {
                (worst, greatest) = (Some(j), z);
            }
        }
        worst.filter(|_| greatest > balance::sidak_critical(ALPHA, checked))
    }

    /// Returns those of some readings that enter every balance in the same proportion as `reading`, itself
    /// included.
    fn alike(
        &self,
        reading: usize,
        of: impl Iterator<Item = usize>,
    ) -> impl Iterator<Item = usize> {
        of.filter(move |&j| j == reading || proportional(&self.entry[reading], &self.entry[j]))
    }

    /// Leaves a reading out, given its columns of `Q₀` and of the same at equal weights.
    fn leave_out(
        &mut self,
        model: &Model,
        reading: usize,
        column: &Column,
        plain_columns: &Column,
    ) {
        // Sign and root of the own entry divide what the column takes away.
        let pull = column.sign * self.pull[reading] / column.own;
        let common: Vec<f64> = self.common[reading]
            .iter()
            .map(|b| column.sign * b / column.own)
            .collect();
        self.chi_square -= column.sign * pull * pull;
        self.degrees_of_freedom -= 1;
        for &(j, x) in &column.entries {
            let q = column.sign * x;
            self.pull[j] -= q * pull;
            self.power[j] -= q * x;
            for (b, c) in self.common[j].iter_mut().zip(&common) {
                *b -= q * c;
            }
            if let Some((k, loading)) = model.rows[j].common {
                self.side[k] -= loading * q * pull;
                for (l, c) in common.iter().enumerate() {
                    self.inner[(k, l)] -= loading * q * c;
                }
            }
        }
        let probe = self.entry[reading].map(|x| x / plain_columns.own);
        for &(j, x) in &plain_columns.entries {
            for (own, y) in self.entry[j].iter_mut().zip(probe) {
                *own -= x * y;
            }
        }
    }
}

fn loading(common: Option<(usize, f64)>, k: usize) -> f64 {
    common.filter(|c| c.0 == k).map_or(0.0, |c| c.1)
}

fn quadratic(matrix: &DMatrix<f64>, x: &[f64]) -> f64 {
    let n = x.len();
    (0..n)
        .map(|i| (0..n).map(|j| x[i] * matrix[(i, j)] * x[j]).sum::<f64>())
        .sum()
}
