//! The bodies of a photograph: what is recorded on it, and outlines that may be parts, in reading order.
//!
//! In: a photograph of a dossier, decoded. Out: bodies; outlines around a place, the most part-like first.
//! Outlines are found once for the content of a photograph and what is known of its scale.

use super::{Plate, Plates, lock};
use crate::desk::View;
use crate::{Problem, desk, outlines};
use imaging::Picture;
use imaging::bodies::{self, Look, Outline};
use imaging::geometry::Plane;
use record::{Item, ItemKind, Region};
use serde::Serialize;
use std::sync::Arc;

/// A body on a photograph.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Body {
    /// Corners, clockwise from the upper left; pixels of the upright photograph.
    pub corners: [[f64; 2]; 4],
    /// `rectangle`, `round` or `free`.
    pub form: &'static str,
    /// Longer and shorter side, about, mm; none without a scale.
    pub size_mm: Option<[f64; 2]>,
    /// The region that is recorded there.
    pub region: Option<String>,
    /// The item that is seen there.
    pub item: Option<String>,
    /// Whether it is so small that it is passed when going on to the next one.
    pub small: bool,
}

/// What is on a photograph.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Bodies {
    /// Width and height, pixels.
    pub pixels: [u32; 2],
    /// Pixels to the millimetre in the middle; none without a scale.
    pub px_per_mm: Option<f64>,
    /// The item that the parts are on: the board whose outline holds most of them; none where no board is recorded.
    pub board: Option<String>,
    /// The bodies: rows from top to bottom, each from left to right.
    pub bodies: Vec<Body>,
}

/// Longest side over shortest of a body that is offered.
const MOST_LONG: f64 = 5.0;
/// Sides of a body that is offered: mm with a scale, shares of the width without.
const SIDES_MM: [f64; 2] = [0.9, 25.0];
const SIDES_SHARE: [f64; 2] = [0.01, 0.12];
/// Shorter side of one that is not passed: mm with a scale, a share of the width without.
const GONE_TO_MM: f64 = 1.2;
const GONE_TO_SHARE: f64 = 0.013;
/// Share of the smaller of two bodies that lies in the other one when both are one.
const SAME: f64 = 0.5;
/// Outlines less probable than this are not thought of when one grows.
const THOUGHT_OF: f64 = 0.02;
/// Common area over joint area from which two outlines around a place are one.
const ALIKE: f64 = 0.8;
/// Outlines around a place that are looked at, and given.
const MOST_LOOKED_AT: usize = 12;
const MOST_GROWN: usize = 5;
/// Side of the box where nothing stands out: mm with a scale, a share of the width without.
const PLAIN_MM: f64 = 3.0;
const PLAIN_SHARE: f64 = 0.04;

impl Plates {
    /// Returns the bodies of a photograph; finds them where they were not found before.
    ///
    /// # Errors
    /// No such photograph; one that cannot be read.
    pub async fn bodies(&self, view: &View, photo: &str) -> Result<Bodies, Problem> {
        let plate = Plate::of(view, photo)?;
        let (pixels, plane, look) = match plate.pixels {
            Some(pixels) => known(&plate, pixels),
            None => {
                let picture = &self.photograph(plate.sha256).await?.picture;
                known(&plate, [picture.width, picture.height])
            }
        };
        let found = self.outlines(plate.sha256, &look).await?;
        let frame = Frame::of(pixels, look.px_per_mm, plane.as_deref());
        let boards = boards(view, &plate.photo.regions);
        let recorded = plate.photo.regions.iter().filter_map(|region| {
            let item = view.dossier.item(region.item.as_deref()?)?;
            (!holds_others(item)).then(|| frame.recorded(region, item))
        });
        let mut all: Vec<Body> = recorded.collect();
        for outline in found.iter() {
            let body = frame.offered(outline);
            let on = boards.is_empty() || boards.iter().any(|(rect, _)| is_in(body.middle(), rect));
            let free = all.iter().all(|other| body.overlap(other) < SAME);
            if on && frame.fits(&body) && free {
                all.push(body);
            }
        }
        in_reading_order(&mut all);
        let board = boards.into_iter().max_by_key(|(rect, _)| {
            let inside = all.iter().filter(|b| is_in(b.middle(), rect));
            inside.count()
        });
        Ok(Bodies {
            pixels,
            px_per_mm: look.px_per_mm,
            board: board.map(|(_, item)| item),
            bodies: all,
        })
    }

