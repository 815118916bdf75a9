//! Words that stand over the picture of a film: 1920 × 1080 pixels, all else transparent.
//!
//! In: three lines. Out: the same panel as SVG and as PNG with alpha, inside the graphics safe area and above the band
//! of captions. Not here: which parts, which words.
//! Sources: graphics safe area of 5 % at each edge, EBU R 95, as quoted; that captions take the lower fifth, common
//! practice; contrast of at least 4.5 : 1, WCAG 2.2, 1.4.3.

use crate::PdfError;
use crate::world::faces;
use report::words::clean;
use resvg::{tiny_skia, usvg};
use std::sync::Arc;

/// Pixels across.
pub const OVERLAY_WIDTH: u32 = 1920;
/// Pixels down.
pub const OVERLAY_HEIGHT: u32 = 1080;
/// The graphics safe area: left, top, right, bottom.
const SAFE: [f64; 4] = [96.0, 54.0, 1824.0, 1026.0];
/// The band of captions begins here.
const CAPTIONS: f64 = 864.0;
/// Space around the words inside the panel.
const PADDING: f64 = 28.0;
/// The rule at the left of the panel.
const RULE: f64 = 8.0;
const INK: &str = "#1d2830";
const PAPER: &str = "#ffffff";
const OPACITY: f64 = 0.88;
/// Sizes and weights of the three lines.
const LINES: [(f64, u32); 3] = [(64.0, 600), (38.0, 400), (30.0, 400)];
/// Height of a line over the size of its letters.
const LEADING: f64 = 1.3;

/// An overlay in both forms.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OverlayPicture {
    /// With the words as text, for editors that read SVG.
    pub svg: String,
    /// The same as pixels with alpha.
    pub png: Vec<u8>,
}

/// Draws overlays, each of three lines.
///
/// # Errors
/// [`PdfError::Layout`] when a drawing is refused.
pub fn overlay_pictures(all: &[[String; 3]]) -> Result<Vec<OverlayPicture>, PdfError> {
    let mut options = usvg::Options {
        font_family: "Inter".into(),
        ..usvg::Options::default()
    };
    let fonts = options.fontdb_mut();
    for face in faces() {
        fonts.load_font_source(usvg::fontdb::Source::Binary(Arc::new(face)));
    }
    let pictures = all.iter().map(|words| {
        let panel = Panel::of(words, &options);
        Ok(OverlayPicture {
            png: png(&panel, &options)?,
            svg: panel.svg([0.0, 0.0], [OVERLAY_WIDTH, OVERLAY_HEIGHT]),
        })
    });
    pictures.collect()
}

/// Where the panel lies, and what it says.
struct Panel {
    left: f64,
    top: f64,
    width: f64,
    height: f64,
    /// Lines with the sizes of their letters.
    lines: Vec<(String, f64, u32)>,
}

impl Panel {
    fn of(words: &[String; 3], options: &usvg::Options<'_>) -> Self {
        let room = SAFE[2] - SAFE[0] - 2.0 * PADDING - RULE;
        let mut widest = 0.0_f64;
        let lines: Vec<(String, f64, u32)> = words
            .iter()
            .zip(LINES)
            .filter(|(words, _)| !words.trim().is_empty())
            .map(|(words, (size, weight))| {
                let words = clean(words.trim());
                let long = width(&words, size, weight, options);
                // Long lines get smaller letters.
                let size = if long > room {
                    (size * room / long).floor()
                } else {
                    size
                };
                widest = widest.max(long.min(room));
                (words, size, weight)
            })
            .collect();
        let height = lines.iter().map(|l| l.1 * LEADING).sum::<f64>() + 2.0 * PADDING;
        Self {
            left: SAFE[0],
            top: CAPTIONS - 16.0 - height.ceil(),
            width: (widest + 2.0 * PADDING + RULE).ceil(),
            height: height.ceil(),
            lines,
        }
    }

    /// The panel moved by so much on a page of this size.
    fn svg(&self, [dx, dy]: [f64; 2], [page_width, page_height]: [u32; 2]) -> String {
        let (left, top) = (self.left - dx, self.top - dy);
        let mut out = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{page_width}\" height=\"{page_height}\" \
             viewBox=\"0 0 {page_width} {page_height}\">\
             <rect x=\"{left}\" y=\"{top}\" width=\"{}\" height=\"{}\" fill=\"{INK}\" fill-opacity=\"{OPACITY}\"/>\
             <rect x=\"{left}\" y=\"{top}\" width=\"{RULE}\" height=\"{}\" fill=\"{PAPER}\"/>",
            self.width, self.height, self.height
        );
        let mut y = top + PADDING;
        for (words, size, weight) in &self.lines {
            let words = words.replace('&', "&amp;").replace('<', "&lt;");
            out += &format!(
                "<text x=\"{}\" y=\"{:.1}\" font-family=\"Inter, sans-serif\" font-size=\"{size}\" \
                 font-weight=\"{weight}\" fill=\"{PAPER}\">{words}</text>",
                left + RULE + PADDING,
                y + size,
            );
            y += size * LEADING;
        }
        out + "</svg>\n"
    }
}

