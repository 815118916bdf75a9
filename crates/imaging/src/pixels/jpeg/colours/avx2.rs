//! Sixteen pixels at a time in 256-bit vectors (x86-64-v3), through `pulp`'s checked token.

use super::{BLUE, BRIGHTNESS, MIDDLE, RED, Row, Rows};
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

/// Fills as many pixels of two rows as fit whole vectors and returns how many.
pub(super) fn rows(simd: V3, rows: &mut Rows<'_>) -> usize {
    simd.vectorize(Both(simd, rows))
}

/// The same for a row with colours at full resolution.
pub(super) fn row(simd: V3, row: &mut Row<'_>) -> usize {
    simd.vectorize(One(simd, row))
}

/// The sixteen pixels from pixel `at` on, where so many are left.
#[inline(always)]
fn pixels(row: &[u8], at: usize) -> Option<[__m256i; 2]> {
    let bytes = row.get(at * 3..)?.first_chunk::<SIXTEEN>()?;
    Some(four_by_four(bytes))
}

#[inline(always)]
fn place<const N: usize>(row: &mut [u8], at: usize) -> Option<&mut [u8; N]> {
    row.get_mut(at..)?.first_chunk_mut()
}

/// Weighs the colours of sixteen pixels; `more` is what is added to the sums before they are cut.
#[inline(always)]
fn weighed(simd: V3, pixels: [__m256i; 2], [r, g, b]: [i16; 3], more: i32, out: &mut [u8; 16]) {
    let v = simd.avx2;
    let level = inlined(
        #[inline(always)]
        |bytes: __m256i| {
            let red_green = v._mm256_shuffle_epi8(bytes, twice(RED_GREEN));
            let blue = v._mm256_shuffle_epi8(bytes, twice(ONLY_BLUE));
            let sum = v._mm256_add_epi32(
                v._mm256_madd_epi16(red_green, cast([[r, g]; 8])),
                v._mm256_madd_epi16(blue, cast([[b, 0]; 8])),
            );
            let more = simd.avx._mm256_set1_epi32(more);
            v._mm256_srli_epi32::<15>(v._mm256_add_epi32(sum, more))
        },
    );
    let values = v._mm256_packs_epi32(level(pixels[0]), level(pixels[1]));
    let [low, high]: [[u8; 16]; 2] = cast(v._mm256_packus_epi16(values, values));
    out[..8].copy_from_slice(&low[..8]);
    out[8..].copy_from_slice(&high[..8]);
}

struct One<'a, 'b>(V3, &'a mut Row<'b>);

impl NullaryFnOnce for One<'_, '_> {
    type Output = usize;

    #[inline(always)]
    fn call(self) -> usize {
        let Self(simd, row) = self;
        let [brightness, blue, red] = &mut row.values;
        let mut done = 0;
        while let (Some(pixels), Some(brightness), Some(blue), Some(red)) = (
            pixels(row.pixels, done),
            place(brightness, done),
            place(blue, done),
            place(red, done),
        ) {
            weighed(simd, pixels, BRIGHTNESS, 1 << 14, brightness);
            // A quarter of what four pixels get.
            weighed(simd, pixels, BLUE, MIDDLE >> 2, blue);
            weighed(simd, pixels, RED, MIDDLE >> 2, red);
            done += 16;
        }
        done
    }
}

struct Both<'a, 'b>(V3, &'a mut Rows<'b>);

impl NullaryFnOnce for Both<'_, '_> {
    type Output = usize;

    #[inline(always)]
    fn call(self) -> usize {
        let Self(simd, rows) = self;
        let v = simd.avx2;
        let weights = inlined(
            #[inline(always)]
            |[r, g, b]: [i16; 3]| -> __m256i { cast([[r, g, b, 0]; 4]) },
        );
        let middle = simd.avx._mm256_set1_epi32(MIDDLE);
        let ones = simd.avx._mm256_set1_epi8(1);
        let differences = inlined(
            #[inline(always)]
            |a: __m256i, b: __m256i| {
                let sums = inlined(
                    #[inline(always)]
                    |bytes: __m256i| {
                        v._mm256_maddubs_epi16(v._mm256_shuffle_epi8(bytes, twice(PAIRS)), ones)
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
        let [upper, lower] = rows.pixels;
        let [first, second] = &mut rows.brightness;
        let mut done = 0;
        while let (Some(a), Some(b), Some(first), Some(second), Some(blue), Some(red)) = (
            pixels(upper, done),
            pixels(lower, done),
            place(first, done),
            place(second, done),
            place::<8>(rows.blue, done / 2),
            place::<8>(rows.red, done / 2),
        ) {
            weighed(simd, a, BRIGHTNESS, 1 << 14, first);
            weighed(simd, b, BRIGHTNESS, 1 << 14, second);
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
