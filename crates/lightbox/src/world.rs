//! What a ray meets, and how bright it is there.
//!
//! In: rays. Out: light in red, green and blue, and which surface it comes from. Not here: lenses, pixels.
//! Source: Lambert's law; shadow by rays to places on a round lamp; light from all around, of which a wall of height
//! h at distance d hides ½ (1 − d/√(d² + h²)) of what falls on level ground (the form factor of a long wall).

use crate::paint::{Colour, Paint};
use crate::solid::{Part, Solid};
use crate::vector::{Vector, add, dot, unit};

/// Everything on the desk, and the lamp.
#[derive(Debug, Clone)]
pub(crate) struct World {
    pub(crate) desk: Paint,
    pub(crate) solids: Vec<Solid>,
    pub(crate) lamp: Lamp,
}

/// One round lamp, and the light from all around.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Lamp {
    pub(crate) at: Vector,
    pub(crate) radius: f64,
    /// Share of the light that comes from all around.
    pub(crate) around: f64,
}

/// What a ray sees: light, and the number of the surface.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Seen {
    pub(crate) light: Colour,
    pub(crate) surface: u32,
}

/// Rays to the lamp from each place near a shadow.
const SHADOW_RAYS: u32 = 16;
/// Numbers of surfaces for each solid: prints of its top, walls and legs.
const NUMBERS: u32 = 4096;
/// Share of light that legs return: bright metal.
const LEAD: Colour = [0.62, 0.62, 0.60];

/// Squared distance of a place from another, seen from above.
fn far(at: [f64; 2], place: Vector) -> f64 {
    (at[0] - place[0]).powi(2) + (at[1] - place[1]).powi(2)
}

impl World {
    /// Returns what a ray sees; `chance` turns the places on the lamp.
    pub(crate) fn seen(&self, from: Vector, ray: Vector, chance: f64) -> Seen {
        let mut nearest: Option<(usize, crate::solid::Meeting)> = None;
        for (n, solid) in self.solids.iter().enumerate() {
            if let Some(meeting) = solid.meets(from, ray)
                && nearest
                    .as_ref()
                    .is_none_or(|(_, m)| meeting.along < m.along)
            {
                nearest = Some((n, meeting));
            }
        }
        let Some((n, meeting)) = nearest else {
            let place = add(from, ray, -from[2] / ray[2]);
            let (colour, print) = self.desk.at([place[0], place[1]]);
            let arriving = self.arriving(place, [0.0, 0.0, 1.0], None, chance);
            return Seen {
                light: colour.map(|c| c * arriving),
                surface: print,
            };
        };
        let solid = &self.solids[n];
        let place = add(from, ray, meeting.along);
        let (colour, print) = match meeting.part {
            Part::Top => solid.paint.at(solid.own([place[0], place[1]])),
            Part::Wall => (solid.wall, NUMBERS - 1),
            Part::Lead => (LEAD, NUMBERS - 2),
        };
        let arriving = self.arriving(place, meeting.normal, Some(n), chance);
        Seen {
            light: colour.map(|c| c * arriving),
            surface: (n as u32 + 1) * NUMBERS + print,
        }
    }

    /// Light that falls on a surface, as a share of that on open ground right below the lamp.
    fn arriving(&self, place: Vector, normal: Vector, own: Option<usize>, chance: f64) -> f64 {
        let start = add(place, normal, 1e-2);
        let to_lamp = unit(add(self.lamp.at, place, -1.0));
        let facing = dot(normal, to_lamp).max(0.0);
        let free = if facing > 0.0 {
            self.lamp_seen(start, own, chance)
        } else {
            0.0
        };
        self.lamp.around * self.open(place, normal, own) + (1.0 - self.lamp.around) * facing * free
    }

    /// Share of the lamp that is seen from a place.
    fn lamp_seen(&self, start: Vector, own: Option<usize>, chance: f64) -> f64 {
        let rise = self.lamp.at[2] - start[2];
        let lean = [0, 1].map(|i: usize| (self.lamp.at[i] - start[i]) / rise);
        let slope = lean[0].hypot(lean[1]) + self.lamp.radius / rise;
        let in_the_way: Vec<&Solid> = self
            .solids
            .iter()
            .enumerate()
            .filter(|(n, s)| {
                let above = s.top - start[2];
                Some(*n) != own
                    && above > 0.0
                    && far(s.at, start) < (s.reach() + above * slope).powi(2)
            })
            .map(|(_, s)| s)
            .collect();
        if in_the_way.is_empty() {
            return 1.0;
        }
        let free = (0..SHADOW_RAYS)
            .filter(|&k| {
                // Places spread evenly over a disc along a golden spiral.
                let radius =
                    self.lamp.radius * ((f64::from(k) + 0.5) / f64::from(SHADOW_RAYS)).sqrt();
                let turn = 2.399_963 * f64::from(k) + std::f64::consts::TAU * chance;
                let on_lamp = [
                    self.lamp.at[0] + radius * turn.cos(),
                    self.lamp.at[1] + radius * turn.sin(),
                    self.lamp.at[2],
                ];
                let ray = unit(add(on_lamp, start, -1.0));
                !in_the_way.iter().any(|s| s.blocks(start, ray))
            })
            .count();
        free as f64 / f64::from(SHADOW_RAYS)
    }

    /// Share of the surroundings that is open above a surface.
    fn open(&self, place: Vector, normal: Vector, own: Option<usize>) -> f64 {
        let level = normal[2].clamp(0.0, 1.0);
        let mut open = f64::midpoint(1.0, level);
        for (n, solid) in self.solids.iter().enumerate() {
            let above = solid.top - place[2];
            let near = (solid.reach() + 8.0 * above).powi(2);
            if Some(n) == own || above <= 1e-3 || far(solid.at, place) > near {
                continue;
            }
            let away = solid.outside(solid.own([place[0], place[1]])).max(0.0);
            open *= 1.0 - 0.5 * (1.0 - away / away.hypot(above));
        }
        // Walls receive light from the ground too, less the nearer they are to it.
        match own.and_then(|n| self.solids.get(n)) {
            Some(s) if level < 0.5 => {
                let share = ((place[2] - s.foot) / (s.top - s.foot)).clamp(0.0, 1.0);
                open * (0.6 + 0.4 * share)
            }
            _ => open,
        }
    }
}
