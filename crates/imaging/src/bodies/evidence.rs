//! What speaks for an outline being a part: edges along its sides, what is inside, what is around.
//!
//! In: planes and a form. Out: the form with each side moved to the strongest edge near it, and its marks. An edge
//! counts by the mean of the signed steps across it along the whole side, so that lettering and grain, whose
//! steps cancel, count little.

use super::fit::Form;
use super::planes::{PLANES, Planes};
use super::polygon::{Point, Turned};

/// How many marks an outline has.
pub(super) const MARKS: usize = 20;

/// What an outline looks like, each mark a plain number; `weights` says what each is worth.
pub(super) type Marks = [f64; MARKS];

/// A form on its edges.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Seen {
    pub(super) form: Form,
    pub(super) marks: Marks,
    /// The step across each side, levels: right, lower, left, upper along the frame.
    pub(super) steps: [f64; 4],
    /// Whether three sides are clearer than the grain of what is around.
    pub(super) stands_out: bool,
}

/// Places along a side.
const PLACES: usize = 15;
/// How far a side may move, pixels: so far, and no more than this share of half the form.
const FAR: f64 = 3.0;
const FAR_SHARE: f64 = 0.25;
/// Distance between looked-at offsets, pixels.
const STRIDE: f64 = 0.5;
/// Half the width over which a step is taken, pixels.
const REACH: f64 = 1.5;
/// Distance at which an edge counts half, pixels.
const NEAR: f64 = 4.0;
/// A place has the edge of its side if its own step is at least this share of the mean one.
const SHARE: f64 = 0.4;
/// Where along half a side it is looked: corners are round.
const WITHIN: f64 = 0.82;

/// A side is clearer than grain if its step is this many times the median deviation around, and so many levels more.
/// Chosen on drawn boards and four desks of the second source (seeds 1 to 4).
const GRAIN: f64 = 2.0;
const LEVELS: f64 = 4.0;

type Colour = [f64; PLANES];

fn length(c: Colour) -> f64 {
    c.iter().map(|v| v * v).sum::<f64>().sqrt()
}

fn difference(a: Colour, b: Colour) -> Colour {
    std::array::from_fn(|i| a[i] - b[i])
}

/// Returns the place at share `t` (−1 to 1) of a side, `out` pixels outside it.
fn on_side(form: &Form, side: usize, t: f64, out: f64) -> Point {
    let Turned { half, .. } = form.frame;
    let (axis, sign) = (side % 2, if side < 2 { 1.0 } else { -1.0 });
    let mut c = [0.0; 2];
    if form.round {
        // A quarter of the ellipse around the axis; its normal is near enough the ray for round bodies.
        let (sin, cos) = (t * std::f64::consts::FRAC_PI_4).sin_cos();
        c[axis] = sign * (half[axis] + out) * cos;
        c[1 - axis] = (half[1 - axis] + out) * sin;
    } else {
        c[axis] = sign * (half[axis] + out);
        c[1 - axis] = t * WITHIN * half[1 - axis];
    }
    form.frame.place(c)
}

fn places() -> impl Iterator<Item = f64> {
    (0..PLACES).map(|i| 2.0 * (i as f64 + 0.5) / PLACES as f64 - 1.0)
}

fn colour(planes: &Planes, p: Point) -> Colour {
    planes.at(p).map(f64::from)
}

/// Moves each side to the strongest edge near it.
fn on_edges(planes: &Planes, form: &Form) -> Form {
    let mut moved = form.clone();
    let mut span = [0, 1].map(|i: usize| [-form.frame.half[i], form.frame.half[i]]);
    for side in 0..4 {
        let axis = side % 2;
        let far = FAR.min(FAR_SHARE * form.frame.half[axis]).max(STRIDE);
        let reach = (far / STRIDE).round() as i32;
        let wide = (REACH / STRIDE) as i32;
        let profile: Vec<Colour> = (-reach - wide..=reach + wide)
            .map(|k| {
                let mut sum = [0.0; PLANES];
                for t in places() {
                    let c = colour(planes, on_side(form, side, t, f64::from(k) * STRIDE));
                    sum = std::array::from_fn(|i| sum[i] + c[i]);
                }
                sum.map(|v| v / PLACES as f64)
            })
            .collect();
        let step = |at: usize| length(difference(profile[at + 2 * wide as usize], profile[at]));
        let worth = |at: usize| {
            let away = (at as f64 - f64::from(reach)).abs() * STRIDE;
            step(at) * (0.5f64).powf(away / NEAR)
        };
        let best = (0..=2 * reach as usize).max_by(|a, b| worth(*a).total_cmp(&worth(*b)));
        let out = best.map_or(0.0, |at| (at as f64 - f64::from(reach)) * STRIDE);
        if side < 2 {
            span[axis][1] += out;
        } else {
            span[axis][0] -= out;
        }
    }
    moved.frame = form.frame.between(span[0], span[1]);
    moved
}

