//! From rough marks of a whole thing to the points that its measure is taken from.
//!
//! In: a grey picture, rough points. Out: the same points on the real edges, or why not. Not here: single
//! edges, corners and circles.

use super::{SnapError, SnapOptions, SnappedEdge, snap_circle, snap_corner, snap_edge};
use crate::Grey;
use crate::geometry::side_points::{ON_A_SIDE, corners_of_sides};
use crate::geometry::{Click, Ellipse, circle, ellipse};

/// Half the length of the edge that an end is moved to, pixels.
const HALF_EDGE: f64 = 8.0;

/// Moves both ends of a length along it to the edges that it crosses about square.
///
/// # Errors
/// [`SnapError`]; nothing is moved then.
pub fn snap_ends(
    grey: &Grey,
    ends: [[f64; 2]; 2],
    options: &SnapOptions,
) -> Result<[Click; 2], SnapError> {
    let d = [ends[1][0] - ends[0][0], ends[1][1] - ends[0][1]];
    let length = d[0].hypot(d[1]);
    if length.is_nan() || length < 2.0 * HALF_EDGE {
        return Err(SnapError::TooShort {
            least: 2.0 * HALF_EDGE,
        });
    }
    let along = d.map(|v| v / length);
    let across = [-along[1], along[0]];
    let end = |at: [f64; 2]| {
        let side = |by: f64| [0, 1].map(|c: usize| at[c] + by * across[c]);
        let edge = snap_edge(grey, side(-HALF_EDGE), side(HALF_EDGE), options)?;
        // The line of the length as an edge without doubt: only the edge it meets moves the end.
        let line = SnappedEdge {
            middle: at,
            along,
            covariance: [1e-6, 0.0, 1e-12],
            ..edge.clone()
        };
        snap_corner(&edge, &line)
    };
    Ok([end(ends[0])?, end(ends[1])?])
}

/// Finds the sides of a polygon whose corners are roughly marked; rounded corners stay out of the
/// fit. Returns three points on each side, for [`crate::geometry::OutlinePoints::Sides`].
///
/// # Errors
/// [`SnapError`] of the first side that has no edge.
pub fn snap_sides(
    grey: &Grey,
    corners: &[[f64; 2]],
    options: &SnapOptions,
) -> Result<Vec<Click>, SnapError> {
    let n = corners.len();
    if n < 3 {
        return Err(SnapError::NotOne { what: "a polygon" });
    }
    let mut points = Vec::with_capacity(n * ON_A_SIDE);
    for i in 0..n {
        let (p, q) = (corners[i], corners[(i + 1) % n]);
        let inner = |share: f64| [0, 1].map(|c: usize| p[c] + share * (q[c] - p[c]));
        points.extend(snap_edge(grey, inner(0.08), inner(0.92), options)?.points);
    }
    let places: Vec<[f64; 2]> = points.iter().map(|c| c.at).collect();
    corners_of_sides(&places).ok_or(SnapError::NotOne { what: "a polygon" })?;
    Ok(points)
}

/// Moves points of a rim to the circle or ellipse that the picture shows near them.
///
/// # Errors
/// [`SnapError`]; nothing is moved then.
pub fn snap_rim(
    grey: &Grey,
    points: &[[f64; 2]],
    options: &SnapOptions,
) -> Result<Vec<Click>, SnapError> {
    let round = circle(points).map(|c| Ellipse {
        middle: c.middle,
        half_axes: [c.radius; 2],
        direction_rad: 0.0,
    });
    // Five rough points make a bad ellipse; a circle is rough enough to start from.
    let rough = if points.len() >= 8 {
        ellipse(points).or(round)
    } else {
        round
    };
    let rough = rough.ok_or(SnapError::NotOne { what: "a circle" })?;
    Ok(snap_circle(grey, &rough, options)?.clicks)
}
