//! From rough marks of a whole thing to the points that its measure is taken from.
//!
//! In: a picture, rough points. Out: the same points on the real edges, how far each edge moved and what else
//! may be meant, or why not. Not here: single edges, corners and circles.

use super::choice::{EdgeKind, Rival};
use super::circle::snap_marked;
use super::edge::snap_line;
use super::{SnapError, SnapOptions, SnappedEdge, snap_corner};
use crate::Light;
use crate::geometry::side_points::{NODES, ON_A_SIDE, WEIGHTS, corners_of_sides};
use crate::geometry::{Click, Ellipse, circle, ellipse};
use rayon::prelude::*;

/// Points moved to what the picture shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Snapped {
    /// The points.
    pub clicks: Vec<Click>,
    /// What became of each mark: of each end, of each side, of the rim.
    pub moves: Vec<Move>,
}

/// How a mark was moved.
#[derive(Debug, Clone, PartialEq)]
pub struct Move {
    /// What it is: "end 1", "side 3", "rim".
    pub name: String,
    /// How far it moved, pixels.
    pub moved_px: f64,
    /// Other edges that may be meant, the most likely first.
    pub rivals: Vec<Rival>,
    /// Why it was left as it was marked, with the uncertainty of a mark by hand.
    pub left: Option<SnapError>,
}

impl Move {
    /// Says how far the mark moved and what else may be meant.
    pub fn sentence(&self) -> String {
        if let Some(why) = &self.left {
            return format!("{} was left as marked: {why}", self.name);
        }
        let mut text = format!("{} moved {:.1} px", self.name, self.moved_px);
        if let Some(rival) = self.rivals.first() {
            let kind = match rival.kind {
                EdgeKind::Sharp => "another edge",
                EdgeKind::Soft => "a soft edge, as of a shadow,",
                EdgeKind::Halo => "a faint edge",
            };
            text.push_str(&format!(
                "; {kind} {:.1} px beside it may be meant instead ({:.0} %), which its uncertainty allows for",
                rival.offset_px.abs(),
                100.0 * rival.probability
            ));
        }
        text
    }
}

/// Half the length of the edge that an end is moved to, pixels.
const HALF_EDGE: f64 = 8.0;
/// How far from square a length may cross its edges, pixels at the end of that edge (standard uncertainty).
const SQUARE: f64 = 1.0;

/// Moves both ends of a length along it to the edges that it crosses about square.
///
/// # Errors
/// [`SnapError`] where neither end has an edge; nothing is moved then.
pub fn snap_ends(
    light: &Light<'_>,
    ends: [[f64; 2]; 2],
    options: &SnapOptions,
) -> Result<Snapped, SnapError> {
    let d = [ends[1][0] - ends[0][0], ends[1][1] - ends[0][1]];
    let length = d[0].hypot(d[1]);
    if length.is_nan() || length < 2.0 * HALF_EDGE {
        return Err(SnapError::TooShort {
            least: 2.0 * HALF_EDGE,
        });
    }
    let along = d.map(|v| v / length);
    let across = [-along[1], along[0]];
    let end = |at: [f64; 2], inside: f64| {
        let side = |by: f64| [0, 1].map(|c: usize| at[c] + by * across[c]);
        let within = ([options.click(), SQUARE], inside);
        let edge = snap_line(light, side(-HALF_EDGE), side(HALF_EDGE), within, options)?;
        // The line of the length as an edge without doubt: only the edge it meets moves the end.
        let line = SnappedEdge {
            middle: at,
            along,
            covariance: [1e-6, 0.0, 1e-12],
            shared: [0.0; 2],
            ..edge.clone()
        };
        Ok((vec![snap_corner(&edge, &line)?], edge))
    };
    // The line across runs to the right of the length, and its own right looks back along it.
    let found = [end(ends[0], -1.0), end(ends[1], 1.0)];
    let marked = |i: usize, why: &SnapError| {
        let [x, y] = ends[i];
        let variance = options.left(options.click().powi(2), why);
        vec![Click::new(x, y, variance.sqrt())]
    };
    together("end", found.into_iter().collect(), marked)
}

