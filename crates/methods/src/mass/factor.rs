//! Elimination of a sparse symmetric system `[[P, Gᵀ], [G, −R]]` of unknowns and rows, in a given order.
//!
//! In: the entries, which variables are unknowns and which are rows, numbered so that little fills in
//! (from the leaves of a tree to its root). Out: `K = L D Lᵀ`, with which systems are solved, and the
//! unknowns that no row determines.
//! Not here: parts of the inverse (`inverse`), what the rows mean (`model`).
//!
//! `P` and `R` are non-negative, so a pivot that vanishes has neighbours of the other kind only: it waits
//! for the first of them and the two are eliminated together (a pivot of two by two). One without
//! neighbours left is free: its value is 0 in every solution. Sources: T. A. Davis, *Direct Methods for
//! Sparse Linear Systems* (2006), chapter 4; J. R. Bunch, L. Kaufman, Math. Comp. 31 (1977) 163–179.

use super::number::Number;

/// What is left of a pivot relative to what went into it, or of a whole-numbered coefficient, below which
/// it is rounding.
const ROUNDING: f64 = 1e-11;

/// A symmetric matrix under assembly and elimination.
pub(super) struct System<T> {
    diagonal: Vec<T>,
    /// Sum of the sizes of what was added to each diagonal entry.
    scale: Vec<f64>,
    /// Entries with later variables, by variable.
    columns: Vec<Vec<(usize, T)>>,
    is_row: Vec<bool>,
}

/// One or two variables eliminated together.
#[derive(Debug, Clone)]
pub(super) struct Pivot<T> {
    /// The variables; the second only where `size` is 2.
    pub(super) variables: [usize; 2],
    /// How many.
    pub(super) size: usize,
    /// Inverse of the pivot block.
    pub(super) inverse: [[T; 2]; 2],
    /// Variables eliminated later that the block touches, ascending.
    pub(super) later: Vec<usize>,
    /// Their entries in `L`, one row each.
    pub(super) lower: Vec<[T; 2]>,
    /// Free variables that touch this block only, with their entries in `L`.
    loose: Vec<(usize, [T; 2])>,
}

/// An eliminated system.
#[derive(Debug, Clone)]
pub(super) struct Factor<T> {
    /// In the order of elimination.
    pub(super) pivots: Vec<Pivot<T>>,
    /// Pivot and place in it of each variable; `None` for free ones.
    pub(super) place: Vec<Option<(usize, usize)>>,
}

impl<T: Number> System<T> {
    /// Makes an empty matrix; `is_row` says of each variable whether it belongs to a row.
    pub(super) fn new(is_row: Vec<bool>) -> Self {
        let n = is_row.len();
        Self {
            diagonal: vec![T::from(0.0); n],
            scale: vec![0.0; n],
            columns: vec![Vec::new(); n],
            is_row,
        }
    }

    /// Adds `value` at (`a`, `b`) and (`b`, `a`).
    pub(super) fn add(&mut self, a: usize, b: usize, value: T) {
        if a == b {
            self.diagonal[a] = self.diagonal[a] + value;
            self.scale[a] += value.value().abs();
            return;
        }
        let (first, second) = (a.min(b), a.max(b));
        let column = &mut self.columns[first];
        match column.binary_search_by_key(&second, |e| e.0) {
            Ok(at) => column[at].1 = column[at].1 + value,
            Err(at) => column.insert(at, (second, value)),
        }
    }

    fn entry(&self, a: usize, b: usize) -> T {
        let column = &self.columns[a.min(b)];
        column
            .binary_search_by_key(&a.max(b), |e| e.0)
            .map_or(T::from(0.0), |at| column[at].1)
    }

    fn has_pivot(&self, v: usize) -> bool {
        self.diagonal[v].value().abs() > ROUNDING * self.scale[v]
    }

