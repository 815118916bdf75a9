//! A picture in grey levels.
//!
//! In: bytes, row by row. Out: grey levels at any place, interpolated.
//! Not here: decoding files, colour.
//!
//! Places are in pixels from the top left corner of the picture: the middle of the first pixel is
//! at (0.5, 0.5), as everywhere in this crate.

use crate::Picture;

/// A grey picture: one byte for each pixel, row by row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Grey {
    /// Width, pixels.
    pub width: u32,
    /// Height, pixels.
    pub height: u32,
    /// Grey levels, 0 to 255.
    pub data: Vec<u8>,
}

impl Grey {
    /// Makes a grey picture, or `None` where the number of bytes is not width × height.
    pub fn new(width: u32, height: u32, data: Vec<u8>) -> Option<Self> {
        let pixels = (width as usize).checked_mul(height as usize)?;
        (data.len() == pixels).then_some(Self {
            width,
            height,
            data,
        })
    }

    /// Makes a grey picture of a coloured one, with the weights of ITU-R BT.601.
    pub fn of(picture: &Picture) -> Self {
        let data = picture
            .rgb
            .chunks_exact(3)
            .map(|p| {
                let sum = 299 * u32::from(p[0]) + 587 * u32::from(p[1]) + 114 * u32::from(p[2]);
                ((sum + 500) / 1000) as u8
            })
            .collect();
        Self {
            width: picture.width,
            height: picture.height,
            data,
        }
    }

    /// Makes a grey picture of a part of a coloured one: left, top, right and lower bound, which are cut at its rims.
    pub fn within(picture: &Picture, [left, top, right, lower]: [u32; 4]) -> Self {
        let (right, lower) = (right.min(picture.width), lower.min(picture.height));
        let (left, top) = (left.min(right), top.min(lower));
        let (width, height) = (right - left, lower - top);
        let mut rgb = Vec::with_capacity(3 * width as usize * height as usize);
        for y in top..lower {
            let from = 3 * (y as usize * picture.width as usize + left as usize);
            let row = picture.rgb.get(from..from + 3 * width as usize);
            rgb.extend_from_slice(row.unwrap_or_default());
        }
        Self::of(&Picture { width, height, rgb })
    }

    /// Returns the grey level at a place between the pixels (bilinear), or `None` outside the
    /// middles of the outermost pixels.
    pub fn at(&self, x: f64, y: f64) -> Option<f64> {
        let (u, v) = (x - 0.5, y - 0.5);
        let (last_x, last_y) = (f64::from(self.width) - 1.0, f64::from(self.height) - 1.0);
        if !(u >= 0.0 && v >= 0.0 && u <= last_x && v <= last_y) {
            return None;
        }
        let (i, j) = (u.floor() as usize, v.floor() as usize);
        let (fu, fv) = (u - i as f64, v - j as f64);
        let width = self.width as usize;
        let right = (i + 1).min(width - 1);
        let below = (j + 1).min(self.height as usize - 1);
        let level = |x: usize, y: usize| self.data.get(y * width + x).map(|&b| f64::from(b));
        let upper = level(i, j)? * (1.0 - fu) + level(right, j)? * fu;
        let lower = level(i, below)? * (1.0 - fu) + level(right, below)? * fu;
        Some(upper * (1.0 - fv) + lower * fv)
    }
}
