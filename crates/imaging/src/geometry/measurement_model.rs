//! Measures of the same points on a plane as one model of the derivation graph.
//!
//! In: pixels, causes of doubt about the plane, what a correction for height rests on. Out: the
//! measures, their derivatives from one pass over the points (`chain_rule.rs`), and lines that say
//! where the points lie. Not here: the inputs (`working.rs`).

use super::height::{CameraBy, RAISED, Raised, lowered};
use super::measure::between;
use super::plane::SourceUnit;
use super::projection::Projection;
use super::side_points::{OutlinePoints, corners_of_sides};
use super::{Measure, Plane};
use quantity::{Dimension, Model, Unit, format_quantity, units};
use std::borrow::Cow;
use std::sync::Arc;

/// Measures of the same points, with their plane.
pub(crate) struct MeasurementModel {
    pub(crate) plane: Arc<Plane>,
    /// Number of points.
    pub(crate) points: usize,
    pub(crate) raised: Option<Raised>,
    /// How far each point moves by what marks share, where that is the last argument.
    pub(crate) shared: Option<Vec<[f64; 2]>>,
    /// Whether the derivatives tell all.
    pub(crate) straight: bool,
    pub(crate) sides: Vec<ModelResult>,
}

/// One measure.
pub(crate) struct ModelResult {
    pub(crate) measure: Measure,
    /// How it follows from the points, in words.
    pub(crate) formula: String,
}

impl ModelResult {
    pub(crate) fn new(measure: &Measure, points: usize) -> Self {
        Self {
            measure: measure.clone(),
            formula: formula(measure, points),
        }
    }
}

/// The unit a measure is told in.
pub(crate) fn unit(measure: &Measure) -> Unit {
    match measure {
        Measure::Area(_) => units::square_millimetre(),
        Measure::Angle => Unit::parse("°").unwrap_or_else(|_| units::one()),
        _ => units::millimetre(),
    }
}

/// The dimension of a measure.
pub(crate) fn dimension(measure: &Measure) -> Dimension {
    unit(measure).dimension()
}

/// What the arguments of the model say.
struct State {
    pixels: Vec<[f64; 2]>,
    theta: Vec<f64>,
    raised: Option<Raised>,
}

impl MeasurementModel {
    /// The unit of a cause, as a share of the SI unit.
    fn factor(unit: SourceUnit) -> f64 {
        match unit {
            SourceUnit::Millimetres | SourceUnit::Inset => 1e-3,
            SourceUnit::Degrees => 1f64.to_radians(),
            SourceUnit::Pixels | SourceUnit::LogPixels | SourceUnit::Number => 1.0,
        }
    }

    /// The unit of a number of the correction for height, as a share of the SI unit.
    fn height_factor(&self, k: usize) -> f64 {
        let is_focal = k == 1 && self.raised.is_some_and(|r| r.by != CameraBy::Distance);
        if is_focal { 1.0 } else { 1e-3 }
    }

    fn state(&self, arguments: &[f64]) -> Option<State> {
        let (clicks, rest) = arguments.split_at_checked(2 * self.points)?;
        let (causes, rest) = rest.split_at_checked(self.plane.causes.len())?;
        let mut theta = self.plane.theta.clone();
        let mut pixels: Vec<[f64; 2]> = clicks.chunks_exact(2).map(|c| [c[0], c[1]]).collect();
        let (heights, tones) = self.split_last(rest);
        if let (Some(shared), Some(tones)) = (&self.shared, tones) {
            for (p, s) in pixels.iter_mut().zip(shared) {
                *p = [0, 1].map(|k: usize| p[k] + tones * s[k]);
            }
            for (t, c) in theta.iter_mut().zip(&self.plane.shared) {
                *t += tones * c;
            }
        }
        for (cause, value) in self.plane.causes.iter().zip(causes) {
            let deviation = (value / Self::factor(cause.unit) - cause.mean) / cause.sd;
            for (t, c) in theta.iter_mut().zip(&cause.column) {
                *t += deviation * c;
            }
        }
        let mut raised = self.raised;
        if let Some(raised) = &mut raised {
            for (k, (mean, value)) in raised.mean.iter_mut().zip(heights).enumerate() {
                *mean = value / self.height_factor(k);
            }
        }
        Some(State {
            pixels,
            theta,
            raised,
        })
    }

