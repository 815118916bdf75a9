//! Snapping to a straight edge.

use super::{FIRST_NOISE, LEAST_STEP, SnapError, SnapOptions, USUAL_BLUR, phi, spread};
use crate::Grey;
use crate::geometry::least_squares::{Fit, search};
use nalgebra::{DMatrix, DVector};

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
/// Share of the lines across that must agree.
const AGREE: f64 = 0.6;
/// Distance between neighbouring samples across, pixels.
const FINE: f64 = 0.5;
/// How near to the common line a line's own edge must lie to agree, pixels.
const NEAR: f64 = 1.2;

/// A change of level on one line across the edge.
#[derive(Clone, Copy)]
struct Change {
    /// Along the drag, pixels from its middle.
    s: f64,
    /// Across, pixels.
    t: f64,
    strength: f64,
}

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
    let reach = options.reach_px.clamp(2.0, 200.0);
    let line = Line {
        middle: [(from[0] + to[0]) / 2.0, (from[1] + to[1]) / 2.0],
        along: [(to[0] - from[0]) / length, (to[1] - from[1]) / length],
    };
    let half = length * (0.5 - END);
    let stations = (2.0 * half).clamp(8.0, 300.0) as usize;
    let mut changes = Vec::new();
    let mut inside = 0;
    for i in 0..stations {
        let s = half * (2.0 * (i as f64 + 0.5) / stations as f64 - 1.0);
        if let Some(found) = strongest(grey, &line, s, reach) {
            inside += 1;
            changes.extend(
                found
                    .into_iter()
                    .filter(|c| c.strength.abs() * 2.5 >= options.least_step),
            );
        }
    }
    if inside * 10 < stations * 8 {
        return Err(SnapError::Outside);
    }
    let (offset, slope, agree) = common_line(&changes, half).ok_or(SnapError::NoEdge { reach })?;
    let agreement = agree as f64 / stations as f64;
    if agreement < AGREE {
        return Err(if agreement < 0.3 {
            SnapError::NoEdge { reach }
        } else {
            SnapError::NotOne {
                what: "one straight line",
            }
        });
    }
    let near = line.shifted(offset, slope);
    refined(grey, &near, half, agreement, options)
}

/// A line in the picture with its middle.
#[derive(Clone, Copy)]
struct Line {
    middle: [f64; 2],
    along: [f64; 2],
}

impl Line {
    /// The direction across: to the right of `along` as seen in the picture.
    fn across(&self) -> [f64; 2] {
        [-self.along[1], self.along[0]]
    }

    fn at(&self, s: f64, t: f64) -> [f64; 2] {
        let n = self.across();
        std::array::from_fn(|i| self.middle[i] + s * self.along[i] + t * n[i])
    }

    fn shifted(&self, offset: f64, slope: f64) -> Self {
        let n = self.across();
        let length = slope.hypot(1.0);
        Self {
            middle: self.at(0.0, offset),
            along: std::array::from_fn(|i| (self.along[i] + slope * n[i]) / length),
        }
    }
}

/// The three strongest changes across the line at `s`, or `None` outside the picture.
fn strongest(grey: &Grey, line: &Line, s: f64, reach: f64) -> Option<Vec<Change>> {
    let count = (2.0 * (reach + 2.0) / FINE) as usize + 1;
    let levels: Vec<f64> = (0..count)
        .map(|i| {
            let [x, y] = line.at(s, i as f64 * FINE - reach - 2.0);
            grey.at(x, y)
        })
        .collect::<Option<_>>()?;
    // Difference of the means of two pixels on either side.
    let wide = (2.0 / FINE) as usize;
    let slope: Vec<f64> = (wide..count - wide)
        .map(|i| {
            let after: f64 = levels[i + 1..=i + wide].iter().sum();
            let before: f64 = levels[i - wide..i].iter().sum();
            (after - before) / wide as f64
        })
        .collect();
    let mut peaks: Vec<Change> = (1..slope.len().saturating_sub(1))
        .filter(|&i| {
            let here = slope[i].abs();
            here >= slope[i - 1].abs() && here > slope[i + 1].abs()
        })
        .map(|i| Change {
            s,
            t: (i + wide) as f64 * FINE - reach - 2.0,
            strength: slope[i],
        })
        .collect();
    peaks.sort_by(|a, b| b.strength.abs().total_cmp(&a.strength.abs()));
    peaks.truncate(3);
    Some(peaks)
}

/// The line `t = offset + slope × s` on which the strongest changes of one sign lie, and how many
/// stations agree.
fn common_line(changes: &[Change], half: f64) -> Option<(f64, f64, usize)> {
    let score = |offset: f64, slope: f64, sign: f64| {
        let (mut sum, mut agree, mut last) = (0.0, 0, f64::NAN);
        for c in changes {
            let near = (c.t - offset - slope * c.s).abs() < NEAR;
            if near && c.strength * sign > 0.0 && c.s != last {
                // The square root keeps one bright spot from outvoting a long faint edge.
                sum += c.strength.abs().sqrt();
                agree += 1;
                last = c.s;
            }
        }
        (sum, agree)
    };
    let mut best: Option<(f64, f64, f64, f64, usize)> = None;
    let left: Vec<&Change> = changes.iter().filter(|c| c.s < -0.3 * half).collect();
    let right: Vec<&Change> = changes.iter().filter(|c| c.s > 0.3 * half).collect();
    let thin = |v: &[&Change]| (v.len() / 24).max(1);
    for a in left.iter().step_by(thin(&left)) {
        for b in right.iter().step_by(thin(&right)) {
            if a.strength * b.strength <= 0.0 {
                continue;
            }
            let slope = (b.t - a.t) / (b.s - a.s);
            let offset = a.t - slope * a.s;
            let sign = a.strength.signum();
            let (sum, agree) = score(offset, slope, sign);
            if best.is_none_or(|(s, ..)| sum > s) {
                best = Some((sum, offset, slope, sign, agree));
            }
        }
    }
    let (_, mut offset, mut slope, sign, mut agree) = best?;
    for _ in 0..3 {
        let near: Vec<&Change> = changes
            .iter()
            .filter(|c| c.strength * sign > 0.0 && (c.t - offset - slope * c.s).abs() < NEAR)
            .collect();
        let n = near.len() as f64;
        let (ms, mt) = (
            near.iter().map(|c| c.s).sum::<f64>() / n,
            near.iter().map(|c| c.t).sum::<f64>() / n,
        );
        let ss: f64 = near.iter().map(|c| (c.s - ms).powi(2)).sum();
        let st: f64 = near.iter().map(|c| (c.s - ms) * (c.t - mt)).sum();
        if ss.is_nan() || ss <= 0.0 {
            break;
        }
        slope = st / ss;
        offset = mt - slope * ms;
        agree = score(offset, slope, sign).1;
    }
    Some((offset, slope, agree))
}

