//! How measures follow the clicks, the plane and the camera they rest on.
//!
//! In: a plane at given parameters, pixels, a correction for height. Out: the derivatives of
//! measures, from one pass over the points. Not here: the parts that are chained (`projection.rs`,
//! `measure_gradient.rs`, `height.rs`).
//!
//! A point at height h below a camera at C, distance Z, stands at m′ = m + q (C − m) with q = h/Z.

use super::height::{Centre, RAISED, Raised, lowered};
use super::projection::{PlanePoint, Projection};
use super::{Measure, Plane};

/// The points with their derivatives.
pub(crate) struct Chained<'p> {
    plane: &'p Plane,
    places: Vec<PlanePoint>,
    /// Where they stand, mm.
    pub(crate) mm: Vec<[f64; 2]>,
    raised: Option<(Raised, Centre)>,
}

/// Derivatives of a measure in its unit.
pub(crate) struct Slopes {
    /// By every pixel, across and down.
    pub(crate) by_pixel: Vec<[f64; 2]>,
    /// By every parameter of the view.
    pub(crate) by_theta: Vec<f64>,
    /// By every cause of doubt about the plane, per standard uncertainty.
    pub(crate) by_cause: Vec<f64>,
    /// By the numbers of the correction for height.
    pub(crate) by_raised: [f64; RAISED],
}

impl Plane {
    /// Returns what derivatives are chained of, or `None` where a point has no place.
    pub(crate) fn slopes_at(
        &self,
        theta: &[f64],
        pixels: &[[f64; 2]],
        raised: Option<&Raised>,
    ) -> Option<Chained<'_>> {
        let view = Projection::new(&self.mapping, theta)?;
        let turns = self.mapping.turns(theta);
        let place = |px: &[f64; 2]| view.place(*px, &turns);
        let places = pixels
            .iter()
            .map(place)
            .collect::<Option<Vec<PlanePoint>>>()?;
        let raised = match raised {
            Some(raised) => Some((*raised, raised.centre(self, theta)?)),
            None => None,
        };
        let stands = |place: &PlanePoint| match &raised {
            Some((raised, centre)) => lowered(place.mm, centre.at, raised.mean[0]),
            None => place.mm,
        };
        Some(Chained {
            plane: self,
            mm: places.iter().map(stands).collect(),
            places,
            raised,
        })
    }
}

impl Chained<'_> {
    /// Returns the derivatives of a measure, or `None` where it has no value.
    pub(crate) fn of(&self, measure: &Measure) -> Option<Slopes> {
        let by_place = measure.slopes(&self.mm)?;
        let height_mm = self.raised.as_ref().map_or(0.0, |(r, _)| r.mean[0]);
        let ratio = self
            .raised
            .as_ref()
            .map_or(0.0, |(_, c)| height_mm / c.at[2]);
        let shrunk = 1.0 - ratio;
        let count = self.plane.theta.len();
        let mut by_theta = vec![0.0; count];
        let mut by_pixel = Vec::with_capacity(self.places.len());
        for (g, place) in by_place.iter().zip(&self.places) {
            let dot = |v: &[f64; 2]| shrunk * (g[0] * v[0] + g[1] * v[1]);
            by_pixel.push([dot(&place.by_pixel[0]), dot(&place.by_pixel[1])]);
            for (sum, by) in by_theta.iter_mut().zip(&place.by_theta) {
                *sum += dot(by);
            }
        }
        let mut by_raised = [0.0; RAISED];
        if let Some((_, centre)) = &self.raised {
            // By a shift of all points together, and by the ratio.
            let (mut shift, mut by_ratio) = ([0.0; 2], 0.0);
            for (g, place) in by_place.iter().zip(&self.places) {
                for c in 0..2 {
                    shift[c] += g[c];
                    by_ratio += g[c] * (centre.at[c] - place.mm[c]);
                }
            }
            let distance = centre.at[2];
            let by_centre = |by: &[f64; 3]| {
                ratio * (shift[0] * by[0] + shift[1] * by[1]) - by_ratio * ratio / distance * by[2]
            };
            for (sum, by) in by_theta.iter_mut().zip(&centre.by_theta) {
                *sum += by_centre(by);
            }
            by_raised = centre.by_raised.map(|by| by_centre(&by));
            by_raised[0] += by_ratio / distance;
        }
        let causes = self.plane.causes.iter();
        let by_cause = |column: &Vec<f64>| column.iter().zip(&by_theta).map(|(c, t)| c * t).sum();
        Some(Slopes {
            by_pixel,
            by_cause: causes.map(|c| by_cause(&c.column)).collect(),
            by_theta,
            by_raised,
        })
    }
}
