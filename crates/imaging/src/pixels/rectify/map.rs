//! Where the pixels of a new picture lie in the old one.
//!
//! In: a homography, with a lens where known. Out: for up to [`RUN`] neighbouring pixels of a row,
//! the pixel to the upper left of each position and the fractions.
//!
//! Along a row a homography moves by x(d) − x(0) = d (h₀ − x(0) h₆) ⁄ (w + d h₆) exactly, so each
//! run starts from a position in double precision and steps in single precision with an error below
//! 2⁻¹⁶ pixel. With a lens, a cubic through four positions takes that place where it meets two more
//! within 2⁻¹² pixel. Where neither holds (the horizon is near, the old picture is far larger) every
//! position is worked out in double precision.

use super::Source;

/// Neighbouring pixels that are worked out together.
pub(super) const RUN: usize = 64;

/// A lens that shifts places along the ray from the middle of the picture by
/// 1 + k₁ r² + k₂ r⁴, r counted in half diagonals of the picture (Brown–Conrady, radial part).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lens {
    /// Middle of the picture, pixels from its upper left corner.
    pub middle: [f64; 2],
    /// Half the diagonal of the picture, pixels.
    pub half_diagonal: f64,
    /// k₁ and k₂.
    pub k: [f64; 2],
}

impl Lens {
    /// Returns the lens of a picture of this size.
    pub fn of_picture(width: u32, height: u32, k: [f64; 2]) -> Self {
        let middle = [f64::from(width) / 2.0, f64::from(height) / 2.0];
        Self {
            middle,
            half_diagonal: (middle[0] * middle[0] + middle[1] * middle[1]).sqrt(),
            k,
        }
    }
}

/// From places in a new picture to places in an old one.
#[derive(Debug, Clone, PartialEq)]
pub struct Map {
    /// Row by row, from the middles of new pixels (counted from 0) to the middles of old ones.
    h: [f64; 9],
    lens: Option<Lens>,
}

impl Map {
    /// Returns the map of a homography between pixels counted from the middle of the first one, as
    /// OpenCV has it.
    pub fn between_middles(homography: [[f64; 3]; 3]) -> Self {
        let [a, b, c] = homography;
        Self {
            h: [a[0], a[1], a[2], b[0], b[1], b[2], c[0], c[1], c[2]],
            lens: None,
        }
    }

    /// Returns the map of a top-down view of a plane.
    ///
    /// `plane_to_picture` takes millimetres to pixels from the upper left corner of the photograph
    /// (the middle of its first pixel is at 0.5, 0.5) without the lens, which follows. The upper
    /// left corner of the view is at `corner_mm`, and the view has `pixels_per_mm`.
    pub fn top_down(
        plane_to_picture: [[f64; 3]; 3],
        lens: Option<Lens>,
        corner_mm: [f64; 2],
        pixels_per_mm: f64,
    ) -> Self {
        let [a, b, c] = plane_to_picture.map(|row| {
            // The middle of view pixel (i, j) is at corner + (i + 0.5, j + 0.5) ⁄ scale.
            let x = corner_mm[0] + 0.5 / pixels_per_mm;
            let y = corner_mm[1] + 0.5 / pixels_per_mm;
            [
                row[0] / pixels_per_mm,
                row[1] / pixels_per_mm,
                row[0] * x + row[1] * y + row[2],
            ]
        });
        // From corners to middles: half a pixel less on both axes.
        let less = |row: [f64; 3]| std::array::from_fn(|i| row[i] - 0.5 * c[i]);
        let mut map = Self::between_middles([less(a), less(b), c]);
        map.lens = lens.filter(|l| l.k != [0.0, 0.0] && l.half_diagonal > 0.0);
        map
    }

