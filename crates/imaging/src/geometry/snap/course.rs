//! The rough course of an edge, and curves beside it.
//!
//! In: a rough line or rim. Out: places along and across it, the pixels near it, and the shapes by which an
//! edge may lie beside it. Not here: what the picture shows there (`strip.rs`, `profile.rs`).

use crate::Light;
use crate::geometry::Ellipse;

/// Greatest number of shapes.
pub(super) const SHAPES: usize = 5;

/// A line in the picture with its middle.
#[derive(Debug, Clone, Copy)]
pub(super) struct Line {
    pub(super) middle: [f64; 2],
    pub(super) along: [f64; 2],
    /// Half its length, pixels.
    pub(super) half: f64,
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

    /// The line moved across by `offset` at its middle and by `offset + turn` at its end.
    pub(super) fn shifted(&self, offset: f64, turn: f64) -> Self {
        let n = self.across();
        let slope = turn / self.half;
        let length = slope.hypot(1.0);
        Self {
            middle: self.at(0.0, offset),
            along: std::array::from_fn(|i| (self.along[i] + slope * n[i]) / length),
            half: self.half,
        }
    }
}

/// A rough course; places along it count from −1 to 1, across in pixels: to the right of a line, outwards of
/// a rim.
#[derive(Debug, Clone, Copy)]
pub(super) enum Course {
    Line(Line),
    Rim(Ellipse),
}

/// How far an edge lies beside its course, by shape, pixels.
pub(super) type Curve = [f64; SHAPES];

impl Course {
    /// Number of shapes: shift, turn and bow of a line; size, place and stretch of a rim.
    pub(super) fn shape_count(&self) -> usize {
        match self {
            Self::Line(_) => 3,
            Self::Rim(_) => 5,
        }
    }

    /// Length, pixels.
    pub(super) fn length(&self) -> f64 {
        match self {
            Self::Line(line) => 2.0 * line.half,
            Self::Rim(rim) => std::f64::consts::PI * (rim.half_axes[0] + rim.half_axes[1]),
        }
    }

    /// Shapes at a place: of a line the first polynomials of Legendre, of a rim the first harmonics. The first
    /// three are also those by which light may change along the edge.
    pub(super) fn shapes(&self, u: f64) -> [f64; SHAPES] {
        match self {
            Self::Line(_) => [1.0, u, (3.0 * u * u - 1.0) / 2.0, 0.0, 0.0],
            Self::Rim(_) => {
                let (s, c) = (std::f64::consts::PI * u).sin_cos();
                [1.0, c, s, c * c - s * s, 2.0 * s * c]
            }
        }
    }

    /// How far a curve lies beside the course at a place, pixels.
    pub(super) fn beside(&self, curve: &Curve, u: f64) -> f64 {
        let shapes = self.shapes(u);
        (0..SHAPES).map(|k| curve[k] * shapes[k]).sum()
    }

    /// The place in the picture.
    pub(super) fn place(&self, u: f64, t: f64) -> [f64; 2] {
        match self {
            Self::Line(line) => line.at(u * line.half, t),
            Self::Rim(rim) => {
                let angle = std::f64::consts::PI * u;
                let (p, n) = (rim.point(angle), rim.outwards(angle));
                [p[0] + t * n[0], p[1] + t * n[1]]
            }
        }
    }

