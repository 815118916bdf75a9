//! Where things are in the picture, to the pixel.

use crate::ruler::tick_at;
use crate::shapes::{Lettering, Scene, Shape};
use crate::view::View;

/// A named thing and its pixel rectangle.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NamedRegion {
    /// Id of the region.
    pub id: String,
    /// Left, top, width, height in pixels.
    pub rect: [u32; 4],
    /// Item seen there.
    pub item: Option<String>,
    /// Caption.
    pub caption: Option<String>,
}

/// Two points on the ruler and the length between them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KnownLength {
    /// First point, pixels.
    pub from: [f64; 2],
    /// Second point, pixels.
    pub to: [f64; 2],
    /// Length between them, mm.
    pub length_mm: u32,
}

/// Returns the pixel rectangle of every shape that names a region, in drawing order.
pub fn regions(scene: &Scene) -> Vec<NamedRegion> {
    scene
        .shapes
        .iter()
        .filter_map(|shape| {
            let named = shape.named();
            Some(NamedRegion {
                id: named.region.clone()?,
                rect: match &scene.view {
                    Some(view) => seen(extent(&view.on_table(shape)), view),
                    None => pixels(extent(shape), scene),
                },
                item: named.item.clone(),
                caption: named.caption.clone(),
            })
        })
        .collect()
}

/// Returns the first and the last tick of the ruler, if there is one; `None` where a camera sees the scene.
pub fn known_length(scene: &Scene) -> Option<KnownLength> {
    let ruler = scene.ruler.filter(|_| scene.view.is_none())?;
    let end = |mm| tick_at(ruler, mm, scene.scale).map(f64::from);
    Some(KnownLength {
        from: end(0),
        to: end(ruler.length),
        length_mm: ruler.length,
    })
}

/// Returns left, top, right, bottom of a shape, mm.
fn extent(shape: &Shape) -> [f32; 4] {
    match shape {
        Shape::Body(b) => [b.at[0], b.at[1], b.at[0] + b.size[0], b.at[1] + b.size[1]],
        Shape::Disc(d) => {
            let r = d.diameter / 2.0;
            [
                d.middle[0] - r,
                d.middle[1] - r,
                d.middle[0] + r,
                d.middle[1] + r,
            ]
        }
        Shape::Lettering(w) => lettering_extent(w),
        Shape::Bar(b) => b.points.iter().fold(
            [
                f32::INFINITY,
                f32::INFINITY,
                f32::NEG_INFINITY,
                f32::NEG_INFINITY,
            ],
            |e, p| {
                let r = b.width / 2.0;
                [
                    e[0].min(p[0] - r),
                    e[1].min(p[1] - r),
                    e[2].max(p[0] + r),
                    e[3].max(p[1] + r),
                ]
            },
        ),
    }
}

fn lettering_extent(words: &Lettering) -> [f32; 4] {
    let ink = crate::lettering::Ink {
        colour: [0.0; 3],
        letter: words.letter,
        bold: words.bold,
        worn: 0.0,
    };
    let width = words.lines.iter().map(|l| ink.width(l)).fold(0.0, f32::max);
    let steps = words.lines.len().saturating_sub(1) as f32;
    let [x, y] = words.at;
    let below = y + words.letter * (crate::lettering::LEADING * steps + 0.35);
    [x, y - words.letter, x + width, below]
}

/// Returns the rectangle of pixels around an extent in mm that a camera sees.
fn seen([left, top, right, bottom]: [f32; 4], view: &View) -> [u32; 4] {
    let camera = view.camera();
    let corners = [[left, top], [right, top], [right, bottom], [left, bottom]];
    let points = corners
        .iter()
        .filter_map(|[x, y]| camera.project([f64::from(*x), f64::from(*y), 0.0]));
    let empty = [[f64::INFINITY, f64::NEG_INFINITY]; 2];
    let spans = points.fold(empty, |spans, p| {
        [0, 1].map(|i: usize| [spans[i][0].min(p[i]), spans[i][1].max(p[i])])
    });
    // `as` saturates and turns what is not a number into 0.
    let side = |i: usize| {
        let most = view.picture[i];
        let [low, high] = spans[i].map(|v| (v.round().max(0.0) as u32).min(most));
        (low, high.saturating_sub(low))
    };
    let ((x, w), (y, h)) = (side(0), side(1));
    [x, y, w, h]
}

/// Rounds an extent in mm to a rectangle in pixels inside the picture.
fn pixels([left, top, right, bottom]: [f32; 4], scene: &Scene) -> [u32; 4] {
    // `as` saturates and turns what is not a number into 0.
    let in_pixels = |mm: f32| (mm * scene.scale).round().max(0.0) as u32;
    let edge = |mm: f32, most: f32| in_pixels(mm).min(in_pixels(most));
    let (x0, x1) = (edge(left, scene.size[0]), edge(right, scene.size[0]));
    let (y0, y1) = (edge(top, scene.size[1]), edge(bottom, scene.size[1]));
    [x0, y0, x1.saturating_sub(x0), y1.saturating_sub(y0)]
}