/// Returns the form on its edges, with its marks. `growth` is that of the region it came from.
pub(super) fn see(planes: &Planes, form: &Form, growth: f32) -> Seen {
    let form = on_edges(planes, form);
    let mut steps = [[0.0; PLANES]; 4];
    let mut support = [0.0; 4];
    for side in 0..4 {
        let own: Vec<Colour> = places()
            .map(|t| {
                let at = |out: f64| colour(planes, on_side(&form, side, t, out));
                difference(at(REACH), at(-REACH))
            })
            .collect();
        let mean = own.iter().fold([0.0; PLANES], |sum, c| {
            std::array::from_fn(|i| sum[i] + c[i] / PLACES as f64)
        });
        let square = length(mean).powi(2).max(1e-9);
        let dot = |c: &Colour| (0..PLANES).map(|i| c[i] * mean[i]).sum::<f64>();
        let having = own.iter().filter(|c| dot(c) > SHARE * square).count();
        steps[side] = mean;
        support[side] = having as f64 / PLACES as f64;
    }
    let sizes = steps.map(length);
    let mut ordered = sizes;
    ordered.sort_by(f64::total_cmp);
    let mean_size = sizes.iter().sum::<f64>() / 4.0;
    let together = length(std::array::from_fn(|i| {
        steps.iter().map(|s| s[i]).sum::<f64>() / 4.0
    }));
    let (inside, spread_in, colour_in) = typical(inner(planes, &form));
    let (outside, spread_out, colour_out) = typical(ring(planes, &form));
    let [a, b] = form.frame.half;
    let least = support.iter().copied().fold(f64::INFINITY, f64::min);
    let shade: [f64; 4] = std::array::from_fn(|side| shade(planes, &form, side));
    let mild = |v: f64| (1.0 + v).ln();
    let marks = [
        mild(ordered[0]),
        mild(ordered[1]),
        mild(mean_size),
        least,
        support.iter().sum::<f64>() / 4.0,
        form.filled.min(1.2),
        form.hulled.min(1.2),
        f64::from(growth),
        (a.max(b) / a.min(b).max(0.5)).ln(),
        f64::from(u8::from(form.round)),
        mild(spread_in),
        mild(colour_in),
        mild(spread_out),
        mild(colour_out),
        together / mean_size.max(1e-9),
        mild(length(difference(inside, outside))),
        inside[0] / 100.0,
        inside[1].hypot(inside[2]) / 100.0,
        shade.iter().copied().fold(0.0, f64::max),
        shade.iter().copied().fold(f64::INFINITY, f64::min),
    ];
    Seen {
        form,
        marks,
        steps: sizes,
        stands_out: ordered[1] >= GRAIN * spread_out + LEVELS,
    }
}

/// Returns by what share it is darker right beside a side than farther out: a shadow, if at one side only.
fn shade(planes: &Planes, form: &Form, side: usize) -> f64 {
    let [a, b] = form.frame.half;
    let light = |out: f64| {
        let sum: f64 = places()
            .map(|t| colour(planes, on_side(form, side, t, out))[0])
            .sum();
        sum / PLACES as f64
    };
    let far = light(4.0 + 0.5 * a.min(b));
    ((far - light(REACH + 1.0)) / far.max(8.0)).clamp(-0.5, 0.8)
}

/// Colours on a grid over the inner part of a form.
fn inner(planes: &Planes, form: &Form) -> Vec<Colour> {
    const SIDE: i32 = 9;
    let share = if form.round { 0.6 } else { 0.8 };
    let at = |k: i32| share * (2.0 * f64::from(k) / f64::from(SIDE - 1) - 1.0);
    let [a, b] = form.frame.half;
    (0..SIDE * SIDE)
        .map(|k| {
            let place = form.frame.place([at(k % SIDE) * a, at(k / SIDE) * b]);
            colour(planes, place)
        })
        .collect()
}

/// Colours around a form.
fn ring(planes: &Planes, form: &Form) -> Vec<Colour> {
    let [a, b] = form.frame.half;
    let out = 2.5 + 0.15 * a.min(b);
    (0..4)
        .flat_map(|side| places().map(move |t| (side, t)))
        .map(|(side, t)| colour(planes, on_side(form, side, t, out)))
        .collect()
}

/// Returns the median colour, and the median distances of lightness and of colour from it.
fn typical(colours: Vec<Colour>) -> (Colour, f64, f64) {
    let median = |mut values: Vec<f64>| {
        let middle = values.len() / 2;
        values.sort_by(f64::total_cmp);
        values.get(middle).copied().unwrap_or(0.0)
    };
    let usual: Colour = std::array::from_fn(|i| median(colours.iter().map(|c| c[i]).collect()));
    let light = median(colours.iter().map(|c| (c[0] - usual[0]).abs()).collect());
    let hue = |c: &Colour| (c[1] - usual[1]).hypot(c[2] - usual[2]);
    let colour = median(colours.iter().map(hue).collect());
    (usual, light, colour)
}
