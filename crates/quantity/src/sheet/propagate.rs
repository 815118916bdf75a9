//! First-order propagation of uncertainty.
//!
//! In: results of a sheet. Out: values, covariance, sensitivities, degrees of freedom, and the
//! second-order check. Source: JCGM 100:2008, 5.1.2 and 5.2.2 (law of propagation), G.4.1
//! (Welch–Satterthwaite), JCGM 102:2011, 6.2 (several results).
//!
//! Valid while the formula is nearly straight across one standard uncertainty of each input; the
//! second-order parts say by how much it is not.

use super::correlation::{self, Correlation};
use super::curvature::curvature;
use super::program::Program;
use super::{Sheet, SheetError, State, Term, not_finite};

/// First-order propagation of several results at once; all in SI.
#[derive(Debug, Clone, PartialEq)]
pub struct Propagation {
    /// Values.
    pub values: Vec<f64>,
    /// Covariance matrix, row by row.
    pub covariance: Vec<Vec<f64>>,
    /// Effective degrees of freedom (Welch–Satterthwaite): infinite where no input that matters
    /// states any, NaN where correlated inputs rule the formula out.
    pub degrees_of_freedom: Vec<f64>,
    /// Sensitivities ∂result/∂input: one row per result, one column per input of the sheet in
    /// order of creation, zero where an input has no part.
    pub sensitivities: Vec<Vec<f64>>,
    /// Second-order part of the variance (GUM 5.1.2 note), per result; add it to the variance on
    /// the diagonal of `covariance`. Small beside it where first order is enough.
    pub second_order_variance: Vec<f64>,
    /// Second-order shift of the expectation, per result: what sampling would add to the value.
    pub second_order_shift: Vec<f64>,
}

impl Sheet {
    /// Propagates uncertainty to first order, with the second-order check. Results of one call
    /// share their inputs, so `covariance` holds what is common to them.
    ///
    /// # Errors
    /// As [`Sheet::value`]; also where a sensitivity is not finite, an input's uncertainty is
    /// infinite, or the stated correlations contradict each other.
    pub fn propagate(&self, terms: &[Term<'_>]) -> Result<Propagation, SheetError> {
        let program = self.program(terms)?;
        let state = &*self.state.borrow();
        state.check_correlations()?;
        let first = FirstOrder::new(&program);
        let results = 0..terms.len();
        let values: Vec<f64> = results.clone().map(|r| first.value(r)).collect();
        if let Some((_, term)) = values.iter().zip(terms).find(|(v, _)| !v.is_finite()) {
            return Err(not_finite(&state.label(term.id)));
        }
        for (r, term) in terms.iter().enumerate() {
            if let Some(input) = first.without_finite_slope(r) {
                return Err(SheetError::Value(format!(
                    "{} has no finite sensitivity to {} there",
                    state.label(term.id),
                    state.inputs[input as usize].name
                )));
            }
        }
        let curved = curvature(&first);
        Ok(Propagation {
            values,
            degrees_of_freedom: results.clone().map(|r| first.degrees(r)).collect(),
            sensitivities: results
                .clone()
                .map(|r| first.sensitivities(r, state.inputs.len()))
                .collect(),
            covariance: results
                .clone()
                .map(|a| results.clone().map(|b| first.covariance(a, b)).collect())
                .collect(),
            second_order_variance: curved.variance,
            second_order_shift: curved.shift,
        })
    }
}

/// A program's results to first order, whether or not they are finite.
pub(super) struct FirstOrder<'p> {
    pub(super) program: &'p Program,
    /// All variables at the inputs' expectations.
    pub(super) variables: Vec<f64>,
    /// Derivatives by every variable, one row per result.
    slopes: Vec<f64>,
    /// Weighted sensitivities c·u of every input of the program, one row per result.
    weights: Vec<f64>,
}

impl<'p> FirstOrder<'p> {
    /// Evaluates the program, one sweep backwards per result.
    pub(super) fn new(program: &'p Program) -> Self {
        let variables = program.forward();
        let (count, results) = (variables.len(), program.outputs.len());
        let mut slopes = vec![0.0; results * count];
        let mut weights = Vec::with_capacity(results * program.inputs.len());
        for (r, &result) in program.outputs.iter().enumerate() {
            let row = &mut slopes[r * count..(r + 1) * count];
            program.reverse(&variables, &variables, result, true, row);
            weights.extend(row.iter().zip(&program.uncertainties).map(weight));
        }
        Self {
            program,
            variables,
            slopes,
            weights,
        }
    }

    /// The value of a result.
    pub(super) fn value(&self, r: usize) -> f64 {
        self.variables[self.program.outputs[r] as usize]
    }

    /// Derivatives of a result by every variable.
    pub(super) fn slopes(&self, r: usize) -> &[f64] {
        let count = self.variables.len();
        &self.slopes[r * count..(r + 1) * count]
    }

    /// Weighted sensitivities of a result to the program's inputs; zero where an input is exact
    /// or does not matter.
    pub(super) fn weights(&self, r: usize) -> &[f64] {
        let count = self.program.inputs.len();
        &self.weights[r * count..(r + 1) * count]
    }

    /// ν = u⁴ / Σ (cᵢuᵢ)⁴/νᵢ (GUM G.2b); NaN where inputs that matter are correlated.
    pub(super) fn degrees(&self, r: usize) -> f64 {
        let weights = self.weights(r);
        let degrees = self.program.degrees.iter();
        let sum: f64 = degrees.map(|&(v, nu)| weights[v].powi(4) / nu).sum();
        let mut pairs = self.program.correlations.iter();
        if sum == 0.0 {
            f64::INFINITY
        } else if pairs.any(|&(i, j, _)| weights[i] != 0.0 && weights[j] != 0.0) {
            f64::NAN
        } else {
            self.variance(r).powi(2) / sum
        }
    }