    /// What follows the causes: numbers of the correction for height, then what marks share.
    fn split_last<'a>(&self, rest: &'a [f64]) -> (&'a [f64], Option<f64>) {
        match rest.split_last() {
            Some((last, heights)) if self.shared.is_some() => (heights, Some(*last)),
            _ => (rest, None),
        }
    }

    fn places(&self, state: &State) -> Option<Vec<[f64; 2]>> {
        let view = Projection::new(&self.plane.mapping, &state.theta)?;
        let mut mm = view.unproject_all(&state.pixels).ok()?;
        if let Some(raised) = &state.raised {
            let camera = raised.camera(&self.plane, &state.theta)?;
            for p in &mut mm {
                *p = lowered(*p, camera, raised.mean[0]);
            }
        }
        Some(mm)
    }

    fn filled(&self, arguments: &[f64], slopes: &mut [f64]) -> Option<()> {
        let state = self.state(arguments)?;
        let raised = state.raised.as_ref();
        let chained = self.plane.slopes_at(&state.theta, &state.pixels, raised)?;
        for (row, side) in slopes.chunks_exact_mut(arguments.len()).zip(&self.sides) {
            let by = chained.of(&side.measure)?;
            let factor = unit(&side.measure).factor();
            let (clicks, rest) = row.split_at_mut_checked(2 * self.points)?;
            let (causes, rest) = rest.split_at_mut_checked(self.plane.causes.len())?;
            let heights = match rest.split_last_mut() {
                Some((last, heights)) if let Some(shared) = &self.shared => {
                    let theta = by.by_theta.iter().zip(&self.plane.shared);
                    let pixel = by.by_pixel.as_flattened().iter().zip(shared.as_flattened());
                    *last = factor * theta.chain(pixel).map(|(by, s)| by * s).sum::<f64>();
                    heights
                }
                _ => rest,
            };
            for (slope, by) in clicks.iter_mut().zip(by.by_pixel.as_flattened()) {
                *slope = factor * by;
            }
            for ((slope, by), cause) in causes.iter_mut().zip(&by.by_cause).zip(&self.plane.causes)
            {
                *slope = factor * by / (cause.sd * Self::factor(cause.unit));
            }
            for (k, slope) in heights.iter_mut().enumerate().take(RAISED) {
                *slope = factor * by.by_raised[k] / self.height_factor(k);
            }
        }
        Some(())
    }
}

impl Model for MeasurementModel {
    fn run(&self, arguments: &[f64], results: &mut [f64]) {
        results.fill(f64::NAN);
        let places = self.state(arguments).and_then(|s| self.places(&s));
        for (result, side) in results.iter_mut().zip(&self.sides) {
            let value = places.as_ref().and_then(|mm| side.measure.of(mm).ok());
            *result = value.map_or(f64::NAN, |v| unit(&side.measure).to_si(v));
        }
    }

    fn slopes(&self, arguments: &[f64], slopes: &mut [f64]) -> bool {
        if self.filled(arguments, slopes).is_none() {
            slopes.fill(f64::NAN);
        }
        true
    }

    fn is_straight(&self) -> bool {
        self.straight
    }

    fn working(&self, result: usize, arguments: &[f64], _: &[f64]) -> Vec<String> {
        let told = || {
            let measure = &self.sides.get(result)?.measure;
            let state = self.state(arguments)?;
            Some(lines(measure, &self.places(&state)?, state.raised.as_ref()))
        };
        told().unwrap_or_default()
    }
}

/// How a measure follows from its points, in words.
fn formula(measure: &Measure, points: usize) -> String {
    match measure {
        Measure::Distance => "distance of points 1 and 2".to_string(),
        Measure::Length(_) => "mean of the sides 1 to 2 and 3 to 4".to_string(),
        Measure::Width(_) => "mean of the sides 2 to 3 and 4 to 1".to_string(),
        Measure::Diameter => format!("diameter of the best circle through {points} points"),
        Measure::GreaterAxis => format!("greater axis of the best ellipse through {points} points"),
        Measure::SmallerAxis => format!("smaller axis of the best ellipse through {points} points"),
        Measure::Area(_) => "half of Σ across(i) × down(i+1) − across(i+1) × down(i)".to_string(),
        Measure::Angle => "angle at point 2".to_string(),
        Measure::Pitch(_) => format!("length of the least-squares step through {points} points"),
    }
}

/// Places written out; of more their number is told.
const LONGEST: usize = 12;

/// Lines that say where points lie and how long the sides are.
fn lines(measure: &Measure, mm: &[[f64; 2]], raised: Option<&Raised>) -> Vec<String> {
    let mut lines = Vec::new();
    let length = |v: f64| format_quantity(to_micrometre(v), &units::millimetre());
    if let Some(raised) = raised {
        let height = length(raised.mean[0]);
        let seen = |focal: f64| {
            format!(
                "points stand {height} above the plane, seen with a focal length of {focal:.0} px"
            )
        };
        lines.push(match raised.by {
            CameraBy::Focal => seen(raised.mean[1]),
            CameraBy::LnFocal => seen(raised.mean[1].exp()),
            CameraBy::Distance => {
                let ratio = raised.mean[0] / raised.mean[1];
                let distance = length(raised.mean[1]);
                format!("height over distance = height / camera distance = {height} / {distance} = {ratio:.5}")
            }
        });
    }
    let (word, corners) = match measure.marked() {
        OutlinePoints::Corners => ("points", Some(Cow::Borrowed(mm))),
        OutlinePoints::Sides => ("corners", corners_of_sides(mm).map(Cow::Owned)),
    };
    let Some(corners) = corners else {
        return lines;
    };
    let place = |p: &[f64; 2]| format!("({:.3}, {:.3})", p[0], p[1]);
    let told: Vec<String> = corners.iter().take(LONGEST).map(place).collect();
    let more = match corners.len().saturating_sub(LONGEST) {
        0 => String::new(),
        others => format!(" and {others} more"),
    };
    lines.push(format!(
        "{word} on the plane, mm across and down: {}{more}",
        told.join(" ")
    ));
    let ends = match measure {
        Measure::Length(_) => [(0, 1), (2, 3)],
        Measure::Width(_) => [(1, 2), (3, 0)],
        _ => return lines,
    };
    for (a, b) in ends {
        if let (Some(p), Some(q)) = (corners.get(a), corners.get(b)) {
            let apart = length(between(*p, *q));
            lines.push(format!("side {} to {} = {apart}", a + 1, b + 1));
        }
    }
    lines
}

fn to_micrometre(mm: f64) -> f64 {
    (mm * 1e3).round() / 1e3
}
