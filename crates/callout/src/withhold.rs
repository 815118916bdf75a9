//! What nobody is to see: filled flat, so that nothing of it is left to be found.
//!
//! In: pixels, rectangles in them. Out: the pixels with each rectangle filled and lettered. Not here: which
//! rectangles, and who decides.

use super::colour::{Palette, Surroundings};
use super::typeset::{self, CAPTION_DIGIT, Face};
use imaging::Picture;
use imaging::canvas::Canvas;
use lettering::Typefaces;

/// What stands in a filled rectangle.
const WORD: &str = "withheld";
/// Its colour.
const TINT: [u8; 3] = [0xdf, 0xe5, 0xe8];
/// Shares of a rectangle that the word fills at most: width, height.
const ROOM: [f64; 2] = [0.8, 0.5];
/// Smaller letters cannot be read, pixels.
const SMALLEST: f64 = 6.0;

/// Fills rectangles (left, top, width, height in pixels) with one colour and writes "withheld" where there is room.
/// Nothing of what was there enters the result.
pub fn withhold(picture: &mut Picture, rects: &[[u32; 4]]) {
    for rect in rects {
        fill(picture, *rect);
    }
}

fn fill(picture: &mut Picture, [left, top, width, height]: [u32; 4]) {
    let right = left.saturating_add(width).min(picture.width);
    let bottom = top.saturating_add(height).min(picture.height);
    if left >= right || top >= bottom {
        return;
    }
    let filled = lettered(f64::from(right - left), f64::from(bottom - top));
    let (stride, wide) = (picture.width as usize * 3, (right - left) as usize * 3);
    for (row, y) in (top as usize..bottom as usize).enumerate() {
        let from = y * stride + left as usize * 3;
        let under = &mut picture.rgb[from..from + wide];
        match filled
            .as_ref()
            .and_then(|f| f.rgb.get(row * wide..(row + 1) * wide))
        {
            Some(letters) => under.copy_from_slice(letters),
            None => under
                .chunks_exact_mut(3)
                .for_each(|p| p.copy_from_slice(&TINT)),
        }
    }
}

/// Draws a rectangle with the word; `None` where letters find no room.
fn lettered(width: f64, height: f64) -> Option<Picture> {
    let typefaces = Typefaces::default();
    let wide = typeset::width(Face::Caption, WORD, &typefaces);
    let em = (ROOM[0] * width / wide).min(ROOM[1] * height);
    if em < SMALLEST {
        return None;
    }
    let mut canvas = Canvas::new(width as f32, height as f32);
    let tint = TINT.map(f32::from);
    canvas.paint(canvas.area(), |_, _| (tint, 1.0));
    let at = [
        (width - wide * em) / 2.0,
        (height + CAPTION_DIGIT * em) / 2.0,
    ];
    let ink = Palette::of(Surroundings::Light).ink.map(f32::from);
    typeset::write(&mut canvas, Face::Caption, WORD, &typefaces, at, em, ink);
    let picture = canvas.picture(|_, _, p| p);
    // A canvas ends at its own greatest size: what lies beyond is filled without letters.
    (f64::from(picture.width) == width).then_some(picture)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn picture(width: u32, height: u32, seed: u32) -> Picture {
        let rgb = (0..width * height * 3).map(|i| (i.wrapping_mul(seed) >> 24) as u8);
        Picture {
            width,
            height,
            rgb: rgb.collect(),
        }
    }

    #[test]
    fn nothing_of_what_was_there_is_left_and_all_else_stays() {
        for rect in [[20, 10, 100, 40], [0, 0, 7, 5], [150, 90, 900, 900]] {
            let before = picture(200, 120, 2_654_435_761);
            let (mut a, mut b) = (before.clone(), picture(200, 120, 40_503));
            withhold(&mut a, &[rect]);
            withhold(&mut b, &[rect]);
            let [l, t, w, h] = rect;
            for y in 0..120 {
                for x in 0..200 {
                    let at = ((y * 200 + x) * 3) as usize..((y * 200 + x) * 3 + 3) as usize;
                    if x >= l && x - l < w && y >= t && y - t < h {
                        assert_eq!(a.rgb[at.clone()], b.rgb[at], "{rect:?} {x} {y}");
                    } else {
                        assert_eq!(a.rgb[at.clone()], before.rgb[at], "{rect:?} {x} {y}");
                    }
                }
            }
        }
    }

    #[test]
    fn the_word_stands_where_there_is_room_for_it() {
        let dark = |w, h| {
            let mut p = picture(w, h, 3);
            withhold(&mut p, &[[0, 0, w, h]]);
            p.rgb.chunks(3).filter(|c| c[0] < 0x60).count()
        };
        assert!(dark(200, 60) > 100);
        assert_eq!(dark(12, 8), 0);
        // Outside of the picture there is nothing to fill.
        let mut p = picture(5, 5, 3);
        let before = p.clone();
        withhold(&mut p, &[[9, 9, 4, 4], [u32::MAX, 0, u32::MAX, 1]]);
        assert_eq!(p, before);
    }
}
