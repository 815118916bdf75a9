//! One line of text as glyphs: typeface, order, joined forms, places.
//!
//! In: a text and typefaces in the order of preference. Out: glyphs from left to right, in em.
//!
//! Order by Unicode Standard Annex #9, in a line that runs to the right; shapes by the typeface's own tables
//! (OpenType). Kerning and ligatures of Latin, Greek and Cyrillic stay off: a reader's substitute face has others, and
//! widths must hold for it too.

use crate::Typeface;
use crate::script::is_seen;
use rustybuzz::ttf_parser::Tag;
use rustybuzz::{Direction, Face, Feature, UnicodeBuffer};
use std::ops::Range;
use unicode_bidi::{BidiInfo, Level};
use unicode_script::{Script, UnicodeScript as _};

/// A glyph on its line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Glyph {
    /// Which of the typefaces it is from.
    pub typeface: usize,
    /// Its number in the typeface; 0 is the box for a character that it lacks.
    pub id: u16,
    /// Distance from the start of the line, em.
    pub x: f64,
    /// Height above the base line, em.
    pub y: f64,
}

/// A line of glyphs.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Line {
    /// From left to right.
    pub glyphs: Vec<Glyph>,
    /// Width, em.
    pub width: f64,
}

/// A part of the text in one script and one typeface.
struct Part {
    range: Range<usize>,
    typeface: usize,
    script: Script,
}

/// Shapes one line of text. Characters that no typeface has are boxes of the first.
pub fn shape(text: &str, typefaces: &[&Typeface]) -> Line {
    let faces: Vec<Option<Face<'_>>> = typefaces.iter().map(|t| t.face()).collect();
    let order = BidiInfo::new(text, Some(Level::ltr()));
    let mut line = Line::default();
    for paragraph in &order.paragraphs {
        let (levels, runs) = order.visual_runs(paragraph, paragraph.range.clone());
        for run in runs {
            let to_the_left = levels[run.start].is_rtl();
            let mut parts = parts(text, run, &faces);
            if to_the_left {
                parts.reverse();
            }
            for part in parts {
                if let Some(Some(face)) = faces.get(part.typeface) {
                    set(
                        &mut line,
                        &text[part.range.clone()],
                        face,
                        &part,
                        to_the_left,
                    );
                }
            }
        }
    }
    line
}

/// Cuts a run where typeface or script change; spaces, points and marks stay with what is before them.
fn parts(text: &str, run: Range<usize>, faces: &[Option<Face<'_>>]) -> Vec<Part> {
    let has = |at: usize, c: char| {
        let face = faces.get(at).and_then(Option::as_ref);
        face.is_some_and(|f| f.glyph_index(c).is_some_and(|id| id.0 != 0))
    };
    let mut parts: Vec<Part> = Vec::new();
    for (at, c) in text[run.clone()].char_indices() {
        let at = run.start + at;
        let own = c.script();
        let joins = matches!(own, Script::Common | Script::Inherited);
        let stays =
            |part: &Part| !is_seen(c) || (own == Script::Inherited && has(part.typeface, c));
        let typeface = match parts.last() {
            Some(part) if stays(part) => part.typeface,
            _ => (0..faces.len()).find(|i| has(*i, c)).unwrap_or(0),
        };
        match parts.last_mut() {
            Some(part)
                if part.typeface == typeface
                    && (joins || part.script == own || part.script == Script::Common) =>
            {
                part.range.end = at + c.len_utf8();
                if part.script == Script::Common {
                    part.script = own;
                }
            }
            _ => parts.push(Part {
                range: at..at + c.len_utf8(),
                typeface,
                script: if own == Script::Inherited {
                    Script::Common
                } else {
                    own
                },
            }),
        }
    }
    parts
}

/// Appends the glyphs of one part.
fn set(line: &mut Line, text: &str, face: &Face<'_>, part: &Part, to_the_left: bool) {
    let mut buffer = UnicodeBuffer::new();
    buffer.push_str(text);
    buffer.set_direction(if to_the_left {
        Direction::RightToLeft
    } else {
        Direction::LeftToRight
    });
    if let Ok(code) = <[u8; 4]>::try_from(part.script.short_name().as_bytes())
        && let Some(script) = rustybuzz::Script::from_iso15924_tag(Tag::from_bytes(&code))
    {
        buffer.set_script(script);
    }
    let plain = matches!(
        part.script,
        Script::Latin | Script::Greek | Script::Cyrillic | Script::Common
    );
    let off = [b"kern", b"liga", b"clig", b"calt"].map(|t| Feature::new(Tag::from_bytes(t), 0, ..));
    let shaped = rustybuzz::shape(face, if plain { &off } else { &[] }, buffer);
    let em = f64::from(face.units_per_em().max(1));
    for (info, place) in shaped.glyph_infos().iter().zip(shaped.glyph_positions()) {
        line.glyphs.push(Glyph {
            typeface: part.typeface,
            id: u16::try_from(info.glyph_id).unwrap_or(0),
            x: line.width + f64::from(place.x_offset) / em,
            y: f64::from(place.y_offset) / em,
        });
        line.width += f64::from(place.x_advance) / em;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::packed::packed;

    fn ids(text: &str) -> Vec<u16> {
        let packed = packed();
        let line = shape(text, &[&packed.caption, &packed.number]);
        line.glyphs.iter().map(|g| g.id).collect()
    }

    #[test]
    fn arabic_letters_join_and_run_to_the_left() {
        // Three times BEH: initial, medial and final forms differ from the letter alone (Unicode Standard, 9.2).
        let (alone, joined) = (ids("ب"), ids("ببب"));
        assert_eq!(joined.len(), 3);
        assert!(
            joined.iter().all(|id| *id != alone[0] && *id != 0),
            "{joined:?}"
        );
        assert_ne!(joined[0], joined[2]);
        // The first letter stands to the right: ALEF, which does not join to the left, then BEH.
        assert_eq!(ids("اب").last(), ids("ا").first());
    }

    #[test]
    fn numbers_in_text_that_runs_to_the_left_keep_their_digits_in_order() {
        let (line, digits) = (ids("اب 12"), ids("12"));
        assert!(line.windows(2).any(|w| w == digits), "{line:?} {digits:?}");
    }

    #[test]
    fn latin_text_is_as_wide_as_its_letters() {
        let packed = packed();
        let wide = |text: &str| shape(text, &[&packed.caption]).width;
        assert!(
            (wide("AVoffice")
                - "AVoffice"
                    .chars()
                    .map(|c| wide(&c.to_string()))
                    .sum::<f64>())
            .abs()
                < 1e-9
        );
    }

    #[test]
    fn a_character_that_nobody_has_is_a_box() {
        assert_eq!(ids("光"), [0]);
        assert_eq!(shape("", &[]), Line::default());
    }
}
