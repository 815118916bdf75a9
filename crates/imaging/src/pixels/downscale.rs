//! Smaller copies of a picture by averaging.
//!
//! In: a picture. Out: half of it (each pixel the rounded mean of 2 × 2), or a copy of which the
//! longer side has a given length: halved while that is possible, then averaged over the area that
//! each new pixel covers. Values are averaged as they are stored, as viewers and other libraries do.

use crate::Picture;
use pulp::NullaryFnOnce;

/// Returns a picture of half the width and height, rounded up; an odd last row or column counts
/// twice.
pub fn halve(picture: &Picture) -> Picture {
    let (width, height) = (picture.width.div_ceil(2), picture.height.div_ceil(2));
    let mut rgb = vec![0; width as usize * height as usize * 3];
    let (from, to) = (picture.width as usize * 3, width as usize * 3);
    if from == 0 {
        return Picture { width, height, rgb };
    }
    let rows: Vec<&[u8]> = picture.rgb.chunks_exact(from).collect();
    let halver = Halver::new();
    for (out, pair) in rgb.chunks_exact_mut(to).zip(rows.chunks(2)) {
        halver.row(pair[0], pair[pair.len() - 1], out);
    }
    Picture { width, height, rgb }
}

/// Returns a copy whose longer side has `longest` pixels; a picture that is not larger stays.
pub fn downscale(picture: &Picture, longest: u32) -> Picture {
    let longest = longest.max(1);
    let side = picture.width.max(picture.height);
    if side <= longest {
        return picture.clone();
    }
    // Both sides keep their ratio to the first picture, not to a rounded half.
    let scaled = |v: u32| {
        let (v, side) = (u64::from(v) * u64::from(longest), u64::from(side));
        ((v + side / 2) / side).max(1) as u32
    };
    shrink(picture, scaled(picture.width), scaled(picture.height))
}

/// Returns a copy of a stated size, neither wider nor higher than the picture: halved while that is possible, then
/// averaged over the area that each new pixel covers.
pub fn shrink(picture: &Picture, width: u32, height: u32) -> Picture {
    let (width, height) = (width.min(picture.width), height.min(picture.height));
    let mut half = None;
    while width > 0
        && height > 0
        && half.as_ref().unwrap_or(picture).width >= 2 * width
        && half.as_ref().unwrap_or(picture).height >= 2 * height
    {
        half = Some(halve(half.as_ref().unwrap_or(picture)));
    }
    average(half.as_ref().unwrap_or(picture), width, height)
}

/// One as a weight.
const ONE: u32 = 1 << 12;

/// Old pixels that a new one covers: the first, and the share of each.
fn covers(from: u32, to: u32) -> Vec<(usize, Vec<u32>)> {
    let (from, to) = (u64::from(from), u64::from(to));
    (0..to)
        .map(|i| {
            // In units of 1 ⁄ to of an old pixel.
            let (start, end) = (i * from, (i + 1) * from);
            let (first, last) = (start / to, end.div_ceil(to));
            let mut shares: Vec<u32> = (first..last)
                .map(|p| {
                    let cover = ((p + 1) * to).min(end) - (p * to).max(start);
                    ((cover * u64::from(ONE) + from / 2) / from) as u32
                })
                .collect();
            // Rounding must not change the sum.
            let sum: u32 = shares.iter().sum();
            if let Some(largest) = shares.iter_mut().max() {
                *largest = (*largest + ONE).saturating_sub(sum);
            }
            (first as usize, shares)
        })
        .collect()
}

/// Averages over the area of each new pixel, with the widest vectors this processor has.
fn average(picture: &Picture, width: u32, height: u32) -> Picture {
    pulp::Arch::new().dispatch(Average(picture, width, height))
}

/// Not a closure: its call would stay a call, to code without wide vectors.
struct Average<'a>(&'a Picture, u32, u32);

impl NullaryFnOnce for Average<'_> {
    type Output = Picture;

    #[inline(always)]
    fn call(self) -> Picture {
        average_here(self.0, self.1, self.2)
    }
}