    /// Returns the place in the old picture (from the middle of its first pixel), or `None` behind
    /// the horizon.
    pub fn at(&self, x: f64, y: f64) -> Option<[f64; 2]> {
        let h = &self.h;
        let w = h[6] * x + h[7] * y + h[8];
        let mut p = [
            (h[0] * x + h[1] * y + h[2]) / w,
            (h[3] * x + h[4] * y + h[5]) / w,
        ];
        if let Some(lens) = self.lens {
            let off: [f64; 2] =
                std::array::from_fn(|i| (p[i] + 0.5 - lens.middle[i]) / lens.half_diagonal);
            let r2 = off[0] * off[0] + off[1] * off[1];
            let factor = 1.0 + r2 * (lens.k[0] + lens.k[1] * r2);
            p = std::array::from_fn(|i| {
                lens.middle[i] + off[i] * factor * lens.half_diagonal - 0.5
            });
        }
        (p[0].is_finite() && p[1].is_finite() && w * self.side() > 0.0).then_some(p)
    }

    /// Sign of the denominator in front of the camera: that of the view's first pixel.
    fn side(&self) -> f64 {
        if self.h[8] < 0.0 { -1.0 } else { 1.0 }
    }
}

/// Positions of one run.
pub(super) struct Steps {
    /// Pixel to the left.
    pub(super) x: [i32; RUN],
    /// Pixel above.
    pub(super) y: [i32; RUN],
    /// Share of the way to the next column, in units of the kernel.
    pub(super) fx: [i32; RUN],
    /// Share of the way to the next row.
    pub(super) fy: [i32; RUN],
    /// First byte that each of them needs of a picture that holds the run.
    pub(super) at: [u32; RUN],
    /// How many of them are wanted; the others, up to a multiple of eight, lie as far inside.
    pub(super) count: usize,
    /// Least and greatest pixels: left, right, top, bottom.
    bounds: [i32; 4],
}

/// A position that no picture holds.
const NOWHERE: i32 = i32::MIN / 4;

/// Where a run begins, and how it goes on without a lens.
#[derive(Clone, Copy, Default)]
pub(super) struct Start {
    /// Pixel to the upper left.
    pixel: [i32; 2],
    /// From there to the position, in units of the kernel.
    off: [f32; 2],
    /// Way to the next position, in the same units.
    step: [f32; 2],
    /// Share of the denominator that comes with each step.
    bend: f32,
    /// Whether stepping is exact enough here.
    good: bool,
}

impl Start {
    /// Works out where the runs from column `x` on begin in the rows from `y` on: several at once,
    /// so that none waits for the division of the one before.
    #[inline(always)]
    pub(super) fn fill(all: &mut [Self], map: &Map, x: u32, y: u32, unit: u32) {
        if map.lens.is_some() {
            return;
        }
        let (h, side) = (&map.h, map.side());
        let x = f64::from(x);
        let parts = f64::from(1u32 << unit);
        for (row, start) in all.iter_mut().enumerate() {
            let y = f64::from(y) + row as f64;
            let w = h[6] * x + h[7] * y + h[8];
            let over = 1.0 / w;
            let px = (h[0] * x + h[1] * y + h[2]) * over;
            let py = (h[3] * x + h[4] * y + h[5]) * over;
            let q = h[6] * over;
            let (ax, ay) = ((h[0] - px * h[6]) * over, (h[3] - py * h[6]) * over);
            // Numbers below 2²² are rounded to whole ones by adding 1.5 · 2²³. The horizon is far
            // when the denominator changes by less than a half.
            let far = 2.0 * RUN as f64 * ax.abs().max(ay.abs()) + 1.0;
            let good = w * side > 0.0
                && q.abs() * (RUN as f64) < 0.5
                && far * parts < f64::from(1u32 << 22)
                && px.abs() < 1e8
                && py.abs() < 1e8;
            let (x0, y0) = (px.floor(), py.floor());
            *start = Self {
                pixel: [x0 as i32, y0 as i32],
                off: [px - x0, py - y0].map(|v| (v * parts) as f32),
                step: [ax, ay].map(|v| (v * parts) as f32),
                bend: q as f32,
                good,
            };
        }
    }
}

impl Steps {
    pub(super) fn new() -> Self {
        Self {
            x: [0; RUN],
            y: [0; RUN],
            fx: [0; RUN],
            fy: [0; RUN],
            at: [0; RUN],
            count: 0,
            bounds: [NOWHERE; 4],
        }
    }

