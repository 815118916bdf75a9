//! Round things, lettering and strokes.

use crate::body::shadow;
use crate::lettering::{Ink, LEADING, write};
use crate::shading::{lit, soft_cover, to_segment};
use crate::shapes::{Bar, Disc, Lettering};
use imaging::canvas::{Area, Canvas, cover};

pub(crate) fn disc(canvas: &mut Canvas, disc: &Disc, scale: f32) {
    let [cx, cy] = disc.middle.map(|v| v * scale);
    let r = disc.diameter / 2.0 * scale;
    let hole = disc.opening / 2.0 * scale;
    let area = Area {
        left: cx - r,
        top: cy - r,
        right: cx + r,
        bottom: cy + r,
    };
    if hole <= 0.0 {
        shadow(canvas, area, r, disc.rise * scale);
    }
    let base = disc.colour.channels();
    let pitch = (r - hole) / disc.turns.max(1) as f32;
    canvas.paint(area.around(1.0), |x, y| {
        let (dx, dy) = (x - cx, y - cy);
        let from_middle = (dx * dx + dy * dy).sqrt();
        let d = (from_middle - r).max(hole - from_middle);
        let slope = -0.04 * (dx + dy) / r.max(1.0);
        let mut colour = lit(base, slope);
        if disc.turns > 0 {
            let t = ((from_middle - hole) / pitch).fract() - 0.5;
            colour = lit(colour, 0.10 - 0.75 * t * t);
        }
        if disc.metal {
            let ring = (from_middle / r.max(1.0) - 0.8).abs();
            colour = lit(
                colour,
                0.10 * (1.0 - ring * 6.0).clamp(0.0, 1.0) + 2.0 * slope,
            );
        }
        (colour, cover(d))
    });
    if disc.cross {
        recess(canvas, [cx, cy], r);
    }
}

/// Draws the cross recess of a screw.
fn recess(canvas: &mut Canvas, [cx, cy]: [f32; 2], r: f32) {
    let arm = 0.5 * r;
    let across = [
        ([cx - arm, cy - 0.2 * arm], [cx + arm, cy + 0.2 * arm]),
        ([cx + 0.2 * arm, cy - arm], [cx - 0.2 * arm, cy + arm]),
    ];
    let area = Area {
        left: cx - r,
        top: cy - r,
        right: cx + r,
        bottom: cy + r,
    };
    canvas.paint(area, |x, y| {
        let d = across
            .iter()
            .map(|(a, b)| to_segment([x, y], *a, *b))
            .fold(f32::INFINITY, f32::min);
        ([48.0, 48.0, 50.0], 0.9 * cover(d - 0.13 * r))
    });
}

pub(crate) fn words(canvas: &mut Canvas, words: &Lettering, scale: f32) {
    let ink = Ink {
        colour: words.ink.channels(),
        letter: words.letter * scale,
        bold: words.bold,
        worn: 0.0,
    };
    for (i, line) in words.lines.iter().enumerate() {
        let y = words.at[1] * scale + ink.letter * LEADING * i as f32;
        write(canvas, line, words.at[0] * scale, y, ink);
    }
}

pub(crate) fn bar(canvas: &mut Canvas, bar: &Bar, scale: f32) {
    let half = bar.width / 2.0 * scale;
    let rise = bar.rise * scale;
    let base = bar.colour.channels();
    let legs: Vec<_> = bar
        .points
        .windows(2)
        .map(|p| [p[0].map(|v| v * scale), p[1].map(|v| v * scale)])
        .collect();
    let Some(area) = around(&legs, half) else {
        return;
    };
    let to_line = |x: f32, y: f32| {
        legs.iter()
            .map(|[a, b]| to_segment([x, y], *a, *b))
            .fold(f32::INFINITY, f32::min)
    };
    if rise > 0.0 {
        let drop = 0.35 * rise;
        canvas.paint(area.around(drop + rise), |x, y| {
            (
                [0.0; 3],
                0.4 * soft_cover(to_line(x - drop, y - drop) - half, rise.max(2.0)),
            )
        });
    }
    canvas.paint(area.around(1.0), |x, y| {
        let d = to_line(x, y);
        let shine = if rise > 0.0 {
            0.14 * (0.5 - d / half.max(1.0))
        } else {
            0.0
        };
        (lit(base, shine), cover(d - half))
    });
}

fn around(legs: &[[[f32; 2]; 2]], half: f32) -> Option<Area> {
    let mut points = legs.iter().flatten();
    let [x, y] = *points.next()?;
    let first = Area {
        left: x,
        top: y,
        right: x,
        bottom: y,
    };
    let all = points.fold(first, |e, &[x, y]| Area {
        left: e.left.min(x),
        top: e.top.min(y),
        right: e.right.max(x),
        bottom: e.bottom.max(y),
    });
    Some(all.around(half))
}
