//! The plan: which number stands where, and how its leader runs.
//!
//! In: a photograph's size, regions, options. Out: a [`Plan`] in mm on the page. Not here: colours,
//! drawing.

use super::anchor;
use super::clear;
use super::input::{
    MOST_CALLOUTS, Margin, Margins, Options, Photo, PlanError, Region, SMALLEST_NUMBER_PT, Trace,
};
use super::layout::{self, Frame, Measures};
use super::legend::{self, Legend};
use super::plane::{Point, Rect, between_segments};
use super::settle::{self, Settled};
use lettering::Typefaces;

/// Share of the possible places that may be taken before more sides are used.
const ROOMY: f64 = 0.75;

/// A number, its leader and what it names; places on the page in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Callout {
    /// Number, from 1.
    pub number: u32,
    /// Name of the region.
    pub id: String,
    /// Text of the legend, on one line.
    pub caption: String,
    /// `id` attribute of the outline.
    pub element_id: Option<String>,
    /// Outline of the region.
    pub region: Rect,
    /// What was measured there.
    pub traces: Vec<Trace>,
    /// Margin that carries the number.
    pub side: Margin,
    /// Where the leader starts (a dot), where it turns, where it ends on the ring.
    pub leader: [Point; 3],
    /// Middle of the ring around the number.
    pub ring: Point,
}

/// The scale bar; places on the page in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct ScaleBar {
    /// Left end.
    pub from: Point,
    /// Right end.
    pub to: Point,
    /// Height of the ticks at its ends.
    pub tick: f64,
    /// Left end of its words, at half their height.
    pub words_at: Point,
    /// Length on the object, mm.
    pub length_mm: f64,
    /// The length with its unit.
    pub words: String,
}

/// Where everything stands, in mm on a page as wide as the column.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Width and height.
    pub size: [f64; 2],
    /// The photograph.
    pub photo: Rect,
    /// Size of the photograph, pixels.
    pub pixels: [u32; 2],
    /// Margin of a pixel of the photograph.
    pub mm_per_pixel: f64,
    /// Callouts in the order of their numbers.
    pub callouts: Vec<Callout>,
    /// Scale bar, if the scale is known.
    pub bar: Option<ScaleBar>,
    /// Legend, if asked for.
    pub legend: Option<Legend>,
    /// Sizes of numbers, lines and halos.
    pub sizes: Measures,
    /// Typefaces for characters that the packed ones lack.
    pub typefaces: Typefaces,
}

impl Plan {
    /// Returns the two leaders (indices into `callouts`) that come nearest to each other, and how
    /// near, mm; `None` for fewer than two.
    pub fn nearest_leaders(&self) -> Option<(usize, usize, f64)> {
        let mut nearest: Option<(usize, usize, f64)> = None;
        for (b, c) in self.callouts.iter().enumerate() {
            for (a, d) in self.callouts[..b].iter().enumerate() {
                let apart = between_leaders(&c.leader, &d.leader);
                if nearest.is_none_or(|n| apart < n.2) {
                    nearest = Some((a, b, apart));
                }
            }
        }
        nearest
    }
}

/// Returns the least distance of two leaders, mm.
pub fn between_leaders(a: &[Point; 3], b: &[Point; 3]) -> f64 {
    let parts = |l: &[Point; 3]| [[l[0], l[1]], [l[1], l[2]]];
    let mut least = f64::INFINITY;
    for s in parts(a) {
        for t in parts(b) {
            least = least.min(between_segments(s, t));
        }
    }
    least
}

