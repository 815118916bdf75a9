//! The picture as pixels: the photograph scaled, everything else drawn over it and antialiased.
//!
//! In: a plan and the photograph's pixels, with their colour profile. Out: a PNG file that states its
//! resolution (`pHYs`), so that it is printed as wide as its column, and its colours: the photograph's profile
//! (`iCCP`), sRGB where it has none. What is drawn over it has its numbers in the same colours.
//!
//! Unless told otherwise the photograph keeps its own pixels as long as that gives 300 to 600
//! pixels per inch on the page; memory is 12 bytes for each pixel of the result.

use super::colour::{Palette, Surroundings};
use super::plan::Plan;
use super::plane::Point;
use super::typeset::{self, CAPTION_DIGIT, DIGIT, Face};
use image::imageops::{self, FilterType};
use image::{ImageBuffer, Rgb};
use imaging::Picture;
use imaging::canvas::{Area, Canvas, cover};
use imaging::pixels::shrink;
use lettering::Typefaces;

/// Pixels to the millimetre at 300 and at 600 pixels to the inch.
const USUAL: [f64; 2] = [300.0 / 25.4, 600.0 / 25.4];
/// Most pixels of a result.
const MOST_PIXELS: f64 = 40e6;
/// Longest side of a result, pixels.
const LONGEST: f64 = 20_000.0;

/// How the picture is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PngStyle<'a> {
    /// Light or dark page.
    pub surroundings: Surroundings,
    /// Pixels to the millimetre on the page; chosen if not given.
    pub pixels_per_mm: Option<f64>,
    /// Colour profile (ICC) of the photograph's values; sRGB if not given.
    pub profile: Option<&'a [u8]>,
}

/// Why a picture could not be drawn.
#[derive(Debug, thiserror::Error)]
pub enum PngError {
    /// Pixels of another photograph, or too few bytes.
    #[error(
        "the plan is for a photograph of {planned_width} by {planned_height} pixels, not for \
         {width} by {height} pixels in {bytes} bytes"
    )]
    Pixels {
        /// Width in the plan.
        planned_width: u32,
        /// Height in the plan.
        planned_height: u32,
        /// Width given.
        width: u32,
        /// Height given.
        height: u32,
        /// Bytes given.
        bytes: usize,
    },
    /// A result without pixels or with too many.
    #[error(
        "a picture of {width_mm:.0} by {height_mm:.0} mm at {pixels_per_mm} pixels per mm cannot be drawn"
    )]
    Size {
        /// Width on the page.
        width_mm: f64,
        /// Height on the page.
        height_mm: f64,
        /// Resolution asked for.
        pixels_per_mm: f64,
    },
    /// The file could not be written.
    #[error("the picture could not be written as PNG")]
    Encode(#[from] ::png::EncodingError),
}

/// Draws the picture and writes it as a PNG file.
///
/// # Errors
/// [`PngError`] for pixels that do not belong to the plan and for sizes that cannot be drawn.
pub fn png(plan: &Plan, photograph: &Picture, style: &PngStyle<'_>) -> Result<Vec<u8>, PngError> {
    let (scale, picture) = draw(plan, photograph, style)?;
    let mut file = Vec::new();
    let per_metre = (scale * 1000.0).round() as u32;
    let mut info = ::png::Info::with_size(picture.width, picture.height);
    info.color_type = ::png::ColorType::Rgb;
    info.bit_depth = ::png::BitDepth::Eight;
    info.pixel_dims = Some(::png::PixelDimensions {
        xppu: per_metre,
        yppu: per_metre,
        unit: ::png::Unit::Meter,
    });
    info.icc_profile = style.profile.map(Into::into);
    let mut encoder = ::png::Encoder::with_info(&mut file, info)?;
    if style.profile.is_none() {
        encoder.set_source_srgb(::png::SrgbRenderingIntent::Perceptual);
    }
    // Most of it is a photograph, of which stronger compression saves little and takes long.
    encoder.set_compression(::png::Compression::Fast);
    encoder.set_filter(::png::Filter::Paeth);
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&picture.rgb)?;
    writer.finish()?;
    Ok(file)
}

