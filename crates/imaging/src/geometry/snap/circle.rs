//! Snapping to a round rim, which a camera sees as an ellipse.

use super::candidates::Expected;
use super::choice::{Rival, Within};
use super::course::Course;
use super::find::find;
use super::{SnapError, SnapOptions, spread};
use crate::Light;
use crate::geometry::{Click, Ellipse, ellipse};

/// A round rim found in the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct SnappedCircle {
    /// The rim, pixels.
    pub rim: Ellipse,
    /// Points around the rim that carry together the uncertainty of the fit, for
    /// [`crate::geometry::Measure::Diameter`].
    pub clicks: Vec<Click>,
    /// Standard uncertainty of the mean radius, pixels, beside what it shares with the photograph.
    pub radius_uncertainty_px: f64,
    /// Standard deviation of the blur, pixels, the pixel's own square included.
    pub blur_px: f64,
    /// Level outside minus level inside, root mean square over the channels.
    pub step: f64,
    /// Mean distance from the rim marked, pixels.
    pub moved_px: f64,
    /// Other rims that may be meant, the most likely first.
    pub rivals: Vec<Rival>,
}

/// Least radius, pixels.
const SMALLEST: f64 = 5.0;
/// Points handed on.
const CLICKS: usize = 12;
/// Points from which the ellipse of a rim is worked out again.
const AROUND: usize = 36;
/// Marks that a rough circle is taken to rest on.
const MARKS: f64 = 4.0;
/// Stretch of a circle seen aslant, as a share of its radius: half of 1 − cos 14°.
const ASLANT: f64 = 0.015;

/// Finds the rim near a rough circle or ellipse.
///
/// # Errors
/// [`SnapError`]: too small, outside, no rim, not round, two rims of equal odds.
pub fn snap_circle(
    light: &Light<'_>,
    rough: &Ellipse,
    options: &SnapOptions,
) -> Result<SnappedCircle, SnapError> {
    snap_marked(light, rough, MARKS, options)
}

/// Finds the rim near one that rests on a number of marks.
pub(super) fn snap_marked(
    light: &Light<'_>,
    rough: &Ellipse,
    marks: f64,
    options: &SnapOptions,
) -> Result<SnappedCircle, SnapError> {
    if !(rough.half_axes[1] >= SMALLEST && rough.half_axes[0] < 1e5) {
        return Err(SnapError::TooShort {
            least: 2.0 * SMALLEST,
        });
    }
    let options = &SnapOptions {
        reach_px: options.reach().min(0.8 * rough.half_axes[1]),
        ..*options
    };
    let harmonic = options.click() * (2.0 / marks).sqrt();
    let stretch = harmonic + ASLANT * rough.half_axes[0];
    let expected: Expected = [
        options.click() / marks.sqrt(),
        harmonic,
        harmonic,
        stretch,
        stretch,
    ];
    let course = Course::Rim(*rough);
    let within = Within {
        expected,
        inside: -1.0,
    };
    let found = find(light, &course, &within, options, "a circle")?;
    let placed = &found.placed;
    // Blur, which takes from all around, sees more outside than inside of a curved rim: its half level lies
    // blur²/2R inside of it.
    let blur = spread(placed.blur).0;
    let mean = (rough.half_axes[0] + rough.half_axes[1]) / 2.0 + placed.curve[0];
    let inside = blur * blur / (2.0 * mean);
    let around: Vec<[f64; 2]> = (0..AROUND)
        .map(|k| {
            let u = 2.0 * k as f64 / AROUND as f64 - 1.0;
            course.place(u, course.beside(&placed.curve, u) + inside)
        })
        .collect();
    let rim = ellipse(&around).ok_or(SnapError::NotOne { what: "a circle" })?;
    let radius_uncertainty_px = (placed.covariance[(0, 0)] + found.left_open).sqrt();
    // Twelve points whose independent errors give the mean radius the same uncertainty.
    let u = radius_uncertainty_px * (CLICKS as f64).sqrt();
    let clicks = (0..CLICKS)
        .map(|k| {
            let angle = std::f64::consts::TAU * k as f64 / CLICKS as f64;
            let [x, y] = rim.point(angle);
            Click {
                shared: rim.outwards(angle).map(|n| n * found.shared_px),
                ..Click::new(x, y, u)
            }
        })
        .collect();
    Ok(SnappedCircle {
        rim,
        clicks,
        radius_uncertainty_px,
        blur_px: blur,
        step: found.step,
        moved_px: found.moved_px,
        rivals: found.rivals,
    })
}
