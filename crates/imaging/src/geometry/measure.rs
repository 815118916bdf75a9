//! What can be measured on the plane, as plain functions of places in millimetres.
//!
//! In: places. Out: a length in mm, an area in mm², an angle in degrees. Not here: uncertainty
//! (`estimate.rs` for speed, `working.rs` for the working), derivatives (`measure_gradient.rs`).

use super::ellipse::{circle, ellipse};
use super::side_points::{ON_A_SIDE, OutlinePoints, corners_of_sides};
use std::borrow::Cow;

/// Why sides make no outline.
pub(crate) const NO_CORNERS: &str =
    "neighbouring sides do not meet; mark the points of each side in order around the outline";

/// One measure of a set of points.
#[derive(Debug, Clone, PartialEq)]
pub enum Measure {
    /// Distance of two points, mm.
    Distance,
    /// Mean of the first side of a rectangle and the one opposite, mm.
    Length(OutlinePoints),
    /// Mean of the second side of a rectangle and the one opposite, mm.
    Width(OutlinePoints),
    /// Diameter of the best circle through three or more points, mm.
    Diameter,
    /// Greater axis of the best ellipse through five or more points, mm.
    GreaterAxis,
    /// Smaller axis of the same, mm.
    SmallerAxis,
    /// Area of a polygon, mm².
    Area(OutlinePoints),
    /// Angle at the second of three points, degrees, 0 to 180.
    Angle,
    /// Pitch of a row of points, mm: the steps from the first point to each. Two points suffice.
    Pitch(Vec<u32>),
}

impl Measure {
    /// Makes the pitch of a row in which every thing was marked.
    pub fn pitch_of_all(count: usize) -> Self {
        Self::Pitch((0..u32::try_from(count).unwrap_or(u32::MAX)).collect())
    }

    /// Returns how the reader knows it.
    pub fn name(&self) -> &'static str {
        match self {
            Self::Distance => "distance",
            Self::Length(_) => "length",
            Self::Width(_) => "width",
            Self::Diameter => "diameter",
            Self::GreaterAxis => "greater axis",
            Self::SmallerAxis => "smaller axis",
            Self::Area(_) => "area",
            Self::Angle => "angle",
            Self::Pitch(_) => "pitch",
        }
    }

    /// Checks the number of points.
    ///
    /// # Errors
    /// How many are needed.
    pub fn check(&self, count: usize) -> Result<(), &'static str> {
        let (good, why) = match self {
            Self::Distance => (count == 2, "two points are needed"),
            Self::Length(marked) | Self::Width(marked) => match marked {
                OutlinePoints::Corners => (count == 4, "four corners are needed"),
                OutlinePoints::Sides => {
                    (count == 12, "three points on each of four sides are needed")
                }
            },
            Self::Diameter => (count >= 3, "three or more points on the rim are needed"),
            Self::GreaterAxis | Self::SmallerAxis => {
                (count >= 5, "five or more points on the rim are needed")
            }
            Self::Area(marked) => match marked {
                OutlinePoints::Corners => (count >= 3, "three or more corners are needed"),
                OutlinePoints::Sides => (
                    count >= 9 && count.is_multiple_of(ON_A_SIDE),
                    "three points on each of three or more sides are needed",
                ),
            },
            Self::Angle => (
                count == 3,
                "three points are needed, the second where the sides meet",
            ),
            Self::Pitch(steps) => (
                count >= 2
                    && steps.len() == count
                    && steps.first() == Some(&0)
                    && steps.windows(2).all(|w| w[0] < w[1]),
                "two or more points in order are needed, each with its number of steps from the first",
            ),
        };
        if good { Ok(()) } else { Err(why) }
    }

    /// Returns the measure of places in mm.
    ///
    /// # Errors
    /// Why it has no answer.
    pub fn of(&self, mm: &[[f64; 2]]) -> Result<f64, &'static str> {
        self.check(mm.len())?;
        let mm = self.corners(mm).ok_or(NO_CORNERS)?;
        let value = match self {
            Self::Distance => between(mm[0], mm[1]),
            Self::Length(_) | Self::Width(_) if crosses_itself(&mm) => {
                return Err(
                    "the corners cross over; mark them one after the other around the outline",
                );
            }
            Self::Length(_) => (between(mm[0], mm[1]) + between(mm[2], mm[3])) / 2.0,
            Self::Width(_) => (between(mm[1], mm[2]) + between(mm[3], mm[0])) / 2.0,
            Self::Diameter => {
                2.0 * circle(&mm)
                    .ok_or("the points do not make a circle; spread them around the rim")?
                    .radius
            }
            Self::GreaterAxis | Self::SmallerAxis => {
                let found = ellipse(&mm)
                    .ok_or("the points do not make an ellipse; spread them around the rim")?;
                2.0 * found.half_axes[usize::from(*self == Self::SmallerAxis)]
            }
            Self::Area(_) => area(&mm)?,
            Self::Angle => angle_deg(mm[0], mm[1], mm[2]),
            Self::Pitch(steps) => pitch(steps, &mm),
        };
        if value.is_finite() {
            Ok(value)
        } else {
            Err("the points fall together; mark them apart")
        }
    }

    /// Returns what the points are, where they are the outline of something.
    pub(crate) fn marked(&self) -> OutlinePoints {
        match self {
            Self::Length(marked) | Self::Width(marked) | Self::Area(marked) => *marked,
            _ => OutlinePoints::Corners,
        }
    }

    /// Returns the points that the measure itself is taken of: the corners of an outline that was
    /// marked on its sides.
    fn corners<'p>(&self, mm: &'p [[f64; 2]]) -> Option<Cow<'p, [[f64; 2]]>> {
        match self.marked() {
            OutlinePoints::Corners => Some(Cow::Borrowed(mm)),
            OutlinePoints::Sides => corners_of_sides(mm).map(Cow::Owned),
        }
    }
}

