//! Convex polygons: hull, area, common area, least rectangle.
//!
//! Source: A. Andrew, Information Processing Letters 9 (1979) 216 (hull); H. Freeman, R. Shapira, Comm. ACM 18
//! (1975) 409 (a side of the least rectangle lies on the hull); I. Sutherland, G. Hodgman, Comm. ACM 17 (1974)
//! 32 (clipping).

/// A place, pixels.
pub(super) type Point = [f64; 2];

fn cross(a: Point, b: Point, c: Point) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

/// Returns the convex hull, clockwise as seen with y downwards.
pub(super) fn hull(mut points: Vec<Point>) -> Vec<Point> {
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    points.dedup();
    if points.len() < 3 {
        return points;
    }
    let half = |points: &mut dyn Iterator<Item = &Point>| {
        let mut side: Vec<Point> = Vec::new();
        for p in points {
            while let [.., a, b] = side.as_slice()
                && cross(*a, *b, *p) <= 0.0
            {
                side.pop();
            }
            side.push(*p);
        }
        side.pop();
        side
    };
    let mut all = half(&mut points.iter());
    all.extend(half(&mut points.iter().rev()));
    all
}

/// Returns the area of a polygon.
pub(super) fn area(polygon: &[Point]) -> f64 {
    let next = polygon.iter().cycle().skip(1);
    let twice: f64 = polygon
        .iter()
        .zip(next)
        .map(|(a, b)| a[0] * b[1] - b[0] * a[1])
        .sum();
    twice.abs() / 2.0
}

/// Returns the common area of two convex polygons of the same turning sense.
pub(super) fn common(a: &[Point], b: &[Point]) -> f64 {
    let mut left: Vec<Point> = a.to_vec();
    for (i, from) in b.iter().enumerate() {
        let to = b[(i + 1) % b.len()];
        let mut kept = Vec::with_capacity(left.len() + 1);
        for (j, p) in left.iter().enumerate() {
            let q = left[(j + 1) % left.len()];
            let (dp, dq) = (cross(*from, to, *p), cross(*from, to, q));
            if dp >= 0.0 {
                kept.push(*p);
            }
            if (dp > 0.0 && dq < 0.0) || (dp < 0.0 && dq > 0.0) {
                let t = dp / (dp - dq);
                kept.push([p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])]);
            }
        }
        left = kept;
        if left.len() < 3 {
            return 0.0;
        }
    }
    area(&left)
}

/// Returns whether a place lies in a hull; none does in one without area.
pub(super) fn holds(hull: &[Point], p: Point) -> bool {
    let sides = hull.iter().zip(hull.iter().cycle().skip(1));
    hull.len() > 2 && sides.into_iter().all(|(a, b)| cross(*a, *b, p) >= 0.0)
}

/// A rectangle that may be turned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Turned {
    /// Its middle.
    pub(super) middle: Point,
    /// Half its sides.
    pub(super) half: [f64; 2],
    /// Direction of its first side, unit length.
    pub(super) along: Point,
}

impl Turned {
    /// Returns the corners in the turning sense of [`hull`].
    pub(super) fn corners(&self) -> [Point; 4] {
        [[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]]
            .map(|[u, v]| self.place([u * self.half[0], v * self.half[1]]))
    }

    /// Returns the place of coordinates along its sides from the middle.
    pub(super) fn place(&self, [u, v]: Point) -> Point {
        let [c, s] = self.along;
        [
            self.middle[0] + u * c - v * s,
            self.middle[1] + u * s + v * c,
        ]
    }

    /// Returns the coordinates of a place along its sides from the middle.
    pub(super) fn coordinates(&self, p: Point) -> Point {
        let [c, s] = self.along;
        let d = [p[0] - self.middle[0], p[1] - self.middle[1]];
        [d[0] * c + d[1] * s, d[1] * c - d[0] * s]
    }

    /// Returns the rectangle whose sides lie at these coordinates of this one: least and greatest along the first
    /// side, then along the second.
    pub(super) fn between(&self, [u0, u1]: [f64; 2], [v0, v1]: [f64; 2]) -> Self {
        Self {
            middle: self.place([(u0 + u1) / 2.0, (v0 + v1) / 2.0]),
            half: [(u1 - u0) / 2.0, (v1 - v0) / 2.0],
            along: self.along,
        }
    }
}

/// Returns the rectangle of least area around a hull; `None` for fewer than three corners.
pub(super) fn least_rectangle(hull: &[Point]) -> Option<Turned> {
    if hull.len() < 3 {
        return None;
    }
    let mut best: Option<(f64, Turned)> = None;
    for (i, a) in hull.iter().enumerate() {
        let b = hull[(i + 1) % hull.len()];
        let length = (b[0] - a[0]).hypot(b[1] - a[1]);
        let along = quarter([(b[0] - a[0]) / length, (b[1] - a[1]) / length]);
        let axes = Turned {
            middle: [0.0; 2],
            half: [0.0; 2],
            along,
        };
        let mut span = [[f64::INFINITY, f64::NEG_INFINITY]; 2];
        for p in hull {
            for (s, c) in span.iter_mut().zip(axes.coordinates(*p)) {
                *s = [s[0].min(c), s[1].max(c)];
            }
        }
        let area = (span[0][1] - span[0][0]) * (span[1][1] - span[1][0]);
        if best.is_none_or(|(least, _)| area < least) {
            best = Some((area, axes.between(span[0], span[1])));
        }
    }
    best.map(|(_, rectangle)| rectangle)
}

/// Turns a direction by quarters until it points most to the right.
fn quarter([c, s]: Point) -> Point {
    if c.abs() >= s.abs() {
        if c >= 0.0 { [c, s] } else { [-c, -s] }
    } else if s >= 0.0 {
        [s, -c]
    } else {
        [-s, c]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_turned_rectangle_is_found_in_its_corners() {
        let turned = Turned {
            middle: [40.0, 30.0],
            half: [12.0, 5.0],
            along: [0.8, 0.6],
        };
        let mut points = turned.corners().to_vec();
        points.extend([[40.0, 30.0], [38.0, 31.0]]);
        let hull = hull(points);
        assert_eq!(hull.len(), 4);
        assert!((area(&hull) - 240.0).abs() < 1e-9);
        let found = least_rectangle(&hull).unwrap();
        assert!((common(&found.corners(), &turned.corners()) - 240.0).abs() < 1e-6);
    }

    #[test]
    fn the_common_area_of_squares_is_that_of_their_overlap() {
        let square = |x: f64, y: f64| [[x, y], [x + 2.0, y], [x + 2.0, y + 2.0], [x, y + 2.0]];
        assert!((common(&square(0.0, 0.0), &square(1.0, 1.0)) - 1.0).abs() < 1e-12);
        assert!(common(&square(0.0, 0.0), &square(2.5, 0.0)).abs() < 1e-12);
        assert!((common(&square(0.0, 0.0), &square(0.0, 0.0)) - 4.0).abs() < 1e-12);
    }
}
