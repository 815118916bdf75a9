//! Measures as terms of the derivation graph, with their working.
//!
//! In: a plane, clicks. Out: terms on a `quantity::Sheet`. Not here: fast estimates (`estimate.rs`),
//! how a measure follows what it rests on (`measurement_model.rs`).
//!
//! The inputs are the causes of doubt themselves: the clicks on the references and their sizes,
//! what is taken for granted about lens and camera, the clicks on the part. The parameters of the
//! view follow the former linearly (`solve.rs`), so measures that share a photograph share its
//! doubt and their correlation needs no further statement. All that is measured of the same
//! points is one node: the fitted plane seen at these points.

use super::height::Raised;
use super::measurement_model::{MeasurementModel, ModelResult, dimension, unit};
use super::plane::SourceUnit;
use super::{
    CameraPlace, Click, Estimate, Height, HeightCorrection, Measure, Plane, PlaneError, estimate,
};
use quantity::{Distribution, Input, Locator, Origin, Sheet, Source, Term, Unit, units};
use std::cell::{OnceCell, RefCell};
use std::sync::Arc;

/// A plane whose causes of doubt are inputs of a sheet. Make one for each photograph and take
/// all its measures from it.
pub struct PlaneOnSheet<'s> {
    sheet: &'s Sheet,
    plane: Arc<Plane>,
    causes: Vec<Term<'s>>,
    /// What all marks taken from the photograph's pixels share; an input once something rests on it.
    tones: OnceCell<Term<'s>>,
    evidence: Vec<Locator>,
    /// What was told of the camera first, which all things on the photograph share.
    camera: RefCell<Option<(CameraPlace, Vec<Term<'s>>)>>,
}

/// Points of one thing as inputs of a sheet.
pub struct Marks<'s> {
    clicks: Vec<Click>,
    /// Across and down of every point, then what the correction for height rests on.
    inputs: Vec<Term<'s>>,
    heights: Vec<Term<'s>>,
    raised: Option<Raised>,
}

impl Plane {
    /// Puts the plane's causes of doubt on a sheet. `evidence` names the photograph as a place in
    /// the record (`photo:board`).
    pub fn on<'s>(self: &Arc<Self>, sheet: &'s Sheet, evidence: &[Locator]) -> PlaneOnSheet<'s> {
        let causes = self
            .causes
            .iter()
            .map(|cause| {
                let (unit, origin, note) = match cause.unit {
                    SourceUnit::Pixels => (pixel(), Origin::Measured, ""),
                    SourceUnit::Millimetres => (units::millimetre(), Origin::Measured, ""),
                    SourceUnit::Inset => (
                        units::millimetre(),
                        Origin::Assumed,
                        "from where the sides would meet to the point marked, along either side",
                    ),
                    SourceUnit::Degrees => (unit(&Measure::Angle), Origin::Assumed, ""),
                    SourceUnit::Number if cause.name.contains("clicks") => (
                        units::one(),
                        Origin::Measured,
                        "joint effect of the clicks, in standard uncertainties",
                    ),
                    SourceUnit::Number | SourceUnit::LogPixels => {
                        (units::one(), Origin::Assumed, "")
                    }
                };
                let source = Source {
                    origin,
                    evidence: evidence.to_vec(),
                    note: note.into(),
                };
                let distribution = normal(cause.mean, cause.sd, &unit);
                sheet.input(Input::distributed(&cause.name, distribution, unit, source))
            })
            .collect();
        PlaneOnSheet {
            sheet,
            plane: Arc::clone(self),
            causes,
            tones: OnceCell::new(),
            evidence: evidence.to_vec(),
            camera: RefCell::default(),
        }
    }
}

impl<'s> PlaneOnSheet<'s> {
    /// Returns the plane.
    pub fn plane(&self) -> &Plane {
        &self.plane
    }

