//! From 8 × 8 values to whole coefficients.
//!
//! Both passes of the cosine transform work on rows as vectors, with the columns turned to rows in
//! between; the result stays turned, and its order takes that into account. Both ways of working
//! (`Plain`, `avx2`) give the same coefficients. Source: Y. Arai, T. Agui,
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
pub(super) static SETS: [[u64; 256]; 8] = {
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
pub(super) struct Factors(pub(super) [[f32; 8]; 8]);

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

/// Turns blocks of values into coefficients.
pub(super) trait Transform: Copy {
    fn coefficients(self, rows: [[u8; 8]; 8], factors: &Factors) -> Coefficients;
}

/// Eight numbers that are worked with together.
pub(super) trait Lanes: Copy {
    fn plus(self, other: Self) -> Self;
    fn less(self, other: Self) -> Self;
    fn times(self, factor: f32) -> Self;
}

/// Transforms each column.
#[inline(always)]
pub(super) fn pass<L: Lanes>([r0, r1, r2, r3, r4, r5, r6, r7]: [L; 8]) -> [L; 8] {
    let (s0, s1, s2, s3) = (r0.plus(r7), r1.plus(r6), r2.plus(r5), r3.plus(r4));
    let (d4, d5, d6, d7) = (r3.less(r4), r2.less(r5), r1.less(r6), r0.less(r7));
    let (a, b, c, d) = (s0.plus(s3), s1.plus(s2), s1.less(s2), s0.less(s3));
    let e = c.plus(d).times(0.707_106_77);
    let (f, g, h) = (d4.plus(d5), d5.plus(d6).times(0.707_106_77), d6.plus(d7));
    let both = f.less(h).times(0.382_683_43);
    let near = f.times(0.541_196_1).plus(both);
    let far = h.times(1.306_563).plus(both);
    let (upper, lower) = (d7.plus(g), d7.less(g));
    [
        a.plus(b),
        upper.plus(far),
        d.plus(e),
        lower.less(near),
        a.less(b),
        lower.plus(near),
        d.less(e),
        upper.less(far),
    ]
}

/// Without vector instructions.
#[derive(Clone, Copy)]
pub(super) struct Plain;

impl Transform for Plain {
    fn coefficients(self, rows: [[u8; 8]; 8], factors: &Factors) -> Coefficients {
        let turned = |rows: [[f32; 8]; 8]| std::array::from_fn(|i| rows.map(|row| row[i]));
        let waves = pass(turned(pass(
            rows.map(|row| row.map(|v| f32::from(v) - 128.0)),
        )));
        let mut values = [0; 64];
        for (value, (wave, factor)) in values
            .iter_mut()
            .zip(waves.as_flattened().iter().zip(factors.0.as_flattened()))
        {
            *value = (wave * factor).round_ties_even() as i16;
        }
        let mut set = 0;
        for (row, sets) in values.chunks_exact(8).zip(&SETS) {
            let there = row
                .iter()
                .rev()
                .fold(0, |bits, v| bits << 1 | usize::from(*v != 0));
            set |= sets[there];
        }
        Coefficients { values, set }
    }
}

impl Lanes for [f32; 8] {
    fn plus(self, other: Self) -> Self {
        std::array::from_fn(|i| self[i] + other[i])
    }

    fn less(self, other: Self) -> Self {
        std::array::from_fn(|i| self[i] - other[i])
    }

    fn times(self, factor: f32) -> Self {
        self.map(|v| v * factor)
    }
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
            let factors = Factors::new(&steps);
            let found = Plain.coefficients(rows, &factors);
            #[cfg(target_arch = "x86_64")]
            if let Some(wide) = pulp::x86::V3::try_new() {
                let same = super::super::avx2::Wide(wide).coefficients(rows, &factors);
                assert_eq!((same.values, same.set), (found.values, found.set));
            }
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