    /// Works out the positions of `count` pixels from (`x`, `y`) on.
    #[inline(always)]
    pub(super) fn fill(
        &mut self,
        map: &Map,
        start: &Start,
        [x, y]: [u32; 2],
        count: usize,
        unit: u32,
    ) {
        self.count = count;
        let (x, y) = (f64::from(x), f64::from(y));
        let stepped = match map.lens {
            None => start.good,
            Some(_) => self.bend(map, x, y, unit),
        };
        if !stepped {
            self.each(map, x, y, unit);
        } else if map.lens.is_none() {
            self.step(start, unit);
        }
    }

    /// Works out the first bytes that a kernel of this reach needs.
    #[inline(always)]
    pub(super) fn locate(&mut self, source: Source<'_>, reach: usize) {
        // Outside the picture the numbers mean nothing and are not used.
        let stride = (source.width as u32).wrapping_mul(3);
        let before = stride.wrapping_add(3).wrapping_mul(reach as u32);
        for ((at, x), y) in self.at.iter_mut().zip(&self.x).zip(&self.y) {
            *at = (*y as u32)
                .wrapping_mul(stride)
                .wrapping_add((*x as u32).wrapping_mul(3))
                .wrapping_sub(before);
        }
    }

    /// Returns about which bytes the run to the right of this one needs.
    #[inline(always)]
    pub(super) fn beyond(&self, source: Source<'_>) -> [usize; 4] {
        let [dx, dy] = [&self.x, &self.y].map(|v| v[RUN - 1].wrapping_sub(v[0]) as u32);
        let shift = dy
            .wrapping_mul(source.width as u32)
            .wrapping_add(dx)
            .wrapping_mul(3);
        std::array::from_fn(|k| self.at[k * RUN / 4 + RUN / 8].wrapping_add(shift) as usize)
    }

    /// Steps along a homography.
    #[inline(always)]
    fn step(&mut self, start: &Start, unit: u32) {
        let ([x0, y0], [bx, by], [ax, ay]) = (start.pixel, start.off, start.step);
        let q = start.bend;
        let mask = (1 << unit) - 1;
        for i in 0..RUN {
            let d = i as f32;
            let r = d / (1.0 + q * d);
            let u = whole(bx + ax * r);
            let v = whole(by + ay * r);
            self.x[i] = x0 + (u >> unit);
            self.y[i] = y0 + (v >> unit);
            self.fx[i] = u & mask;
            self.fy[i] = v & mask;
        }
        // Both coordinates are monotone along the run. Vectors work on whole groups of eight.
        let last = self.count.clamp(1, RUN).next_multiple_of(8) - 1;
        let ordered = |v: &[i32; RUN]| [v[0].min(v[last]), v[0].max(v[last])];
        let ([left, right], [top, bottom]) = (ordered(&self.x), ordered(&self.y));
        self.bounds = [left, right, top, bottom];
    }

