//! A photograph as three planes: lightness, red against green, blue against yellow.
//!
//! In: a picture. Out: the planes, smoothed a little, with 8 bits for regions and in full for edges. A body that
//! is as light as its board differs from it in colour, and a shadow, which changes lightness most, less so.
//! Source of the opponent planes: K. van de Sande, T. Gevers, C. Snoek, IEEE Trans. PAMI 32 (2010) 1582,
//! equation 4, not divided by √2 and √6.

use crate::Picture;

/// How many planes there are.
pub(super) const PLANES: usize = 3;
/// By how much the colour planes are spread: their range in photographs is a fraction of that of lightness.
const SPREAD: f32 = 1.5;

/// The planes of a picture.
pub(super) struct Planes {
    pub(super) width: usize,
    pub(super) height: usize,
    /// Lightness and the two colour differences of each pixel, levels.
    values: Vec<[f32; PLANES]>,
}

impl Planes {
    pub(super) fn of(picture: &Picture) -> Self {
        let (width, height) = (picture.width as usize, picture.height as usize);
        let mut values: Vec<[f32; PLANES]> = picture
            .rgb
            .chunks_exact(3)
            .map(|p| {
                let [r, g, b] = [p[0], p[1], p[2]].map(f32::from);
                [
                    0.299 * r + 0.587 * g + 0.114 * b,
                    SPREAD * (r - g),
                    SPREAD * (b - (r + g) / 2.0),
                ]
            })
            .collect();
        values.resize(width * height, [0.0; PLANES]);
        smooth(&mut values, width, height);
        Self {
            width,
            height,
            values,
        }
    }

    /// Returns one plane in whole levels, dark regions first or, `turned`, light ones first.
    pub(super) fn levels(&self, plane: usize, turned: bool) -> Vec<u8> {
        let middle = if plane == 0 { 0.0 } else { 128.0 };
        let level = |v: &[f32; PLANES]| (v[plane] + middle).round().clamp(0.0, 255.0) as u8;
        let flip = if turned { 255 } else { 0 };
        self.values.iter().map(|v| level(v) ^ flip).collect()
    }

    /// Returns the values between pixels, bilinear; the rim continues outside.
    pub(super) fn at(&self, p: [f64; 2]) -> [f32; PLANES] {
        let limit = |v: f64, n: usize| (v - 0.5).clamp(0.0, n.saturating_sub(1) as f64);
        let (x, y) = (limit(p[0], self.width), limit(p[1], self.height));
        let (x0, y0) = (x as usize, y as usize);
        let (x1, y1) = ((x0 + 1).min(self.width - 1), (y0 + 1).min(self.height - 1));
        let (fx, fy) = ((x - x0 as f64) as f32, (y - y0 as f64) as f32);
        let v = |x: usize, y: usize| &self.values[y * self.width + x];
        let (a, b, c, d) = (v(x0, y0), v(x1, y0), v(x0, y1), v(x1, y1));
        std::array::from_fn(|i| {
            let upper = a[i] + (b[i] - a[i]) * fx;
            let lower = c[i] + (d[i] - c[i]) * fx;
            upper + (lower - upper) * fy
        })
    }
}

/// Smooths with 1 2 1 in both directions (standard deviation 0.7 pixels), in place.
fn smooth(values: &mut [[f32; PLANES]], width: usize, height: usize) {
    let mix = |a: [f32; PLANES], b: [f32; PLANES], c: [f32; PLANES]| {
        std::array::from_fn(|i| (a[i] + 2.0 * b[i] + c[i]) / 4.0)
    };
    if width == 0 {
        return;
    }
    for row in values.chunks_exact_mut(width) {
        let mut before = row[0];
        for x in 0..width {
            let here = row[x];
            row[x] = mix(before, here, row[(x + 1).min(width - 1)]);
            before = here;
        }
    }
    let mut before: Vec<[f32; PLANES]> = values[..width].to_vec();
    for y in 0..height {
        let below = (y + 1).min(height - 1) * width;
        for (x, above) in before.iter_mut().enumerate() {
            let here = values[y * width + x];
            values[y * width + x] = mix(*above, here, values[below + x]);
            *above = here;
        }
    }
}