    /// Adds the clicked points of a thing, and how high they stand. `evidence` names the places in
    /// the record where they can be checked.
    ///
    /// # Errors
    /// [`PlaneError::Click`]; [`PlaneError::Measure`] where height and camera do not fit together.
    pub fn marks(
        &self,
        clicks: &[Click],
        lift: Option<&HeightCorrection>,
        evidence: &[Locator],
    ) -> Result<Marks<'s>, PlaneError> {
        if let Some(i) = clicks.iter().position(|c| !c.is_usable()) {
            return Err(PlaneError::Click {
                reference: "mark".into(),
                number: i + 1,
            });
        }
        let (heights, raised) = match lift {
            Some(lift) => {
                lift.check("height")?;
                let raised = Raised::of(&self.plane, lift);
                (self.heights(lift, &raised), Some(raised))
            }
            None => (Vec::new(), None),
        };
        let mut inputs = Vec::with_capacity(2 * clicks.len());
        for (i, click) in clicks.iter().enumerate() {
            let input = |word: &str, axis: usize| {
                let sd = click.covariance[2 * axis].sqrt();
                let name = format!("point {} {word}", i + 1);
                self.input(
                    &name,
                    (click.at[axis], sd),
                    &pixel(),
                    Origin::Measured,
                    evidence,
                )
            };
            let (x, y) = (input("x", 0), input("y", 1));
            let [xx, xy, yy] = click.covariance;
            if xy != 0.0 {
                let coefficient = xy / (xx * yy).sqrt();
                self.sheet.correlate(x, y, coefficient.clamp(-1.0, 1.0));
            }
            inputs.extend([x, y]);
        }
        Ok(Marks {
            clicks: clicks.to_vec(),
            inputs,
            heights,
            raised,
        })
    }

    fn tones(&self) -> Term<'s> {
        *self.tones.get_or_init(|| {
            let source = Source {
                origin: Origin::Assumed,
                evidence: self.evidence.clone(),
                note: "how far the picture's levels are from their stated curve, in standard uncertainties; \
                       moves all snapped edges towards their brighter or darker side"
                    .into(),
            };
            let (name, unit) = ("tone curve and sharpening", units::one());
            let distribution = normal(0.0, 1.0, &unit);
            self.sheet.input(Input::distributed(name, distribution, unit, source))
        })
    }

    /// The height of a thing, then what the camera's place follows from.
    fn heights(&self, lift: &HeightCorrection, raised: &Raised) -> Vec<Term<'s>> {
        let mm = units::millimetre();
        let (origin, distribution, note) = match lift.height {
            Height::Stated(h) => (Origin::Measured, normal(h.value, h.uncertainty, &mm), ""),
            Height::Usual { low, mode, high } => {
                let [low, mode, high] = [low, mode, high].map(|v| mm.to_si(v));
                let usual = Distribution::Triangular { low, mode, high };
                (Origin::Assumed, usual, "not stated; usual for such things")
            }
        };
        let source = Source {
            origin,
            evidence: self.evidence.clone(),
            note: note.into(),
        };
        let input = Input::distributed("height", distribution, mm, source);
        let mut terms = vec![self.sheet.input(input)];
        terms.extend(self.camera(lift.camera, raised));
        terms
    }

    fn camera(&self, place: CameraPlace, raised: &Raised) -> Vec<Term<'s>> {
        if let Some((known, terms)) = &*self.camera.borrow()
            && *known == place
        {
            return terms.clone();
        }
        let mm = units::millimetre();
        let input = |name: &str, k: usize, unit: &Unit, origin: Origin| {
            let distribution = (raised.mean[k], raised.sd[k]);
            self.input(name, distribution, unit, origin, &self.evidence)
        };
        let terms = match place {
            CameraPlace::Distance(_) => vec![
                input("camera distance", 1, &mm, Origin::Measured),
                input("camera foot across", 2, &mm, Origin::Assumed),
                input("camera foot down", 3, &mm, Origin::Assumed),
            ],
            CameraPlace::Focal(_) => vec![input("focal length", 1, &pixel(), Origin::Measured)],
            CameraPlace::Usual => {
                let name = "usual focal length, ln of pixels";
                vec![input(name, 1, &units::one(), Origin::Assumed)]
            }
        };
        *self.camera.borrow_mut() = Some((place, terms.clone()));
        terms
    }

    fn input(
        &self,
        name: &str,
        (value, sd): (f64, f64),
        unit: &Unit,
        origin: Origin,
        evidence: &[Locator],
    ) -> Term<'s> {
        let source = Source {
            origin,
            evidence: evidence.to_vec(),
            note: String::new(),
        };
        let distribution = normal(value, sd, unit);
        self.sheet
            .input(Input::distributed(name, distribution, unit.clone(), source))
    }

    /// Takes measures of the same points as terms with the names given, each with its fast
    /// estimate ([`Plane::estimate`]), which says whether its derivatives tell all.
    ///
    /// # Errors
    /// [`PlaneError::Measure`], [`PlaneError::BeyondHorizon`].
    pub fn measure(
        &self,
        marks: &Marks<'s>,
        wanted: &[(String, &Measure, Estimate)],
    ) -> Result<Vec<Term<'s>>, PlaneError> {
        let count = marks.clicks.len();
        for (name, measure, _) in wanted {
            measure.check(count).map_err(|why| PlaneError::Measure {
                measure: name.clone(),
                why,
            })?;
        }
        let sides: Vec<ModelResult> = wanted
            .iter()
            .map(|(_, measure, _)| ModelResult::new(measure, count))
            .collect();
        let results: Vec<_> = sides
            .iter()
            .map(|s| (s.formula.clone(), dimension(&s.measure)))
            .collect();
        let results: Vec<_> = results.iter().map(|(f, d)| (f.as_str(), *d)).collect();
        // What is told first: the clicks, then what the plane rests on.
        let mut arguments = marks.inputs.clone();
        arguments.extend(&self.causes);
        arguments.extend(&marks.heights);
        let shared: Vec<[f64; 2]> = marks.clicks.iter().map(|c| c.shared).collect();
        let is_shared = self.plane.shared.iter().chain(shared.as_flattened());
        let shared = is_shared.into_iter().any(|v| *v != 0.0).then_some(shared);
        if shared.is_some() {
            arguments.push(self.tones());
        }
        let model = MeasurementModel {
            plane: Arc::clone(&self.plane),
            points: count,
            raised: marks.raised,
            shared,
            straight: wanted
                .iter()
                .all(|(_, _, found)| estimate::is_straight(found)),
            sides,
        };
        let terms = self.sheet.model(&arguments, &results, Arc::new(model));
        let named = terms.into_iter().zip(wanted);
        Ok(named
            .map(|(term, (name, measure, _))| term.named(name, &unit(measure)))
            .collect())
    }
}

fn pixel() -> Unit {
    Unit::parse("px").unwrap_or_else(|_| units::one())
}

fn normal(value: f64, sd: f64, unit: &Unit) -> Distribution {
    if sd > 0.0 {
        Distribution::Normal {
            mean: unit.to_si(value),
            sd: sd * unit.factor().abs(),
        }
    } else {
        Distribution::Exact {
            value: unit.to_si(value),
        }
    }
}
