//! The second-order check of first-order propagation.
//!
//! In: a program at the inputs' expectations. Out: the second-order parts of variance and
//! expectation. Source: JCGM 100:2008, 5.1.2, note: Σᵢⱼ [½ fᵢⱼ² + fᵢ fᵢⱼⱼ] uᵢ² uⱼ², and the shift
//! ½ Σ fᵢᵢ uᵢ². With correlated inputs the first part becomes ½ tr(HΣHΣ) and the shift
//! ½ tr(HΣ), as for jointly normal inputs.
//!
//! The derivatives are differences of the gradient at x ± u/4: near enough to be derivatives, far
//! enough to stand clear of rounding and of the noise of numeric gradients. A sum of inputs that are used nowhere else counts as one input
//! with the sum's uncertainty, which gives the same result: 200 summands cost as much as one.

use super::State;
use super::program::{Program, Step};

/// Step of the differences, in standard uncertainties.
const REACH: f64 = 0.25;

/// Second-order parts, one per result.
pub(super) struct Curvature {
    pub(super) variance: Vec<f64>,
    pub(super) shift: Vec<f64>,
}

/// Evaluates the second-order parts; `values` are the program's variables at the expectations.
pub(super) fn curvature(program: &Program, state: &State, values: &[f64]) -> Curvature {
    let axes = axes(program, state);
    let results = program.outputs.len();
    let mut found = Curvature {
        variance: vec![0.0; results],
        shift: vec![0.0; results],
    };
    if !program
        .steps
        .iter()
        .any(|s| !matches!(s, Step::Linear { .. }))
    {
        return found;
    }
    let count = values.len();
    let mut centre = vec![0.0; count];
    let (mut above, mut below) = (vec![0.0; count], vec![0.0; count]);
    let (mut up, mut down) = (vec![0.0; count], vec![0.0; count]);
    let mut gradients = Vec::with_capacity(results);
    for &result in &program.outputs {
        program.reverse(values, result, &state.uncertainties, false, &mut centre);
        gradients.push(centre.clone());
    }
    let pairs = pairs(program, state, &axes);
    let mut hessians = vec![
        vec![
            0.0;
            if pairs.is_empty() {
                0
            } else {
                axes.len() * axes.len()
            }
        ];
        results
    ];
    for (j, &(axis, u)) in axes.iter().enumerate() {
        let h = REACH * u;
        program.shifted(values, axis, h, &mut above);
        program.shifted(values, axis, -h, &mut below);
        for (r, &result) in program.outputs.iter().enumerate() {
            program.reverse(&above, result, &state.uncertainties, false, &mut up);
            program.reverse(&below, result, &state.uncertainties, false, &mut down);
            for (i, &(other, v)) in axes.iter().enumerate() {
                let at = other as usize;
                let slope = gradients[r][at];
                let second = (up[at] - down[at]) / (2.0 * h);
                let third = (up[at] - 2.0 * slope + down[at]) / (h * h);
                found.variance[r] += (0.5 * second * second + slope * third) * u * u * v * v;
                if i == j {
                    found.shift[r] += 0.5 * second * u * u;
                }
                if let Some(h) = hessians[r].get_mut(i * axes.len() + j) {
                    *h = second;
                }
            }
        }
    }
    for (r, hessian) in hessians.iter().enumerate().filter(|(_, h)| !h.is_empty()) {
        let (variance, shift) = correlated_part(hessian, &axes, &pairs);
        found.variance[r] += variance;
        found.shift[r] += shift;
    }
    found
}

/// The variables that vary on their own, each with its standard uncertainty: groups of private
/// inputs, and the other inputs.
fn axes(program: &Program, state: &State) -> Vec<(u32, f64)> {
    let first = program.inputs.len();
    let of_input = |v: u32| state.uncertainties[program.inputs[v as usize] as usize];
    let mut grouped = vec![false; first];
    let mut axes = Vec::new();
    for (k, step) in program.steps.iter().enumerate() {
        let Step::Linear {
            from,
            to,
            group: true,
            ..
        } = step
        else {
            continue;
        };
        let mut variance = 0.0;
        for &(v, c) in &program.linear[*from as usize..*to as usize] {
            grouped[v as usize] = true;
            variance += (c * of_input(v)).powi(2);
        }
        axes.push(((first + k) as u32, f64::sqrt(variance)));
    }
    axes.extend(
        (0..first as u32)
            .filter(|&v| !grouped[v as usize])
            .map(|v| (v, of_input(v))),
    );
    axes.retain(|(_, u)| *u > 0.0 && u.is_finite());
    axes
}

/// Correlated pairs of axes, by position, with their covariance.
fn pairs(program: &Program, state: &State, axes: &[(u32, f64)]) -> Vec<(usize, usize, f64)> {
    let position = |input: u32| {
        let variable = program.inputs.binary_search(&input).ok()? as u32;
        axes.iter().position(|(v, _)| *v == variable)
    };
    state
        .correlations
        .iter()
        .filter_map(|(&(a, b), &r)| {
            let (i, j) = (position(a)?, position(b)?);
            (r != 0.0).then(|| (i, j, r * axes[i].1 * axes[j].1))
        })
        .collect()
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
    /// Fills `shifted` with the variables after moving one of them by `by`.
    fn shifted(&self, values: &[f64], variable: u32, by: f64, shifted: &mut [f64]) {
        shifted.copy_from_slice(values);
        shifted[variable as usize] += by;
        let first = self.inputs.len();
        let from = (variable as usize + 1).saturating_sub(first);
        for k in from..self.steps.len() {
            // Groups rest on inputs that are never moved one by one.
            if !matches!(self.steps[k], Step::Linear { group: true, .. }) {
                shifted[first + k] = self.step(&self.steps[k], shifted);
            }
        }
    }
}
