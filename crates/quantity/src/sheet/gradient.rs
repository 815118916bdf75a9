//! Reverse-mode differentiation of a compiled program.
//!
//! In: a program and the values of its variables. Out: the derivative of one result with respect
//! to every variable, from one sweep backwards. Opaque models are differentiated numerically by
//! central differences. Not here: what derivatives are used for.
//!
//! At a tie `min` and `max` follow their first argument; `abs` has slope 0 at 0.

use super::program::{Program, Step};

/// Relative step of a numeric derivative: the cube root of the rounding error, widened for models
/// that iterate to a tolerance.
const STEP: f64 = 3e-5;

impl Program {
    /// Fills `adjoint`, which must be all zero, with the derivatives of variable `result`. With
    /// `into_groups` false the sweep stops at groups of private inputs.
    pub(super) fn reverse(
        &self,
        values: &[f64],
        result: u32,
        into_groups: bool,
        adjoint: &mut [f64],
    ) {
        adjoint[result as usize] = 1.0;
        let first = self.inputs.len();
        for k in (0..self.steps.len()).rev() {
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
                Step::Interpolate(a, table) => add(*a, table.at(at(*a)).1),
                Step::Opaque { from, to, opaque } => {
                    let ids = &self.arguments[*from as usize..*to as usize];
                    let mut x: Vec<f64> = ids.iter().map(|&v| at(v)).collect();
                    for (i, &v) in ids.iter().enumerate() {
                        // At zero an input's uncertainty sets the scale.
                        let spread = self.uncertainties.get(v as usize).copied();
                        let spread = spread.filter(|u| u.is_finite()).unwrap_or(0.0);
                        let scale = x[i].abs().max(spread);
                        let h = STEP * if scale > 0.0 { scale } else { 1.0 };
                        let here = x[i];
                        let (above, below) = (here + h, here - h);
                        x[i] = above;
                        let high = (opaque.model)(&x);
                        x[i] = below;
                        let low = (opaque.model)(&x);
                        x[i] = here;
                        add(v, (high - low) / (above - below));
                    }
                }
            }
        }
    }

    /// Makes `adjoint` all zero again after a sweep that stopped at groups.
    pub(super) fn clear(&self, adjoint: &mut [f64]) {
        adjoint[self.inputs.len()..].fill(0.0);
        for &v in &self.ungrouped {
            adjoint[v as usize] = 0.0;
        }
    }
}
