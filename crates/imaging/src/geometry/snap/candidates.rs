//! The edges that lie near a rough course.
//!
//! In: what a strip shows. Out: every edge along most of it, with what it looks like. Not here: which of them
//! is meant (`choice.rs`).
//!
//! An edge is a curve of few shapes that most pieces agree on. The curve that agrees best tells how edges run
//! beside the course; others are looked for beside it, since the edges of one thing are nearly parallel.

use super::course::{Course, Curve, SHAPES};
use super::strip::{Change, FINE, Piece, Strip, changes, dot, minus, size};
use crate::Light;
use nalgebra::{DMatrix, DVector};

/// How near a piece's own change must lie to agree, pixels.
pub(super) const NEAR: f64 = 1.2;
/// Share of the pieces that must agree on a line, and on a rim, half of which a wall of its own shade may take.
const AGREE: [f64; 2] = [0.6, 0.5];
/// Two curves nearer than this, pixels, are one edge.
const SAME: f64 = 0.9;
/// How far beside an edge its surroundings are looked at, pixels.
const AROUND: f64 = 9.0;

/// An edge near the course.
#[derive(Debug, Clone, Copy)]
pub(super) struct Candidate {
    pub(super) curve: Curve,
    /// Levels after minus levels before it, by channel.
    pub(super) step: [f64; 3],
    /// Standard deviation of its blur, pixels, as the picture's levels show it.
    pub(super) blur: f64,
}

/// What is expected of a curve before the picture is seen: standard deviation of each shape, pixels.
pub(super) type Expected = [f64; SHAPES];

/// Returns the edges that most pieces agree on; the greatest agreement of any curve where there is none.
pub(super) fn candidates(
    light: &Light<'_>,
    strip: &Strip,
    course: &Course,
    expected: &Expected,
    reach: f64,
) -> Result<Vec<Candidate>, f64> {
    let common = common(strip, course, expected, reach);
    let Some(common) = common else {
        return Err(0.0);
    };
    let mut found: Vec<(Curve, f64, f64)> = Vec::new();
    let mut most: f64 = 0.0;
    let agree = match course {
        Course::Line(_) => AGREE[0],
        Course::Rim(_) => AGREE[1],
    };
    let steps = (2.0 * reach / 0.75) as usize;
    let offsets = (0..=steps).map(|i| i as f64 * 0.75 - reach - common.0[0]);
    for offset in std::iter::once(0.0).chain(offsets) {
        let mut start = common.0;
        start[0] += offset;
        let Some((curve, agreement, strength)) =
            settled(strip, course, expected, start, &[1.2, 1.0, 1.0])
        else {
            continue;
        };
        most = most.max(agreement);
        if agreement < agree || curve[0].abs() > reach + 1.0 {
            continue;
        }
        match found
            .iter_mut()
            .find(|f| apart(course, &f.0, &curve) < SAME)
        {
            Some(known) if agreement * strength > known.1 * known.2 => {
                *known = (curve, agreement, strength);
            }
            Some(_) => {}
            None => found.push((curve, agreement, strength)),
        }
    }
    if found.is_empty() {
        return Err(most);
    }
    // Curves on the two slopes of one soft edge, or askew along it, are one.
    let mut apart_ones: Vec<Candidate> = Vec::new();
    found.sort_by(|a, b| (b.1 * b.2).total_cmp(&(a.1 * a.2)));
    for (curve, ..) in found {
        if let Some(candidate) = seen(light, strip, course, curve)
            && apart_ones
                .iter()
                .all(|c| !is_same(strip, course, &c.curve, &candidate.curve))
        {
            apart_ones.push(candidate);
        }
    }
    Ok(apart_ones)
}

/// Whether two curves lie together, or rest on the same changes in most pieces.
fn is_same(strip: &Strip, course: &Course, a: &Curve, b: &Curve) -> bool {
    let nearest = |piece: &Piece, curve: &Curve| {
        let at = course.beside(curve, piece.u);
        let off = |c: &Change| (c.t - at).abs();
        let changes = piece.changes.iter().filter(|c| off(c) < 1.5 * NEAR);
        changes
            .min_by(|a, b| off(a).total_cmp(&off(b)))
            .map(|c| c.t)
    };
    let shared = strip.pieces.iter().filter(|piece| {
        let (a, b) = (nearest(piece, a), nearest(piece, b));
        a.is_some() && a == b
    });
    apart(course, a, b) < SAME || 2 * shared.count() > strip.pieces.len()
}

/// Mean distance of two curves, pixels.
pub(super) fn apart(course: &Course, a: &Curve, b: &Curve) -> f64 {
    const PLACES: u32 = 12;
    let mean = (0..PLACES).map(|i| {
        let u = (2.0 * f64::from(i) + 1.0) / f64::from(PLACES) - 1.0;
        (course.beside(a, u) - course.beside(b, u)).abs()
    });
    mean.sum::<f64>() / f64::from(PLACES)
}

/// The curve that agrees best, near ones before far ones.
fn common(strip: &Strip, course: &Course, expected: &Expected, reach: f64) -> Option<(Curve, f64)> {
    let steps = (2.0 * reach / 1.5) as usize;
    let mut best: Option<(Curve, f64)> = None;
    for i in 0..=steps {
        let mut start = [0.0; SHAPES];
        start[0] = i as f64 * 1.5 - reach;
        let wide = [4.0, 3.0, 2.5, 2.0, 1.5, 1.2, 1.2];
        let Some((curve, agreement, strength)) = settled(strip, course, expected, start, &wide)
        else {
            continue;
        };
        let far = curve[0] / (2.0 * expected[0]).max(2.0);
        let score = agreement * agreement * strength.sqrt() / (1.0 + far * far);
        if best.is_none_or(|(_, b)| score > b) {
            best = Some((curve, score));
        }
    }
    best
}