/// One pixel near the edge: along, across, level.
type Pixel = [f64; 3];

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
        let offset = start.as_ref().map_or(0.0, |x| x[5]);
        let pixels = pixels(grey, line, half, offset, wide);
        if pixels.len() < 40 {
            return Err(SnapError::Outside);
        }
        let x = start.take().unwrap_or_else(|| first_guess(&pixels));
        let (found, sigma) = robust(&pixels, half, x).ok_or_else(refuse)?;
        wide = (2.0 + 2.5 * spread(found.parameters[4]).0).clamp(3.0, 12.0);
        start = Some(found.parameters.clone());
        result = Some((found, sigma));
    }
    let (found, sigma) = result.ok_or_else(refuse)?;
    let x = &found.parameters;
    let moved = x[5].abs() + x[6].abs();
    if x[2].abs() < options.least_step || moved > 3.0 + NEAR || x[4].abs() > 10.0 {
        return Err(refuse());
    }
    let matrix = found.covariance().ok_or_else(refuse)?;
    let covariance = |a: usize, b: usize| matrix[(a, b)] * sigma * sigma;
    // The parameter of the turn is the shift at the end of the edge.
    let turned = line.shifted(x[5], x[6] / half);
    Ok(SnappedEdge {
        middle: turned.middle,
        along: turned.along,
        covariance: [
            covariance(5, 5) + options.unmodelled(),
            covariance(5, 6) / half,
            (covariance(6, 6) + options.unmodelled()) / (half * half),
        ],
        blur_px: spread(x[4]).0,
        step: x[2],
        agreement,
    })
}

/// Levels on both sides, their change along, optical blur, shift, turn.
fn model(x: &[f64], half: f64, p: &Pixel) -> f64 {
    let share = p[0] / half;
    let (blur, _) = spread(x[4]);
    let z = (p[1] - x[5] - x[6] * share) / blur;
    x[0] + x[1] * share + (x[2] + x[3] * share) * phi(z)
}

/// Derivatives of the model with respect to its parameters, and of the usual blur's row.
fn slopes(x: &[f64], half: f64, pixels: &[Pixel], noise: f64) -> DMatrix<f64> {
    let mut rows = DMatrix::zeros(pixels.len() + 1, x.len());
    rows[(pixels.len(), 4)] = noise / USUAL_BLUR[1];
    let (blur, grows) = spread(x[4]);
    for (i, p) in pixels.iter().enumerate() {
        let share = p[0] / half;
        let z = (p[1] - x[5] - x[6] * share) / blur;
        let level = phi(z);
        let density = (-0.5 * z * z).exp() / std::f64::consts::TAU.sqrt();
        let shift = -(x[2] + x[3] * share) * density / blur;
        let row = [
            1.0,
            share,
            level,
            share * level,
            shift * z * grows,
            shift,
            shift * share,
        ];
        for (c, v) in row.into_iter().enumerate() {
            rows[(i, c)] = v;
        }
    }
    rows
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
    vec![before, 0.0, after - before, 0.0, USUAL_BLUR[0], 0.0, 0.0]
}

/// Fits twice, leaving out what lies far off the first fit; with the level's standard deviation.
fn robust(pixels: &[Pixel], half: f64, start: Vec<f64>) -> Option<(Fit, f64)> {
    let mut used: Vec<Pixel> = pixels.to_vec();
    let mut x = start;
    let mut sigma = FIRST_NOISE;
    for round in 0..3 {
        // Residuals are in levels, so the doubt of the usual blur is put in levels too.
        let residuals = |x: &[f64]| {
            let usual = sigma * (x[4] - USUAL_BLUR[0]) / USUAL_BLUR[1];
            let rows = used.iter().map(|p| model(x, half, p) - p[2]);
            Some(DVector::from_iterator(
                used.len() + 1,
                rows.chain(std::iter::once(usual)),
            ))
        };
        let found = search(
            x,
            &residuals,
            &|x, _| Some(slopes(x, half, &used, sigma)),
            LEAST_STEP,
        )?;
        let free = used.len().checked_sub(6).filter(|n| *n > 0)? as f64;
        sigma = (found.chi_square() / free).sqrt().max(0.3);
        if round == 2 {
            return Some((found, sigma));
        }
        x = found.parameters;
        let kept: Vec<Pixel> = pixels
            .iter()
            .filter(|p| (model(&x, half, p) - p[2]).abs() < 4.0 * sigma)
            .copied()
            .collect();
        if kept.len() * 2 < pixels.len() {
            return None;
        }
        used = kept;
    }
    None
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
