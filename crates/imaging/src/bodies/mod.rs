//! Outlines on a photograph that may be parts: packages, connectors, cans, coils, buttons.
//!
//! In: a photograph's pixels and, where known, its scale. Out: outlines with a probability, each a quadrilateral
//! or an ellipse, in pixels of the photograph. [`find`] looks once over a whole photograph; [`grow`] ranks the
//! outlines around one place.
//! Not here: what part it is; the outline to a tenth of a pixel (`geometry`); files.
//!
//! Method: regions that are stable over several thresholds of lightness and of two colour differences
//! (maximally stable extremal regions) each suggest the rectangle of least area around them, the same without
//! what sticks out, or an ellipse (`tree`, `fit`); each side moves to the strongest edge near it (`evidence`);
//! two logistic regressions tell how likely it is a part, the second knowing what lies in and around it
//! (`weights`); of outlines that overlap the likeliest stays (non-maximum suppression).
//! Valid for bodies of at least [`LEAST_PIXELS`] pixels, seen less than about 25° aslant.

mod candidates;
mod evidence;
mod fit;
mod fitted;
mod planes;
mod polygon;
mod tree;
mod weights;

use crate::Picture;
use crate::pixels::{cut, downscale};
use candidates::{Candidate, Wanted, candidates};
use planes::Planes;
use polygon::Point;
use serde::Serialize;

/// Least shorter side of a body that is looked for, pixels of the picture that is looked at.
pub const LEAST_PIXELS: f64 = 7.0;

/// What is known of a photograph, and which outlines are wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct Look {
    /// Pixels of the photograph per millimetre, where known.
    pub px_per_mm: Option<f64>,
    /// Least shorter side, mm; used with a scale.
    pub least_mm: f64,
    /// Greatest longer side, mm; used with a scale.
    pub most_mm: f64,
    /// Least probability that is offered.
    pub least_probability: f64,
    /// Places marked on things that are known to be no parts, such as the corners of a card of known size: what lies
    /// in the hull of each group is left out.
    pub known: Vec<Vec<[f64; 2]>>,
}

impl Default for Look {
    /// Sides of 0.9 to 60 mm.
    fn default() -> Self {
        Self {
            px_per_mm: None,
            least_mm: 0.9,
            most_mm: 60.0,
            least_probability: OFFERED,
            known: Vec::new(),
        }
    }
}

/// What form an outline has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// Four straight sides.
    Rectangle,
    /// An ellipse that touches the four sides in their middles.
    Round,
    /// Neither; the four sides stand around it.
    Free,
}

impl Kind {
    /// Returns the word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Rectangle => "rectangle",
            Self::Round => "round",
            Self::Free => "free",
        }
    }
}

/// An outline that may be a part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Outline {
    /// Its form.
    pub kind: Kind,
    /// Corners of the outline, or of the frame around it, clockwise from the upper left as it stands; pixels of the
    /// upright photograph from its upper left corner.
    pub corners: [[f64; 2]; 4],
    /// The probability that it is the outline of a part.
    pub probability: f64,
    /// The step in levels across the weakest of its sides.
    pub weakest_side: f64,
}

/// Points on an ellipse that stand for it.
const POINTS: usize = 32;

impl Outline {
    /// Returns points of the outline, clockwise: its corners, or points of the ellipse.
    pub fn points(&self) -> Vec<[f64; 2]> {
        if self.kind != Kind::Round {
            return self.corners.to_vec();
        }
        let [a, b, c, d] = self.corners;
        let between = |p: Point, q: Point| [(p[0] + q[0]) / 2.0, (p[1] + q[1]) / 2.0];
        let (middle, right, lower) = (between(a, c), between(b, c), between(c, d));
        (0..POINTS)
            .map(|i| {
                let (sin, cos) = (i as f64 * std::f64::consts::TAU / POINTS as f64).sin_cos();
                [0, 1].map(|k: usize| {
                    middle[k] + cos * (right[k] - middle[k]) + sin * (lower[k] - middle[k])
                })
            })
            .collect()
    }

    /// Returns the mean of the corners.
    pub fn middle(&self) -> [f64; 2] {
        [0, 1].map(|i: usize| self.corners.iter().map(|c| c[i]).sum::<f64>() / 4.0)
    }

    /// Returns the area that the outline has in common with a convex polygon, clockwise, as a share of the area
    /// of both together.
    pub fn agreement(&self, polygon: &[[f64; 2]]) -> f64 {
        shared(&self.points(), polygon)
    }
}

/// Returns the common area of two convex polygons over that of both together.
fn shared(a: &[Point], b: &[Point]) -> f64 {
    let both = polygon::common(a, b);
    both / (polygon::area(a) + polygon::area(b) - both).max(1e-9)
}

