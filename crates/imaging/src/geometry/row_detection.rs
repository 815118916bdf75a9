//! Rows of equal things along a line: ruler ticks, pins, balls.
//!
//! In: a grey picture and a line across the things. Out: the middle of each, their count, and how
//! clearly they repeat; the user only confirms. Not here: single edges (`snap`).
//!
//! The levels along the line, averaged over some pixels across, repeat with the pitch; the lag of
//! the first clear maximum of their autocorrelation is the pitch at the start. From the clearest
//! thing outwards each next one is looked for where the last spacing puts it, so that the spacing
//! may change slowly, as in perspective. The middle of a thing lies half way between its flanks at
//! half height.

use super::{Click, Measure, Reference, ReferenceKind, SnapError};
use crate::Grey;

/// A row of equal things found along a line.
#[derive(Debug, Clone, PartialEq)]
pub struct DetectedRow {
    /// The middle of each, in order along the line, with the uncertainty along it.
    pub places: Vec<Click>,
    /// Mean spacing, pixels.
    pub pitch_px: f64,
    /// Whether what was counted is darker than what lies between.
    pub dark: bool,
    /// Whether what was counted is narrower than what lies between; `None` where both are about as wide.
    pub narrow: Option<bool>,
    /// Autocorrelation at the pitch, 0 to 1: 1 where the levels repeat exactly.
    pub clearness: f64,
    /// How far the things stand from square to the line, degrees.
    pub slant_deg: f64,
}

/// How to look for a row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RowOptions {
    /// How far to either side of the line levels are averaged, pixels.
    pub half_width_px: f64,
    /// What is counted.
    pub count: Counted,
}

/// What is counted of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Counted {
    /// Things: what is narrower than what lies between, such as the marks of a ruler or pins.
    #[default]
    Things,
    /// What lies between the things.
    Gaps,
    /// What is darker.
    Dark,
    /// What is brighter.
    Bright,
}

impl Default for RowOptions {
    fn default() -> Self {
        Self {
            half_width_px: 3.0,
            count: Counted::Things,
        }
    }
}

/// Distance of the samples along the line, pixels.
const FINE: f64 = 0.25;
/// Least pitch, pixels.
const LEAST: f64 = 4.0;
/// Least autocorrelation at the pitch.
const CLEAR: f64 = 0.3;
/// Least number of things.
const FEWEST: usize = 4;
/// Uncertainty of a middle that its scatter does not show, pixels.
const FLOOR: f64 = 0.03;

/// Finds the row of equal things along the line from `from` to `to`.
///
/// # Errors
/// [`SnapError`]: too short, outside the picture, nothing that repeats.
pub fn propose_row(
    grey: &Grey,
    from: [f64; 2],
    to: [f64; 2],
    options: &RowOptions,
) -> Result<DetectedRow, SnapError> {
    let length = (to[0] - from[0]).hypot(to[1] - from[1]);
    if !(length.is_finite() && from[0].is_finite() && from[1].is_finite() && length < 1e5) {
        return Err(SnapError::Outside);
    }
    if length < LEAST * FEWEST as f64 {
        return Err(SnapError::TooShort {
            least: LEAST * FEWEST as f64,
        });
    }
    let along = [(to[0] - from[0]) / length, (to[1] - from[1]) / length];
    let line = Line {
        grey,
        from,
        along,
        count: (length / FINE) as usize + 1,
    };
    let half = options.half_width_px.clamp(0.5, 100.0);
    let not_one = SnapError::NotOne {
        what: "a row of equal things",
    };
    let levels = line.levels(-half, half).ok_or(SnapError::Outside)?;
    let (pitch, clearness) = pitch(&detrended(&levels)).ok_or_else(|| not_one.clone())?;
    let flat = smoothed(&levels, pitch);
    let skew: f64 = flat.iter().map(|v| v.powi(3)).sum();
    let narrower_dark = skew < 0.0;
    let dark = match options.count {
        Counted::Things => narrower_dark,
        Counted::Gaps => !narrower_dark,
        Counted::Dark => true,
        Counted::Bright => false,
    };
    let narrow = is_uneven(&flat, skew).then_some(dark == narrower_dark);
    let middles = middles(&flat, pitch, dark);
    if middles.len() < FEWEST {
        return Err(not_one);
    }
    let scatter = scatter(&middles);
    // A wrong period or a mixed row scatters.
    if scatter > 0.12 * pitch {
        return Err(not_one);
    }
    let u = (scatter * FINE).max(FLOOR);
    let places = middles
        .iter()
        .map(|m| {
            let at = [0, 1].map(|c: usize| from[c] + m * FINE * along[c]);
            Click::new(at[0], at[1], u)
        })
        .collect();
    let spacing = (middles[middles.len() - 1] - middles[0]) / (middles.len() - 1) as f64;
    Ok(DetectedRow {
        places,
        pitch_px: spacing * FINE,
        dark,
        narrow,
        clearness,
        slant_deg: line.slant_deg(half, pitch, dark, &middles),
    })
}

