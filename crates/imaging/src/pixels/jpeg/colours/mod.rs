//! Brightness and colour differences of a row of coding units.
//!
//! Colours at half resolution are the means of 2 × 2 pixels. Source: JFIF 1.02 for the weights, here
//! in 2⁻¹⁵.

#[cfg(target_arch = "x86_64")]
mod avx2;
mod strip;

use crate::Picture;
#[cfg(target_arch = "x86_64")]
use crate::pixels::wide;
pub(super) use strip::Strip;

/// A rectangle that lies inside its picture.
pub(super) struct Area<'a> {
    picture: &'a Picture,
    left: usize,
    top: usize,
    /// Pixels.
    pub(super) width: usize,
    /// Pixels.
    pub(super) height: usize,
    #[cfg(target_arch = "x86_64")]
    wide: Option<pulp::x86::V3>,
}

impl<'a> Area<'a> {
    pub(super) fn new(picture: &'a Picture, corner: [u32; 2], size: [u16; 2]) -> Option<Self> {
        let [left, top] = corner.map(|v| v as usize);
        let [width, height] = size.map(usize::from);
        let whole = [picture.width, picture.height].map(|v| v as usize);
        let inside =
            width > 0 && height > 0 && left + width <= whole[0] && top + height <= whole[1];
        (inside && picture.rgb.len() == whole[0] * whole[1] * 3).then(|| Self {
            picture,
            left,
            top,
            width,
            height,
            #[cfg(target_arch = "x86_64")]
            wide: pulp::x86::V3::try_new(),
        })
    }

    /// The last row stands for those below it.
    fn row(&self, y: usize) -> &[u8] {
        let y = self.top + y.min(self.height - 1);
        let start = y * self.picture.width as usize + self.left;
        &self.picture.rgb[start * 3..(start + self.width) * 3]
    }

    /// Tells the processor that a row will soon be needed: neighbouring rows of a part of a picture
    /// stand so far apart that it does not find out by itself.
    #[cfg(target_arch = "x86_64")]
    fn ask(&self, y: usize) {
        let Some(simd) = self.wide else {
            return;
        };
        let row = self.row(y);
        for at in (0..row.len()).step_by(wide::LINE) {
            wide::ask(simd, row, at);
        }
    }

    #[cfg(not(target_arch = "x86_64"))]
    fn ask(&self, _y: usize) {}

    /// Fills a row of coding units from row `top` on.
    pub(super) fn fill(&self, top: usize, strip: &mut Strip) {
        let Strip { planes, half, .. } = strip;
        let [brightness, blue, red] = planes;
        let colours = blue.rows().zip(red.rows());
        if *half {
            let pairs = brightness.values.chunks_exact_mut(2 * brightness.stride);
            for ((y, both), (blue, red)) in (top..).step_by(2).zip(pairs).zip(colours) {
                let (first, second) = both.split_at_mut(both.len() / 2);
                self.ask(y + 16);
                self.ask(y + 17);
                let mut rows = Rows {
                    pixels: [self.row(y), self.row(y + 1)],
                    brightness: [first, second],
                    blue,
                    red,
                };
                #[cfg(target_arch = "x86_64")]
                let done = self.wide.map_or(0, |wide| avx2::rows(wide, &mut rows));
                #[cfg(not(target_arch = "x86_64"))]
                let done = 0;
                rows.fill(done);
            }
        } else {
            for ((y, bright), (blue, red)) in (top..).zip(brightness.rows()).zip(colours) {
                self.ask(y + 8);
                let mut row = Row {
                    pixels: self.row(y),
                    values: [bright, blue, red],
                };
                #[cfg(target_arch = "x86_64")]
                let done = self.wide.map_or(0, |wide| avx2::row(wide, &mut row));
                #[cfg(not(target_arch = "x86_64"))]
                let done = 0;
                row.fill(done);
            }
        }
        for (plane, width) in planes
            .iter_mut()
            .zip([self.width, strip.colours, strip.colours])
        {
            for row in plane.rows() {
                let (there, behind) = row.split_at_mut(width);
                behind.fill(there[width - 1]);
            }
        }
    }
}

/// Two rows of pixels, and where their values go.
struct Rows<'a> {
    pixels: [&'a [u8]; 2],
    brightness: [&'a mut [u8]; 2],
    blue: &'a mut [u8],
    red: &'a mut [u8],
}

impl Rows<'_> {
    /// Fills the rows from pixel `done` on, an even number.
    fn fill(&mut self, done: usize) {
        for (values, row) in self.brightness.iter_mut().zip(self.pixels) {
            for (value, pixel) in values.iter_mut().zip(row.chunks_exact(3)).skip(done) {
                *value = level(BRIGHTNESS, pixel);
            }
        }
        let [upper, lower] = self.pixels.map(|row| row.chunks(6).skip(done / 2));
        let values = self.blue.iter_mut().zip(&mut *self.red).skip(done / 2);
        for (((blue, red), upper), lower) in values.zip(upper).zip(lower) {
            // An odd last pixel stands for its neighbour too.
            let right = upper.len() - 3;
            let four = [&upper[..3], &upper[right..], &lower[..3], &lower[right..]];
            *blue = difference(BLUE, four);
            *red = difference(RED, four);
        }
    }
}

