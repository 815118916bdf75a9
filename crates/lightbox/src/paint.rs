//! How much light a surface returns, place by place.
//!
//! In: a place in the surface's own frame, mm. Out: the share of red, green and blue light that it returns, and
//! which printed thing it belongs to. Not here: light and shadow. Source: value noise, common practice.

use crate::chance::{mixed, unit};

/// A share of light in red, green and blue.
pub(crate) type Colour = [f64; 3];

/// A surface.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Paint {
    pub(crate) ground: Colour,
    pub(crate) grain: Grain,
    pub(crate) prints: Vec<Print>,
    pub(crate) ticks: Option<Ticks>,
}

/// What varies on a ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Grain {
    /// Irregular spots of a size (mm) and strength.
    Spots { size: f64, strength: f64 },
    /// Year rings so far apart (mm), and their strength.
    Wood { apart: f64, strength: f64 },
    /// Lines so far apart (mm) on a spotted ground.
    Lines { apart: f64, colour: Colour },
}

/// A printed rectangle with its middle and half sides, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Print {
    pub(crate) at: [f64; 2],
    pub(crate) half: [f64; 2],
    pub(crate) colour: Colour,
}

/// The marks of a ruler, one each millimetre from its upper edge, longer at fives and tens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Ticks {
    /// Place of mark 0 along the ruler, mm.
    pub(crate) first: f64,
    /// Marks after the first.
    pub(crate) count: u32,
    /// Upper edge, mm.
    pub(crate) edge: f64,
    /// Width of a mark, mm.
    pub(crate) width: f64,
    pub(crate) colour: Colour,
}

/// Lengths of marks at tens, at fives and otherwise, mm.
const TICK_LENGTHS: [f64; 3] = [5.0, 4.0, 3.0];

impl Ticks {
    fn holds(&self, [x, y]: [f64; 2]) -> bool {
        let number = (x - self.first).round().clamp(0.0, f64::from(self.count));
        let length = if number % 10.0 == 0.0 {
            TICK_LENGTHS[0]
        } else if number % 5.0 == 0.0 {
            TICK_LENGTHS[1]
        } else {
            TICK_LENGTHS[2]
        };
        (x - self.first - number).abs() < self.width / 2.0 && self.edge - y < length
    }
}

impl Paint {
    /// A ground with spots.
    pub(crate) fn plain(ground: Colour, size: f64, strength: f64) -> Self {
        Self {
            ground,
            grain: Grain::Spots { size, strength },
            prints: Vec::new(),
            ticks: None,
        }
    }

    /// Returns the colour at a place and the number of what is printed there, 0 for the ground.
    pub(crate) fn at(&self, place: [f64; 2]) -> (Colour, u32) {
        if let Some(ticks) = self.ticks.filter(|t| t.holds(place)) {
            return (ticks.colour, 1);
        }
        let within = |p: &Print| (0..2).all(|i| (place[i] - p.at[i]).abs() < p.half[i]);
        if let Some((n, print)) = self
            .prints
            .iter()
            .enumerate()
            .rev()
            .find(|(_, p)| within(p))
        {
            return (print.colour, n as u32 + 2);
        }
        match self.grain {
            Grain::Spots { size, strength } => {
                let share = 1.0 + strength * (spots(place, size) + 0.5 * spots(place, size / 3.0));
                (self.ground.map(|c| c * share), 0)
            }
            Grain::Wood { apart, strength } => {
                let bent = place[1] + 4.0 * spots([place[0] / 30.0, place[1] / 6.0], 1.0);
                let ring = (std::f64::consts::TAU * bent / apart).sin();
                let fibre = spots([place[0] / 12.0, place[1]], 0.4);
                let share = 1.0 + strength * (0.6 * ring + 0.5 * fibre);
                (self.ground.map(|c| c * share), 0)
            }
            Grain::Lines { apart, colour } => {
                let off = |v: f64| (v - apart * (v / apart).round()).abs();
                if off(place[0]).min(off(place[1])) < 0.12 {
                    return (colour, 1);
                }
                let share = 1.0 + 0.06 * spots(place, 0.35);
                (self.ground.map(|c| c * share), 0)
            }
        }
    }
}

/// Smooth noise between −1 and 1 whose spots are about `size` wide.
fn spots([x, y]: [f64; 2], size: f64) -> f64 {
    let (u, v) = (x / size, y / size);
    let (i, j) = (u.floor(), v.floor());
    let ease = |t: f64| t * t * (3.0 - 2.0 * t);
    let (s, t) = (ease(u - i), ease(v - j));
    let knot = |a: f64, b: f64| {
        let (a, b) = (a as i64 as u64, b as i64 as u64);
        2.0 * unit(mixed(a.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ mixed(b))) - 1.0
    };
    let upper = knot(i, j) * (1.0 - s) + knot(i + 1.0, j) * s;
    let lower = knot(i, j + 1.0) * (1.0 - s) + knot(i + 1.0, j + 1.0) * s;
    upper * (1.0 - t) + lower * t
}
