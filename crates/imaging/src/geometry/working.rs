//! Measures as terms of the derivation graph, with their working.
//!
//! In: a plane, clicks. Out: terms on a `quantity::Sheet`. Not here: fast estimates (`quick.rs`).
//!
//! The inputs are the causes of doubt themselves: the clicks on the references and their sizes,
//! what is taken for granted about lens and camera, the clicks on the part. The parameters of the
//! view follow the former linearly (`solve.rs`), so measures that share a photograph share its
//! doubt and their correlation needs no further statement. A place on the plane is one node that
//! the graph cannot look into; what is made of places is written out.

use super::height::lowered;
use super::measure::{Measure, NO_CORNERS, crosses_itself, pitch_weights};
use super::plane::CauseUnit;
use super::sides::{Marked, ON_A_SIDE, corner_of_two};
use super::{CameraPlace, Click, Lift, Plane, PlaneError};
use quantity::{
    Dimension, Distribution, Input, OpaqueModel, Origin, Sheet, Source, Term, Unit, units,
};
use std::sync::Arc;

/// A plane whose causes of doubt are inputs of a sheet. Make one for each photograph and take
/// all its measures from it.
pub struct OnSheet<'s> {
    sheet: &'s Sheet,
    plane: Arc<Plane>,
    causes: Vec<Term<'s>>,
    source: Source,
    px: Unit,
    degree: Unit,
}

/// A place on the plane as two terms.
#[derive(Debug, Clone, Copy)]
pub struct Spot<'s> {
    /// Across.
    pub across: Term<'s>,
    /// Down.
    pub down: Term<'s>,
    at_mm: [f64; 2],
}

/// A height above the plane and the camera's place, as terms.
#[derive(Debug, Clone, Copy)]
pub struct Lifted<'s> {
    ratio: Term<'s>,
    foot: [Term<'s>; 2],
    height_mm: f64,
    camera_mm: [f64; 3],
}

impl Plane {
    /// Puts the plane's causes of doubt on a sheet. `evidence` names the photograph as a place in
    /// the record (`photo:board`).
    pub fn on<'s>(&self, sheet: &'s Sheet, evidence: &[String]) -> OnSheet<'s> {
        let unit = |symbol| Unit::parse(symbol).unwrap_or_else(|_| units::one());
        let (px, degree) = (unit("px"), unit("°"));
        let causes = self
            .causes
            .iter()
            .map(|cause| {
                let (unit, origin, note) = match cause.unit {
                    CauseUnit::Pixels => (px.clone(), Origin::Measured, ""),
                    CauseUnit::Millimetres => (units::millimetre(), Origin::Standard, ""),
                    CauseUnit::Degrees => (degree.clone(), Origin::Assumed, ""),
                    CauseUnit::Number if cause.name.contains("clicks") => (
                        units::one(),
                        Origin::Measured,
                        "joint effect of the clicks, in standard uncertainties",
                    ),
                    CauseUnit::Number | CauseUnit::LogPixels => (units::one(), Origin::Assumed, ""),
                };
                let source = Source {
                    origin,
                    evidence: evidence.to_vec(),
                    note: note.into(),
                };
                let law = normal(cause.mean, cause.sd, &unit);
                sheet.input(Input::distributed(&cause.name, law, unit, source))
            })
            .collect();
        OnSheet {
            sheet,
            plane: Arc::new(self.clone()),
            causes,
            source: Source {
                origin: Origin::Measured,
                evidence: evidence.to_vec(),
                note: String::new(),
            },
            px,
            degree,
        }
    }
}

impl<'s> OnSheet<'s> {
    /// Returns the plane.
    pub fn plane(&self) -> &Plane {
        &self.plane
    }

