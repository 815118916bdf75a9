//! Where everything in a photograph truly is.
//!
//! In: the things and the camera. Out: true sizes in mm, and the pixels at which edges and marks are seen, at the
//! top edge or at the foot. Not here: what a measurement makes of them. Source: the definition of each thing.

use crate::{Camera, Solid};

/// What a thing is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// A card of ISO/IEC 7810 ID-1.
    Card,
    /// A ruler with a mark each millimetre.
    Ruler,
    /// A flat strip, about as thick as a card.
    Strip,
    /// A printed circuit board.
    Board,
    /// A soft cell with rounded edges.
    Pouch,
    /// A hard case with sharp edges.
    Case,
    /// A part without legs.
    Chip,
    /// A part with legs on all sides.
    LeadedChip,
    /// A round cell.
    Cell,
}

/// A thing with its true shape and place.
#[derive(Debug, Clone, PartialEq)]
pub struct Thing {
    /// What it is.
    pub kind: Kind,
    /// Its shape and place.
    pub solid: Solid,
}

impl Thing {
    /// Returns length and width of the outline, mm; of round things, twice the diameter.
    pub fn sides_mm(&self) -> [f64; 2] {
        self.solid.half.map(|h| 2.0 * h)
    }

    /// Whether the outline is a circle.
    pub fn is_round(&self) -> bool {
        self.kind == Kind::Cell
    }

    /// Returns the four corners that the sides would have if they were not rounded, at a height (mm): the first
    /// side is the length.
    pub fn corners_mm(&self, height: f64) -> [[f64; 3]; 4] {
        let [l, w] = self.solid.half;
        [[-l, -w], [l, -w], [l, w], [-l, w]].map(|own| self.solid.place(own, height))
    }

    /// Returns the places on the four rounded corners that lie farthest out, at a height (mm).
    pub fn rounded_corners_mm(&self, height: f64) -> [[f64; 3]; 4] {
        let [l, w] = self.solid.half;
        let inset = self.solid.corner * (1.0 - std::f64::consts::FRAC_1_SQRT_2);
        let (l, w) = (l - inset, w - inset);
        [[-l, -w], [l, -w], [l, w], [-l, w]].map(|own| self.solid.place(own, height))
    }

    /// Returns places on the rim of a round thing, at a height (mm).
    pub fn rim_mm(&self, height: f64, count: u32) -> Vec<[f64; 3]> {
        let radius = self.solid.half[0];
        let turns = (0..count).map(|k| std::f64::consts::TAU * f64::from(k) / f64::from(count));
        turns
            .map(|turn| {
                self.solid
                    .place([radius * turn.cos(), radius * turn.sin()], height)
            })
            .collect()
    }
}

/// A ruler.
#[derive(Debug, Clone, PartialEq)]
pub struct Ruler {
    /// Its body.
    pub thing: Thing,
    /// Place of mark 0 along the body, mm.
    pub(crate) first: f64,
    /// Marks after the first, one each millimetre.
    pub count: u32,
}

impl Ruler {
    /// Returns the middle of a mark, 1.5 mm inwards from the ruler's edge.
    pub fn mark_mm(&self, number: u32) -> [f64; 3] {
        let edge = self.thing.solid.half[1] - 1.5;
        let along = self.first + f64::from(number);
        self.thing.solid.place([along, edge], self.thing.solid.top)
    }
}

/// Everything that is known of a photograph, in its upright form.
#[derive(Debug, Clone, PartialEq)]
pub struct Truth {
    /// Width and height, pixels.
    pub size: [u32; 2],
    /// The camera.
    pub camera: Camera,
    /// Angle between view and plumb line, radians.
    pub tilt: f64,
    /// The card; its sides lie within the limits of ISO/IEC 7810.
    pub card: Thing,
    /// The ruler.
    pub ruler: Ruler,
    /// What is to be measured.
    pub things: Vec<Thing>,
    /// Whether card and desk have colours of about equal grey.
    pub equal_grey: bool,
    /// How the file is turned, 1 to 8 as in Exif.
    pub orientation: u8,
}

impl Truth {
    /// Returns the pixels at which places are seen.
    pub fn px(&self, places: &[[f64; 3]]) -> Vec<[f64; 2]> {
        places.iter().map(|p| self.camera.project(*p)).collect()
    }

    /// Returns millimetres per pixel about a place.
    pub fn mm_per_px(&self, [x, y, z]: [f64; 3]) -> f64 {
        let seen = self.px(&[[x, y, z], [x + 1.0, y, z], [x, y + 1.0, z]]);
        let [u, v] = [1, 2].map(|n: usize| [0, 1].map(|i: usize| seen[n][i] - seen[0][i]));
        1.0 / (u[0] * v[1] - u[1] * v[0]).abs().sqrt()
    }

    /// Focal length of a camera with a 36 × 24 mm picture and the same view across the diagonal, mm.
    pub fn equivalent_focal_mm(&self) -> f64 {
        let [w, h] = self.size.map(f64::from);
        self.camera.focal_px / w.hypot(h) * 36_f64.hypot(24.0)
    }
}
