//! Snapping to corners: where two fitted edges meet.

use super::{SnapError, SnappedEdge};
use crate::geometry::Click;

/// Returns the corner in which two edges meet, with its covariance.
///
/// # Errors
/// [`SnapError::NotOne`] where they are nearly parallel.
pub fn snap_corner(a: &SnappedEdge, b: &SnappedEdge) -> Result<Click, SnapError> {
    let cross = a.along[0] * b.along[1] - a.along[1] * b.along[0];
    if cross.abs() < 0.1 {
        return Err(SnapError::NotOne { what: "a corner" });
    }
    let d = [b.middle[0] - a.middle[0], b.middle[1] - a.middle[1]];
    let along_a = (d[0] * b.along[1] - d[1] * b.along[0]) / cross;
    let along_b = (d[0] * a.along[1] - d[1] * a.along[0]) / cross;
    let at = [0, 1].map(|i: usize| a.middle[i] + along_a * a.along[i]);
    // An edge that moves by t across itself moves the corner along the other edge by t / sin.
    let variance = |e: &SnappedEdge, reach: f64| {
        let [shift, both, turn] = e.covariance;
        (shift + 2.0 * reach * both + reach * reach * turn).max(0.0)
    };
    let (va, vb) = (variance(a, along_a), variance(b, along_b));
    let moved = |along: [f64; 2], v: f64| {
        let scale = v / (cross * cross);
        [
            along[0] * along[0] * scale,
            along[0] * along[1] * scale,
            along[1] * along[1] * scale,
        ]
    };
    let (p, q) = (moved(b.along, va), moved(a.along, vb));
    // Along the other edge, as far as the shift takes it.
    let across = |e: &SnappedEdge| e.along[0] * e.shared[1] - e.along[1] * e.shared[0];
    let (sa, sb) = (across(a) / cross, across(b) / cross);
    Ok(Click {
        at,
        covariance: std::array::from_fn(|i| p[i] + q[i]),
        side_px: 0.0,
        shared: [0, 1].map(|i: usize| sa * b.along[i] - sb * a.along[i]),
    })
}
