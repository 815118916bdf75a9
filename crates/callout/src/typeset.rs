//! Letters of numbers and legend: measured for the layout, filled for the picture.
//!
//! Numbers stand in a fixed-pitch face (every digit equally wide), captions in a book face; both
//! are packed in `typst-assets`, and the drawing asks for the same families by name.

use ab_glyph::{Font, FontRef, GlyphId, PxScale, ScaleFont, point};
use imaging::canvas::Canvas;
use std::sync::OnceLock;

/// Height of a digit in DejaVu Sans Mono, in em (1493 of 2048 units).
pub(super) const DIGIT: f64 = 1493.0 / 2048.0;
/// Width of a digit in DejaVu Sans Mono, in em (1233 of 2048 units).
pub(super) const PITCH: f64 = 1233.0 / 2048.0;

/// Height of a digit in Libertinus Serif, in em (645 of 1000 units).
pub(super) const CAPTION_DIGIT: f64 = 0.645;

/// A typeface.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Face {
    /// DejaVu Sans Mono (Bitstream Vera licence).
    Number,
    /// Libertinus Serif (SIL Open Font Licence).
    Caption,
}

/// Returns the two faces, [`Face::Number`] first; empty if the packed fonts cannot be read.
fn fonts() -> &'static [FontRef<'static>] {
    static FONTS: OnceLock<Vec<FontRef<'static>>> = OnceLock::new();
    FONTS.get_or_init(|| {
        // The regular cut of the book face is packed first, that of the fixed-pitch face last.
        let packed = [typst_assets::fonts().last(), typst_assets::fonts().next()];
        packed
            .into_iter()
            .flatten()
            .filter_map(|bytes| FontRef::try_from_slice(bytes).ok())
            .collect()
    })
}

/// Returns the font that has a character: that of the face, else the other one.
fn font_with(face: Face, character: char) -> Option<(&'static FontRef<'static>, GlyphId)> {
    let fonts = fonts();
    let order = match face {
        Face::Number => [0, 1],
        Face::Caption => [1, 0],
    };
    let mut found = order
        .into_iter()
        .filter_map(|i| fonts.get(i))
        .map(|f| (f, f.glyph_id(character)));
    let first = found.next()?;
    let has = |(_, id): &(&FontRef<'_>, GlyphId)| *id != GlyphId(0);
    Some(if has(&first) {
        first
    } else {
        found.find(has).unwrap_or(first)
    })
}

/// Returns the width of one character, em.
pub(super) fn advance(face: Face, character: char) -> f64 {
    font_with(face, character).map_or(PITCH, |(font, id)| {
        f64::from(font.h_advance_unscaled(id) / font.units_per_em().unwrap_or(1000.0))
    })
}

/// Returns the width of a text, em; kerning is left out.
pub(super) fn width(face: Face, text: &str) -> f64 {
    text.chars().map(|c| advance(face, c)).sum()
}

/// Draws one line with its base line starting at (`x`, `y`); `em` in pixels.
pub(super) fn write(
    canvas: &mut Canvas,
    face: Face,
    text: &str,
    [x, y]: [f64; 2],
    em: f64,
    colour: [f32; 3],
) {
    let mut pen = x;
    for character in text.chars() {
        let at = pen;
        pen += advance(face, character) * em;
        let Some((font, id)) = font_with(face, character) else {
            continue;
        };
        let per_em = font.units_per_em().unwrap_or(1000.0);
        let scale = PxScale::from(em as f32 * font.height_unscaled() / per_em);
        if !(scale.y.is_finite() && scale.y > 0.0) {
            continue;
        }
        let mut glyph = font.as_scaled(scale).scaled_glyph(character);
        glyph.id = id;
        glyph.position = point(at as f32, y as f32);
        let Some(outline) = font.outline_glyph(glyph) else {
            continue;
        };
        let bounds = outline.px_bounds();
        outline.draw(|dx, dy, amount| {
            let (px, py) = (bounds.min.x + dx as f32, bounds.min.y + dy as f32);
            if px >= 0.0 && py >= 0.0 {
                canvas.blend(px as usize, py as usize, colour, amount);
            }
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn says(bytes: &[u8], name: &str) -> bool {
        bytes.windows(name.len()).any(|w| w == name.as_bytes())
    }

    #[test]
    fn the_packed_faces_are_the_ones_named_in_drawings() {
        let first = typst_assets::fonts().next().unwrap();
        assert!(says(first, "LibertinusSerif-Regular"));
        let last = typst_assets::fonts().last().unwrap();
        let wide: Vec<u8> = "DejaVuSansMono"
            .encode_utf16()
            .flat_map(u16::to_be_bytes)
            .collect();
        assert!(says(last, "DejaVuSansMono") || last.windows(wide.len()).any(|w| w == wide));
        assert_eq!(fonts().len(), 2);
    }

    #[test]
    fn digits_are_as_wide_as_stated() {
        for digit in '0'..='9' {
            assert!((advance(Face::Number, digit) - PITCH).abs() < 1e-6);
        }
        assert!((width(Face::Number, "10 mm") - 5.0 * PITCH).abs() < 1e-6);
    }

    #[test]
    fn characters_that_the_book_face_lacks_come_from_the_other() {
        let (font, id) = font_with(Face::Caption, '⚠').unwrap();
        assert!(std::ptr::eq(font, &fonts()[0]) && id != GlyphId(0));
    }
}
