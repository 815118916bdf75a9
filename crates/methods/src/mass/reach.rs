//! One column of the inverse of an eliminated system, as far as it reaches.
//!
//! In: a factor and a variable. Out: the entries of its column that are not rounding, in work proportional
//! to their number. Not here: the whole column (`factor`).
//!
//! Going up, only what the variable leads to carries values; going down, a variable is looked at only if
//! something it depends on is not rounding (T. A. Davis, *Direct Methods for Sparse Linear Systems* (2006),
//! chapter 3).

use super::factor::Factor;
use std::collections::BTreeSet;

/// An entry is rounding if it is smaller than this beside the bound that the diagonal gives it.
const ROUNDING: f64 = 1e-13;

/// A factor and room to work in.
pub(super) struct Reach<'f> {
    factor: &'f Factor<f64>,
    /// Variables from here on are held at zero.
    end: usize,
    /// Pivots that touch each variable as a later one.
    touching: Vec<Vec<usize>>,
    /// Root of the size of each variable's diagonal entry of the inverse.
    scale: Vec<f64>,
    x: Vec<f64>,
}

impl<'f> Reach<'f> {
    /// Prepares. `scale` is the root of the size of the diagonal of the inverse.
    pub(super) fn of(factor: &'f Factor<f64>, end: usize, scale: Vec<f64>) -> Self {
        let mut touching = vec![Vec::new(); factor.place.len()];
        for (index, pivot) in factor.pivots.iter().enumerate() {
            for &r in pivot.later.iter().filter(|&&r| r < end) {
                touching[r].push(index);
            }
        }
        Self {
            x: vec![0.0; factor.place.len()],
            factor,
            end,
            touching,
            scale,
        }
    }

    /// Returns the entries of the column of `variable`.
    pub(super) fn column(&mut self, variable: usize) -> Vec<(usize, f64)> {
        let Some((start, _)) = self.factor.place[variable] else {
            return Vec::new();
        };
        self.x[variable] = 1.0;
        let mut up = BTreeSet::from([start]);
        let mut down = BTreeSet::new();
        while let Some(at) = up.pop_first() {
            down.insert(at);
            let pivot = &self.factor.pivots[at];
            let own = pivot.get(&self.x);
            for (&r, l) in pivot.later.iter().zip(&pivot.lower) {
                if let Some((next, _)) = self.factor.place[r].filter(|_| r < self.end) {
                    self.x[r] -= l[0] * own[0] + l[1] * own[1];
                    up.insert(next);
                }
            }
        }
        let bound = ROUNDING * self.scale[variable];
        let mut found = Vec::new();
        while let Some(at) = down.pop_last() {
            let pivot = &self.factor.pivots[at];
            let own = pivot.get(&self.x);
            for slot in 0..pivot.size {
                let scaled = pivot.inverse[slot][0] * own[0] + pivot.inverse[slot][1] * own[1];
                let later = pivot.later.iter().zip(&pivot.lower);
                let value = later.fold(scaled, |sum, (&r, l)| sum - l[slot] * self.x[r]);
                found.push((pivot.variables[slot], value));
            }
            for &(v, value) in &found[found.len() - pivot.size..] {
                self.x[v] = value;
                if value.abs() > bound * self.scale[v] {
                    down.extend(self.touching[v].iter().copied());
                }
            }
        }
        for &(v, _) in &found {
            self.x[v] = 0.0;
        }
        found
    }
}
