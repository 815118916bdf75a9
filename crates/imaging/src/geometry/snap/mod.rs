//! From a rough click or drag to the real edge, corner or circle.
//!
//! In: a grey picture and a rough place. Out: the place to a fraction of a pixel with its
//! uncertainty, or why there is none. Not here: rows of equal things (`row_detection.rs`).
//!
//! All edges near the rough course are found and weighed (`strip.rs`, `candidates.rs`, `choice.rs`); the most
//! likely one is placed by fitting blurred steps to the light across it, piece by piece along it
//! (`profile.rs`). What the pieces scatter about one curve is the uncertainty; 0.25 pixels, if not stated
//! otherwise, stand for what the model leaves out, and edges that may be meant instead widen it by their
//! distance. An edge may bow a little, as a lens bends it. What it hands on are three points whose errors are
//! independent (`side_points.rs`), not corners, each of which rests on two edges.
//!
//! Steps are symmetrical in light, not in levels (`tone.rs`). What a telephone does to its tones beyond the
//! stated curve moves all edges of a photograph towards their brighter or their darker side: each point says
//! by how much ([`super::Click::shared`]).
//!
//! A pixel collects light over its own square, which alone spreads an edge in any direction by a
//! variance of 1/12 pixels². Blur is therefore `√(optical² + 1/12)`. Where an edge runs along the
//! pixels, only its distance to the middles of two or three rows is seen, and a sharp edge leaves
//! the optical blur open; then it is what lenses and the interpolation of colours usually make of
//! it, 0.7 ± 0.5 pixels. Sources:
//! the blurred step of S. Reichenbach et al., Opt. Eng. 30 (1991) 170, and ISO 12233 (slanted
//! edge: many rows give sub-pixel positions).

mod candidates;
mod choice;
mod circle;
mod corner;
mod course;
mod edge;
mod find;
mod marks;
mod profile;
mod steps;
mod strip;

use super::assumed;
use std::sync::LazyLock;

pub use choice::{EdgeKind, Rival};
pub use circle::{SnappedCircle, snap_circle};
pub use corner::snap_corner;
pub use edge::{SnappedEdge, snap_edge};
pub use marks::{Move, Snapped, snap_ends, snap_rim, snap_sides};

/// How far and how strictly to look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SnapOptions {
    /// How far from the rough place to look, pixels.
    pub reach_px: f64,
    /// Least difference of the levels on both sides.
    pub least_step: f64,
    /// Standard uncertainty of the rough place, pixels.
    pub click_px: f64,
    /// Standard uncertainty of the place of any edge for what the model of it leaves out, pixels:
    /// unequal shoulders, levels that do not follow the light evenly. It is added to what the
    /// pixels themselves leave open.
    pub unmodelled_px: f64,
    /// Probability that the edge meant cannot be seen in the picture, so that the nearest is another.
    pub unseen: f64,
    /// Probability that a wall as bright as the top hides the edge meant, so that the foot is seen alone.
    pub hidden_wall: f64,
    /// Standard uncertainty of the exponent by which the picture's levels differ from its stated curve.
    pub tone: f64,
}

impl Default for SnapOptions {
    fn default() -> Self {
        Self {
            reach_px: 10.0,
            least_step: 10.0,
            click_px: assumed::CLICK.value,
            unmodelled_px: assumed::UNMODELLED.value,
            unseen: assumed::UNSEEN.value,
            hidden_wall: assumed::HIDDEN_WALL.value,
            tone: assumed::TONE.value,
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
    /// The nearest edge is further away than a mark of the stated uncertainty would be.
    #[error(
        "the nearest edge is {off:.1} pixels away, further than a mark is likely to be off; mark nearer to the \
         edge, or by hand"
    )]
    TooFar {
        /// Distance of the edge, pixels.
        off: f64,
    },
    /// Two edges are about as likely to be meant, and too far apart to leave it open.
    #[error(
        "two edges lie about equally near, {first:.1} and {second:.1} pixels from the place marked; mark nearer to \
         the one that is meant, or by hand"
    )]
    Ambiguous {
        /// Distance of the more likely one, pixels.
        first: f64,
        /// Distance of the other, pixels.
        second: f64,
    },
    /// What changes does not lie on one line or circle.
    #[error("the edge there is not {what}; mark it by hand")]
    NotOne {
        /// "one straight line", "a circle".
        what: &'static str,
    },
}

