//! The part of the graph that a result needs, ready to run.
//!
//! In: the sheet's nodes and the wanted results. Out: a flat list of steps over numbered
//! variables: first the inputs needed, in order of creation, then one variable per step. A model
//! of several results is a step for the first of them and a placeholder for each other.
//! Sums, differences and multiples are fused: whatever is linear in what came before is one step.
//! Not here: how it is made (`compile.rs`), derivatives (`gradient.rs`), blocks of draws
//! (`block.rs`).

use super::model::{Call, Run};
use super::node::Function;
use std::sync::Arc;

/// A compiled part of the graph. Shared between threads.
pub(super) struct Program {
    /// The inputs needed, by their number in the sheet: variable k is input `inputs[k]`.
    pub(super) inputs: Vec<u32>,
    pub(super) steps: Vec<Step>,
    /// Variables and coefficients of the linear steps.
    pub(super) linear: Vec<(u32, f64)>,
    /// Argument lists of models.
    pub(super) arguments: Vec<u32>,
    /// The variable of each wanted result.
    pub(super) outputs: Vec<u32>,
    /// Per input: used exactly once, there as a summand, and in no correlation.
    pub(super) private: Vec<bool>,
    /// Inputs that are in no group, as variables.
    pub(super) ungrouped: Vec<u32>,
    /// Per input: expectation.
    pub(super) means: Vec<f64>,
    /// Per input: standard uncertainty.
    pub(super) uncertainties: Vec<f64>,
    /// Inputs with finitely many degrees of freedom, as variables, with their number.
    pub(super) degrees: Vec<(usize, f64)>,
    /// Correlated pairs of inputs, as variables, with their coefficient.
    pub(super) correlations: Vec<(usize, usize, f64)>,
}

/// One step; operands are variables.
pub(super) enum Step {
    /// `constant + Σ coefficient × variable` over a range of `Program::linear`. In a `group` every
    /// variable is a private input.
    Linear {
        from: u32,
        to: u32,
        constant: f64,
        group: bool,
    },
    Mul(u32, u32),
    Div(u32, u32),
    Power(u32, i8),
    PowerOf(u32, u32),
    Function(Function, u32),
    Min(u32, u32),
    Max(u32, u32),
    /// A model with a range of `Program::arguments`; fills its own variable and those of the
    /// placeholders after it.
    Call {
        from: u32,
        to: u32,
        call: Arc<Call>,
    },
    /// A further result of the model before.
    Further,
}

impl Step {
    /// Whether the step is linear in what came before, as sums and straight models are.
    pub(super) fn is_linear(&self) -> bool {
        match self {
            Self::Linear { .. } | Self::Further => true,
            Self::Call { call, .. } => call.model.is_straight(),
            _ => false,
        }
    }
}

impl Program {
    /// Number of variables.
    pub(super) fn variables(&self) -> usize {
        self.inputs.len() + self.steps.len()
    }

    /// Returns all variables at the inputs' expectations.
    pub(super) fn forward(&self) -> Vec<f64> {
        let mut values = vec![0.0; self.variables()];
        values[..self.means.len()].copy_from_slice(&self.means);
        for k in 0..self.steps.len() {
            self.run(k, &mut values);
        }
        values
    }

    /// Returns `start + Σ coefficient × value` over linear summands, long sums in four strands
    /// that do not wait for each other.
    fn weighted_sum(&self, from: u32, to: u32, start: f64, values: &[f64]) -> f64 {
        let (fours, rest) = self.linear[from as usize..to as usize].as_chunks::<4>();
        let mut sums = [start, 0.0, 0.0, 0.0];
        for four in fours {
            for (sum, &(v, c)) in sums.iter_mut().zip(four) {
                *sum += c * values[v as usize];
            }
        }
        let whole = (sums[0] + sums[1]) + (sums[2] + sums[3]);
        rest.iter()
            .fold(whole, |sum, &(v, c)| sum + c * values[v as usize])
    }

