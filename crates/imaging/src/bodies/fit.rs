//! From a connected region to outlines that it may be: a rectangle, one without what sticks out, an ellipse.
//!
//! In: the pixels of a region. Out: rectangles and ellipses. Not here: whether they are parts (`evidence`).

use super::polygon::{Point, Turned, area, hull, least_rectangle};

/// A form that a region may have.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Form {
    /// The rectangle, or the one that the ellipse touches.
    pub(super) frame: Turned,
    /// Whether it is the ellipse.
    pub(super) round: bool,
    /// Area of the region inside the frame as a share of it.
    pub(super) filled: f64,
    /// Area of the region's hull as a share of the frame.
    pub(super) hulled: f64,
    /// The region's hull.
    pub(super) hull: Vec<Point>,
}

/// A row or column of a region belongs to its body where it holds at least this share of the usual one; what sticks
/// out (leads, a trace) holds less.
const BODY_ROW: f64 = 0.55;
/// What is left of a rectangle, as a share, when trimming it counts as another form.
const TRIMMED: f64 = 0.93;
/// Share of its frame that an ellipse fills (π ⁄ 4), and how far from it a hull may be.
const ELLIPSE: f64 = std::f64::consts::FRAC_PI_4;
const NEAR_ELLIPSE: f64 = 0.05;
/// Greatest ratio of the axes of a round body seen aslant.
const SLANT: f64 = 1.5;

/// Returns the forms of a region.
pub(super) fn forms(pixels: &[u32], width: usize) -> Vec<Form> {
    let around = hull(rim(pixels, width));
    let Some(frame) = least_rectangle(&around) else {
        return Vec::new();
    };
    let whole = 4.0 * frame.half[0] * frame.half[1];
    let held = pixels.len() as f64;
    let hulled = area(&around) / whole;
    let mut found = vec![Form {
        frame,
        round: false,
        filled: held / whole,
        hulled,
        hull: around,
    }];
    let [a, b] = frame.half;
    if (hulled - ELLIPSE).abs() < NEAR_ELLIPSE && a.max(b) < SLANT * a.min(b) {
        found.push(Form {
            round: true,
            ..found[0].clone()
        });
    }
    let (trimmed, inside) = trim(pixels, width, &frame);
    let left = 4.0 * trimmed.half[0] * trimmed.half[1];
    if left < TRIMMED * whole && left > 0.0 {
        found.push(Form {
            frame: trimmed,
            round: false,
            filled: inside / left,
            hulled: (hulled * whole / left).min(1.0),
            hull: trimmed.corners().to_vec(),
        });
    }
    found
}

/// Corners of the first and the last pixel of each row.
fn rim(pixels: &[u32], width: usize) -> Vec<Point> {
    let rows = |p: u32| p as usize / width;
    let (first, last) = pixels.iter().fold((usize::MAX, 0), |(a, b), p| {
        (a.min(rows(*p)), b.max(rows(*p)))
    });
    let mut spans = vec![[usize::MAX, 0]; (last + 1).saturating_sub(first)];
    for p in pixels {
        let span = &mut spans[rows(*p) - first];
        let x = *p as usize % width;
        *span = [span[0].min(x), span[1].max(x + 1)];
    }
    let mut points = Vec::with_capacity(4 * spans.len());
    for (row, [left, right]) in spans.into_iter().enumerate() {
        if left == usize::MAX {
            continue;
        }
        let y = (first + row) as f64;
        for x in [left as f64, right as f64] {
            points.extend([[x, y], [x, y + 1.0]]);
        }
    }
    points
}

/// Cuts off the rows and columns along a frame's sides in which the region is thin; returns the pixels inside too.
fn trim(pixels: &[u32], width: usize, frame: &Turned) -> (Turned, f64) {
    let middles = || {
        pixels.iter().map(|p| {
            let at = *p as usize;
            frame.coordinates([(at % width) as f64 + 0.5, (at / width) as f64 + 0.5])
        })
    };
    let mut span = [0, 1].map(|i: usize| [-frame.half[i], frame.half[i]]);
    // Twice, as what sticks out on one side thickens the rows of the other.
    for axis in [0, 1, 0, 1] {
        let other = span[1 - axis];
        let inside = middles().filter(|c| c[1 - axis] >= other[0] && c[1 - axis] <= other[1]);
        span[axis] = thick(inside.map(|c| c[axis]), frame.half[axis]);
    }
    let is_in = |c: &Point| (0..2).all(|i| c[i] >= span[i][0] && c[i] <= span[i][1]);
    let inside = middles().filter(is_in).count() as f64;
    (frame.between(span[0], span[1]), inside)
}

/// Returns from where to where the counts of coordinates are near their usual height.
fn thick(coordinates: impl Iterator<Item = f64>, half: f64) -> [f64; 2] {
    let count = ((2.0 * half).round() as usize).max(1);
    let bin = 2.0 * half / count as f64;
    let mut counts = vec![0u32; count];
    for c in coordinates {
        let at = ((c + half) / bin).clamp(0.0, count as f64 - 1.0) as usize;
        counts[at] += 1;
    }
    let mut ordered = counts.clone();
    ordered.sort_unstable();
    let usual = f64::from(ordered[count * 7 / 10]);
    let is_thick = |n: &u32| f64::from(*n) >= BODY_ROW * usual;
    let first = counts.iter().position(is_thick).unwrap_or(0);
    let last = counts.iter().rposition(is_thick).unwrap_or(count - 1);
    [first as f64 * bin - half, (last + 1) as f64 * bin - half]
}
