//! The second-order check of first-order propagation.
//!
//! In: a program at the inputs' expectations. Out: the second-order parts of variance and
//! expectation. Source: JCGM 100:2008, 5.1.2, note: Σᵢⱼ [½ fᵢⱼ² + fᵢ fᵢⱼⱼ] uᵢ² uⱼ², and the shift
//! ½ Σ fᵢᵢ uᵢ². With correlated inputs the first part becomes ½ tr(HΣHΣ) and the shift
//! ½ tr(HΣ), as for jointly normal inputs.
//!
//! The derivatives are differences of the gradient at x ± u/4: near enough to be derivatives, far
//! enough to stand clear of rounding and of the noise of numeric gradients. A sum of inputs that
//! are used nowhere else counts as one input with the sum's uncertainty, which gives the same
//! result: 200 summands cost as much as one.

use super::program::{Program, Step};
use super::propagate::FirstOrder;

/// Step of the differences, in standard uncertainties.
const REACH: f64 = 0.25;

/// Second-order parts, one per result.
pub(super) struct Curvature {
    pub(super) variance: Vec<f64>,
    pub(super) shift: Vec<f64>,
}

/// Evaluates the second-order parts about a program's first order.
pub(super) fn curvature(first: &FirstOrder<'_>) -> Curvature {
    let (program, values) = (first.program, first.variables.as_slice());
    let results = program.outputs.len();
    let mut found = Curvature {
        variance: vec![0.0; results],
        shift: vec![0.0; results],
    };
    if program.steps.iter().all(Step::is_linear) {
        return found;
    }
    let axes = axes(program);
    let pairs = pairs(program, &axes);
    // Mixed derivatives, kept only where correlated inputs need them; one matrix per result.
    let square = axes.len() * axes.len();
    let mut hessians = vec![
        0.0;
        if pairs.is_empty() {
            0
        } else {
            results * square
        }
    ];
    let mut moved = values.to_vec();
    let mut slopes = vec![0.0; 2 * values.len()];
    let (up, down) = slopes.split_at_mut(values.len());
    for (j, &(axis, u)) in axes.iter().enumerate() {
        let h = REACH * u;
        for (r, &result) in program.outputs.iter().enumerate() {
            program.shift(values, axis, h, &mut moved);
            program.reverse(&moved, values, result, false, up);
            program.shift(values, axis, -h, &mut moved);
            program.reverse(&moved, values, result, false, down);
            let slopes = first.slopes(r);
            for (i, &(other, v)) in axes.iter().enumerate() {
                let at = other as usize;
                let second = (up[at] - down[at]) / (2.0 * h);
                let third = (up[at] - 2.0 * slopes[at] + down[at]) / (h * h);
                found.variance[r] += (0.5 * second * second + slopes[at] * third) * u * u * v * v;
                if i == j {
                    found.shift[r] += 0.5 * second * u * u;
                }
                if let Some(h) = hessians.get_mut(r * square + i * axes.len() + j) {
                    *h = second;
                }
            }
            program.clear(up);
            program.clear(down);
        }
        moved[axis as usize] = values[axis as usize];
    }
    for (r, hessian) in hessians.chunks_exact(square.max(1)).enumerate() {
        let (variance, shift) = correlated_part(hessian, &axes, &pairs);
        found.variance[r] += variance;
        found.shift[r] += shift;
    }
    found
}

/// The variables that vary on their own, each with its standard uncertainty: groups of private
/// inputs, and the other inputs.
fn axes(program: &Program) -> Vec<(u32, f64)> {
    let first = program.inputs.len();
    let input = |&v: &u32| (v, program.uncertainties[v as usize]);
    let group = |(k, step): (usize, &Step)| match step {
        Step::Linear {
            from,
            to,
            group: true,
            ..
        } => {
            let summands = &program.linear[*from as usize..*to as usize];
            let parts = summands.iter().map(|(v, c)| c * input(v).1);
            let variance: f64 = parts.map(|u| u * u).sum();
            Some(((first + k) as u32, variance.sqrt()))
        }
        _ => None,
    };
    let groups = program.steps.iter().enumerate().filter_map(group);
    groups
        .chain(program.ungrouped.iter().map(input))
        .filter(|(_, u)| *u > 0.0 && u.is_finite())
        .collect()
}

/// Correlated pairs of axes, by position, with their covariance.
fn pairs(program: &Program, axes: &[(u32, f64)]) -> Vec<(usize, usize, f64)> {
    let position = |variable: usize| axes.iter().position(|(v, _)| *v as usize == variable);
    let pair = |&(a, b, r): &(usize, usize, f64)| {
        let (i, j) = (position(a)?, position(b)?);
        Some((i, j, r * axes[i].1 * axes[j].1))
    };
    program.correlations.iter().filter_map(pair).collect()
}

/// What correlation adds to ½ tr(HΣHΣ) and ½ tr(HΣ).
fn correlated_part(
    hessian: &[f64],
    axes: &[(u32, f64)],
    pairs: &[(usize, usize, f64)],
) -> (f64, f64) {
    let n = axes.len();
    let mut product = vec![0.0; n * n];
    let mut independent = 0.0;
    for i in 0..n {
        for j in 0..n {
            product[i * n + j] = hessian[i * n + j] * axes[j].1.powi(2);
        }
    }
    for i in 0..n {
        for j in 0..n {
            independent += product[i * n + j] * product[j * n + i];
        }
    }
    let mut shift = 0.0;
    for &(a, b, covariance) in pairs {
        shift += 0.5 * (hessian[a * n + b] + hessian[b * n + a]) * covariance;
        for i in 0..n {
            product[i * n + b] += hessian[i * n + a] * covariance;
            product[i * n + a] += hessian[i * n + b] * covariance;
        }
    }
    let mut whole = 0.0;
    for i in 0..n {
        for j in 0..n {
            whole += product[i * n + j] * product[j * n + i];
        }
    }
    (0.5 * (whole - independent), shift)
}

impl Program {
    /// Moves one variable by `by` and the steps after it along. Other inputs in `shifted` must be
    /// those of `values`; steps need not be.
    pub(super) fn shift(&self, values: &[f64], variable: u32, by: f64, shifted: &mut [f64]) {
        let first = self.inputs.len();
        shifted[first..].copy_from_slice(&values[first..]);
        shifted[variable as usize] = values[variable as usize] + by;
        let from = (variable as usize + 1).saturating_sub(first);
        for k in from..self.steps.len() {
            // Groups rest on inputs that are never moved one by one.
            if !matches!(self.steps[k], Step::Linear { group: true, .. }) {
                self.run_near(k, values, shifted);
            }
        }
    }
}
