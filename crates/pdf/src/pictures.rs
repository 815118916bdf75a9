//! Pictures handed to the typesetter, after a look whether it can draw them.
//!
//! In: bytes of photographs, text of drawings. Out: bytes under a name of ours, and their size.
//! Not here: captions; scaling.

use typst::foundations::Bytes;
use typst::visualize::{ExchangeFormat, RasterImage, SvgImage};

/// Size of a pixel of a drawing: 1/96 inch (CSS Values and Units, 6.2).
const MM_PER_PIXEL: f64 = 25.4 / 96.0;

/// A picture that can be drawn.
#[derive(Debug, Clone)]
pub(super) struct Picture {
    /// The bytes.
    pub(super) bytes: Bytes,
    /// How its file name ends.
    pub(super) ending: &'static str,
    /// Height over width as shown.
    pub(super) aspect: f64,
    /// Width at its own size, millimetres; photographs have none.
    pub(super) width_mm: Option<f64>,
}

/// Takes a drawing; `None` if it is not an SVG that can be drawn.
pub(super) fn drawing(svg: &str) -> Option<Picture> {
    // No embedded typeface has the sign for direct current (U+2393).
    // Marks of direction have no outline; the drawing's own order suffices on a page.
    let text = lettering::unmarked(svg).replace('\u{2393}', "DC");
    let bytes = Bytes::from_string(text);
    let image = SvgImage::new(bytes.clone()).ok()?;
    let aspect = image.height() / image.width();
    let width_mm = Some(image.width() * MM_PER_PIXEL);
    Some(Picture {
        bytes,
        ending: "svg",
        aspect,
        width_mm,
    })
}

/// Takes a picture in pixels; `None` if its bytes are not a picture of its media type.
pub(super) fn photograph(preview: &report::Picture) -> Option<Picture> {
    let (format, ending) = match preview.media_type {
        "image/png" => (ExchangeFormat::Png, "png"),
        "image/jpeg" => (ExchangeFormat::Jpg, "jpg"),
        _ => return None,
    };
    let bytes = Bytes::new(preview.bytes.to_vec());
    let image = RasterImage::plain(bytes.clone(), format).ok()?;
    let aspect = f64::from(image.height()) / f64::from(image.width().max(1));
    Some(Picture {
        bytes,
        ending,
        aspect,
        width_mm: None,
    })
}
