//! Measures with their standard uncertainty, fast.
//!
//! In: a plane, clicks, measures. Out: value and standard uncertainty. Not here: the working
//! and the interval's shape (`working.rs`, the derivation graph), which rest on the same causes.
//!
//! Every cause of doubt is moved by plus and minus one standard uncertainty: half the difference
//! is its first-order share; the change of the mean, its second-order share ½ f″² u⁴
//! (JCGM 100:2008, 5.1.2 and its note; mixed terms only between tilts and focal length, where
//! they matter). Of many clicks each has only a small part in the result, so that theirs are
//! taken from the derivatives alone; the cost thus grows with their number and not its square.

use super::height::{CameraBy, Raised, lowered};
use super::plane::{SourceUnit, UncertaintySource};
use super::projection::Projection;
use super::{Click, HeightCorrection, Measure, Plane, PlaneError};

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

/// Share of the uncertainty that second-order parts may have in a measure that counts as straight.
const STRAIGHT: f64 = 0.01;

/// Clicks that are moved one by one.
const FEW: usize = 12;

/// Whether a measure follows the causes of doubt so nearly straight that its derivatives tell all.
pub(crate) fn is_straight(found: &Estimate) -> bool {
    found.uncertainty <= (1.0 + STRAIGHT) * found.first_order
}

impl Plane {
    /// Measures clicked points; `lift` where they stand above the plane.
    ///
    /// # Errors
    /// [`PlaneError::BeyondHorizon`], [`PlaneError::Click`], [`PlaneError::Measure`].
    pub fn estimate(
        &self,
        measure: &Measure,
        clicks: &[Click],
        lift: Option<&HeightCorrection>,
    ) -> Result<Estimate, PlaneError> {
        self.check_measure(measure, clicks, lift)?;
        let [found] = self.estimated([measure], clicks, lift)?;
        Ok(found)
    }

    /// Takes two measures of the same points.
    ///
    /// # Errors
    /// As [`Plane::estimate`].
    pub fn estimate_both(
        &self,
        measures: [&Measure; 2],
        clicks: &[Click],
        lift: Option<&HeightCorrection>,
    ) -> Result<[Estimate; 2], PlaneError> {
        for measure in measures {
            self.check_measure(measure, clicks, lift)?;
        }
        self.estimated(measures, clicks, lift)
    }

