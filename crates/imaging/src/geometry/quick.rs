//! Measures with their standard uncertainty, fast.
//!
//! In: a plane, clicks, a measure. Out: value and standard uncertainty. Not here: the working
//! and the interval's shape (`working.rs`, the derivation graph), which rest on the same causes.
//!
//! Every cause of doubt is moved by plus and minus one standard uncertainty: half the difference
//! is its first-order share; the change of the mean, its second-order share ½ f″² u⁴
//! (JCGM 100:2008, 5.1.2 and its note; mixed terms only between tilts and focal length, where
//! they matter).

use super::height::lowered;
use super::plane::{Cause, CauseUnit};
use super::{CameraPlace, Click, Lift, Measure, Plane, PlaneError};

/// A value and its standard uncertainty, both in the measure's unit (mm, mm², degrees).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// The value.
    pub value: f64,
    /// Standard uncertainty.
    pub uncertainty: f64,
    /// The first-order part of it.
    pub first_order: f64,
}

/// Standard uncertainty of the foot of the camera's plumb line where the focal length is not
/// known, degrees of tilt.
pub(crate) const FOOT_TILT_DEG: f64 = 3.0;

impl Plane {
    /// Measures clicked points; `lift` where they stand above the plane.
    ///
    /// # Errors
    /// [`PlaneError::BeyondHorizon`], [`PlaneError::Click`], [`PlaneError::Measure`].
    pub fn estimate(
        &self,
        measure: &Measure,
        clicks: &[Click],
        lift: Option<&Lift>,
    ) -> Result<Estimate, PlaneError> {
        self.check_measure(measure, clicks, lift)?;
        let pixels: Vec<[f64; 2]> = clicks.iter().map(|c| c.at).collect();
        let raised = lift.map(|l| Raised::of(self, l));
        let state = State {
            theta: self.theta.clone(),
            pixels,
            raised,
        };
        let value = self.value(measure, &state)?;
        let (mut first, mut second, mut askew) = (0.0, 0.0, 0.0);
        let mut share = |above: State, below: State, middle: f64, weight: f64| {
            let (up, down) = (self.value(measure, &above)?, self.value(measure, &below)?);
            first += weight * ((up - down) / 2.0).powi(2);
            second += weight * (up + down - 2.0 * middle).powi(2) / 2.0;
            Ok::<(), PlaneError>(())
        };
        // A tilt matters the more the shorter the focal length, so its share is the mean over the
        // focal length at plus and minus one standard uncertainty (terms with f_ij and f_ijj).
        let focal = self.causes.iter().find(|c| c.unit == CauseUnit::LogPixels);
        for cause in &self.causes {
            match focal.filter(|_| cause.unit == CauseUnit::Degrees) {
                Some(focal) => {
                    for sign in [1.0, -1.0] {
                        let base = state.moved(focal, sign);
                        let there = self.value(measure, &base)?;
                        share(base.moved(cause, 1.0), base.moved(cause, -1.0), there, 0.5)?;
                    }
                }
                None => share(
                    state.moved(cause, 1.0),
                    state.moved(cause, -1.0),
                    value,
                    1.0,
                )?,
            }
        }
        // Two tilts together foreshorten askew: f_ij² u_i² u_j².
        let tilts: Vec<&Cause> = self
            .causes
            .iter()
            .filter(|c| c.unit == CauseUnit::Degrees)
            .collect();
        if let [a, b] = tilts.as_slice() {
            let at = |p: f64, q: f64| self.value(measure, &state.moved(a, p).moved(b, q));
            let mixed = at(1.0, 1.0)? - at(1.0, -1.0)? - at(-1.0, 1.0)? + at(-1.0, -1.0)?;
            askew = (mixed / 4.0).powi(2);
        }
        for (i, click) in clicks.iter().enumerate() {
            let [l11, l21, l22] = click.root();
            for by in [[l11, l21], [0.0, l22]] {
                let at = |sign: f64| {
                    let mut moved = state.clone();
                    moved.pixels[i][0] += sign * by[0];
                    moved.pixels[i][1] += sign * by[1];
                    moved
                };
                share(at(1.0), at(-1.0), value, 1.0)?;
            }
        }
        if let Some(raised) = state.raised {
            for k in 0..raised.mean.len() {
                let at = |sign: f64| {
                    let mut moved = state.clone();
                    if let Some(r) = &mut moved.raised {
                        r.mean[k] += sign * r.sd[k];
                    }
                    moved
                };
                share(at(1.0), at(-1.0), value, 1.0)?;
            }
        }
        Ok(Estimate {
            value,
            uncertainty: (first + second + askew).sqrt(),
            first_order: first.sqrt(),
        })
    }

    pub(crate) fn check_measure(
        &self,
        measure: &Measure,
        clicks: &[Click],
        lift: Option<&Lift>,
    ) -> Result<(), PlaneError> {
        let name = || measure.name().to_string();
        measure
            .check(clicks.len())
            .map_err(|why| PlaneError::Measure {
                measure: name(),
                why,
            })?;
        if let Some(i) = clicks.iter().position(|c| !c.is_usable()) {
            return Err(PlaneError::Click {
                reference: name(),
                number: i + 1,
            });
        }
        lift.map_or(Ok(()), |l| l.check(&name()))
    }

    fn value(&self, measure: &Measure, state: &State) -> Result<f64, PlaneError> {
        let name = || measure.name().to_string();
        let mut mm = self
            .mapping
            .unproject(&state.theta, &state.pixels)
            .map_err(|i| PlaneError::BeyondHorizon {
                measure: name(),
                number: i + 1,
            })?;
        if let Some(raised) = &state.raised {
            let camera = raised
                .camera(self, &state.theta)
                .ok_or(PlaneError::Measure {
                    measure: name(),
                    why: "the camera's place cannot be worked out from this focal length",
                })?;
            for p in &mut mm {
                *p = lowered(*p, camera, raised.mean[0]);
            }
        }
        measure.of(&mm).map_err(|why| PlaneError::Measure {
            measure: name(),
            why,
        })
    }
}

#[derive(Clone)]
struct State {
    theta: Vec<f64>,
    pixels: Vec<[f64; 2]>,
    raised: Option<Raised>,
}

impl State {
    fn moved(&self, cause: &Cause, by: f64) -> Self {
        let mut moved = self.clone();
        for (t, c) in moved.theta.iter_mut().zip(&cause.column) {
            *t += by * c;
        }
        moved
    }
}

/// Height, distance or focal length, foot of the plumb line: means and standard uncertainties.
#[derive(Clone, Copy)]
struct Raised {
    mean: [f64; 4],
    sd: [f64; 4],
    by_focal: bool,
}

impl Raised {
    fn of(plane: &Plane, lift: &Lift) -> Self {
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

    fn camera(&self, plane: &Plane, theta: &[f64]) -> Option<[f64; 3]> {
        if self.by_focal {
            plane.mapping.camera(theta, self.mean[1])
        } else {
            Some([self.mean[2], self.mean[3], self.mean[1]])
        }
    }
}

impl Plane {
    /// Returns the likely foot of the camera's plumb line, mm, and its standard uncertainty: the
    /// place in the middle of the picture.
    pub(crate) fn foot(&self, distance_mm: f64) -> ([f64; 2], f64) {
        let foot = self.to_plane(self.mapping.middle).unwrap_or([0.0, 0.0]);
        (foot, distance_mm * FOOT_TILT_DEG.to_radians().tan())
    }
}

impl Lift {
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
