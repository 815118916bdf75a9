//! The place of an edge to a fraction of a pixel.
//!
//! In: a picture, an edge found near a course. Out: its place piece by piece, the curve through the pieces with
//! its covariance, blur and levels. Not here: which edge (`choice.rs`).
//!
//! Each piece is a profile across the edge: pixels in linear light, in the mix of channels in which the two
//! sides differ most against noise, sorted by their distance. A sum of blurred steps is fitted to it: the edge,
//! and whatever changes beside it. What the pieces scatter about one curve is the uncertainty of that curve.

use super::candidates::{Candidate, Expected};
use super::course::{Course, Curve};
use super::steps::{Held, Sample, Steps, fit, light_at};
use super::strip::{changes, size};
use super::{USUAL_BLUR, spread};
use crate::Light;
use nalgebra::{DMatrix, DVector};

/// Width of a bin across the edge, pixels.
const BIN: f64 = 0.25;
/// Standard deviation of a level of one pixel before the fit tells it.
const NOISE: f64 = 2.0;
/// Weight of differences in colour against those in brightness: colours are coded at half resolution.
const COLOUR: f64 = 0.1;
/// How near the shift of all pixels together must be to that of the pieces, pixels, to be the better one.
const UNDISTURBED: f64 = 0.05;
/// How far the square of a pixel, taken as a normal law, moves an edge along the pixels, pixels: Edgeworth's
/// series at a blur of 0.4.
const SQUARE: f64 = 0.004;
/// Fewest samples that an edge is fitted to.
const FEWEST: usize = 5;
/// Most changes beside an edge that are fitted with it.
const BESIDE: usize = 3;

/// An edge placed.
#[derive(Debug, Clone)]
pub(super) struct Placed {
    pub(super) curve: Curve,
    /// Of the shapes, pixels².
    pub(super) covariance: DMatrix<f64>,
    /// Optical blur, pixels.
    pub(super) blur: f64,
    /// Share of the pieces that agree.
    pub(super) agreement: f64,
    /// Where the true edge lies, in pixels outwards or to the right, for each unit by which the exponent of
    /// the tone curve is wrong.
    pub(super) by_tone: f64,
}

/// Sums of a bin.
#[derive(Clone, Copy, Default)]
struct Bin {
    n: f64,
    t: f64,
    levels: [f64; 3],
    light: [f64; 3],
}

/// Places an edge.
pub(super) fn place(
    light: &Light<'_>,
    course: &Course,
    candidate: &Candidate,
    expected: &Expected,
) -> Option<Placed> {
    let mut curve = candidate.curve;
    let mut wide = (2.5 + 2.5 * candidate.blur).clamp(4.0, 12.0);
    let mut placed = None;
    // The second round is straightened along what the first has found.
    for _ in 0..2 {
        let found = round(light, course, &curve, candidate, expected, wide)?;
        wide = (2.0 + 2.5 * spread(found.blur).0).clamp(3.0, 12.0);
        curve = found.curve;
        placed = Some(found);
    }
    placed
}

fn round(
    light: &Light<'_>,
    course: &Course,
    curve: &Curve,
    candidate: &Candidate,
    expected: &Expected,
    wide: f64,
) -> Option<Placed> {
    let pieces = pieces(course);
    let bins = (2.0 * wide / BIN).ceil() as usize;
    let mut all = vec![vec![Bin::default(); bins]; pieces];
    course.pixels(light, curve, wide, |u, t, rgb| {
        let piece = ((u + 1.0) / 2.0 * pieces as f64) as usize;
        let bin = ((t + wide) / BIN) as usize;
        if let Some(b) = all
            .get_mut(piece.min(pieces - 1))
            .and_then(|p| p.get_mut(bin))
        {
            b.n += 1.0;
            b.t += t;
            for (c, level) in rgb.into_iter().enumerate() {
                b.levels[c] += f64::from(level);
                b.light[c] += light.curve.light(level);
            }
        }
    });
    let mut whole = vec![Bin::default(); bins];
    for piece in &all {
        for (sum, b) in whole.iter_mut().zip(piece) {
            sum.n += b.n;
            sum.t += b.t;
            for c in 0..3 {
                sum.levels[c] += b.levels[c];
                sum.light[c] += b.light[c];
            }
        }
    }
    let mix = mix(light, candidate, &whole);
    let usual = (USUAL_BLUR[0], USUAL_BLUR[1]);
    let pooled = fitted(
        &samples(light, &mix, &whole),
        &neighbours(&whole, wide),
        usual,
    )?;
    // One piece tells less of the blur than all together; they differ a little along the edge.
    let blur = (pooled.blur, (0.15 * pooled.blur).max(0.1));
    let mut points = Vec::with_capacity(pieces);
    for (i, piece) in all.iter().enumerate() {
        let u = (2.0 * i as f64 + 1.0) / pieces as f64 - 1.0;
        let samples = samples(light, &mix, piece);
        if let Some(step) = fitted(&samples, &neighbours(piece, wide), blur)
            && step.height * pooled.height > 0.0
            && step.at.abs() < 2.5
        {
            points.push((u, step.at, step.variance));
        }
    }
    let (mut offsets, mut covariance, agreed) = curve_through(course, &points, expected)?;
    // All pixels together tell the shift best, unless something disturbs single pieces.
    if (pooled.at - offsets[0]).abs() < UNDISTURBED {
        offsets[0] = pooled.at;
    }
    // Pieces share the blur, and where an edge runs along the pixels its place hangs on that.
    covariance[(0, 0)] = covariance[(0, 0)].max(pooled.variance);
    if is_along_the_pixels(&whole) {
        covariance[(0, 0)] += SQUARE * SQUARE;
    }
    let mut moved = *curve;
    for (k, by) in offsets.iter().enumerate() {
        moved[k] += by;
    }
    Some(Placed {
        curve: moved,
        covariance,
        blur: pooled.blur,
        agreement: agreed as f64 / pieces as f64,
        by_tone: by_tone(light, &mix, &whole, &pooled),
    })
}

