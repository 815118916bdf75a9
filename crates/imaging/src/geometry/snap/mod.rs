//! From a rough click or drag to the real edge, corner or circle.
//!
//! In: a grey picture and a rough place. Out: the place to a fraction of a pixel with its
//! uncertainty, or why there is none. Not here: rows of equal things (`propose.rs`).
//!
//! An edge is found in two steps: where the picture changes most along lines square to the rough
//! one, agreed on by most of them; then one model for all pixels near it, `dark + step × Φ(distance
//! / blur)` with levels that may change evenly along the edge, fitted by least squares. The pixels
//! enter as they are, so their noise is independent and the fit's own covariance holds; misfit of
//! the model widens it, and a floor of 0.05 pixels stands for what the model leaves out. Sources:
//! the blurred step of S. Reichenbach et al., Opt. Eng. 30 (1991) 170, and ISO 12233 (slanted
//! edge: many rows give sub-pixel positions).

mod circle;
mod corner;
mod edge;
mod marks;

pub use circle::{SnappedCircle, snap_circle};
pub use corner::{snap_corner, snap_rectangle};
pub use edge::{SnappedEdge, snap_edge};
pub use marks::{snap_ends, snap_polygon, snap_rim};

/// How far and how strictly to look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SnapOptions {
    /// How far from the rough place to look, pixels.
    pub reach_px: f64,
    /// Least difference of the levels on both sides.
    pub least_step: f64,
}

impl Default for SnapOptions {
    fn default() -> Self {
        Self {
            reach_px: 10.0,
            least_step: 10.0,
        }
    }
}

/// Why nothing was snapped to; the rough place stays as it was.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SnapError {
    /// The rough place is too short or too small.
    #[error("too short to find an edge: drag over at least {least:.0} pixels")]
    TooShort {
        /// Least length, pixels.
        least: f64,
    },
    /// The rough place leaves the picture.
    #[error("the place lies outside the picture or too near to its border; mark it further inside")]
    Outside,
    /// Nothing changes enough there.
    #[error("no clear edge within {reach:.0} pixels; mark it nearer to the edge, or by hand")]
    NoEdge {
        /// How far was looked, pixels.
        reach: f64,
    },
    /// What changes does not lie on one line or circle.
    #[error("the edge there is not {what}; mark it by hand")]
    NotOne {
        /// "one straight line", "a circle".
        what: &'static str,
    },
}

/// What the model leaves out, pixels: unequal shoulders, the shape of the pixel.
pub(crate) const FLOOR_PX: f64 = 0.05;

/// Returns the normal distribution function, to 1e-7, fast.
pub(crate) fn phi(z: f64) -> f64 {
    0.5 * statrs::function::erf::erfc(-z / std::f64::consts::SQRT_2)
}
