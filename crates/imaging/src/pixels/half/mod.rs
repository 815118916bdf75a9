//! A JPEG photograph decoded to half its width and height.
//!
//! In: a file that has passed [`super::header`]. Out: what decoding and halving give, without the
//! full picture in between, in a fraction of the time and memory; or `None` for the files that are
//! not like a camera's (progressive, four channels, uneven sizes, damaged), which go the long way.
//! Colours stored at half resolution are taken as they are, not smoothed between.
//!
//! Source: ITU-T T.81, annexes A to C and F; JFIF 1.02 for the colours.

mod fold;
mod frame;
mod huffman;

use crate::Picture;
use fold::{Waves, values};
use frame::{Component, Frame};
use huffman::Bits;
use pulp::NullaryFnOnce;

/// Returns the picture as it is stored, each pixel the mean of 2 × 2.
pub(super) fn decode(bytes: &[u8]) -> Option<Picture> {
    pulp::Arch::new().dispatch(Scan(Frame::read(bytes)?))
}

/// Work for the widest vectors that this processor has. Not a closure: its call would stay a call,
/// to code without them.
struct Scan<'a>(Frame<'a>);

impl NullaryFnOnce for Scan<'_> {
    type Output = Option<Picture>;

    #[inline(always)]
    fn call(self) -> Option<Picture> {
        scan(&self.0)
    }
}

/// Rows of one component that a row of coding units gives.
struct Strip {
    values: Vec<u8>,
    stride: usize,
}

#[inline(always)]
fn scan(frame: &Frame<'_>) -> Option<Picture> {
    let [width, height] = frame.size.map(|v| v / 2);
    // A unit is 8 pixels times the largest sampling factor; half of that here.
    let unit = frame.most.map(|m| 4 * m);
    let units = [width.div_ceil(unit[0]), height.div_ceil(unit[1])];
    let stride = units[0] * unit[0];
    let mut strips: Vec<Strip> = frame
        .components
        .iter()
        .map(|_| Strip {
            values: vec![0; stride * unit[1]],
            stride,
        })
        .collect();
    let waves = (Waves::<4>::new(), Waves::<8>::new());
    let mut rgb = vec![0; width * height * 3];
    let mut bits = Bits::new(frame.data);
    let mut levels = vec![0i32; frame.components.len()];
    let mut block = [0.0f32; 64];
    let mut until_restart = frame.restart;
    for rows in rgb.chunks_mut(width * 3 * unit[1]) {
        for column in 0..units[0] {
            if frame.restart > 0 && until_restart == 0 {
                bits.restart()?;
                levels.fill(0);
                until_restart = frame.restart;
            }
            until_restart = until_restart.wrapping_sub(1);
            for ((component, strip), level) in
                frame.components.iter().zip(&mut strips).zip(&mut levels)
            {
                let [across, down] = component.factors;
                let [x, y] = component.fold.size;
                for row in 0..down {
                    for part in 0..across {
                        read(&mut bits, component, level, &mut block)?;
                        let at = row * y * strip.stride + (column * across + part) * x;
                        match (x, y) {
                            (4, 4) => put(strip, at, values(&mut block, &waves.0, &waves.0)),
                            (8, 4) => put(strip, at, values(&mut block, &waves.1, &waves.0)),
                            (4, 8) => put(strip, at, values(&mut block, &waves.0, &waves.1)),
                            _ => put(strip, at, values(&mut block, &waves.1, &waves.1)),
                        }
                    }
                }
            }
        }
        for (row, out) in rows.chunks_exact_mut(width * 3).enumerate() {
            let of = |strip: &'_ Strip| row * strip.stride..row * strip.stride + width;
            match strips.as_slice() {
                [y, cb, cr] => colours(
                    &y.values[of(y)],
                    &cb.values[of(cb)],
                    &cr.values[of(cr)],
                    out,
                ),
                [grey, ..] => {
                    for (pixel, value) in out.chunks_exact_mut(3).zip(&grey.values[of(grey)]) {
                        pixel.fill(*value);
                    }
                }
                [] => return None,
            }
        }
    }
    bits.held_enough().then_some(Picture {
        width: width as u32,
        height: height as u32,
        rgb,
    })
}

/// Reads one block, folded.
#[inline(always)]
fn read(
    all: &mut Bits<'_>,
    component: &Component,
    level: &mut i32,
    block: &mut [f32; 64],
) -> Option<()> {
    let mut bits = *all;
    bits.fill();
    let (_, change) = component.first.read(&mut bits)?;
    // Only a damaged file leaves the range of 16 bits, and wraps.
    *level = level.wrapping_add(change);
    let places = &component.fold.places;
    block[0] += *level as f32 * places[0].1;
    let mut k = 0;
    while k < 63 {
        bits.fill();
        let (step, value) = component.others.read(&mut bits)?;
        k += step;
        let (at, weight) = places[k];
        block[usize::from(at % 64)] += value as f32 * weight;
    }
    *all = bits;
    (k == 63 || k >= huffman::END).then_some(())
}

#[inline(always)]
fn put<const X: usize, const Y: usize>(strip: &mut Strip, at: usize, values: [[u8; X]; Y]) {
    for (row, values) in values.iter().enumerate() {
        let from = at + row * strip.stride;
        strip.values[from..from + X].copy_from_slice(values);
    }
}

/// Red, green, blue from brightness and two colour differences (JFIF 1.02), in 2⁻¹⁴ levels.
#[inline(always)]
fn colours(y: &[u8], cb: &[u8], cr: &[u8], out: &mut [u8]) {
    let level = |v: i32| (v >> 14).clamp(0, 255) as u8;
    for (((pixel, y), cb), cr) in out.chunks_exact_mut(3).zip(y).zip(cb).zip(cr) {
        let y = (i32::from(*y) << 14) + (1 << 13);
        let (cb, cr) = (i32::from(*cb) - 128, i32::from(*cr) - 128);
        pixel[0] = level(y + 22_970 * cr);
        pixel[1] = level(y - 5_638 * cb - 11_700 * cr);
        pixel[2] = level(y + 29_032 * cb);
    }
}

#[cfg(test)]
mod tests;