    /// Returns up to five outlines around a place, the most part-like first; where nothing stands out, a plain
    /// square.
    ///
    /// # Errors
    /// As [`Plates::bodies`]; a place outside the photograph.
    pub async fn grow(&self, view: &View, photo: &str, at: [f64; 2]) -> Result<Vec<Body>, Problem> {
        let plate = Plate::of(view, photo)?;
        let decoded = self.photograph(plate.sha256).await?;
        let pixels = [decoded.picture.width, decoded.picture.height];
        outlines::on(pixels, at, plate.photo)?;
        let (_, plane, look) = known(&plate, pixels);
        let thought_of = self.thought_of(plate.sha256, &look).await?;
        desk::blocking(move || {
            let frame = Frame::of(pixels, look.px_per_mm, plane.as_deref());
            let mut around = around(&thought_of, at);
            if around.is_empty() {
                // What is too small for the look at the whole is looked at from near.
                around = bodies::grow(&decoded.picture, at, &look);
            }
            let mut grown: Vec<Body> = around.iter().map(|o| frame.offered(o)).collect();
            // What is no body by its size stays in reach, behind those that are.
            grown.sort_by_key(|body| !frame.fits(body));
            if grown.is_empty() {
                grown.push(frame.plain(at));
            }
            grown.truncate(MOST_GROWN);
            Ok(grown)
        })
        .await
    }

    /// Makes ready what [`Plates::grow`] chooses from, so that the first question is answered as soon as later ones.
    ///
    /// # Errors
    /// As [`Plates::bodies`].
    pub async fn ready_to_grow(&self, view: &View, photo: &str) -> Result<(), Problem> {
        let plate = Plate::of(view, photo)?;
        let decoded = self.photograph(plate.sha256).await?;
        let pixels = [decoded.picture.width, decoded.picture.height];
        let (_, _, look) = known(&plate, pixels);
        self.thought_of(plate.sha256, &look).await?;
        Ok(())
    }

    /// Every outline that was thought of in a photograph, overlapping ones too, the likeliest first.
    async fn thought_of(&self, sha256: &str, look: &Look) -> Result<Arc<Vec<Outline>>, Problem> {
        self.kept_outlines("all", sha256, look, |picture, look| {
            let marks = bodies::marks(picture, look).into_iter();
            let mut all: Vec<Outline> = marks.map(|(outline, _)| outline).collect();
            all.retain(|outline| outline.probability >= THOUGHT_OF);
            all.sort_by(|a, b| b.probability.total_cmp(&a.probability));
            all
        })
        .await
    }

    async fn outlines(&self, sha256: &str, look: &Look) -> Result<Arc<Vec<Outline>>, Problem> {
        self.kept_outlines("offered", sha256, look, bodies::find)
            .await
    }

    /// Outlines of a photograph, worked out once for its content and what is known of it.
    async fn kept_outlines(
        &self,
        which: &str,
        sha256: &str,
        look: &Look,
        find: fn(&Picture, &Look) -> Vec<Outline>,
    ) -> Result<Arc<Vec<Outline>>, Problem> {
        let key = format!("{which} {sha256} {:?} {:?}", look.px_per_mm, look.known);
        let kept = || lock(&self.bodies).get(&key).cloned();
        if let Some(found) = kept() {
            return Ok(found);
        }
        let _turn = self.turn(&key).await;
        if let Some(found) = kept() {
            return Ok(found);
        }
        let decoded = self.photograph(sha256).await?;
        let look = look.clone();
        let found = desk::blocking(move || Ok(find(&decoded.picture, &look))).await?;
        let found = Arc::new(found);
        lock(&self.bodies).insert(key, Arc::clone(&found));
        Ok(found)
    }
}