/// Draws the picture; returns pixels per mm with it.
fn draw(
    plan: &Plan,
    photograph: &Picture,
    style: &PngStyle<'_>,
) -> Result<(f64, Picture), PngError> {
    let bytes = u64::from(photograph.width) * u64::from(photograph.height) * 3;
    let belongs = [photograph.width, photograph.height] == plan.pixels
        && u64::try_from(photograph.rgb.len()) == Ok(bytes);
    if !belongs {
        return Err(PngError::Pixels {
            planned_width: plan.pixels[0],
            planned_height: plan.pixels[1],
            width: photograph.width,
            height: photograph.height,
            bytes: photograph.rgb.len(),
        });
    }
    let scale = style
        .pixels_per_mm
        .unwrap_or((1.0 / plan.mm_per_pixel).clamp(USUAL[0], USUAL[1]));
    let [width, height] = plan.size.map(|v| (v * scale).round());
    let is_drawable = width >= 1.0
        && height >= 1.0
        && width.max(height) <= LONGEST
        && width * height <= MOST_PIXELS;
    if !is_drawable {
        return Err(PngError::Size {
            width_mm: plan.size[0],
            height_mm: plan.size[1],
            pixels_per_mm: scale,
        });
    }
    let palette = Palette::of(style.surroundings);
    let mut canvas = Canvas::new(width as f32, height as f32);
    let paper = colour(palette.paper);
    canvas.paint(canvas.area(), |_, _| (paper, 1.0));
    let at = lay_photograph(&mut canvas, plan, photograph, scale);
    let mut page = Page {
        canvas,
        scale,
        at,
        photo: [plan.photo.left, plan.photo.top],
        typefaces: &plan.typefaces,
    };
    draw_plan(&mut page, plan, &palette);
    Ok((scale, page.canvas.picture(|_, _, p| p)))
}

fn colour(rgb: [u8; 3]) -> [f32; 3] {
    rgb.map(f32::from)
}

/// Puts the scaled photograph on whole pixels; returns where its corner lies.
fn lay_photograph(
    canvas: &mut Canvas,
    plan: &Plan,
    photograph: &Picture,
    scale: f64,
) -> [usize; 2] {
    let side = |mm: f64| (mm * scale).round().max(1.0) as u32;
    let (w, h) = (side(plan.photo.width), side(plan.photo.height));
    let [x0, y0] = [plan.photo.left, plan.photo.top].map(|v| (v * scale).round() as usize);
    let size = (photograph.width, photograph.height);
    let view: Option<ImageBuffer<Rgb<u8>, &[u8]>> =
        ImageBuffer::from_raw(size.0, size.1, photograph.rgb.as_slice());
    let Some(view) = view else { return [x0, y0] };
    let scaled = if (w, h) == size {
        None
    } else if w <= size.0 && h <= size.1 {
        Some(shrink(photograph, w, h).rgb)
    } else {
        Some(imageops::resize(&view, w, h, FilterType::Triangle).into_raw())
    };
    let pixels: &[u8] = scaled.as_ref().unwrap_or(&photograph.rgb);
    for (i, rgb) in pixels.chunks_exact(3).enumerate() {
        let (x, y) = (i % w as usize, i / w as usize);
        canvas.blend(x0 + x, y0 + y, colour([rgb[0], rgb[1], rgb[2]]), 1.0);
    }
    [x0, y0]
}

/// A canvas on which places are given in mm; the photograph's corner lies on a whole pixel.
struct Page<'a> {
    typefaces: &'a Typefaces,
    canvas: Canvas,
    scale: f64,
    at: [usize; 2],
    photo: Point,
}

impl Page<'_> {
    fn pixel(&self, p: Point) -> [f64; 2] {
        [0, 1].map(|i| self.at[i] as f64 + (p[i] - self.photo[i]) * self.scale)
    }

    /// Draws a line through points, `width` mm wide.
    fn line(&mut self, points: &[Point], width: f64, colour: [f32; 3]) {
        let points: Vec<[f64; 2]> = points.iter().map(|p| self.pixel(*p)).collect();
        let half = width * self.scale / 2.0;
        let reach = half + 1.0;
        let ys = points.iter().map(|p| p[1]);
        let (top, bottom) = ys.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), y| {
            (a.min(y), b.max(y))
        });
        let first = (top - reach).floor().max(0.0) as usize;
        let last = (bottom + reach)
            .ceil()
            .clamp(0.0, self.canvas.height as f64) as usize;
        for row in first..last {
            let y = row as f64 + 0.5;
            let Some((from, to)) = span(&points, y, reach) else {
                continue;
            };
            let from = from.floor().max(0.0) as usize;
            let to = to.ceil().clamp(0.0, self.canvas.width as f64) as usize;
            for column in from..to {
                let p = [column as f64 + 0.5, y];
                let away = points
                    .windows(2)
                    .map(|s| super::plane::to_segment(p, [s[0], s[1]]))
                    .fold(f64::INFINITY, f64::min);
                self.canvas
                    .blend(column, row, colour, cover((away - half) as f32));
            }
        }
    }

    /// Fills a disc, radius in mm.
    fn disc(&mut self, middle: Point, radius: f64, colour: [f32; 3]) {
        let [x, y] = self.pixel(middle).map(|v| v as f32);
        let r = (radius * self.scale) as f32;
        let area = Area {
            left: x - r,
            top: y - r,
            right: x + r,
            bottom: y + r,
        };
        self.canvas.paint(area.around(1.0), |px, py| {
            let (dx, dy) = (px - x, py - y);
            (colour, cover((dx * dx + dy * dy).sqrt() - r))
        });
    }

    /// Writes a line of text with its base line starting at `at`, `em` in mm.
    fn write(&mut self, face: Face, text: &str, at: Point, em: f64, colour: [f32; 3]) {
        let at = self.pixel(at);
        let em = em * self.scale;
        let typefaces = self.typefaces;
        typeset::write(&mut self.canvas, face, text, typefaces, at, em, colour);
    }
}

