//! The ruler: ticks every millimetre, longer every five, numerals every ten.

use crate::lettering::{Ink, write};
use crate::shading::{soft_cover, to_rectangle};
use crate::shapes::Ruler;
use imaging::canvas::{Area, Canvas, cover};

/// Blank length beyond the first and the last tick, mm.
const END: f32 = 3.0;
/// Width of the ruler, mm.
const WIDTH: f32 = 9.0;
/// Width of a tick, mm.
const TICK: f32 = 0.12;

/// Returns the middle of tick `mm` on the measuring edge, pixels.
pub(crate) fn tick_at(ruler: Ruler, mm: u32, scale: f32) -> [f32; 2] {
    [(ruler.zero[0] + mm as f32) * scale, ruler.zero[1] * scale]
}

/// Returns the outline, pixels.
pub(crate) fn outline(ruler: Ruler, scale: f32) -> Area {
    Area {
        left: (ruler.zero[0] - END) * scale,
        top: ruler.zero[1] * scale,
        right: (ruler.zero[0] + ruler.length as f32 + END) * scale,
        bottom: (ruler.zero[1] + WIDTH) * scale,
    }
}

pub(crate) fn draw(canvas: &mut Canvas, ruler: Ruler, scale: f32) {
    let area = outline(ruler, scale);
    let drop = 0.5 * scale;
    canvas.paint(area.around(3.0 * drop), |x, y| {
        let d = to_rectangle(x - drop, y - drop, area, 0.3 * scale);
        ([0.0; 3], 0.4 * soft_cover(d, 2.0 * drop))
    });
    canvas.paint(area.around(1.0), |x, y| {
        // A little lighter in the middle, as a slightly bowed steel strip.
        let across = (y - area.top) / (area.bottom - area.top) - 0.5;
        let grey = 206.0 + 18.0 * (0.25 - across * across) / 0.25;
        (
            [grey, grey, grey - 3.0],
            cover(to_rectangle(x, y, area, 0.3 * scale)),
        )
    });
    let dark = [38.0, 40.0, 42.0];
    for mm in 0..=ruler.length {
        let long = match mm {
            m if m % 10 == 0 => 4.2,
            m if m % 5 == 0 => 3.2,
            _ => 2.1,
        };
        let [x, y] = tick_at(ruler, mm, scale);
        let half = (TICK * scale / 2.0).max(0.5);
        let tick = Area {
            left: x - half,
            top: y,
            right: x + half,
            bottom: y + long * scale,
        };
        canvas.paint(tick.around(1.0), |px, py| {
            (dark, cover(to_rectangle(px, py, tick, 0.0)))
        });
        if mm % 10 == 0 {
            let ink = Ink {
                colour: dark,
                letter: 1.7 * scale,
                bold: false,
                worn: 0.0,
            };
            let text = mm.to_string();
            write(
                canvas,
                &text,
                x - ink.width(&text) / 2.0,
                y + 7.0 * scale,
                ink,
            );
        }
    }
    let ink = Ink {
        colour: dark,
        letter: 1.1 * scale,
        bold: false,
        worn: 0.0,
    };
    write(
        canvas,
        "mm",
        area.left + 0.5 * scale,
        area.bottom - 0.7 * scale,
        ink,
    );
}
