//! A picture being drawn: linear blending of covered pixels.
//!
//! A filled outline is given by its signed distance in pixels (negative inside), so every edge is
//! smoothed over exactly one pixel and shadows are the same outline with a wider edge.

use crate::Picture;

/// Largest number of pixels a picture may have; larger scenes are drawn cropped.
const MOST_PIXELS: usize = 40_000_000;

/// A rectangle in pixels, not rounded.
#[derive(Debug, Clone, Copy)]
pub struct Area {
    /// Least x.
    pub left: f32,
    /// Least y.
    pub top: f32,
    /// Greatest x.
    pub right: f32,
    /// Greatest y.
    pub bottom: f32,
}

impl Area {
    /// Returns the rectangle wider by `margin` on every side.
    pub fn around(self, margin: f32) -> Self {
        Self {
            left: self.left - margin,
            top: self.top - margin,
            right: self.right + margin,
            bottom: self.bottom + margin,
        }
    }
}

/// What has been drawn so far: levels of red, green and blue from 0 to 255, not rounded.
#[derive(Debug, Clone)]
pub struct Canvas {
    /// Width, pixels.
    pub width: usize,
    /// Height, pixels.
    pub height: usize,
    pixels: Vec<[f32; 3]>,
}

impl Canvas {
    /// Makes a black canvas; a size beyond what a picture may have is cropped.
    pub fn new(width: f32, height: f32) -> Self {
        let side = |v: f32| {
            if v.is_finite() {
                v.round().clamp(1.0, 20_000.0) as usize
            } else {
                1
            }
        };
        let width = side(width);
        let height = side(height).min(MOST_PIXELS / width);
        Self {
            width,
            height,
            pixels: vec![[0.0; 3]; width * height],
        }
    }

    /// Lets `paint` give colour and cover (0 to 1) of every pixel in `area`; it is told the middle
    /// of the pixel.
    pub fn paint(&mut self, area: Area, mut paint: impl FnMut(f32, f32) -> ([f32; 3], f32)) {
        let limit = |v: f32, most: usize| v.clamp(0.0, most as f32) as usize;
        let (x0, x1) = (
            limit(area.left.floor(), self.width),
            limit(area.right.ceil(), self.width),
        );
        let (y0, y1) = (
            limit(area.top.floor(), self.height),
            limit(area.bottom.ceil(), self.height),
        );
        for y in y0..y1 {
            for x in x0..x1 {
                let (colour, cover) = paint(x as f32 + 0.5, y as f32 + 0.5);
                self.blend(x, y, colour, cover);
            }
        }
    }

    /// Mixes `colour` into one pixel.
    pub fn blend(&mut self, x: usize, y: usize, colour: [f32; 3], cover: f32) {
        if x >= self.width || y >= self.height || cover <= 0.0 {
            return;
        }
        let cover = cover.min(1.0);
        let under = &mut self.pixels[y * self.width + x];
        for (u, c) in under.iter_mut().zip(colour) {
            *u += (c - *u) * cover;
        }
    }

    /// Returns the whole canvas as a rectangle.
    pub fn area(&self) -> Area {
        Area {
            left: 0.0,
            top: 0.0,
            right: self.width as f32,
            bottom: self.height as f32,
        }
    }

    /// Rounds to bytes after `finish` has seen each pixel (column, row, colour).
    pub fn picture(self, finish: impl Fn(usize, usize, [f32; 3]) -> [f32; 3]) -> Picture {
        let mut rgb = Vec::with_capacity(self.pixels.len() * 3);
        for (i, &p) in self.pixels.iter().enumerate() {
            let done = finish(i % self.width, i / self.width, p);
            rgb.extend(done.map(|v| v.round().clamp(0.0, 255.0) as u8));
        }
        Picture {
            width: self.width as u32,
            height: self.height as u32,
            rgb,
        }
    }
}

/// Returns how much of a pixel is covered, from the signed distance of its middle to the edge.
pub fn cover(distance: f32) -> f32 {
    (0.5 - distance).clamp(0.0, 1.0)
}
