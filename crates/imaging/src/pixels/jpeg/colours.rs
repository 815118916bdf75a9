//! Brightness and colour differences of a row of coding units.
//!
//! Colours at half resolution are the means of 2 × 2 pixels. Source: JFIF 1.02 for the weights, here
//! in 2⁻¹⁵.

use crate::Picture;

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

    /// Fills a row of coding units from row `top` on.
    pub(super) fn fill(&self, top: usize, strip: &mut Strip) {
        let Strip { planes, half, .. } = strip;
        let [brightness, blue, red] = planes;
        let colours = blue.rows().zip(red.rows());
        if *half {
            let pairs = brightness.values.chunks_exact_mut(2 * brightness.stride);
            for ((y, both), (blue, red)) in (top..).step_by(2).zip(pairs).zip(colours) {
                let (first, second) = both.split_at_mut(both.len() / 2);
                let mut rows = Rows {
                    pixels: [self.row(y), self.row(y + 1)],
                    brightness: [first, second],
                    blue,
                    red,
                };
                #[cfg(target_arch = "x86_64")]
                let done = self.wide.map_or(0, |wide| wide::fill(wide, &mut rows));
                #[cfg(not(target_arch = "x86_64"))]
                let done = 0;
                rows.fill(done);
            }
        } else {
            for (((y, bright), blue), red) in (top..)
                .zip(brightness.rows())
                .zip(blue.rows())
                .zip(red.rows())
            {
                for (i, pixel) in self.row(y).chunks_exact(3).enumerate() {
                    bright[i] = level(BRIGHTNESS, pixel);
                    blue[i] = difference(BLUE, [pixel; 4]);
                    red[i] = difference(RED, [pixel; 4]);
                }
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

/// Values of one component.
struct Plane {
    values: Vec<u8>,
    stride: usize,
}

impl Plane {
    fn new(stride: usize, rows: usize) -> Self {
        Self {
            values: vec![0; stride * rows],
            stride,
        }
    }

    fn rows(&mut self) -> std::slice::ChunksExactMut<'_, u8> {
        self.values.chunks_exact_mut(self.stride)
    }
}

/// A row of coding units: brightness, blue and red differences.
pub(super) struct Strip {
    planes: [Plane; 3],
    half: bool,
    /// Colour values across.
    colours: usize,
}

impl Strip {
    /// Makes room for a row of this many pixels, colours at half resolution or not.
    pub(super) fn new(width: usize, half: bool) -> Self {
        let across = if half { 2 } else { 1 };
        let stride = width.next_multiple_of(8 * across);
        let colours = || Plane::new(stride / across, 8);
        Self {
            planes: [Plane::new(stride, 8 * across), colours(), colours()],
            half,
            colours: width.div_ceil(across),
        }
    }

    /// Rows of pixels.
    pub(super) fn rows(&self) -> usize {
        if self.half { 16 } else { 8 }
    }

    /// Coding units.
    pub(super) fn units(&self) -> usize {
        self.planes[1].stride / 8
    }

    /// Blocks of a component in a unit.
    #[inline(always)]
    pub(super) fn blocks(&self, component: usize) -> usize {
        if self.half && component == 0 { 4 } else { 1 }
    }

    /// A block of a unit.
    #[inline(always)]
    pub(super) fn block(&self, component: usize, unit: usize, block: usize) -> [[u8; 8]; 8] {
        let plane = &self.planes[component];
        let across = if self.blocks(component) == 4 { 2 } else { 1 };
        let from = block / 2 * 8 * plane.stride + (unit * across + block % 2) * 8;
        let mut rows = [[0; 8]; 8];
        for (y, row) in rows.iter_mut().enumerate() {
            row.copy_from_slice(&plane.values[from + y * plane.stride..][..8]);
        }
        rows
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

fn level(weights: [i16; 3], pixel: &[u8]) -> u8 {
    let sum: i32 = weights
        .iter()
        .zip(pixel)
        .map(|(w, p)| i32::from(*w) * i32::from(*p))
        .sum();
    ((sum + (1 << 14)) >> 15) as u8
}

fn difference(weights: [i16; 3], four: [&[u8]; 4]) -> u8 {
    let of = |pixel: &[u8]| -> i32 {
        weights
            .iter()
            .zip(pixel)
            .map(|(w, p)| i32::from(*w) * i32::from(*p))
            .sum()
    };
    ((four.map(of).iter().sum::<i32>() + MIDDLE) >> 17) as u8
}

/// Weights of red, green and blue, 2⁻¹⁵.
const BRIGHTNESS: [i16; 3] = [9_798, 19_235, 3_735];
const BLUE: [i16; 3] = [-5_529, -10_855, 16_384];
const RED: [i16; 3] = [16_384, -13_720, -2_664];
/// 128 for sums over four pixels, and less than half a level, so that all stay below 256.
const MIDDLE: i32 = (128 << 17) + (1 << 16) - 1;

#[cfg(target_arch = "x86_64")]
mod wide {
    //! Sixteen pixels of two rows at a time in 256-bit vectors.

    use super::{BLUE, BRIGHTNESS, MIDDLE, RED, Rows};
    use crate::pixels::wide::{SIXTEEN, Z, four_by_four, inlined, twice};
    use pulp::x86::V3;
    use pulp::{NullaryFnOnce, cast};
    use std::arch::x86_64::__m256i;

    /// Red and green of four pixels in 16 bits each; blue alone.
    const RED_GREEN: [i8; 16] = [0, Z, 1, Z, 3, Z, 4, Z, 6, Z, 7, Z, 9, Z, 10, Z];
    const ONLY_BLUE: [i8; 16] = [2, Z, Z, Z, 5, Z, Z, Z, 8, Z, Z, Z, 11, Z, Z, Z];
    /// Neighbouring pixels' bytes side by side, four pixels to two: red, green, blue, nothing.
    const PAIRS: [i8; 16] = [0, 3, 1, 4, 2, 5, Z, Z, 6, 9, 7, 10, 8, 11, Z, Z];
    /// First the values of one difference, then those of the other.
    const APART: [i8; 16] = [0, 2, 8, 10, 4, 6, 12, 14, Z, Z, Z, Z, Z, Z, Z, Z];

    /// Fills as many pixels as fit whole vectors and returns how many.
    pub(super) fn fill(simd: V3, rows: &mut Rows<'_>) -> usize {
        simd.vectorize(Work(simd, rows))
    }

    struct Work<'a, 'b>(V3, &'a mut Rows<'b>);

    impl NullaryFnOnce for Work<'_, '_> {
        type Output = usize;

        #[inline(always)]
        fn call(self) -> usize {
            let Self(simd, rows) = self;
            let v = simd.avx2;
            let weights = inlined(
                #[inline(always)]
                |[r, g, b]: [i16; 3]| -> __m256i { cast([[r, g, b, 0]; 4]) },
            );
            let [wr, wg, wb] = BRIGHTNESS;
            let red_green: __m256i = cast([[wr, wg]; 8]);
            let only_blue: __m256i = cast([[wb, 0]; 8]);
            let half = simd.avx._mm256_set1_epi32(1 << 14);
            let middle = simd.avx._mm256_set1_epi32(MIDDLE);
            let ones = simd.avx._mm256_set1_epi8(1);
            let brightness = inlined(
                #[inline(always)]
                |pixels: [__m256i; 2], out: &mut [u8; 16]| {
                    let level = inlined(
                        #[inline(always)]
                        |bytes: __m256i| {
                            let rg = v._mm256_shuffle_epi8(bytes, twice(RED_GREEN));
                            let b = v._mm256_shuffle_epi8(bytes, twice(ONLY_BLUE));
                            let sum = v._mm256_add_epi32(
                                v._mm256_madd_epi16(rg, red_green),
                                v._mm256_madd_epi16(b, only_blue),
                            );
                            v._mm256_srli_epi32::<15>(v._mm256_add_epi32(sum, half))
                        },
                    );
                    let values = v._mm256_packs_epi32(level(pixels[0]), level(pixels[1]));
                    let [low, high]: [[u8; 16]; 2] = cast(v._mm256_packus_epi16(values, values));
                    out[..8].copy_from_slice(&low[..8]);
                    out[8..].copy_from_slice(&high[..8]);
                },
            );
            let [upper, lower] = rows.pixels;
            let [first, second] = &mut rows.brightness;
            let mut done = 0;
            while let (Some(a), Some(b), Some(first), Some(second), Some(blue), Some(red)) = (
                upper
                    .get(done * 3..)
                    .and_then(|r| r.first_chunk::<SIXTEEN>()),
                lower
                    .get(done * 3..)
                    .and_then(|r| r.first_chunk::<SIXTEEN>()),
                first.get_mut(done..).and_then(|r| r.first_chunk_mut()),
                second.get_mut(done..).and_then(|r| r.first_chunk_mut()),
                rows.blue
                    .get_mut(done / 2..)
                    .and_then(|r| r.first_chunk_mut::<8>()),
                rows.red
                    .get_mut(done / 2..)
                    .and_then(|r| r.first_chunk_mut::<8>()),
            ) {
                let (a, b) = (four_by_four(a), four_by_four(b));
                brightness(a, first);
                brightness(b, second);
                let differences = inlined(
                    #[inline(always)]
                    |a: __m256i, b: __m256i| {
                        let sums = inlined(
                            #[inline(always)]
                            |bytes: __m256i| {
                                v._mm256_maddubs_epi16(
                                    v._mm256_shuffle_epi8(bytes, twice(PAIRS)),
                                    ones,
                                )
                            },
                        );
                        let sums = v._mm256_add_epi16(sums(a), sums(b));
                        let sum = v._mm256_hadd_epi32(
                            v._mm256_madd_epi16(sums, weights(BLUE)),
                            v._mm256_madd_epi16(sums, weights(RED)),
                        );
                        v._mm256_srli_epi32::<17>(v._mm256_add_epi32(sum, middle))
                    },
                );
                let all = v._mm256_packs_epi32(differences(a[0], b[0]), differences(a[1], b[1]));
                let [low, high]: [[u8; 16]; 2] = cast(v._mm256_shuffle_epi8(all, twice(APART)));
                blue[..4].copy_from_slice(&low[..4]);
                blue[4..].copy_from_slice(&high[..4]);
                red[..4].copy_from_slice(&low[4..8]);
                red[4..].copy_from_slice(&high[4..8]);
                done += 16;
            }
            done
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: JFIF 1.02, in double precision; colours of the mean of 2 × 2 pixels.
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
