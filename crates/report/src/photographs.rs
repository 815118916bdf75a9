//! The photographs as they are published, handed in by the caller.
//!
//! In: pictures made from those of the record, upright, without notes, private regions filled. Out: what of them is
//! shown where. Not here: reading files; decoding and scaling pixels.

use lettering::Typefaces;
use record::{Dossier, Photo, Place, Region, Step};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Photographs by file name (as `photos.file` in the record says), and parts of them.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Photographs {
    /// Those that are shown.
    pub files: BTreeMap<String, Shown>,
    /// A square around each region, by the region's place, and what is shown of each step of opening, by the
    /// step's place.
    pub crops: BTreeMap<Place, Picture>,
    /// A square of the photograph that opens the report.
    pub hero: Option<Picture>,
    /// Why the others are not shown, in words.
    pub left_out: BTreeMap<String, String>,
    /// Typefaces for what is lettered beside them, as for the whole report.
    pub typefaces: Typefaces,
}

impl Photographs {
    /// Returns what is shown of a file.
    pub fn shown(&self, file: &str) -> Option<&Shown> {
        self.files.get(file)
    }

    /// Returns the square around a region, or what is shown of a step.
    pub fn crop(&self, of: &Place) -> Option<&Picture> {
        self.crops.get(of)
    }
}

/// A photograph as it is published.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown {
    /// Width and height upright, pixels of the photograph itself: all places in the record count in these.
    pub size: [u32; 2],
    /// For a page.
    pub preview: Picture,
    /// To look closer.
    pub full: Picture,
    /// Where `full` lies beside the report: `photos/P07-lamp-main.jpg`.
    pub path: String,
}

/// A picture file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// The whole file.
    pub bytes: Arc<[u8]>,
    /// For example `image/jpeg`.
    pub media_type: &'static str,
    /// Width and height, pixels.
    pub size: [u32; 2],
}

/// A crop is at least this many times as wide as what it shows: narrower ones cut the letters beside a part in half.
const AROUND: f64 = 1.26;
/// Sides of a crop are at least so long, where the scale is known, mm: a smaller part needs its surroundings to be
/// told.
const SMALLEST_MM: f64 = 2.2;

/// Returns the square that is shown of a region: left, top and side, pixels of the photograph.
///
/// It lies inside the photograph wherever it is not larger than the photograph. `size`: width and height of the
/// photograph.
pub fn crop_square(photo: &Photo, region: &Region, size: [u32; 2]) -> [u32; 3] {
    let least = methods::photogrammetry::pixels_per_mm(photo).map_or(0.0, |s| SMALLEST_MM * s);
    square(region.rect, AROUND, least, size)
}

/// Room around the product in the picture that opens the report, as a share of the product.
const HERO_ROOM: f64 = 0.16;

/// Returns the square that opens the report: left, top and side, pixels of the photograph; its middle where nothing of
/// it is marked as the product.
pub fn hero_square(rect: Option<[u32; 4]>, size: [u32; 2]) -> [u32; 3] {
    let rect = rect.unwrap_or([0, 0, size[0], size[1]]);
    square(rect, 1.0 + HERO_ROOM, 0.0, size)
}

/// Returns the square around the middle of a rectangle: so many times its longer side, but no less than `least`, and
/// inside a photograph of this size.
fn square(rect: [u32; 4], times: f64, least: f64, size: [u32; 2]) -> [u32; 3] {
    let [left, top, width, height] = rect.map(f64::from);
    let shorter = f64::from(size[0].min(size[1]));
    // What a computed scale is off by in its last digits is no pixel more.
    let side = (times * width.max(height)).max(least) - 1e-6;
    let side = side.ceil().min(shorter);
    let start = |from: f64, length: f64, most: u32| {
        let wanted = from + length / 2.0 - side / 2.0;
        wanted.round().clamp(0.0, f64::from(most) - side)
    };
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 0 and the size of the photograph"
    )]
    [
        start(left, width, size[0]),
        start(top, height, size[1]),
        side,
    ]
    .map(|v| v as u32)
}