    /// Adds a clicked place under a name ("left edge").
    ///
    /// # Errors
    /// [`PlaneError::Click`], [`PlaneError::BeyondHorizon`].
    pub fn spot(&self, name: &str, click: Click) -> Result<Spot<'s>, PlaneError> {
        self.spot_seen(name, click, &self.source.evidence)
    }

    /// Adds a clicked place under a name, with the places in the record where it can be checked.
    ///
    /// # Errors
    /// As [`OnSheet::spot`].
    pub fn spot_seen(
        &self,
        name: &str,
        click: Click,
        evidence: &[String],
    ) -> Result<Spot<'s>, PlaneError> {
        if !click.is_usable() {
            return Err(PlaneError::Click {
                reference: name.into(),
                number: 1,
            });
        }
        let at_mm = self
            .plane
            .to_plane(click.at)
            .ok_or(PlaneError::BeyondHorizon {
                measure: name.into(),
                number: 1,
            })?;
        let input = |word: &str, axis: usize| {
            let sd = click.covariance[2 * axis].sqrt();
            let law = normal(click.at[axis], sd, &self.px);
            let name = format!("{name} {word}");
            self.sheet.input(Input::distributed(
                name,
                law,
                self.px.clone(),
                Source {
                    evidence: evidence.to_vec(),
                    ..self.source.clone()
                },
            ))
        };
        let (x, y) = (input("x", 0), input("y", 1));
        let [xx, xy, yy] = click.covariance;
        if xy != 0.0 {
            self.sheet
                .correlate(x, y, (xy / (xx * yy).sqrt()).clamp(-1.0, 1.0));
        }
        // What is told first: the click, then what the plane rests on.
        let mut arguments = vec![x, y];
        arguments.extend(&self.causes);
        let place = |word: &str, axis: usize| {
            let model = self.place(axis);
            self.sheet
                .opaque(word, &arguments, Dimension::LENGTH, model)
                .noted(&format!("{name} {word}"), &units::millimetre())
        };
        Ok(Spot {
            across: place("across", 0),
            down: place("down", 1),
            at_mm,
        })
    }

    /// The place on the plane in metres, from the causes and a click.
    fn place(&self, axis: usize) -> OpaqueModel {
        let plane = Arc::clone(&self.plane);
        let degree = self.degree.clone();
        Arc::new(move |x: &[f64]| {
            let &[px, py, ref causes @ ..] = x else {
                return f64::NAN;
            };
            let theta = plane.theta_at(causes, &degree);
            match plane.mapping.unproject(&theta, &[[px, py]]) {
                Ok(mm) => mm[0][axis] * 1e-3,
                Err(_) => f64::NAN,
            }
        })
    }

    /// Adds a height and a camera's place.
    ///
    /// # Errors
    /// [`PlaneError::Measure`] where they do not fit together.
    pub fn lift(&self, lift: &Lift) -> Result<Lifted<'s>, PlaneError> {
        lift.check("height")?;
        let mm = units::millimetre();
        let input = |name: &str, value: f64, u: f64, unit: &Unit, origin: Origin| {
            let source = Source {
                origin,
                ..self.source.clone()
            };
            let law = normal(value, u, unit);
            self.sheet
                .input(Input::distributed(name, law, unit.clone(), source))
        };
        let h = lift.height;
        let height = input("height", h.value, h.uncertainty, &mm, Origin::Measured);
        let (distance, foot, camera_mm) = match lift.camera {
            CameraPlace::Distance(z) => {
                let (at, spread) = self.plane.foot(z.value);
                let distance = input(
                    "camera distance",
                    z.value,
                    z.uncertainty,
                    &mm,
                    Origin::Measured,
                );
                let names = ["camera foot across", "camera foot down"];
                let foot = [0, 1].map(|i| input(names[i], at[i], spread, &mm, Origin::Assumed));
                (distance, foot, [at[0], at[1], z.value])
            }
            CameraPlace::Focal(f) => {
                let none = || PlaneError::Measure {
                    measure: "height".into(),
                    why: "the camera's place cannot be worked out from this focal length",
                };
                let at = self.plane.mapping.camera(&self.plane.theta, f.value);
                let at = at.ok_or_else(none)?;
                let focal = input(
                    "focal length",
                    f.value,
                    f.uncertainty,
                    &self.px,
                    Origin::Measured,
                );
                let mut arguments = self.causes.clone();
                arguments.push(focal);
                let names = ["camera foot across", "camera foot down", "camera distance"];
                let terms = [0, 1, 2].map(|i| {
                    self.sheet
                        .opaque(names[i], &arguments, Dimension::LENGTH, self.camera(i))
                        .named(names[i], &mm)
                });
                (terms[2], [terms[0], terms[1]], at)
            }
        };
        Ok(Lifted {
            ratio: (height / distance).named("height over distance", &units::one()),
            foot,
            height_mm: h.value,
            camera_mm,
        })
    }

    fn camera(&self, axis: usize) -> OpaqueModel {
        let plane = Arc::clone(&self.plane);
        let degree = self.degree.clone();
        Arc::new(move |x: &[f64]| {
            let (causes, focal) = x.split_at(plane.causes.len().min(x.len()));
            let theta = plane.theta_at(causes, &degree);
            let &[focal] = focal else { return f64::NAN };
            plane
                .mapping
                .camera(&theta, focal)
                .map_or(f64::NAN, |c| c[axis] * 1e-3)
        })
    }

    /// Returns the place above which a raised point stands.
    pub fn raised(&self, name: &str, spot: Spot<'s>, lifted: Lifted<'s>) -> Spot<'s> {
        let mm = units::millimetre();
        let one = |seen: Term<'s>, foot: Term<'s>, word: &str| {
            (seen + (foot - seen) * lifted.ratio).noted(&format!("{name} {word}"), &mm)
        };
        Spot {
            across: one(spot.across, lifted.foot[0], "across, at its height"),
            down: one(spot.down, lifted.foot[1], "down, at its height"),
            at_mm: lowered(spot.at_mm, lifted.camera_mm, lifted.height_mm),
        }
    }

    /// Returns the distance of two places.
    pub fn distance(&self, name: &str, a: Spot<'s>, b: Spot<'s>) -> Term<'s> {
        self.between(a, b).named(name, &units::millimetre())
    }

    /// Takes a measure of places under a name.
    ///
    /// # Errors
    /// [`PlaneError::Measure`] with the reason.
    pub fn measure(
        &self,
        name: &str,
        measure: &Measure,
        spots: &[Spot<'s>],
    ) -> Result<Term<'s>, PlaneError> {
        let at: Vec<[f64; 2]> = spots.iter().map(|s| s.at_mm).collect();
        measure.of(&at).map_err(|why| PlaneError::Measure {
            measure: name.into(),
            why,
        })?;
        let corners;
        let spots = match measure.marked() {
            Marked::Corners => spots,
            Marked::Sides => {
                corners = self.corners(spots)?;
                corners.as_slice()
            }
        };
        let at: Vec<[f64; 2]> = spots.iter().map(|s| s.at_mm).collect();
        let mm = units::millimetre();
        let side = |word: &str, a: usize, b: usize| {
            self.between(spots[a], spots[b])
                .named(&format!("{name}, {word}"), &mm)
        };
        let term = match measure {
            Measure::Distance => self.between(spots[0], spots[1]),
            Measure::Length(_) => (side("one side", 0, 1) + side("other side", 2, 3)) / 2.0,
            Measure::Width(_) => (side("one side", 1, 2) + side("other side", 3, 0)) / 2.0,
            Measure::Diameter | Measure::GreaterAxis | Measure::SmallerAxis => {
                self.fitted(measure, spots)
            }
            Measure::Area(_) => return Ok(self.area(name, spots, &at)),
            Measure::Angle => return Ok(self.angle(name, spots)),
            Measure::Pitch(steps) => self.pitch(steps, spots),
        };
        Ok(term.named(name, &mm))
    }

    fn between(&self, a: Spot<'s>, b: Spot<'s>) -> Term<'s> {
        ((b.across - a.across).powi(2) + (b.down - a.down).powi(2)).sqrt()
    }

    /// The corners of an outline that was marked on its sides.
    fn corners(&self, spots: &[Spot<'s>]) -> Result<Vec<Spot<'s>>, PlaneError> {
        let sides: Vec<&[Spot<'s>]> = spots.chunks(ON_A_SIDE).collect();
        let at = |k: usize, spots: &[Spot<'s>]| {
            let both = [sides[(k + sides.len() - 1) % sides.len()], spots].concat();
            let places: Vec<[f64; 2]> = both.iter().map(|s| s.at_mm).collect();
            let at_mm = corner_of_two(&places).ok_or(PlaneError::Measure {
                measure: format!("corner {}", k + 1),
                why: NO_CORNERS,
            })?;
            let arguments = Self::arguments(&both);
            let place = |word: &str, axis: usize| {
                let model: OpaqueModel = Arc::new(move |x: &[f64]| {
                    let mm: Vec<[f64; 2]> = x.chunks_exact(2).map(|c| [c[0], c[1]]).collect();
                    corner_of_two(&mm).map_or(f64::NAN, |p| p[axis])
                });
                self.sheet
                    .opaque("where sides meet", &arguments, Dimension::LENGTH, model)
                    .noted(&format!("corner {} {word}", k + 1), &units::millimetre())
            };
            Ok(Spot {
                across: place("across", 0),
                down: place("down", 1),
                at_mm,
            })
        };
        sides.iter().enumerate().map(|(k, s)| at(k, s)).collect()
    }

    fn arguments(spots: &[Spot<'s>]) -> Vec<Term<'s>> {
        spots.iter().flat_map(|s| [s.across, s.down]).collect()
    }

    fn fitted(&self, measure: &Measure, spots: &[Spot<'s>]) -> Term<'s> {
        let what = measure.clone();
        let word = match measure {
            Measure::Diameter => "circle through",
            _ => "ellipse through",
        };
        let model: OpaqueModel = Arc::new(move |x: &[f64]| {
            let mm: Vec<[f64; 2]> = x
                .chunks_exact(2)
                .map(|c| [c[0] * 1e3, c[1] * 1e3])
                .collect();
            what.of(&mm).map_or(f64::NAN, |v| v * 1e-3)
        });
        let arguments = Self::arguments(spots);
        self.sheet
            .opaque(word, &arguments, Dimension::LENGTH, model)
    }

    /// Half the sum of x(i) y(i+1) − x(i+1) y(i), in the order that makes it positive.
    fn area(&self, name: &str, spots: &[Spot<'s>], at: &[[f64; 2]]) -> Term<'s> {
        debug_assert!(!crosses_itself(at), "checked by the measure");
        let n = spots.len();
        let signed: f64 = (0..n)
            .map(|i| at[i][0] * at[(i + 1) % n][1] - at[(i + 1) % n][0] * at[i][1])
            .sum();
        let order: Vec<Spot<'s>> = if signed < 0.0 {
            spots.iter().rev().copied().collect()
        } else {
            spots.to_vec()
        };
        let parts: Vec<Term<'s>> = (0..n)
            .map(|i| {
                let (p, q) = (order[i], order[(i + 1) % n]);
                p.across * q.down - q.across * p.down
            })
            .collect();
        (self.sheet.sum(&parts) / 2.0).named(name, &units::square_millimetre())
    }

    fn angle(&self, name: &str, spots: &[Spot<'s>]) -> Term<'s> {
        let model: OpaqueModel = Arc::new(|x: &[f64]| {
            let m: Vec<[f64; 2]> = x
                .chunks_exact(2)
                .map(|c| [c[0] * 1e3, c[1] * 1e3])
                .collect();
            Measure::Angle.of(&m).map_or(f64::NAN, f64::to_radians)
        });
        let arguments = Self::arguments(spots);
        self.sheet
            .opaque("angle of", &arguments, Dimension::NONE, model)
            .named(name, &self.degree)
    }

    fn pitch(&self, steps: &[u32], spots: &[Spot<'s>]) -> Term<'s> {
        if let [a, b] = spots {
            let count = f64::from(steps.last().copied().unwrap_or(1));
            return self.between(*a, *b) / count;
        }
        let weights = pitch_weights(steps);
        let along = |of: fn(&Spot<'s>) -> Term<'s>| {
            let parts: Vec<Term<'s>> = weights.iter().zip(spots).map(|(w, s)| *w * of(s)).collect();
            self.sheet.sum(&parts)
        };
        (along(|s| s.across).powi(2) + along(|s| s.down).powi(2)).sqrt()
    }
}

impl Plane {
    /// Returns the parameters for given values of the causes, SI.
    fn theta_at(&self, causes: &[f64], degree: &Unit) -> Vec<f64> {
        let mut theta = self.theta.clone();
        for (cause, value) in self.causes.iter().zip(causes) {
            let factor = match cause.unit {
                CauseUnit::Millimetres => 1e-3,
                CauseUnit::Degrees => degree.factor(),
                _ => 1.0,
            };
            let deviation = (value / factor - cause.mean) / cause.sd;
            for (t, c) in theta.iter_mut().zip(&cause.column) {
                *t += deviation * c;
            }
        }
        theta
    }
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
