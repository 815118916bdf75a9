//! The kernels in 256-bit vectors (x86-64-v3), through `pulp`'s checked token.
//!
//! Each vector holds two pixels, number k and k + 4 of a group of eight, as four 32-bit sums of
//! red, green, blue and nothing. A byte shuffle takes neighbouring pixels' bytes apart into 16-bit
//! pairs, which one instruction multiplies with a pair of weights and adds.

use super::map::{RUN, Steps};
use super::scalar::ROUNDING;
use super::weights::{ONE, PLACES, Weights};
use super::{Band, Line, Source};
use crate::pixels::simd::{Z, ask, inlined, twice};
use pulp::x86::V3;
use pulp::{NullaryFnOnce, cast};
use std::arch::x86_64::{__m128i, __m256i};

/// Fills a band of the new picture.
pub(super) fn fill(simd: V3, band: Band<'_>) {
    struct Work<'a>(V3, Band<'a>);
    impl NullaryFnOnce for Work<'_> {
        type Output = ();

        #[inline(always)]
        fn call(self) {
            let Self(simd, band) = self;
            band.fill(
                #[inline(always)]
                |source, weights, steps, line| match weights {
                    Weights::Linear => linear(simd, source, steps, line),
                    Weights::Four(table) => four(simd, source, table, steps, line),
                    Weights::Eight(table) => eight(simd, source, table, steps, line),
                },
                #[inline(always)]
                |bytes, at| ask(simd, bytes, at),
            );
        }
    }
    simd.vectorize(Work(simd, band));
}

/// Pixels 0 and 1 of three bytes each as pairs of 16 bits, for both halves.
const FIRST_PAIR: [i8; 16] = [0, Z, 3, Z, 1, Z, 4, Z, 2, Z, 5, Z, Z, Z, Z, Z];
/// The same for bytes 8 to 13.
const SECOND_PAIR: [i8; 16] = [8, Z, 11, Z, 9, Z, 12, Z, 10, Z, 13, Z, Z, Z, Z, Z];
/// The same for pixels 2 and 3, bytes 6 to 11.
const NEXT_PAIR: [i8; 16] = [6, Z, 9, Z, 7, Z, 10, Z, 8, Z, 11, Z, Z, Z, Z, Z];
/// Drops every fourth byte.
const WITHOUT_FOURTH: [i8; 16] = [0, 1, 2, 4, 5, 6, 8, 9, 10, 12, 13, 14, Z, Z, Z, Z];

#[inline(always)]
fn halves(low: [i8; 16], high: [i8; 16]) -> __m256i {
    cast([low, high])
}

/// Four bytes from `at` on, repeated over half a vector.
#[inline(always)]
fn repeated(at: i8) -> [i8; 16] {
    let [a, b, c, d] = [at, at + 1, at + 2, at + 3];
    [a, b, c, d, a, b, c, d, a, b, c, d, a, b, c, d]
}

/// The bytes from a pixel's first to its last. This is the only check that each pixel costs: where
/// rows stand among them is the same for all pixels, so the compiler asks once. The run lies inside
/// the picture (`Steps::inside`); a check that ends the program, rather than one that gives zeros,
/// keeps loads beside their use.
#[inline(always)]
fn around(source: Source<'_>, at: u32, span: u32) -> &[u8] {
    let at = at as usize;
    &source.rgb[at..at + span as usize]
}

#[inline(always)]
fn bytes_at<const N: usize>(bytes: &[u8], at: usize) -> [u8; N] {
    *bytes[at..at + N]
        .first_chunk::<N>()
        .expect("the slice has this length")
}

#[inline(always)]
fn sixteen_bytes(simd: V3, bytes: &[u8], at: usize) -> __m256i {
    let half: __m128i = cast(bytes_at::<16>(bytes, at));
    simd.avx2._mm256_broadcastsi128_si256(half)
}

/// Eight of a run's numbers from `from` on.
#[inline(always)]
fn eight_of<T: Copy + Default>(all: &[T; RUN], from: usize) -> [T; 8] {
    all.get(from..)
        .and_then(|rest| rest.first_chunk::<8>())
        .copied()
        .unwrap_or_default()
}

