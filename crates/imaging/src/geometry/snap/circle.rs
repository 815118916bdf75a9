//! Snapping to a round rim, which a camera sees as an ellipse.

use super::fit::{Pixel, Step, robust};
use super::{SnapError, SnapOptions, USUAL_BLUR, phi, spread};
use crate::Grey;
use crate::geometry::{Click, Ellipse, ellipse};
use nalgebra::DMatrix;

/// A round rim found in the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct SnappedCircle {
    /// The rim, pixels.
    pub rim: Ellipse,
    /// Points around the rim that carry together the uncertainty of the fit, for
    /// [`crate::geometry::Measure::Diameter`].
    pub clicks: Vec<Click>,
    /// Standard uncertainty of the mean radius, pixels.
    pub radius_uncertainty_px: f64,
    /// Standard deviation of the blur, pixels, the pixel's own square included.
    pub blur_px: f64,
    /// Level outside minus level inside.
    pub step: f64,
}

/// Least radius, pixels.
const SMALLEST: f64 = 5.0;
/// Directions looked along.
const RAYS: usize = 120;
/// Points handed on.
const CLICKS: usize = 12;
/// Share of the directions that must agree.
const AGREE: f64 = 0.6;

/// Finds the rim near a rough circle or ellipse.
///
/// # Errors
/// [`SnapError`]: too small, outside, no rim, not round.
pub fn snap_circle(
    grey: &Grey,
    rough: &Ellipse,
    options: &SnapOptions,
) -> Result<SnappedCircle, SnapError> {
    if !(rough.half_axes[1] >= SMALLEST && rough.half_axes[0] < 1e5) {
        return Err(SnapError::TooShort {
            least: 2.0 * SMALLEST,
        });
    }
    let reach = options
        .reach_px
        .clamp(2.0, 200.0)
        .min(0.8 * rough.half_axes[1]);
    let no_edge = SnapError::NoEdge { reach };
    let changes = changes(grey, rough, reach, options.least_step);
    if changes.is_empty() {
        return Err(if grey.at(rough.middle[0], rough.middle[1]).is_none() {
            SnapError::Outside
        } else {
            no_edge
        });
    }
    let sign = changes.iter().map(|c| c.1).sum::<f64>().signum();
    let points: Vec<[f64; 2]> = changes
        .iter()
        .filter(|c| c.1 * sign > 0.0)
        .map(|c| c.0)
        .collect();
    let (near, share) = agreed(&points).ok_or_else(|| no_edge.clone())?;
    if share * (points.len() as f64) < AGREE * RAYS as f64 {
        return Err(SnapError::NotOne { what: "a circle" });
    }
    refined(grey, near, options).ok_or(no_edge)
}

/// The strongest change along each ray across the rim: place and strength outwards.
fn changes(grey: &Grey, rough: &Ellipse, reach: f64, least: f64) -> Vec<([f64; 2], f64)> {
    let mut found = Vec::new();
    for k in 0..RAYS {
        let angle = std::f64::consts::TAU * k as f64 / RAYS as f64;
        let (p, n) = (rough.point(angle), rough.outwards(angle));
        let level = |t: f64| grey.at(p[0] + t * n[0], p[1] + t * n[1]);
        let slope = |t: f64| {
            let outer = level(t + 0.6)? + level(t + 1.3)? + level(t + 2.0)?;
            let inner = level(t - 0.6)? + level(t - 1.3)? + level(t - 2.0)?;
            Some((outer - inner) / 3.0)
        };
        let steps = (2.0 * reach / 0.5) as usize;
        let best = (0..=steps)
            .filter_map(|i| {
                let t = i as f64 * 0.5 - reach;
                Some((t, slope(t)?))
            })
            .max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
        if let Some((t, strength)) = best.filter(|b| b.1.abs() >= 0.5 * least) {
            found.push(([p[0] + t * n[0], p[1] + t * n[1]], strength));
        }
    }
    found
}

/// The ellipse on which most points lie, and their share.
fn agreed(points: &[[f64; 2]]) -> Option<(Ellipse, f64)> {
    let mut kept = points.to_vec();
    let mut found = ellipse(&kept)?;
    for _ in 0..8 {
        let mut off: Vec<f64> = points.iter().map(|p| found.distance(*p).abs()).collect();
        off.sort_by(f64::total_cmp);
        let limit = (2.5 * off[off.len() / 2]).max(1.0);
        kept = points
            .iter()
            .filter(|p| found.distance(**p).abs() <= limit)
            .copied()
            .collect();
        found = ellipse(&kept)?;
    }
    let near = points
        .iter()
        .filter(|p| found.distance(**p).abs() < 1.5)
        .count();
    Some((found, near as f64 / points.len() as f64))
}

