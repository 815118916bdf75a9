//! Non-linear least squares.
//!
//! In: a function that gives residuals in units of their standard uncertainty, a start.
//! Out: the parameters, their Jacobian. Source: J. Moré, "The Levenberg–Marquardt algorithm:
//! implementation and theory", LNM 630 (1978) 105 (scaling of the damping by the columns);
//! derivatives by central differences.

use nalgebra::{DMatrix, DVector};

/// Rounds of the search; a stable fit needs five to twenty.
const ROUNDS: usize = 200;
/// Least step, in standard uncertainties of a residual: a hundred-millionth changes nothing.
const EXACT: f64 = 1e-8;
/// Relative step of the central differences.
const STEP: f64 = 1e-6;

/// A fit.
pub(crate) struct Fit {
    pub(crate) parameters: Vec<f64>,
    /// Residuals there.
    pub(crate) residuals: DVector<f64>,
    /// Derivatives of the residuals there.
    pub(crate) jacobian: DMatrix<f64>,
}

impl Fit {
    /// Returns the sum of the squared residuals.
    pub(crate) fn chi_square(&self) -> f64 {
        self.residuals.norm_squared()
    }

    /// Returns how the parameters follow the observations: column j is the change of the
    /// parameters when observation j rises by one standard uncertainty. `None` where the
    /// observations leave a parameter open.
    pub(crate) fn influence(&self) -> Option<DMatrix<f64>> {
        let scale = columns(&self.jacobian);
        let scaled = DMatrix::from_fn(self.jacobian.nrows(), self.jacobian.ncols(), |r, c| {
            self.jacobian[(r, c)] / scale[c]
        });
        // A P = Q R with the columns in falling order, so that R shows what is left open.
        let (q, r, order) = scaled.col_piv_qr().unpack();
        let diagonal = r.diagonal().abs();
        let least = diagonal.min();
        if least.is_nan() || least <= 1e-10 * diagonal.max() {
            return None;
        }
        let mut influence = q.transpose();
        if !r.solve_upper_triangular_mut(&mut influence) {
            return None;
        }
        order.inv_permute_rows(&mut influence);
        for (mut row, s) in influence.row_iter_mut().zip(&scale) {
            row /= *s;
        }
        Some(influence)
    }
}

/// Searches from `start` with numeric derivatives; `None` where the residuals are not finite
/// there.
pub(crate) fn fit(start: Vec<f64>, residuals: impl Fn(&[f64]) -> Option<Vec<f64>>) -> Option<Fit> {
    let at = |x: &[f64]| residuals(x).map(DVector::from_vec);
    let mut x = start;
    let mut r = at(&x)?;
    let mut jacobian = derivatives(&x, r.len(), &at)?;
    let mut damping = 1e-4;
    let mut normal = jacobian.tr_mul(&jacobian);
    let mut gradient = jacobian.tr_mul(&r);
    for _ in 0..ROUNDS {
        let scale: Vec<f64> = (0..x.len())
            .map(|i| normal[(i, i)].sqrt())
            .map(|n| if n > 0.0 { n } else { 1.0 })
            .collect();
        let mut damped = normal.clone();
        for (i, s) in scale.iter().enumerate() {
            damped[(i, i)] += damping * s * s;
        }
        let Some(step) = damped.cholesky().map(|c| c.solve(&gradient)) else {
            damping *= 10.0;
            if damping > 1e12 {
                break;
            }
            continue;
        };
        let moved: Vec<f64> = x.iter().zip(step.iter()).map(|(x, s)| x - s).collect();
        let size: f64 = step.iter().zip(&scale).map(|(s, c)| (s * c).powi(2)).sum();
        let better = at(&moved).filter(|n| n.norm_squared() <= r.norm_squared());
        if let Some(new) = better {
            x = moved;
            r = new;
            jacobian = derivatives(&x, r.len(), &at)?;
            normal = jacobian.tr_mul(&jacobian);
            gradient = jacobian.tr_mul(&r);
            damping = (damping * 0.1).max(1e-12);
        } else {
            damping *= 10.0;
        }
        if size.sqrt() < EXACT || damping > 1e12 {
            break;
        }
    }
    Some(Fit {
        parameters: x,
        residuals: r,
        jacobian,
    })
}

fn derivatives(
    x: &[f64],
    rows: usize,
    at: &impl Fn(&[f64]) -> Option<DVector<f64>>,
) -> Option<DMatrix<f64>> {
    let mut jacobian = DMatrix::zeros(rows, x.len());
    let mut moved = x.to_vec();
    for c in 0..x.len() {
        let h = STEP * x[c].abs().max(0.1);
        moved[c] = x[c] + h;
        let above = at(&moved)?;
        moved[c] = x[c] - h;
        let below = at(&moved)?;
        moved[c] = x[c];
        jacobian.set_column(c, &((above - below) / (2.0 * h)));
    }
    jacobian.iter().all(|v| v.is_finite()).then_some(jacobian)
}

fn columns(jacobian: &DMatrix<f64>) -> Vec<f64> {
    jacobian
        .column_iter()
        .map(|c| c.norm())
        .map(|n| if n > 0.0 { n } else { 1.0 })
        .collect()
}