/// Returns the photograph that shows a step, and the region it is about: the first that its evidence names, else
/// the first that was taken after it.
pub fn photo_of_step<'d>(
    dossier: &'d Dossier,
    step: &Step,
) -> Option<(&'d Photo, Option<&'d Region>)> {
    let named = step.evidence.iter().map(Place::from).find_map(|place| {
        let photo = dossier.photo(place.photo_id()?)?;
        let is_named = |r: &&Region| Place::region(&photo.id, &r.id) == place;
        Some((photo, photo.regions.iter().find(is_named)))
    });
    let after = |p: &&Photo| p.after.as_deref() == Some(&step.id);
    named.or_else(|| Some((dossier.photos.iter().find(after)?, None)))
}

/// Room around a region in the picture of a step, as a share of the region.
const STEP_ROOM: f64 = 0.25;
/// Width over height of the picture of a step.
const STEP_SHAPE: f64 = 4.0 / 3.0;

/// Returns what is shown of a photograph at a step: left, top, width and height, 4 : 3, pixels of the photograph.
///
/// It holds the region with some room as far as the photograph reaches; without a region, as much of the photograph as
/// there is. `size`: width and height of the photograph.
pub fn step_rect(region: Option<&Region>, size: [u32; 2]) -> [u32; 4] {
    let [width, height] = size.map(f64::from);
    let [left, top, w, h] = region.map_or([0.0, 0.0, width, height], |r| r.rect.map(f64::from));
    let room = region.map_or(1.0, |_| 1.0 + STEP_ROOM);
    let wanted = (room * w).max(room * h * STEP_SHAPE);
    let wide = wanted.min(width).min(height * STEP_SHAPE);
    let high = wide / STEP_SHAPE;
    let start = |from: f64, length: f64, side: f64, most: f64| {
        (from + (length - side) / 2.0).clamp(0.0, (most - side).max(0.0))
    };
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 0 and the size of the photograph"
    )]
    [
        start(left, w, wide, width),
        start(top, h, high, height),
        wide,
        high,
    ]
    .map(|v| v as u32)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn photo(rect: [u32; 4], scale: &str) -> Photo {
        let text = format!(
            r#"{{"id":"p","file":"p.jpg","caption":"p",{scale}"regions":[{{"id":"r","rect":{rect:?}}}]}}"#
        );
        serde_json::from_str(&text).unwrap()
    }

    #[test]
    fn a_crop_holds_its_region_with_some_room_and_stays_inside_the_photograph() {
        for (rect, square) in [
            // 1.26 × 100 = 126, 13 pixels to the left and 38 above.
            ([400, 300, 100, 50], [387, 262, 126]),
            ([0, 0, 100, 50], [0, 0, 126]),
            ([950, 560, 40, 40], [945, 549, 51]),
            // No larger than the photograph.
            ([0, 0, 1000, 600], [200, 0, 600]),
        ] {
            let photo = photo(rect, "");
            assert_eq!(crop_square(&photo, &photo.regions[0], [1000, 600]), square);
        }
    }

    #[test]
    fn the_hero_holds_the_product_with_room_and_stays_inside() {
        // 624 × 1.16 = 723.84 pixels around the middle at 552, 408.
        assert_eq!(
            hero_square(Some([240, 96, 624, 624]), [1200, 1040]),
            [190, 46, 724]
        );
        assert_eq!(
            hero_square(Some([0, 0, 900, 100]), [1000, 600]),
            [150, 0, 600]
        );
        assert_eq!(hero_square(None, [1000, 600]), [200, 0, 600]);
    }

    #[test]
    fn a_step_shows_its_region_with_room_in_a_picture_of_four_by_three() {
        let photo = photo([400, 300, 160, 40], "");
        let region = photo.regions.first();
        // 1.25 × 160 = 200 wide, so 150 high.
        assert_eq!(step_rect(region, [1000, 600]), [380, 245, 200, 150]);
        // As much as there is of a square photograph.
        assert_eq!(step_rect(None, [800, 800]), [0, 100, 800, 600]);
        assert_eq!(step_rect(region, [560, 340]), [360, 190, 200, 150]);
    }

    #[test]
    fn a_small_part_is_shown_with_its_surroundings() {
        // 20 pixels to the millimetre: at least 44 pixels.
        let scale = r#""scale":{"from":[0,0],"to":[200,0],"length":"10 mm"},"#;
        let photo = photo([400, 300, 10, 10], scale);
        assert_eq!(crop_square(&photo, &photo.regions[0], [1000, 600])[2], 44);
    }
}
