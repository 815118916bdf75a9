//! Tops that stand above the reference plane.
//!
//! In: a height, a camera distance or a focal length. Out: the place a raised point has above the
//! plane, and how that follows what it rests on; or, where neither is known, how large the error
//! may be. Not here: the uncertainty of measures.
//!
//! A ray from the optical centre C at distance Z from the plane through a point at height h meets
//! the plane at P′; the point stands above P = P′ + (C − P′) h / Z. Lengths at one height thus
//! shrink by 1 − h/Z, wherever the camera stands.

use super::projection::MOST;
use super::{Measured, Options, Plane, PlaneError, assumed};

/// How high the measured points stand, and how far the camera.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeightCorrection {
    /// Height above the reference plane, mm; negative below it.
    pub height: Measured,
    /// Where the camera is.
    pub camera: CameraPlace,
}

/// What is known of the camera's place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CameraPlace {
    /// Distance from the reference plane to the lens (its entrance pupil), mm.
    Distance(Measured),
    /// Focal length in pixels, from which the scale and the view give the distance.
    Focal(Measured),
}

/// How much a height that is not corrected for may matter.
#[derive(Debug, Clone, PartialEq)]
pub struct HeightError {
    /// Height, mm.
    pub height_mm: f64,
    /// Lower and upper likely excess of lengths, as a share (1 % = 0.01).
    pub share: [f64; 2],
    /// Camera distances taken as likely, mm, far and near.
    pub distance_mm: [f64; 2],
    /// The same in a sentence.
    pub sentence: String,
}

/// Returns the place above which a point stands that is seen at `mm`.
pub(crate) fn lowered(mm: [f64; 2], camera: [f64; 3], height: f64) -> [f64; 2] {
    let ratio = height / camera[2];
    [
        mm[0] + (camera[0] - mm[0]) * ratio,
        mm[1] + (camera[1] - mm[1]) * ratio,
    ]
}

impl Plane {
    /// Returns the distance of the camera from the plane, mm, for a focal length in pixels.
    pub fn camera_distance_mm(&self, focal_px: f64) -> Option<f64> {
        Some(self.mapping.camera(&self.theta, focal_px)?[2])
    }

    /// Says how much lengths at a height above the plane are read too long when nothing is known
    /// of the camera's distance: between the longest and the shortest usual focal length.
    pub fn height_error(&self, height_mm: f64) -> Option<HeightError> {
        let unknown = Options {
            focal_px: None,
            ..self.options.clone()
        };
        let (ln, spread) = unknown.ln_focal();
        let far = self.camera_distance_mm((ln + 2.0 * spread).exp())?;
        let near = self.camera_distance_mm((ln - 2.0 * spread).exp())?;
        // Read length over true length is Z / (Z − h).
        let share = [far, near].map(|z| height_mm / (z - height_mm));
        if !(near > height_mm && share.iter().all(|s| s.is_finite())) {
            return None;
        }
        let way = if height_mm < 0.0 { "short" } else { "long" };
        let percent = share.map(|s| 100.0 * s.abs());
        let sentence = format!(
            "A top {:.1} mm {} the reference plane is read {:.1} to {:.1} % too {way}, as the camera was probably {:.0} to {:.0} mm away; state the camera's distance or the focal length to correct this.",
            height_mm.abs(),
            if height_mm < 0.0 { "below" } else { "above" },
            percent[0],
            percent[1],
            near,
            far
        );
        Some(HeightError {
            height_mm,
            share,
            distance_mm: [far, near],
            sentence,
        })
    }
}

/// Numbers that a correction for height rests on.
pub(crate) const RAISED: usize = 4;

/// A correction for height: height and camera distance, mm, with the foot of the plumb line; or
/// height, mm, and focal length, pixels.
#[derive(Clone, Copy)]
pub(crate) struct Raised {
    /// Expectations and standard uncertainties, the last two unused with a focal length.
    pub(crate) mean: [f64; RAISED],
    pub(crate) sd: [f64; RAISED],
    pub(crate) by_focal: bool,
}

/// The optical centre in the plane's frame, mm, with its derivatives.
pub(crate) struct Centre {
    pub(crate) at: [f64; 3],
    pub(crate) by_theta: [[f64; 3]; MOST],
    pub(crate) by_raised: [[f64; 3]; RAISED],
}

