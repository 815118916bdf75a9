//! Letters: outlines of a fixed-pitch font, filled with coverage.
//!
//! The font is DejaVu Sans Mono as packed in `typst-assets` (Bitstream Vera licence).

use crate::canvas::{Canvas, speckle};
use ab_glyph::{Font, FontRef, GlyphId, PxScale, ScaleFont, point};
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
    /// Share worn off, 0 to 1.
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
        let mut glyph = scaled.scaled_glyph(character);
        glyph.position = point(pen, y);
        pen += em * ADVANCE;
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

/// Returns how much ink is left at a pixel: wear comes in patches four pixels wide.
fn left_over(worn: f32, x: usize, y: usize) -> f32 {
    if worn <= 0.0 {
        return 1.0;
    }
    let patch = speckle(7, (x / 4) as u64, (y / 4) as u64) * 0.5 + 0.5;
    if patch < worn {
        0.12
    } else {
        1.0 - 0.35 * worn
    }
}
