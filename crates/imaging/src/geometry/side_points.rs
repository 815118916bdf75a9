//! Outlines marked on their sides: three points on each, from which the corners follow.
//!
//! In: points on the sides of a polygon, in order. Out: its corners. Not here: how the points are
//! found in a picture (`snap`).
//!
//! Where an edge is fitted by shift, turn and bow over its length, its errors at the three places
//! of Gauss and Legendre, 0 and ±√(3/5) of half its length, are independent of each other, and the
//! three places tell all that the fit knows. The corners of two edges are not independent: each
//! edge has two of them. So edges hand on such points, and the corners are worked out from them
//! where they are needed. The straight line through three of them, weighted as in Gauss and
//! Legendre's rule, is the one nearest to the whole edge. Source: M. Abramowitz, I. Stegun,
//! *Handbook of Mathematical Functions*, 25.4.29 and table 25.4.

/// Number of points on each side.
pub const ON_A_SIDE: usize = 3;

/// Their places as shares of half the side's length: −√(3/5), 0, √(3/5).
pub(crate) const NODES: [f64; ON_A_SIDE] = [-0.774_596_669_241_483_4, 0.0, 0.774_596_669_241_483_4];

/// Their weights, which add up to 1.
pub(crate) const WEIGHTS: [f64; ON_A_SIDE] = [5.0 / 18.0, 8.0 / 18.0, 5.0 / 18.0];

/// What the points of an outline are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OutlinePoints {
    /// Its corners, one after the other.
    Corners,
    /// Three points on each of its sides, in the order of the sides; the first side begins at the
    /// first corner.
    Sides,
}

/// Returns the corners of an outline marked on its sides: corner i is where side i begins. `None`
/// where neighbouring sides are parallel or the points do not make three sides or more.
///
/// `points` in order, three to a side, in any unit.
pub fn corners_of_sides(points: &[[f64; 2]]) -> Option<Vec<[f64; 2]>> {
    let sides: Vec<LineOfSide> = points
        .chunks(ON_A_SIDE)
        .map(LineOfSide::through)
        .collect::<Option<_>>()?;
    if sides.len() < 3 {
        return None;
    }
    (0..sides.len())
        .map(|i| {
            Some(
                sides[(i + sides.len() - 1) % sides.len()]
                    .meets(&sides[i])?
                    .at,
            )
        })
        .collect()
}

/// Returns the direction outwards of a thing at each of its points, unit vectors: of two points away from each
/// other, on `sides` square to the side, of others away from their middle.
pub fn outwards(points: &[[f64; 2]], marked: OutlinePoints) -> Vec<[f64; 2]> {
    let n = points.len() as f64;
    let middle = [0, 1].map(|k: usize| points.iter().map(|p| p[k]).sum::<f64>() / n);
    let unit = |[x, y]: [f64; 2]| {
        let length = x.hypot(y);
        if length > 0.0 {
            [x / length, y / length]
        } else {
            [0.0; 2]
        }
    };
    let away = |p: &[f64; 2]| unit([p[0] - middle[0], p[1] - middle[1]]);
    if marked == OutlinePoints::Corners {
        return points.iter().map(away).collect();
    }
    points
        .chunks(ON_A_SIDE)
        .flat_map(|side| {
            let (a, b) = (side[0], side[side.len() - 1]);
            let [x, y] = unit([b[0] - a[0], b[1] - a[1]]);
            let out = away(&side[side.len() / 2]);
            let sign = (out[0] * -y + out[1] * x).signum();
            side.iter().map(move |_| [-y * sign, x * sign])
        })
        .collect()
}

/// Where a side meets the next one.
pub(crate) struct Corner {
    pub(crate) at: [f64; 2],
    /// Directions of both sides, and their cross product.
    along: [[f64; 2]; 2],
    cross: f64,
    /// How far beyond the middle of each side, in its direction.
    beyond: [f64; 2],
}

