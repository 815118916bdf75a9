//! Blocks transformed in 256-bit vectors (x86-64-v3), through `pulp`'s checked token.

use super::block::{Coefficients, Factors, Lanes, SETS, Transform, pass};
use crate::pixels::wide::inlined;
use pulp::cast;
use pulp::x86::V3;
use std::arch::x86_64::{__m256, __m256i};

/// With vector instructions; to be used where they are allowed only.
#[derive(Clone, Copy)]
pub(super) struct Wide(pub(super) V3);

#[derive(Clone, Copy)]
struct Eight(V3, __m256);

impl Lanes for Eight {
    #[inline(always)]
    fn plus(self, other: Self) -> Self {
        Self(self.0, self.0.avx._mm256_add_ps(self.1, other.1))
    }

    #[inline(always)]
    fn less(self, other: Self) -> Self {
        Self(self.0, self.0.avx._mm256_sub_ps(self.1, other.1))
    }

    #[inline(always)]
    fn times(self, factor: f32) -> Self {
        let factor = self.0.avx._mm256_set1_ps(factor);
        Self(self.0, self.0.avx._mm256_mul_ps(self.1, factor))
    }
}

impl Transform for Wide {
    #[inline(always)]
    fn coefficients(self, rows: [[u8; 8]; 8], factors: &Factors) -> Coefficients {
        let Self(simd) = self;
        let (f, v) = (simd.avx, simd.avx2);
        let middle = f._mm256_set1_ps(128.0);
        let [a, b, c, d, e, g, h, i] = rows;
        let levels = inlined(
            #[inline(always)]
            |row: [u8; 8]| {
                let whole = v._mm256_cvtepu8_epi32(cast([row, [0; 8]]));
                Eight(simd, f._mm256_sub_ps(f._mm256_cvtepi32_ps(whole), middle))
            },
        );
        let rows = [
            levels(a),
            levels(b),
            levels(c),
            levels(d),
            levels(e),
            levels(g),
            levels(h),
            levels(i),
        ];
        let waves = pass(turned(pass(rows)));
        let two = inlined(
            #[inline(always)]
            |at: usize| {
                let whole = inlined(
                    #[inline(always)]
                    |at: usize| {
                        let factor: __m256 = cast(factors.0[at]);
                        f._mm256_cvtps_epi32(f._mm256_mul_ps(waves[at].1, factor))
                    },
                );
                let both = v._mm256_packs_epi32(whole(at), whole(at + 1));
                v._mm256_permute4x64_epi64::<0b11_01_10_00>(both)
            },
        );
        let pairs = [two(0), two(2), two(4), two(6)];
        // Rows 0, 2, 1, 3 of four: a bit for each value that is zero.
        let zeros = inlined(
            #[inline(always)]
            |first: __m256i, second: __m256i| {
                let bytes = v._mm256_packs_epi16(first, second);
                let zero = v._mm256_cmpeq_epi8(bytes, f._mm256_setzero_si256());
                (!v._mm256_movemask_epi8(zero))
                    .to_le_bytes()
                    .map(usize::from)
            },
        );
        let (upper, lower) = (zeros(pairs[0], pairs[1]), zeros(pairs[2], pairs[3]));
        let set = SETS[0][upper[0]]
            | SETS[2][upper[1]]
            | SETS[1][upper[2]]
            | SETS[3][upper[3]]
            | SETS[4][lower[0]]
            | SETS[6][lower[1]]
            | SETS[5][lower[2]]
            | SETS[7][lower[3]];
        Coefficients {
            values: cast(pairs),
            set,
        }
    }
}

/// Turns columns to rows.
#[inline(always)]
fn turned([a, b, c, d, e, g, h, i]: [Eight; 8]) -> [Eight; 8] {
    let Eight(simd, _) = a;
    let f = simd.avx;
    let low = inlined(
        #[inline(always)]
        |a: Eight, b: Eight| f._mm256_unpacklo_ps(a.1, b.1),
    );
    let high = inlined(
        #[inline(always)]
        |a: Eight, b: Eight| f._mm256_unpackhi_ps(a.1, b.1),
    );
    let (ab, cd, eg, hi) = (low(a, b), low(c, d), low(e, g), low(h, i));
    let (ab2, cd2, eg2, hi2) = (high(a, b), high(c, d), high(e, g), high(h, i));
    let first = inlined(
        #[inline(always)]
        |a: __m256, b: __m256| f._mm256_shuffle_ps::<0x44>(a, b),
    );
    let second = inlined(
        #[inline(always)]
        |a: __m256, b: __m256| f._mm256_shuffle_ps::<0xee>(a, b),
    );
    let upper = [
        first(ab, cd),
        second(ab, cd),
        first(ab2, cd2),
        second(ab2, cd2),
    ];
    let lower = [
        first(eg, hi),
        second(eg, hi),
        first(eg2, hi2),
        second(eg2, hi2),
    ];
    let left = inlined(
        #[inline(always)]
        |k: usize| Eight(simd, f._mm256_permute2f128_ps::<0x20>(upper[k], lower[k])),
    );
    let right = inlined(
        #[inline(always)]
        |k: usize| Eight(simd, f._mm256_permute2f128_ps::<0x31>(upper[k], lower[k])),
    );
    [
        left(0),
        left(1),
        left(2),
        left(3),
        right(0),
        right(1),
        right(2),
        right(3),
    ]
}
