//! A rectangle of a picture as the JPEG encoder takes it: brightness, and colours at half resolution.
//!
//! The encoder takes every second value of every second row of the colours. So these are the means
//! of 2 × 2 pixels, as its average would be, and in the rows between them nothing is worked out.
//! Source: JFIF 1.02 for the weights, here in 2⁻¹⁵.

use crate::Picture;
use jpeg_encoder::{ImageBuffer, JpegColorType};

/// A rectangle that lies inside its picture; at most 65,535 pixels wide and high.
pub(super) struct HalfColours<'a> {
    picture: &'a Picture,
    left: usize,
    top: usize,
    width: u16,
    height: u16,
    #[cfg(target_arch = "x86_64")]
    wide: Option<pulp::x86::V3>,
}

impl<'a> HalfColours<'a> {
    pub(super) fn new(picture: &'a Picture, [left, top]: [u32; 2], size: [u16; 2]) -> Self {
        Self {
            picture,
            left: left as usize,
            top: top as usize,
            width: size[0],
            height: size[1],
            #[cfg(target_arch = "x86_64")]
            wide: pulp::x86::V3::try_new(),
        }
    }

    fn row(&self, y: u16) -> &[u8] {
        let start = (self.top + usize::from(y)) * self.picture.width as usize + self.left;
        &self.picture.rgb[start * 3..(start + usize::from(self.width)) * 3]
    }
}

impl ImageBuffer for HalfColours<'_> {
    fn get_jpeg_color_type(&self) -> JpegColorType {
        JpegColorType::Ycbcr
    }

    fn width(&self) -> u16 {
        self.width
    }

    fn height(&self) -> u16 {
        self.height
    }

    fn fill_buffers(&self, y: u16, buffers: &mut [Vec<u8>; 4]) {
        let last = self.height - 1;
        let [brightness, blue, red, _] = buffers;
        let [brightness, blue, red] = [brightness, blue, red].map(|buffer| {
            let from = buffer.len();
            buffer.resize(from + usize::from(self.width), 0);
            &mut buffer[from..]
        });
        // The last row stands for those that fill up the last blocks.
        let colours = (y.is_multiple_of(2) || y == last).then_some((blue, red));
        let mut row = Row {
            upper: self.row(y),
            lower: self.row((y + 1).min(last)),
            brightness,
            colours,
        };
        #[cfg(target_arch = "x86_64")]
        let done = self.wide.map_or(0, |wide| wide::fill(wide, &mut row));
        #[cfg(not(target_arch = "x86_64"))]
        let done = 0;
        row.fill(done);
    }
}

/// A row of pixels with the one below, and where its values go.
struct Row<'a> {
    upper: &'a [u8],
    lower: &'a [u8],
    brightness: &'a mut [u8],
    colours: Option<(&'a mut [u8], &'a mut [u8])>,
}

impl Row<'_> {
    /// Fills the row from pixel `done` on, an even number.
    fn fill(&mut self, done: usize) {
        let pixels = self.upper.chunks_exact(3).skip(done);
        for (value, p) in self.brightness[done..].iter_mut().zip(pixels) {
            let [r, g, b] = [p[0], p[1], p[2]].map(i32::from);
            let [wr, wg, wb] = BRIGHTNESS.map(i32::from);
            *value = ((wr * r + wg * g + wb * b + (1 << 14)) >> 15) as u8;
        }
        let Some((blue, red)) = &mut self.colours else {
            return;
        };
        // An odd last pixel stands for its neighbour too.
        for (i, values) in blue
            .chunks_mut(2)
            .zip(red.chunks_mut(2))
            .enumerate()
            .skip(done / 2)
        {
            let left = 6 * i;
            let right = left + 3 * (values.0.len() - 1);
            let sums: [i32; 3] = std::array::from_fn(|c| {
                [self.upper, self.lower]
                    .map(|row| i32::from(row[left + c]) + i32::from(row[right + c]))
                    .iter()
                    .sum()
            });
            let difference = |weights: [i16; 3]| {
                let sum: i32 = weights
                    .iter()
                    .zip(sums)
                    .map(|(w, s)| i32::from(*w) * s)
                    .sum();
                ((sum + MIDDLE) >> 17) as u8
            };
            values.0.fill(difference(BLUE));
            values.1.fill(difference(RED));
        }
    }
}

/// Weights of red, green and blue, 2⁻¹⁵.
const BRIGHTNESS: [i16; 3] = [9_798, 19_235, 3_735];
const BLUE: [i16; 3] = [-5_529, -10_855, 16_384];
const RED: [i16; 3] = [16_384, -13_720, -2_664];
/// 128 for sums over four pixels, and less than half a level, so that all stay below 256.
const MIDDLE: i32 = (128 << 17) + (1 << 16) - 1;

#[cfg(target_arch = "x86_64")]
mod wide {
    //! Sixteen pixels at a time in 256-bit vectors.

    use super::{BLUE, BRIGHTNESS, MIDDLE, RED, Row};
    use crate::pixels::rectify::inlined;
    use pulp::x86::V3;
    use pulp::{NullaryFnOnce, cast};
    use std::arch::x86_64::{__m128i, __m256i};

    const Z: i8 = -1;
    /// Red and green of four pixels in 16 bits each; blue alone.
    const RED_GREEN: [i8; 16] = [0, Z, 1, Z, 3, Z, 4, Z, 6, Z, 7, Z, 9, Z, 10, Z];
    const ONLY_BLUE: [i8; 16] = [2, Z, Z, Z, 5, Z, Z, Z, 8, Z, Z, Z, 11, Z, Z, Z];
    /// Neighbouring pixels' bytes side by side, four pixels to two: red, green, blue, nothing.
    const PAIRS: [i8; 16] = [0, 3, 1, 4, 2, 5, Z, Z, 6, 9, 7, 10, 8, 11, Z, Z];
    /// Every value twice, first those of one difference, then those of the other.
    const TWICE: [i8; 16] = [0, 0, 2, 2, 8, 8, 10, 10, 4, 4, 6, 6, 12, 12, 14, 14];