/// Pixels per millimetre at which a photograph of known scale is looked at.
const LOOKED_PER_MM: f64 = 12.0;
/// Longest side of the picture that is looked at: without a scale, and at most.
const LOOKED: f64 = 1600.0;
const MOST_LOOKED: f64 = 2400.0;
/// Shares of the longer side of a photograph between which bodies are looked for without a scale.
const SHARES: [f64; 2] = [0.008, 0.35];
/// Probability from which an outline is offered: a part that is missed costs more than one that is offered in vain.
const OFFERED: f64 = 0.3;
/// An outline is dropped for a likelier one that has this share of the smaller one in common with it.
const OVERLAP: f64 = 0.3;
/// Longest side of what is looked at around a place, pixels.
const CROP: f64 = 440.0;
/// How many outlines are given around a place.
const MOST_GROWN: usize = 5;
/// Common area over joint area from which two outlines around a place are one.
const ALIKE: f64 = 0.8;

/// Returns the outlines on a photograph, the likeliest first; none overlap.
pub fn find(picture: &Picture, look: &Look) -> Vec<Outline> {
    let (sized, wanted) = looked(picture, look);
    let ranked = ranked(&sized.picture, &wanted);
    let mut kept: Vec<&(f64, Candidate)> = Vec::new();
    for new in ranked.iter().filter(|(p, _)| *p >= look.least_probability) {
        if kept.iter().all(|(_, old)| old.overlap(&new.1)[0] < OVERLAP) {
            kept.push(new);
        }
    }
    let known: Vec<Vec<Point>> = look
        .known
        .iter()
        .map(|k| polygon::hull(k.clone()))
        .collect();
    kept.into_iter()
        .map(|c| sized.outline(clearer(c, &ranked), [0.0; 2]))
        .filter(|o| !known.iter().any(|k| polygon::holds(k, o.middle())))
        .collect()
}

/// An outline gives way to one in it of this share of its area and of its probability, whose weakest side is clearer
/// by this factor: its own side then is the soft end of a shadow. Chosen on drawn boards.
const CLEARER_AREA: f64 = 0.4;
/// The ellipse about a disc may stand a little out of the square that was taken for it.
const CLEARER_MOST: f64 = 1.1;
const CLEARER_PROBABILITY: f64 = 0.05;
const CLEARER: f64 = 1.5;

/// Returns an outline, or the one in it with the clearest sides where those are much clearer.
fn clearer<'c>(own: &'c (f64, Candidate), all: &'c [(f64, Candidate)]) -> &'c (f64, Candidate) {
    let weakest = |c: &Candidate| c.seen.steps.iter().copied().fold(f64::INFINITY, f64::min);
    let (probability, outer) = own;
    let within = all.iter().filter(|(p, inner)| {
        *p >= CLEARER_PROBABILITY * probability
            && (CLEARER_AREA * outer.area..=CLEARER_MOST * outer.area).contains(&inner.area)
            && weakest(inner) > CLEARER * weakest(outer)
            && outer.overlap(inner)[0] >= CLEARER_WITHIN
    });
    within
        .max_by(|a, b| weakest(&a.1).total_cmp(&weakest(&b.1)))
        .unwrap_or(own)
}

/// Share of the inner outline that lies in the outer one.
const CLEARER_WITHIN: f64 = 0.9;

/// Returns every outline that was thought of, with the marks that its probability follows from: for fitting the
/// weights anew.
pub fn marks(picture: &Picture, look: &Look) -> Vec<(Outline, Vec<f64>)> {
    let (sized, wanted) = looked(picture, look);
    let all = candidates(&Planes::of(&sized.picture), &wanted);
    let chances = weights::chances(&all);
    let marks = weights::together(&all);
    all.into_iter()
        .zip(chances)
        .zip(marks)
        .map(|((candidate, p), marks)| (sized.outline(&(p, candidate), [0.0; 2]), marks.to_vec()))
        .collect()
}

/// Returns what is looked at of a whole photograph, and what is looked for in it.
fn looked(picture: &Picture, look: &Look) -> (Sized, Wanted) {
    let longest = f64::from(picture.width.max(picture.height));
    let scale = look.px_per_mm.filter(|s| s.is_finite() && *s > 0.0);
    let looked = match scale {
        Some(scale) => (longest * LOOKED_PER_MM / scale).min(MOST_LOOKED),
        None => LOOKED,
    };
    let sized = Sized::of(picture, looked);
    let sides = match scale {
        Some(scale) => [look.least_mm, look.most_mm].map(|mm| mm * scale / sized.shrunk),
        None => SHARES.map(|share| share * sized.longest()),
    };
    let wanted = Wanted {
        least: sides[0].max(LEAST_PIXELS),
        most: sides[1].min(0.95 * sized.longest()),
        around: None,
    };
    (sized, wanted)
}

