//! First-order propagation of uncertainty.
//!
//! In: results of a sheet. Out: values, covariance, sensitivities, degrees of freedom, and the
//! second-order check. Source: JCGM 100:2008, 5.1.2 and 5.2.2 (law of propagation), G.4.1
//! (Welch–Satterthwaite), JCGM 102:2011, 6.2 (several results).
//!
//! Valid while the formula is nearly straight across one standard uncertainty of each input; the
//! second-order parts say by how much it is not.

use super::curvature::{Curvature, curvature};
use super::program::Program;
use super::{Sheet, SheetError, State, Term, correlation, not_finite};

/// First-order propagation of several results at once; all in SI.
#[derive(Debug, Clone, PartialEq)]
pub struct Propagation {
    /// Values.
    pub values: Vec<f64>,
    /// Covariance matrix, row by row.
    pub covariance: Vec<Vec<f64>>,
    /// Effective degrees of freedom (Welch–Satterthwaite), infinite where it applies; NaN where
    /// correlated inputs rule it out.
    pub degrees_of_freedom: Vec<f64>,
    /// Sensitivities: one row per result, one column per input in order of creation.
    pub sensitivities: Vec<Vec<f64>>,
    /// Second-order part of the variance (GUM 5.1.2 note), per result.
    pub second_order_variance: Vec<f64>,
    /// Second-order shift of the expectation, per result.
    pub second_order_shift: Vec<f64>,
}

impl Sheet {
    /// Propagates uncertainty to first order, with the second-order check.
    ///
    /// # Errors
    /// As [`Sheet::value`]; also where a sensitivity is not finite, an input's uncertainty is
    /// infinite, or the stated correlations contradict each other.
    pub fn propagate(&self, terms: &[Term<'_>]) -> Result<Propagation, SheetError> {
        let program = self.program(terms)?;
        let state = &*self.state.borrow();
        state.check_correlations()?;
        let found = propagate(&program, state, true);
        for (row, term) in found.sensitivities.iter().zip(terms) {
            let value = found.values.iter().zip(terms).find(|(v, _)| !v.is_finite());
            if let Some((_, term)) = value {
                return Err(not_finite(&state.label(term.id)));
            }
            if let Some(k) = program.inputs.iter().find(|k| {
                let k = **k as usize;
                !(row[k] * state.uncertainties[k]).is_finite()
            }) {
                return Err(SheetError::Value(format!(
                    "{} has no finite sensitivity to {} there",
                    state.label(term.id),
                    state.inputs[*k as usize].name
                )));
            }
        }
        Ok(found)
    }
}

/// Propagates without looking at whether the outcome is finite, with or without the second-order
/// check.
pub(super) fn propagate(program: &Program, state: &State, check_curvature: bool) -> Propagation {
    let variables = program.forward(&state.means);
    let results = program.outputs.len();
    let mut adjoint = vec![0.0; variables.len()];
    // One row of weighted sensitivities c·u per result, over the program's inputs.
    let mut weighted = Vec::with_capacity(results);
    let mut sensitivities = Vec::with_capacity(results);
    for &result in &program.outputs {
        program.reverse(&variables, result, &state.uncertainties, true, &mut adjoint);
        let mut row = vec![0.0; state.inputs.len()];
        let mut weights = Vec::with_capacity(program.inputs.len());
        for (&k, &slope) in program.inputs.iter().zip(&adjoint) {
            let k = k as usize;
            row[k] = slope;
            let u = state.uncertainties[k];
            weights.push(if u == 0.0 || slope == 0.0 {
                0.0
            } else {
                slope * u
            });
        }
        sensitivities.push(row);
        weighted.push(weights);
    }
    let pairs: Vec<(usize, usize, f64)> = state
        .correlations
        .iter()
        .filter_map(|(&(a, b), &r)| {
            let a = program.inputs.binary_search(&a).ok()?;
            let b = program.inputs.binary_search(&b).ok()?;
            (r != 0.0).then_some((a, b, r))
        })
        .collect();
    let mut covariance = vec![vec![0.0; results]; results];
    for a in 0..results {
        for b in a..results {
            let (x, y) = (&weighted[a], &weighted[b]);
            let mut sum: f64 = x.iter().zip(y).map(|(p, q)| p * q).sum();
            for &(i, j, r) in &pairs {
                sum += r * (x[i] * y[j] + x[j] * y[i]);
            }
            if a == b {
                // A full negative correlation can come out below zero by rounding.
                sum = sum.max(0.0);
            }
            covariance[a][b] = sum;
            covariance[b][a] = sum;
        }
    }
    let degrees_of_freedom = weighted
        .iter()
        .enumerate()
        .map(|(r, weights)| effective_degrees(program, state, weights, covariance[r][r], &pairs))
        .collect();
    let curved = if check_curvature {
        curvature(program, state, &variables)
    } else {
        Curvature {
            variance: Vec::new(),
            shift: Vec::new(),
        }
    };
    Propagation {
        values: program
            .outputs
            .iter()
            .map(|&v| variables[v as usize])
            .collect(),
        covariance,
        degrees_of_freedom,
        sensitivities,
        second_order_variance: curved.variance,
        second_order_shift: curved.shift,
    }
}

/// ν = u⁴ / Σ (cᵢuᵢ)⁴/νᵢ (GUM G.2b).
fn effective_degrees(
    program: &Program,
    state: &State,
    weights: &[f64],
    variance: f64,
    pairs: &[(usize, usize, f64)],
) -> f64 {
    let mut sum = 0.0;
    for (&k, &w) in program.inputs.iter().zip(weights) {
        if let Some(nu) = state.inputs[k as usize].degrees_of_freedom {
            sum += w.powi(4) / nu;
        }
    }
    if sum == 0.0 {
        f64::INFINITY
    } else if pairs
        .iter()
        .any(|&(i, j, _)| weights[i] != 0.0 && weights[j] != 0.0)
    {
        f64::NAN
    } else {
        variance * variance / sum
    }
}

impl State {
    /// Returns those of the given inputs that are correlated, with the triangular factor of their
    /// correlation matrix.
    pub(super) fn correlation_factor(
        &self,
        inputs: &[u32],
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
        for (&(a, b), &r) in &self.correlations {
            if let (Ok(i), Ok(j)) = (members.binary_search(&a), members.binary_search(&b)) {
                matrix[i][j] = r;
                matrix[j][i] = r;
            }
        }
        let factor = correlation::factor(&matrix).ok_or_else(|| {
            SheetError::Value("the stated correlations contradict each other".into())
        })?;
        Ok((members, factor))
    }

    /// Checks that the stated correlations are possible together.
    pub(super) fn check_correlations(&self) -> Result<(), SheetError> {
        if self.correlations.is_empty() {
            return Ok(());
        }
        let all: Vec<u32> = (0..self.inputs.len() as u32).collect();
        self.correlation_factor(&all).map(|_| ())
    }
}