/// Ellipse from parameters 0 to 4: middle, mean half axis, and the two parts of its stretch.
/// The stretch has no direction at a circle, so direction and axes would be no parameters there.
fn shape(x: &[f64]) -> Ellipse {
    let stretch = x[3].hypot(x[4]);
    Ellipse {
        middle: [x[0], x[1]],
        half_axes: [x[2] + stretch, x[2] - stretch],
        direction_rad: 0.5 * x[4].atan2(x[3]),
    }
}

/// Distance from the rim in standard deviations of the blur, seen at a first-order distance.
///
/// The first-order distance of a circle is d − d²/2R. Blur, which takes from all around, sees more
/// outside than inside of a curved rim: its half level lies blur²/2R inside of it.
fn depth(distance: f64, radius: f64, blur: f64) -> f64 {
    (distance + (distance * distance + blur * blur) / (2.0 * radius)) / blur
}

/// A blurred step across a rim; pixels are where they are in the picture. After the shape: level
/// inside and step, both with a slope across the picture, and the optical blur.
struct Rim;

/// Number of the optical blur.
const BLUR: usize = 11;

/// PlanePoint of a pixel in the frame of the light, and the step there.
fn lit(x: &[f64], p: &Pixel) -> ([f64; 2], f64) {
    let scale = x[2];
    let (u, v) = ((p[0] - x[0]) / scale, (p[1] - x[1]) / scale);
    ([u, v], x[8] + x[9] * u + x[10] * v)
}

impl Step for Rim {
    const BLUR: usize = BLUR;

    fn levels(&self, x: &[f64], pixels: &[Pixel]) -> Option<Vec<f64>> {
        let rim = shape(x);
        if rim.half_axes[1].is_nan() || rim.half_axes[1] <= 1.0 {
            return None;
        }
        let off = rim.distances();
        let (blur, _) = spread(x[BLUR]);
        let levels = pixels.iter().map(|p| {
            let ([u, v], step) = lit(x, p);
            let z = depth(off([p[0], p[1]]), x[2], blur);
            x[5] + x[6] * u + x[7] * v + step * phi(z)
        });
        Some(levels.collect())
    }

    /// By differences for the shape, directly for the light.
    fn slopes(&self, x: &[f64], pixels: &[Pixel]) -> DMatrix<f64> {
        const MOVE: f64 = 1e-5;
        let rim = shape(x).distances();
        let moved: [_; 5] = std::array::from_fn(|c| {
            [MOVE, -MOVE].map(|by| {
                let mut there = x.to_vec();
                there[c] += by;
                shape(&there).distances()
            })
        });
        let (blur, grows) = spread(x[BLUR]);
        let mut rows = DMatrix::zeros(pixels.len() + 1, x.len());
        for (i, p) in pixels.iter().enumerate() {
            let at = [p[0], p[1]];
            let ([u, v], step) = lit(x, p);
            let z = depth(rim(at), x[2], blur);
            let level = phi(z);
            let steep = step * (-0.5 * z * z).exp() / (std::f64::consts::TAU.sqrt() * blur);
            for (c, [above, below]) in moved.iter().enumerate() {
                rows[(i, c)] = steep * (above(at) - below(at)) / (2.0 * MOVE);
            }
            // The light's frame hangs on the shape too, but so slightly that the search does not
            // need it.
            let light = [1.0, u, v, level, level * u, level * v, -steep * z * grows];
            for (c, value) in light.into_iter().enumerate() {
                rows[(i, 5 + c)] = value;
            }
        }
        rows
    }
}

