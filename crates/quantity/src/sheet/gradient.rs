//! Reverse-mode differentiation of a compiled program.
//!
//! In: a program and the values of its variables. Out: the derivative of one result with respect
//! to every variable, from one sweep backwards. Not here: what derivatives are used for, the
//! slopes of models (`model.rs`).
//!
//! At a tie `min` and `max` follow their first argument; `abs` has slope 0 at 0.

use super::model::{Call, Run};
use super::program::{Program, Step};

impl Program {
    /// Fills `adjoint`, which must be all zero, with the derivatives of variable `result`. With
    /// `into_groups` false the sweep stops at groups of private inputs. Straight models have the
    /// slopes that they have at `centre`, the variables at the expectations.
    pub(super) fn reverse(
        &self,
        values: &[f64],
        centre: &[f64],
        result: u32,
        into_groups: bool,
        adjoint: &mut [f64],
    ) {
        adjoint[result as usize] = 1.0;
        let first = self.inputs.len();
        for k in (0..self.steps.len()).rev() {
            if let Step::Call { from, to, call } = &self.steps[k] {
                let at = if call.model.is_straight() {
                    centre
                } else {
                    values
                };
                self.reverse_call((*from, *to, call), at, first + k, adjoint);
                continue;
            }
            let weight = adjoint[first + k];
            if weight == 0.0 {
                continue;
            }
            let y = values[first + k];
            let at = |v: u32| values[v as usize];
            let mut add = |v: u32, slope: f64| adjoint[v as usize] += weight * slope;
            match &self.steps[k] {
                Step::Linear { group: true, .. } if !into_groups => {}
                Step::Linear { from, to, .. } => {
                    for &(v, c) in &self.linear[*from as usize..*to as usize] {
                        add(v, c);
                    }
                }
                Step::Mul(a, b) => {
                    add(*a, at(*b));
                    add(*b, at(*a));
                }
                Step::Div(a, b) => {
                    add(*a, 1.0 / at(*b));
                    add(*b, -y / at(*b));
                }
                Step::Power(_, 0) => {}
                Step::Power(a, n) => {
                    let n = i32::from(*n);
                    add(*a, f64::from(n) * at(*a).powi(n - 1));
                }
                Step::PowerOf(a, b) => {
                    let (x, e) = (at(*a), at(*b));
                    add(*a, if e == 0.0 { 0.0 } else { e * x.powf(e - 1.0) });
                    add(*b, if x > 0.0 { y * x.ln() } else { 0.0 });
                }
                Step::Function(f, a) => add(*a, f.slope(at(*a), y)),
                Step::Min(a, b) => add(if at(*b) < at(*a) { *b } else { *a }, 1.0),
                Step::Max(a, b) => add(if at(*b) > at(*a) { *b } else { *a }, 1.0),
                Step::Call { .. } | Step::Further => {}
            }
        }
    }

    /// Takes the derivatives through all results of a model, the first of which is `own`.
    fn reverse_call(
        &self,
        (from, to, call): (u32, u32, &Call),
        values: &[f64],
        own: usize,
        adjoint: &mut [f64],
    ) {
        let results = own..own + call.results.len();
        if adjoint[results.clone()].iter().all(|&w| w == 0.0) {
            return;
        }
        let ids = &self.arguments[from as usize..to as usize];
        let run = self.run_of(from, to, call, values);
        let slopes = self.call_slopes(from, to, call, &run);
        for (r, row) in results.zip(slopes.chunks_exact(ids.len().max(1))) {
            let weight = adjoint[r];
            if weight != 0.0 {
                for (&v, slope) in ids.iter().zip(row) {
                    adjoint[v as usize] += weight * slope;
                }
            }
        }
    }

    /// Returns the slopes of a model at one of its runs.
    pub(super) fn call_slopes<'r>(
        &self,
        from: u32,
        to: u32,
        call: &Call,
        run: &'r Run,
    ) -> &'r [f64] {
        let ids = &self.arguments[from as usize..to as usize];
        call.slopes(run, |a| {
            let spread = self.uncertainties.get(ids[a] as usize).copied();
            spread.filter(|u| u.is_finite()).unwrap_or(0.0)
        })
    }

    /// Makes `adjoint` all zero again after a sweep that stopped at groups.
    pub(super) fn clear(&self, adjoint: &mut [f64]) {
        adjoint[self.inputs.len()..].fill(0.0);
        for &v in &self.ungrouped {
            adjoint[v as usize] = 0.0;
        }
    }
}
