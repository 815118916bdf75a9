//! A scene seen through a camera, and shapes taken over from another scene.
//!
//! In: what a scene file says of them. Out: shapes where the camera sees them, the camera, the sensor.
//! Not here: the view itself (`camera`).
//!
//! Everything is drawn flat on the table. A shape that stands above it is drawn where its shadow from the
//! camera's place falls: enlarged by distance / (distance − height) about the foot of the camera, which is
//! exact for outlines parallel to the table.

use crate::camera::{Camera, SensorModel};
use crate::shapes::Shape;
use serde::{Deserialize, Serialize};

/// Where the camera stands and what lens and sensor add.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct View {
    /// Width and height of the picture, pixels.
    pub picture: [u32; 2],
    /// Focal length, pixels.
    pub focal: f64,
    /// Distance along the optical axis to the table, mm.
    pub distance: f64,
    /// NamedRegion on the table that the optical axis meets, mm.
    pub aim: [f64; 2],
    /// Tilt against straight down, degrees.
    #[serde(default)]
    pub tilt: f64,
    /// Direction on the table of the axis that it is tilted about, degrees.
    #[serde(default)]
    pub about: f64,
    /// Turn about the optical axis, degrees.
    #[serde(default)]
    pub turn: f64,
    /// Radial distortion k₁, k₂ at the corner of the picture.
    #[serde(default)]
    pub distortion: [f64; 2],
    /// Standard deviation of the defocus, pixels.
    #[serde(default)]
    pub defocus: f64,
    /// Standard deviation of the noise, grey levels.
    #[serde(default)]
    pub noise: f64,
    /// Change of the light from one side to the other, as a share, across and down.
    #[serde(default)]
    pub slope: [f64; 2],
    /// Share of the light lost in the corners.
    #[serde(default)]
    pub falloff: f64,
}

/// The shapes of another scene, moved, without their names.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct IncludedScene {
    /// Id of the other scene.
    pub scene: String,
    /// By how much they are moved, mm.
    #[serde(default)]
    pub by: [f32; 2],
}

impl View {
    /// Returns the camera.
    pub fn camera(&self) -> Camera {
        Camera {
            picture: self.picture,
            focal_px: self.focal,
            distortion: self.distortion,
            aim_mm: self.aim,
            distance_mm: self.distance,
            tilt_rad: self.tilt.to_radians(),
            tilt_about_rad: self.about.to_radians(),
            turn_rad: self.turn.to_radians(),
        }
    }

    /// Returns what lens and sensor add.
    pub fn sensor(&self, seed: u64) -> SensorModel {
        SensorModel {
            defocus_px: self.defocus,
            noise: self.noise,
            slope: self.slope,
            falloff: self.falloff,
            seed,
        }
    }

    /// Returns a shape where the camera sees it on the table, for the height it stands above it.
    pub(crate) fn on_table(&self, shape: &Shape) -> Shape {
        let height = match shape {
            Shape::Body(b) => b.stands,
            Shape::Disc(d) => d.stands,
            Shape::Lettering(_) | Shape::Bar(_) => 0.0,
        };
        if height == 0.0 {
            return shape.clone();
        }
        let [x, y, z] = self.camera().centre();
        let grow = (z / (z - f64::from(height))) as f32;
        let away = |p: [f32; 2]| {
            let foot = [x as f32, y as f32];
            [0, 1].map(|i| foot[i] + (p[i] - foot[i]) * grow)
        };
        let mut seen = shape.clone();
        match &mut seen {
            Shape::Body(b) => {
                b.at = away(b.at);
                b.size = b.size.map(|v| v * grow);
                b.corner *= grow;
            }
            Shape::Disc(d) => {
                d.middle = away(d.middle);
                d.diameter *= grow;
                d.opening *= grow;
            }
            Shape::Lettering(_) | Shape::Bar(_) => {}
        }
        seen
    }
}

impl IncludedScene {
    /// Returns a shape of the other scene in its new place.
    pub(crate) fn moved(&self, shape: &Shape) -> Shape {
        let by = |p: [f32; 2]| [p[0] + self.by[0], p[1] + self.by[1]];
        let mut moved = shape.clone();
        *moved.named_mut() = Default::default();
        match &mut moved {
            Shape::Body(b) => b.at = by(b.at),
            Shape::Disc(d) => d.middle = by(d.middle),
            Shape::Lettering(w) => w.at = by(w.at),
            Shape::Bar(b) => b.points.iter_mut().for_each(|p| *p = by(*p)),
        }
        moved
    }
}
