//! The page before anything is numbered: where the photograph, the possible numbers and the scale
//! bar stand.
//!
//! In: the photograph's size, the sides used, how many columns of numbers a side has. Out: a
//! [`Frame`]. Not here: which region gets which number.
//!
//! Around the photograph lies a slightly larger rectangle, the port rectangle. Every leader runs
//! straight from its region to a port on an edge of that rectangle and from there at a right angle
//! outwards to its number. Numbers and scale bar lie outside the port rectangle, so the straight
//! parts cannot meet them; numbers in a second column stand opposite the gaps of the first.

use super::input::{Margin, Margins, Options, Photo};
use super::plan::ScaleBar;
use super::plane::{Point, Rect};
use super::scalebar::round_length;
use super::typeset::{self, Face};
use lettering::Typefaces;

/// Millimetres in a typographic point (1/72 inch).
const MM_PER_POINT: f64 = 25.4 / 72.0;

/// Sizes of everything drawn; all follow the size of the numbers, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measures {
    /// Size of the numbers: the em of their face.
    pub em: f64,
    /// Radius of the ring around a number.
    pub radius: f64,
    /// Width of a leader.
    pub line: f64,
    /// Width of the halo on either side of a leader.
    pub halo: f64,
    /// Radius of the dot at the beginning of a leader.
    pub dot: f64,
    /// From the photograph to the ports.
    pub(super) gap: f64,
    /// From a port to the ring in the first column.
    pub(super) shoulder: f64,
    /// Between rings of one column.
    pub(super) between: f64,
    /// Between rings of two columns, and around everything.
    pub(super) edge: f64,
}

impl Measures {
    pub(super) fn of(number_pt: f64) -> Self {
        let em = number_pt * MM_PER_POINT;
        Self {
            em,
            // Two digits, 1.2 em wide and 0.73 em tall, have a half diagonal of 0.70 em.
            radius: 0.84 * em,
            line: 0.07 * em,
            halo: 0.08 * em,
            dot: 0.15 * em,
            gap: 0.4 * em,
            shoulder: 0.4 * em,
            between: 0.45 * em,
            edge: 0.2 * em,
        }
    }

    /// Returns line width and dot radius of what was measured: the dark edge, then the light middle.
    pub(super) fn trace(&self) -> [(f64, f64); 2] {
        [
            (self.line + 2.0 * self.halo, 0.8 * self.dot + self.halo),
            (self.line, 0.8 * self.dot),
        ]
    }

    /// Returns how far a margin with numbers reaches from the photograph.
    fn margin(&self, columns: usize) -> f64 {
        let more = (columns - 1) as f64 * (2.0 * self.radius + self.edge);
        self.gap + self.shoulder + 2.0 * self.radius + more + self.edge
    }

    /// Returns the distance of neighbouring ports.
    fn pitch(&self, columns: usize) -> f64 {
        (2.0 * self.radius + self.between) / columns as f64
    }
}

/// A place where a number may stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Port {
    pub(super) side: Margin,
    /// Where the leader turns, on the port rectangle.
    pub(super) at: Point,
    /// Where the leader ends, on the ring.
    pub(super) end: Point,
    /// Middle of the ring.
    pub(super) ring: Point,
}

/// The page without numbers.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Frame {
    /// Height without the legend, mm.
    pub(super) height: f64,
    pub(super) photo: Rect,
    pub(super) mm_per_pixel: f64,
    pub(super) ports: Vec<Port>,
    pub(super) bar: Option<ScaleBar>,
}

/// Lays out the page; `None` if the photograph would become narrower than three numbers.
pub(super) fn frame(
    photo: &Photo,
    sides: Margins,
    columns: usize,
    options: &Options,
    sizes: &Measures,
) -> Option<Frame> {
    let margin = |used: bool| {
        if used {
            sizes.margin(columns)
        } else {
            sizes.edge
        }
    };
    let (left, right) = (margin(sides.left), margin(sides.right));
    let (top, bottom) = (margin(sides.top), margin(sides.bottom));
    let bar_height = if photo.pixels_per_mm.is_some() {
        1.9 * sizes.em
    } else {
        0.0
    };
    let most = [
        options.column_mm - left - right,
        options.tallest_mm - top - bottom - bar_height,
    ];
    let pixels = [photo.width, photo.height].map(f64::from);
    let mm_per_pixel = (most[0] / pixels[0]).min(most[1] / pixels[1]);
    let size = pixels.map(|p| p * mm_per_pixel);
    if size[0] < 6.0 * sizes.radius || size[1].is_nan() || size[1] <= 0.0 {
        return None;
    }
    let placed = Rect {
        left: left + (most[0] - size[0]) / 2.0,
        top,
        width: size[0],
        height: size[1],
    };
    let mut ports = Vec::new();
    for side in [Margin::Top, Margin::Left, Margin::Right, Margin::Bottom] {
        if sides.has(side) {
            ports.extend(ports_of(side, &placed, columns, sizes));
        }
    }
    let under = placed.bottom() + bottom;
    let bar = match photo.pixels_per_mm {
        Some(per_mm) => Some(bar(per_mm * mm_per_pixel, &placed, under, sizes)?),
        None => None,
    };
    Some(Frame {
        height: under + bar_height,
        photo: placed,
        mm_per_pixel,
        ports,
        bar,
    })
}

/// Returns the ports of one side, in reading direction.
fn ports_of(side: Margin, photo: &Rect, columns: usize, sizes: &Measures) -> Vec<Port> {
    let is_row = matches!(side, Margin::Top | Margin::Bottom);
    let (from, length) = if is_row {
        (photo.left, photo.width)
    } else {
        (photo.top, photo.height)
    };
    let pitch = sizes.pitch(columns);
    let room = (length - 2.0 * sizes.radius) / pitch;
    if room < 0.0 {
        return Vec::new();
    }
    let count = room.floor() as usize + 1;
    let first = from + (length - pitch * (count - 1) as f64) / 2.0;
    (0..count)
        .map(|i| {
            let along = first + pitch * i as f64;
            port(side, along, i % columns, photo, sizes)
        })
        .collect()
}

/// Returns the port at a place along a side, in a column of numbers counted from 0.
pub(super) fn port(
    side: Margin,
    along: f64,
    column: usize,
    photo: &Rect,
    sizes: &Measures,
) -> Port {
    let outwards = sizes.shoulder + column as f64 * (2.0 * sizes.radius + sizes.edge);
    let place = |out: f64| {
        let out = sizes.gap + out;
        match side {
            Margin::Top => [along, photo.top - out],
            Margin::Bottom => [along, photo.bottom() + out],
            Margin::Left => [photo.left - out, along],
            Margin::Right => [photo.right() + out, along],
        }
    };
    Port {
        side,
        at: place(0.0),
        end: place(outwards),
        ring: place(outwards + sizes.radius),
    }
}

/// Places the bar below everything, from the photograph's left edge; its words stand to its right.
fn bar(page_per_mm: f64, photo: &Rect, under: f64, sizes: &Measures) -> Option<ScaleBar> {
    let widest = typeset::width(Face::Caption, "500 µm", &Typefaces::default());
    let words = widest * sizes.em;
    let room = (photo.width * 0.4).min(photo.width - words - sizes.em);
    let found = round_length(page_per_mm, room)?;
    let long = found.length_mm * page_per_mm;
    let y = under + 1.1 * sizes.em;
    Some(ScaleBar {
        from: [photo.left, y],
        to: [photo.left + long, y],
        tick: 0.34 * sizes.em,
        words_at: [photo.left + long + 0.55 * sizes.em, y],
        length_mm: found.length_mm,
        words: found.words,
    })
}
