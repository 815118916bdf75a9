//! Turning and mirroring pictures, as an Exif orientation asks for.
//!
//! Source: CIPA DC-008, tag 274: 1 upright, 2 mirrored left to right, 3 half a turn, 4 mirrored top
//! to bottom, 5 to 8 with rows and columns exchanged.

use super::metadata::Orientation;
use crate::Picture;

/// Side of the squares that are turned together, so that both pictures stay in the cache.
const SQUARE: usize = 32;

/// Returns the picture upright.
pub(super) fn upright(mut picture: Picture, orientation: Orientation) -> Picture {
    let number = orientation.number();
    if number > 4 {
        picture = exchanged(&picture);
    }
    // 5 is the exchange alone, 6 mirrors left to right behind it, 7 both, 8 top to bottom.
    let (across, down) = match number {
        2 | 6 => (true, false),
        3 | 7 => (true, true),
        4 | 8 => (false, true),
        _ => (false, false),
    };
    let stride = picture.width as usize * 3;
    if across {
        for row in picture.rgb.chunks_exact_mut(stride.max(1)) {
            row.reverse();
            for pixel in row.chunks_exact_mut(3) {
                pixel.swap(0, 2);
            }
        }
    }
    if down {
        let height = picture.height as usize;
        for y in 0..height / 2 {
            let (upper, lower) = picture.rgb.split_at_mut((height - 1 - y) * stride);
            upper[y * stride..(y + 1) * stride].swap_with_slice(&mut lower[..stride]);
        }
    }
    picture
}

/// Exchanges rows and columns.
fn exchanged(picture: &Picture) -> Picture {
    let (width, height) = (picture.width as usize, picture.height as usize);
    let mut rgb = vec![0; picture.rgb.len()];
    for top in (0..height).step_by(SQUARE) {
        for left in (0..width).step_by(SQUARE) {
            for x in left..(left + SQUARE).min(width) {
                for y in top..(top + SQUARE).min(height) {
                    let (from, to) = ((y * width + x) * 3, (x * height + y) * 3);
                    rgb[to..to + 3].copy_from_slice(&picture.rgb[from..from + 3]);
                }
            }
        }
    }
    Picture {
        width: picture.height,
        height: picture.width,
        rgb,
    }
}
