//! What is taken for granted about camera and lens where the references do not tell.

use super::{Measured, assumed};

/// What is known or taken for granted about the photograph.
#[derive(Debug, Clone, PartialEq)]
pub struct Options {
    /// Width and height, pixels.
    pub picture: [u32; 2],
    /// Standard uncertainty of the radial displacement at the corner of the picture, as a share
    /// of the half diagonal, before anything is fitted; 0 for a lens taken as free of distortion.
    pub distortion: f64,
    /// The same for the part that grows with the fifth power of the radius; 0 leaves it out.
    pub distortion_fifth: f64,
    /// Standard uncertainty of the camera's tilt against straight down, degrees, about each of
    /// two axes. Used only where the references do not span an area.
    pub tilt_deg: f64,
    /// Focal length in pixels, where known from the photograph's data or a calibration.
    pub focal_px: Option<Measured>,
    /// Whether the photograph is known to be taken from the side: then a strongly foreshortened
    /// rectangle is not suspected of having its sides swapped.
    pub oblique: bool,
}

impl Options {
    /// Makes the usual assumptions for a picture of a size in pixels.
    pub fn new(width: u32, height: u32) -> Self {
        Self {
            picture: [width, height],
            distortion: assumed::DISTORTION.value,
            distortion_fifth: 0.0,
            tilt_deg: assumed::TILT.value,
            focal_px: None,
            oblique: false,
        }
    }

    /// Returns expectation and standard uncertainty of the logarithm of the focal length, pixels.
    pub(crate) fn ln_focal(&self) -> (f64, f64) {
        match self
            .focal_px
            .filter(|f| f.value > 0.0 && f.value.is_finite())
        {
            Some(f) => (f.value.ln(), f.relative().max(1e-4)),
            None => {
                let longer = f64::from(self.picture[0].max(self.picture[1]).max(1));
                (
                    (assumed::FOCAL_SHARE.value * longer).ln(),
                    assumed::FOCAL_SPREAD.value,
                )
            }
        }
    }

    /// Returns the standard uncertainties of the lens terms that take part.
    pub(crate) fn lens_terms(&self) -> Vec<f64> {
        let usable = |v: f64| v > 0.0 && v.is_finite();
        let mut terms = Vec::new();
        if usable(self.distortion) {
            terms.push(self.distortion);
            if usable(self.distortion_fifth) {
                terms.push(self.distortion_fifth);
            }
        }
        terms
    }

    /// Returns the tilt's standard uncertainty as it is used, degrees.
    pub(crate) fn usable_tilt_deg(&self) -> f64 {
        if self.tilt_deg.is_finite() {
            self.tilt_deg.abs().clamp(1e-3, 30.0)
        } else {
            assumed::TILT.value
        }
    }

    /// Returns the tilt's standard uncertainty, radians.
    pub(crate) fn tilt_rad(&self) -> f64 {
        self.usable_tilt_deg().to_radians()
    }
}