    /// Runs step `k`.
    pub(super) fn run(&self, k: usize, values: &mut [f64]) {
        let own = self.inputs.len() + k;
        match &self.steps[k] {
            Step::Call { from, to, call } => {
                let run = self.run_of(*from, *to, call, values);
                values[own..own + run.results.len()].copy_from_slice(&run.results);
            }
            Step::Further => {}
            step => values[own] = self.value(step, values),
        }
    }

    /// Runs step `k` at values that are not those of the expectations, which are `centre`: there
    /// a straight model is its tangent.
    pub(super) fn run_near(&self, k: usize, centre: &[f64], values: &mut [f64]) {
        let Step::Call { from, to, call } = &self.steps[k] else {
            return self.run(k, values);
        };
        if !call.model.is_straight() {
            return self.run(k, values);
        }
        let ids = &self.arguments[*from as usize..*to as usize];
        let run = self.run_of(*from, *to, call, centre);
        let slopes = self.call_slopes(*from, *to, call, &run);
        let own = self.inputs.len() + k;
        for (r, result) in run.results.iter().enumerate() {
            let row = &slopes[r * ids.len()..(r + 1) * ids.len()];
            let moved = ids
                .iter()
                .zip(row)
                .map(|(&v, slope)| slope * (values[v as usize] - centre[v as usize]));
            values[own + r] = result + moved.sum::<f64>();
        }
    }

    /// Returns the run of one of the program's models at the variables' values.
    pub(super) fn run_in(&self, model: &Arc<Call>, values: &[f64]) -> Option<Arc<Run>> {
        self.steps.iter().find_map(|step| match step {
            Step::Call { from, to, call } if Arc::ptr_eq(call, model) => {
                Some(self.run_of(*from, *to, call, values))
            }
            _ => None,
        })
    }

    /// Returns the run of a model at the variables' values.
    pub(super) fn run_of(&self, from: u32, to: u32, call: &Call, values: &[f64]) -> Arc<Run> {
        let ids = &self.arguments[from as usize..to as usize];
        call.at(ids.iter().map(|&v| values[v as usize]).collect())
    }

    /// Returns the value of a step that is no model.
    fn value(&self, step: &Step, values: &[f64]) -> f64 {
        let at = |v: u32| values[v as usize];
        match step {
            Step::Linear {
                from, to, constant, ..
            } => self.weighted_sum(*from, *to, *constant, values),
            Step::Mul(a, b) => at(*a) * at(*b),
            Step::Div(a, b) => at(*a) / at(*b),
            Step::Power(a, n) => at(*a).powi(i32::from(*n)),
            Step::PowerOf(a, b) => at(*a).powf(at(*b)),
            Step::Function(f, a) => f.value(at(*a)),
            Step::Min(a, b) => {
                if at(*b) < at(*a) {
                    at(*b)
                } else {
                    at(*a)
                }
            }
            Step::Max(a, b) => {
                if at(*b) > at(*a) {
                    at(*b)
                } else {
                    at(*a)
                }
            }
            Step::Call { .. } | Step::Further => f64::NAN,
        }
    }

    /// Calls `visit` for every variable a step reads.
    pub(super) fn operands(&self, step: &Step, mut visit: impl FnMut(u32)) {
        match step {
            Step::Linear { from, to, .. } => {
                self.linear[*from as usize..*to as usize]
                    .iter()
                    .for_each(|(v, _)| visit(*v));
            }
            Step::Mul(a, b)
            | Step::Div(a, b)
            | Step::PowerOf(a, b)
            | Step::Min(a, b)
            | Step::Max(a, b) => {
                visit(*a);
                visit(*b);
            }
            Step::Power(a, _) | Step::Function(_, a) => visit(*a),
            Step::Further => {}
            Step::Call { from, to, .. } => {
                self.arguments[*from as usize..*to as usize]
                    .iter()
                    .for_each(|v| visit(*v));
            }
        }
    }
}
