//! Solid things with an outline, side walls and a top.
//!
//! In: a ray. Out: where it meets the thing. Outlines are rectangles with rounded corners; where the radius of the
//! corners is half the width they are discs. Not here: colours. Source: signed distances and sphere tracing, Hart
//! (1996).

use crate::paint::Paint;
use crate::vector::{Vector, add, unit};

/// One solid.
#[derive(Debug, Clone, PartialEq)]
pub struct Solid {
    /// Middle of the outline, mm.
    pub at: [f64; 2],
    /// Direction of the first side, a unit vector.
    pub along: [f64; 2],
    /// Half length and half width of the outline, mm.
    pub half: [f64; 2],
    /// Radius of the outline's corners, mm.
    pub corner: f64,
    /// Radius of the rounding between walls and top, mm.
    pub fillet: f64,
    /// Height of its underside, mm.
    pub foot: f64,
    /// Height of its top, mm.
    pub top: f64,
    /// Legs on all four sides.
    pub leads: Option<Leads>,
    pub(crate) paint: Paint,
    pub(crate) wall: [f64; 3],
}

/// Legs that stand out of the walls.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leads {
    /// From one to the next, mm.
    pub pitch: f64,
    /// Width of each, mm.
    pub width: f64,
    /// How far they stand out, mm.
    pub reach: f64,
    /// Height of their upper side above the underside of the body, mm.
    pub height: f64,
    /// Legs on either side of the middle one, along length and width.
    pub beside: [f64; 2],
}

/// Where a ray meets a solid.
pub(crate) struct Meeting {
    pub(crate) along: f64,
    pub(crate) normal: Vector,
    pub(crate) part: Part,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Part {
    Top,
    Wall,
    Lead,
}

/// A ray this near to a surface has met it, mm.
const MET: f64 = 1e-4;
/// The same of a ray to the lamp, mm.
const SHADED: f64 = 0.01;
/// Steps after which a ray that grazes a surface has passed it.
const STEPS: usize = 300;

/// Signed distance from the quarter plane in which both coordinates are negative.
fn beyond([u, v]: [f64; 2]) -> f64 {
    if u > 0.0 && v > 0.0 {
        // Not `hypot`, which guards against numbers that do not occur here and takes most of the time.
        (u * u + v * v).sqrt()
    } else {
        u.max(v)
    }
}

impl Solid {
    /// Returns a place in the solid's own frame.
    pub(crate) fn own(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let [cos, sin] = self.along;
        let (dx, dy) = (x - self.at[0], y - self.at[1]);
        [dx * cos + dy * sin, dy * cos - dx * sin]
    }

    /// Returns a place of the solid's own frame in the world, at a height.
    pub fn place(&self, [x, y]: [f64; 2], height: f64) -> [f64; 3] {
        let [cos, sin] = self.along;
        [
            self.at[0] + x * cos - y * sin,
            self.at[1] + x * sin + y * cos,
            height,
        ]
    }

    /// Radius of the circle around the outline, legs included, mm.
    pub(crate) fn reach(&self) -> f64 {
        let [l, w] = self.half;
        (l * l + w * w).sqrt() + self.leads.map_or(0.0, |l| 1.5 * l.reach)
    }

    /// Signed distance from the outline, mm; negative inside.
    pub(crate) fn outside(&self, own: [f64; 2]) -> f64 {
        let q = [0, 1].map(|i: usize| own[i].abs() - self.half[i] + self.corner);
        beyond(q) - self.corner
    }

    fn body(&self, own: [f64; 2], height: f64) -> f64 {
        let q = [
            self.outside(own) + self.fillet,
            height - self.top + self.fillet,
        ];
        beyond(q) - self.fillet
    }