fn refined(grey: &Grey, near: Ellipse, options: &SnapOptions) -> Option<SnappedCircle> {
    let [a, b] = near.half_axes;
    let (mean, stretch) = ((a + b) / 2.0, (a - b) / 2.0);
    let (s, c) = (2.0 * near.direction_rad).sin_cos();
    let mut wide = 4.0f64.min(0.5 * b);
    let mut rim = near;
    let mut x: Option<Vec<f64>> = None;
    let mut result = None;
    for _ in 0..2 {
        let pixels = pixels(grey, &rim, wide);
        let start = x.take().unwrap_or_else(|| {
            let (inner, outer) = sides(&pixels, &rim);
            let shape = [
                near.middle[0],
                near.middle[1],
                mean,
                stretch * c,
                stretch * s,
            ];
            let light = [inner, 0.0, 0.0, outer - inner, 0.0, 0.0, USUAL_BLUR[0]];
            shape.into_iter().chain(light).collect()
        });
        let (found, sigma) = robust(&Rim, &pixels, start)?;
        wide = (2.0 + 2.5 * spread(found.parameters[BLUR]).0)
            .clamp(3.0, 10.0)
            .min(0.5 * b);
        rim = shape(&found.parameters);
        x = Some(found.parameters.clone());
        result = Some((found, sigma));
    }
    let (found, sigma) = result?;
    let x = &found.parameters;
    let moved = (rim.middle[0] - near.middle[0]).hypot(rim.middle[1] - near.middle[1])
        + (x[2] - mean).abs();
    if x[8].abs() < options.least_step
        || moved > 4.0
        || rim.half_axes[1].is_nan()
        || rim.half_axes[1] <= 2.0
    {
        return None;
    }
    let radius_uncertainty_px =
        (found.covariance()?[(2, 2)] * sigma * sigma + options.unmodelled()).sqrt();
    // Twelve points whose independent errors give the mean radius the same uncertainty.
    let u = radius_uncertainty_px * (CLICKS as f64).sqrt();
    let clicks = (0..CLICKS)
        .map(|k| {
            let [x, y] = rim.point(std::f64::consts::TAU * k as f64 / CLICKS as f64);
            Click::new(x, y, u)
        })
        .collect();
    Some(SnappedCircle {
        rim,
        clicks,
        radius_uncertainty_px,
        blur_px: spread(x[BLUR]).0,
        step: x[8],
    })
}

fn sides(pixels: &[Pixel], rim: &Ellipse) -> (f64, f64) {
    let mean = |side: f64| {
        let (mut sum, mut n) = (0.0, 0.0);
        for p in pixels
            .iter()
            .filter(|p| rim.distance([p[0], p[1]]) * side > 1.5)
        {
            sum += p[2];
            n += 1.0;
        }
        if n > 0.0 { sum / n } else { 0.0 }
    };
    (mean(-1.0), mean(1.0))
}

/// Collects the pixels near the rim; at most some thousands, evenly thinned.
fn pixels(grey: &Grey, rim: &Ellipse, wide: f64) -> Vec<Pixel> {
    // The first-order distance grows too slowly outwards, at the worst by half.
    let outer = rim.widened(2.0 * wide + 1.0);
    let inner = rim.widened(-wide - 1.0);
    let reach = outer.half_axes[0];
    let clamped = |v: f64, most: u32| v.clamp(0.0, f64::from(most)) as u32;
    let y0 = clamped((rim.middle[1] - reach).floor(), grey.height);
    let y1 = clamped((rim.middle[1] + reach).ceil(), grey.height);
    let off = rim.distances();
    let expected = 4.0 * std::f64::consts::PI * rim.half_axes[0] * wide;
    let thin = ((expected / 2500.0).ceil() as u32).max(1);
    let mut found = Vec::new();
    let mut count = 0u32;
    for y in y0..y1 {
        let down = f64::from(y) + 0.5;
        let Some([left, right]) = outer.crossed(down) else {
            continue;
        };
        let (x0, x1) = (
            clamped(left.floor(), grey.width),
            clamped(right.ceil(), grey.width),
        );
        // The plain inside is passed over.
        let hole = inner
            .crossed(down)
            .filter(|_| inner.half_axes[1] > 0.0)
            .map_or(x1..x1, |[l, r]| {
                let from = clamped(l.ceil(), grey.width).clamp(x0, x1);
                from..clamped(r.floor(), grey.width).clamp(from, x1)
            });
        for x in (x0..hole.start).chain(hole.end..x1) {
            let p = [f64::from(x) + 0.5, down];
            if off(p).abs() > wide {
                continue;
            }
            count = count.wrapping_add(1);
            if count.wrapping_mul(2_654_435_761) >> 16 & 0xffff < 0x1_0000 / thin {
                let level = grey.data[y as usize * grey.width as usize + x as usize];
                found.push([p[0], p[1], f64::from(level)]);
            }
        }
    }
    found
}
