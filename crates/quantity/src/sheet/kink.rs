//! Corners of a formula that lie within the uncertainty.
//!
//! In: a program and its variables at the expectations. Out: which `min`, `max` or `abs`
//! turns there, if several inputs have a part in it: what turns with one input alone is an effect
//! like another.

use super::node::Function;
use super::program::{Program, Step};

/// Distance from a corner of `min`, `max` or `abs`, in standard uncertainties, below which the
/// corner matters.
const CORNER: f64 = 3.0;

/// Says which corner of the formula lies near, if one does.
pub(super) fn corner(program: &Program, values: &[f64]) -> Option<String> {
    let mut left = vec![0.0; values.len()];
    let mut right = vec![0.0; values.len()];
    for step in &program.steps {
        let (word, a, b) = match step {
            Step::Min(a, b) => ("min", *a, Some(*b)),
            Step::Max(a, b) => ("max", *a, Some(*b)),
            Step::Function(Function::Abs, a) => ("abs", *a, None),
            _ => continue,
        };
        left.fill(0.0);
        program.reverse(values, values, a, true, &mut left);
        right.fill(0.0);
        if let Some(b) = b {
            program.reverse(values, values, b, true, &mut right);
        }
        let distance = values[a as usize] - b.map_or(0.0, |b| values[b as usize]);
        let apart = || left.iter().zip(&right).map(|(p, q)| p - q);
        if distance.abs() < CORNER * spread(program, apart()) && several(program, apart()) {
            return Some(format!("a corner of {word}() lies within the uncertainty"));
        }
    }
    None
}

/// Standard uncertainty of a variable with the given derivatives, inputs taken as independent.
fn spread(program: &Program, slopes: impl Iterator<Item = f64>) -> f64 {
    program
        .uncertainties
        .iter()
        .zip(slopes)
        .map(|(u, slope)| (slope * u).powi(2))
        .sum::<f64>()
        .sqrt()
}

/// Whether several inputs have a part in a variable with the given derivatives.
fn several(program: &Program, slopes: impl Iterator<Item = f64>) -> bool {
    let felt = program.uncertainties.iter().zip(slopes);
    felt.filter(|(u, slope)| **u * slope != 0.0).count() > 1
}