fn pieces(course: &Course) -> usize {
    let least = match course {
        Course::Line(_) => 6.0,
        Course::Rim(_) => 16.0,
    };
    (course.length() / 12.0).clamp(least, 36.0) as usize
}

/// Weights of the channels in linear light: the direction of the step in brightness and colour, each over its
/// noise.
fn mix(light: &Light<'_>, candidate: &Candidate, whole: &[Bin]) -> [f64; 3] {
    let [r, g, b] = candidate.step;
    let y = 0.299 * r + 0.587 * g + 0.114 * b;
    let (cb, cr) = (0.564 * (b - y), 0.713 * (r - y));
    let (cb, cr) = (cb * COLOUR, cr * COLOUR);
    // Derivatives of y·Y + cb·Cb + cr·Cr by the levels.
    let by_level = [
        0.299 * y - 0.169 * cb + 0.5 * cr,
        0.587 * y - 0.331 * cb - 0.419 * cr,
        0.114 * y + 0.5 * cb - 0.081 * cr,
    ];
    let n: f64 = whole.iter().map(|b| b.n).sum();
    let mut weights = [0.0; 3];
    for c in 0..3 {
        let mean = whole.iter().map(|b| b.levels[c]).sum::<f64>() / n.max(1.0);
        weights[c] = by_level[c] / light.curve.slope(mean).max(1e-4);
    }
    let length = weights.iter().map(|w| w * w).sum::<f64>().sqrt().max(1e-12);
    weights.map(|w| w / length)
}

fn samples(light: &Light<'_>, mix: &[f64; 3], bins: &[Bin]) -> Vec<Sample> {
    let filled = bins.iter().filter(|b| b.n > 0.0);
    filled
        .map(|b| {
            let (mut value, mut variance) = (0.0, 0.0);
            for (c, part) in mix.iter().enumerate() {
                value += part * b.light[c] / b.n;
                variance += (part * NOISE * light.curve.slope(b.levels[c] / b.n)).powi(2);
            }
            let weight = (b.n / variance.max(1e-12)).sqrt();
            Sample {
                t: b.t / b.n,
                value: value * weight,
                weight,
            }
        })
        .collect()
}

/// A change beside the edge: place, and blur as levels show it.
struct Beside {
    t: f64,
}

/// Changes beside the edge in a profile, the strongest first.
fn neighbours(bins: &[Bin], wide: f64) -> Vec<Beside> {
    const FINE: f64 = super::strip::FINE;
    let count = (2.0 * wide / FINE) as usize;
    let mut mean = Vec::with_capacity(count);
    for k in 0..count {
        let (mut n, mut sum) = (0.0, [0.0; 3]);
        // A pixel's width about the place, so that edges along the pixels leave no gap.
        let low = (2 * k).saturating_sub(1);
        for b in bins.iter().skip(low).take(4) {
            n += b.n;
            for (sum, level) in sum.iter_mut().zip(b.levels) {
                *sum += level;
            }
        }
        if n == 0.0 {
            return Vec::new();
        }
        mean.push(sum.map(|v| v / n));
    }
    let found = changes(&mean, 0.5 * FINE - wide);
    let own = found
        .iter()
        .filter(|c| c.t.abs() < 1.2)
        .map(|c| size(c.by))
        .fold(0.0, f64::max);
    // Along the pixels a sharp edge has steps of its own.
    let least = if is_along_the_pixels(bins) { 0.3 } else { 0.1 };
    found
        .iter()
        .filter(|c| c.t.abs() >= 1.5 && size(c.by) > (least * own).max(3.0))
        .take(BESIDE)
        .map(|c| Beside { t: c.t })
        .collect()
}

