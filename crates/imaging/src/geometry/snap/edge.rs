//! Snapping to a straight edge, which a lens may bend a little.

use super::fit::{Pixel, Step, robust};
use super::line::{Line, NEAR, find};
use super::{SnapError, SnapOptions, USUAL_BLUR, phi, spread};
use crate::Grey;
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
    /// Difference of the levels; positive if it is brighter towards the right of `along`
    /// (downwards for an edge that runs to the right).
    pub step: f64,
    /// Share of the lines across the edge that agree on it.
    pub agreement: f64,
}

/// Least length of a drag, pixels.
const SHORTEST: f64 = 10.0;
/// Share of the drag left out at each end, where corners round off.
const END: f64 = 0.08;
/// Greatest bow of what counts as straight, as a share of half its length, beside [`NEAR`]: a lens
/// that displaces the corners of the picture by a tenth of the half diagonal bends no edge more.
const BENT: f64 = 0.02;

/// Finds the straight edge near the line from `from` to `to`.
///
/// # Errors
/// [`SnapError`]: too short, outside, no edge, not one line.
pub fn snap_edge(
    grey: &Grey,
    from: [f64; 2],
    to: [f64; 2],
    options: &SnapOptions,
) -> Result<SnappedEdge, SnapError> {
    let length = (to[0] - from[0]).hypot(to[1] - from[1]);
    if !(length.is_finite() && from[0].is_finite() && from[1].is_finite()) {
        return Err(SnapError::Outside);
    }
    if length < SHORTEST {
        return Err(SnapError::TooShort { least: SHORTEST });
    }
    let rough = Line {
        middle: [(from[0] + to[0]) / 2.0, (from[1] + to[1]) / 2.0],
        along: [(to[0] - from[0]) / length, (to[1] - from[1]) / length],
    };
    let half = length * (0.5 - END);
    let (near, agreement) = find(grey, &rough, half, options)?;
    refined(grey, &near, half, agreement, options)
}