    /// Fills as many pixels as fit whole vectors and returns how many.
    pub(super) fn fill(simd: V3, row: &mut Row<'_>) -> usize {
        simd.vectorize(Work(simd, row))
    }

    struct Work<'a, 'b>(V3, &'a mut Row<'b>);

    impl NullaryFnOnce for Work<'_, '_> {
        type Output = usize;

        #[inline(always)]
        fn call(self) -> usize {
            let Self(simd, row) = self;
            let v = simd.avx2;
            let both = inlined(
                #[inline(always)]
                |half: [i8; 16]| -> __m256i { cast([half, half]) },
            );
            let weights = inlined(
                #[inline(always)]
                |[r, g, b]: [i16; 3]| -> __m256i { cast([[r, g, b, 0]; 4]) },
            );
            // Pixels from `at` and, in the other half, those eight further.
            let load = inlined(
                #[inline(always)]
                |bytes: &[u8; 52], at: usize| -> __m256i {
                    let part = inlined(
                        #[inline(always)]
                        |at: usize| -> __m128i {
                            bytes[at..]
                                .first_chunk::<16>()
                                .map_or(cast([0u8; 16]), |b| cast(*b))
                        },
                    );
                    cast([part(at), part(at + 24)])
                },
            );
            let [wr, wg, wb] = BRIGHTNESS;
            let red_green: __m256i = cast([[wr, wg]; 8]);
            let only_blue: __m256i = cast([[wb, 0]; 8]);
            let half = simd.avx._mm256_set1_epi32(1 << 14);
            let middle = simd.avx._mm256_set1_epi32(MIDDLE);
            let ones = simd.avx._mm256_set1_epi8(1);
            let mut done = 0;
            while let (Some(a), Some(b)) = (
                row.upper
                    .get(done * 3..)
                    .and_then(|r| r.first_chunk::<52>()),
                row.lower
                    .get(done * 3..)
                    .and_then(|r| r.first_chunk::<52>()),
            ) {
                let brightness = inlined(
                    #[inline(always)]
                    |at: usize| {
                        let bytes = load(a, at);
                        let rg = v._mm256_shuffle_epi8(bytes, both(RED_GREEN));
                        let b = v._mm256_shuffle_epi8(bytes, both(ONLY_BLUE));
                        let sum = v._mm256_add_epi32(
                            v._mm256_madd_epi16(rg, red_green),
                            v._mm256_madd_epi16(b, only_blue),
                        );
                        v._mm256_srli_epi32::<15>(v._mm256_add_epi32(sum, half))
                    },
                );
                let values = v._mm256_packs_epi32(brightness(0), brightness(12));
                let [low, high]: [[u8; 16]; 2] = cast(v._mm256_packus_epi16(values, values));
                let out = &mut row.brightness[done..done + 16];
                out[..8].copy_from_slice(&low[..8]);
                out[8..].copy_from_slice(&high[..8]);
                if let Some((blue, red)) = &mut row.colours {
                    let differences = inlined(
                        #[inline(always)]
                        |at: usize| {
                            let sums = inlined(
                                #[inline(always)]
                                |bytes: &[u8; 52]| {
                                    let pairs = v._mm256_shuffle_epi8(load(bytes, at), both(PAIRS));
                                    v._mm256_maddubs_epi16(pairs, ones)
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
                    let all = v._mm256_packs_epi32(differences(0), differences(12));
                    let all = v._mm256_shuffle_epi8(all, both(TWICE));
                    let [low, high]: [[u8; 16]; 2] = cast(all);
                    blue[done..done + 8].copy_from_slice(&low[..8]);
                    blue[done + 8..done + 16].copy_from_slice(&high[..8]);
                    red[done..done + 8].copy_from_slice(&low[8..]);
                    red[done + 8..done + 16].copy_from_slice(&high[8..]);
                }
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
            let part = HalfColours::new(&picture, [2, 1], [width as u16, height as u16]);
            for y in 0..height {
                let mut buffers: [Vec<u8>; 4] = Default::default();
                part.fill_buffers(y as u16, &mut buffers);
                let at = |x: u32, y: u32, weights: [f64; 3]| -> f64 {
                    let (x, y) = (x.min(width - 1) + 2, y.min(height - 1) + 1);
                    let from = ((y * picture.width + x) * 3) as usize;
                    let pixel = &picture.rgb[from..from + 3];
                    pixel
                        .iter()
                        .zip(weights)
                        .map(|(p, w)| f64::from(*p) * w)
                        .sum()
                };
                for x in 0..width {
                    let close = |channel: usize, wanted: f64| {
                        let got = f64::from(buffers[channel][x as usize]);
                        assert!(
                            (got - wanted).abs() < 0.52,
                            "{channel} {x} {y}: {got} {wanted}"
                        );
                    };
                    close(0, at(x, y, [0.299, 0.587, 0.114]));
                    if y % 2 == 0 || y == height - 1 {
                        let (x, below) = (x / 2 * 2, y + 1);
                        let mean = |w| {
                            let [a, b] = [y, below].map(|y| at(x, y, w) + at(x + 1, y, w));
                            128.0 + (a + b) / 4.0
                        };
                        close(1, mean([-0.168_736, -0.331_264, 0.5]));
                        close(2, mean([0.5, -0.418_688, -0.081_312]));
                    }
                }
            }
        }
    }
}
