//! What of known size is to be seen in the photograph.
//!
//! In: clicks and sizes. Out: each click with its place in the reference's own frame, after
//! checks. Not here: the fit (`plane.rs`), sizes of common things (`reference_objects.rs`).

use super::dlt;
use super::side_points::{ON_A_SIDE, corners_of_sides};
use super::{Click, Measured, PlaneError};
use nalgebra::Vector3;

/// Something of known size that lies in the reference plane.
#[derive(Debug, Clone, PartialEq)]
pub struct Reference {
    /// What the reader calls it ("steel ruler", "card").
    pub name: String,
    /// Its shape, size and clicks.
    pub kind: ReferenceKind,
}

/// Shape, size and clicks of a reference; sizes in mm.
#[derive(Debug, Clone, PartialEq)]
pub enum ReferenceKind {
    /// Two points a known distance apart.
    Distance {
        /// The points.
        ends: [Click; 2],
        /// Distance, mm.
        length: Measured,
    },
    /// A rectangle of known size.
    Rectangle {
        /// Corners one after the other around the outline; from the first to the second is the
        /// length. Either way round.
        corners: [Click; 4],
        /// First side, mm.
        length: Measured,
        /// Second side, mm.
        width: Measured,
    },
    /// A rectangle with round corners that was marked at these: on the arcs, where the sides would meet, or
    /// between.
    RoundRectangle {
        /// Points at the corners, as for a rectangle.
        corners: [Click; 4],
        /// First side, mm.
        length: Measured,
        /// Second side, mm.
        width: Measured,
        /// Radius of its corners, mm.
        radius: Measured,
    },
    /// A rectangle of known size whose sides were marked, three points on each; what they say
    /// along the side does not count.
    Sides {
        /// Points in the order of the sides, see [`super::OutlinePoints::Sides`]. The first side is the
        /// length. Either way round.
        points: Box<[Click; 12]>,
        /// First side, mm.
        length: Measured,
        /// Second side, mm.
        width: Measured,
    },
    /// Points on a ruler.
    Ruler {
        /// Each point with its mark, mm.
        marks: Vec<(Click, f64)>,
        /// Relative standard uncertainty of the ruler's scale.
        scale_uncertainty: f64,
    },
    /// Points of a grid or pattern.
    Grid {
        /// Each point with its place on the pattern, mm; either way round.
        points: Vec<(Click, [f64; 2])>,
        /// Relative standard uncertainty of the pattern's scale.
        scale_uncertainty: f64,
    },
}

/// A reference made ready for the fit.
#[derive(Debug, Clone)]
pub(crate) struct Prepared {
    pub(crate) name: String,
    pub(crate) clicks: Vec<Click>,
    /// Places in the reference's own frame, mm, origin in the middle, turned as in the picture.
    pub(crate) places: Vec<[f64; 2]>,
    /// Where each click lies somewhere on a side: the direction of that side, a unit vector in the
    /// same frame; its place is then about right along the side. `None` where clicks are points.
    pub(crate) sides: Option<Vec<[f64; 2]>>,
    /// Relative standard uncertainty of the size along and across; `None` across where one
    /// factor holds for both.
    pub(crate) along: f64,
    pub(crate) across: Option<f64>,
    /// How far a point on the middle of a round corner lies inwards of where the sides would meet, along
    /// either side, mm; `None` where the places are exact.
    pub(crate) inset: Option<f64>,
    /// Whether it spans an area with at least four points.
    pub(crate) spans: bool,
}

/// Share of the longest side that the other must reach for points to enclose an area.
const FLAT: f64 = 0.005;
/// Of the radius of a round corner: how far the middle of its arc lies inwards of the corner along either side,
/// 1 − √½.
const ARC: f64 = 1.0 - std::f64::consts::FRAC_1_SQRT_2;
/// How far outside the picture a click may lie, pixels.
const MARGIN: f64 = 1.0;