    fn legs(&self, own: [f64; 2], height: f64) -> f64 {
        let Some(leads) = self.leads else {
            return f64::INFINITY;
        };
        [0, 1]
            .map(|i: usize| {
                let (out, along) = (own[i].abs() - self.half[i], own[1 - i]);
                let beside = leads.beside[1 - i];
                let nearest = (along / leads.pitch).round().clamp(-beside, beside);
                let q = [
                    (out - leads.reach / 2.0).abs() - leads.reach / 2.0,
                    (along - nearest * leads.pitch).abs() - leads.width / 2.0,
                    height - self.foot - leads.height,
                ];
                let outer = q.map(|v| v.max(0.0));
                let length =
                    (outer[0] * outer[0] + outer[1] * outer[1] + outer[2] * outer[2]).sqrt();
                length + q[0].max(q[1]).max(q[2]).min(0.0)
            })
            .into_iter()
            .fold(f64::INFINITY, f64::min)
    }

    fn distance(&self, place: Vector) -> f64 {
        let own = self.own([place[0], place[1]]);
        self.body(own, place[2]).min(self.legs(own, place[2]))
    }

    /// Returns where a ray meets the solid first, or `None`. The ray starts above the desk.
    pub(crate) fn meets(&self, from: Vector, ray: Vector) -> Option<Meeting> {
        let (start, end) = self.passage(from, ray)?;
        let mut along = start;
        for _ in 0..STEPS {
            let place = add(from, ray, along);
            let gap = self.distance(place);
            if gap < MET {
                return Some(self.meeting(place, along));
            }
            along += gap;
            if along > end {
                return None;
            }
        }
        None
    }

    /// Whether a ray passes through the solid, to a hundredth of a millimetre: enough for shadows.
    pub(crate) fn blocks(&self, from: Vector, ray: Vector) -> bool {
        let Some((mut along, end)) = self.passage(from, ray) else {
            return false;
        };
        while along <= end {
            let gap = self.distance(add(from, ray, along));
            if gap < SHADED {
                return true;
            }
            along += gap.max(2.0 * SHADED);
        }
        false
    }

    /// The part of a ray within the heights of the solid and the circle around it.
    fn passage(&self, from: Vector, ray: Vector) -> Option<(f64, f64)> {
        let (to_top, to_foot) = (
            (self.top - from[2]) / ray[2],
            (self.foot - from[2]) / ray[2],
        );
        let (mut start, mut end) = (to_top.min(to_foot).max(0.0), to_top.max(to_foot));
        let (dx, dy) = (from[0] - self.at[0], from[1] - self.at[1]);
        let a = ray[0] * ray[0] + ray[1] * ray[1];
        let b = dx * ray[0] + dy * ray[1];
        let c = dx * dx + dy * dy - self.reach() * self.reach();
        if a > 1e-12 {
            let root = b * b - a * c;
            if root < 0.0 {
                return None;
            }
            start = start.max((-b - root.sqrt()) / a);
            end = end.min((-b + root.sqrt()) / a);
        } else if c > 0.0 {
            return None;
        }
        (start <= end).then_some((start, end))
    }

    fn meeting(&self, place: Vector, along: f64) -> Meeting {
        let own = self.own([place[0], place[1]]);
        if self.legs(own, place[2]) < self.body(own, place[2]) {
            return Meeting {
                along,
                normal: [0.0, 0.0, 1.0],
                part: Part::Lead,
            };
        }
        if place[2] > self.top - 2.0 * MET && self.outside(own) < -self.fillet {
            return Meeting {
                along,
                normal: [0.0, 0.0, 1.0],
                part: Part::Top,
            };
        }
        let slope = |i: usize| {
            let mut step = [0.0; 3];
            step[i] = 1e-3;
            self.distance(add(place, step, 1.0)) - self.distance(add(place, step, -1.0))
        };
        Meeting {
            along,
            normal: unit([slope(0), slope(1), slope(2)]),
            part: if place[2] > self.top - self.fillet {
                Part::Top
            } else {
                Part::Wall
            },
        }
    }
}
