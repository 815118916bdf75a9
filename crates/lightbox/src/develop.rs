//! From light to the levels that a telephone writes.
//!
//! In: light. Out: 8-bit red, green and blue. Not here: files. Steps in their order: defocus, light falling off
//! towards the corners, noise, colours blurred as by a sensor's mosaic, tone curve, sharpening.
//! Source: tone curve IEC 61966-2-1, then an S-curve between it and 3v² − 2v³; noise of photons and of the
//! sensor; unsharp masking. Amounts: common practice of telephones.

use crate::Chance;
use crate::render::Light;

/// How a photograph is developed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Style {
    /// Standard deviation of the defocus, pixels.
    pub(crate) blur: f64,
    /// Light missing at the corners, as a share.
    pub(crate) falloff: f64,
    /// Factor of exposure.
    pub(crate) gain: f64,
    /// Standard deviation of the noise in the dark, and its variance for each unit of light.
    pub(crate) noise: [f64; 2],
    /// Standard deviation of the blur of colours, pixels.
    pub(crate) colour_blur: f64,
    /// Share of the S-curve.
    pub(crate) contrast: f64,
    /// Amount and standard deviation (pixels) of sharpening.
    pub(crate) sharpen: [f64; 2],
}

pub(crate) fn develop(mut light: Light, style: &Style, chance: &mut Chance) -> Vec<u8> {
    let (width, height) = (light.width, light.height);
    let mut planes: [Vec<f32>; 3] =
        [0, 1, 2].map(|c: usize| light.rgb.iter().skip(c).step_by(3).copied().collect());
    light.rgb = Vec::new();
    for plane in &mut planes {
        blur(plane, width, style.blur);
    }
    let middle = [width as f64 / 2.0, height as f64 / 2.0];
    let corner = middle[0].hypot(middle[1]);
    for n in 0..width * height {
        let (x, y) = ((n % width) as f64 + 0.5, (n / width) as f64 + 0.5);
        let r = (x - middle[0]).hypot(y - middle[1]) / corner;
        let gain = style.gain * (1.0 - style.falloff * r * r);
        for plane in &mut planes {
            let v = f64::from(plane[n]) * gain;
            let sd = (style.noise[0].powi(2) + style.noise[1] * v.max(0.0)).sqrt();
            plane[n] = (v + sd * chance.normal()) as f32;
        }
    }
    // Luminance keeps its detail, colour differences are blurred.
    let mut grey: Vec<f32> = (0..width * height)
        .map(|n| 0.25 * planes[0][n] + 0.5 * planes[1][n] + 0.25 * planes[2][n])
        .collect();
    for plane in &mut planes {
        for (v, g) in plane.iter_mut().zip(&grey) {
            *v -= g;
        }
        blur(plane, width, style.colour_blur);
        for (v, g) in plane.iter_mut().zip(&grey) {
            *v = tone(f64::from(*v + g), style.contrast) as f32;
        }
    }
    for (n, g) in grey.iter_mut().enumerate() {
        *g = 0.299 * planes[0][n] + 0.587 * planes[1][n] + 0.114 * planes[2][n];
    }
    let mut soft = grey.clone();
    blur(&mut soft, width, style.sharpen[1]);
    let mut levels = Vec::with_capacity(3 * width * height);
    for n in 0..width * height {
        let halo = style.sharpen[0] as f32 * (grey[n] - soft[n]);
        for plane in &planes {
            // Truncated after the clamp: levels 0 to 255.
            levels.push((255.0 * (plane[n] + halo).clamp(0.0, 1.0) + 0.5) as u8);
        }
    }
    levels
}

/// The level, 0 to 1, of an amount of light.
pub(crate) fn tone(light: f64, contrast: f64) -> f64 {
    let v = light.clamp(0.0, 1.0);
    let level = if v <= 0.003_130_8 {
        12.92 * v
    } else {
        1.055 * v.powf(1.0 / 2.4) - 0.055
    };
    level + contrast * (level * level * (3.0 - 2.0 * level) - level)
}

/// Blurs a plane by a normal law, borders repeated.
fn blur(plane: &mut [f32], width: usize, sd: f64) {
    if sd < 0.05 {
        return;
    }
    let reach = (3.5 * sd).ceil() as usize;
    let mut weights: Vec<f32> = (0..=2 * reach)
        .map(|i| (-0.5 * ((i as f64 - reach as f64) / sd).powi(2)).exp() as f32)
        .collect();
    let sum: f32 = weights.iter().sum();
    weights.iter_mut().for_each(|w| *w /= sum);
    let height = plane.len() / width;
    let mut line = Vec::new();
    for row in plane.chunks_exact_mut(width) {
        line.clear();
        line.extend(std::iter::repeat_n(row[0], reach));
        line.extend_from_slice(row);
        line.extend(std::iter::repeat_n(row[width - 1], reach));
        for (i, v) in row.iter_mut().enumerate() {
            *v = weights.iter().zip(&line[i..]).map(|(w, p)| w * p).sum();
        }
    }
    // Down the columns, whole rows at a time.
    let source = plane.to_vec();
    for (j, row) in plane.chunks_exact_mut(width).enumerate() {
        row.fill(0.0);
        for (k, w) in weights.iter().enumerate() {
            let from = (j + k).saturating_sub(reach).min(height - 1);
            for (v, p) in row.iter_mut().zip(&source[from * width..]) {
                *v += w * p;
            }
        }
    }
}