impl Reference {
    /// Checks the reference and returns its points.
    pub(crate) fn prepared(&self, picture: [u32; 2]) -> Result<Prepared, PlaneError> {
        let (clicks, mut places, along, across) = self.points()?;
        self.check_clicks(&clicks, picture)?;
        let middle: [f64; 2] =
            std::array::from_fn(|c| places.iter().map(|p| p[c]).sum::<f64>() / places.len() as f64);
        for p in &mut places {
            *p = [p[0] - middle[0], p[1] - middle[1]];
        }
        let seen: Vec<[f64; 2]> = clicks.iter().map(|c| c.at).collect();
        self.check_apart(&seen, &clicks)?;
        let on_sides = matches!(self.kind, ReferenceKind::Sides { .. });
        // From here on as many as there are places: of a rectangle marked on its sides, the corners.
        let seen = if on_sides {
            corners_of_sides(&seen).ok_or_else(|| self.collinear())?
        } else {
            seen
        };
        let corners = matches!(
            self.kind,
            ReferenceKind::Rectangle { .. } | ReferenceKind::RoundRectangle { .. }
        );
        if on_sides || corners {
            self.check_corners(&seen)?;
        }
        let inset = match &self.kind {
            ReferenceKind::RoundRectangle { radius, .. } => {
                self.check_size("corner radius", radius.value, radius.uncertainty)?;
                Some(radius.value * ARC)
            }
            _ => None,
        };
        if matches!(self.kind, ReferenceKind::Ruler { .. }) {
            self.check_marks(&seen, &places)?;
        }
        let spans = places.len() >= 4 && !is_flat(&places) && !is_flat(&seen);
        if mirrored(&places, &seen) {
            for p in &mut places {
                p[1] = -p[1];
            }
        }
        let mut sides = None;
        if on_sides {
            let on = on_sides_of(&places, &seen, &clicks).ok_or_else(|| self.collinear())?;
            sides = Some(on.iter().map(|(_, side)| *side).collect());
            places = on.into_iter().map(|(place, _)| place).collect();
        }
        Ok(Prepared {
            name: self.name.clone(),
            clicks,
            places,
            sides,
            along,
            across,
            inset,
            spans,
        })
    }

    fn collinear(&self) -> PlaneError {
        PlaneError::Collinear {
            reference: self.name.clone(),
        }
    }

    /// Clicks, places in the own frame, and the relative uncertainties along and across. The places
    /// of a rectangle are its corners, whatever was clicked of it.
    fn points(&self) -> Result<Points, PlaneError> {
        match &self.kind {
            ReferenceKind::Distance { ends, length } => {
                self.check_size("length", length.value, length.uncertainty)?;
                let half = length.value / 2.0;
                let places = vec![[-half, 0.0], [half, 0.0]];
                Ok((ends.to_vec(), places, length.relative(), None))
            }
            ReferenceKind::Rectangle {
                corners,
                length,
                width,
            }
            | ReferenceKind::RoundRectangle {
                corners,
                length,
                width,
                ..
            } => self.rectangle(corners, *length, *width),
            ReferenceKind::Sides {
                points,
                length,
                width,
            } => self.rectangle(points.as_slice(), *length, *width),
            ReferenceKind::Ruler {
                marks,
                scale_uncertainty,
            } => {
                self.check_count(marks.len(), 2)?;
                self.check_size("scale uncertainty", 1.0, *scale_uncertainty)?;
                self.check_places(marks.iter().flat_map(|(_, mm)| [*mm]))?;
                let places = marks.iter().map(|(_, mm)| [*mm, 0.0]).collect();
                let clicks = marks.iter().map(|(c, _)| *c).collect();
                Ok((clicks, places, *scale_uncertainty, None))
            }
            ReferenceKind::Grid {
                points,
                scale_uncertainty,
            } => {
                self.check_count(points.len(), 2)?;
                self.check_size("scale uncertainty", 1.0, *scale_uncertainty)?;
                self.check_places(points.iter().flat_map(|(_, mm)| *mm))?;
                let places = points.iter().map(|(_, mm)| *mm).collect();
                let clicks = points.iter().map(|(c, _)| *c).collect();
                Ok((clicks, places, *scale_uncertainty, None))
            }
        }
    }

    fn rectangle(
        &self,
        clicks: &[Click],
        length: Measured,
        width: Measured,
    ) -> Result<Points, PlaneError> {
        self.check_size("length", length.value, length.uncertainty)?;
        self.check_size("width", width.value, width.uncertainty)?;
        let (l, w) = (length.value / 2.0, width.value / 2.0);
        let places = vec![[-l, -w], [l, -w], [l, w], [-l, w]];
        let across = Some(width.relative());
        Ok((clicks.to_vec(), places, length.relative(), across))
    }

    fn check_count(&self, found: usize, needed: usize) -> Result<(), PlaneError> {
        if found < needed {
            return Err(PlaneError::TooFew {
                reference: self.name.clone(),
                found,
                needed,
            });
        }
        Ok(())
    }

