//! Tops that stand above the reference plane.
//!
//! In: a height or its usual range, what is known of the camera's place. Out: the place a raised
//! point has above the plane, and how that follows what it rests on. Not here: the uncertainty of
//! measures; which range is usual for what.
//!
//! A ray from the optical centre C at distance Z from the plane through a point at height h meets
//! the plane at P′; the point stands above P = P′ + (C − P′) h / Z. Lengths at one height thus
//! shrink by 1 − h/Z, wherever the camera stands.

use super::projection::MOST;
use super::{Measured, Options, Plane, PlaneError, assumed};

/// How high the measured points stand, and how far the camera.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeightCorrection {
    /// Height above the reference plane.
    pub height: Height,
    /// Where the camera is.
    pub camera: CameraPlace,
}

/// What is known of a height above the reference plane, mm; negative below it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Height {
    /// Stated.
    Stated(Measured),
    /// Not stated: anywhere between what is usual, most likely near `mode` (triangular).
    Usual {
        /// Least.
        low: f64,
        /// Most likely.
        mode: f64,
        /// Greatest.
        high: f64,
    },
}

impl Height {
    /// Returns expectation and standard uncertainty.
    pub(crate) fn moments(self) -> Measured {
        match self {
            Self::Stated(height) => height,
            Self::Usual { low, mode, high } => {
                let squares = low * low + mode * mode + high * high;
                let variance = (squares - low * mode - low * high - mode * high) / 18.0;
                Measured::new((low + mode + high) / 3.0, variance.max(0.0).sqrt())
            }
        }
    }
}

impl From<Measured> for Height {
    fn from(height: Measured) -> Self {
        Self::Stated(height)
    }
}

/// What is known of the camera's place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CameraPlace {
    /// Nothing: as far away as a usual focal length makes it.
    Usual,
    /// Distance from the reference plane to the lens (its entrance pupil), mm.
    Distance(Measured),
    /// Focal length in pixels, from which the scale and the view give the distance.
    Focal(Measured),
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
}

/// Numbers that a correction for height rests on.
pub(crate) const RAISED: usize = 4;

/// A correction for height: the height, mm, and what the camera's place follows from.
#[derive(Clone, Copy)]
pub(crate) struct Raised {
    /// Expectations and standard uncertainties; the last two are used with a distance alone.
    pub(crate) mean: [f64; RAISED],
    pub(crate) sd: [f64; RAISED],
    pub(crate) by: CameraBy,
}

/// What the second number of a correction for height is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum CameraBy {
    /// The camera's distance, mm, with the foot of its plumb line in the others.
    Distance,
    /// The focal length, pixels.
    Focal,
    /// Logarithm of the focal length in pixels.
    LnFocal,
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
        let h = lift.height.moments();
        let (second, foot, by) = match lift.camera {
            CameraPlace::Distance(z) => (z, plane.foot(z.value), CameraBy::Distance),
            CameraPlace::Focal(f) => (f, ([0.0; 2], 0.0), CameraBy::Focal),
            CameraPlace::Usual => (plane.usual_ln_focal(), ([0.0; 2], 0.0), CameraBy::LnFocal),
        };
        let (foot, spread) = foot;
        Self {
            mean: [h.value, second.value, foot[0], foot[1]],
            sd: [h.uncertainty, second.uncertainty, spread, spread],
            by,
        }
    }

    /// How many of its numbers are used.
    pub(crate) fn count(&self) -> usize {
        match self.by {
            CameraBy::Distance => RAISED,
            CameraBy::Focal | CameraBy::LnFocal => 2,
        }
    }

    /// Returns it with one of its numbers moved by so many standard uncertainties.
    pub(crate) fn moved(mut self, k: usize, by: f64) -> Self {
        self.mean[k] += by * self.sd[k];
        self
    }

    /// Returns the optical centre in the plane's frame, mm.
    pub(crate) fn camera(&self, plane: &Plane, theta: &[f64]) -> Option<[f64; 3]> {
        match self.by {
            CameraBy::Distance => Some([self.mean[2], self.mean[3], self.mean[1]]),
            CameraBy::Focal => plane.mapping.camera(theta, self.mean[1]),
            CameraBy::LnFocal => plane.mapping.camera(theta, self.mean[1].exp()),
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
        if self.by == CameraBy::Distance {
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
                self.camera(plane, &moved)
            };
            *by = slope(at(theta[k] + h)?, at(theta[k] - h)?, h);
            moved[k] = theta[k];
        }
        let h = STEP * self.mean[1];
        let at = |x: f64| {
            let mut other = *self;
            other.mean[1] = x;
            other.camera(plane, theta)
        };
        centre.by_raised[1] = slope(at(self.mean[1] + h)?, at(self.mean[1] - h)?, h);
        Some(centre)
    }
}

impl Plane {
    /// Returns the logarithm of the focal length in pixels that the view has where nothing is known of the
    /// camera: a usual one, but none that would bring the camera nearer than cameras can focus.
    fn usual_ln_focal(&self) -> Measured {
        let unknown = Options {
            focal_px: None,
            ..self.options.clone()
        };
        let (ln, spread) = unknown.ln_focal();
        let distance = self.camera_distance_mm(ln.exp());
        let farther = distance
            .map_or(1.0, |z| assumed::NEAREST.value / z)
            .max(1.0);
        Measured::new(ln + farther.ln(), spread)
    }

    /// Returns the likely foot of the camera's plumb line, mm, and its standard uncertainty: the
    /// place in the middle of the picture.
    pub(crate) fn foot(&self, distance_mm: f64) -> ([f64; 2], f64) {
        let foot = self.to_plane(self.mapping.middle).unwrap_or([0.0, 0.0]);
        (foot, distance_mm * assumed::TILT.value.to_radians().tan())
    }
}

impl HeightCorrection {
    pub(crate) fn check(&self, measure: &str) -> Result<(), PlaneError> {
        let height = self.height.moments();
        let (camera, needed) = match self.camera {
            CameraPlace::Usual => (Measured::exact(1.0), 0.0),
            CameraPlace::Distance(z) => (z, height.value),
            CameraPlace::Focal(f) => (f, 0.0),
        };
        let good = height.value.is_finite()
            && height.uncertainty >= 0.0
            && height.uncertainty.is_finite()
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
