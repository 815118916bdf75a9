//! From the coefficients of a block to pixels at half the resolution.
//!
//! The mean of neighbouring values 2m and 2m + 1 of an 8-point cosine transform is a 4-point one:
//! coefficient k counts cos(kπ ⁄ 16) times, and those from 5 on fold back on 8 − k with their sign
//! turned. So a block is folded while its coefficients are read, by weights that hold the
//! quantisation too, and the mean over 2 × 2 pixels comes out exactly. Source: ITU-T T.81, A.3.3;
//! the identity cos(k(2n + 1)π ⁄ 16) + cos(k(2n + 3)π ⁄ 16) = 2 cos(kπ ⁄ 16) cos(k(n + 1)π ⁄ 8).

use super::huffman::END;
use crate::pixels::jpeg::ZIGZAG;
use std::f64::consts::PI;

/// Where the coefficients of a component go, and how much they count there.
pub(super) struct Fold {
    /// Values across and down that one block gives: 4, or 8 where the component has half the
    /// resolution already.
    pub(super) size: [usize; 2],
    /// By place in the scan: index into the folded block, its weight. The end of a block steps
    /// behind the 64th, to places of no weight.
    pub(super) places: Box<[(u8, f32); 64 + END]>,
}

impl Fold {
    pub(super) fn new(size: [usize; 2], quantisation: &[u16; 64]) -> Self {
        let mut places = Box::new([(0, 0.0); 64 + END]);
        for (index, place) in places.iter_mut().take(64).enumerate() {
            let at = usize::from(ZIGZAG[index]);
            let (u, across) = one_axis(at % 8, size[0]);
            let (v, down) = one_axis(at / 8, size[1]);
            let weight = across * down * f64::from(quantisation[index]);
            *place = ((v * size[0] + u) as u8, weight as f32);
        }
        Self { size, places }
    }
}

/// Where coefficient `k` goes and its weight.
fn one_axis(k: usize, size: usize) -> (usize, f64) {
    let whole = if k == 0 { 0.125f64.sqrt() } else { 0.5 };
    let mean = (k as f64 * PI / 16.0).cos();
    match (size, k) {
        (8, _) => (k, whole),
        (_, 0..=3) => (k, whole * mean),
        (_, 4) => (0, 0.0),
        _ => (8 - k, -whole * mean),
    }
}

/// The cosines of N points, row by row of the frequency.
pub(super) struct Waves<const N: usize>([[f32; N]; N]);

impl<const N: usize> Waves<N> {
    pub(super) fn new() -> Self {
        Self(std::array::from_fn(|k| {
            std::array::from_fn(|n| (((2 * n + 1) * k) as f64 * PI / (2 * N) as f64).cos() as f32)
        }))
    }
}

/// Adding it rounds numbers below 2²² to whole ones; larger ones come from damaged files only.
const MAGIC: f32 = 12_582_912.0;

/// Turns a folded block of `X` × `Y` into values, and the block to zeros.
#[inline(always)]
pub(super) fn values<const X: usize, const Y: usize>(
    block: &mut [f32; 64],
    across: &Waves<X>,
    down: &Waves<Y>,
) -> [[u8; X]; Y] {
    let mut columns = [[0.0f32; X]; Y];
    for (k, waves) in down.0.iter().enumerate() {
        let row: [f32; X] = std::array::from_fn(|x| block[k * X + x]);
        for (column, wave) in columns.iter_mut().zip(waves) {
            for (sum, value) in column.iter_mut().zip(row) {
                *sum += wave * value;
            }
        }
    }
    block[..X * Y].fill(0.0);
    let mut out = [[0; X]; Y];
    for (line, column) in out.iter_mut().zip(&columns) {
        let mut sums = [128.0f32; X];
        for (value, waves) in column.iter().zip(&across.0) {
            for (sum, wave) in sums.iter_mut().zip(waves) {
                *sum += value * wave;
            }
        }
        for (level, sum) in line.iter_mut().zip(sums) {
            let whole = (sum + MAGIC).to_bits() as i32;
            let whole = whole.wrapping_sub(MAGIC.to_bits() as i32);
            *level = whole.clamp(0, 255) as u8;
        }
    }
    out
}