    fn check_size(&self, what: &'static str, value: f64, u: f64) -> Result<(), PlaneError> {
        let wrong = |value: f64| PlaneError::Size {
            reference: self.name.clone(),
            what,
            value,
        };
        if !(value > 0.0 && value < 1e6) {
            return Err(wrong(value));
        }
        if !(u >= 0.0 && u < value) {
            return Err(wrong(u));
        }
        Ok(())
    }

    fn check_places(&self, mut values: impl Iterator<Item = f64>) -> Result<(), PlaneError> {
        match values.find(|v| !v.is_finite() || v.abs() > 1e6) {
            Some(value) => Err(PlaneError::Size {
                reference: self.name.clone(),
                what: "mark",
                value,
            }),
            None => Ok(()),
        }
    }

    fn check_clicks(&self, clicks: &[Click], [width, height]: [u32; 2]) -> Result<(), PlaneError> {
        for (i, click) in clicks.iter().enumerate() {
            let number = i + 1;
            if !click.is_usable() {
                return Err(PlaneError::Click {
                    reference: self.name.clone(),
                    number,
                });
            }
            let [x, y] = click.at;
            let inside = |v: f64, most: u32| v >= -MARGIN && v <= f64::from(most) + MARGIN;
            if !inside(x, width) || !inside(y, height) {
                return Err(PlaneError::Outside {
                    reference: self.name.clone(),
                    number,
                    x,
                    y,
                    width,
                    height,
                });
            }
        }
        Ok(())
    }

    /// Points that are apart on the reference must be apart in the picture.
    /// Points are gone through along the direction in which they lie furthest apart, each held only
    /// against those before it that may be near enough.
    fn check_apart(&self, seen: &[[f64; 2]], clicks: &[Click]) -> Result<(), PlaneError> {
        let variance = |i: usize| clicks[i].covariance[0] + clicks[i].covariance[2];
        let widest = (0..seen.len()).map(variance).fold(0.0, f64::max);
        let reach = (2.0 * widest).sqrt();
        let range = |axis: usize| {
            let values = seen.iter().map(|p| p[axis]);
            let (low, high) = bounds(values);
            high - low
        };
        let axis = usize::from(range(1) > range(0));
        let mut order: Vec<usize> = (0..seen.len()).collect();
        order.sort_by(|&i, &j| seen[i][axis].total_cmp(&seen[j][axis]));
        let mut first: Option<(usize, usize)> = None;
        for (k, &i) in order.iter().enumerate() {
            let near = order[..k]
                .iter()
                .rev()
                .take_while(|&&j| seen[i][axis] - seen[j][axis] < reach);
            for &j in near {
                let apart = (seen[i][0] - seen[j][0]).hypot(seen[i][1] - seen[j][1]);
                if apart < (variance(i) + variance(j)).sqrt() {
                    let pair = (i.min(j), i.max(j));
                    first = Some(first.map_or(pair, |f| f.min(pair)));
                }
            }
        }
        match first {
            Some((i, j)) => Err(PlaneError::Together {
                reference: self.name.clone(),
                first: i + 1,
                second: j + 1,
            }),
            None => Ok(()),
        }
    }

    /// Points of a ruler follow each other in the picture as their marks do on the ruler.
    fn check_marks(&self, seen: &[[f64; 2]], places: &[[f64; 2]]) -> Result<(), PlaneError> {
        let mut order: Vec<usize> = (0..seen.len()).collect();
        order.sort_by(|&i, &j| places[i][0].total_cmp(&places[j][0]));
        let (Some(&first), Some(&last)) = (order.first(), order.last()) else {
            return Ok(());
        };
        let along = [0, 1].map(|k: usize| seen[last][k] - seen[first][k]);
        let far = |i: usize| seen[i][0] * along[0] + seen[i][1] * along[1];
        let wrong = |w: &&[usize]| places[w[0]][0] == places[w[1]][0] || far(w[1]) <= far(w[0]);
        match order.windows(2).find(wrong) {
            Some(w) => Err(PlaneError::Marks {
                reference: self.name.clone(),
                first: w[0] + 1,
                second: w[1] + 1,
            }),
            None => Ok(()),
        }
    }