/// Relative step of the differences by which the optical centre follows the view.
const STEP: f64 = 1e-5;

impl Raised {
    pub(crate) fn of(plane: &Plane, lift: &HeightCorrection) -> Self {
        let (h, camera) = (lift.height, lift.camera);
        match camera {
            CameraPlace::Distance(z) => {
                let (foot, spread) = plane.foot(z.value);
                Self {
                    mean: [h.value, z.value, foot[0], foot[1]],
                    sd: [h.uncertainty, z.uncertainty, spread, spread],
                    by_focal: false,
                }
            }
            CameraPlace::Focal(f) => Self {
                mean: [h.value, f.value, 0.0, 0.0],
                sd: [h.uncertainty, f.uncertainty, 0.0, 0.0],
                by_focal: true,
            },
        }
    }

    /// How many of its numbers are used.
    pub(crate) fn count(&self) -> usize {
        if self.by_focal { 2 } else { RAISED }
    }

    /// Returns the optical centre in the plane's frame, mm.
    pub(crate) fn camera(&self, plane: &Plane, theta: &[f64]) -> Option<[f64; 3]> {
        if self.by_focal {
            plane.mapping.camera(theta, self.mean[1])
        } else {
            Some([self.mean[2], self.mean[3], self.mean[1]])
        }
    }

    /// Returns the optical centre with its derivatives; by a view with a focal length they are
    /// central differences, at a cost that does not depend on the number of points.
    pub(crate) fn centre(&self, plane: &Plane, theta: &[f64]) -> Option<Centre> {
        let mut centre = Centre {
            at: self.camera(plane, theta)?,
            by_theta: [[0.0; 3]; MOST],
            by_raised: [[0.0; 3]; RAISED],
        };
        if !self.by_focal {
            centre.by_raised[1] = [0.0, 0.0, 1.0];
            centre.by_raised[2] = [1.0, 0.0, 0.0];
            centre.by_raised[3] = [0.0, 1.0, 0.0];
            return Some(centre);
        }
        let slope = |high: [f64; 3], low: [f64; 3], h: f64| {
            [0, 1, 2].map(|i: usize| (high[i] - low[i]) / (2.0 * h))
        };
        let mut moved = theta.to_vec();
        for (k, by) in centre.by_theta.iter_mut().enumerate().take(theta.len()) {
            let h = STEP * theta[k].abs().max(0.1);
            let mut at = |x: f64| {
                moved[k] = x;
                plane.mapping.camera(&moved, self.mean[1])
            };
            *by = slope(at(theta[k] + h)?, at(theta[k] - h)?, h);
            moved[k] = theta[k];
        }
        let h = STEP * self.mean[1];
        let at = |x: f64| plane.mapping.camera(theta, x);
        centre.by_raised[1] = slope(at(self.mean[1] + h)?, at(self.mean[1] - h)?, h);
        Some(centre)
    }
}

impl Plane {
    /// Returns the likely foot of the camera's plumb line, mm, and its standard uncertainty: the
    /// place in the middle of the picture.
    pub(crate) fn foot(&self, distance_mm: f64) -> ([f64; 2], f64) {
        let foot = self.to_plane(self.mapping.middle).unwrap_or([0.0, 0.0]);
        (foot, distance_mm * assumed::TILT.value.to_radians().tan())
    }
}

impl HeightCorrection {
    pub(crate) fn check(&self, measure: &str) -> Result<(), PlaneError> {
        let (camera, needed) = match self.camera {
            CameraPlace::Distance(z) => (z, self.height.value),
            CameraPlace::Focal(f) => (f, 0.0),
        };
        let good = self.height.value.is_finite()
            && self.height.uncertainty >= 0.0
            && self.height.uncertainty.is_finite()
            && camera.uncertainty >= 0.0
            && camera.value > camera.uncertainty
            && camera.value > needed
            && camera.value < 1e9;
        if good {
            return Ok(());
        }
        Err(PlaneError::Measure {
            measure: measure.to_string(),
            why: "height and camera distance do not fit: both in mm, the camera above the part",
        })
    }
}