    /// Effective degrees of freedom for a figure, the next lower whole number (GUM G.4.1, note 1).
    /// Where correlated inputs state degrees of freedom they are taken as found from the same
    /// observations: what they add to the doubt about the variance is then added up before it is
    /// squared, which for GUM H.2 gives the number of sets less one.
    pub(super) fn effective_degrees(&self, r: usize) -> f64 {
        let (program, weights) = (self.program, self.weights(r));
        let (mut apart, mut jointly) = (0.0, 0.0);
        for &(v, nu) in &program.degrees {
            let mut with = weights[v];
            let mut correlated = false;
            for &(i, j, coefficient) in &program.correlations {
                if i == v || j == v {
                    correlated = true;
                    with += coefficient * weights[if i == v { j } else { i }];
                }
            }
            let part = (weights[v] * with).abs() / nu.sqrt();
            if correlated {
                jointly += part;
            } else {
                apart += part * part;
            }
        }
        let doubt = apart + jointly * jointly;
        if doubt == 0.0 {
            return f64::INFINITY;
        }
        (self.variance(r).powi(2) / doubt).floor().max(1.0)
    }

    /// The variance of a result.
    pub(super) fn variance(&self, r: usize) -> f64 {
        self.covariance(r, r)
    }

    fn covariance(&self, a: usize, b: usize) -> f64 {
        let (x, y) = (self.weights(a), self.weights(b));
        let mut sum = dot(x, y);
        for &(i, j, r) in &self.program.correlations {
            sum += r * (x[i] * y[j] + x[j] * y[i]);
        }
        // A full negative correlation can come out below zero by rounding.
        if a == b { sum.max(0.0) } else { sum }
    }

    /// Returns an input of the sheet by which a result has no finite weighted sensitivity.
    fn without_finite_slope(&self, r: usize) -> Option<u32> {
        let program = self.program;
        let product = |(slope, u): (&f64, &f64)| slope * u;
        let mut products = self.slopes(r).iter().zip(&program.uncertainties);
        // Nearly always all are finite, which is quicker to see without stopping at the first.
        if products
            .clone()
            .fold(true, |fine, pair| fine & product(pair).is_finite())
        {
            return None;
        }
        let at = products.position(|pair| !product(pair).is_finite())?;
        program.inputs.get(at).copied()
    }

    /// Derivatives of a result by every one of the sheet's `inputs`.
    fn sensitivities(&self, r: usize, inputs: usize) -> Vec<f64> {
        let mut row = vec![0.0; inputs];
        for (&k, &slope) in self.program.inputs.iter().zip(self.slopes(r)) {
            row[k as usize] = slope;
        }
        row
    }
}

/// c·u, zero where either is, even if the other is infinite.
fn weight((&slope, &u): (&f64, &f64)) -> f64 {
    if slope == 0.0 || u == 0.0 {
        0.0
    } else {
        slope * u
    }
}

/// Returns Σ xᵢyᵢ, in four strands that do not wait for each other.
fn dot(x: &[f64], y: &[f64]) -> f64 {
    let (x_fours, x_rest) = x.as_chunks::<4>();
    let (y_fours, y_rest) = y.as_chunks::<4>();
    let mut sums = [0.0; 4];
    for (p, q) in x_fours.iter().zip(y_fours) {
        for (i, sum) in sums.iter_mut().enumerate() {
            *sum += p[i] * q[i];
        }
    }
    let rest: f64 = x_rest.iter().zip(y_rest).map(|(p, q)| p * q).sum();
    (sums[0] + sums[1]) + (sums[2] + sums[3]) + rest
}

impl State {
    /// Returns those of the given inputs that are correlated, with the triangular factor of the
    /// correlation matrix of their normal scores.
    pub(super) fn score_factor(
        &self,
        inputs: &[u32],
    ) -> Result<(Vec<u32>, Vec<Vec<f64>>), SheetError> {
        self.factor(inputs, |pair| pair.of_scores)
    }

    fn factor(
        &self,
        inputs: &[u32],
        coefficient: impl Fn(&Correlation) -> f64,
    ) -> Result<(Vec<u32>, Vec<Vec<f64>>), SheetError> {
        let correlated = self.correlated_inputs();
        let members: Vec<u32> = inputs
            .iter()
            .copied()
            .filter(|&k| correlated.get(k as usize).copied().unwrap_or(false))
            .collect();
        let mut matrix = vec![vec![0.0; members.len()]; members.len()];
        for (i, row) in matrix.iter_mut().enumerate() {
            row[i] = 1.0;
        }
        for (&(a, b), pair) in &self.correlations {
            if let (Ok(i), Ok(j)) = (members.binary_search(&a), members.binary_search(&b)) {
                matrix[i][j] = coefficient(pair);
                matrix[j][i] = coefficient(pair);
            }
        }
        let factor = correlation::factor(&matrix).ok_or_else(|| {
            SheetError::Value("the stated correlations contradict each other".into())
        })?;
        Ok((members, factor))
    }

    /// Checks that the stated correlations are possible together, once for all that are stated.
    pub(super) fn check_correlations(&self) -> Result<(), SheetError> {
        if self.correlations.is_empty() || self.correlations_checked.get() {
            return Ok(());
        }
        let all: Vec<u32> = (0..self.inputs.len() as u32).collect();
        self.factor(&all, |pair| pair.stated)?;
        self.score_factor(&all)?;
        self.correlations_checked.set(true);
        Ok(())
    }
}