/// Returns up to five outlines around a place of the upright photograph, the likeliest first, whatever their
/// probability; none where nothing stands out around it.
pub fn grow(picture: &Picture, at: [f64; 2], look: &Look) -> Vec<Outline> {
    let longest = f64::from(picture.width.max(picture.height));
    let scale = look.px_per_mm.filter(|s| s.is_finite() && *s > 0.0);
    let sides = match scale {
        Some(scale) => [look.least_mm, look.most_mm].map(|mm| mm * scale),
        None => SHARES.map(|share| share * longest),
    };
    let mut found: Vec<Outline> = Vec::new();
    // A large body and a small one need different distances.
    for reach in [0.3, 1.3] {
        let Some((crop, corner)) = around(picture, at, reach * sides[1]) else {
            continue;
        };
        let sized = Sized::of(&crop, CROP);
        let place = |i: usize| (at[i] - corner[i]) / sized.shrunk;
        let wanted = Wanted {
            least: (sides[0] / sized.shrunk).max(LEAST_PIXELS),
            most: (sides[1] / sized.shrunk).min(0.95 * sized.longest()),
            around: Some([place(0), place(1)]),
        };
        let ranked = ranked(&sized.picture, &wanted);
        found.extend(ranked.iter().map(|c| sized.outline(c, corner)));
    }
    found.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    let mut kept: Vec<Outline> = Vec::new();
    for new in found {
        if kept.len() < MOST_GROWN
            && kept
                .iter()
                .all(|old| shared(&old.corners, &new.corners) < ALIKE)
        {
            kept.push(new);
        }
    }
    kept
}

/// All outlines with their probabilities, the likeliest first.
fn ranked(picture: &Picture, wanted: &Wanted) -> Vec<(f64, Candidate)> {
    if picture.width < 3 || picture.height < 3 || wanted.most < wanted.least {
        return Vec::new();
    }
    let all = candidates(&Planes::of(picture), wanted);
    let chances = weights::chances(&all);
    let mut ranked: Vec<(f64, Candidate)> = chances.into_iter().zip(all).collect();
    ranked.sort_by(|a, b| b.0.total_cmp(&a.0));
    ranked
}

/// A picture at the size it is looked at.
struct Sized {
    picture: Picture,
    /// Pixels of the photograph on one of the picture.
    shrunk: f64,
}

impl Sized {
    /// Makes a picture smaller until its longer side has at most `looked` pixels.
    fn of(picture: &Picture, looked: f64) -> Self {
        let longest = picture.width.max(picture.height);
        let small = downscale(picture, looked.clamp(1.0, 65_535.0) as u32);
        let now = small.width.max(small.height).max(1);
        Self {
            picture: small,
            shrunk: f64::from(longest) / f64::from(now),
        }
    }

    fn longest(&self) -> f64 {
        f64::from(self.picture.width.max(self.picture.height))
    }

    fn outline(&self, (probability, candidate): &(f64, Candidate), corner: Point) -> Outline {
        let form = &candidate.seen.form;
        let kind = if form.round {
            Kind::Round
        } else if form.hulled < FREE {
            Kind::Free
        } else {
            Kind::Rectangle
        };
        Outline {
            kind,
            corners: candidate
                .corners
                .map(|c| [0, 1].map(|i: usize| c[i] * self.shrunk + corner[i])),
            probability: *probability,
            weakest_side: candidate
                .seen
                .steps
                .iter()
                .copied()
                .fold(f64::INFINITY, f64::min),
        }
    }
}

/// Share of its frame that the hull of a body with straight sides fills.
const FREE: f64 = 0.85;

/// Returns the square of the photograph within `reach` pixels of a place, and its corner.
fn around(picture: &Picture, at: [f64; 2], reach: f64) -> Option<(Picture, Point)> {
    let size = [picture.width, picture.height];
    let is_inside = (0..2).all(|i| at[i] >= 0.0 && at[i] < f64::from(size[i]));
    if !is_inside || reach < 1.0 {
        return None;
    }
    let first = [0, 1].map(|i: usize| (at[i] - reach).max(0.0) as u32);
    let last = [0, 1].map(|i: usize| ((at[i] + reach).ceil() as u32).min(size[i]));
    let side = (last[0] - first[0]).max(last[1] - first[1]);
    let crop = cut(picture, first[0], first[1], side);
    Some((crop, first.map(f64::from)))
}