/// Whether an edge runs along the pixels, so that only few distances from it are seen.
fn is_along_the_pixels(bins: &[Bin]) -> bool {
    2 * bins.iter().filter(|b| b.n == 0.0).count() > bins.len()
}

/// A step fitted to a profile.
struct Fitted {
    at: f64,
    variance: f64,
    height: f64,
    blur: f64,
}

/// Parameters: level before, then for each step height, place, optical blur.
fn fitted(samples: &[Sample], beside: &[Beside], blur: (f64, f64)) -> Option<Fitted> {
    if samples.len() < FEWEST {
        return None;
    }
    let value = |s: &Sample| s.value / s.weight;
    let mean_of = |near: &dyn Fn(f64) -> bool| {
        let (mut n, mut sum) = (0.0, 0.0);
        for s in samples.iter().filter(|s| near(s.t)) {
            n += 1.0;
            sum += value(s);
        }
        (n > 0.0).then(|| sum / n)
    };
    // Levels between the steps, in order, are the start.
    let mut places: Vec<f64> = beside.iter().map(|b| b.t).collect();
    places.push(0.0);
    places.sort_by(f64::total_cmp);
    let level = |k: usize| {
        let low = if k == 0 {
            f64::NEG_INFINITY
        } else {
            places[k - 1]
        };
        let high = places.get(k).copied().unwrap_or(f64::INFINITY);
        let middle = |t: f64| t > low + 0.6 && t < high - 0.6;
        let loose = |t: f64| t >= low && t <= high;
        mean_of(&middle).or_else(|| mean_of(&loose))
    };
    let levels: Vec<f64> = (0..=places.len())
        .map(|k| level(k).unwrap_or(0.0))
        .collect();
    let height = |t: f64| {
        let k = places.iter().position(|p| *p == t).unwrap_or(0);
        levels[k + 1] - levels[k]
    };
    let mut start = vec![levels[0], height(0.0), 0.0, blur.0];
    for b in beside {
        start.extend([height(b.t), b.t, blur.0.max(USUAL_BLUR[0])]);
    }
    let hold = |at, to, within| Held { at, to, within };
    let mut held = vec![hold(3, blur.0, blur.1), hold(2, 0.0, 1.5)];
    for (i, b) in beside.iter().enumerate() {
        let at = 4 + 3 * i;
        let usual = blur.0.max(USUAL_BLUR[0]);
        held.extend([hold(at + 1, b.t, 0.6), hold(at + 2, usual, 0.7)]);
    }
    match beside.len() {
        0 => settled::<4>(samples, &start, &held),
        1 => settled::<7>(samples, &start, &held),
        2 => settled::<10>(samples, &start, &held),
        _ => settled::<13>(samples, &start, &held),
    }
}

/// Fits twice: the second time without the samples that lie far off, and held as firmly as the residuals tell.
fn settled<const N: usize>(samples: &[Sample], start: &[f64], held: &[Held]) -> Option<Fitted> {
    let start: [f64; N] = start.try_into().ok()?;
    let spread_of = |found: &Steps<N>, rows: usize| {
        let free = (rows as f64 - N as f64).max(1.0);
        (found.square / free).sqrt().max(0.15)
    };
    let first = fit(samples, start, held, 1.0)?;
    let sigma = spread_of(&first, samples.len());
    let near =
        |s: &&Sample| (light_at(&first.parameters, s.t) * s.weight - s.value).abs() < 4.0 * sigma;
    let used: Vec<Sample> = samples.iter().filter(near).copied().collect();
    if used.len() < FEWEST {
        return None;
    }
    let found = fit(&used, first.parameters, held, sigma)?;
    let sigma = spread_of(&found, used.len());
    let variance = found.variance(2)? * sigma * sigma;
    let [_, height, at, blur, ..] = found.parameters[..] else {
        return None;
    };
    (variance > 0.0).then_some(Fitted {
        at,
        variance,
        height,
        blur: blur.abs(),
    })
}

