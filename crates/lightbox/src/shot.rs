//! One photograph.
//!
//! In: a seed and the size of the picture. Out: the file and its truth. Not here: how things look (`dress.rs`) and lie
//! (`layout.rs`). Source: how telephones are held over a desk, common practice.

use crate::develop::{Style, develop};
use crate::file::encoded;
use crate::layout::{Layout, layout};
use crate::render::render;
use crate::truth::Truth;
use crate::world::{Lamp, World};
use crate::{Camera, Chance, Lens};

/// What a photograph is to be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShotOptions {
    /// Width and height upright, pixels.
    pub size: [u32; 2],
    /// Least and greatest tilt, degrees.
    pub tilt_deg: [f64; 2],
}

impl Default for ShotOptions {
    fn default() -> Self {
        Self {
            size: [2400, 1800],
            tilt_deg: [0.0, 20.0],
        }
    }
}

/// A photograph with its truth.
#[derive(Debug, Clone)]
pub struct Shot {
    /// The file: JPEG with orientation.
    pub file: Vec<u8>,
    /// Where everything is, in the upright picture.
    pub truth: Truth,
}

/// Least and greatest distance between camera and desk, mm.
const DISTANCE: [f64; 2] = [150.0, 500.0];
/// Share of the picture that stays free around everything marked.
const MARGIN: f64 = 0.02;

/// Takes the photograph that belongs to a seed.
///
/// # Panics
/// Where a side of the picture is 0 or above 65,535 pixels.
pub fn shoot(seed: u64, options: &ShotOptions) -> Shot {
    let mut chance = Chance::new(seed);
    let laid = layout(&mut chance);
    let (camera, tilt) = camera(&mut chance, &laid, options);
    let lamp = lamp(&mut chance);
    let style = style(&mut chance);
    let orientation = chance.one_of([1, 1, 1, 6, 6, 3, 8, 2, 4, 5, 7]);
    let quality = chance.within(75.0, 92.99) as u8;
    let Layout {
        desk,
        card,
        ruler,
        things,
        equal_grey,
    } = laid;
    let solids = [&card, &ruler.thing].into_iter().chain(&things);
    let world = World {
        desk,
        solids: solids.map(|t| t.solid.clone()).collect(),
        lamp,
    };
    let size = options.size.map(|v| v as usize);
    let levels = develop(render(&world, &camera, size), &style, &mut chance);
    let file = encoded(&levels, size, orientation, quality).expect("sides below 65,536 pixels");
    Shot {
        file,
        truth: Truth {
            size: options.size,
            camera,
            tilt,
            card,
            ruler,
            things,
            equal_grey,
            orientation,
        },
    }
}

/// Holds a camera so that everything is in the picture.
fn camera(chance: &mut Chance, laid: &Layout, options: &ShotOptions) -> (Camera, f64) {
    let [width, height] = options.size.map(f64::from);
    let things = [&laid.card, &laid.ruler.thing]
        .into_iter()
        .chain(&laid.things);
    let corners: Vec<[f64; 3]> = things
        .flat_map(|t| [t.solid.foot, t.solid.top].map(|z| t.corners_mm(z)))
        .flatten()
        .collect();
    loop {
        let share = (1.1_f64.ln() + 0.4 * chance.normal()).exp().clamp(0.7, 2.6);
        let tilt = chance
            .within(options.tilt_deg[0], options.tilt_deg[1])
            .to_radians();
        let roll = chance.one_of([0.0, std::f64::consts::PI]) + 0.1 * chance.normal();
        let pose = [tilt, chance.within(0.0, std::f64::consts::TAU), roll];
        let centre = [
            width * (0.5 + 0.003 * chance.normal()),
            height * (0.5 + 0.003 * chance.normal()),
        ];
        let focal = share * width;
        let lens = lens(chance, width.hypot(height) / 2.0 / focal);
        let target = [chance.within(-3.0, 3.0), chance.within(-3.0, 3.0), 0.0];
        let at = |distance: f64| Camera::looking_at(target, distance, pose, focal, centre, lens);
        let free = [MARGIN * width, MARGIN * height];
        let holds = |camera: &Camera| {
            corners.iter().all(|c| {
                let [x, y] = camera.project(*c);
                (free[0]..=width - free[0]).contains(&x)
                    && (free[1]..=height - free[1]).contains(&y)
            })
        };
        let distances = (0..).map(|n| DISTANCE[0] * 1.02_f64.powi(n));
        let mut near = distances.take_while(|d| *d <= DISTANCE[1]).map(at);
        if let Some(camera) = near.find(holds) {
            return (camera, tilt);
        }
    }
}

/// Draws a lens that displaces the corners of the picture, at `corner` before the pinhole, by a share of at most about
/// 2 %.
fn lens(chance: &mut Chance, corner: f64) -> Lens {
    let radial = 0.006 * chance.normal().clamp(-2.5, 2.5);
    let (bend, curl) = (0.002 * chance.normal(), 0.001 * chance.normal());
    let r2 = corner * corner;
    Lens {
        radial: [radial / r2, bend / (r2 * r2), curl / (r2 * r2 * r2)],
        tangential: [0, 1].map(|_| 0.0004 * chance.normal() / corner),
    }
}

fn lamp(chance: &mut Chance) -> Lamp {
    let (height, lean) = (chance.within(400.0, 900.0), chance.within(0.1, 0.8));
    let way = chance.within(0.0, std::f64::consts::TAU);
    Lamp {
        at: [height * lean * way.cos(), height * lean * way.sin(), height],
        radius: chance.within(20.0, 120.0),
        around: chance.within(0.25, 0.6),
    }
}

/// Draws how the photograph is developed.
fn style(chance: &mut Chance) -> Style {
    Style {
        blur: chance.within(0.4, 1.2),
        falloff: chance.within(0.0, 0.3),
        gain: chance.within(0.9, 1.25),
        noise: [chance.within(0.001, 0.003), chance.within(1e-5, 2e-4)],
        colour_blur: chance.within(0.7, 1.5),
        contrast: chance.one_of([0.0, 1.0]) * chance.within(0.1, 0.7),
        sharpen: [chance.within(0.2, 1.2), chance.within(0.8, 1.6)],
    }
}
