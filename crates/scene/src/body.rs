//! Solids with a rectangular outline: boards, packages, connectors, cells, shells, cards.

use crate::lettering::{Ink, write_centred};
use crate::shading::{lit, soft_cover, speckle, to_rectangle};
use crate::shapes::{Body, Pins, SurfaceFinish, TerminalSides};
use imaging::canvas::{Area, Canvas, cover};

/// Tinned terminals.
const TIN: [f32; 3] = [196.0, 198.0, 196.0];

pub(crate) fn draw(canvas: &mut Canvas, body: &Body, scale: f32) {
    let area = Area {
        left: body.at[0] * scale,
        top: body.at[1] * scale,
        right: (body.at[0] + body.size[0]) * scale,
        bottom: (body.at[1] + body.size[1]) * scale,
    };
    let corner = body.corner * scale;
    shadow(canvas, area, corner, body.rise * scale);
    if let Some(pins) = body.pins.filter(|p| p.sides != TerminalSides::Caps) {
        draw_pins(canvas, body, pins, scale);
    }
    let base = body.colour.channels();
    canvas.paint(area.around(1.0), |x, y| {
        let d = to_rectangle(x, y, area, corner);
        (surface(body.look, base, x, y, area, d, scale), cover(d))
    });
    if let Some(pins) = body.pins.filter(|p| p.sides == TerminalSides::Caps) {
        draw_caps(canvas, area, pins);
    }
    if body.dot {
        draw_dot(canvas, area, scale);
    }
    if !body.lines.is_empty() {
        let ink = Ink {
            colour: body.ink.channels(),
            letter: body.letter * scale,
            bold: body.look == SurfaceFinish::Display,
            worn: body.worn,
        };
        let middle = [
            (area.left + area.right) / 2.0,
            (area.top + area.bottom) / 2.0,
        ];
        write_centred(canvas, &body.lines, middle[0], middle[1], ink);
    }
}

/// Draws a soft shadow towards the lower right.
pub(crate) fn shadow(canvas: &mut Canvas, area: Area, corner: f32, rise: f32) {
    if rise <= 0.0 {
        return;
    }
    let drop = 0.35 * rise;
    let blur = rise.max(2.0);
    canvas.paint(area.around(drop + blur), |x, y| {
        let d = to_rectangle(x - drop, y - drop, area, corner);
        ([0.0; 3], 0.42 * soft_cover(d, blur))
    });
}

/// Returns the colour of the surface at a pixel; `d` is the signed distance to the outline.
fn surface(
    look: SurfaceFinish,
    base: [f32; 3],
    x: f32,
    y: f32,
    area: Area,
    d: f32,
    scale: f32,
) -> [f32; 3] {
    let (w, h) = (area.right - area.left, area.bottom - area.top);
    let (u, v) = ((x - area.left) / w.max(1.0), (y - area.top) / h.max(1.0));
    let slope = 0.035 * (1.0 - u - v);
    let edge = |wide: f32| (1.0 + d / (wide * scale).max(1.0)).clamp(0.0, 1.0);
    match look {
        SurfaceFinish::Matt => lit(base, slope - 0.06 * edge(0.15)),
        SurfaceFinish::Board => {
            // The solder mask stops short of the edge, where the laminate shows.
            let bare = edge(0.25);
            let mask = lit(base, slope);
            let laminate = [168.0, 158.0, 112.0];
            std::array::from_fn(|i| mask[i] + (laminate[i] - mask[i]) * 0.75 * bare)
        }
        SurfaceFinish::Metal => {
            let brushed = 0.02 * speckle(3, y as u64, 0);
            lit(base, 2.0 * slope + brushed - 0.10 * edge(0.2))
        }
        SurfaceFinish::Can => {
            let across = if w >= h { v } else { u };
            let s = (across - 0.36) / 0.64;
            let round = 0.16 - 0.44 * s * s;
            lit(base, round.max(-0.26))
        }
        SurfaceFinish::Pouch => {
            let seam = ((x - area.left) / scale - 3.0).abs();
            let fold = (1.0 - seam / 0.35).clamp(0.0, 1.0);
            let pillow = 0.05 * (1.0 - 4.0 * (v - 0.5) * (v - 0.5));
            lit(base, slope + pillow - 0.10 * fold - 0.07 * edge(0.8))
        }
        SurfaceFinish::Display => lit(base, 0.3 * slope - 0.05 * edge(0.3)),
    }
}

fn draw_pins(canvas: &mut Canvas, body: &Body, pins: Pins, scale: f32) {
    let ([x, y], [w, h]) = (body.at, body.size);
    let half = pins.pitch * 0.24;
    // Terminals without leads still show a rim of solder.
    let out = pins.out.max(0.12);
    for i in 0..pins.each.min(200) {
        let along = (i as f32 - (pins.each - 1) as f32 / 2.0) * pins.pitch;
        let (cx, cy) = (x + w / 2.0 + along, y + h / 2.0 + along);
        let left_right = [[x - out, cy - half, x + w + out, cy + half]];
        let top_bottom = [[cx - half, y - out, cx + half, y + h + out]];
        let bottom = [[cx - half, y + h - out, cx + half, y + h + out]];
        let bars: &[[f32; 4]] = match pins.sides {
            TerminalSides::LeftRight => &left_right,
            TerminalSides::TopBottom => &top_bottom,
            TerminalSides::Four => &[left_right[0], top_bottom[0]],
            TerminalSides::Bottom => &bottom,
            TerminalSides::Caps => &[],
        };
        for b in bars {
            let [left, top, right, bottom] = b.map(|mm| mm * scale);
            let pin = Area {
                left,
                top,
                right,
                bottom,
            };
            canvas.paint(pin.around(1.0), |px, py| {
                let d = to_rectangle(px, py, pin, 0.05 * scale);
                (
                    lit(TIN, 0.03 + 0.08 * (d / scale).clamp(-0.5, 0.0)),
                    cover(d),
                )
            });
        }
    }
}

fn draw_caps(canvas: &mut Canvas, area: Area, pins: Pins) {
    let wide = (area.right - area.left) * 0.24;
    let ends = [
        Area {
            right: area.left + wide,
            ..area
        },
        Area {
            left: area.right - wide,
            ..area
        },
    ];
    for end in ends.iter().take(pins.each.max(1) as usize * 2) {
        canvas.paint(end.around(1.0), |x, y| {
            let shine = 0.06 - 0.12 * (y - end.top) / (end.bottom - end.top).max(1.0);
            (lit(TIN, shine), cover(to_rectangle(x, y, *end, 1.0)))
        });
    }
}

fn draw_dot(canvas: &mut Canvas, area: Area, scale: f32) {
    let inset = 0.14 * (area.right - area.left).min(area.bottom - area.top);
    let (cx, cy) = (area.left + inset, area.top + inset);
    let r = (0.4 * inset).min(0.25 * scale).max(1.0);
    let dot = Area {
        left: cx - r,
        top: cy - r,
        right: cx + r,
        bottom: cy + r,
    };
    canvas.paint(dot.around(1.0), |x, y| {
        ([150.0, 152.0, 150.0], cover(to_rectangle(x, y, dot, r)))
    });
}
