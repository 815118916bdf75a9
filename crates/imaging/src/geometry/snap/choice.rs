//! Which of the edges near a mark is meant.
//!
//! In: candidates, how well the mark was set. Out: the most likely one, the others with their probability, and
//! the variance that they leave. Not here: the place to a fraction of a pixel (`profile.rs`).
//!
//! Each candidate may be the edge meant, the others being there by chance. Its odds are the probability density
//! of such a mark on it, mostly as near as stated and sometimes far off, times how much it looks like the
//! outline of a thing: the foot of a wall and print are fainter than the upper edge, the rim of a shadow is
//! soft, and a halo of sharpening runs beside a strong edge, weak and the other way.

use super::candidates::{Candidate, Expected, apart};
use super::course::{Course, SHAPES};
use super::strip::{dot, size};
use crate::geometry::assumed;

/// What an edge looks like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EdgeKind {
    /// As sharp as the sharpest near it.
    Sharp,
    /// Much softer, as the rim of a shadow.
    Soft,
    /// Weak beside a strong one and the other way: what sharpening makes.
    Halo,
}

/// Another edge that may be the one meant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rival {
    /// How far beside the edge taken, pixels: to the right of a line, outwards of a rim.
    pub offset_px: f64,
    /// Probability that it is the one meant.
    pub probability: f64,
    /// What it looks like.
    pub kind: EdgeKind,
}

/// The candidate taken.
#[derive(Debug, Clone)]
pub(super) struct Choice {
    pub(super) taken: Candidate,
    /// Others of some probability, the most likely first.
    pub(super) rivals: Vec<Rival>,
    /// Mean square distance of the edge meant from the one taken, pixels².
    pub(super) variance: f64,
}

/// Rivals less likely than this are not told.
const TOLD: f64 = 0.02;

/// Weighs candidates; `None` where there are none.
pub(super) fn choose(
    course: &Course,
    candidates: &[Candidate],
    expected: &Expected,
) -> Option<Choice> {
    let strongest = candidates.iter().map(|c| size(c.step)).fold(0.0, f64::max);
    let sharpest = candidates
        .iter()
        .filter(|c| size(c.step) > 0.4 * strongest)
        .map(|c| c.blur)
        .fold(f64::INFINITY, f64::min);
    let weighed: Vec<(f64, EdgeKind)> = candidates
        .iter()
        .map(|c| {
            let kind = kind(course, c, candidates, sharpest);
            let look = match kind {
                EdgeKind::Sharp => 1.0,
                EdgeKind::Soft => assumed::SHADOW_MEANT.value,
                EdgeKind::Halo => assumed::HALO_MEANT.value,
            };
            let faint = (size(c.step) / strongest).sqrt();
            (look * faint * chance(course, c, expected), kind)
        })
        .collect();
    let sum: f64 = weighed.iter().map(|w| w.0).sum();
    let best = (0..candidates.len()).max_by(|&a, &b| weighed[a].0.total_cmp(&weighed[b].0))?;
    let taken = candidates[best];
    let mut rivals = Vec::new();
    let mut variance = 0.0;
    for (i, c) in candidates.iter().enumerate().filter(|(i, _)| *i != best) {
        let probability = weighed[i].0 / sum;
        let away = apart(course, &c.curve, &taken.curve);
        variance += probability * away * away;
        if probability >= TOLD {
            rivals.push(Rival {
                offset_px: (c.curve[0] - taken.curve[0]).signum() * away,
                probability,
                kind: weighed[i].1,
            });
        }
    }
    rivals.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    Some(Choice {
        taken,
        rivals,
        variance,
    })
}

/// Relative density of the marks for an edge: mostly as stated, sometimes five times as far off.
fn chance(course: &Course, c: &Candidate, expected: &Expected) -> f64 {
    let square: f64 = (0..course.shape_count().min(SHAPES))
        .map(|k| (c.curve[k] / expected[k]).powi(2))
        .sum();
    let careless = assumed::CARELESS.value;
    let wide = 5.0;
    (1.0 - careless) * (-0.5 * square).exp()
        + careless / wide * (-0.5 * square / (wide * wide)).exp()
}

fn kind(course: &Course, c: &Candidate, all: &[Candidate], sharpest: f64) -> EdgeKind {
    let beside_a_strong_one = all.iter().any(|other| {
        let near = apart(course, &c.curve, &other.curve);
        near > 0.0
            && near < 4.5
            && dot(c.step, other.step) < 0.0
            && size(c.step) < 0.4 * size(other.step)
    });
    if beside_a_strong_one {
        EdgeKind::Halo
    } else if c.blur > 1.7 * sharpest && c.blur > 1.5 {
        EdgeKind::Soft
    } else {
        EdgeKind::Sharp
    }
}
