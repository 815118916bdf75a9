//! Photographs from a stand, of which only the blocks about an outline are drawn.
//!
//! The camera is the project's own (perspective, distortion, uneven light, noise); what lies on
//! the table is known by formula, so that blur and the square of each pixel are exact. Blocks are
//! those of a JPEG file, each of which is coded by itself: they are put side by side, written and
//! read again as one small picture, and put back, which gives the levels of the whole photograph.

use imaging::Picture;
use imaging::pixels::{Encoding, Limits, decode, encode};
use scene::camera::{Camera, SensorModel};

/// Side of a block of a JPEG file with colours at full resolution, pixels.
const BLOCK: usize = 8;
/// How far from the outline pixels are drawn.
const REACH: f64 = 18.0;
/// Blocks side by side in the file.
const ROW: usize = 64;

/// An outline on the table, mm; the thing is inside.
pub(crate) enum Outline {
    /// Middle, length, width, turn in radians.
    Rectangle([f64; 2], [f64; 2], f64),
    /// Middle, diameter.
    Disc([f64; 2], f64),
}

impl Outline {
    /// Corners in order, or points around a rim.
    pub(crate) fn points(&self) -> Vec<[f64; 2]> {
        match *self {
            Self::Rectangle(m, [l, w], turn) => {
                let (s, c) = turn.sin_cos();
                [[-0.5, -0.5], [0.5, -0.5], [0.5, 0.5], [-0.5, 0.5]]
                    .map(|[a, b]| [m[0] + c * a * l - s * b * w, m[1] + s * a * l + c * b * w])
                    .to_vec()
            }
            Self::Disc(m, d) => (0..64)
                .map(|k| {
                    let (s, c) = (std::f64::consts::TAU * f64::from(k) / 64.0).sin_cos();
                    [m[0] + d / 2.0 * c, m[1] + d / 2.0 * s]
                })
                .collect(),
        }
    }

    /// Signed distances of a place to the lines that bound the thing, mm, inside negative, and
    /// the direction outwards of each.
    fn distances(&self, p: [f64; 2]) -> Vec<(f64, [f64; 2])> {
        match *self {
            Self::Rectangle(m, [l, w], turn) => {
                let (s, c) = turn.sin_cos();
                let d = [p[0] - m[0], p[1] - m[1]];
                let (x, y) = (c * d[0] + s * d[1], -s * d[0] + c * d[1]);
                let across = if x > 0.0 { 1.0 } else { -1.0 };
                let down = if y > 0.0 { 1.0 } else { -1.0 };
                vec![
                    (x.abs() - l / 2.0, [c * across, s * across]),
                    (y.abs() - w / 2.0, [-s * down, c * down]),
                ]
            }
            Self::Disc(m, d) => {
                let v = [p[0] - m[0], p[1] - m[1]];
                let r = (v[0] * v[0] + v[1] * v[1]).sqrt().max(1e-9);
                vec![(r - d / 2.0, [v[0] / r, v[1] / r])]
            }
        }
    }

    /// Radius of curvature, mm.
    fn radius(&self) -> f64 {
        match self {
            Self::Rectangle(..) => f64::INFINITY,
            Self::Disc(_, d) => d / 2.0,
        }
    }
}

/// A step blurred by a normal distribution and integrated over the square of a pixel.
pub(crate) struct Profile {
    blur: f64,
    /// By direction from along the pixels to 45°, by distance.
    tables: Vec<Vec<f64>>,
}

/// Entries for each pixel of distance, directions, and the greatest distance.
const FINE: f64 = 32.0;
const DIRECTIONS: usize = 4;
const FAR: f64 = 11.0;

impl Profile {
    pub(crate) fn new(blur: f64) -> Self {
        let tables = (0..=DIRECTIONS)
            .map(|k| {
                let angle = std::f64::consts::FRAC_PI_4 * k as f64 / DIRECTIONS as f64;
                let (s, c) = angle.sin_cos();
                let entries = (2.0 * FAR * FINE) as usize + 2;
                (0..entries)
                    .map(|i| over_a_pixel(i as f64 / FINE - FAR, [s, c], blur))
                    .collect()
            })
            .collect();
        Self { blur, tables }
    }

