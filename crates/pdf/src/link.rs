//! The picture that stands for a link to the report: 1200 × 630 pixels.
//!
//! In: a [`Document`]. Out: pixels. Not here: the file format.
//! Source: the Open Graph protocol asks for 1.91 : 1.

use crate::PdfError;
use crate::world::faces;
use report::{Document, Tally, glyph, words::clean};
use resvg::{tiny_skia, usvg};
use std::sync::Arc;

const WIDTH: u32 = 1200;
const HEIGHT: u32 = 630;
/// Width of the photograph.
const PHOTO: f64 = 560.0;
/// Space around the words.
const MARGIN: f64 = 48.0;
const PAPER: &str = "#fcfbf7";
const INK: &str = "#1d2830";
const QUIET: &str = "#51606b";
const LINE: &str = "#707c85";
const ACCENT: &str = "#a52a14";

/// Pixels, red, green and blue, row by row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LinkPicture {
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
    /// Three bytes a pixel.
    pub rgb: Vec<u8>,
}

/// Draws the picture.
///
/// # Errors
/// [`PdfError::Layout`] when the drawing is refused.
pub fn link_picture(document: &Document) -> Result<LinkPicture, PdfError> {
    let mut options = usvg::Options {
        font_family: "Libertinus Serif".into(),
        ..usvg::Options::default()
    };
    let fonts = options.fontdb_mut();
    for face in faces() {
        fonts.load_font_source(usvg::fontdb::Source::Binary(Arc::new(face)));
    }
    let svg = drawing(document, &options);
    let tree = usvg::Tree::from_str(&svg, &options).map_err(|e| PdfError::Layout(e.to_string()))?;
    let mut pixels = tiny_skia::Pixmap::new(WIDTH, HEIGHT)
        .ok_or_else(|| PdfError::Layout("no room for the picture".into()))?;
    resvg::render(
        &tree,
        tiny_skia::Transform::identity(),
        &mut pixels.as_mut(),
    );
    let rgb = pixels
        .data()
        .chunks_exact(4)
        .flat_map(|p| [p[0], p[1], p[2]]);
    Ok(LinkPicture {
        width: WIDTH,
        height: HEIGHT,
        rgb: rgb.collect(),
    })
}

fn drawing(document: &Document, options: &usvg::Options<'_>) -> String {
    let head = &document.head;
    let hero = head.hero.as_ref();
    let left = hero.map_or(MARGIN, |_| PHOTO + MARGIN);
    let room = f64::from(WIDTH) - left - MARGIN;
    let measure = |text: &str, size: f64, weight: u32| width(text, size, weight, options);
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{WIDTH}\" height=\"{HEIGHT}\">\
         <rect width=\"{WIDTH}\" height=\"{HEIGHT}\" fill=\"{PAPER}\"/>"
    );
    if let Some(hero) = hero {
        let address = format!(
            "data:{};base64,{}",
            hero.picture.media_type,
            report::base64(&hero.picture.bytes)
        );
        out += &format!(
            "<image width=\"{PHOTO}\" height=\"{HEIGHT}\" preserveAspectRatio=\"xMidYMid slice\" href=\"{address}\"/>\
             <path d=\"M{PHOTO} 0V{HEIGHT}\" stroke=\"{LINE}\" stroke-width=\"2\"/>"
        );
    }
    let title = clean(&document.title);
    let size = [84.0, 76.0, 68.0, 60.0]
        .into_iter()
        .find(|s| measure(&title, *s, 600) <= room);
    let title_size = size.unwrap_or(52.0);
    let lines = wrapped(&title, room, 2, |t| measure(t, title_size, 600));
    let mut y = MARGIN + title_size;
    for line in &lines {
        text(&mut out, [left, y], title_size, 600, INK, line);
        y += 1.1 * title_size;
    }
    y += 24.0;
    for line in wrapped(&clean(&head.judgement), room, LINES, |t| {
        measure(t, JUDGEMENT, 400)
    }) {
        text(&mut out, [left, y], JUDGEMENT, 400, INK, &line);
        y += 1.25 * JUDGEMENT;
    }
    tally(&mut out, left, &head.tally);
    out + "</svg>"
}

/// Size of the judgement, and its lines.
const JUDGEMENT: f64 = 38.0;
const LINES: usize = 6;

fn tally(out: &mut String, left: f64, tally: &[Tally]) {
    let mut x = left;
    let y = f64::from(HEIGHT) - MARGIN;
    for part in tally {
        let is_accent = part.verdict == methods::Verdict::Fails;
        let colour = if is_accent { ACCENT } else { INK };
        let mark = glyph(part.verdict, colour);
        out.push_str(&format!(
            "<g transform=\"translate({x} {}) scale(1.7)\">{mark}</g>",
            y - 22.0
        ));
        text(
            out,
            [x + 62.0, y],
            30.0,
            600,
            QUIET,
            &part.count.to_string(),
        );
        x += 145.0;
    }
}

fn text(out: &mut String, [x, y]: [f64; 2], size: f64, weight: u32, colour: &str, text: &str) {
    let text = text.replace('&', "&amp;").replace('<', "&lt;");
    out.push_str(&format!(
        "<text x=\"{x}\" y=\"{y}\" font-family=\"Libertinus Serif, Inter\" font-size=\"{size}\" \
         font-weight=\"{weight}\" fill=\"{colour}\">{text}</text>"
    ));
}

/// Returns how wide a text is drawn, pixels.
fn width(words: &str, size: f64, weight: u32, options: &usvg::Options<'_>) -> f64 {
    let mut svg =
        String::from("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"10\" height=\"10\">");
    text(&mut svg, [0.0, 0.0], size, weight, INK, words);
    svg.push_str("</svg>");
    let tree = usvg::Tree::from_str(&svg, options);
    tree.map_or(f64::INFINITY, |tree| {
        f64::from(tree.root().abs_bounding_box().width())
    })
}

/// Breaks a text into at most so many lines; the last one ends with an ellipsis where there is more.
fn wrapped(text: &str, room: f64, most: usize, measure: impl Fn(&str) -> f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let longer = lines.last().map(|line| format!("{line} {word}"));
        match longer {
            Some(longer) if measure(&longer) <= room => {
                *lines.last_mut().expect("there is one") = longer
            }
            _ if lines.len() == most => {
                let last = lines.last_mut().expect("most is not zero");
                last.push('…');
                break;
            }
            _ => lines.push(word.to_string()),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::wrapped;

    #[test]
    fn what_does_not_fit_ends_with_an_ellipsis() {
        let measure = |text: &str| text.chars().count() as f64;
        assert_eq!(wrapped("aa bb cc", 5.0, 3, measure), ["aa bb", "cc"]);
        assert_eq!(
            wrapped("aa bb cc dd ee", 5.0, 2, measure),
            ["aa bb", "cc dd…"]
        );
    }
}