    fn estimated<const N: usize>(
        &self,
        measures: [&Measure; N],
        clicks: &[Click],
        lift: Option<&HeightCorrection>,
    ) -> Result<[Estimate; N], PlaneError> {
        let wanted = RectifyOptions {
            plane: self,
            measures,
            pixels: clicks.iter().map(|c| c.at).collect(),
            shared: clicks.iter().map(|c| c.shared).collect(),
        };
        let raised = lift.map(|l| Raised::of(self, l));
        let state = State {
            theta: self.theta.clone(),
            raised,
            tones: 0.0,
        };
        let places = wanted.places(&state)?;
        let value = wanted.values(&places)?;
        let mut sums = [Sums::default(); N];
        // A tilt matters the more the shorter the focal length, so its share is the mean over the
        // focal length at plus and minus one standard uncertainty (terms with f_ij and f_ijj).
        let focal = self.causes.iter().find(|c| c.unit == SourceUnit::LogPixels);
        for cause in &self.causes {
            let mut share = |base: &State, middle: [f64; N], weight: f64| {
                let up = wanted.at(&base.moved(cause, 1.0))?;
                let down = wanted.at(&base.moved(cause, -1.0))?;
                Sums::add(&mut sums, up, down, middle, weight);
                Ok::<(), PlaneError>(())
            };
            match focal.filter(|_| cause.unit == SourceUnit::Degrees) {
                Some(focal) => {
                    for sign in [1.0, -1.0] {
                        let base = state.moved(focal, sign);
                        share(&base, wanted.at(&base)?, 0.5)?;
                    }
                }
                None => share(&state, value, 1.0)?,
            }
        }
        // What marks share moves the references and the thing together.
        let shared = self.shared.iter().chain(wanted.shared.as_flattened());
        if shared.into_iter().any(|v| *v != 0.0) {
            let at = |sign: f64| wanted.at(&state.toned(&self.shared, sign));
            Sums::add(&mut sums, at(1.0)?, at(-1.0)?, value, 1.0);
        }
        // Two tilts together foreshorten askew: f_ij² u_i² u_j².
        let tilts = self.causes.iter().filter(|c| c.unit == SourceUnit::Degrees);
        if let [a, b] = tilts.collect::<Vec<&UncertaintySource>>().as_slice() {
            let at = |p: f64, q: f64| wanted.at(&state.moved(a, p).moved(b, q));
            let (pp, pm, mp, mm) = (
                at(1.0, 1.0)?,
                at(1.0, -1.0)?,
                at(-1.0, 1.0)?,
                at(-1.0, -1.0)?,
            );
            for (k, sum) in sums.iter_mut().enumerate() {
                sum.askew = ((pp[k] - pm[k] - mp[k] + mm[k]) / 4.0).powi(2);
            }
        }
        if let Some(raised) = state.raised {
            let at = |raised: Raised| {
                wanted.at(&State {
                    theta: state.theta.clone(),
                    raised: Some(raised),
                    tones: 0.0,
                })
            };
            let mut share = |base: Raised, k: usize, middle: [f64; N], weight: f64| {
                let (up, down) = (at(base.moved(k, 1.0))?, at(base.moved(k, -1.0))?);
                Sums::add(&mut sums, up, down, middle, weight);
                Ok::<(), PlaneError>(())
            };
            for k in 0..raised.count() {
                // A height matters the more the nearer the camera is, so its share is a mean as well.
                if k == 0 && raised.by == CameraBy::LnFocal {
                    for sign in [1.0, -1.0] {
                        let base = raised.moved(1, sign);
                        share(base, k, at(base)?, 0.5)?;
                    }
                } else {
                    share(raised, k, value, 1.0)?;
                }
            }
        }
        wanted.add_clicks(&state, clicks, places, value, &mut sums)?;
        let mut found = value.map(|value| Estimate {
            value,
            uncertainty: 0.0,
            first_order: 0.0,
        });
        for (found, sum) in found.iter_mut().zip(&sums) {
            found.uncertainty = (sum.first + sum.second + sum.askew).sqrt();
            found.first_order = sum.first.sqrt();
        }
        Ok(found)
    }

    pub(crate) fn check_measure(
        &self,
        measure: &Measure,
        clicks: &[Click],
        lift: Option<&HeightCorrection>,
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
}

/// Variances of a measure.
#[derive(Clone, Copy, Default)]
struct Sums {
    first: f64,
    second: f64,
    askew: f64,
}

impl Sums {
    /// Adds the share of a cause that gives `up` and `down` where it is moved.
    fn add<const N: usize>(
        sums: &mut [Self; N],
        up: [f64; N],
        down: [f64; N],
        middle: [f64; N],
        weight: f64,
    ) {
        for (k, sum) in sums.iter_mut().enumerate() {
            sum.first += weight * ((up[k] - down[k]) / 2.0).powi(2);
            sum.second += weight * (up[k] + down[k] - 2.0 * middle[k]).powi(2) / 2.0;
        }
    }
}

/// What a measure is moved by besides clicks.
#[derive(Clone)]
struct State {
    theta: Vec<f64>,
    raised: Option<Raised>,
    /// By how many standard uncertainties what the marks share is off.
    tones: f64,
}

impl State {
    fn toned(&self, column: &[f64], by: f64) -> Self {
        let mut moved = self.clone();
        moved.tones += by;
        for (t, c) in moved.theta.iter_mut().zip(column) {
            *t += by * c;
        }
        moved
    }

    fn moved(&self, cause: &UncertaintySource, by: f64) -> Self {
        let mut moved = self.clone();
        for (t, c) in moved.theta.iter_mut().zip(&cause.column) {
            *t += by * c;
        }
        moved
    }
}

/// Measures taken of the same points.
struct RectifyOptions<'p, const N: usize> {
    plane: &'p Plane,
    measures: [&'p Measure; N],
    pixels: Vec<[f64; 2]>,
    /// How far each moves by what marks share.
    shared: Vec<[f64; 2]>,
}

impl<const N: usize> RectifyOptions<'_, N> {
    fn name(&self) -> String {
        self.measures.first().map_or("", |m| m.name()).to_string()
    }

