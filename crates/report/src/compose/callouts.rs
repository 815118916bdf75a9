//! Numbers at the margins of photographs.
//!
//! In: a photograph of the record, its bytes, its regions. Out: the drawing, and the regions in the
//! order of their numbers. Not here: the drawing itself (`imaging::callout`).

use crate::{PhotoRegion, pixel_size};
use imaging::callout::{Options, Photo, Region, Source, SvgStyle, figure};
use imaging::pixels::metadata;
use record::ScaleReference;

/// Width of the drawing on the page, mm: text width of the printed report, and about that of a
/// column on a screen.
const COLUMN_MM: f64 = 150.0;
/// Two pictures fit on a printed page.
const TALLEST_MM: f64 = 88.0;

/// Draws a photograph with a number for each region and sorts the regions by their numbers; `None`,
/// with the regions as they were, where it has none, is not upright or cannot carry the numbers.
pub(super) fn draw(
    bytes: &[u8],
    media_type: &str,
    caption: &str,
    scale: Option<&ScaleReference>,
    regions: &mut [PhotoRegion],
) -> Option<String> {
    let (width, height) = pixel_size(bytes)?;
    let upright = metadata::find(bytes).is_ok_and(|found| found.orientation == 1);
    if regions.is_empty() || !upright {
        return None;
    }
    let photo = Photo {
        width,
        height,
        pixels_per_mm: scale.and_then(pixels_per_mm),
    };
    let named: Vec<Region> = regions
        .iter()
        .map(|r| Region {
            id: r.anchor.clone(),
            rect: r.rect.map(f64::from),
            caption: r.words.clone(),
            element_id: Some(r.anchor.clone()),
        })
        .collect();
    let options = Options {
        column_mm: COLUMN_MM,
        tallest_mm: TALLEST_MM,
        legend: false,
        ..Options::default()
    };
    let style = SvgStyle {
        alternative: caption,
        ..SvgStyle::default()
    };
    let source = Source::Embedded { media_type, bytes };
    let drawn = figure(&photo, &source, &named, &options, &style).ok()?;
    let number = |region: &PhotoRegion| {
        let entry = drawn.entries.iter().find(|e| e.id == region.anchor);
        entry.map_or(u32::MAX, |e| e.number)
    };
    regions.sort_by_key(number);
    Some(drawn.svg)
}

fn pixels_per_mm(scale: &ScaleReference) -> Option<f64> {
    let [dx, dy] = [0, 1].map(|i| scale.to[i] - scale.from[i]);
    let per_mm = dx.hypot(dy) / (scale.length.si() * 1e3);
    (per_mm.is_finite() && per_mm > 0.0).then_some(per_mm)
}