#[inline(always)]
fn average_here(picture: &Picture, width: u32, height: u32) -> Picture {
    let stride = picture.width as usize * 3;
    let mut rgb = vec![0; width as usize * height as usize * 3];
    let mut sums = vec![0u32; stride];
    let columns = covers(picture.width, width);
    let rows = covers(picture.height, height);
    for (out, (first, shares)) in rgb.chunks_exact_mut(width as usize * 3).zip(&rows) {
        sums.fill(0);
        for (row, share) in picture.rgb.chunks_exact(stride).skip(*first).zip(shares) {
            for (sum, value) in sums.iter_mut().zip(row) {
                *sum += u32::from(*value) * share;
            }
        }
        for (pixel, (first, shares)) in out.chunks_exact_mut(3).zip(&columns) {
            // 8 + 12 bits of sum times 12 bits of share fit into 32.
            let mut total = [ONE * ONE / 2; 3];
            for (sum, share) in sums[first * 3..].chunks_exact(3).zip(shares) {
                for (total, sum) in total.iter_mut().zip(sum) {
                    *total += sum * share;
                }
            }
            for (value, total) in pixel.iter_mut().zip(total) {
                *value = (total / (ONE * ONE)).min(255) as u8;
            }
        }
    }
    Picture { width, height, rgb }
}

/// Halves pairs of rows with the fastest code this processor runs.
struct Halver {
    #[cfg(target_arch = "x86_64")]
    simd: Option<pulp::x86::V3>,
}

impl Halver {
    fn new() -> Self {
        Self {
            #[cfg(target_arch = "x86_64")]
            simd: pulp::x86::V3::try_new(),
        }
    }

    fn row(&self, upper: &[u8], lower: &[u8], out: &mut [u8]) {
        #[cfg(target_arch = "x86_64")]
        let done = self.simd.map_or(0, |v3| simd::row(v3, upper, lower, out));
        #[cfg(not(target_arch = "x86_64"))]
        let done = 0;
        plain_row(upper, lower, out, done);
    }
}

/// Averages from pixel `done` of `out` on.
fn plain_row(upper: &[u8], lower: &[u8], out: &mut [u8], done: usize) {
    for (i, pixel) in out.chunks_exact_mut(3).enumerate().skip(done) {
        let left = 6 * i;
        let right = if left + 6 <= upper.len() {
            left + 3
        } else {
            left
        };
        for (channel, value) in pixel.iter_mut().enumerate() {
            let sum = u16::from(upper[left + channel])
                + u16::from(upper[right + channel])
                + u16::from(lower[left + channel])
                + u16::from(lower[right + channel]);
            *value = ((sum + 2) / 4) as u8;
        }
    }
}

#[cfg(target_arch = "x86_64")]
mod simd {
    //! Eight new pixels at a time in 256-bit vectors.

    use crate::pixels::simd::{SIXTEEN, Z, four_by_four, inlined, twice};
    use pulp::x86::V3;
    use pulp::{NullaryFnOnce, cast};
    use std::arch::x86_64::__m256i;

    /// Neighbouring pixels' bytes side by side, four pixels to two.
    const PAIRS: [i8; 16] = [0, 3, 1, 4, 2, 5, 6, 9, 7, 10, 8, 11, Z, Z, Z, Z];
    /// Drops the two bytes behind each six.
    const TIGHT: [i8; 16] = [0, 1, 2, 3, 4, 5, 8, 9, 10, 11, 12, 13, Z, Z, Z, Z];

