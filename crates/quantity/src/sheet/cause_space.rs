//! The independent causes that a program's result varies with.
//!
//! In: a program, the distributions of its inputs, stated correlations. Out: axes: single inputs, sums of
//! inputs that are used nowhere else, and the normal scores behind correlated inputs; the result
//! with one or all of them moved. Not here: what is made of it (`additive.rs`, `quasi_monte_carlo.rs`).

use super::normal_score::ScoredDistribution;
use super::program::{Program, Step};
use super::{SheetError, State};

/// A program's inputs as distributions of independent scores.
pub(super) struct CauseSpace<'p> {
    pub(super) program: &'p Program,
    pub(super) distributions: Vec<ScoredDistribution>,
    pub(super) axes: Vec<Axis>,
    /// All variables where every axis rests.
    pub(super) base: Vec<f64>,
    /// The variables at the inputs' expectations, where straight models have their tangent.
    centre: &'p [f64],
    /// Correlated inputs as variables, each with its row of the factor.
    members: Vec<(usize, Vec<f64>)>,
}

/// One independent cause.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Axis {
    /// An input, as a variable.
    Input(usize),
    /// A sum of private inputs, as a step.
    Group(usize),
    /// A normal score behind correlated inputs, by its number.
    Score(usize),
}

impl<'p> CauseSpace<'p> {
    pub(super) fn new(
        program: &'p Program,
        centre: &'p [f64],
        state: &State,
    ) -> Result<Self, SheetError> {
        let distributions: Vec<ScoredDistribution> = program
            .inputs
            .iter()
            .map(|&k| ScoredDistribution::new(&state.inputs[k as usize].sampling_distribution()))
            .collect();
        let (ids, factor) = state.score_factor(&program.inputs)?;
        let variable = |k: &u32| program.inputs.binary_search(k).ok();
        let members: Vec<(usize, Vec<f64>)> = ids.iter().filter_map(variable).zip(factor).collect();
        let mut axes: Vec<Axis> = (0..members.len()).map(Axis::Score).collect();
        for (k, step) in program.steps.iter().enumerate() {
            if matches!(step, Step::Linear { group: true, .. }) {
                axes.push(Axis::Group(k));
            }
        }
        let single = program.ungrouped.iter().map(|&v| v as usize);
        axes.extend(
            single
                .filter(|&v| program.uncertainties[v] != 0.0)
                .filter(|v| members.iter().all(|(m, _)| m != v))
                .map(Axis::Input),
        );
        let mut space = Self {
            program,
            distributions,
            axes,
            base: centre.to_vec(),
            centre,
            members,
        };
        let rest: Vec<(usize, f64)> = space
            .members
            .iter()
            .map(|(v, _)| (*v, space.distributions[*v].at(0.0)))
            .filter(|&(v, x)| x != centre[v])
            .collect();
        if !rest.is_empty() {
            let mut base = space.base.clone();
            rest.iter().for_each(|&(v, x)| base[v] = x);
            space.run(&mut base, 0);
            space.base = base;
        }
        Ok(space)
    }

    /// The result where every axis rests.
    pub(super) fn rest(&self) -> f64 {
        self.base[self.program.outputs[0] as usize]
    }

    /// Whether a step asks a model that is not straight, so that every point costs a run.
    pub(super) fn is_costly(&self) -> bool {
        self.program
            .steps
            .iter()
            .any(|s| matches!(s, Step::Call { call, .. } if !call.model.is_straight()))
    }

    /// Private inputs of a group with their coefficients.
    pub(super) fn summands(&self, step: usize) -> &[(u32, f64)] {
        match self.program.steps[step] {
            Step::Linear { from, to, .. } => &self.program.linear[from as usize..to as usize],
            _ => &[],
        }
    }

    /// The variable of a group.
    pub(super) fn group(&self, step: usize) -> usize {
        self.program.inputs.len() + step
    }

    /// Returns the result with one variable at `x`.
    pub(super) fn with(&self, variable: usize, x: f64, work: &mut Vec<f64>) -> f64 {
        work.clone_from(&self.base);
        work[variable] = x;
        self.run(
            work,
            (variable + 1).saturating_sub(self.program.inputs.len()),
        );
        work[self.program.outputs[0] as usize]
    }

    /// Returns the result with one score at `z`.
    pub(super) fn with_score(&self, score: usize, z: f64, work: &mut Vec<f64>) -> f64 {
        work.clone_from(&self.base);
        for (v, row) in &self.members {
            if row[score] != 0.0 {
                work[*v] = self.distributions[*v].at(row[score] * z);
            }
        }
        self.run(work, 0);
        work[self.program.outputs[0] as usize]
    }

    /// Returns the result with single variables and all scores moved.
    pub(super) fn with_all(
        &self,
        moved: &[(usize, f64)],
        scores: &[f64],
        work: &mut Vec<f64>,
    ) -> f64 {
        work.clone_from(&self.base);
        for (v, row) in &self.members {
            let z: f64 = row.iter().zip(scores).map(|(r, z)| r * z).sum();
            work[*v] = self.distributions[*v].at(z);
        }
        for &(v, x) in moved {
            work[v] = x;
        }
        self.run(work, 0);
        work[self.program.outputs[0] as usize]
    }

    /// Shares the variances of the axes out among the inputs of the program, to a sum of one.
    pub(super) fn shares(&self, variances: &[f64]) -> Vec<f64> {
        let mut shares = vec![0.0; self.distributions.len()];
        let whole: f64 = variances.iter().sum();
        if !(whole > 0.0 && whole.is_finite()) {
            return shares;
        }
        for (axis, variance) in self.axes.iter().zip(variances) {
            let share = variance / whole;
            match *axis {
                Axis::Input(v) => shares[v] += share,
                Axis::Score(n) => shares[self.members[n].0] += share,
                Axis::Group(step) => {
                    let part = |&(v, c): &(u32, f64)| {
                        (
                            v as usize,
                            (c * self.program.uncertainties[v as usize]).powi(2),
                        )
                    };
                    let parts: Vec<(usize, f64)> = self.summands(step).iter().map(part).collect();
                    let of_group: f64 = parts.iter().map(|(_, p)| p).sum();
                    parts
                        .iter()
                        .for_each(|&(v, p)| shares[v] += share * p / of_group);
                }
            }
        }
        shares
    }

    /// Correlated inputs as variables, each with its row of the factor.
    pub(super) fn members(&self) -> &[(usize, Vec<f64>)] {
        &self.members
    }

    /// Runs the steps from one on; groups stay as they are, for they are moved as a whole.
    fn run(&self, values: &mut [f64], from: usize) {
        for k in from..self.program.steps.len() {
            if !matches!(self.program.steps[k], Step::Linear { group: true, .. }) {
                self.program.run_near(k, self.centre, values);
            }
        }
    }
}
