//! Entries of the inverse of an eliminated system.
//!
//! In: the factor. Out: the inverse wherever the factor has entries, by the recursion from the last pivot
//! to the first, in work proportional to that of the elimination; any other entry on demand.
//! Source: K. Takahashi, J. Fagan, M.-S. Chen, Proc. 8th PICA Conf. (1973) 63–69; A. M. Erisman,
//! W. F. Tinney, Comm. ACM 18 (1975) 177–179.

use super::factor::Factor;
use super::number::Number;
use std::collections::BTreeMap;

/// The inverse on the pattern of the factor.
#[derive(Debug, Clone)]
pub(super) struct Inverse<T> {
    /// Within each pivot block.
    own: Vec<[[T; 2]; 2]>,
    /// Of each later variable of a pivot with the block.
    later: Vec<Vec<[T; 2]>>,
}

/// Entries worked out on demand, kept for the next one.
pub(super) type Kept<T> = BTreeMap<(usize, usize), T>;

impl<T: Number> Inverse<T> {
    /// Inverts.
    pub(super) fn of(factor: &Factor<T>) -> Self {
        let zero = T::from(0.0);
        let n = factor.pivots.len();
        let mut inverse = Self {
            own: vec![[[zero; 2]; 2]; n],
            later: vec![Vec::new(); n],
        };
        for (index, pivot) in factor.pivots.iter().enumerate().rev() {
            let later: Vec<[T; 2]> = pivot
                .later
                .iter()
                .map(|&r| {
                    let mut sum = [zero; 2];
                    for (&s, l) in pivot.later.iter().zip(&pivot.lower) {
                        let z = inverse.entry(factor, r, s, &mut Kept::new());
                        sum = [sum[0] - z * l[0], sum[1] - z * l[1]];
                    }
                    sum
                })
                .collect();
            let mut own = pivot.inverse;
            for (z, l) in later.iter().zip(&pivot.lower) {
                for (i, row) in own.iter_mut().enumerate() {
                    for (j, x) in row.iter_mut().enumerate() {
                        *x = *x - l[i] * z[j];
                    }
                }
            }
            inverse.own[index] = own;
            inverse.later[index] = later;
        }
        inverse
    }

    /// Returns the entry at (`a`, `b`); zero where one is free.
    pub(super) fn entry(&self, factor: &Factor<T>, a: usize, b: usize, kept: &mut Kept<T>) -> T {
        let (Some(x), Some(y)) = (factor.place[a], factor.place[b]) else {
            return T::from(0.0);
        };
        if x.0 == y.0 {
            return self.own[x.0][x.1][y.1];
        }
        let ((pivot, slot), other) = if x.0 < y.0 { (x, b) } else { (y, a) };
        let found = &factor.pivots[pivot];
        if let Ok(at) = found.later.binary_search(&other) {
            return self.later[pivot][at][slot];
        }
        let key = (found.variables[slot], other);
        if let Some(&known) = kept.get(&key) {
            return known;
        }
        let mut sum = T::from(0.0);
        for (&r, l) in found.later.iter().zip(&found.lower) {
            sum = sum - l[slot] * self.entry(factor, r, other, kept);
        }
        kept.insert(key, sum);
        sum
    }
}