/// Lets a curve settle among the changes near it, at each round among those within a distance; with the share
/// of the pieces that agree, and how strong their changes are.
fn settled(
    strip: &Strip,
    course: &Course,
    expected: &Expected,
    start: Curve,
    rounds: &[f64],
) -> Option<(Curve, f64, f64)> {
    let mut curve = start;
    let mut direction: Option<[f64; 3]> = None;
    for wide in rounds {
        let near: Vec<(&Piece, Change)> = strip
            .pieces
            .iter()
            .filter_map(|piece| {
                let at = course.beside(&curve, piece.u);
                let worth = |c: &Change| {
                    let off = (c.t - at) / wide;
                    size(c.by).sqrt() * (-0.5 * off * off).exp()
                };
                let fits = |c: &&Change| {
                    (c.t - at).abs() < 2.0 * wide && direction.is_none_or(|d| dot(d, c.by) > 0.0)
                };
                let changes = piece.changes.iter().filter(fits);
                let best = changes.max_by(|a, b| worth(a).total_cmp(&worth(b)))?;
                Some((piece, *best))
            })
            .collect();
        if near.len() < 4 {
            return None;
        }
        let mut sum = [0.0; 3];
        for (_, c) in &near {
            sum = [0, 1, 2].map(|k: usize| sum[k] + c.by[k]);
        }
        direction = Some(sum);
        curve = through(course, &near, expected, &start, *wide)?;
    }
    let direction = direction?;
    let (mut agree, mut strength) = (0usize, 0.0);
    for piece in &strip.pieces {
        let at = course.beside(&curve, piece.u);
        let near = |c: &&Change| (c.t - at).abs() < NEAR && dot(direction, c.by) > 0.0;
        if let Some(c) = piece.changes.iter().find(near) {
            agree += 1;
            strength += size(c.by);
        }
    }
    let share = agree as f64 / strip.whole as f64;
    Some((curve, share, strength / agree.max(1) as f64))
}

/// The curve of least squares through changes, held a little by what is expected of turn, bow and stretch.
fn through(
    course: &Course,
    near: &[(&Piece, Change)],
    expected: &Expected,
    start: &Curve,
    wide: f64,
) -> Option<Curve> {
    let n = course.shape_count();
    let mut normal = DMatrix::zeros(n, n);
    let mut right = DVector::zeros(n);
    for (piece, change) in near {
        let shapes = course.shapes(piece.u);
        for r in 0..n {
            for c in 0..n {
                normal[(r, c)] += shapes[r] * shapes[c];
            }
            right[r] += shapes[r] * change.t;
        }
    }
    for k in 1..n {
        let hold = (wide / (3.0 * expected[k])).powi(2);
        normal[(k, k)] += hold;
        right[k] += hold * start[k] * f64::from(u8::from(wide < 1.3));
    }
    let solved = normal.cholesky()?.solve(&right);
    let mut curve = [0.0; SHAPES];
    for (to, from) in curve.iter_mut().zip(solved.iter()) {
        *to = *from;
    }
    Some(curve)
}

/// Looks at the surroundings of a curve.
fn seen(light: &Light<'_>, strip: &Strip, course: &Course, mut curve: Curve) -> Option<Candidate> {
    let mean = strip.along(course, &curve, AROUND);
    let all = changes(&mean, -AROUND);
    let own = all
        .iter()
        .filter(|c| c.t.abs() < NEAR)
        .min_by(|a, b| a.t.abs().total_cmp(&b.t.abs()))?;
    // The step reaches to where the levels stop changing its way.
    let at = |t: f64| {
        let i = ((t + AROUND) / FINE).round().max(0.0) as usize;
        mean[i.min(mean.len() - 1)]
    };
    let length = size(own.by);
    let way = own.by.map(|v| v / (3.0 * length));
    let end = |sign: f64| {
        let mut t = own.t;
        while t.abs() < AROUND - 1.5 {
            let next = t + sign * FINE;
            let grows = dot(minus(at(next), at(t)), way) * sign;
            if grows < 0.03 * length && (t - own.t).abs() >= 1.0 {
                break;
            }
            t = next;
        }
        t
    };
    let (before, after) = (end(-1.0), end(1.0));
    let step = minus(at(after), at(before));
    // Levels change most on the darker side of where the light is half way.
    let bright = |v: [f64; 3]| dot(v.map(|level| light.curve.between(level)), way);
    let half = f64::midpoint(bright(at(before)), bright(at(after)));
    let steps = ((after - before) / FINE) as usize;
    let crossing = (0..steps).find_map(|k| {
        let t = before + k as f64 * FINE;
        let (here, next) = (bright(at(t)) - half, bright(at(t + FINE)) - half);
        (here <= 0.0 && next > 0.0).then(|| t - FINE * here / (next - here))
    });
    curve[0] += crossing.unwrap_or(own.t).clamp(-1.0, 1.0);
    // A step of Φ(t/σ) changes by 0.3989/σ a pixel in its middle; samples a pixel and a half apart see
    // a little less.
    let whole = dot(step, way).max(1e-3);
    let blur = (whole * 1.5 / (length * std::f64::consts::TAU.sqrt())).max(0.3);
    Some(Candidate { curve, step, blur })
}
