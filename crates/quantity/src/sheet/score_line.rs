//! The result along a line in the space of normal scores.
//!
//! In: the result at thirty-two points. Out: where it lies between them, the probability of each
//! stretch. Not here: which lines there are and what they say together (`quasi_monte_carlo.rs`).

use crate::special::bell;

/// Points of a line, and the distance between them: ±3.875.
pub(super) const POINTS: usize = 32;
pub(super) const STEP: f64 = 0.25;
/// Pieces of the cubic between two points of a line.
pub(super) const FINER: usize = 2;
/// Pieces of the stretch with a corner in it, for each of the others.
pub(super) const AT_CORNER: usize = 4;
/// How far the bend at a corner stands out from those beside it.
const SHARP: f64 = 4.0;
/// The least bend that is looked at, in widths of the distribution.
pub(super) const LEAST_BEND: f64 = 0.03;

/// The result at the points of a line.
pub(super) type Line = [f64; POINTS];

/// The score at a point of a line.
pub(super) fn place(j: usize) -> f64 {
    STEP * (j as f64 - (POINTS - 1) as f64 / 2.0)
}

/// Stretches of a line: its pieces, and what lies beyond its ends.
pub(super) const WEIGHTS: usize = (POINTS - 1) * FINER + 2;

/// Probabilities of the stretches of a line.
pub(super) fn weights() -> [f64; WEIGHTS] {
    let mut before = 0.0;
    std::array::from_fn(|k| {
        let above = if k + 1 == WEIGHTS {
            1.0
        } else {
            bell(place(0) + STEP * k as f64 / FINER as f64).0
        };
        let stretch = above - before;
        before = above;
        stretch
    })
}

/// The value between the points j and j + 1 of a line: a cubic through the four nearest; beside a
/// corner the parabola that bends less (A. Harten et al., J. Comput. Phys. 71 (1987) 231). Bends
/// below `least` are none.
pub(super) fn between(line: &Line, j: usize, s: f64, least: f64) -> f64 {
    let bend = |k: usize| {
        let k = k.clamp(1, POINTS - 2);
        line[k - 1] - 2.0 * line[k] + line[k + 1]
    };
    let (left, right) = (bend(j), bend(j + 1));
    let straight = line[j] + s * (line[j + 1] - line[j]);
    let (less, more) = if left.abs() < right.abs() {
        (left, right)
    } else {
        (right, left)
    };
    let half = s * (s - 1.0) / 2.0;
    if less * more < 0.0 && more.abs() > least || more.abs() > SHARP * less.abs() + least {
        straight + half * less
    } else {
        straight + half * ((left + right) / 2.0 + (right - left) * (2.0 * s - 1.0) / 6.0)
    }
}

/// A corner of `min`, `max` or `abs` between two points of a line: the parabolas from both sides
/// meet there (A. Harten, J. Comput. Phys. 83 (1989) 148, resolution within a cell).
pub(super) struct Kink {
    left: [f64; 3],
    right: [f64; 3],
    rising: bool,
}

impl Kink {
    /// Finds a corner between the points j and j + 1.
    pub(super) fn between(line: &Line, j: usize, spread: f64) -> Option<Self> {
        if j < 2 || j + 3 >= POINTS {
            return None;
        }
        let bend = |k: usize| line[k - 1] - 2.0 * line[k] + line[k + 1];
        let (here, beside) = (bend(j) + bend(j + 1), bend(j - 1).abs() + bend(j + 2).abs());
        if bend(j) * bend(j + 1) < 0.0 || here.abs() <= SHARP * beside + LEAST_BEND * spread {
            return None;
        }
        // y = a + bs + cs² with s = 0 at the nearer point and rising away from the corner.
        let parabola =
            |a: f64, b: f64, c: f64| [a, (4.0 * b - 3.0 * a - c) / 2.0, (c - 2.0 * b + a) / 2.0];
        Some(Self {
            left: parabola(line[j], line[j - 1], line[j - 2]),
            right: parabola(line[j + 1], line[j + 2], line[j + 3]),
            rising: here > 0.0,
        })
    }

    /// The value at a part of the way.
    pub(super) fn at(&self, part: f64) -> f64 {
        let value = |[a, b, c]: [f64; 3], s: f64| a + s * (b + s * c);
        let (l, r) = (value(self.left, -part), value(self.right, part - 1.0));
        if self.rising { l.max(r) } else { l.min(r) }
    }
}
