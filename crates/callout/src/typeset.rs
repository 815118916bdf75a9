//! Letters of numbers and legend: measured for the layout, filled for the picture.
//!
//! Numbers stand in a fixed-pitch face (every digit equally wide), captions in a book face; both are packed
//! (`lettering`), and the drawing asks for the same families by name. Characters that neither has come from the
//! typefaces that were handed in.

use ab_glyph::{Font, FontRef, GlyphId, PxScale, point};
use imaging::canvas::Canvas;
use lettering::{Line, Typeface, Typefaces, packed, shape};

/// Height of a digit in DejaVu Sans Mono, in em (1493 of 2048 units).
pub(super) const DIGIT: f64 = 1493.0 / 2048.0;
/// Width of a digit in DejaVu Sans Mono, in em (1233 of 2048 units).
pub(super) const PITCH: f64 = 1233.0 / 2048.0;

/// Height of a digit in Libertinus Serif, in em (645 of 1000 units).
pub(super) const CAPTION_DIGIT: f64 = 0.645;

/// What a text is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Face {
    /// In DejaVu Sans Mono first.
    Number,
    /// In Libertinus Serif first.
    Caption,
}

/// Returns the typefaces of a text, in the order in which they are asked for a character.
fn order(face: Face, typefaces: &Typefaces) -> Vec<&Typeface> {
    let packed = packed();
    let first = match face {
        Face::Number => [&packed.number, &packed.caption],
        Face::Caption => [&packed.caption, &packed.number],
    };
    first.into_iter().chain(&typefaces.added).collect()
}

/// Shapes a text as it stands in a line.
fn line(face: Face, text: &str, typefaces: &Typefaces) -> Line {
    shape(&lettering::marked(text), &order(face, typefaces))
}

/// Returns the width of a text, em; kerning of Latin text is left out.
pub(super) fn width(face: Face, text: &str, typefaces: &Typefaces) -> f64 {
    line(face, text, typefaces).width
}

/// Draws one line with its base line starting at (`x`, `y`); `em` in pixels.
pub(super) fn write(
    canvas: &mut Canvas,
    face: Face,
    text: &str,
    typefaces: &Typefaces,
    [x, y]: [f64; 2],
    em: f64,
    colour: [f32; 3],
) {
    let order = order(face, typefaces);
    for glyph in line(face, text, typefaces).glyphs {
        let typeface = order[glyph.typeface];
        let Ok(font) = FontRef::try_from_slice_and_index(&typeface.bytes, typeface.index) else {
            continue;
        };
        let per_em = font.units_per_em().unwrap_or(1000.0);
        let scale = PxScale::from(em as f32 * font.height_unscaled() / per_em);
        if !(scale.y.is_finite() && scale.y > 0.0) {
            continue;
        }
        let at = point((x + glyph.x * em) as f32, (y - glyph.y * em) as f32);
        let placed = GlyphId(glyph.id).with_scale_and_position(scale, at);
        let Some(outline) = font.outline_glyph(placed) else {
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

    #[test]
    fn digits_are_as_wide_as_stated() {
        let packed = Typefaces::default();
        for digit in '0'..='9' {
            assert!((width(Face::Number, &digit.to_string(), &packed) - PITCH).abs() < 1e-6);
        }
        assert!((width(Face::Number, "10 mm", &packed) - 5.0 * PITCH).abs() < 1e-6);
    }

    #[test]
    fn characters_that_the_book_face_lacks_come_from_the_other() {
        let found = line(Face::Caption, "⚠", &Typefaces::default());
        assert_eq!(found.glyphs[0].typeface, 1);
        assert_ne!(found.glyphs[0].id, 0);
    }
}