/// Plans a picture.
///
/// Numbers follow the way a page is read: along the top from the left, down the left side, down
/// the right side, along the bottom. Equal input gives an equal plan.
///
/// # Errors
/// [`PlanError`] for input that cannot be used, for more regions than numbers fit, and for leaders
/// that cannot be kept apart.
pub fn plan(photo: &Photo, regions: &[Region], options: &Options) -> Result<Plan, PlanError> {
    let sizes = checked(photo, options)?;
    let outlines = regions
        .iter()
        .map(|r| outline(r, photo))
        .collect::<Result<Vec<_>, _>>()?;
    let (frame, settled) = if options.clear {
        clear::drawn(photo, &outlines, options, &sizes)?
    } else {
        let (sides, columns) = fitting(photo, regions.len(), options, &sizes)?;
        drawn(photo, &outlines, regions, sides, columns, options, &sizes)?
    };

    let mut order: Vec<usize> = (0..regions.len()).collect();
    // Ports are listed in reading order.
    order.sort_by_key(|i| settled.ports[*i]);
    let callouts: Vec<Callout> = (1..)
        .zip(order)
        .map(|(number, i)| {
            let port = &frame.ports[settled.ports[i]];
            Callout {
                number,
                id: regions[i].id.clone(),
                caption: legend::clean(&regions[i].caption),
                element_id: regions[i].element_id.clone(),
                region: on_page(&outlines[i], &frame),
                traces: regions[i]
                    .traces
                    .iter()
                    .map(|t| trace_on_page(t, photo, &frame))
                    .collect(),
                side: port.side,
                leader: [settled.points[i], port.at, port.end],
                ring: port.ring,
            }
        })
        .collect();
    let legend = (options.legend && !callouts.is_empty()).then(|| {
        let entries: Vec<(u32, &str)> = callouts
            .iter()
            .map(|c| (c.number, c.caption.as_str()))
            .collect();
        let inset = sizes.edge;
        let at = [inset, frame.height + 0.6 * sizes.em];
        legend::set(
            &entries,
            &options.typefaces,
            at,
            options.column_mm - 2.0 * inset,
            sizes.em,
        )
    });
    let below = legend
        .as_ref()
        .map_or(0.0, |l| l.height + 0.6 * sizes.em + sizes.edge);
    let plan = Plan {
        size: [options.column_mm, frame.height + below],
        photo: frame.photo,
        pixels: [photo.width, photo.height],
        mm_per_pixel: frame.mm_per_pixel,
        callouts,
        bar: frame.bar,
        legend,
        sizes,
        typefaces: options.typefaces.clone(),
    };
    match plan.nearest_leaders() {
        Some((a, b, apart)) if apart <= 0.0 => Err(PlanError::TooClose {
            first: plan.callouts[a].id.clone(),
            second: plan.callouts[b].id.clone(),
        }),
        _ => Ok(plan),
    }
}

fn checked(photo: &Photo, options: &Options) -> Result<Measures, PlanError> {
    if photo.width == 0 || photo.height == 0 {
        return Err(PlanError::EmptyPhoto);
    }
    let is_length = |v: f64| v.is_finite() && v > 0.0 && v <= 10_000.0;
    let number_pt = options.number_pt;
    if !is_length(number_pt) || number_pt < SMALLEST_NUMBER_PT {
        return Err(PlanError::Numbers { number_pt });
    }
    if !is_length(options.column_mm) || !is_length(options.tallest_mm) {
        return Err(no_room(options));
    }
    if !options.sides.any() {
        return Err(PlanError::NoMargin);
    }
    match photo.pixels_per_mm {
        Some(pixels_per_mm) if !(pixels_per_mm.is_finite() && pixels_per_mm > 0.0) => {
            Err(PlanError::Scale { pixels_per_mm })
        }
        _ => Ok(Measures::of(number_pt)),
    }
}

fn no_room(options: &Options) -> PlanError {
    PlanError::Column {
        column_mm: options.column_mm,
        tallest_mm: options.tallest_mm,
    }
}

/// Returns the part of a region that lies in the photograph, pixels.
fn outline(region: &Region, photo: &Photo) -> Result<Rect, PlanError> {
    let [x, y, w, h] = region.rect;
    let cut = |v: f64, most: u32| v.clamp(0.0, f64::from(most));
    let (x1, y1) = (x + w, y + h);
    let (most_x, most_y) = (f64::from(photo.width), f64::from(photo.height));
    let is_inside = region.rect.iter().all(|v| v.is_finite())
        && w >= 0.0
        && h >= 0.0
        && x <= most_x
        && y <= most_y
        && x1 >= 0.0
        && y1 >= 0.0;
    if !is_inside {
        return Err(PlanError::Region {
            id: region.id.clone(),
        });
    }
    let (left, top) = (cut(x, photo.width), cut(y, photo.height));
    Ok(Rect {
        left,
        top,
        width: cut(x1, photo.width) - left,
        height: cut(y1, photo.height) - top,
    })
}

