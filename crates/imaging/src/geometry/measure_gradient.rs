//! How measures follow the places they are taken of.
//!
//! In: a measure, places in mm. Out: its derivative by every place, in closed form, at a cost that
//! grows with the number of places. Not here: the values (`measure.rs`), how places follow clicks
//! and view (`projection.rs`).
//!
//! The circle of least squared distances has Σ rᵢ = 0 and Σ rᵢ nᵢ = 0, with residuals r and
//! outward unit vectors n; differentiating both gives how middle and radius follow a point
//! (implicit function theorem).

use super::Measure;
use super::ellipse::{Scatter, circle};
use super::measure::pitch_weights;
use super::side_points::{Corner, ON_A_SIDE, OutlinePoints};
use nalgebra::Matrix3;

/// Step of a numeric derivative as a share of the extent of the points.
const STEP: f64 = 1e-5;

impl Measure {
    /// Returns the derivatives of [`Measure::of`] by every place, in the measure's unit per mm, or
    /// `None` where it has no value.
    pub(crate) fn slopes(&self, mm: &[[f64; 2]]) -> Option<Vec<[f64; 2]>> {
        match self.marked() {
            OutlinePoints::Corners => self.by_corners(mm),
            OutlinePoints::Sides => {
                let sides = mm.len() / ON_A_SIDE;
                let corners = (0..sides)
                    .map(|k| Corner::between(side(mm, (k + sides - 1) % sides), side(mm, k)))
                    .collect::<Option<Vec<Corner>>>()?;
                let places: Vec<[f64; 2]> = corners.iter().map(|c| c.at).collect();
                let mut by_point = vec![[0.0; 2]; mm.len()];
                for ((k, corner), by) in corners.iter().enumerate().zip(self.by_corners(&places)?) {
                    let [before, after] = corner.chain(by);
                    let starts = [(k + sides - 1) % sides, k].map(|s| s * ON_A_SIDE);
                    for (start, chained) in starts.into_iter().zip([before, after]) {
                        for (i, add) in chained.into_iter().enumerate() {
                            by_point[start + i] = plus(by_point[start + i], add, 1.0);
                        }
                    }
                }
                Some(by_point)
            }
        }
    }

    fn by_corners(&self, mm: &[[f64; 2]]) -> Option<Vec<[f64; 2]>> {
        let mut by = vec![[0.0; 2]; mm.len()];
        let mut apart = |a: usize, b: usize, weight: f64| {
            let [x, y] = unit([mm[b][0] - mm[a][0], mm[b][1] - mm[a][1]])?;
            by[a] = plus(by[a], [x, y], -weight);
            by[b] = plus(by[b], [x, y], weight);
            Some(())
        };
        match self {
            Self::Distance => apart(0, 1, 1.0)?,
            Self::Length(_) => {
                apart(0, 1, 0.5)?;
                apart(2, 3, 0.5)?;
            }
            Self::Width(_) => {
                apart(1, 2, 0.5)?;
                apart(3, 0, 0.5)?;
            }
            Self::Diameter => return by_rim(mm),
            Self::GreaterAxis => return by_axis(mm, 0),
            Self::SmallerAxis => return by_axis(mm, 1),
            Self::Area(_) => {
                let n = mm.len();
                let twice: f64 = (0..n)
                    .map(|i| mm[i][0] * mm[(i + 1) % n][1] - mm[(i + 1) % n][0] * mm[i][1])
                    .sum();
                let half = twice.signum() / 2.0;
                for (i, by) in by.iter_mut().enumerate() {
                    let (before, after) = (mm[(i + n - 1) % n], mm[(i + 1) % n]);
                    *by = [half * (after[1] - before[1]), half * (before[0] - after[0])];
                }
            }
            Self::Angle => {
                let u = [mm[0][0] - mm[1][0], mm[0][1] - mm[1][1]];
                let v = [mm[2][0] - mm[1][0], mm[2][1] - mm[1][1]];
                // A direction turns by its change square to it over its length.
                let turn = |[x, y]: [f64; 2], sign: f64| {
                    let by = sign.to_degrees() / (x * x + y * y);
                    [-y * by, x * by]
                };
                let sign = (u[0] * v[1] - u[1] * v[0]).signum();
                let (first, last) = (turn(u, -sign), turn(v, sign));
                by[0] = first;
                by[2] = last;
                by[1] = plus(plus([0.0; 2], first, -1.0), last, -1.0);
            }
            Self::Pitch(steps) => {
                let weights = pitch_weights(steps);
                let mut along = [0.0; 2];
                for (w, p) in weights.iter().zip(mm) {
                    along = plus(along, *p, *w);
                }
                let along = unit(along)?;
                for (by, w) in by.iter_mut().zip(&weights) {
                    *by = along.map(|v| v * w);
                }
            }
        }
        Some(by)
    }
}

fn side(mm: &[[f64; 2]], k: usize) -> &[[f64; 2]] {
    &mm[k * ON_A_SIDE..(k + 1) * ON_A_SIDE]
}

