//! A camera whose view is known exactly.
//!
//! In: where the camera stands, its focal length and distortion. Out: the pixel of any place in
//! the scene, and the place on the table of any pixel; [`photograph`] draws what it sees.
//! Not here: the scene (`scene.rs`), measuring (`geometry`).
//!
//! Places are in mm: x to the right, y downwards as in the scene, and the height above the table.
//! The optical axis meets the middle of the picture. Distortion follows the same law as in
//! `geometry`: the displacement at the corner as a share of the half diagonal. Sines and cosines
//! may differ in the last digit between machines, so a photograph may differ by a grey level.

mod sensor;

pub use sensor::{SensorModel, photograph};

use imaging::geometry::lens;

/// Where a camera stands and what its lens does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Camera {
    /// Width and height of the picture, pixels.
    pub picture: [u32; 2],
    /// Focal length, pixels.
    pub focal_px: f64,
    /// Radial distortion k₁, k₂ at the corner of the picture.
    pub distortion: [f64; 2],
    /// Place on the table that the optical axis meets, mm.
    pub aim_mm: [f64; 2],
    /// Distance along the optical axis to that place, mm.
    pub distance_mm: f64,
    /// Tilt against straight down, radians.
    pub tilt_rad: f64,
    /// Direction on the table of the axis that it is tilted about, radians.
    pub tilt_about_rad: f64,
    /// Turn about the optical axis, radians.
    pub turn_rad: f64,
}

/// The camera's axes in table coordinates (x, y, depth below the table) and its centre.
pub(crate) struct Frame {
    right: [f64; 3],
    down: [f64; 3],
    forward: [f64; 3],
    centre: [f64; 3],
}

impl Camera {
    /// Returns the optical centre: x, y and height above the table, mm.
    pub fn centre(&self) -> [f64; 3] {
        let [x, y, depth] = self.frame().centre;
        [x, y, -depth]
    }

    /// Returns the pixel of a place (x, y, height), or `None` where it is not in front.
    pub fn project(&self, [x, y, height]: [f64; 3]) -> Option<[f64; 2]> {
        let frame = self.frame();
        let d = [
            x - frame.centre[0],
            y - frame.centre[1],
            -height - frame.centre[2],
        ];
        let depth = dot(d, frame.forward);
        if depth.is_nan() || depth <= 1e-6 {
            return None;
        }
        let radius = self.radius();
        let share = |axis| self.focal_px * dot(d, axis) / depth / radius;
        let seen = lens::distorted(self.distortion, [share(frame.right), share(frame.down)]);
        Some(std::array::from_fn(|i| {
            f64::from(self.picture[i]) / 2.0 + seen[i] * radius
        }))
    }

    /// Returns the place on the table, mm, of a pixel, or `None` above the horizon.
    pub fn on_table(&self, px: [f64; 2]) -> Option<[f64; 2]> {
        self.on_table_from(&self.frame(), px)
    }

    pub(crate) fn on_table_from(&self, frame: &Frame, px: [f64; 2]) -> Option<[f64; 2]> {
        let radius = self.radius();
        let normal = [0, 1].map(|i: usize| (px[i] - f64::from(self.picture[i]) / 2.0) / radius);
        let [u, v] = lens::ideal(self.distortion, normal)?.map(|c| c * radius / self.focal_px);
        let ray: [f64; 3] =
            std::array::from_fn(|i| u * frame.right[i] + v * frame.down[i] + frame.forward[i]);
        let reach = -frame.centre[2] / ray[2];
        (ray[2] > 1e-9 && reach.is_finite())
            .then(|| [0, 1].map(|i: usize| frame.centre[i] + reach * ray[i]))
    }

    /// Returns half the diagonal of the picture, pixels.
    pub fn radius(&self) -> f64 {
        f64::from(self.picture[0]).hypot(f64::from(self.picture[1])) / 2.0
    }

    pub(crate) fn frame(&self) -> Frame {
        let (s, c) = self.tilt_rad.sin_cos();
        let (t, u) = self.tilt_about_rad.sin_cos();
        // Turning v about the unit vector k = (u, t, 0): v c + (k × v) s + k (k·v)(1 − c).
        let tilted = |v: [f64; 3]| {
            let along = (u * v[0] + t * v[1]) * (1.0 - c);
            [
                v[0] * c + t * v[2] * s + u * along,
                v[1] * c - u * v[2] * s + t * along,
                v[2] * c + (u * v[1] - t * v[0]) * s,
            ]
        };
        let (st, ct) = self.turn_rad.sin_cos();
        let forward = tilted([0.0, 0.0, 1.0]);
        Frame {
            right: tilted([ct, st, 0.0]),
            down: tilted([-st, ct, 0.0]),
            forward,
            centre: std::array::from_fn(|i| {
                let aim = [self.aim_mm[0], self.aim_mm[1], 0.0];
                aim[i] - forward[i] * self.distance_mm
            }),
        }
    }
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pixel_and_its_place_on_the_table_belong_together() {
        let camera = Camera {
            picture: [4000, 3000],
            focal_px: 4200.0,
            distortion: [-0.03, 0.004],
            aim_mm: [40.0, 25.0],
            distance_mm: 180.0,
            tilt_rad: 0.4,
            tilt_about_rad: 1.1,
            turn_rad: 0.3,
        };
        for place in [[40.0, 25.0], [10.0, 5.0], [75.0, 44.0]] {
            let px = camera.project([place[0], place[1], 0.0]).unwrap();
            let back = camera.on_table(px).unwrap();
            assert!((back[0] - place[0]).abs() + (back[1] - place[1]).abs() < 1e-9);
        }
        let middle = camera.project([40.0, 25.0, 0.0]).unwrap();
        assert!((middle[0] - 2000.0).abs() + (middle[1] - 1500.0).abs() < 1e-9);
        let centre = camera.centre();
        assert!((centre[2] - 180.0 * 0.4f64.cos()).abs() < 1e-9);
    }
}
