//! Points, rectangles and line segments on a page, millimetres, y downwards.
//!
//! Not here: what they stand for.

/// A point on the page: x to the right, y downwards, mm.
pub type Point = [f64; 2];

/// A rectangle on the page, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rect {
    /// Left edge.
    pub left: f64,
    /// Upper edge.
    pub top: f64,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
}

impl Rect {
    /// Returns the right edge.
    pub fn right(&self) -> f64 {
        self.left + self.width
    }

    /// Returns the lower edge.
    pub fn bottom(&self) -> f64 {
        self.top + self.height
    }

    /// Returns the middle.
    pub fn middle(&self) -> Point {
        [self.left + self.width / 2.0, self.top + self.height / 2.0]
    }

    /// Returns the area.
    pub fn area(&self) -> f64 {
        self.width * self.height
    }

    /// Returns whether `other` lies wholly inside, edges included.
    pub fn contains(&self, other: &Rect) -> bool {
        self.left <= other.left
            && self.top <= other.top
            && self.right() >= other.right()
            && self.bottom() >= other.bottom()
    }

    /// Returns whether the insides of both share a point.
    pub fn overlaps(&self, other: &Rect) -> bool {
        self.left < other.right()
            && other.left < self.right()
            && self.top < other.bottom()
            && other.top < self.bottom()
    }

    /// Returns the distance of a point to the outline: negative inside.
    pub fn distance(&self, p: Point) -> f64 {
        let dx = (self.left - p[0]).max(p[0] - self.right());
        let dy = (self.top - p[1]).max(p[1] - self.bottom());
        if dx <= 0.0 && dy <= 0.0 {
            return dx.max(dy);
        }
        let (ox, oy) = (dx.max(0.0), dy.max(0.0));
        (ox * ox + oy * oy).sqrt()
    }

    /// Returns the nearest point that is inside by at least `inset` (the middle where the rectangle
    /// is narrower than that).
    pub fn nearest(&self, p: Point, inset: f64) -> Point {
        let axis = |v: f64, from: f64, size: f64| {
            let inset = inset.min(size / 2.0);
            v.clamp(from + inset, (from + size - inset).max(from + inset))
        };
        [
            axis(p[0], self.left, self.width),
            axis(p[1], self.top, self.height),
        ]
    }
}

/// Returns the distance of two points.
pub fn distance(a: Point, b: Point) -> f64 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    (dx * dx + dy * dy).sqrt()
}

/// Returns the distance of a point to a segment.
pub fn to_segment(p: Point, [a, b]: [Point; 2]) -> f64 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let squared = dx * dx + dy * dy;
    let t = if squared > 0.0 {
        (((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / squared).clamp(0.0, 1.0)
    } else {
        0.0
    };
    distance(p, [a[0] + t * dx, a[1] + t * dy])
}

/// Returns the least distance of two segments; 0 where they cross or touch.
pub fn between_segments(s: [Point; 2], t: [Point; 2]) -> f64 {
    let side = |[a, b]: [Point; 2], p: Point| {
        (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])
    };
    let apart = |u: f64, v: f64| (u > 0.0 && v > 0.0) || (u < 0.0 && v < 0.0);
    let (a, b) = (side(t, s[0]), side(t, s[1]));
    let (c, d) = (side(s, t[0]), side(s, t[1]));
    let on_one_line = a == 0.0 && b == 0.0;
    if !on_one_line && !apart(a, b) && !apart(c, d) {
        return 0.0;
    }
    to_segment(s[0], t)
        .min(to_segment(s[1], t))
        .min(to_segment(t[0], s))
        .min(to_segment(t[1], s))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn crossing_segments_have_no_distance() {
        let s = [[0.0, 0.0], [4.0, 4.0]];
        assert_eq!(between_segments(s, [[0.0, 4.0], [4.0, 0.0]]), 0.0);
        // Touching in an end point.
        assert_eq!(between_segments(s, [[2.0, 2.0], [5.0, 0.0]]), 0.0);
    }

    #[test]
    fn segments_on_one_line_are_as_far_apart_as_their_ends() {
        let s = [[0.0, 0.0], [1.0, 0.0]];
        assert_eq!(between_segments(s, [[3.0, 0.0], [5.0, 0.0]]), 2.0);
        assert_eq!(between_segments(s, [[0.5, 0.0], [5.0, 0.0]]), 0.0);
    }

    #[test]
    fn parallel_segments_keep_their_distance() {
        let s = [[0.0, 0.0], [4.0, 0.0]];
        assert_eq!(between_segments(s, [[1.0, 3.0], [9.0, 3.0]]), 3.0);
        assert_eq!(between_segments(s, [[7.0, 4.0], [9.0, 4.0]]), 5.0);
    }

    #[test]
    fn a_point_inside_a_rectangle_has_a_negative_distance() {
        let r = Rect {
            left: 0.0,
            top: 0.0,
            width: 10.0,
            height: 4.0,
        };
        assert_eq!(r.distance([5.0, 1.0]), -1.0);
        assert_eq!(r.distance([13.0, 8.0]), 5.0);
        assert_eq!(r.nearest([20.0, -3.0], 1.0), [9.0, 1.0]);
        assert_eq!(r.nearest([20.0, -3.0], 3.0), [7.0, 2.0]);
    }
}
