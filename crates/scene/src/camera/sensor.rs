//! What the camera sees, as a photograph: perspective, distortion, defocus, uneven light, noise.
//!
//! In: a scene drawn flat and evenly lit, a camera. Out: the photograph. Not here: compression.
//!
//! Every pixel is the mean over its own area (3 × 3 places), so an edge lies where the light
//! level is half way, as on a sensor whose output is linear in the light.

use super::Camera;
use crate::shading::speckle;
use imaging::Picture;

/// What lens and sensor add to the view.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SensorModel {
    /// Standard deviation of the defocus, pixels.
    pub defocus_px: f64,
    /// Standard deviation of the noise, grey levels.
    pub noise: f64,
    /// Change of the light from one side to the other, as a share, across and down.
    pub slope: [f64; 2],
    /// Share of the light lost in the corners.
    pub falloff: f64,
    /// Seed of the noise.
    pub seed: u64,
}

impl SensorModel {
    /// Returns the levels of the pixel at `place` (column, row) of a picture of that size, on
    /// which evenly lit and without noise the levels `light` would fall.
    pub fn exposed(&self, picture: [u32; 2], place: [u32; 2], light: [f32; 3]) -> [u8; 3] {
        let share = |i: usize| f64::from(place[i]) / f64::from(picture[i]) - 0.5;
        let (u, v) = (share(0), share(1));
        let lit =
            1.0 + self.slope[0] * u + self.slope[1] * v - self.falloff * 2.0 * (u * u + v * v);
        // The sum of three even spreads of −1 to 1 has a standard deviation of 1.
        let [x, y] = place.map(u64::from);
        let noise: f32 = (0..3)
            .map(|k| speckle(self.seed.wrapping_add(k << 40), x, y))
            .sum();
        let noise = f64::from(noise) * self.noise;
        light.map(|c| (f64::from(c) * lit + noise).round().clamp(0.0, 255.0) as u8)
    }
}

/// Places on each side of a pixel's grid.
const SIDE: usize = 3;

/// Draws what a camera sees of a flat picture of `px_per_mm` pixels per mm lying on the table;
/// beyond it the table is dark.
pub fn photograph(
    flat: &Picture,
    px_per_mm: f64,
    camera: &Camera,
    sensor: &SensorModel,
) -> Picture {
    let [width, height] = camera.picture.map(|v| v as usize);
    let frame = camera.frame();
    let corner = |x: usize, y: usize| {
        camera
            .on_table_from(&frame, [x as f64, y as f64])
            .map_or([f32::NAN; 2], |mm| mm.map(|v| (v * px_per_mm) as f32))
    };
    let mut light = vec![[0f32; 3]; width * height];
    let mut above: Vec<[f32; 2]> = (0..=width).map(|x| corner(x, 0)).collect();
    for y in 0..height {
        let below: Vec<[f32; 2]> = (0..=width).map(|x| corner(x, y + 1)).collect();
        for x in 0..width {
            let corners = [above[x], above[x + 1], below[x], below[x + 1]];
            light[y * width + x] = mean(flat, corners);
        }
        above = below;
    }
    blur(&mut light, width, height, sensor.defocus_px);
    let mut rgb = Vec::with_capacity(width * height * 3);
    for (i, p) in light.iter().enumerate() {
        let place = [(i % width) as u32, (i / width) as u32];
        rgb.extend(sensor.exposed(camera.picture, place, *p));
    }
    Picture {
        width: width as u32,
        height: height as u32,
        rgb,
    }
}

/// Mean colour of the flat picture over the quadrilateral of a pixel.
fn mean(flat: &Picture, [a, b, c, d]: [[f32; 2]; 4]) -> [f32; 3] {
    let mut sum = [0f32; 3];
    for j in 0..SIDE {
        let v = (j as f32 + 0.5) / SIDE as f32;
        for i in 0..SIDE {
            let u = (i as f32 + 0.5) / SIDE as f32;
            let at = |k: usize| {
                let upper = a[k] + (b[k] - a[k]) * u;
                let lower = c[k] + (d[k] - c[k]) * u;
                upper + (lower - upper) * v
            };
            let colour = sample(flat, at(0) - 0.5, at(1) - 0.5);
            for (s, c) in sum.iter_mut().zip(colour) {
                *s += c;
            }
        }
    }
    sum.map(|s| s / (SIDE * SIDE) as f32)
}

fn sample(flat: &Picture, x: f32, y: f32) -> [f32; 3] {
    let (last_x, last_y) = (flat.width as f32 - 1.0, flat.height as f32 - 1.0);
    if !(x >= 0.0 && y >= 0.0 && x < last_x && y < last_y) {
        return [24.0; 3];
    }
    let (i, j) = (x as usize, y as usize);
    let (fu, fv) = (x - i as f32, y - j as f32);
    let row = flat.width as usize * 3;
    let at = j * row + i * 3;
    let p = &flat.rgb;
    std::array::from_fn(|c| {
        let level = |k: usize| f32::from(p[at + k + c]);
        let upper = level(0) * (1.0 - fu) + level(3) * fu;
        let lower = level(row) * (1.0 - fu) + level(row + 3) * fu;
        upper * (1.0 - fv) + lower * fv
    })
}

/// Blurs by a normal distribution, first along rows, then along columns.
fn blur(light: &mut [[f32; 3]], width: usize, height: usize, sigma: f64) {
    if sigma.is_nan() || sigma <= 0.05 || width == 0 || height == 0 {
        return;
    }
    let reach = (3.5 * sigma).ceil().min(60.0) as usize;
    let mut weights: Vec<f32> = (0..=2 * reach)
        .map(|i| {
            let d = i as f64 - reach as f64;
            (-d * d / (2.0 * sigma * sigma)).exp() as f32
        })
        .collect();
    let whole: f32 = weights.iter().sum();
    weights.iter_mut().for_each(|w| *w /= whole);
    let mut line = Vec::new();
    for y in 0..height {
        let row = &mut light[y * width..(y + 1) * width];
        line.clear();
        line.extend_from_slice(row);
        for (x, pixel) in row.iter_mut().enumerate() {
            *pixel = [0.0; 3];
            for (k, w) in weights.iter().enumerate() {
                let from = line[(x + k).saturating_sub(reach).min(width - 1)];
                for (s, c) in pixel.iter_mut().zip(from) {
                    *s += w * c;
                }
            }
        }
    }
    let across = light.to_vec();
    for (y, row) in light.chunks_exact_mut(width).enumerate() {
        row.fill([0.0; 3]);
        for (k, w) in weights.iter().enumerate() {
            let from = (y + k).saturating_sub(reach).min(height - 1);
            let from = &across[from * width..(from + 1) * width];
            for (pixel, other) in row.iter_mut().zip(from) {
                for (s, c) in pixel.iter_mut().zip(other) {
                    *s += w * c;
                }
            }
        }
    }
}
