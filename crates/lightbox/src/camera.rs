//! A camera over a desk: from places in the world to pixels, and from pixels to rays.
//!
//! In: places in mm, the desk being z = 0 and z pointing up. Out: pixels from the top left corner of the upright
//! picture, the middle of the first pixel being at (0.5, 0.5). Not here: what the rays meet.
//! Source: central projection; the lens in `lens.rs`.

use crate::Lens;
use crate::vector::{Vector, add, cross, dot, unit};

/// A camera with its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Camera {
    /// Focal length, pixels.
    pub focal_px: f64,
    /// Where the optical axis meets the picture, pixels.
    pub centre_px: [f64; 2],
    /// The lens.
    pub lens: Lens,
    /// Entrance pupil, mm.
    pub eye_mm: [f64; 3],
    /// Directions of the picture's rightward and downward sides and of the view.
    pub axes: [[f64; 3]; 3],
}

impl Camera {
    /// Places a camera so that it looks at a point from a distance (mm), leaning by `tilt` towards `azimuth` and
    /// turned about its view by `roll` (radians).
    pub fn looking_at(
        target: [f64; 3],
        distance_mm: f64,
        [tilt, azimuth, roll]: [f64; 3],
        focal_px: f64,
        centre_px: [f64; 2],
        lens: Lens,
    ) -> Self {
        let back: Vector = [
            tilt.sin() * azimuth.cos(),
            tilt.sin() * azimuth.sin(),
            tilt.cos(),
        ];
        let forward = back.map(|v| -v);
        // The side that lies level in the world, then turned about the view; right × down = forward.
        let level = unit(cross(forward, [-roll.sin(), roll.cos(), 0.0]));
        let down = cross(forward, level);
        Self {
            focal_px,
            centre_px,
            lens,
            eye_mm: add(target, back, distance_mm),
            axes: [level, down, forward],
        }
    }

    /// Returns the pixel at which a place in the world is seen, mm.
    pub fn project(&self, place: [f64; 3]) -> [f64; 2] {
        let from = add(place, self.eye_mm, -1.0);
        let [right, down, forward] = self.axes.map(|axis| dot(axis, from));
        let seen = self.lens.distorted([right / forward, down / forward]);
        [0, 1].map(|i: usize| self.centre_px[i] + self.focal_px * seen[i])
    }

    /// Returns the direction of the ray that ends at a pixel, as a unit vector away from the camera.
    pub fn ray(&self, pixel: [f64; 2]) -> [f64; 3] {
        let seen = [0, 1].map(|i: usize| (pixel[i] - self.centre_px[i]) / self.focal_px);
        let [x, y] = self.lens.ideal(seen);
        let [right, down, forward] = self.axes;
        unit(add(add(forward, right, x), down, y))
    }

    /// Returns the height of the camera above a level, mm.
    pub fn height_above(&self, level_mm: f64) -> f64 {
        self.eye_mm[2] - level_mm
    }
}