pub(crate) fn between(a: [f64; 2], b: [f64; 2]) -> f64 {
    let (x, y) = (b[0] - a[0], b[1] - a[1]);
    (x * x + y * y).sqrt()
}

fn area(mm: &[[f64; 2]]) -> Result<f64, &'static str> {
    if crosses_itself(mm) {
        return Err("the outline crosses itself; mark its corners in order");
    }
    let n = mm.len();
    let twice: f64 = (0..n)
        .map(|i| {
            let (p, q) = (mm[i], mm[(i + 1) % n]);
            p[0] * q[1] - q[0] * p[1]
        })
        .sum();
    Ok(twice.abs() / 2.0)
}

/// Whether two sides that do not share a corner cross.
///
/// Sides are gone through from left to right, each held only against those that reach as far.
fn crosses_itself(p: &[[f64; 2]]) -> bool {
    let n = p.len();
    let cross = |a: [f64; 2], b: [f64; 2], c: [f64; 2]| {
        (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    };
    let side = |i: usize| (p[i], p[(i + 1) % n]);
    let reach = |i: usize| {
        let (a, b) = side(i);
        (a[0].min(b[0]), a[0].max(b[0]))
    };
    let mut order: Vec<usize> = (0..n).collect();
    order.sort_by(|&i, &j| reach(i).0.total_cmp(&reach(j).0));
    let mut open: Vec<usize> = Vec::new();
    for i in order {
        let (a, b) = side(i);
        open.retain(|&j| reach(j).1 >= reach(i).0);
        let crossed = |&j: &usize| {
            let (c, d) = side(j);
            (i + 1) % n != j
                && (j + 1) % n != i
                && cross(a, b, c) * cross(a, b, d) < 0.0
                && cross(c, d, a) * cross(c, d, b) < 0.0
        };
        if open.iter().any(crossed) {
            return true;
        }
        open.push(i);
    }
    false
}

fn angle_deg(a: [f64; 2], at: [f64; 2], b: [f64; 2]) -> f64 {
    let (u, v) = ([a[0] - at[0], a[1] - at[1]], [b[0] - at[0], b[1] - at[1]]);
    let cross = u[0] * v[1] - u[1] * v[0];
    let dot = u[0] * v[0] + u[1] * v[1];
    if u == [0.0, 0.0] || v == [0.0, 0.0] {
        return f64::NAN;
    }
    cross.abs().atan2(dot).to_degrees()
}

/// Weights with which the steps of a row enter its pitch by least squares; they sum to zero.
pub(crate) fn pitch_weights(steps: &[u32]) -> Vec<f64> {
    let mean = steps.iter().map(|s| f64::from(*s)).sum::<f64>() / steps.len() as f64;
    let whole: f64 = steps.iter().map(|s| (f64::from(*s) - mean).powi(2)).sum();
    steps
        .iter()
        .map(|s| (f64::from(*s) - mean) / whole)
        .collect()
}

/// Places are `origin + step × pitch vector` by least squares; the pitch is the vector's length.
fn pitch(steps: &[u32], mm: &[[f64; 2]]) -> f64 {
    let weights = pitch_weights(steps);
    let along: [f64; 2] =
        std::array::from_fn(|c| weights.iter().zip(mm).map(|(w, p)| w * p[c]).sum::<f64>());
    along[0].hypot(along[1])
}

#[cfg(test)]
mod tests {
    use super::*;

    const SQUARE: [[f64; 2]; 4] = [[0.0, 0.0], [4.0, 0.0], [4.0, 3.0], [0.0, 3.0]];

    #[test]
    fn simple_figures_have_their_measures() {
        assert_eq!(Measure::Distance.of(&SQUARE[1..3]), Ok(3.0));
        assert_eq!(Measure::Length(OutlinePoints::Corners).of(&SQUARE), Ok(4.0));
        assert_eq!(Measure::Width(OutlinePoints::Corners).of(&SQUARE), Ok(3.0));
        assert_eq!(Measure::Area(OutlinePoints::Corners).of(&SQUARE), Ok(12.0));
        assert!((Measure::Angle.of(&SQUARE[..3]).unwrap() - 90.0).abs() < 1e-12);
        assert!((Measure::Diameter.of(&SQUARE).unwrap() - 5.0).abs() < 1e-12);
        let row = [[0.0, 0.0], [1.5, 2.0], [4.5, 6.0]];
        assert!((Measure::Pitch(vec![0, 1, 3]).of(&row).unwrap() - 2.5).abs() < 1e-12);
    }

    #[test]
    fn points_without_a_measure_are_refused_with_the_reason() {
        let crossed = [SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3]];
        assert!(
            Measure::Area(OutlinePoints::Corners)
                .of(&crossed)
                .unwrap_err()
                .contains("crosses")
        );
        for side in [Measure::Length, Measure::Width] {
            for order in [crossed, [SQUARE[0], SQUARE[1], SQUARE[3], SQUARE[2]]] {
                let why = side(OutlinePoints::Corners).of(&order).unwrap_err();
                assert!(why.contains("cross over"), "{why}");
            }
        }
        assert!(Measure::Distance.of(&SQUARE).is_err());
        assert!(Measure::Angle.of(&[[1.0, 1.0]; 3]).is_err());
        assert!(Measure::Pitch(vec![0, 2, 1]).of(&SQUARE[..3]).is_err());
        assert!(
            Measure::Diameter
                .of(&[[0.0, 0.0], [1.0, 1.0], [2.0, 2.0]])
                .is_err()
        );
    }
}