    /// Share of the step at a distance from the edge to the middle of a pixel, pixels, the edge
    /// being square to a direction.
    pub(crate) fn at(&self, distance: f64, square: [f64; 2]) -> f64 {
        if distance.abs() > FAR - 0.1 {
            return if distance > 0.0 { 1.0 } else { 0.0 };
        }
        let (a, b) = (square[0].abs(), square[1].abs());
        let turn = a.min(b).atan2(a.max(b)) / std::f64::consts::FRAC_PI_4 * DIRECTIONS as f64;
        let k = (turn as usize).min(DIRECTIONS - 1);
        let part = turn - k as f64;
        let place = (distance + FAR) * FINE;
        let i = place as usize;
        let f = place - i as f64;
        let one = |t: &[f64]| t[i] + f * (t[i + 1] - t[i]);
        let (low, high) = (one(&self.tables[k]), one(&self.tables[k + 1]));
        low + part * (high - low)
    }

    /// The same for a rim of a radius in pixels. Blur and square together spread by
    /// `blur² + 1/12`, which moves a rim inwards by half of that over the radius.
    fn rim(&self, distance: f64, square: [f64; 2], radius: f64) -> f64 {
        self.at(
            distance + (self.blur * self.blur + 1.0 / 12.0) / (2.0 * radius),
            square,
        )
    }
}

/// Mean of the blurred step over a pixel by Gauss–Legendre quadrature with four places each way.
fn over_a_pixel(distance: f64, [s, c]: [f64; 2], blur: f64) -> f64 {
    const PLACES: [[f64; 2]; 4] = [
        [-0.861_136_311_594_052_6, 0.347_854_845_137_453_8],
        [-0.339_981_043_584_856_3, 0.652_145_154_862_546_1],
        [0.339_981_043_584_856_3, 0.652_145_154_862_546_1],
        [0.861_136_311_594_052_6, 0.347_854_845_137_453_8],
    ];
    if distance.abs() > 5.0 * blur + 0.8 {
        return if distance > 0.0 { 1.0 } else { 0.0 };
    }
    let mut sum = 0.0;
    for [x, wx] in PLACES {
        for [y, wy] in PLACES {
            let z = (distance + (x * s + y * c) / 2.0) / blur;
            let phi = 0.5 * statrs::function::erf::erfc(-z / std::f64::consts::SQRT_2);
            sum += wx * wy / 4.0 * phi;
        }
    }
    sum
}

/// A camera on a stand with its light.
pub(crate) struct Stand {
    pub(crate) camera: Camera,
    pub(crate) sensor: SensorModel,
    pub(crate) profile: Profile,
    /// Quality of the file, or none for no file.
    pub(crate) quality: Option<u8>,
}

impl Stand {
    /// Photographs a thing of a level on a ground of another; pixels far from its outline stay 0.
    pub(crate) fn photograph(&self, outline: &Outline, [thing, ground]: [f64; 2]) -> Picture {
        let [width, height] = self.camera.picture.map(|v| v as usize);
        let blocks = self.blocks(outline);
        let rows = blocks.len().div_ceil(ROW);
        let stride = ROW * BLOCK;
        let mut rgb = vec![0u8; stride * rows * BLOCK * 3];
        for (k, &[left, top]) in blocks.iter().enumerate() {
            let (x0, y0) = ((k % ROW) * BLOCK, (k / ROW) * BLOCK);
            let levels = self.block(outline, [left, top], [thing, ground]);
            for (i, level) in levels.into_iter().enumerate() {
                let place = [(left + i % BLOCK) as u32, (top + i / BLOCK) as u32];
                let pixel = self
                    .sensor
                    .exposed(self.camera.picture, place, [level as f32; 3]);
                let at = 3 * ((y0 + i / BLOCK) * stride + x0 + i % BLOCK);
                rgb[at..at + 3].copy_from_slice(&pixel);
            }
        }
        let mut packed = Picture {
            width: stride as u32,
            height: (rows * BLOCK) as u32,
            rgb,
        };
        if let Some(quality) = self.quality {
            let file = encode(&packed, Encoding::Jpeg(quality), None, None).unwrap();
            packed = decode(&file, &Limits::default()).unwrap().picture;
        }
        let mut rgb = vec![0u8; 3 * width * height];
        for (k, &[left, top]) in blocks.iter().enumerate() {
            let (x0, y0) = ((k % ROW) * BLOCK, (k / ROW) * BLOCK);
            for j in 0..BLOCK {
                let (from, to) = (3 * ((y0 + j) * stride + x0), 3 * ((top + j) * width + left));
                rgb[to..to + 3 * BLOCK].copy_from_slice(&packed.rgb[from..from + 3 * BLOCK]);
            }
        }
        Picture {
            width: width as u32,
            height: height as u32,
            rgb,
        }
    }