impl SnapOptions {
    /// Returns what the model leaves out as a variance, pixels².
    pub(crate) fn unmodelled(&self) -> f64 {
        let px = self.unmodelled_px;
        if px.is_finite() {
            px * px
        } else {
            assumed::UNMODELLED.value * assumed::UNMODELLED.value
        }
    }

    /// Returns the standard uncertainty of a rough place, pixels.
    pub(crate) fn click(&self) -> f64 {
        if self.click_px.is_finite() {
            self.click_px.clamp(0.1, 100.0)
        } else {
            assumed::CLICK.value
        }
    }

    /// Returns the variance of a mark that is left as it was for some reason, pixels², where that of a mark by
    /// hand is known.
    pub(crate) fn left(&self, by_hand: f64, why: &SnapError) -> f64 {
        let off = match why {
            SnapError::TooFar { off } => *off,
            SnapError::Ambiguous { first, second } => first.max(*second),
            _ => 0.0,
        };
        by_hand + assumed::LEFT_FOR_THE_EDGE.value * off * off
    }

    /// Returns how far to look, pixels.
    pub(crate) fn reach(&self) -> f64 {
        self.reach_px.clamp(2.0, 200.0)
    }
}

/// Variance that the square of a pixel adds to an edge, whatever its direction, pixels².
const PIXEL_VARIANCE: f64 = 1.0 / 12.0;
/// Usual standard deviation of the optical blur, pixels, and its standard uncertainty: so wide
/// that the pixels decide wherever they tell anything.
pub(crate) const USUAL_BLUR: [f64; 2] = [assumed::USUAL_BLUR.value, assumed::BLUR_SPREAD.value];

/// Returns the standard deviation of an edge's spread, pixels, for an optical blur, and its
/// derivative.
#[inline]
pub(crate) fn spread(optical: f64) -> (f64, f64) {
    let whole = (optical * optical + PIXEL_VARIANCE).sqrt();
    (whole, optical / whole)
}

/// Pieces of the table for each standard deviation, and how far it reaches.
const FINE: usize = 64;
const FAR: f64 = 8.0;

/// The normal distribution function and its density times a piece's length, from −`FAR`.
static NORMAL: LazyLock<Vec<[f64; 2]>> = LazyLock::new(|| {
    (0..=2 * FAR as usize * FINE + 1)
        .map(|i| {
            let z = i as f64 / FINE as f64 - FAR;
            let below = 0.5 * statrs::function::erf::erfc(-z / std::f64::consts::SQRT_2);
            let density = (-0.5 * z * z).exp() / std::f64::consts::TAU.sqrt();
            [below, density / FINE as f64]
        })
        .collect()
});

/// Returns the normal distribution function, to 1e-9, and its density, to 1e-6: cubic pieces with the right slopes.
#[inline]
pub(crate) fn phi_and_density(z: f64) -> (f64, f64) {
    if z.is_nan() || z.abs() >= FAR {
        return (if z < 0.0 { 0.0 } else { 1.0 }, 0.0);
    }
    let place = (z + FAR) * FINE as f64;
    let i = place as usize;
    let t = place - i as f64;
    let ([a, p], [b, q]) = (NORMAL[i], NORMAL[i + 1]);
    let rise = b - a;
    let (bent, curled) = (3.0 * rise - 2.0 * p - q, p + q - 2.0 * rise);
    let below = a + t * (p + t * (bent + t * curled));
    let density = p + t * (2.0 * bent + 3.0 * t * curled);
    (below, density * FINE as f64)
}

#[cfg(test)]
mod tests {
    use super::phi_and_density;

    #[test]
    fn the_table_follows_the_error_function() {
        for i in -900..=900 {
            let z = f64::from(i) / 97.3;
            let exact = 0.5 * statrs::function::erf::erfc(-z / std::f64::consts::SQRT_2);
            let density = (-0.5 * z * z).exp() / std::f64::consts::TAU.sqrt();
            let (below, steep) = phi_and_density(z);
            assert!((below - exact).abs() < 1e-9, "{z}");
            assert!((steep - density).abs() < 1e-6, "{z}");
        }
    }
}
