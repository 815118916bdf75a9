//! What all code in 256-bit vectors shares.

use pulp::cast;
use pulp::x86::V3;
use std::arch::x86_64::{__m128i, __m256i, _MM_HINT_T0};

/// Marks a closure to be compiled into its caller, where its vector instructions are allowed; the
/// attribute can stand on an argument only.
#[inline(always)]
pub(super) fn inlined<F>(closure: F) -> F {
    closure
}

/// Tells the processor that the byte at `at`, which need not be there, will soon be needed.
#[inline(always)]
pub(super) fn ask(simd: V3, bytes: &[u8], at: usize) {
    let place = bytes.as_ptr().wrapping_add(at);
    simd.sse._mm_prefetch::<_MM_HINT_T0>(place.cast());
}

/// Marks a byte that a shuffle sets to zero.
pub(super) const Z: i8 = -1;

/// A shuffle for both halves of a vector.
#[inline(always)]
pub(super) fn twice(half: [i8; 16]) -> __m256i {
    cast([half, half])
}

/// Bytes of sixteen pixels, and those that loads of whole vectors touch behind them.
pub(super) const SIXTEEN: usize = 52;

/// Sixteen pixels, four in each half: 0 to 3 and 8 to 11, then 4 to 7 and 12 to 15.
#[inline(always)]
pub(super) fn four_by_four(bytes: &[u8; SIXTEEN]) -> [__m256i; 2] {
    let half = inlined(
        #[inline(always)]
        |at: usize| -> __m128i {
            bytes[at..]
                .first_chunk::<16>()
                .map_or(cast([0u8; 16]), |half| cast(*half))
        },
    );
    [cast([half(0), half(24)]), cast([half(12), half(36)])]
}