/// Returns the columns that a line may touch in the row at `y`.
fn span(points: &[[f64; 2]], y: f64, reach: f64) -> Option<(f64, f64)> {
    let mut found: Option<(f64, f64)> = None;
    for s in points.windows(2) {
        let (a, b) = if s[0][1] <= s[1][1] {
            (s[0], s[1])
        } else {
            (s[1], s[0])
        };
        if y < a[1] - reach || y > b[1] + reach {
            continue;
        }
        let at = |y: f64| {
            let rise = b[1] - a[1];
            let t = if rise > 0.0 { (y - a[1]) / rise } else { 0.0 };
            a[0] + t.clamp(0.0, 1.0) * (b[0] - a[0])
        };
        let (p, q) = if b[1] - a[1] > 0.0 {
            (at(y - reach), at(y + reach))
        } else {
            (a[0], b[0])
        };
        let (from, to) = (p.min(q) - reach, p.max(q) + reach);
        found = Some(found.map_or((from, to), |(f, t)| (f.min(from), t.max(to))));
    }
    found
}

fn draw_plan(page: &mut Page<'_>, plan: &Plan, palette: &Palette) {
    let sizes = plan.sizes;
    let (ink, paper) = (colour(palette.ink), colour(palette.paper));
    let r = plan.photo;
    let corners = [
        [r.left, r.top],
        [r.right(), r.top],
        [r.right(), r.bottom()],
        [r.left, r.bottom()],
        [r.left, r.top],
    ];
    for side in corners.windows(2) {
        page.line(side, sizes.line / 2.0, colour(palette.line));
    }
    for (shade, (width, dot)) in [ink, paper].into_iter().zip(sizes.trace()) {
        for trace in plan.callouts.iter().flat_map(|c| &c.traces) {
            if trace.line.len() > 1 {
                page.line(&trace.line, width, shade);
            }
            for at in &trace.dots {
                page.disc(*at, dot, shade);
            }
        }
    }
    for (shade, width, dot) in [
        (paper, sizes.line + 2.0 * sizes.halo, sizes.dot + sizes.halo),
        (ink, sizes.line, sizes.dot),
    ] {
        for c in &plan.callouts {
            page.line(&c.leader, width, shade);
        }
        for c in &plan.callouts {
            page.disc(c.leader[0], dot, shade);
        }
    }
    for c in &plan.callouts {
        page.disc(c.ring, sizes.radius, ink);
        page.disc(c.ring, sizes.radius - sizes.line, paper);
        let text = c.number.to_string();
        let wide = typeset::width(Face::Number, &text, &plan.typefaces) * sizes.em;
        let at = [c.ring[0] - wide / 2.0, c.ring[1] + DIGIT * sizes.em / 2.0];
        page.write(Face::Number, &text, at, sizes.em, ink);
    }
    if let Some(bar) = &plan.bar {
        let half = bar.tick / 2.0;
        let thick = 1.4 * sizes.line;
        page.line(&[bar.from, bar.to], thick, ink);
        for [x, y] in [bar.from, bar.to] {
            page.line(&[[x, y - half], [x, y + half]], thick, ink);
        }
        let [x, y] = bar.words_at;
        let at = [x, y + CAPTION_DIGIT * sizes.em / 2.0];
        page.write(Face::Caption, &bar.words, at, sizes.em, ink);
    }
    let Some(legend) = &plan.legend else { return };
    for line in &legend.lines {
        if let Some(number) = line.number {
            let text = number.to_string();
            let wide = typeset::width(Face::Number, &text, &plan.typefaces) * legend.number_em;
            let at = [line.number_at[0] - wide, line.number_at[1]];
            page.write(Face::Number, &text, at, legend.number_em, ink);
        }
        page.write(Face::Caption, &line.text, line.text_at, legend.em, ink);
    }
}
