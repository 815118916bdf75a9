//! A part of a picture at the size it is shown in: made smaller by averaging, or enlarged and sharpened.
//!
//! In: a picture, a rectangle in it. Out: that part. Not here: what is cut out, and why. Never for pictures that
//! are measured: sharpening moves edges.

use super::shrink;
use crate::Picture;
use image::imageops::{self, FilterType};
use image::{ImageBuffer, Rgb};

/// Enlarged beyond this, a picture shows nothing more.
const LARGEST_FACTOR: u32 = 4;
/// Width of the blur that a sharpened picture is compared with, pixels of the picture as it was.
const BLUR: f32 = 0.6;
/// Share of the difference from the blur that is added.
const AMOUNT: f32 = 0.6;
/// Differences up to this many levels are grain and stay.
const GRAIN: f32 = 2.0;

/// Returns a rectangle of a picture, given by left, top, width and height, with `wanted` pixels on its longer side.
///
/// A larger part is averaged. A smaller one is enlarged (Lanczos, three lobes), at most four-fold, so that the result
/// may have fewer pixels, and sharpened: 60 % of what differs from a blur by more than two levels is added. What
/// leads out of the picture is left out.
pub fn crop(picture: &Picture, rect: [u32; 4], wanted: u32) -> Picture {
    let part = part(picture, rect);
    let largest = part.width.max(part.height);
    if part.rgb.is_empty() || wanted == 0 {
        return part;
    }
    let wanted = wanted.min(largest.saturating_mul(LARGEST_FACTOR));
    let scaled = |v: u32| (u64::from(v) * u64::from(wanted) / u64::from(largest)).max(1) as u32;
    let (width, height) = (scaled(part.width), scaled(part.height));
    if wanted <= largest {
        return shrink(&part, width, height);
    }
    enlarge(part, width, height)
}

/// Cuts out what of the rectangle lies in the picture.
fn part(picture: &Picture, [left, top, width, height]: [u32; 4]) -> Picture {
    let width = width.min(picture.width.saturating_sub(left));
    let height = height.min(picture.height.saturating_sub(top));
    let (stride, from) = (picture.width as usize * 3, left as usize * 3);
    let rows = picture.rgb.chunks_exact(stride.max(1));
    let rows = rows.skip(top as usize).take(height as usize);
    let rgb =
        rows.flat_map(|row| &row[from.min(row.len())..from.min(row.len()) + width as usize * 3]);
    Picture {
        width,
        height,
        rgb: rgb.copied().collect(),
    }
}

fn enlarge(part: Picture, width: u32, height: u32) -> Picture {
    let factor = width as f32 / part.width as f32;
    let from: ImageBuffer<Rgb<u8>, Vec<u8>> =
        ImageBuffer::from_raw(part.width, part.height, part.rgb)
            .expect("a part that was cut has three bytes a pixel");
    let large = imageops::resize(&from, width, height, FilterType::Lanczos3);
    let blurred = imageops::blur(&large, BLUR * factor);
    let rgb = large.as_raw().iter().zip(blurred.as_raw());
    let rgb = rgb.map(|(value, blurred)| {
        let (value, away) = (f32::from(*value), f32::from(*value) - f32::from(*blurred));
        let added = if away.abs() > GRAIN {
            AMOUNT * away
        } else {
            0.0
        };
        (value + added).round().clamp(0.0, 255.0) as u8
    });
    Picture {
        width,
        height,
        rgb: rgb.collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn picture(width: u32, height: u32, value: impl Fn(u32, u32) -> u8) -> Picture {
        let pixels = (0..height).flat_map(|y| (0..width).map(move |x| (x, y)));
        let rgb = pixels.flat_map(|(x, y)| [value(x, y); 3]).collect();
        Picture { width, height, rgb }
    }

    #[test]
    fn a_square_is_brought_to_the_size_wanted_and_enlarged_four_fold_at_most() {
        let p = picture(300, 200, |x, _| x as u8);
        for (rect, wanted, size) in [
            ([10, 10, 150, 150], 50, [50, 50]),
            ([10, 10, 50, 50], 100, [100, 100]),
            ([10, 10, 20, 20], 480, [80, 80]),
            ([0, 0, 200, 150], 40, [40, 30]),
        ] {
            let c = crop(&p, rect, wanted);
            assert_eq!([c.width, c.height], size, "{rect:?}");
        }
        // What leads out of the picture is left out, and the rest keeps its shape.
        let c = crop(&p, [200, 100, 200, 100], 50);
        assert_eq!((c.width, c.height), (50, 50));
        assert_eq!(crop(&p, [300, 0, 10, 10], 50).rgb.len(), 0);
    }

    #[test]
    fn an_even_part_stays_even_and_an_edge_becomes_steeper() {
        let even = crop(&picture(40, 40, |_, _| 117), [5, 5, 20, 20], 80);
        assert!(even.rgb.iter().all(|v| *v == 117));
        let edge = picture(40, 40, |x, _| if x < 20 { 80 } else { 160 });
        let c = crop(&edge, [10, 10, 20, 20], 80);
        let row: Vec<u8> = c.rgb[..80 * 3].chunks(3).map(|p| p[0]).collect();
        assert!(row[30] < 80 && row[50] > 160 || row.iter().any(|v| *v < 80 || *v > 160));
        assert_eq!(
            (row[2], row[77]),
            (80, 160),
            "far from the edge nothing moves"
        );
    }
}