    /// Calls `each` with place along, place beside the curve and levels of every pixel within `wide` of it.
    pub(super) fn pixels(
        &self,
        light: &Light<'_>,
        curve: &Curve,
        wide: f64,
        mut each: impl FnMut(f64, f64, [u8; 3]),
    ) {
        let size = [light.picture.width, light.picture.height].map(f64::from);
        match self {
            Self::Line(line) => {
                let bow = curve[2].abs();
                let turned = line.shifted(curve[0], curve[1]);
                for (y, range) in turned.rows(wide + bow, size) {
                    for x in range {
                        let d = [
                            f64::from(x) + 0.5 - line.middle[0],
                            f64::from(y) + 0.5 - line.middle[1],
                        ];
                        let n = line.across();
                        let u = (d[0] * line.along[0] + d[1] * line.along[1]) / line.half;
                        let across = d[0] * n[0] + d[1] * n[1];
                        if u.abs() > 1.0 {
                            continue;
                        }
                        // Square to the curve, not to the course.
                        let tilt = (curve[1] + 3.0 * curve[2] * u) / line.half;
                        let t = (across - self.beside(curve, u)) / tilt.hypot(1.0);
                        if t.abs() <= wide
                            && let Some(rgb) = light.levels(x, y)
                        {
                            each(u, t, rgb);
                        }
                    }
                }
            }
            Self::Rim(rim) => {
                let bound: f64 = curve[1..].iter().map(|v| v.abs()).sum();
                let mean = (rim.half_axes[0] + rim.half_axes[1]) / 2.0;
                let off = rim.distances();
                let (s, c) = rim.direction_rad.sin_cos();
                for (y, ranges) in rows_of_rim(rim, curve[0], wide + bound, size) {
                    for x in ranges.into_iter().flatten() {
                        let p = [f64::from(x) + 0.5, f64::from(y) + 0.5];
                        let (dx, dy) = (p[0] - rim.middle[0], p[1] - rim.middle[1]);
                        let (v, w) = (c * dx + s * dy, c * dy - s * dx);
                        let angle = (w / rim.half_axes[1]).atan2(v / rim.half_axes[0]);
                        let first = off(p);
                        // The first-order distance of a circle is d − d²/2R.
                        let d = first + first * first / (2.0 * mean);
                        let u = angle / std::f64::consts::PI;
                        let t = d - self.beside(curve, u);
                        if t.abs() <= wide
                            && let Some(rgb) = light.levels(x, y)
                        {
                            each(u, t, rgb);
                        }
                    }
                }
            }
        }
    }
}

impl Line {
    /// Rows of pixels that a strip about the line crosses, each with its columns.
    fn rows(
        &self,
        wide: f64,
        [width, height]: [f64; 2],
    ) -> impl Iterator<Item = (u32, std::ops::Range<u32>)> + use<> {
        let line = *self;
        let n = line.across();
        let half = line.half + 1.0;
        let reach = half * line.along[1].abs() + wide * n[1].abs();
        let y0 = (line.middle[1] - reach).floor().clamp(0.0, height) as u32;
        let y1 = (line.middle[1] + reach).ceil().clamp(0.0, height) as u32;
        (y0..y1).filter_map(move |y| {
            let dy = f64::from(y) + 0.5 - line.middle[1];
            let (mut low, mut high) = (0.0f64, width);
            // |dx a + dy b| ≤ limit, along and across.
            for (a, b, limit) in [
                (line.along[0], line.along[1], half),
                (n[0], n[1], wide + 1.0),
            ] {
                if a.abs() > 1e-9 {
                    let (p, q) = ((-limit - dy * b) / a, (limit - dy * b) / a);
                    low = low.max(line.middle[0] + p.min(q));
                    high = high.min(line.middle[0] + p.max(q));
                } else if (dy * b).abs() > limit {
                    return None;
                }
            }
            let range = low.floor().max(0.0) as u32..high.ceil().clamp(0.0, width) as u32;
            (range.start < range.end).then_some((y, range))
        })
    }
}

/// Rows of pixels about a rim, each with its columns to the left and to the right of the plain inside.
fn rows_of_rim(
    rim: &Ellipse,
    wider: f64,
    wide: f64,
    [width, height]: [f64; 2],
) -> impl Iterator<Item = (u32, [std::ops::Range<u32>; 2])> + use<> {
    let outer = rim.widened(wider + wide + 1.0);
    let inner = rim.widened(wider - wide - 1.0);
    let reach = outer.half_axes[0];
    let y0 = (rim.middle[1] - reach).floor().clamp(0.0, height) as u32;
    let y1 = (rim.middle[1] + reach).ceil().clamp(0.0, height) as u32;
    (y0..y1).filter_map(move |y| {
        let down = f64::from(y) + 0.5;
        let [left, right] = outer.crossed(down)?;
        let column = |v: f64| v.clamp(0.0, width) as u32;
        let (x0, x1) = (column(left.floor()), column(right.ceil()));
        let hole = inner
            .crossed(down)
            .filter(|_| inner.half_axes[1] > 0.0)
            .map_or(x1..x1, |[l, r]| {
                let from = column(l.ceil()).clamp(x0, x1);
                from..column(r.floor()).clamp(from, x1)
            });
        Some((y, [x0..hole.start, hole.end..x1]))
    })
}
