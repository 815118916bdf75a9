//! Which of the edges near a mark is meant.
//!
//! In: candidates, how well the mark was set. Out: the most likely one, the others with their probability, and
//! the variance that they leave. Not here: the place to a fraction of a pixel (`profile.rs`).
//!
//! Each candidate may be the edge meant, the others being there by chance. Its odds are the probability density
//! of such a mark on it, mostly as near as stated and sometimes far off, times how much it looks like the
//! outline of a thing: the foot of a wall and print are fainter than the upper edge, the rim of a shadow is
//! soft, and a halo of sharpening runs beside a strong edge, weak and the other way.

use super::SnapOptions;
use super::candidates::{Candidate, Expected, apart};
use super::course::{Course, SHAPES};
use super::strip::{FINE, Strip, dot, size};
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

/// How a mark was set.
#[derive(Debug, Clone, Copy)]
pub(super) struct Within {
    /// Standard deviations of the shapes.
    pub(super) expected: Expected,
    /// Where the inside of the thing lies: 1 to the right of a line or outwards of a rim, −1 on the other side,
    /// 0 where that is not known.
    pub(super) inside: f64,
}

/// The candidate taken.
#[derive(Debug, Clone)]
pub(super) struct Choice {
    pub(super) taken: Candidate,
    /// Others of some probability, the most likely first.
    pub(super) rivals: Vec<Rival>,
    /// Mean square distance of the edge meant from the one taken, pixels².
    pub(super) variance: f64,
    /// Probability that the edge meant is none of them.
    pub(super) unseen: f64,
}

/// Rivals less likely than this are not told.
const TOLD: f64 = 0.02;

/// Weighs candidates; `None` where there are none.
pub(super) fn choose(
    course: &Course,
    strip: &Strip,
    candidates: &[Candidate],
    within: &Within,
    options: &SnapOptions,
) -> Option<Choice> {
    let expected = &within.expected;
    let strongest = candidates.iter().map(|c| size(c.step)).fold(0.0, f64::max);
    let sharpest = candidates
        .iter()
        .filter(|c| size(c.step) > 0.4 * strongest)
        .map(|c| c.blur)
        .fold(f64::INFINITY, f64::min);
    let weighed: Vec<(f64, EdgeKind)> = candidates
        .iter()
        .map(|c| {
            let kind = kind(course, strip, c, candidates, sharpest);
            let look = match kind {
                EdgeKind::Sharp => 1.0,
                EdgeKind::Soft => assumed::SHADOW_MEANT.value,
                EdgeKind::Halo => assumed::HALO_MEANT.value,
            };
            let faint = (size(c.step) / strongest).sqrt();
            (look * faint * chance(course, c, expected), kind)
        })
        .collect();
    // Against the density of a mark on its own edge, that of edges by chance.
    let by_chance = assumed::CHANCE_EDGES.value * expected[0] * std::f64::consts::TAU.sqrt();
    let none = options.unseen.clamp(0.0, 1.0) * by_chance;
    let sum: f64 = none + weighed.iter().map(|w| w.0).sum::<f64>();
    let best = (0..candidates.len()).max_by(|&a, &b| weighed[a].0.total_cmp(&weighed[b].0))?;
    let taken = candidates[best];
    let mut rivals = Vec::new();
    let unseen = none / sum;
    let away = apart(course, &taken.curve, &[0.0; SHAPES]);
    let mut variance = unseen * (away * away + expected[0] * expected[0]);
    variance += behind_a_wall(-taken.curve[0], within, options.hidden_wall);
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
        unseen,
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

/// Mean square distance, pixels², between the edge taken and an upper edge inside of it that a wall hides, where
/// the mark lies `off` beside the edge taken.
///
/// The width of the wall is exponential; a mark inside of the edge makes it likely, one outside unlikely.
fn behind_a_wall(off: f64, within: &Within, hidden: f64) -> f64 {
    const STEP: f64 = 0.25;
    let sd = within.expected[0];
    let wall = assumed::WALL.value;
    let density = |off: f64| (-0.5 * (off / sd).powi(2)).exp();
    let one = |inside: f64| {
        let (mut odds, mut square) = (0.0, 0.0);
        for k in 0..60 {
            let p = (f64::from(k) + 0.5) * STEP;
            let here = STEP / wall * (-p / wall).exp() * density(off - inside * p);
            odds += here;
            square += here * p * p;
        }
        (odds, square)
    };
    let (odds, square) = if within.inside == 0.0 {
        let ((a, p), (b, q)) = (one(1.0), one(-1.0));
        (f64::midpoint(a, b), f64::midpoint(p, q))
    } else {
        one(within.inside)
    };
    let hidden = hidden.clamp(0.0, 1.0);
    let whole = hidden * odds + (1.0 - hidden) * density(off);
    if whole > 1e-12 {
        hidden * square / whole
    } else {
        0.0
    }
}

fn kind(
    course: &Course,
    strip: &Strip,
    c: &Candidate,
    all: &[Candidate],
    sharpest: f64,
) -> EdgeKind {
    let is_halo = |strong: &Candidate| {
        let away = apart(course, &c.curve, &strong.curve);
        away > 0.0
            && away < HALO
            && dot(c.step, strong.step) < 0.0
            && size(c.step) < HALO_SHARE * size(strong.step)
            && overshoots(course, strip, strong)
    };
    if all.iter().any(is_halo) {
        EdgeKind::Halo
    } else if c.blur > 1.7 * sharpest && c.blur > 1.5 {
        EdgeKind::Soft
    } else {
        EdgeKind::Sharp
    }
}

/// How far from a strong edge its halo may end, pixels, and its greatest share of that edge.
const HALO: f64 = 4.5;
const HALO_SHARE: f64 = 0.35;

/// Whether levels overshoot on both sides of an edge about alike: a wall is on one side, sharpening on both.
fn overshoots(course: &Course, strip: &Strip, strong: &Candidate) -> bool {
    const WIDE: f64 = 7.0;
    let mean = strip.along(course, &strong.curve, WIDE);
    let length = size(strong.step);
    let level = |k: usize| dot(mean[k], strong.step) / (3.0 * length);
    let middle = mean.len() / 2;
    let steps = |px: f64| (px / FINE) as usize;
    let over = |sign: f64| {
        let at = |px: f64| {
            let k = steps(px);
            sign * level(if sign > 0.0 { middle + k } else { middle - k })
        };
        let peak = (2..=7)
            .map(|k| at(0.5 * f64::from(k)))
            .fold(f64::MIN, f64::max);
        peak - f64::midpoint(at(5.0), at(6.0))
    };
    let (before, after) = (over(-1.0), over(1.0));
    before.min(after) > 0.4 * before.max(after)
}
