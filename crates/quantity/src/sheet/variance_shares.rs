//! Variance-based sensitivity by pick-freeze sampling.
//!
//! In: a term. Out: per input the share of the variance it explains alone, and the share that
//! would vanish with it. Source: A. Saltelli et al., "Variance based sensitivity analysis of model
//! output", Comput. Phys. Commun. 181 (2010) 259, table 2 (b) and (f).
//! Not here: correlated inputs, for which these shares are not defined.

use super::block::{BLOCK, Column, Plan, column, evaluate};
use super::program::Program;
use super::{Sheet, SheetError, Term};

/// Variance-based sensitivity indices per input in order of creation.
#[derive(Debug, Clone, PartialEq)]
pub struct VarianceShares {
    /// First-order index.
    pub first: Vec<f64>,
    /// Total index.
    pub total: Vec<f64>,
}

/// Random streams of the two independent sets of draws.
const SETS: [u64; 2] = [1_000, 1_001];

impl Sheet {
    /// Estimates variance-based sensitivity indices by pick-freeze sampling. `draws` is rounded up
    /// to whole blocks of 1024; the formula is evaluated that often for every input and twice more.
    ///
    /// # Errors
    /// As [`Sheet::value`]; also where the term rests on correlated inputs.
    pub fn variance_shares(
        &self,
        term: Term<'_>,
        draws: u64,
        seed: u64,
    ) -> Result<VarianceShares, SheetError> {
        self.program(&[term])?;
        let state = &*self.state.borrow();
        let program = Program::new(state, &[term.id], true);
        if !state.score_factor(&program.inputs)?.0.is_empty() {
            return Err(SheetError::Value(format!(
                "{} rests on correlated inputs, so its variance has no shares",
                state.label(term.id)
            )));
        }
        let plan = Plan::new(&program, state)?;
        let count = program.inputs.len();
        let (mut first, mut total) = (vec![0.0; count], vec![0.0; count]);
        let (mut sum, mut squares) = (0.0, 0.0);
        let mut sets = [plan.machine(), plan.machine()];
        for (machine, part) in sets.iter_mut().zip(SETS) {
            machine.start(seed, part);
        }
        let mut columns: Vec<Vec<Column>> = (0..2)
            .map(|_| (0..count).map(|_| column()).collect())
            .collect();
        let mut work: Vec<Column> = program.steps.iter().map(|_| column()).collect();
        let blocks = draws.div_ceil(BLOCK as u64).max(1);
        let mut reference = None;
        for _ in 0..blocks {
            for (machine, columns) in sets.iter_mut().zip(&mut columns) {
                machine.draw_inputs(columns);
            }
            let [a, b] = [0, 1].map(|set| {
                let mut out = column();
                evaluate(&program, |v| &columns[set][v], &mut work, &mut out);
                out
            });
            // Taking off a reference keeps the products from drowning the differences.
            let reference = *reference.get_or_insert(a[0]);
            for x in a.iter().chain(b.iter()).map(|x| x - reference) {
                sum += x;
                squares += x * x;
            }
            let mut mixed = column();
            for i in 0..count {
                let pick = |v: usize| {
                    if v == i {
                        &columns[1][v]
                    } else {
                        &columns[0][v]
                    }
                };
                evaluate(&program, pick, &mut work, &mut mixed);
                for ((a, b), m) in a.iter().zip(b.iter()).zip(mixed.iter()) {
                    first[i] += (b - reference) * (m - a);
                    total[i] += 0.5 * (a - m) * (a - m);
                }
            }
        }
        let n = (blocks * BLOCK as u64) as f64;
        let mean = sum / (2.0 * n);
        let variance = squares / (2.0 * n) - mean * mean;
        if !variance.is_finite() {
            return Err(super::not_finite(&state.label(term.id)));
        }
        let mut shares = VarianceShares {
            first: vec![0.0; state.inputs.len()],
            total: vec![0.0; state.inputs.len()],
        };
        if variance > 0.0 {
            for (i, &k) in program.inputs.iter().enumerate() {
                shares.first[k as usize] = first[i] / n / variance;
                shares.total[k as usize] = total[i] / n / variance;
            }
        }
        Ok(shares)
    }
}