    /// Left and top of the blocks near the outline.
    fn blocks(&self, outline: &Outline) -> Vec<[usize; 2]> {
        let [columns, rows] = self.camera.picture.map(|v| v as usize / BLOCK);
        let mut near = vec![false; columns * rows];
        let points = outline.points();
        for (i, p) in points.iter().enumerate() {
            let q = points[(i + 1) % points.len()];
            let steps = ((q[0] - p[0]).hypot(q[1] - p[1]) / 0.1).ceil();
            for k in 0..steps as usize {
                let t = k as f64 / steps;
                let place = [p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1]), 0.0];
                let [x, y] = self.camera.project(place).unwrap();
                let range = |v: f64, most: usize| {
                    let low = ((v - REACH) / BLOCK as f64).floor().max(0.0) as usize;
                    let high = ((v + REACH) / BLOCK as f64).floor().max(0.0) as usize;
                    low..=high.min(most - 1)
                };
                for row in range(y, rows) {
                    for column in range(x, columns) {
                        near[row * columns + column] = true;
                    }
                }
            }
        }
        (0..near.len())
            .filter(|&i| near[i])
            .map(|i| [i % columns * BLOCK, i / columns * BLOCK])
            .collect()
    }

    /// Levels of a block without light and noise. Within it the view is taken as bilinear, which
    /// is off by less than a thousandth of a pixel.
    fn block(
        &self,
        outline: &Outline,
        [left, top]: [usize; 2],
        [thing, ground]: [f64; 2],
    ) -> Vec<f64> {
        let side = BLOCK as f64;
        let corner = |x: f64, y: f64| {
            let px = [left as f64 + x, top as f64 + y];
            self.camera.on_table(px).unwrap()
        };
        let (a, b) = (corner(0.0, 0.0), corner(side, 0.0));
        let (c, d) = (corner(0.0, side), corner(side, side));
        (0..BLOCK * BLOCK)
            .map(|i| {
                let (u, v) = (
                    ((i % BLOCK) as f64 + 0.5) / side,
                    ((i / BLOCK) as f64 + 0.5) / side,
                );
                let mix = |f: &dyn Fn(usize) -> [f64; 2], t: f64| {
                    [0, 1].map(|k: usize| f(k)[0] + t * (f(k)[1] - f(k)[0]))
                };
                let upper = mix(&|k| [a[k], b[k]], u);
                let lower = mix(&|k| [c[k], d[k]], u);
                let mm = [0, 1].map(|k: usize| upper[k] + v * (lower[k] - upper[k]));
                let right = [0, 1]
                    .map(|k: usize| ((b[k] - a[k]) + v * ((d[k] - c[k]) - (b[k] - a[k]))) / side);
                let down = [0, 1].map(|k: usize| (lower[k] - upper[k]) / side);
                let inside: f64 = outline
                    .distances(mm)
                    .into_iter()
                    .map(|(distance, n)| {
                        // The distance in pixels is the one in mm over its growth per pixel.
                        let slope = [
                            n[0] * right[0] + n[1] * right[1],
                            n[0] * down[0] + n[1] * down[1],
                        ];
                        let growth = (slope[0] * slope[0] + slope[1] * slope[1]).sqrt();
                        let radius = outline.radius() / growth;
                        1.0 - self.profile.rim(distance / growth, slope, radius)
                    })
                    .product();
                ground + (thing - ground) * inside
            })
            .collect()
    }
}