    fn beyond(&self, number: usize) -> PlaneError {
        PlaneError::BeyondHorizon {
            measure: self.name(),
            number: number + 1,
        }
    }

    fn at(&self, state: &State) -> Result<[f64; N], PlaneError> {
        self.values(&self.places(state)?)
    }

    fn places(&self, state: &State) -> Result<Vec<[f64; 2]>, PlaneError> {
        let view = self.view(state)?;
        let moved =
            |(p, s): (&[f64; 2], &[f64; 2])| [0, 1].map(|k: usize| p[k] + state.tones * s[k]);
        let pixels: Vec<[f64; 2]> = self.pixels.iter().zip(&self.shared).map(moved).collect();
        let mut mm = view.unproject_all(&pixels).map_err(|i| self.beyond(i))?;
        if let Some(raised) = &state.raised {
            let camera = self.camera(raised, state)?;
            for p in &mut mm {
                *p = lowered(*p, camera, raised.mean[0]);
            }
        }
        Ok(mm)
    }

    fn view(&self, state: &State) -> Result<Projection<'_>, PlaneError> {
        Projection::new(&self.plane.mapping, &state.theta).ok_or_else(|| self.beyond(0))
    }

    fn camera(&self, raised: &Raised, state: &State) -> Result<[f64; 3], PlaneError> {
        raised
            .camera(self.plane, &state.theta)
            .ok_or_else(|| PlaneError::Measure {
                measure: self.name(),
                why: NO_CAMERA,
            })
    }

    fn values(&self, mm: &[[f64; 2]]) -> Result<[f64; N], PlaneError> {
        let mut values = [0.0; N];
        for (value, measure) in values.iter_mut().zip(self.measures) {
            *value = measure.of(mm).map_err(|why| PlaneError::Measure {
                measure: measure.name().to_string(),
                why,
            })?;
        }
        Ok(values)
    }

    /// Adds the shares of the clicks on the thing itself.
    fn add_clicks(
        &self,
        state: &State,
        clicks: &[Click],
        mut places: Vec<[f64; 2]>,
        value: [f64; N],
        sums: &mut [Sums; N],
    ) -> Result<(), PlaneError> {
        if clicks.len() > FEW {
            let causes = &self
                .plane
                .slopes_at(&state.theta, &self.pixels, state.raised.as_ref());
            for (sum, measure) in sums.iter_mut().zip(self.measures) {
                let slopes = causes.as_ref().and_then(|c| c.of(measure));
                let slopes = slopes.ok_or_else(|| self.beyond(0))?;
                for (by, click) in slopes.by_pixel.iter().zip(clicks) {
                    let [xx, xy, yy] = click.covariance;
                    sum.first += by[0] * by[0] * xx + 2.0 * by[0] * by[1] * xy + by[1] * by[1] * yy;
                }
            }
            return Ok(());
        }
        let view = self.view(state)?;
        let camera = state.raised.as_ref().map(|r| self.camera(r, state));
        let camera = camera.transpose()?;
        for (i, click) in clicks.iter().enumerate() {
            let here = places[i];
            let [l11, l21, l22] = click.root();
            for [x, y] in [[l11, l21], [0.0, l22]] {
                let mut at = |sign: f64| {
                    let px = [click.at[0] + sign * x, click.at[1] + sign * y];
                    let mm = view.unproject(px).ok_or_else(|| self.beyond(i))?;
                    places[i] = match (&state.raised, camera) {
                        (Some(raised), Some(camera)) => lowered(mm, camera, raised.mean[0]),
                        _ => mm,
                    };
                    self.values(&places)
                };
                let (up, down) = (at(1.0)?, at(-1.0)?);
                Sums::add(sums, up, down, value, 1.0);
            }
            places[i] = here;
        }
        Ok(())
    }
}

/// Why a focal length gives no place of the camera.
pub(crate) const NO_CAMERA: &str = "the camera's place cannot be worked out from this focal length";
