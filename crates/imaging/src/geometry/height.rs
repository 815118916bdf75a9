//! Tops that stand above the reference plane.
//!
//! In: a height, a camera distance or a focal length. Out: the place a raised point has above the
//! plane; or, where neither is known, how large the error may be. Not here: uncertainty.
//!
//! A ray from the optical centre C at distance Z from the plane through a point at height h meets
//! the plane at P′; the point stands above P = P′ + (C − P′) h / Z. Lengths at one height thus
//! shrink by 1 − h/Z, wherever the camera stands.

use super::{Measured, Options, Plane};

/// How high the measured points stand, and how far the camera.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lift {
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
