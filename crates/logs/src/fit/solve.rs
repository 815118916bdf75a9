//! Least squares by Levenberg and Marquardt.
//!
//! In: samples, a table, what is known beforehand. Out: the parameters, their covariance, how far they are from what
//! was known. Not here: the model.

use super::model::Driven;
use super::{PARAMETERS, Spread, Values};
use charging::Ocv;

/// Residuals beyond so many standard deviations count by their size and not by their square (Huber).
const STRAYS: f64 = 1.5;

/// Rounds of search.
const ROUNDS: usize = 60;

/// Step for derivatives.
const STEP: f64 = 1e-5;

/// What is solved.
pub(super) struct Problem<'a> {
    pub(super) driven: &'a Driven,
    pub(super) ocv: &'a Ocv,
    /// How many times less sure each voltage is than the surest.
    pub(super) doubts: Vec<f64>,
    pub(super) middle: Values,
    pub(super) spread: Values,
    /// Standard deviation of a residual, volts.
    pub(super) sigma: f64,
    /// Independent residuals.
    pub(super) independent: f64,
}

/// What was found.
pub(super) struct Solved {
    pub(super) values: Values,
    pub(super) covariance: Spread,
    /// Sum of squared distances from what was known, in standard uncertainties.
    pub(super) misfit: f64,
}

impl Problem<'_> {
    /// Weight of one residual: as many as there are count for the independent ones.
    fn weight(&self) -> f64 {
        self.independent / self.driven.len() as f64 / (self.sigma * self.sigma)
    }

    /// Returns what is left, each over its doubt.
    pub(super) fn residuals(&self, values: &Values) -> Vec<f64> {
        let mut left = self.driven.residuals(self.ocv, values);
        for (left, doubt) in left.iter_mut().zip(&self.doubts) {
            *left /= doubt;
        }
        left
    }

    /// Returns twice the negative logarithm of the likelihood, up to a constant.
    pub(super) fn cost_at(&self, values: &Values) -> f64 {
        self.cost(&self.residuals(values), values)
    }

    fn cost(&self, residuals: &[f64], values: &Values) -> f64 {
        let strays = STRAYS * self.sigma;
        let data: f64 = residuals
            .iter()
            .map(|left| {
                let size = left.abs();
                if size <= strays {
                    size * size
                } else {
                    strays * (2.0 * size - strays)
                }
            })
            .sum();
        self.weight() * data + self.misfit(values)
    }

    fn misfit(&self, values: &Values) -> f64 {
        (values - self.middle)
            .component_div(&self.spread)
            .norm_squared()
    }

    /// Returns the matrix and the right side of the normal equations.
    fn normal(&self, residuals: &[f64], values: &Values) -> (Spread, Values) {
        let weight = self.weight();
        let mut matrix = Spread::zeros();
        let mut right = Values::zeros();
        let moved: Vec<Vec<f64>> = (0..PARAMETERS)
            .map(|at| {
                let mut values = *values;
                values[at] += STEP;
                self.residuals(&values)
            })
            .collect();
        for (sample, left) in residuals.iter().enumerate() {
            let weight = weight * (STRAYS * self.sigma / left.abs()).min(1.0);
            let slope = Values::from_fn(|at, _| (left - moved[at][sample]) / STEP);
            matrix += weight * slope * slope.transpose();
            right += weight * *left * slope;
        }
        for at in 0..PARAMETERS {
            let weight = self.spread[at].powi(-2);
            matrix[(at, at)] += weight;
            right[at] += weight * (self.middle[at] - values[at]);
        }
        (matrix, right)
    }
}

/// Searches from `values` on; nothing where nothing is determined.
pub(super) fn solve(problem: &Problem<'_>, mut values: Values) -> Option<Solved> {
    let mut residuals = problem.residuals(&values);
    let mut cost = problem.cost(&residuals, &values);
    let mut damping = 1e-3;
    for _ in 0..ROUNDS {
        let (matrix, right) = problem.normal(&residuals, &values);
        let mut damped = matrix;
        for at in 0..PARAMETERS {
            damped[(at, at)] *= 1.0 + damping;
        }
        let step = damped.cholesky()?.solve(&right);
        let tried = values + step;
        let left = problem.residuals(&tried);
        let tried_cost = problem.cost(&left, &tried);
        if tried_cost < cost {
            let gained = cost - tried_cost;
            (values, residuals, cost) = (tried, left, tried_cost);
            damping = (damping / 5.0).max(1e-9);
            if gained < 1e-9 * cost {
                break;
            }
        } else {
            damping *= 5.0;
            if damping > 1e9 {
                break;
            }
        }
    }
    let (matrix, _) = problem.normal(&residuals, &values);
    let covariance = matrix.cholesky()?.inverse();
    values
        .iter()
        .all(|value| value.is_finite())
        .then(|| Solved {
            values,
            covariance,
            misfit: problem.misfit(&values),
        })
}