/// Finds the sides of a polygon whose corners are roughly marked; rounded corners stay out of the
/// fit. Returns three points on each side, for [`crate::geometry::OutlinePoints::Sides`]. Sides without a clear
/// edge stay as they were marked, if they are fewer than half.
///
/// # Errors
/// [`SnapError`] of the first side that has no edge.
pub fn snap_sides(
    light: &Light<'_>,
    corners: &[[f64; 2]],
    options: &SnapOptions,
) -> Result<Snapped, SnapError> {
    let n = corners.len();
    if n < 3 {
        return Err(SnapError::NotOne { what: "a polygon" });
    }
    let middle = [0, 1].map(|c: usize| corners.iter().map(|p| p[c]).sum::<f64>() / n as f64);
    let ends = |i: usize| {
        let (p, q) = (corners[i], corners[(i + 1) % n]);
        [0.08, 0.92].map(|share| [0, 1].map(|c: usize| p[c] + share * (q[c] - p[c])))
    };
    let each = options.click() / std::f64::consts::SQRT_2;
    // Sides do not hang on each other, and someone waits.
    let found = (0..n).into_par_iter().map(|i| {
        let [from, to] = ends(i);
        let [x, y] = [to[0] - from[0], to[1] - from[1]];
        let inside = (x * (middle[1] - from[1]) - y * (middle[0] - from[0])).signum();
        let edge = snap_line(light, from, to, ([each, each], inside), options)?;
        Ok((edge.points.to_vec(), edge))
    });
    let marked = |i: usize, why: &SnapError| {
        let [from, to] = ends(i);
        let variance = options.left(each * each, why);
        let place = |k: usize| {
            let share = f64::midpoint(1.0, NODES[k]);
            let [x, y] = [0, 1].map(|c: usize| from[c] + share * (to[c] - from[c]));
            Click::new(x, y, (variance / WEIGHTS[k]).sqrt())
        };
        (0..ON_A_SIDE).map(place).collect()
    };
    let snapped = together("side", found.collect(), marked)?;
    let places: Vec<[f64; 2]> = snapped.clicks.iter().map(|c| c.at).collect();
    corners_of_sides(&places).ok_or(SnapError::NotOne { what: "a polygon" })?;
    Ok(snapped)
}

/// One mark moved, or why not.
type Moved = Result<(Vec<Click>, SnappedEdge), SnapError>;

/// Puts marks together; those without a clear edge stay as they were marked.
fn together(
    word: &str,
    found: Vec<Moved>,
    marked: impl Fn(usize, &SnapError) -> Vec<Click>,
) -> Result<Snapped, SnapError> {
    let clear = found.iter().filter(|f| f.is_ok()).count();
    let few = 2 * clear < found.len() || clear == 0;
    let mut snapped = Snapped {
        clicks: Vec::new(),
        moves: Vec::with_capacity(found.len()),
    };
    for (i, found) in found.into_iter().enumerate() {
        let name = format!("{word} {}", i + 1);
        match found {
            Ok((clicks, edge)) => {
                snapped.clicks.extend(clicks);
                snapped.moves.push(Move {
                    name,
                    moved_px: edge.moved_px,
                    rivals: edge.rivals,
                    left: None,
                });
            }
            Err(why @ (SnapError::TooShort { .. } | SnapError::Outside)) => return Err(why),
            Err(why) if few => return Err(why),
            Err(why) => {
                snapped.clicks.extend(marked(i, &why));
                snapped.moves.push(Move {
                    name,
                    moved_px: 0.0,
                    rivals: Vec::new(),
                    left: Some(why),
                });
            }
        }
    }
    Ok(snapped)
}

/// Moves points of a rim to the circle or ellipse that the picture shows near them. Where the nearest one is too
/// far off to be meant they stay as they were marked.
///
/// # Errors
/// [`SnapError`]; nothing is moved then.
pub fn snap_rim(
    light: &Light<'_>,
    points: &[[f64; 2]],
    options: &SnapOptions,
) -> Result<Snapped, SnapError> {
    let round = circle(points).map(|c| Ellipse {
        middle: c.middle,
        half_axes: [c.radius; 2],
        direction_rad: 0.0,
    });
    // Five rough points make a bad ellipse; a circle is rough enough to start from.
    let rough = if points.len() >= 8 {
        ellipse(points).or(round)
    } else {
        round
    };
    let rough = rough.ok_or(SnapError::NotOne { what: "a circle" })?;
    let count = points.len() as f64;
    let rim = match snap_marked(light, &rough, count, options) {
        Err(why @ (SnapError::TooFar { .. } | SnapError::Ambiguous { .. })) => {
            let variance = options.left(options.click().powi(2) / count, &why) * count;
            let mark = |[x, y]: &[f64; 2]| Click::new(*x, *y, variance.sqrt());
            return Ok(Snapped {
                clicks: points.iter().map(mark).collect(),
                moves: vec![Move {
                    name: "rim".to_string(),
                    moved_px: 0.0,
                    rivals: Vec::new(),
                    left: Some(why),
                }],
            });
        }
        found => found?,
    };
    Ok(Snapped {
        clicks: rim.clicks,
        moves: vec![Move {
            name: "rim".to_string(),
            moved_px: rim.moved_px,
            rivals: rim.rivals,
            left: None,
        }],
    })
}