/// The curve through the places of the pieces, those far off left out: shapes, covariance, how many agree.
fn curve_through(
    course: &Course,
    points: &[(f64, f64, f64)],
    expected: &Expected,
) -> Option<(Vec<f64>, DMatrix<f64>, usize)> {
    let n = course.shape_count();
    if points.len() < n + 2 {
        return None;
    }
    let mut extra = 0.0;
    let mut x = vec![0.0; n];
    let mut used: Vec<bool> = vec![true; points.len()];
    let mut covariance = DMatrix::zeros(n, n);
    let beside = |x: &[f64], u: f64| {
        let shapes = course.shapes(u);
        x.iter().zip(shapes).map(|(a, b)| a * b).sum::<f64>()
    };
    for _ in 0..6 {
        let mut normal = DMatrix::zeros(n, n);
        let mut right = DVector::zeros(n);
        for ((u, t, variance), _) in points.iter().zip(&used).filter(|(_, u)| **u) {
            let shapes = course.shapes(*u);
            let weight = 1.0 / (variance + extra);
            for r in 0..n {
                for c in 0..n {
                    normal[(r, c)] += weight * shapes[r] * shapes[c];
                }
                right[r] += weight * shapes[r] * t;
            }
        }
        for k in 1..n {
            normal[(k, k)] += (10.0 * expected[k]).powi(-2);
        }
        let root = normal.cholesky()?;
        let solved = root.solve(&right);
        covariance = root.inverse();
        x = solved.iter().copied().collect();
        let off: Vec<f64> = points.iter().map(|(u, t, _)| t - beside(&x, *u)).collect();
        let mut sorted: Vec<f64> = off.iter().map(|v| v.abs()).collect();
        sorted.sort_by(f64::total_cmp);
        let typical = 1.4826 * sorted[sorted.len() / 2];
        for ((is_used, off), (_, _, variance)) in used.iter_mut().zip(&off).zip(points) {
            *is_used = off.abs() < (3.5 * typical).max(3.0 * variance.sqrt()).max(0.02);
        }
        extra = scatter(points, &off, &used, n);
    }
    let agreed = used.iter().filter(|u| **u).count();
    (agreed >= n + 2).then_some((x, covariance, agreed))
}

/// Variance beyond that of each piece with which the residuals are as wide as they are, pixels².
fn scatter(points: &[(f64, f64, f64)], off: &[f64], used: &[bool], n: usize) -> f64 {
    let rows: Vec<(f64, f64)> = points
        .iter()
        .zip(off)
        .zip(used)
        .filter(|(_, used)| **used)
        .map(|(((_, _, variance), off), _)| (off * off, *variance))
        .collect();
    let free = rows.len() as f64 - n as f64;
    let excess = |extra: f64| rows.iter().map(|(s, v)| s / (v + extra)).sum::<f64>() - free;
    if free <= 0.0 || excess(0.0) <= 0.0 {
        return 0.0;
    }
    let (mut low, mut high) = (0.0, 4.0);
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        if excess(middle) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}

/// How far the true edge lies from the one fitted for a unit of wrong exponent in the tone curve.
///
/// With a and b the light on both sides and M their mean, a power mean of exponent 1 + δ differs from M by
/// δ·((a ln a + b ln b)/2 − M ln M), which the slope (b − a)/(σ√2π) turns into pixels.
fn by_tone(light: &Light<'_>, mix: &[f64; 3], whole: &[Bin], step: &Fitted) -> f64 {
    let side = |outer: bool| {
        let mut sum = Bin::default();
        for b in whole.iter().filter(|b| b.n > 0.0) {
            let t = b.t / b.n - step.at;
            let z = t / spread(step.blur).0;
            let near = if outer { z > 1.3 } else { z < -1.3 };
            if near && z.abs() < 3.5 {
                sum.n += b.n;
                for c in 0..3 {
                    sum.light[c] += b.light[c];
                }
            }
        }
        sum.light.map(|v| {
            (v / sum.n.max(1.0))
                .max(0.5 * light.curve.slope(0.0))
                .max(1e-3)
        })
    };
    let (before, after) = (side(false), side(true));
    let (mut bent, mut height) = (0.0, 0.0);
    for c in 0..3 {
        let (a, b) = (before[c], after[c]);
        let middle = f64::midpoint(a, b);
        bent += mix[c] * (f64::midpoint(a * a.ln(), b * b.ln()) - middle * middle.ln());
        height += mix[c] * (b - a);
    }
    if height.abs() < 1e-6 {
        return 0.0;
    }
    spread(step.blur).0 * std::f64::consts::TAU.sqrt() * bent / height
}