    /// Eliminates all variables in blocks of one or two in the order of their numbers, all of which have a
    /// pivot.
    pub(super) fn eliminate_blocks(mut self, sizes: &[usize]) -> Factor<T> {
        let mut work = Factor {
            pivots: Vec::with_capacity(sizes.len()),
            place: vec![None; self.diagonal.len()],
        };
        let mut at = 0;
        for &size in sizes {
            let block: Vec<usize> = (at..at + size).collect();
            // Stated correlations of one or of minus one can cancel a pivot: a tiny one in its place
            // changes nothing that is printed.
            if size == 1 && self.diagonal[at].value().abs() <= 1e-14 * self.scale[at] {
                let tiny = 1e-10 * self.scale[at].max(f64::MIN_POSITIVE);
                let signed = if self.is_row[at] { -tiny } else { tiny };
                self.diagonal[at] = self.diagonal[at] + T::from(signed);
            }
            self.take(&mut work, &block, &[]);
            at += size;
        }
        work
    }

    /// Eliminates all variables, waiting where a pivot vanishes.
    pub(super) fn eliminate(mut self) -> Factor<T> {
        let n = self.diagonal.len();
        let mut work = Factor {
            pivots: Vec::with_capacity(n),
            place: vec![None; n],
        };
        let mut waiting: Vec<Vec<usize>> = vec![Vec::new(); n];
        for v in 0..n {
            let mut here = std::mem::take(&mut waiting[v]);
            let partner = here
                .iter()
                .copied()
                .filter(|&u| {
                    self.is_row[u] != self.is_row[v] && self.entry(u, v).value().abs() > ROUNDING
                })
                .min_by_key(|&u| self.neighbours(&work, u).count());
            match partner {
                Some(u) => {
                    here.retain(|&w| w != u);
                    self.take(&mut work, &[u, v], &here);
                }
                None if self.has_pivot(v) => self.take(&mut work, &[v], &here),
                None => here.push(v),
            }
            for u in here {
                if self.has_pivot(u) {
                    self.take(&mut work, &[u], &[]);
                } else if let Some(next) = self.neighbours(&work, u).find(|&w| w > v) {
                    waiting[next].push(u);
                }
            }
        }
        work
    }

    /// Returns the variables after `v` that it touches and that are not eliminated.
    fn neighbours<'a>(&'a self, work: &'a Factor<T>, v: usize) -> impl Iterator<Item = usize> + 'a {
        self.columns[v]
            .iter()
            .map(|e| e.0)
            .filter(|&w| work.place[w].is_none())
    }

    /// Eliminates `block`; `waiting` are earlier variables that touch its last one.
    fn take(&mut self, work: &mut Factor<T>, block: &[usize], waiting: &[usize]) {
        let zero = T::from(0.0);
        let mut touched: Vec<usize> = block
            .iter()
            .flat_map(|&v| self.neighbours(work, v))
            .chain(waiting.iter().copied())
            .filter(|r| !block.contains(r))
            .collect();
        touched.sort_unstable();
        touched.dedup();
        let inverse = match *block {
            [u, v] => {
                let (a, b, c) = (self.diagonal[u], self.entry(u, v), self.diagonal[v]);
                let determinant = a * c - b * b;
                [
                    [c / determinant, -b / determinant],
                    [-b / determinant, a / determinant],
                ]
            }
            _ => [[T::from(1.0) / self.diagonal[block[0]], zero], [zero, zero]],
        };
        let index = work.pivots.len();
        for (slot, &v) in block.iter().enumerate() {
            work.place[v] = Some((index, slot));
        }
        // A waiting variable that touches nothing but a pair that touches nothing else before it is free:
        // the pair takes up the only row it stands in.
        let alone = |u: usize| block.len() == 2 && self.neighbours(work, u).next().is_none();
        let closed = block.len() == 2 && self.neighbours(work, block[0]).next().is_none();
        let mut pivot = Pivot {
            variables: [block[0], *block.last().expect("a block holds a variable")],
            size: block.len(),
            inverse,
            later: Vec::with_capacity(touched.len()),
            lower: Vec::with_capacity(touched.len()),
            loose: Vec::new(),
        };
        let mut entries = Vec::with_capacity(touched.len());
        for r in touched {
            let k = [
                self.entry(block[0], r),
                block.get(1).map_or(zero, |&v| self.entry(v, r)),
            ];
            let l = [
                k[0] * inverse[0][0] + k[1] * inverse[1][0],
                k[0] * inverse[0][1] + k[1] * inverse[1][1],
            ];
            if closed && waiting.contains(&r) && alone(r) {
                pivot.loose.push((r, l));
            } else {
                pivot.later.push(r);
                pivot.lower.push(l);
                entries.push(k);
            }
        }
        for (i, &r) in pivot.later.iter().enumerate() {
            let l = pivot.lower[i];
            for (&s, k) in pivot.later[i..].iter().zip(&entries[i..]) {
                let fill = l[0] * k[0] + l[1] * k[1];
                // What a pair does not connect stays apart, or unknown pieces would fill the tree.
                if !fill.is_nothing() {
                    self.add(r, s, -fill);
                }
            }
        }
        for &v in block {
            self.columns[v] = Vec::new();
        }
        work.pivots.push(pivot);
    }
}