/// The likeliest outlines that hold a place, no two of them alike.
fn around(all: &[Outline], at: [f64; 2]) -> Vec<Outline> {
    let mut kept: Vec<Outline> = Vec::new();
    for outline in all.iter().filter(|outline| holds(&outline.corners, at)) {
        let points = outline.points();
        if kept.len() < MOST_LOOKED_AT && kept.iter().all(|old| old.agreement(&points) < ALIKE) {
            kept.push(outline.clone());
        }
    }
    kept
}

/// Whether a place lies within four corners, clockwise.
fn holds(corners: &[[f64; 2]; 4], [x, y]: [f64; 2]) -> bool {
    (0..4).all(|n| {
        let ([ax, ay], [bx, by]) = (corners[n], corners[(n + 1) % 4]);
        (bx - ax) * (y - ay) - (by - ay) * (x - ax) >= 0.0
    })
}

fn known(plate: &Plate<'_>, pixels: [u32; 2]) -> ([u32; 2], Option<Arc<Plane>>, Look) {
    let plane = outlines::plane(plate.photo, pixels);
    let look = outlines::look(plate.photo, pixels, plane.as_deref());
    (pixels, plane, look)
}

/// Whether an item is what parts are on or in, and no part itself.
pub(super) fn holds_others(item: &Item) -> bool {
    use ItemKind as K;
    matches!(
        item.kind,
        K::Product | K::Assembly | K::Board | K::Flex | K::Shell
    )
}

/// The boards whose outline is recorded on a photograph: left, top, right, lower and the item.
pub(super) fn boards(view: &View, regions: &[Region]) -> Vec<([f64; 4], String)> {
    let boards = regions.iter().filter_map(|region| {
        let item = view.dossier.item(region.item.as_deref()?)?;
        let is_board = matches!(item.kind, ItemKind::Board | ItemKind::Flex);
        is_board.then(|| (bounds(region), item.id.clone()))
    });
    boards.collect()
}

fn bounds(region: &Region) -> [f64; 4] {
    let [x, y, w, h] = region.rect.map(f64::from);
    [x, y, x + w, y + h]
}

pub(super) fn is_in([x, y]: [f64; 2], [left, top, right, lower]: &[f64; 4]) -> bool {
    (*left..=*right).contains(&x) && (*top..=*lower).contains(&y)
}

/// What bodies are held against.
struct Frame<'p> {
    width: f64,
    px_per_mm: Option<f64>,
    plane: Option<&'p Plane>,
}

impl<'p> Frame<'p> {
    fn of(pixels: [u32; 2], px_per_mm: Option<f64>, plane: Option<&'p Plane>) -> Self {
        Self {
            width: f64::from(pixels[0]),
            px_per_mm,
            plane,
        }
    }

    /// Longer and shorter side: mm with a scale, shares of the width without, with the bounds that go with them.
    fn sides(&self, body: &Body) -> ([f64; 2], [f64; 2], f64) {
        match body.size_mm {
            Some(sides) => (sides, SIDES_MM, GONE_TO_MM),
            None => (
                body.sides_px().map(|v| v / self.width),
                SIDES_SHARE,
                GONE_TO_SHARE,
            ),
        }
    }

    fn fits(&self, body: &Body) -> bool {
        let ([long, short], [least, most], _) = self.sides(body);
        long <= MOST_LONG * short && short >= least && long <= most
    }

    fn finished(&self, mut body: Body, outline: &Outline) -> Body {
        body.size_mm = self.plane.and_then(|p| outlines::size_mm(p, outline));
        let ([_, short], _, gone_to) = self.sides(&body);
        body.small = short < gone_to;
        body
    }

    fn offered(&self, outline: &Outline) -> Body {
        let body = Body {
            corners: outline.corners,
            form: outline.kind.word(),
            size_mm: None,
            region: None,
            item: None,
            small: false,
        };
        self.finished(body, outline)
    }

