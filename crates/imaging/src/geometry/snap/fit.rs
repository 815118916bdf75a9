//! Fits a blurred step to the levels of pixels, leaving out what lies far off.
//!
//! In: pixels, a model of the step, a start. Out: the fit and the standard deviation of a level.
//! Not here: the models (`edge.rs`, `circle.rs`).

use super::{FIRST_NOISE, LEAST_STEP, USUAL_BLUR};
use crate::geometry::least_squares::{Fit, search};
use nalgebra::{DMatrix, DVector};

/// A pixel: two coordinates that the model knows, and the level.
pub(super) type Pixel = [f64; 3];

/// A model of a blurred step.
pub(super) trait Step {
    /// Number of the parameter that is the optical blur, pixels.
    const BLUR: usize;

    /// Level of each pixel, or `None` where the parameters describe nothing.
    fn levels(&self, x: &[f64], pixels: &[Pixel]) -> Option<Vec<f64>>;

    /// Derivatives of the levels: a row for each pixel and an empty one, a column for each parameter.
    fn slopes(&self, x: &[f64], pixels: &[Pixel]) -> DMatrix<f64>;
}

/// Fits three times, each but the first without the pixels that lie far off the fit before; with the
/// level's standard deviation.
pub(super) fn robust<S: Step>(step: &S, pixels: &[Pixel], start: Vec<f64>) -> Option<(Fit, f64)> {
    let mut used: Vec<Pixel> = pixels.to_vec();
    let mut x = start;
    let mut sigma = FIRST_NOISE;
    for round in 0..3 {
        // Residuals are in levels, so the doubt of the usual blur is put in levels too.
        let residuals = |x: &[f64]| {
            let usual = sigma * (x[S::BLUR] - USUAL_BLUR[0]) / USUAL_BLUR[1];
            let levels = step.levels(x, &used)?;
            let rows = levels.iter().zip(&used).map(|(level, p)| level - p[2]);
            Some(DVector::from_iterator(
                used.len() + 1,
                rows.chain(std::iter::once(usual)),
            ))
        };
        let derivatives = |x: &[f64], rows: usize| {
            let mut slopes = step.slopes(x, &used);
            slopes[(rows - 1, S::BLUR)] = sigma / USUAL_BLUR[1];
            Some(slopes)
        };
        let found = search(x, &residuals, &derivatives, LEAST_STEP)?;
        let free = (used.len() + 1).checked_sub(found.parameters.len());
        let free = free.filter(|n| *n > 0)? as f64;
        sigma = (found.chi_square() / free).sqrt().max(0.3);
        if round == 2 {
            return Some((found, sigma));
        }
        x = found.parameters;
        let levels = step.levels(&x, pixels)?;
        let near = |level: f64, p: &Pixel| (level - p[2]).abs() < 4.0 * sigma;
        let kept = pixels.iter().zip(levels);
        let kept: Vec<Pixel> = kept
            .filter(|(p, level)| near(*level, p))
            .map(|(p, _)| *p)
            .collect();
        if kept.len() * 2 < pixels.len() {
            return None;
        }
        used = kept;
    }
    None
}