/// Stores eight pixels, given as pairs (k, k + 4) of 32-bit colours.
#[inline(always)]
fn store(simd: V3, pairs: [__m256i; 4], line: &mut Line, from: usize) {
    let v = simd.avx2;
    let all = v._mm256_packus_epi16(
        v._mm256_packs_epi32(pairs[0], pairs[1]),
        v._mm256_packs_epi32(pairs[2], pairs[3]),
    );
    let tight = v._mm256_shuffle_epi8(all, twice(WITHOUT_FOURTH));
    let joined = v._mm256_permutevar8x32_epi32(tight, cast([0i32, 1, 2, 4, 5, 6, 3, 7]));
    if let Some(place) = line
        .get_mut(from * 3..)
        .and_then(|rest| rest.first_chunk_mut::<32>())
    {
        *place = cast(joined);
    }
}

#[inline(always)]
fn linear(simd: V3, source: Source<'_>, steps: &Steps, line: &mut Line) {
    let v = simd.avx2;
    // Two pixels of one row and the two below them.
    let stride = source.width as u32 * 3;
    let one = simd.avx._mm256_set1_epi32(ONE);
    let half = simd.avx._mm256_set1_epi32(ONE / 2);
    let first = twice(FIRST_PAIR);
    let second = twice(SECOND_PAIR);
    for from in (0..steps.count).step_by(8) {
        let at = eight_of(&steps.at, from);
        let fx: __m256i = cast(eight_of(&steps.fx, from));
        let fy: __m256i = cast(eight_of(&steps.fy, from));
        let both = v._mm256_srli_epi32::<14>(v._mm256_madd_epi16(fx, fy));
        let right = v._mm256_sub_epi32(fx, both);
        let below = v._mm256_sub_epi32(fy, both);
        let left = v._mm256_sub_epi32(v._mm256_sub_epi32(one, fx), below);
        let top = v._mm256_or_si256(left, v._mm256_slli_epi32::<16>(right));
        let bottom = v._mm256_or_si256(below, v._mm256_slli_epi32::<16>(both));
        let pair = inlined(
            #[inline(always)]
            |k: usize, top: __m256i, bottom: __m256i| {
                let rows = inlined(
                    #[inline(always)]
                    |at: u32| {
                        let bytes = around(source, at, stride + 8);
                        [0, stride as usize].map(|row| i64::from_le_bytes(bytes_at(bytes, row)))
                    },
                );
                let ([a, c], [b, d]) = (rows(at[k]), rows(at[k + 4]));
                let bytes = simd.avx._mm256_set_epi64x(d, b, c, a);
                let above = v._mm256_madd_epi16(v._mm256_shuffle_epi8(bytes, first), top);
                let beneath = v._mm256_madd_epi16(v._mm256_shuffle_epi8(bytes, second), bottom);
                let sum = v._mm256_add_epi32(v._mm256_add_epi32(above, beneath), half);
                v._mm256_srli_epi32::<14>(sum)
            },
        );
        let pairs = [
            pair(
                0,
                v._mm256_shuffle_epi32::<0x00>(top),
                v._mm256_shuffle_epi32::<0x00>(bottom),
            ),
            pair(
                1,
                v._mm256_shuffle_epi32::<0x55>(top),
                v._mm256_shuffle_epi32::<0x55>(bottom),
            ),
            pair(
                2,
                v._mm256_shuffle_epi32::<0xaa>(top),
                v._mm256_shuffle_epi32::<0xaa>(bottom),
            ),
            pair(
                3,
                v._mm256_shuffle_epi32::<0xff>(top),
                v._mm256_shuffle_epi32::<0xff>(bottom),
            ),
        ];
        store(simd, pairs, line, from);
    }
}

/// Cuts two rows' sums to 16 bits and pairs them.
#[inline(always)]
fn paired(simd: V3, first: __m256i, second: __m256i) -> __m256i {
    let v = simd.avx2;
    v._mm256_blend_epi16::<0xaa>(
        v._mm256_srli_epi32::<8>(first),
        v._mm256_slli_epi32::<8>(second),
    )
}

/// Adds the halves of two pixels' column sums and rounds both.
#[inline(always)]
fn rounded(simd: V3, a: __m256i, b: __m256i) -> __m256i {
    let v = simd.avx2;
    let sum = v._mm256_add_epi32(
        v._mm256_permute2x128_si256::<0x20>(a, b),
        v._mm256_permute2x128_si256::<0x31>(a, b),
    );
    let half = simd.avx._mm256_set1_epi32(ROUNDING);
    v._mm256_srai_epi32::<20>(v._mm256_add_epi32(sum, half))
}

