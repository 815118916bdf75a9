//! Which readings are set aside because they contradict the rest.
//!
//! In: a model and what it can tell. Out: for each reading whether it is kept.
//! Not here: the masses that rest on those kept (`model`).
//!
//! While the global test fails and a measurement test says which, the reading with the greatest |z| is set
//! aside with those that cannot be told from it (serial elimination: Ripps, Chem. Eng. Prog. Symp. Ser. 61
//! (1965) 8–13, with the measurement test for choosing). Leaving out reading `j` changes `Q` by
//! `−q qᵀ / qⱼ` with its column `q` (the rank-one form of the Sherman–Morrison–Woodbury identity: W. W.
//! Hager, SIAM Review 31 (1989) 221–239), so each costs one solution instead of one elimination.

use super::balance;
use super::model::{Fit, Model, Reconciled};
use super::solution::ALPHA;
use super::structure::{Probe, Structure, proportional};

/// Readings left out one by one before everything is eliminated anew: bounds memory and rounding.
const ANEW: usize = 64;

/// `Q` of a fit with readings left out since, and its products with some vectors.
struct Shrinking {
    fit: Fit,
    /// Columns of readings left out, each at the time, with their own entry.
    gone: Vec<(Vec<f64>, f64)>,
}

impl Shrinking {
    fn new(fit: Fit) -> Self {
        Self {
            fit,
            gone: Vec::new(),
        }
    }

    /// Leaves a reading out; returns its column divided by its own entry, and that entry.
    fn leave_out(&mut self, reading: usize) -> Option<(Vec<f64>, f64)> {
        let mut column = self.fit.column(reading);
        for (other, own) in &self.gone {
            let factor = other[reading] / own;
            if factor != 0.0 {
                column.iter_mut().zip(other).for_each(|(x, y)| *x -= factor * y);
            }
        }
        let own = column[reading];
        if own <= 0.0 {
            return None;
        }
        self.gone.push((column.clone(), own));
        Some((column, own))
    }
}

/// Returns which readings are kept.
pub(super) fn kept(
    model: &Model,
    structure: &Structure,
    plain: Fit,
    fit: &Fit,
    all: &Reconciled,
) -> Vec<bool> {
    let n = model.rows.len();
    let mut kept = vec![true; n];
    let mut state = State::of(n, structure, fit, all);
    let mut measured = Shrinking::new(fit.clone());
    let mut told = Shrinking::new(plain);
    let mut removed = 0;
    while let Some(worst) = state.suspect() {
        let group: Vec<usize> = (0..n)
            .filter(|&j| j == worst || proportional(&state.entry[worst], &state.entry[j]))
            .collect();
        group.iter().for_each(|&j| kept[j] = false);
        removed += 1;
        if removed % ANEW == 0 {
            let (structure, plain) = Structure::with_fit(model, &kept);
            let fit = model.fit(&structure);
            let result = Reconciled::of(model, &structure, &fit);
            state = State::of(n, &structure, &fit, &result);
            measured = Shrinking::new(fit);
            told = Shrinking::new(plain);
            continue;
        }
        let (Some(by), Some(structural)) = (measured.leave_out(worst), told.leave_out(worst)) else {
            break;
        };
        state.leave_out(worst, &group, &by, &structural);
    }
    kept
}

/// The statistics while readings are left out.
struct State {
    pull: Vec<f64>,
    power: Vec<f64>,
    entry: Vec<Probe>,
    checked: Vec<bool>,
    chi_square: f64,
    degrees_of_freedom: usize,
}

impl State {
    fn of(n: usize, structure: &Structure, fit: &Fit, result: &Reconciled) -> Self {
        Self {
            pull: (0..n).map(|j| fit.pull(j)).collect(),
            power: (0..n).map(|j| fit.power(j)).collect(),
            entry: structure.entry.clone(),
            checked: structure.checked.clone(),
            chi_square: result.chi_square,
            degrees_of_freedom: structure.degrees_of_freedom,
        }
    }

    /// Returns the reading with the greatest |z|, if the global test fails and it is beyond its critical
    /// value.
    fn suspect(&self) -> Option<usize> {
        let p = balance::chi_square_tail(self.chi_square, self.degrees_of_freedom)?;
        if p >= ALPHA {
            return None;
        }
        let (mut worst, mut greatest, mut checked) = (None, 0.0, 0);
        for j in (0..self.pull.len()).filter(|&j| self.checked[j] && self.power[j] > 0.0) {
            // With a common scale error the maximum-power statistic finds the culprit, the plain one
            // need not.
            let z = self.pull[j].abs() / self.power[j].sqrt();
            checked += usize::from(z != 0.0);
            if z > greatest {
                (worst, greatest) = (Some(j), z);
            }
        }
        worst.filter(|_| greatest > balance::sidak_critical(ALPHA, checked))
    }

    fn leave_out(
        &mut self,
        reading: usize,
        group: &[usize],
        (column, own): &(Vec<f64>, f64),
        (structural, entry): &(Vec<f64>, f64),
    ) {
        let pull = self.pull[reading];
        let probe = self.entry[reading];
        self.chi_square = (self.chi_square - pull * pull / own).max(0.0);
        self.degrees_of_freedom -= 1;
        for (j, q) in column.iter().enumerate() {
            self.pull[j] -= q * pull / own;
            self.power[j] -= q * q / own;
        }
        for (own, q) in self.entry.iter_mut().zip(structural) {
            for (x, y) in own.iter_mut().zip(probe) {
                *x -= q * y / entry;
            }
        }
        // Nothing is left to check these.
        for &j in group {
            self.checked[j] = false;
            self.entry[j] = [0.0; 3];
        }
    }
}
