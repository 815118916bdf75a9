//! From 8 × 8 values to whole coefficients.
//!
//! Both passes of the cosine transform work on rows as vectors, with the columns turned to rows in
//! between; the result stays turned, and its order takes that into account. Source: Y. Arai, T. Agui,
//! M. Nakajima, Trans. IEICE E71 (1988) 1095, as in W. Pennebaker, J. Mitchell, *JPEG* (1993), 4.3.5.

use super::tables::ZIGZAG;
use std::f64::consts::{PI, SQRT_2};

/// By place in the file's order: where the coefficient stands in a turned block.
pub(super) const ORDER: [u8; 64] = {
    let mut order = [0; 64];
    let mut place = 0;
    while place < 64 {
        order[place] = ZIGZAG[place] % 8 * 8 + ZIGZAG[place] / 8;
        place += 1;
    }
    order
};

/// For each row of a turned block and each set of its columns: the same set in the file's order.
const SETS: [[u64; 256]; 8] = {
    let mut sets = [[0; 256]; 8];
    let mut place = 0;
    while place < 64 {
        let (row, column) = (ORDER[place] / 8, ORDER[place] % 8);
        let mut set = 0;
        while set < 256 {
            sets[row as usize][set] |= (set as u64 >> column & 1) << place;
            set += 1;
        }
        place += 1;
    }
    sets
};

/// Factors from transformed values to coefficients in steps, turned.
pub(super) struct Factors([[f32; 8]; 8]);

impl Factors {
    /// Returns the factors for steps given row by row.
    pub(super) fn new(steps: &[u8; 64]) -> Self {
        // What the transform leaves out: 1 for the mean, √2 cos(kπ ⁄ 16) for the others, and 8.
        let scale = |k: usize| match k {
            0 => 1.0,
            _ => SQRT_2 * (k as f64 * PI / 16.0).cos(),
        };
        Self(std::array::from_fn(|u| {
            std::array::from_fn(|v| {
                let step = f64::from(steps[v * 8 + u]);
                (1.0 / (8.0 * scale(u) * scale(v) * step)) as f32
            })
        }))
    }
}

/// A block's coefficients.
pub(super) struct Coefficients {
    /// Turned: columns of the block one after the other.
    pub(super) values: [i16; 64],
    /// Which are not zero, in the file's order.
    pub(super) set: u64,
}

/// Adding it rounds numbers below 2²² to whole ones.
const MAGIC: f32 = 12_582_912.0;

/// Transforms 8 rows of values.
#[inline(always)]
pub(super) fn coefficients(rows: [[u8; 8]; 8], factors: &Factors) -> Coefficients {
    let levels = rows.map(|row| row.map(|v| f32::from(v) - 128.0));
    let waves = pass(turned(pass(levels)));
    let mut values = [0; 64];
    for ((out, waves), factors) in values.chunks_exact_mut(8).zip(&waves).zip(&factors.0) {
        for ((out, wave), factor) in out.iter_mut().zip(waves).zip(factors) {
            let whole = (wave * factor + MAGIC).to_bits() as i32;
            *out = whole.wrapping_sub(MAGIC.to_bits() as i32) as i16;
        }
    }
    let there: [u8; 64] = values.map(|v| u8::from(v != 0));
    let mut set = 0;
    for (row, sets) in there.as_chunks::<8>().0.iter().zip(&SETS) {
        // Gathers the lowest bits of eight bytes in the topmost byte.
        let bits = u64::from_le_bytes(*row).wrapping_mul(0x0102_0408_1020_4080) >> 56;
        set |= sets[bits as usize];
    }
    Coefficients { values, set }
}

#[inline(always)]
fn turned(rows: [[f32; 8]; 8]) -> [[f32; 8]; 8] {
    std::array::from_fn(|i| std::array::from_fn(|j| rows[j][i]))
}

/// Transforms each column.
#[inline(always)]
fn pass([r0, r1, r2, r3, r4, r5, r6, r7]: [[f32; 8]; 8]) -> [[f32; 8]; 8] {
    let ([s0, s1, s2, s3], [d4, d5, d6, d7]) = (
        [sum(r0, r7), sum(r1, r6), sum(r2, r5), sum(r3, r4)],
        [less(r3, r4), less(r2, r5), less(r1, r6), less(r0, r7)],
    );
    let (a, d, b, c) = (sum(s0, s3), less(s0, s3), sum(s1, s2), less(s1, s2));
    let e = times(sum(c, d), 0.707_106_77);
    let (f, g, h) = (sum(d4, d5), sum(d5, d6), sum(d6, d7));
    let both = times(less(f, h), 0.382_683_43);
    let near = sum(times(f, 0.541_196_1), both);
    let far = sum(times(h, 1.306_563), both);
    let g = times(g, 0.707_106_77);
    let (upper, lower) = (sum(d7, g), less(d7, g));
    [
        sum(a, b),
        sum(upper, far),
        sum(d, e),
        less(lower, near),
        less(a, b),
        sum(lower, near),
        less(d, e),
        less(upper, far),
    ]
}

#[inline(always)]
fn sum(a: [f32; 8], b: [f32; 8]) -> [f32; 8] {
    std::array::from_fn(|i| a[i] + b[i])
}

#[inline(always)]
fn less(a: [f32; 8], b: [f32; 8]) -> [f32; 8] {
    std::array::from_fn(|i| a[i] - b[i])
}

#[inline(always)]
fn times(a: [f32; 8], factor: f32) -> [f32; 8] {
    a.map(|v| v * factor)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: ITU-T T.81, A.3.3, in double precision.
    #[test]
    fn coefficients_are_those_of_the_standard() {
        let steps: [u8; 64] = std::array::from_fn(|i| (i % 9 + 1) as u8);
        for seed in 0..50u32 {
            let rows: [[u8; 8]; 8] = std::array::from_fn(|y| {
                std::array::from_fn(|x| {
                    let i = seed * 64 + (y * 8 + x) as u32;
                    (i.wrapping_mul(2_654_435_761) >> 24) as u8
                })
            });
            let found = coefficients(rows, &Factors::new(&steps));
            for place in 0..64 {
                let at = usize::from(ZIGZAG[place]);
                let (u, v) = (at % 8, at / 8);
                let wave = |n: usize, k: usize| ((2 * n + 1) as f64 * k as f64 * PI / 16.0).cos();
                let norm = |k: usize| if k == 0 { 0.5f64.sqrt() } else { 1.0 };
                let mut exact = 0.0;
                for (y, row) in rows.iter().enumerate() {
                    for (x, value) in row.iter().enumerate() {
                        exact += (f64::from(*value) - 128.0) * wave(x, u) * wave(y, v);
                    }
                }
                exact *= norm(u) * norm(v) / 4.0 / f64::from(steps[at]);
                let got = found.values[usize::from(ORDER[place])];
                assert!(
                    (f64::from(got) - exact).abs() < 0.501,
                    "{seed} {place}: {got} {exact}"
                );
                assert_eq!(found.set >> place & 1 == 1, got != 0);
            }
        }
    }
}
