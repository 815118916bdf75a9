//! Rays for every pixel: one through its middle, many where a neighbour shows another surface.
//!
//! In: a camera and a world. Out: light in red, green and blue for every pixel. Not here: blur, noise, levels.
//! Source: adaptive supersampling on a regular grid, common practice.

use crate::Camera;
use crate::chance::{mixed, unit};
use crate::world::{Seen, World};

/// Light, three numbers a pixel, row by row.
pub(crate) struct Light {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) rgb: Vec<f32>,
}

/// Rays along each side of a pixel that lies on an edge.
const FINE: usize = 5;

pub(crate) fn render(world: &World, camera: &Camera, [width, height]: [usize; 2]) -> Light {
    let cast = |x: f64, y: f64| -> Seen {
        let chance = unit(mixed(x.to_bits() ^ mixed(y.to_bits())));
        world.seen(camera.eye_mm, camera.ray([x, y]), chance)
    };
    let mut first = Vec::with_capacity(width * height);
    for j in 0..height {
        for i in 0..width {
            first.push(cast(i as f64 + 0.5, j as f64 + 0.5));
        }
    }
    let mut rgb = Vec::with_capacity(3 * width * height);
    for j in 0..height {
        for i in 0..width {
            let here = first[j * width + i];
            let rows = j.saturating_sub(1)..(j + 2).min(height);
            let edge = rows.flat_map(|y| {
                let columns = i.saturating_sub(1)..(i + 2).min(width);
                columns.map(move |x| y * width + x)
            });
            let light = if edge.into_iter().all(|n| first[n].surface == here.surface) {
                here.light
            } else {
                let mut sum = [0.0; 3];
                for k in 0..FINE * FINE {
                    let part = |n: usize| (n as f64 + 0.5) / FINE as f64;
                    let seen = cast(i as f64 + part(k % FINE), j as f64 + part(k / FINE));
                    sum = [0, 1, 2].map(|c: usize| sum[c] + seen.light[c]);
                }
                sum.map(|s| s / (FINE * FINE) as f64)
            };
            rgb.extend(light.map(|v| v as f32));
        }
    }
    Light { width, height, rgb }
}