/// A row of pixels, and where its brightness and colours at full resolution go.
struct Row<'a> {
    pixels: &'a [u8],
    values: [&'a mut [u8]; 3],
}

impl Row<'_> {
    /// Fills the row from pixel `done` on.
    fn fill(&mut self, done: usize) {
        let [brightness, blue, red] = &mut self.values;
        for (i, pixel) in self.pixels.chunks_exact(3).enumerate().skip(done) {
            brightness[i] = level(BRIGHTNESS, pixel);
            blue[i] = difference(BLUE, [pixel; 4]);
            red[i] = difference(RED, [pixel; 4]);
        }
    }
}

fn level(weights: [i16; 3], pixel: &[u8]) -> u8 {
    ((weighed(weights, pixel) + (1 << 14)) >> 15) as u8
}

fn difference(weights: [i16; 3], four: [&[u8]; 4]) -> u8 {
    let sum: i32 = four.iter().map(|pixel| weighed(weights, pixel)).sum();
    ((sum + MIDDLE) >> 17) as u8
}

fn weighed(weights: [i16; 3], pixel: &[u8]) -> i32 {
    weights
        .iter()
        .zip(pixel)
        .map(|(w, p)| i32::from(*w) * i32::from(*p))
        .sum()
}

/// Weights of red, green and blue, 2⁻¹⁵.
const BRIGHTNESS: [i16; 3] = [9_798, 19_235, 3_735];
const BLUE: [i16; 3] = [-5_529, -10_855, 16_384];
const RED: [i16; 3] = [16_384, -13_720, -2_664];
/// 128 for sums over four pixels, and less than half a level, so that all stay below 256.
const MIDDLE: i32 = (128 << 17) + (1 << 16) - 1;

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: JFIF 1.02, in double precision; colours of the mean of 2 × 2 pixels. Vector and plain
    /// code give the same.
    #[test]
    fn values_are_those_of_the_standard_within_rounding() {
        for (width, height) in [(1, 1), (2, 3), (15, 2), (18, 4), (67, 5), (131, 2)] {
            let rgb = (0..(width + 3) * (height + 2) * 3)
                .map(|i: u32| (i.wrapping_mul(2_654_435_761) >> 24) as u8)
                .collect();
            let picture = Picture {
                width: width + 3,
                height: height + 2,
                rgb,
            };
            let area = Area::new(&picture, [2, 1], [width as u16, height as u16]).unwrap();
            let mean = |x: u32, y: u32, side: u32, weights: [f64; 3]| -> f64 {
                let mut sum = 0.0;
                for (x, y) in (y..y + side).flat_map(|y| (x..x + side).map(move |x| (x, y))) {
                    let (x, y) = (x.min(width - 1) + 2, y.min(height - 1) + 1);
                    let from = ((y * picture.width + x) * 3) as usize;
                    let pixel = picture.rgb[from..from + 3].iter().zip(weights);
                    sum += pixel.map(|(p, w)| f64::from(*p) * w).sum::<f64>();
                }
                sum / f64::from(side * side)
            };
            for half in [true, false] {
                let mut strip = Strip::new(width as usize, half);
                area.fill(0, &mut strip);
                #[cfg(target_arch = "x86_64")]
                {
                    let plain = Area {
                        wide: None,
                        ..Area::new(&picture, [2, 1], [width as u16, height as u16]).unwrap()
                    };
                    let mut same = Strip::new(width as usize, half);
                    plain.fill(0, &mut same);
                    for (plane, same) in strip.planes.iter().zip(&same.planes) {
                        assert_eq!(plane.values, same.values, "{half} {width}");
                    }
                }
                let side = if half { 2 } else { 1 };
                let weights = [
                    (1, 0.0, [0.299, 0.587, 0.114]),
                    (side, 128.0, [-0.168_736, -0.331_264, 0.5]),
                    (side, 128.0, [0.5, -0.418_688, -0.081_312]),
                ];
                for (plane, (side, level, weights)) in strip.planes.iter().zip(weights) {
                    for (i, value) in plane.values.iter().enumerate() {
                        let [x, y] = [i % plane.stride, i / plane.stride].map(|v| v as u32 * side);
                        // What fills the last unit repeats the last value.
                        let last = |v: u32, size: u32| v.min((size - 1) / side * side);
                        let wanted = level + mean(last(x, width), y, side, weights);
                        let off = (f64::from(*value) - wanted).abs();
                        assert!(off < 0.52, "{half} {width} {x} {y}: {value} {wanted}");
                    }
                }
            }
        }
    }
}