impl DetectedRow {
    /// Makes a ruler of the row whose things stand `spacing_mm` apart. What a slanting line makes
    /// of the spacing is counted as uncertainty of the scale.
    pub fn ruler(&self, name: &str, spacing_mm: f64) -> Reference {
        let marks = self.places.iter().enumerate();
        let cos = self.slant_deg.to_radians().cos();
        Reference {
            name: name.into(),
            kind: ReferenceKind::Ruler {
                marks: marks.map(|(i, c)| (*c, i as f64 * spacing_mm)).collect(),
                scale_uncertainty: (1.0 - cos).max(0.0) / 3f64.sqrt(),
            },
        }
    }

    /// Returns the measure that gives the pitch of the row's places.
    pub fn pitch(&self) -> Measure {
        Measure::pitch_of_all(self.places.len())
    }
}

struct Line<'a> {
    grey: &'a Grey,
    from: [f64; 2],
    along: [f64; 2],
    count: usize,
}

impl Line<'_> {
    /// Levels along the line, averaged from `low` to `high` across it.
    fn levels(&self, low: f64, high: f64) -> Option<Vec<f64>> {
        let lanes = ((high - low).ceil() as usize).max(1);
        (0..self.count)
            .map(|i| {
                let s = i as f64 * FINE;
                let mut sum = 0.0;
                for lane in 0..lanes {
                    let t = low + (high - low) * (lane as f64 + 0.5) / lanes as f64;
                    let x = self.from[0] + s * self.along[0] - t * self.along[1];
                    let y = self.from[1] + s * self.along[1] + t * self.along[0];
                    sum += self.grey.at(x, y)?;
                }
                Some(sum / lanes as f64)
            })
            .collect()
    }

    /// Compares the two halves of the band: things that slant are shifted between them.
    fn slant_deg(&self, half: f64, pitch: f64, dark: bool, middles: &[f64]) -> f64 {
        let places = |low: f64, high: f64| {
            let flat = smoothed(&self.levels(low, high)?, pitch);
            let shifts: Vec<f64> = middles
                .iter()
                .filter_map(|m| middle_near(&flat, *m, pitch, dark).map(|(found, _)| found - m))
                .collect();
            let n = shifts.len();
            (n * 2 > middles.len()).then(|| shifts.iter().sum::<f64>() / n as f64)
        };
        match (places(-half, 0.0), places(0.0, half)) {
            (Some(a), Some(b)) => ((b - a) * FINE / half).atan().to_degrees(),
            _ => 0.0,
        }
    }
}

/// Takes off the straight line through the levels.
fn detrended(levels: &[f64]) -> Vec<f64> {
    let n = levels.len() as f64;
    let middle = (n - 1.0) / 2.0;
    let mean = levels.iter().sum::<f64>() / n;
    let (mut st, mut ss) = (0.0, 0.0);
    for (i, v) in levels.iter().enumerate() {
        let s = i as f64 - middle;
        st += s * v;
        ss += s * s;
    }
    let slope = st / ss.max(1.0);
    let off = |(i, v): (usize, &f64)| v - mean - slope * (i as f64 - middle);
    levels.iter().enumerate().map(off).collect()
}

/// The pitch in samples and the autocorrelation there: the first maximum nearly as high as any.
fn pitch(x: &[f64]) -> Option<(f64, f64)> {
    let whole = x.iter().map(|v| v * v).sum::<f64>() / x.len() as f64;
    if whole.is_nan() || whole <= 0.5 {
        return None;
    }
    let most = x.len() / (FEWEST - 1);
    let least = (LEAST / FINE) as usize;
    let correlation: Vec<f64> = (0..=most + 1)
        .map(|lag| {
            let pairs = x.iter().zip(&x[lag.min(x.len())..]);
            let n = x.len().saturating_sub(lag).max(1) as f64;
            pairs.map(|(a, b)| a * b).sum::<f64>() / n / whole
        })
        .collect();
    let maxima: Vec<usize> = (least.max(1)..most)
        .filter(|&k| {
            correlation[k] >= correlation[k - 1]
                && correlation[k] > correlation[k + 1]
                && correlation[k] > CLEAR
        })
        .collect();
    let best = maxima.iter().map(|&k| correlation[k]).fold(0.0, f64::max);
    let first = maxima.into_iter().find(|&k| correlation[k] > 0.75 * best)?;
    Some((first as f64, correlation[first].min(1.0)))
}