impl Corner {
    /// Returns the corner between two sides, of three points each.
    pub(crate) fn between(before: &[[f64; 2]], after: &[[f64; 2]]) -> Option<Self> {
        LineOfSide::through(before)?.meets(&LineOfSide::through(after)?)
    }

    /// Takes a derivative by the corner on to the points of both sides.
    ///
    /// A line that is shifted or turned by `d` at the corner, square to itself, moves the corner
    /// along the other line by `d` over the sine between them.
    pub(crate) fn chain(&self, by: [f64; 2]) -> [[[f64; 2]; ON_A_SIDE]; 2] {
        [0, 1].map(|line: usize| {
            let ([x, y], other) = (self.along[line], self.along[1 - line]);
            let along_other = by[0] * other[0] + by[1] * other[1];
            let sign = if line == 0 { 1.0 } else { -1.0 };
            let shift = [-y, x].map(|n| sign * n * along_other / self.cross);
            let t = self.beyond[line];
            [WEIGHTS[0] - t, WEIGHTS[1], WEIGHTS[2] + t].map(|w| shift.map(|s| w * s))
        })
    }
}

struct LineOfSide {
    middle: [f64; 2],
    along: [f64; 2],
}

/// Least sine of the angle between neighbouring sides.
const PARALLEL: f64 = 0.02;

impl LineOfSide {
    /// The line through the points of one side.
    fn through(points: &[[f64; 2]]) -> Option<Self> {
        let &[a, b, c] = points else { return None };
        let middle =
            [0, 1].map(|k: usize| WEIGHTS[0] * a[k] + WEIGHTS[1] * b[k] + WEIGHTS[2] * c[k]);
        let along = [0, 1].map(|k: usize| c[k] - a[k]);
        (along[0].hypot(along[1]) > 0.0).then_some(Self { middle, along })
    }

    fn meets(&self, next: &Self) -> Option<Corner> {
        let (a, b) = (self.along, next.along);
        let cross = a[0] * b[1] - a[1] * b[0];
        if cross.abs().is_nan() || cross.abs() <= PARALLEL * a[0].hypot(a[1]) * b[0].hypot(b[1]) {
            return None;
        }
        let d = [
            next.middle[0] - self.middle[0],
            next.middle[1] - self.middle[1],
        ];
        let beyond = [
            (d[0] * b[1] - d[1] * b[0]) / cross,
            (d[0] * a[1] - d[1] * a[0]) / cross,
        ];
        Some(Corner {
            at: [0, 1].map(|k: usize| self.middle[k] + beyond[0] * a[k]),
            along: [a, b],
            cross,
            beyond,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Table 25.4: the rule with three places is exact for polynomials of degree five.
    #[test]
    fn places_and_weights_are_those_of_the_quadrature_rule() {
        for degree in 0..=5 {
            let rule: f64 = (0..3)
                .map(|i| 2.0 * WEIGHTS[i] * NODES[i].powi(degree))
                .sum();
            let exact = if degree % 2 == 0 {
                2.0 / f64::from(degree + 1)
            } else {
                0.0
            };
            assert!((rule - exact).abs() < 1e-15, "{degree}: {rule}");
        }
    }

    #[test]
    fn corners_are_where_the_lines_of_the_sides_meet() {
        let corners = [[0.0, 0.0], [4.0, 1.0], [5.0, 6.0], [-1.0, 4.0]];
        let mut points = Vec::new();
        for i in 0..4 {
            let (p, q) = (corners[i], corners[(i + 1) % 4]);
            for n in NODES {
                let t = 0.5 + 0.4 * n;
                points.push([0, 1].map(|k: usize| p[k] + t * (q[k] - p[k])));
            }
        }
        let found = corners_of_sides(&points).unwrap();
        for (a, b) in found.iter().zip(&corners) {
            assert!((a[0] - b[0]).hypot(a[1] - b[1]) < 1e-12, "{a:?} {b:?}");
        }
        assert_eq!(corners_of_sides(&points[..6]), None);
        assert_eq!(corners_of_sides(&points[..11]), None);
        assert_eq!(corners_of_sides(&[[1.0, 1.0]; 12]), None);
    }
}
