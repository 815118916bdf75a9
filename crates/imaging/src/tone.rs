//! A picture as amounts of light.
//!
//! In: 8-bit pixels and the curve by which they follow the light. Out: pixels as they are, between the
//! pixels, and as linear light. Not here: decoding files, profiles themselves.
//!
//! Blur mixes light, not levels, so a blurred edge is symmetrical in light alone: fitted to levels it lies too
//! far towards the brighter or darker side. Source of the curve: IEC 61966-2-1:1999 (sRGB), the curve also of
//! the wider colour spaces that telephones write.

use crate::Picture;

/// How levels follow the light, for each of the 256 levels.
#[derive(Debug, Clone, PartialEq)]
pub struct ToneCurve {
    light: Vec<f64>,
    slope: Vec<f64>,
}

impl ToneCurve {
    /// Makes the curve of sRGB.
    pub fn srgb() -> Self {
        Self::of(|v| {
            if v <= 0.040_45 {
                v / 12.92
            } else {
                ((v + 0.055) / 1.055).powf(2.4)
            }
        })
    }

    /// Makes the curve of levels that are proportional to the light.
    pub fn linear() -> Self {
        Self::of(|v| v)
    }

    /// Makes a curve of a function from level to light, both from 0 to 1.
    pub fn of(light: impl Fn(f64) -> f64) -> Self {
        let light: Vec<f64> = (0..256).map(|i| light(f64::from(i) / 255.0)).collect();
        let slope = (0..256)
            .map(|i: usize| {
                let (low, high) = (i.saturating_sub(1), (i + 1).min(255));
                (light[high] - light[low]) / (high - low) as f64
            })
            .collect();
        Self { light, slope }
    }

    /// Returns the light of a level, 0 to 1.
    pub fn light(&self, level: u8) -> f64 {
        self.light[usize::from(level)]
    }

    /// Returns the light of a level between 0 and 255 that need not be whole.
    pub fn between(&self, level: f64) -> f64 {
        let level = level.clamp(0.0, 255.0);
        let low = (level as usize).min(254);
        let part = level - low as f64;
        self.light[low] + part * (self.light[low + 1] - self.light[low])
    }

    /// Returns how much the light grows from one level to the next, at a level between 0 and 255.
    pub fn slope(&self, level: f64) -> f64 {
        self.slope[level.round().clamp(0.0, 255.0) as usize]
    }
}

/// A picture whose pixels can be had as light.
#[derive(Debug, Clone, Copy)]
pub struct Light<'p> {
    /// The picture.
    pub picture: &'p Picture,
    /// How its levels follow the light.
    pub curve: &'p ToneCurve,
}

impl<'p> Light<'p> {
    /// Sees a picture through a curve.
    pub fn new(picture: &'p Picture, curve: &'p ToneCurve) -> Self {
        Self { picture, curve }
    }

    /// Returns the levels at a pixel, or `None` outside.
    pub(crate) fn levels(&self, x: u32, y: u32) -> Option<[u8; 3]> {
        if x >= self.picture.width {
            return None;
        }
        let at = 3 * (y as usize * self.picture.width as usize + x as usize);
        let rgb = self.picture.rgb.get(at..at + 3)?;
        Some([rgb[0], rgb[1], rgb[2]])
    }

    /// Returns the levels at a place between the pixels (bilinear), or `None` outside the middles of the
    /// outermost pixels.
    pub(crate) fn at(&self, [x, y]: [f64; 2]) -> Option<[f64; 3]> {
        let (u, v) = (x - 0.5, y - 0.5);
        let last = |side: u32| f64::from(side) - 1.0;
        let (last_x, last_y) = (last(self.picture.width), last(self.picture.height));
        if !(u >= 0.0 && v >= 0.0 && u <= last_x && v <= last_y) {
            return None;
        }
        let (i, j) = (u as u32, v as u32);
        let (fu, fv) = (u - f64::from(i), v - f64::from(j));
        let right = (i + 1).min(self.picture.width - 1);
        let below = (j + 1).min(self.picture.height - 1);
        let (a, b) = (self.levels(i, j)?, self.levels(right, j)?);
        let (c, d) = (self.levels(i, below)?, self.levels(right, below)?);
        Some([0, 1, 2].map(|k: usize| {
            let upper = f64::from(a[k]) * (1.0 - fu) + f64::from(b[k]) * fu;
            let lower = f64::from(c[k]) * (1.0 - fu) + f64::from(d[k]) * fu;
            upper * (1.0 - fv) + lower * fv
        }))
    }
}

#[cfg(test)]
mod tests {
    use super::ToneCurve;

    /// IEC 61966-2-1: level 188 is half the light of white, to a quarter of a level.
    #[test]
    fn half_the_light_of_white_is_level_188() {
        let curve = ToneCurve::srgb();
        assert!((curve.light(188) - 0.5029).abs() < 1e-4);
        assert_eq!((curve.light(0), curve.light(255)), (0.0, 1.0));
        assert!((ToneCurve::linear().slope(77.2) * 255.0 - 1.0).abs() < 1e-9);
    }
}