/// Takes off the mean over one pitch, so that slow changes of the light do not count.
fn smoothed(levels: &[f64], pitch: f64) -> Vec<f64> {
    let half = (pitch / 2.0).round().max(1.0) as usize;
    let mut sums = vec![0.0];
    for v in levels {
        sums.push(sums[sums.len() - 1] + v);
    }
    (0..levels.len())
        .map(|i| {
            let (low, high) = (i.saturating_sub(half), (i + half + 1).min(levels.len()));
            levels[i] - (sums[high] - sums[low]) / (high - low) as f64
        })
        .collect()
}

/// Skewness of the levels below which things and gaps count as equally wide.
const EVEN: f64 = 0.15;

/// Whether dark and bright differ in width, by the third moment of the levels over the second.
fn is_uneven(flat: &[f64], cubes: f64) -> bool {
    let n = flat.len() as f64;
    let variance = flat.iter().map(|v| v * v).sum::<f64>() / n;
    (cubes / n).abs() > EVEN * variance.powf(1.5)
}

/// The middle of the thing near a place, and its height, or `None` where there is none.
fn middle_near(flat: &[f64], near: f64, pitch: f64, dark: bool) -> Option<(f64, f64)> {
    let sign = if dark { -1.0 } else { 1.0 };
    let value = |i: usize| sign * flat[i];
    let window = |reach: f64| {
        let low = (near - reach * pitch).ceil();
        let high = (near + reach * pitch).floor();
        (low >= 0.0 && high < flat.len() as f64).then_some(low as usize..=high as usize)
    };
    let top = window(0.3)?.max_by(|a, b| value(*a).total_cmp(&value(*b)))?;
    let peak = value(top);
    let left_end = top.saturating_sub((0.6 * pitch) as usize);
    let right_end = (top + (0.6 * pitch) as usize).min(flat.len() - 1);
    let base = (left_end..=right_end)
        .map(value)
        .fold(f64::INFINITY, f64::min);
    let level = (peak + base) / 2.0;
    let crossing = |inner: usize, outer: usize| {
        let (a, b) = (value(inner), value(outer));
        let share = (a - level) / (a - b);
        inner as f64 + (outer as f64 - inner as f64) * share
    };
    let left = (left_end..top).rev().find(|&i| value(i) < level)?;
    let right = (top + 1..=right_end).find(|&i| value(i) < level)?;
    let found = (crossing(left + 1, left) + crossing(right - 1, right)) / 2.0;
    Some((found, peak - base))
}

fn middles(flat: &[f64], pitch: f64, dark: bool) -> Vec<f64> {
    // Start with the clearest thing of the middle third.
    let third = flat.len() / 3;
    let steps = (third as f64 / pitch).ceil() as usize;
    let start = (0..=steps)
        .filter_map(|i| middle_near(flat, third as f64 + i as f64 * pitch, pitch, dark))
        .chain((0..=steps).filter_map(|i| {
            middle_near(flat, third as f64 + (i as f64 + 0.5) * pitch, pitch, dark)
        }))
        .max_by(|a, b| a.1.total_cmp(&b.1));
    let Some((start, height)) = start else {
        return Vec::new();
    };
    let mut found = vec![start];
    for way in [1.0, -1.0] {
        let (mut last, mut spacing) = (start, pitch);
        while let Some((next, size)) = middle_near(flat, last + way * spacing, spacing, dark) {
            let step = (next - last) * way;
            if size < 0.35 * height || (step / spacing - 1.0).abs() > 0.25 {
                break;
            }
            found.push(next);
            spacing += 0.3 * (step - spacing);
            last = next;
        }
    }
    found.sort_by(f64::total_cmp);
    found
}

/// Standard deviation of the places about a second-degree curve in their number, which follows
/// the change of the spacing in perspective.
fn scatter(places: &[f64]) -> f64 {
    let n = places.len();
    let degree = if n > 5 { 3 } else { 2 };
    let rows = nalgebra::DMatrix::from_fn(n, degree, |i, c| {
        (2.0 * i as f64 / (n - 1) as f64 - 1.0).powi(c as i32)
    });
    let right = nalgebra::DVector::from_column_slice(places);
    let Ok(fit) = rows.clone().svd(true, true).solve(&right, 1e-12) else {
        return f64::INFINITY;
    };
    ((right - rows * fit).norm_squared() / (n - degree) as f64).sqrt()
}
