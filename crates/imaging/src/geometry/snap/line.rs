//! The line near a rough one across which the picture changes most.
//!
//! In: a grey picture, a rough line. Out: the line on which most of the strongest changes of one
//! sign lie. Not here: the place to a fraction of a pixel (`edge.rs`).

use super::{SnapError, SnapOptions};
use crate::Grey;

/// Distance between neighbouring samples across, pixels.
const FINE: f64 = 0.5;
/// How near to the common line a line's own edge must lie to agree, pixels.
pub(super) const NEAR: f64 = 1.2;
/// Share of the lines across that must agree.
const AGREE: f64 = 0.6;

/// A change of level on one line across the edge.
#[derive(Clone, Copy)]
struct Change {
    /// Along the drag, pixels from its middle.
    s: f64,
    /// Across, pixels.
    t: f64,
    strength: f64,
}

/// A line in the picture with its middle.
#[derive(Clone, Copy)]
pub(super) struct Line {
    pub(super) middle: [f64; 2],
    pub(super) along: [f64; 2],
}

impl Line {
    /// The direction across: to the right of `along` as seen in the picture.
    pub(super) fn across(&self) -> [f64; 2] {
        [-self.along[1], self.along[0]]
    }

    pub(super) fn at(&self, s: f64, t: f64) -> [f64; 2] {
        let n = self.across();
        std::array::from_fn(|i| self.middle[i] + s * self.along[i] + t * n[i])
    }

    pub(super) fn shifted(&self, offset: f64, slope: f64) -> Self {
        let n = self.across();
        let length = slope.hypot(1.0);
        Self {
            middle: self.at(0.0, offset),
            along: std::array::from_fn(|i| (self.along[i] + slope * n[i]) / length),
        }
    }
}

/// Finds the line along the strongest changes near a rough one, over `half` pixels to either side
/// of its middle; with the share of the lines across that agree on it.
///
/// # Errors
/// [`SnapError`]: outside, no edge, not one line.
pub(super) fn find(
    grey: &Grey,
    rough: &Line,
    half: f64,
    options: &SnapOptions,
) -> Result<(Line, f64), SnapError> {
    let reach = options.reach_px.clamp(2.0, 200.0);
    let stations = (2.0 * half).clamp(8.0, 300.0) as usize;
    let mut changes = Vec::new();
    let mut inside = 0;
    for i in 0..stations {
        let s = half * (2.0 * (i as f64 + 0.5) / stations as f64 - 1.0);
        if let Some(found) = strongest(grey, rough, s, reach) {
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
    if agreement >= AGREE {
        Ok((rough.shifted(offset, slope), agreement))
    } else if agreement < 0.3 {
        Err(SnapError::NoEdge { reach })
    } else {
        Err(SnapError::NotOne {
            what: "one straight line",
        })
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