/// Returns the sides to use and how many columns of numbers each has: as few as leave room.
fn fitting(
    photo: &Photo,
    callouts: usize,
    options: &Options,
    sizes: &Measures,
) -> Result<(Margins, usize), PlanError> {
    let mut subsets = vec![options.sides.both(Margins::COLUMNS), options.sides];
    subsets.retain(|s| s.any());
    subsets.dedup();
    let (mut fit, mut laid_out) = (0, false);
    // First with places to spare, then as tight as it gets.
    for share in [ROOMY, 1.0] {
        for columns in [1, 2] {
            for sides in &subsets {
                let Some(frame) = layout::frame(photo, *sides, columns, options, sizes) else {
                    continue;
                };
                laid_out = true;
                let places = frame.ports.len().min(MOST_CALLOUTS);
                fit = fit.max(places);
                if callouts as f64 <= places as f64 * share {
                    return Ok((*sides, columns));
                }
            }
        }
    }
    match photo.pixels_per_mm {
        _ if laid_out => Err(PlanError::TooMany { callouts, fit }),
        // The page may have room, but the scale has no round length that could be shown.
        Some(pixels_per_mm) => {
            let plain = Photo {
                pixels_per_mm: None,
                ..*photo
            };
            match fitting(&plain, callouts, options, sizes) {
                Ok(_) => Err(PlanError::Scale { pixels_per_mm }),
                Err(other) => Err(other),
            }
        }
        None => Err(no_room(options)),
    }
}

/// Lays out the page and matches leaders; a side that no leader uses gives its margin to the
/// photograph.
fn drawn(
    photo: &Photo,
    outlines: &[Rect],
    regions: &[Region],
    mut sides: Margins,
    columns: usize,
    options: &Options,
    sizes: &Measures,
) -> Result<(Frame, Settled), PlanError> {
    loop {
        let frame =
            layout::frame(photo, sides, columns, options, sizes).ok_or_else(|| no_room(options))?;
        let settled = leaders(&frame, outlines, regions, sizes)?;
        let used = |side| settled.ports.iter().any(|p| frame.ports[*p].side == side);
        let kept = sides.both(Margins {
            top: used(Margin::Top),
            left: used(Margin::Left),
            right: used(Margin::Right),
            bottom: used(Margin::Bottom),
        });
        if kept == sides {
            return Ok((frame, settled));
        }
        // Fewer margins mean a larger photograph; where that would leave too few places (a higher
        // photograph at the limit of the page is also wider), the margin stays.
        let enough = layout::frame(photo, kept, columns, options, sizes)
            .is_some_and(|f| f.ports.len() >= regions.len());
        if !enough {
            return Ok((frame, settled));
        }
        sides = kept;
    }
}

fn leaders(
    frame: &Frame,
    outlines: &[Rect],
    regions: &[Region],
    sizes: &Measures,
) -> Result<Settled, PlanError> {
    let placed: Vec<Rect> = outlines.iter().map(|o| on_page(o, frame)).collect();
    // Two dots beside each other, with a halo between them.
    let enough = 2.0 * sizes.dot + sizes.halo;
    let candidates: Vec<Vec<Point>> = (0..placed.len())
        .map(|i| anchor::candidates(&placed, i, enough))
        .collect();
    let points = anchor::spread(&frame.photo, &placed, &candidates, enough).map_err(|i| {
        PlanError::Crowded {
            id: regions[i].id.clone(),
        }
    })?;
    let ports = &frame.ports;
    // A dot with its halo beside another leader.
    let wanted = sizes.dot + sizes.halo + sizes.line / 2.0;
    let mut settled =
        settle::settle(points, &candidates, ports, wanted, enough).ok_or(PlanError::TooMany {
            callouts: regions.len(),
            fit: ports.len(),
        })?;
    for (i, port) in settled.ports.iter().enumerate() {
        let start = settled.points[i];
        settled.points[i] = anchor::drawn_back(&placed, i, start, ports[*port].at, enough);
    }
    Ok(settled)
}

/// Returns a line over the photograph on the page, cut to the photograph.
fn trace_on_page(trace: &Trace, photo: &Photo, frame: &Frame) -> Trace {
    let size = [photo.width, photo.height].map(f64::from);
    let corner = [frame.photo.left, frame.photo.top];
    let place = |p: &[f64; 2]| {
        [0, 1].map(|i| {
            let inside = if p[i].is_finite() {
                p[i].clamp(0.0, size[i])
            } else {
                0.0
            };
            corner[i] + inside * frame.mm_per_pixel
        })
    };
    Trace {
        line: trace.line.iter().map(place).collect(),
        dots: trace.dots.iter().map(place).collect(),
    }
}

/// Returns a rectangle of the photograph on the page.
pub(super) fn on_page(pixels: &Rect, frame: &Frame) -> Rect {
    let scale = frame.mm_per_pixel;
    Rect {
        left: frame.photo.left + pixels.left * scale,
        top: frame.photo.top + pixels.top * scale,
        width: pixels.width * scale,
        height: pixels.height * scale,
    }
}