    fn rectangle(&self, [left, top, right, lower]: [f64; 4]) -> Body {
        let outline = Outline {
            kind: bodies::Kind::Rectangle,
            corners: [[left, top], [right, top], [right, lower], [left, lower]],
            probability: 1.0,
            weakest_side: 0.0,
        };
        self.offered(&outline)
    }

    fn recorded(&self, region: &Region, item: &Item) -> Body {
        Body {
            region: Some(region.id.clone()),
            item: Some(item.id.clone()),
            ..self.rectangle(bounds(region))
        }
    }

    fn plain(&self, [x, y]: [f64; 2]) -> Body {
        let side = self
            .px_per_mm
            .map_or(PLAIN_SHARE * self.width, |px| PLAIN_MM * px);
        let half = side / 2.0;
        self.rectangle([x - half, y - half, x + half, y + half])
    }
}

impl Body {
    /// Returns the mean of the corners.
    pub fn middle(&self) -> [f64; 2] {
        [0, 1].map(|i: usize| self.corners.iter().map(|c| c[i]).sum::<f64>() / 4.0)
    }

    /// Whether the middle of four corners lies in the frame around it.
    pub(super) fn holds(&self, corners: &[[f64; 2]; 4]) -> bool {
        let middle = [0, 1].map(|i: usize| corners.iter().map(|c| c[i]).sum::<f64>() / 4.0);
        is_in(middle, &self.bounds())
    }

    /// Left, top, right and lower bound.
    pub(super) fn bounds(&self) -> [f64; 4] {
        let of = |i: usize| self.corners.iter().map(move |c| c[i]);
        let least = |i| of(i).fold(f64::INFINITY, f64::min);
        let most = |i| of(i).fold(f64::NEG_INFINITY, f64::max);
        [least(0), least(1), most(0), most(1)]
    }

    fn sides_px(&self) -> [f64; 2] {
        let side = |a: usize, b: usize| {
            let [p, q] = [self.corners[a], self.corners[b]];
            (q[0] - p[0]).hypot(q[1] - p[1])
        };
        let (a, b) = (side(0, 1), side(1, 2));
        [a.max(b), a.min(b)]
    }

    /// Common part of the upright frames around two bodies, over the smaller frame.
    fn overlap(&self, other: &Self) -> f64 {
        let (a, b) = (self.bounds(), other.bounds());
        let across = a[2].min(b[2]) - a[0].max(b[0]);
        let down = a[3].min(b[3]) - a[1].max(b[1]);
        let area = |r: [f64; 4]| (r[2] - r[0]) * (r[3] - r[1]);
        across.max(0.0) * down.max(0.0) / area(a).min(area(b)).max(1e-9)
    }
}

/// Sorts bodies into rows, whose middles lie within half a body's height of the first of them, and each row from left
/// to right.
fn in_reading_order(bodies: &mut Vec<Body>) {
    in_rows(bodies, |body| {
        let [left, top, _, lower] = body.bounds();
        [left, body.middle()[1], lower - top]
    });
}

/// Sorts things into rows by their left bound, the height of their middle and their own height: a thing is in the row
/// of the first one if its middle lies within half the height of the taller of both.
pub(super) fn in_rows<T>(things: &mut Vec<T>, of: impl Fn(&T) -> [f64; 3]) {
    let mut rest = std::mem::take(things);
    rest.sort_by(|a, b| of(a)[1].total_cmp(&of(b)[1]));
    while let Some(first) = rest.first() {
        let [_, top, height] = of(first);
        let is_in = |thing: &T| {
            let [_, middle, own] = of(thing);
            middle - top <= height.max(own) / 2.0
        };
        let (mut row, others): (Vec<T>, Vec<T>) = rest.into_iter().partition(is_in);
        row.sort_by(|a, b| of(a)[0].total_cmp(&of(b)[0]));
        things.extend(row);
        rest = others;
    }
}