impl<T: Number> Factor<T> {
    /// Solves for one right-hand side, in place.
    pub(super) fn solve(&self, x: &mut [T]) {
        self.solve_before(self.place.len(), x);
    }

    /// Solves for one right-hand side, in place, with variables from `end` on held at zero.
    pub(super) fn solve_before(&self, end: usize, x: &mut [T]) {
        let zero = T::from(0.0);
        let takes_part = |v: usize| v < end && self.place[v].is_some();
        for (v, value) in x.iter_mut().enumerate() {
            if !takes_part(v) {
                *value = zero;
            }
        }
        let pivots = || self.pivots.iter().filter(|p| p.variables[0] < end);
        for pivot in pivots() {
            let own = pivot.get(x);
            for (&r, l) in pivot.later.iter().zip(&pivot.lower) {
                if takes_part(r) {
                    x[r] = x[r] - (l[0] * own[0] + l[1] * own[1]);
                }
            }
        }
        for pivot in pivots().rev() {
            let own = pivot.get(x);
            for slot in 0..pivot.size {
                let scaled = pivot.inverse[slot][0] * own[0] + pivot.inverse[slot][1] * own[1];
                let later = pivot.later.iter().zip(&pivot.lower);
                let rest = later.fold(zero, |sum, (&r, l)| sum + l[slot] * x[r]);
                x[pivot.variables[slot]] = scaled - rest;
            }
        }
    }
}

impl Factor<f64> {
    /// Returns the solution of `K x = 0` with the given values of the free variables. Only unknowns
    /// move in it (`moves`), rows do not.
    pub(super) fn null_vector(
        &self,
        free: impl Fn(usize) -> f64,
        moves: impl Fn(usize) -> bool,
    ) -> Vec<f64> {
        let mut x: Vec<f64> = (0..self.place.len())
            .map(|v| {
                if self.place[v].is_none() && moves(v) {
                    free(v)
                } else {
                    0.0
                }
            })
            .collect();
        for pivot in self.pivots.iter().rev() {
            for slot in 0..pivot.size {
                let v = pivot.variables[slot];
                if !moves(v) {
                    continue;
                }
                let later = pivot.later.iter().copied().zip(pivot.lower.iter());
                let loose = pivot.loose.iter().map(|(r, l)| (*r, l));
                let (sum, size) = later
                    .chain(loose)
                    .fold((0.0_f64, 0.0_f64), |(s, t), (r, l)| {
                        (s - l[slot] * x[r], t + (l[slot] * x[r]).abs())
                    });
                x[v] = if sum.abs() > 1e-9 * size { sum } else { 0.0 };
            }
        }
        x
    }

    /// Returns the number of entries of `L`, a measure of the work.
    pub(super) fn entries(&self) -> usize {
        self.pivots.iter().map(|p| p.size * p.later.len()).sum()
    }
}

impl<T: Number> Pivot<T> {
    /// Returns the block's part of a vector.
    pub(super) fn get(&self, x: &[T]) -> [T; 2] {
        let second = if self.size == 2 {
            x[self.variables[1]]
        } else {
            T::from(0.0)
        };
        [x[self.variables[0]], second]
    }
}