    /// A rectangle is seen as a convex quadrilateral; each corner turns the same way.
    fn check_corners(&self, seen: &[[f64; 2]]) -> Result<(), PlaneError> {
        if is_flat(seen) {
            return Err(self.collinear());
        }
        let turns: Vec<f64> = (0..4)
            .map(|i| cross(seen[i], seen[(i + 1) % 4], seen[(i + 2) % 4]))
            .collect();
        if turns.iter().all(|t| *t > 0.0) || turns.iter().all(|t| *t < 0.0) {
            return Ok(());
        }
        let three_in_line =
            (0..4).any(|i| is_flat(&[seen[i], seen[(i + 1) % 4], seen[(i + 2) % 4]]));
        Err(if three_in_line {
            self.collinear()
        } else {
            PlaneError::Order {
                reference: self.name.clone(),
            }
        })
    }
}

/// Clicks, places, relative uncertainties along and across.
type Points = (Vec<Click>, Vec<[f64; 2]>, f64, Option<f64>);

/// Places and directions of clicks on the sides of a quadrilateral, given its corners and where
/// they are seen.
fn on_sides_of(
    corners: &[[f64; 2]],
    seen: &[[f64; 2]],
    clicks: &[Click],
) -> Option<Vec<([f64; 2], [f64; 2])>> {
    let back = dlt::homography(seen, corners)?;
    let place = |(i, click): (usize, &Click)| {
        let (p, q) = (
            corners[i / ON_A_SIDE],
            corners[(i / ON_A_SIDE + 1) % corners.len()],
        );
        let length = (q[0] - p[0]).hypot(q[1] - p[1]);
        let side = [0, 1].map(|k: usize| (q[k] - p[k]) / length);
        let at = back * Vector3::new(click.at[0], click.at[1], 1.0);
        let (x, y) = (at.x / at.z - p[0], at.y / at.z - p[1]);
        let along = x * side[0] + y * side[1];
        let place = [0, 1].map(|k: usize| p[k] + along * side[k]);
        (along.is_finite() && side[0].is_finite()).then_some((place, side))
    };
    clicks.iter().enumerate().map(place).collect()
}

/// The least and the greatest of some numbers.
pub(crate) fn bounds(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| {
        (low.min(v), high.max(v))
    })
}

/// Corners of the convex outline of points, in order. Source: A. M. Andrew, Inf. Process. Lett. 9
/// (1979) 216.
pub(crate) fn hull(points: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let chain = |points: &mut dyn Iterator<Item = [f64; 2]>| {
        let mut kept: Vec<[f64; 2]> = Vec::new();
        for p in points {
            while let [.., a, b] = kept.as_slice()
                && cross(*a, *b, p) <= 0.0
            {
                kept.pop();
            }
            kept.push(p);
        }
        kept
    };
    let mut corners = chain(&mut sorted.iter().copied());
    corners.extend(chain(&mut sorted.iter().rev().copied()));
    corners
}

fn cross(a: [f64; 2], b: [f64; 2], c: [f64; 2]) -> f64 {
    (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
}

/// Whether points lie on a line: the smaller principal spread against the greater.
fn is_flat(points: &[[f64; 2]]) -> bool {
    let n = points.len() as f64;
    let mean = |c: usize| points.iter().map(|p| p[c]).sum::<f64>() / n;
    let (mx, my) = (mean(0), mean(1));
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for p in points {
        let (x, y) = (p[0] - mx, p[1] - my);
        xx += x * x;
        xy += x * y;
        yy += y * y;
    }
    let (half, root) = ((xx + yy) / 2.0, ((xx - yy) / 2.0).hypot(xy));
    let least = (half - root).max(0.0);
    let spans = least.sqrt() > FLAT * (half + root).sqrt();
    !spans
}

/// Whether the pattern is seen the other way round: the sign of the best affine map.
fn mirrored(places: &[[f64; 2]], seen: &[[f64; 2]]) -> bool {
    let n = seen.len() as f64;
    let mean = |c: usize| seen.iter().map(|p| p[c]).sum::<f64>() / n;
    let (mx, my) = (mean(0), mean(1));
    let mut m = [0.0; 4];
    for (p, q) in places.iter().zip(seen) {
        let (x, y) = (q[0] - mx, q[1] - my);
        m[0] += p[0] * x;
        m[1] += p[0] * y;
        m[2] += p[1] * x;
        m[3] += p[1] * y;
    }
    m[0] * m[3] - m[1] * m[2] < 0.0
}