/// A table's row for each of eight pixels.
#[inline(always)]
fn rows<const N: usize>(
    table: &[[i16; N]; PLACES],
    all: &[i32; RUN],
    from: usize,
) -> [[i16; N]; 8] {
    let [a, b, c, d, e, f, g, h] = eight_of(all, from);
    let row = inlined(
        #[inline(always)]
        |place: i32| table[place as usize % PLACES],
    );
    // Written out, so that no call stays between this and its caller.
    [
        row(a),
        row(b),
        row(c),
        row(d),
        row(e),
        row(f),
        row(g),
        row(h),
    ]
}

#[inline(always)]
fn four(simd: V3, source: Source<'_>, table: &[[i16; 4]; PLACES], steps: &Steps, line: &mut Line) {
    let v = simd.avx2;
    let stride = source.width as u32 * 3;
    let pairs_of_four = halves(FIRST_PAIR, NEXT_PAIR);
    let spread = halves(repeated(0), repeated(4));
    for from in (0..steps.count).step_by(8) {
        let at = eight_of(&steps.at, from);
        let wx = rows(table, &steps.fx, from);
        let wy = rows(table, &steps.fy, from);
        let pixel = inlined(
            #[inline(always)]
            |k: usize| {
                let w: i64 = cast(wx[k]);
                let across = v._mm256_shuffle_epi8(simd.avx._mm256_set1_epi64x(w), spread);
                let rows = around(source, at[k], 3 * stride + 16);
                let row = inlined(
                    #[inline(always)]
                    |r: usize| {
                        let bytes = sixteen_bytes(simd, rows, r * stride as usize);
                        v._mm256_madd_epi16(v._mm256_shuffle_epi8(bytes, pairs_of_four), across)
                    },
                );
                let [above, beneath]: [i32; 2] = cast(wy[k]);
                v._mm256_add_epi32(
                    v._mm256_madd_epi16(
                        paired(simd, row(0), row(1)),
                        simd.avx._mm256_set1_epi32(above),
                    ),
                    v._mm256_madd_epi16(
                        paired(simd, row(2), row(3)),
                        simd.avx._mm256_set1_epi32(beneath),
                    ),
                )
            },
        );
        let pairs = [
            rounded(simd, pixel(0), pixel(4)),
            rounded(simd, pixel(1), pixel(5)),
            rounded(simd, pixel(2), pixel(6)),
            rounded(simd, pixel(3), pixel(7)),
        ];
        store(simd, pairs, line, from);
    }
}

#[inline(always)]
fn eight(simd: V3, source: Source<'_>, table: &[[i16; 8]; PLACES], steps: &Steps, line: &mut Line) {
    let v = simd.avx2;
    let stride = source.width as u32 * 3;
    let pairs_of_four = halves(FIRST_PAIR, NEXT_PAIR);
    let spread_near = halves(repeated(0), repeated(4));
    let spread_far = halves(repeated(8), repeated(12));
    for from in (0..steps.count).step_by(8) {
        let at = eight_of(&steps.at, from);
        let wx = rows(table, &steps.fx, from);
        let wy = rows(table, &steps.fy, from);
        let pixel = inlined(
            #[inline(always)]
            |k: usize| {
                let w = v._mm256_broadcastsi128_si256(cast(wx[k]));
                let near = v._mm256_shuffle_epi8(w, spread_near);
                let far = v._mm256_shuffle_epi8(w, spread_far);
                let rows = around(source, at[k], 7 * stride + 28);
                let row = inlined(
                    #[inline(always)]
                    |r: usize| {
                        let start = r * stride as usize;
                        let left = sixteen_bytes(simd, rows, start);
                        let right = sixteen_bytes(simd, rows, start + 12);
                        v._mm256_add_epi32(
                            v._mm256_madd_epi16(v._mm256_shuffle_epi8(left, pairs_of_four), near),
                            v._mm256_madd_epi16(v._mm256_shuffle_epi8(right, pairs_of_four), far),
                        )
                    },
                );
                let down: [i32; 4] = cast(wy[k]);
                let two = inlined(
                    #[inline(always)]
                    |r: usize| {
                        v._mm256_madd_epi16(
                            paired(simd, row(2 * r), row(2 * r + 1)),
                            simd.avx._mm256_set1_epi32(down[r]),
                        )
                    },
                );
                v._mm256_add_epi32(
                    v._mm256_add_epi32(two(0), two(1)),
                    v._mm256_add_epi32(two(2), two(3)),
                )
            },
        );
        let pairs = [
            rounded(simd, pixel(0), pixel(4)),
            rounded(simd, pixel(1), pixel(5)),
            rounded(simd, pixel(2), pixel(6)),
            rounded(simd, pixel(3), pixel(7)),
        ];
        store(simd, pairs, line, from);
    }
}