/// How wide words are drawn in the face of the panel, pixels.
fn width(words: &str, size: f64, weight: u32, options: &usvg::Options<'_>) -> f64 {
    let words = words.replace('&', "&amp;").replace('<', "&lt;");
    let svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"10\" height=\"10\"><text font-family=\"Inter\" \
         font-size=\"{size}\" font-weight=\"{weight}\">{words}</text></svg>"
    );
    let tree = usvg::Tree::from_str(&svg, options);
    tree.map_or(f64::INFINITY, |tree| {
        f64::from(tree.root().abs_bounding_box().width())
    })
}

/// Pixels with alpha. Only the panel is drawn; what lies around it is nothing.
fn png(panel: &Panel, options: &usvg::Options<'_>) -> Result<Vec<u8>, PdfError> {
    let refused = |e: &dyn std::fmt::Display| PdfError::Layout(e.to_string());
    let (width, height) = (panel.width as u32, panel.height as u32);
    let svg = panel.svg([panel.left, panel.top], [width, height]);
    let tree = usvg::Tree::from_str(&svg, options).map_err(|e| refused(&e))?;
    let mut drawn = tiny_skia::Pixmap::new(width, height)
        .ok_or_else(|| PdfError::Layout("no room for the overlay".into()))?;
    resvg::render(&tree, tiny_skia::Transform::identity(), &mut drawn.as_mut());
    let row = OVERLAY_WIDTH as usize * 4;
    let mut pixels = vec![0_u8; row * OVERLAY_HEIGHT as usize];
    let (left, top) = (panel.left as usize * 4, panel.top as usize);
    for (y, line) in drawn.pixels().chunks_exact(width as usize).enumerate() {
        let start = (top + y) * row + left;
        for (pixel, to) in line.iter().zip(pixels[start..].chunks_exact_mut(4)) {
            let plain = pixel.demultiply();
            to.copy_from_slice(&[plain.red(), plain.green(), plain.blue(), plain.alpha()]);
        }
    }
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, OVERLAY_WIDTH, OVERLAY_HEIGHT);
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::Fast);
    let mut writer = encoder.write_header().map_err(|e| refused(&e))?;
    writer.write_image_data(&pixels).map_err(|e| refused(&e))?;
    writer.finish().map_err(|e| refused(&e))?;
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;

    fn decoded(bytes: &[u8]) -> Vec<u8> {
        let mut reader = png::Decoder::new(std::io::Cursor::new(bytes))
            .read_info()
            .unwrap();
        let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
        let info = reader.next_frame(&mut pixels).unwrap();
        assert_eq!((info.width, info.height), (OVERLAY_WIDTH, OVERLAY_HEIGHT));
        assert_eq!(info.color_type, png::ColorType::Rgba);
        pixels
    }

    /// EBU R 95: pixels 96 to 1823, rows 54 to 1025; captions in the lower fifth.
    #[test]
    fn overlays_stay_inside_the_safe_area_and_clear_of_captions() {
        let words =
            |name: &str, line: &str| [name.to_string(), line.to_string(), "read".to_string()];
        let long = "a very long line ".repeat(20);
        let made = overlay_pictures(&[
            words("ZUC30", "Charger, Zulmarik & <sons>"),
            words(&long, ""),
        ])
        .unwrap();
        for picture in &made {
            let pixels = decoded(&picture.png);
            let mut painted = 0;
            for (at, pixel) in pixels.chunks_exact(4).enumerate() {
                let (x, y) = (at % 1920, at / 1920);
                if pixel[3] > 0 {
                    painted += 1;
                    assert!(
                        (96..=1823).contains(&x) && (54..864).contains(&y),
                        "{x} {y}"
                    );
                }
            }
            assert!(painted > 20_000, "{painted}");
            assert!(usvg::Tree::from_str(&picture.svg, &usvg::Options::default()).is_ok());
        }
        assert!(made[0].svg.contains("Zulmarik &amp; &lt;sons>"));
        // White letters are there, and between solid and nothing there is nothing.
        assert!(
            decoded(&made[0].png)
                .chunks_exact(4)
                .any(|p| p == [255, 255, 255, 255])
        );
    }

    /// Contrast of white on the panel where it lies over white, by the formula of WCAG 2.2.
    #[test]
    fn the_words_stand_out_whatever_lies_behind() {
        let channel = |c: f64| {
            let c = c / 255.0;
            if c <= 0.040_45 {
                c / 12.92
            } else {
                ((c + 0.055) / 1.055).powf(2.4)
            }
        };
        let over = |c: f64| channel(OPACITY * c + (1.0 - OPACITY) * 255.0);
        let luminance = 0.2126 * over(29.0) + 0.7152 * over(40.0) + 0.0722 * over(48.0);
        assert!(1.05 / (luminance + 0.05) > 4.5);
    }
}