    struct Work<'a>(V3, &'a [u8], &'a [u8], &'a mut [u8]);

    impl NullaryFnOnce for Work<'_> {
        type Output = usize;

        #[inline(always)]
        fn call(self) -> usize {
            let Self(simd, upper, lower, out) = self;
            let v = simd.avx2;
            let ones = simd.avx._mm256_set1_epi8(1);
            let two = simd.avx._mm256_set1_epi16(2);
            let mean = inlined(
                #[inline(always)]
                |upper: __m256i, lower: __m256i| {
                    let half = inlined(
                        #[inline(always)]
                        |row: __m256i| {
                            v._mm256_maddubs_epi16(v._mm256_shuffle_epi8(row, twice(PAIRS)), ones)
                        },
                    );
                    let sum = v._mm256_add_epi16(half(upper), half(lower));
                    v._mm256_srli_epi16::<2>(v._mm256_add_epi16(sum, two))
                },
            );
            let mut done = 0;
            for out in out.chunks_exact_mut(24) {
                let (Some(a), Some(b)) = (
                    upper
                        .get(done * 6..)
                        .and_then(|r| r.first_chunk::<SIXTEEN>()),
                    lower
                        .get(done * 6..)
                        .and_then(|r| r.first_chunk::<SIXTEEN>()),
                ) else {
                    break;
                };
                let (a, b) = (four_by_four(a), four_by_four(b));
                let means = v._mm256_packus_epi16(mean(a[0], b[0]), mean(a[1], b[1]));
                let all = v._mm256_shuffle_epi8(means, twice(TIGHT));
                let [low, high]: [[u8; 16]; 2] = cast(all);
                out[..12].copy_from_slice(&low[..12]);
                out[12..].copy_from_slice(&high[..12]);
                done += 8;
            }
            done
        }
    }

    /// Averages as many pixels as fit whole vectors and returns how many.
    pub(super) fn row(simd: V3, upper: &[u8], lower: &[u8], out: &mut [u8]) -> usize {
        simd.vectorize(Work(simd, upper, lower, out))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn picture(width: u32, height: u32) -> Picture {
        let rgb = (0..width * height * 3)
            .map(|i| (i.wrapping_mul(2_654_435_761) >> 24) as u8)
            .collect();
        Picture { width, height, rgb }
    }

    #[test]
    fn vector_and_plain_code_give_the_same_bytes() {
        for width in [1, 2, 15, 16, 17, 18, 33, 64, 67, 131] {
            let p = picture(width, 2);
            let (upper, lower) = p.rgb.split_at(width as usize * 3);
            let mut plain = vec![0; width.div_ceil(2) as usize * 3];
            plain_row(upper, lower, &mut plain, 0);
            assert_eq!(halve(&p).rgb, plain, "{width}");
        }
    }

    #[test]
    fn an_even_picture_stays_even() {
        for size in [[100, 40], [101, 39], [7, 500]] {
            let [width, height] = size;
            let p = Picture {
                width,
                height,
                rgb: vec![201; (width * height * 3) as usize],
            };
            for longest in [1, 3, 33, 60, 99] {
                let small = downscale(&p, longest);
                assert_eq!(small.width.max(small.height), longest);
                assert!(small.rgb.iter().all(|v| *v == 201));
            }
        }
    }

    #[test]
    fn the_mean_over_the_area_is_exact_to_half_a_level() {
        let p = picture(90, 66);
        let small = average(&p, 60, 44);
        for y in 0..44usize {
            for x in 0..60usize {
                for c in 0..3 {
                    // New pixels are 1.5 old ones wide: shares 2 : 1 or 1 : 2.
                    let share = |i: usize| {
                        if i.is_multiple_of(2) {
                            [2.0, 1.0]
                        } else {
                            [1.0, 2.0]
                        }
                    };
                    let (x0, y0) = (x * 3 / 2, y * 3 / 2);
                    let mut sum = 0.0;
                    for (j, wy) in share(y).into_iter().enumerate() {
                        for (i, wx) in share(x).into_iter().enumerate() {
                            sum += wx * wy * f64::from(p.rgb[((y0 + j) * 90 + x0 + i) * 3 + c]);
                        }
                    }
                    let got = f64::from(small.rgb[(y * 60 + x) * 3 + c]);
                    assert!((got - sum / 9.0).abs() < 0.51, "{x} {y} {c}");
                }
            }
        }
    }
}
