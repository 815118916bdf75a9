//! Letters: outlines of a fixed-pitch font, filled with coverage.
//!
//! The font is DejaVu Sans Mono as packed in `typst-assets` (Bitstream Vera licence).

use crate::shading::{speckle, to_rectangle};
use ab_glyph::{Font, FontRef, GlyphId, PxScale, ScaleFont, point};
use imaging::canvas::{Area, Canvas, cover};
use std::sync::OnceLock;

/// Height of a capital letter in DejaVu Sans Mono, in em (1493 of 2048 units).
const CAPITAL: f32 = 1493.0 / 2048.0;
/// Width of every character, in em (1233 of 2048 units).
const ADVANCE: f32 = 1233.0 / 2048.0;
/// Distance of base lines as a multiple of the height of a capital letter.
pub(crate) const LEADING: f32 = 1.75;

/// How letters are drawn.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Ink {
    pub(crate) colour: [f32; 3],
    /// Height of a capital letter, pixels.
    pub(crate) letter: f32,
    pub(crate) bold: bool,
    /// Share worn off, 0 to 1; above 0, `?` is drawn as a smear.
    pub(crate) worn: f32,
}

impl Ink {
    /// Returns the width of a text, pixels.
    pub(crate) fn width(&self, text: &str) -> f32 {
        text.chars().count() as f32 * self.letter / CAPITAL * ADVANCE
    }
}

fn font(bold: bool) -> Option<&'static FontRef<'static>> {
    static FONTS: OnceLock<[Option<FontRef<'static>>; 2]> = OnceLock::new();
    let fonts = FONTS.get_or_init(|| {
        let mut pitch: Vec<FontRef<'static>> = typst_assets::fonts()
            .filter_map(|bytes| FontRef::try_from_slice(bytes).ok())
            .filter(is_fixed_pitch)
            .collect();
        // Packed in the order bold, bold oblique, oblique, regular.
        let regular = pitch.pop();
        let bold = (!pitch.is_empty()).then(|| pitch.swap_remove(0));
        [regular, bold]
    });
    fonts[usize::from(bold)].as_ref()
}

fn is_fixed_pitch(font: &FontRef<'static>) -> bool {
    let wide = font.h_advance_unscaled(font.glyph_id('M'));
    let narrow = font.h_advance_unscaled(font.glyph_id('i'));
    font.glyph_id('M') != GlyphId(0) && (wide - narrow).abs() < 0.5
}

/// Draws one line with its base line starting at (`x`, `y`), pixels.
pub(crate) fn write(canvas: &mut Canvas, text: &str, x: f32, y: f32, ink: Ink) {
    let Some(font) = font(ink.bold) else { return };
    let em = ink.letter / CAPITAL;
    if !(em.is_finite() && em > 0.0) {
        return;
    }
    let per_em = font.units_per_em().unwrap_or(2048.0);
    let scale = PxScale::from(em * font.height_unscaled() / per_em);
    let scaled = font.as_scaled(scale);
    let mut pen = x;
    for character in text.chars() {
        let place = [pen, y];
        pen += em * ADVANCE;
        match character {
            '⎓' => {
                direct_current(canvas, place, ink);
                continue;
            }
            '?' if ink.worn > 0.0 => {
                smear(canvas, place, ink);
                continue;
            }
            _ => {}
        }
        let mut glyph = scaled.scaled_glyph(character);
        glyph.position = point(place[0], place[1]);
        let Some(outline) = font.outline_glyph(glyph) else {
            continue;
        };
        let bounds = outline.px_bounds();
        outline.draw(|dx, dy, amount| {
            let (px, py) = (bounds.min.x + dx as f32, bounds.min.y + dy as f32);
            if px >= 0.0 && py >= 0.0 {
                let (px, py) = (px as usize, py as usize);
                canvas.blend(px, py, ink.colour, amount * left_over(ink.worn, px, py));
            }
        });
    }
}

/// Draws the sign for direct current, which the font lacks: a bar above three dashes.
fn direct_current(canvas: &mut Canvas, [x, y]: [f32; 2], ink: Ink) {
    let (wide, cap) = (ink.letter / CAPITAL * ADVANCE, ink.letter);
    let (left, across, thick) = (x + 0.06 * wide, 0.88 * wide, 0.11 * cap);
    let dash = across / 5.0;
    let bars = [
        (0.0, across, 0.64),
        (0.0, dash, 0.36),
        (2.0 * dash, dash, 0.36),
        (4.0 * dash, dash, 0.36),
    ];
    for (from, long, high) in bars {
        let area = Area {
            left: left + from,
            top: y - high * cap - thick / 2.0,
            right: left + from + long,
            bottom: y - high * cap + thick / 2.0,
        };
        canvas.paint(area.around(1.0), |px, py| {
            (ink.colour, cover(to_rectangle(px, py, area, 0.0)))
        });
    }
}

/// Draws what is left of a character nobody can read.
fn smear(canvas: &mut Canvas, [x, y]: [f32; 2], ink: Ink) {
    let wide = ink.letter / CAPITAL * ADVANCE;
    let area = Area {
        left: x + 0.12 * wide,
        top: y - ink.letter,
        right: x + 0.88 * wide,
        bottom: y,
    };
    canvas.paint(area.around(1.0), |px, py| {
        let rest = speckle(11, (px / 2.0) as u64, (py / 2.0) as u64) * 0.12 + 0.13;
        (
            ink.colour,
            rest * cover(to_rectangle(px, py, area, 0.2 * wide)),
        )
    });
}

/// Draws lines centred on (`x`, `y`), pixels.
pub(crate) fn write_centred(canvas: &mut Canvas, lines: &[String], x: f32, y: f32, ink: Ink) {
    let step = ink.letter * LEADING;
    let first = y + ink.letter / 2.0 - step * (lines.len().saturating_sub(1)) as f32 / 2.0;
    for (i, line) in lines.iter().enumerate() {
        write(
            canvas,
            line,
            x - ink.width(line) / 2.0,
            first + step * i as f32,
            ink,
        );
    }
}

/// Returns how much ink is left at a pixel: wear comes in patches three pixels wide.
fn left_over(worn: f32, x: usize, y: usize) -> f32 {
    if worn <= 0.0 {
        return 1.0;
    }
    let patch = speckle(7, (x / 3) as u64, (y / 3) as u64) * 0.5 + 0.5;
    if patch < worn {
        0.12
    } else {
        1.0 - 0.35 * worn
    }
}
