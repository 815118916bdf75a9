//! The square that opens the report, cut out of its photograph.
//!
//! In: which photograph, and what of it shows the product. Out: a square picture, private regions filled.
//! Not here: choosing the photograph (`report::hero_photo`).

use super::{published, upright};
use callout::withhold;
use imaging::pixels::{self, Encoding, crop};
use record::Dossier;
use std::path::Path;

/// Pixels on a side.
const SIDE: u32 = 880;
/// JPEG quality.
const QUALITY: u8 = 82;
/// Share of the longer side that is shown around the product on each side.
const ROOM: f64 = 0.08;

/// Returns the square; none where no photograph can be shown.
pub(super) fn hero(folder: &Path, dossier: &Dossier) -> Option<report::Picture> {
    let (photo, rect) = report::hero_photo(dossier)?;
    let mut decoded = upright(folder, &photo.file).ok()?;
    withhold(
        &mut decoded.picture,
        &published::private(dossier, &photo.file),
    );
    let size = [decoded.picture.width, decoded.picture.height];
    let [left, top, side] = square(rect, size);
    let part = crop(&decoded.picture, [left, top, side, side], SIDE);
    let bytes = pixels::encode(&part, Encoding::Jpeg(QUALITY), None, None).ok()?;
    Some(report::Picture {
        bytes: bytes.into(),
        media_type: "image/jpeg",
        size: [part.width, part.height],
    })
}

/// Returns left, top and side of the square around a rectangle, inside a picture of this size; the middle of the
/// picture without one.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "between 0 and the size of the picture"
)]
fn square(rect: Option<[u32; 4]>, [width, height]: [u32; 2]) -> [u32; 3] {
    let most = width.min(height);
    let Some([x, y, w, h]) = rect.map(|rect| rect.map(f64::from)) else {
        return [(width - most) / 2, (height - most) / 2, most];
    };
    let side = ((w.max(h) * (1.0 + 2.0 * ROOM)).round() as u32).min(most);
    let start = |middle: f64, length: u32| {
        let start = middle - f64::from(side) / 2.0;
        start.round().clamp(0.0, f64::from(length - side)) as u32
    };
    [start(x + w / 2.0, width), start(y + h / 2.0, height), side]
}

#[cfg(test)]
mod tests {
    use super::square;

    #[test]
    fn the_square_holds_the_product_with_room_and_stays_inside() {
        // 624 × 1.16 = 723.84 pixels around the middle at 552, 408.
        assert_eq!(
            square(Some([240, 96, 624, 624]), [1200, 1040]),
            [190, 46, 724]
        );
        assert_eq!(square(Some([0, 0, 900, 100]), [1000, 600]), [150, 0, 600]);
        assert_eq!(square(None, [1000, 600]), [200, 0, 600]);
    }
}