/// Fits the blurred step to all pixels near a line.
fn refined(
    grey: &Grey,
    line: &Line,
    half: f64,
    agreement: f64,
    options: &SnapOptions,
) -> Result<SnappedEdge, SnapError> {
    let refuse = || SnapError::NoEdge {
        reach: options.reach_px,
    };
    let mut wide = 5.0;
    let mut start: Option<Vec<f64>> = None;
    let mut result = None;
    // The second round looks as far as the blur asks for, about the edge as found by the first.
    for _ in 0..2 {
        let offset = start.as_ref().map_or(0.0, |x| x[SHIFT]);
        let pixels = pixels(grey, line, half, offset, wide);
        if pixels.len() < 40 {
            return Err(SnapError::Outside);
        }
        let x = start.take().unwrap_or_else(|| first_guess(&pixels));
        let (found, sigma) = robust(&Across { half }, &pixels, x).ok_or_else(refuse)?;
        wide = (2.0 + 2.5 * spread(found.parameters[BLUR]).0).clamp(3.0, 12.0);
        start = Some(found.parameters.clone());
        result = Some((found, sigma));
    }
    let (found, sigma) = result.ok_or_else(refuse)?;
    let x = &found.parameters;
    let moved = x[SHIFT].abs() + x[TURN].abs();
    if x[STEP].abs() < options.least_step || moved > 3.0 + NEAR || x[BLUR].abs() > 10.0 {
        return Err(refuse());
    }
    if x[BOW].abs() > NEAR + BENT * half {
        return Err(SnapError::NotOne {
            what: "one straight line",
        });
    }
    let matrix = found.covariance().ok_or_else(refuse)? * (sigma * sigma);
    // The parameter of the turn is the shift at the end of the edge.
    let turned = line.shifted(x[SHIFT], x[TURN] / half);
    // As if the pixels were noisier, so much that the shift errs by what the model leaves out.
    let points = std::array::from_fn(|i| {
        let [px, py] = turned.at(half * NODES[i], x[BOW] * shape(NODES[i])[2]);
        let variance = shape_variance(&matrix, NODES[i]) + options.unmodelled() / WEIGHTS[i];
        Click::new(px, py, variance.sqrt())
    });
    Ok(SnappedEdge {
        middle: turned.at(0.0, x[BOW] * shape(0.0)[2]),
        along: turned.along,
        covariance: [
            shape_variance(&matrix, 0.0) + options.unmodelled(),
            matrix[(SHIFT, TURN)] / half,
            (matrix[(TURN, TURN)] + options.unmodelled()) / (half * half),
        ],
        points,
        bow_px: x[BOW],
        blur_px: spread(x[BLUR]).0,
        step: x[STEP],
        agreement,
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
    let sum: f64 = pairs
        .map(|(a, b)| by[a] * by[b] * matrix[(SHIFT + a, SHIFT + b)])
        .sum();
    sum.max(0.0)
}

/// Numbers of the parameters: level before the edge and step over it, each with its change along
/// the edge, then optical blur, then shift, turn and bow. Light falls off towards the corners of a
/// picture, so levels change along an edge as a bow does, which they must not be taken for.
const LEVEL: usize = 0;
const STEP: usize = 3;
const BLUR: usize = 6;
const SHIFT: usize = 7;
const TURN: usize = 8;
const BOW: usize = 9;

/// Sum of three parameters from one on, each by its shape.
fn along(x: &[f64], first: usize, by: [f64; 3]) -> f64 {
    (0..3).map(|i| x[first + i] * by[i]).sum()
}

/// A blurred step across an edge; pixels are along and across it.
struct Across {
    half: f64,
}

impl Across {
    /// Shapes at a pixel, and its distance from the edge in standard deviations of the blur.
    fn at(&self, x: &[f64], blur: f64, p: &Pixel) -> ([f64; 3], f64) {
        let by = shape(p[0] / self.half);
        (by, (p[1] - along(x, SHIFT, by)) / blur)
    }
}

impl Step for Across {
    const BLUR: usize = BLUR;

    fn levels(&self, x: &[f64], pixels: &[Pixel]) -> Option<Vec<f64>> {
        let (blur, _) = spread(x[BLUR]);
        let levels = pixels.iter().map(|p| {
            let (by, z) = self.at(x, blur, p);
            along(x, LEVEL, by) + along(x, STEP, by) * phi(z)
        });
        Some(levels.collect())
    }

    fn slopes(&self, x: &[f64], pixels: &[Pixel]) -> DMatrix<f64> {
        let mut rows = DMatrix::zeros(pixels.len() + 1, x.len());
        let (blur, grows) = spread(x[BLUR]);
        for (i, p) in pixels.iter().enumerate() {
            let (by, z) = self.at(x, blur, p);
            let level = phi(z);
            let density = (-0.5 * z * z).exp() / std::f64::consts::TAU.sqrt();
            let shift = -along(x, STEP, by) * density / blur;
            for (c, share) in by.into_iter().enumerate() {
                rows[(i, LEVEL + c)] = share;
                rows[(i, STEP + c)] = share * level;
                rows[(i, SHIFT + c)] = share * shift;
            }
            rows[(i, BLUR)] = shift * z * grows;
        }
        rows
    }
}

fn first_guess(pixels: &[Pixel]) -> Vec<f64> {
    let mean = |side: f64| {
        let (mut sum, mut n) = (0.0, 0.0);
        for p in pixels.iter().filter(|p| p[1] * side > 2.0) {
            sum += p[2];
            n += 1.0;
        }
        if n > 0.0 { sum / n } else { 0.0 }
    };
    let (before, after) = (mean(-1.0), mean(1.0));
    let mut x = vec![0.0; 10];
    (x[LEVEL], x[STEP], x[BLUR]) = (before, after - before, USUAL_BLUR[0]);
    x
}

/// Collects the pixels whose middles lie near the line; at most some thousands, evenly thinned.
fn pixels(grey: &Grey, line: &Line, half: f64, offset: f64, wide: f64) -> Vec<Pixel> {
    let n = line.across();
    let corners = [(-half, -wide), (half, -wide), (half, wide), (-half, wide)]
        .map(|(s, t)| line.at(s, t + offset));
    let range = |axis: usize, most: u32| {
        let values = corners.iter().map(|c| c[axis]);
        let low = values
            .clone()
            .fold(f64::INFINITY, f64::min)
            .floor()
            .max(0.0);
        let high = values.fold(0.0, f64::max).ceil().min(f64::from(most));
        (low as u32, high as u32)
    };
    let ((x0, x1), (y0, y1)) = (range(0, grey.width), range(1, grey.height));
    let thin = ((4.0 * half * wide / 2500.0).ceil() as u32).max(1);
    let mut found = Vec::new();
    let mut count = 0u32;
    for y in y0..y1 {
        for x in x0..x1 {
            let d = [
                f64::from(x) + 0.5 - line.middle[0],
                f64::from(y) + 0.5 - line.middle[1],
            ];
            let s = d[0] * line.along[0] + d[1] * line.along[1];
            let t = d[0] * n[0] + d[1] * n[1];
            if s.abs() > half || (t - offset).abs() > wide {
                continue;
            }
            count = count.wrapping_add(1);
            // A stride that is no divisor of usual row lengths keeps the sample even.
            if count.wrapping_mul(2_654_435_761) >> 16 & 0xffff < 0x1_0000 / thin {
                let level = grey.data[y as usize * grey.width as usize + x as usize];
                found.push([s, t, f64::from(level)]);
            }
        }
    }
    found
}