    /// Steps along a cubic; says whether that is exact enough here.
    #[inline(always)]
    fn bend(&mut self, map: &Map, x: f64, y: f64, unit: u32) -> bool {
        let exact = |d: f64| map.at(x + d, y).unwrap_or([f64::INFINITY; 2]);
        let nodes = [0.0, 21.0, 42.0, 63.0].map(exact);
        let [cx, cy] = [0, 1].map(|axis| through(nodes.map(|p| p[axis])));
        let off = [10.0, 53.0].into_iter().fold(0.0f64, |worst, d| {
            let [u, v] = exact(d);
            let far = (u - value(cx, d)).abs().max((v - value(cy, d)).abs());
            // A place that is not a number counts as far off.
            if far.is_nan() {
                f64::INFINITY
            } else {
                worst.max(far)
            }
        });
        let parts = f64::from(1u32 << unit);
        let far = nodes.iter().fold(0.0f64, |worst, p| {
            worst.max((p[0] - cx[0]).abs()).max((p[1] - cy[0]).abs())
        });
        let good = off < 1.0 / 4096.0
            && (2.0 * far + 1.0) * parts < f64::from(1u32 << 22)
            && cx[0].abs().max(cy[0].abs()) < 1e8;
        if !good {
            return false;
        }
        let start = [cx[0].floor(), cy[0].floor()];
        let near =
            |c: [f64; 4], from: f64| [c[0] - from, c[1], c[2], c[3]].map(|v| (v * parts) as f32);
        let (cx, cy) = (near(cx, start[0]), near(cy, start[1]));
        let [x0, y0] = start.map(|v| v as i32);
        let mask = (1 << unit) - 1;
        for i in 0..RUN {
            let d = i as f32;
            let u = whole(cx[0] + d * (cx[1] + d * (cx[2] + d * cx[3])));
            let v = whole(cy[0] + d * (cy[1] + d * (cy[2] + d * cy[3])));
            self.x[i] = x0 + (u >> unit);
            self.y[i] = y0 + (v >> unit);
            self.fx[i] = u & mask;
            self.fy[i] = v & mask;
        }
        let ends = |v: &[i32; RUN]| {
            v.iter()
                .fold([i32::MAX, i32::MIN], |[a, b], v| [a.min(*v), b.max(*v)])
        };
        let ([left, right], [top, bottom]) = (ends(&self.x), ends(&self.y));
        self.bounds = [left, right, top, bottom];
        true
    }

    /// Works out every position in double precision.
    fn each(&mut self, map: &Map, x: f64, y: f64, unit: u32) {
        let parts = f64::from(1u32 << unit);
        let mask = (1 << unit) - 1;
        let mut bounds = [i32::MAX, i32::MIN, i32::MAX, i32::MIN];
        for i in 0..RUN {
            // Behind the wanted ones the last of them is repeated.
            let place = map
                .at(x + i.min(self.count.max(1) - 1) as f64, y)
                .filter(|p| p[0].abs().max(p[1].abs()) < 1e8);
            let [u, v] = match place {
                Some(p) => p.map(|c| (c * parts).round() as i64),
                None => [i64::from(NOWHERE) << unit; 2],
            };
            self.x[i] = (u >> unit) as i32;
            self.y[i] = (v >> unit) as i32;
            self.fx[i] = (u & mask) as i32;
            self.fy[i] = (v & mask) as i32;
            bounds[0] = bounds[0].min(self.x[i]);
            bounds[1] = bounds[1].max(self.x[i]);
            bounds[2] = bounds[2].min(self.y[i]);
            bounds[3] = bounds[3].max(self.y[i]);
        }
        self.bounds = bounds;
    }

    /// Says whether every wanted position has `reach` pixels before it and one more behind it, with
    /// 32 bytes to load behind the last.
    pub(super) fn inside(&self, source: Source<'_>, reach: usize) -> bool {
        let [left, right, top, bottom] = self.bounds;
        let reach = reach as i32;
        if left < reach || top < reach {
            return false;
        }
        let (right, bottom) = ((right + reach + 1) as usize, (bottom + reach + 1) as usize);
        right < source.width
            && bottom < source.height
            && (bottom * source.width + right) * 3 + 32 <= source.rgb.len()
    }
}

/// Returns the cubic through values at 0, 21, 42 and 63.
fn through([a, b, c, d]: [f64; 4]) -> [f64; 4] {
    let (first, second, third) = (b - a, c - 2.0 * b + a, d - 3.0 * c + 3.0 * b - a);
    // Newton's forward differences with a step of 21, in powers of the distance.
    [
        a,
        (first - second / 2.0 + third / 3.0) / 21.0,
        (second - third) / 2.0 / (21.0 * 21.0),
        third / 6.0 / (21.0 * 21.0 * 21.0),
    ]
}

fn value(c: [f64; 4], d: f64) -> f64 {
    c[0] + d * (c[1] + d * (c[2] + d * c[3]))
}

/// Rounds a number below 2²² to a whole one.
#[inline(always)]
fn whole(v: f32) -> i32 {
    const MAGIC: f32 = 12_582_912.0;
    (v + MAGIC).to_bits() as i32 - MAGIC.to_bits() as i32
}
