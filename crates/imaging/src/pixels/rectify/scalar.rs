//! The kernels without vector instructions, and at the edges of the picture.
//!
//! Row sums are cut to 2⁻⁶ level before the column sum, once for the even and once for the odd pairs
//! of columns, exactly as the vector code does, so that both give the same bytes.

use super::map::Steps;
use super::weights::{ONE, PLACES, Weights};
use super::{Line, Source};

/// Fills a run that lies inside the old picture.
pub(super) fn run(source: Source<'_>, weights: &Weights, steps: &Steps, line: &mut Line) {
    let reach = weights.reach();
    each(weights, steps, line, |i, column, row, channel| {
        let x = steps.x[i] as usize + column - reach;
        let y = steps.y[i] as usize + row - reach;
        source.rgb[(y * source.width + x) * 3 + channel]
    });
}

/// Fills any run; pixels outside the old picture have the colour `outside`.
pub(super) fn careful(
    source: Source<'_>,
    weights: &Weights,
    steps: &Steps,
    outside: [u8; 3],
    line: &mut Line,
) {
    let reach = weights.reach() as i32;
    each(weights, steps, line, |i, column, row, channel| {
        let x = usize::try_from(steps.x[i] + column as i32 - reach).ok();
        let y = usize::try_from(steps.y[i] + row as i32 - reach).ok();
        match (x, y) {
            (Some(x), Some(y)) if x < source.width && y < source.height => {
                source.rgb[(y * source.width + x) * 3 + channel]
            }
            _ => outside[channel],
        }
    });
}

#[inline(always)]
fn each(
    weights: &Weights,
    steps: &Steps,
    line: &mut Line,
    pixel: impl Fn(usize, usize, usize, usize) -> u8,
) {
    for (i, out) in line.chunks_exact_mut(3).take(steps.count).enumerate() {
        for (channel, out) in out.iter_mut().enumerate() {
            let at = |column, row| i32::from(pixel(i, column, row, channel));
            let (fx, fy) = (steps.fx[i], steps.fy[i]);
            *out = match weights {
                Weights::Linear => linear(fx, fy, at),
                Weights::Four(table) => place(table, fx, fy, at),
                Weights::Eight(table) => place(table, fx, fy, at),
            };
        }
    }
}

/// From 2 × 2 pixels.
#[inline(always)]
fn linear(fx: i32, fy: i32, at: impl Fn(usize, usize) -> i32) -> u8 {
    let both = (fx * fy) >> 14;
    let sum = at(0, 0) * (ONE - fx - fy + both)
        + at(1, 0) * (fx - both)
        + at(0, 1) * (fy - both)
        + at(1, 1) * both;
    ((sum + ONE / 2) >> 14) as u8
}

/// Half a level, and half of what cutting the two row sums takes away on average.
pub(super) const ROUNDING: i32 = (1 << 19) + (1 << 14);

/// From N × N pixels with weights from a table.
#[inline(always)]
fn place<const N: usize>(
    table: &[[i16; N]; PLACES],
    fx: i32,
    fy: i32,
    at: impl Fn(usize, usize) -> i32,
) -> u8 {
    let (wx, wy) = (&table[fx as usize % PLACES], &table[fy as usize % PLACES]);
    let mut sum = ROUNDING;
    for (row, weight) in wy.iter().enumerate() {
        let mut halves = [0; 2];
        for (column, w) in wx.iter().enumerate() {
            halves[column / 2 % 2] += at(column, row) * i32::from(*w);
        }
        sum += ((halves[0] >> 8) + (halves[1] >> 8)) * i32::from(*weight);
    }
    (sum >> 20).clamp(0, 255) as u8
}
