//! Snapping to a straight edge, which a lens may bend a little.

use super::candidates::{Expected, NEAR};
use super::choice::{Rival, Within};
use super::course::{Course, Line};
use super::find::find;
use super::{SnapError, SnapOptions, spread};
use crate::Light;
use crate::geometry::Click;
use crate::geometry::side_points::{NODES, ON_A_SIDE, WEIGHTS};
use nalgebra::DMatrix;

/// A straight edge found in the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct SnappedEdge {
    /// Middle of the edge, pixels.
    pub middle: [f64; 2],
    /// Unit vector along it.
    pub along: [f64; 2],
    /// Covariance of the shift square to it, pixels, and of the turn, radians: shift², shift ×
    /// turn, turn².
    pub covariance: [f64; 3],
    /// Three points on the edge whose errors are independent of each other; together they tell
    /// its shift, turn and bow. Their covariance holds across the edge.
    pub points: [Click; ON_A_SIDE],
    /// How far the edge bows towards the right of `along`: half the distance between its middle
    /// and the chord of its ends is three quarters of it, pixels.
    pub bow_px: f64,
    /// Standard deviation of the blur, pixels, the pixel's own square included.
    pub blur_px: f64,
    /// Difference of the levels, root mean square over the channels; positive if it is brighter towards the
    /// right of `along` (downwards for an edge that runs to the right).
    pub step: f64,
    /// Share of the pieces of the edge that agree on it.
    pub agreement: f64,
    /// Mean distance from the line marked, pixels.
    pub moved_px: f64,
    /// Other edges that may be meant, the most likely first.
    pub rivals: Vec<Rival>,
    /// How far it moves, across and down, pixels, for one standard uncertainty of the photograph's tones.
    pub shared: [f64; 2],
}

/// Least length of a drag, pixels.
const SHORTEST: f64 = 10.0;
/// Share of the drag left out at each end, where corners round off.
const END: f64 = 0.08;
/// Greatest bow of what counts as straight, as a share of half its length, beside [`NEAR`]: a lens
/// that displaces the corners of the picture by a tenth of the half diagonal bends no edge more.
const BENT: f64 = 0.02;
/// Standard deviation of the bow before the picture is seen, pixels, and as a share of half the length.
const BOW: [f64; 2] = [0.3, 0.0015];

/// Finds the straight edge near the line from `from` to `to`, both marked by hand.
///
/// # Errors
/// [`SnapError`]: too short, outside, no edge, not one line, two edges of equal odds.
pub fn snap_edge(
    light: &Light<'_>,
    from: [f64; 2],
    to: [f64; 2],
    options: &SnapOptions,
) -> Result<SnappedEdge, SnapError> {
    // Shift and turn are half the sum and half the difference of two independent marks.
    let each = options.click() / std::f64::consts::SQRT_2;
    snap_line(light, from, to, ([each, each], 0.0), options)
}

/// Finds the straight edge near a line whose shift and turn at its end are marked within standard
/// uncertainties, pixels; the thing lies to its right (1), to its left (−1), or who knows where (0).
pub(super) fn snap_line(
    light: &Light<'_>,
    from: [f64; 2],
    to: [f64; 2],
    ([shift, turn], inside): ([f64; 2], f64),
    options: &SnapOptions,
) -> Result<SnappedEdge, SnapError> {
    let length = (to[0] - from[0]).hypot(to[1] - from[1]);
    if !(length.is_finite() && from[0].is_finite() && from[1].is_finite()) {
        return Err(SnapError::Outside);
    }
    if length < SHORTEST {
        return Err(SnapError::TooShort { least: SHORTEST });
    }
    let line = Line {
        middle: [(from[0] + to[0]) / 2.0, (from[1] + to[1]) / 2.0],
        along: [(to[0] - from[0]) / length, (to[1] - from[1]) / length],
        half: length * (0.5 - END),
    };
    let mut expected: Expected = [1.0; 5];
    (expected[0], expected[1]) = (shift, turn);
    expected[2] = BOW[0] + BOW[1] * line.half;
    let what = "one straight line";
    let within = Within { expected, inside };
    let found = find(light, &Course::Line(line), &within, options, what)?;
    let placed = &found.placed;
    let [shift, turn, bow, ..] = placed.curve;
    if bow.abs() > NEAR + BENT * line.half {
        return Err(SnapError::NotOne { what });
    }
    let turned = line.shifted(shift, turn);
    let shared = turned.across().map(|n| n * found.shared_px);
    // As if the pixels were noisier, so much that the shift errs by what is left open.
    let points = std::array::from_fn(|i| {
        let [x, y] = turned.at(line.half * NODES[i], bow * shape(NODES[i])[2]);
        let variance = shape_variance(&placed.covariance, NODES[i]) + found.left_open / WEIGHTS[i];
        Click {
            shared,
            side_px: found.left_open.sqrt(),
            ..Click::new(x, y, variance.sqrt())
        }
    });
    let matrix = &placed.covariance;
    Ok(SnappedEdge {
        middle: turned.at(0.0, bow * shape(0.0)[2]),
        along: turned.along,
        covariance: [
            shape_variance(matrix, 0.0) + found.left_open,
            matrix[(0, 1)] / line.half,
            (matrix[(1, 1)] + found.left_open) / (line.half * line.half),
        ],
        points,
        bow_px: bow,
        blur_px: spread(placed.blur).0,
        step: found.step,
        agreement: placed.agreement,
        moved_px: found.moved_px,
        rivals: found.rivals,
        shared,
    })
}

/// Shares with which shift, turn and bow move the edge at a share of its half length: the first
/// three polynomials of Legendre, whose fitted factors do not hang on each other.
fn shape(share: f64) -> [f64; 3] {
    [1.0, share, (3.0 * share * share - 1.0) / 2.0]
}

/// Variance of the edge's place at a share of its half length, pixels².
fn shape_variance(matrix: &DMatrix<f64>, share: f64) -> f64 {
    let by = shape(share);
    let pairs = (0..3).flat_map(|a| (0..3).map(move |b| (a, b)));
    let sum: f64 = pairs.map(|(a, b)| by[a] * by[b] * matrix[(a, b)]).sum();
    sum.max(0.0)
}