fn plus(a: [f64; 2], b: [f64; 2], weight: f64) -> [f64; 2] {
    [a[0] + weight * b[0], a[1] + weight * b[1]]
}

fn unit([x, y]: [f64; 2]) -> Option<[f64; 2]> {
    let length = x.hypot(y);
    (length > 0.0).then(|| [x / length, y / length])
}

/// The diameter of the best circle by every point.
fn by_rim(mm: &[[f64; 2]]) -> Option<Vec<[f64; 2]>> {
    let found = circle(mm)?;
    let outwards = |p: &[f64; 2]| {
        let (x, y) = (p[0] - found.middle[0], p[1] - found.middle[1]);
        let d = x.hypot(y);
        (x / d, y / d, d)
    };
    // Derivative of (Σ r n, Σ r) by minus (middle, radius): N = n ⊗ n + r/d (E − n ⊗ n).
    let mut normal = Matrix3::zeros();
    for p in mm {
        let (x, y, d) = outwards(p);
        let bent = 1.0 - found.radius / d;
        normal += Matrix3::new(
            x * x + bent * y * y,
            x * y * (1.0 - bent),
            x,
            x * y * (1.0 - bent),
            y * y + bent * x * x,
            y,
            x,
            y,
            1.0,
        );
    }
    let [a, b, c] = normal
        .try_inverse()?
        .row(2)
        .into_owned()
        .data
        .0
        .map(|v| v[0]);
    let by_point = |p: &[f64; 2]| {
        let (x, y, d) = outwards(p);
        let bent = 1.0 - found.radius / d;
        let mixed = x * y * (1.0 - bent);
        [
            2.0 * (a * (x * x + bent * y * y) + b * mixed + c * x),
            2.0 * (a * mixed + b * (y * y + bent * x * x) + c * y),
        ]
    };
    let all: Vec<[f64; 2]> = mm.iter().map(by_point).collect();
    all.iter().flatten().all(|v| v.is_finite()).then_some(all)
}

/// An axis of the best ellipse by every point: central differences of the sums that the ellipse
/// follows from, of which a moved point changes only its own part.
fn by_axis(mm: &[[f64; 2]], axis: usize) -> Option<Vec<[f64; 2]>> {
    let scatter = Scatter::of(mm)?;
    let h = STEP * scatter.scale();
    mm.iter()
        .map(|p| {
            let mut by = [0.0; 2];
            for (c, by) in by.iter_mut().enumerate() {
                let at = |sign: f64| {
                    let mut to = *p;
                    to[c] += sign * h;
                    Some(scatter.moved(*p, to).ellipse()?.half_axes[axis])
                };
                *by = (at(1.0)? - at(-1.0)?) / h;
            }
            Some(by)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Central differences of the value, whose error is of the order of the step squared.
    #[test]
    fn slopes_are_those_of_the_value() {
        let square = [[0.3, 0.1], [40.2, 1.5], [41.0, 30.8], [-0.7, 29.3]];
        let rim: Vec<[f64; 2]> = (0..9)
            .map(|i| {
                let t = f64::from(i) * 0.61;
                let r = 20.0 + 0.4 * (5.0 * t).sin();
                [3.0 + r * t.cos(), 0.9 * r * t.sin() - 7.0]
            })
            .collect();
        let mut on_sides = Vec::new();
        for i in 0..4 {
            let (p, q): ([f64; 2], [f64; 2]) = (square[i], square[(i + 1) % 4]);
            for t in [0.2, 0.5, 0.77] {
                on_sides.push([0, 1].map(|k: usize| p[k] + t * (q[k] - p[k])));
            }
        }
        let cases: Vec<(Measure, &[[f64; 2]])> = vec![
            (Measure::Distance, &square[..2]),
            (Measure::Length(OutlinePoints::Corners), &square),
            (Measure::Width(OutlinePoints::Corners), &square),
            (Measure::Length(OutlinePoints::Sides), &on_sides),
            (Measure::Width(OutlinePoints::Sides), &on_sides),
            (Measure::Area(OutlinePoints::Corners), &square),
            (Measure::Area(OutlinePoints::Sides), &on_sides),
            (Measure::Diameter, &rim),
            (Measure::GreaterAxis, &rim),
            (Measure::SmallerAxis, &rim),
            (Measure::Angle, &square[..3]),
            (Measure::Pitch(vec![0, 1, 3, 4]), &square),
        ];
        for (measure, mm) in cases {
            let slopes = measure.slopes(mm).unwrap();
            for i in 0..mm.len() {
                for c in 0..2 {
                    let at = |by: f64| {
                        let mut moved = mm.to_vec();
                        moved[i][c] += by;
                        measure.of(&moved).unwrap()
                    };
                    let numeric = (at(1e-4) - at(-1e-4)) / 2e-4;
                    assert!(
                        (slopes[i][c] - numeric).abs() < 1e-6 * (1.0 + numeric.abs()),
                        "{measure:?} {i} {c}: {} {numeric}",
                        slopes[i][c]
                    );
                }
            }
        }
    }
}
