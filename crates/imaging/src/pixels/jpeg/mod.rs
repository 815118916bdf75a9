//! A picture, or a rectangle of one, as a baseline JPEG file.
//!
//! In: a picture, a quality, the resolution, a colour profile. Out: the bytes of a file with the
//! tables of the standard, written in one go: each row of coding units is taken from the pixels,
//! transformed and coded while it is in the nearest cache. Not here: reading JPEG files.
//!
//! Source: ITU-T T.81, annexes A, B and F; JFIF 1.02; ICC.1, annex B.4 (profiles in JPEG).

#[cfg(target_arch = "x86_64")]
mod avx2;
mod bits;
mod block;
mod colours;
mod tables;

use crate::Picture;
use bits::{Bits, Tables};
use block::{Factors, Plain, Transform};
use colours::{Area, Strip};

pub(super) use tables::ZIGZAG;

/// How a file is written.
#[derive(Clone, Copy)]
pub(super) struct Style<'a> {
    /// 1 to 100 as the Independent JPEG Group counts it; from 90 on colours have the full
    /// resolution, below half of it.
    pub(super) quality: u8,
    /// Dots per centimetre.
    pub(super) density: Option<u16>,
    /// ICC profile.
    pub(super) profile: Option<&'a [u8]>,
}

/// From this quality on colours have the full resolution.
const FULL_COLOURS: u8 = 90;
/// Most bytes of a profile in one segment, and most segments.
const PROFILE_PART: usize = 65_519;

/// Writes the rectangle of a picture from (`left`, `top`) on; `None` where it does not lie inside
/// the picture, has no pixels, or the profile is larger than a file can hold (16.7 MB).
pub(super) fn write(
    picture: &Picture,
    [left, top]: [u32; 2],
    [width, height]: [u16; 2],
    style: &Style<'_>,
) -> Option<Vec<u8>> {
    let area = Area::new(picture, [left, top], [width, height])?;
    let half = style.quality < FULL_COLOURS;
    let steps = tables::steps(style.quality);
    let mut bytes = Vec::with_capacity(1024 + usize::from(width) * usize::from(height) / 3);
    head(&mut bytes, style, &steps)?;
    let factors = if half { 0x22 } else { 0x11 };
    let [height, width] = [height, width].map(u16::to_be_bytes);
    let size = [height[0], height[1], width[0], width[1]];
    segment(
        &mut bytes,
        0xc0,
        &[&[8], &size, &[3, 1, factors, 0, 2, 0x11, 1, 3, 0x11, 1]],
    );
    for kind in 0..2 {
        for (class, codes) in [(0, &tables::FIRST[kind]), (0x10, &tables::OTHERS[kind])] {
            let name = [class | kind as u8];
            segment(&mut bytes, 0xc4, &[&name, &codes.counts, codes.symbols]);
        }
    }
    segment(&mut bytes, 0xda, &[&[3, 1, 0, 2, 0x11, 3, 0x11, 0, 63, 0]]);
    let scan = Scan {
        area,
        half,
        steps: &steps,
        bits: Bits::new(bytes),
    };
    let mut bytes = scan.write();
    bytes.extend([0xff, 0xd9]);
    Some(bytes)
}

fn segment(bytes: &mut Vec<u8>, marker: u8, parts: &[&[u8]]) {
    let length: usize = 2 + parts.iter().map(|p| p.len()).sum::<usize>();
    bytes.extend([0xff, marker]);
    bytes.extend((length as u16).to_be_bytes());
    for part in parts {
        bytes.extend(*part);
    }
}

/// Writes what stands before the frame.
fn head(bytes: &mut Vec<u8>, style: &Style<'_>, steps: &[[u8; 64]; 2]) -> Option<()> {
    bytes.extend([0xff, 0xd8]);
    let [high, low] = style.density.unwrap_or(1).to_be_bytes();
    let unit = if style.density.is_some() { 2 } else { 0 };
    segment(
        bytes,
        0xe0,
        &[b"JFIF\0\x01\x02", &[unit, high, low, high, low, 0, 0]],
    );
    let parts = style.profile.unwrap_or_default().chunks(PROFILE_PART);
    let count = u8::try_from(parts.len()).ok()?;
    for (number, part) in (1..=count).zip(parts) {
        segment(bytes, 0xe2, &[b"ICC_PROFILE\0", &[number, count], part]);
    }
    for (kind, steps) in (0..).zip(steps) {
        let values = ZIGZAG.map(|at| steps[usize::from(at)]);
        segment(bytes, 0xdb, &[&[kind], &values]);
    }
    Some(())
}

/// What is coded.
struct Scan<'a> {
    area: Area<'a>,
    half: bool,
    steps: &'a [[u8; 64]; 2],
    bits: Bits,
}

impl Scan<'_> {
    /// Writes all blocks with the fastest code that this processor runs.
    fn write(self) -> Vec<u8> {
        #[cfg(target_arch = "x86_64")]
        if let Some(wide) = pulp::x86::V3::try_new() {
            return wide.vectorize(Work(self, wide));
        }
        self.code(Plain)
    }

    #[inline(always)]
    fn code(self, transform: impl Transform) -> Vec<u8> {
        let Self {
            area,
            half,
            steps,
            mut bits,
        } = self;
        let factors = [Factors::new(&steps[0]), Factors::new(&steps[1])];
        let codes = [0, 1].map(|kind| Tables::new(&tables::FIRST[kind], &tables::OTHERS[kind]));
        let mut strip = Strip::new(area.width, half);
        let mut levels = [0; 3];
        for top in (0..area.height).step_by(strip.rows()) {
            area.fill(top, &mut strip);
            for unit in 0..strip.units() {
                for (component, level) in levels.iter_mut().enumerate() {
                    let kind = component.min(1);
                    for block in 0..strip.blocks(component) {
                        let rows = strip.block(component, unit, block);
                        let found = transform.coefficients(rows, &factors[kind]);
                        bits.block(&found, level, &codes[kind]);
                    }
                }
            }
        }
        bits.end()
    }
}

/// Not a closure: its call would stay a call, to code without vectors.
#[cfg(target_arch = "x86_64")]
struct Work<'a>(Scan<'a>, pulp::x86::V3);

#[cfg(target_arch = "x86_64")]
impl pulp::NullaryFnOnce for Work<'_> {
    type Output = Vec<u8>;

    #[inline(always)]
    fn call(self) -> Vec<u8> {
        self.0.code(avx2::Wide(self.1))
    }
}

#[cfg(test)]
mod tests;
