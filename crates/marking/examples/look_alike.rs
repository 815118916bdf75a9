//! Measures which characters are taken for which others, and writes the look-alikes of the cost table.
//!
//! usage: look_alike FONT.ttf... > look-alike.toml
//! Each digit and capital letter of each font is drawn as tall as on a photograph of a small marking,
//! blurred, scratched, worn away in spots and made noisy, and compared with all characters of its font,
//! each as drawn and a pixel off. How often it is nearest to another one makes the price, the mean
//! over fonts and both directions: −ln of the odds against being read right. The prices are then moved
//! together, so that a character is as often misread as [`MISREAD`].
//! Limit: nobody knows how much worn the markings are that people ask for; only the order of the pairs and
//! the steps between them are measured.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "an example reads its arguments and files"
)]

#[path = "../tests/common/mod.rs"]
mod common;

use ab_glyph::{Font, FontVec, PxScale, ScaleFont, point};
use common::Dice;

const CHARACTERS: &str = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
const COUNT: usize = 36;
const WIDE: usize = 22;
const HIGH: usize = 22;
/// Height of a capital letter, px.
const CAPITAL: f32 = 13.0;
/// Times that each character of each font is worn.
const TIMES: usize = 400;
/// Mean odds of a character being misread.
const MISREAD: f64 = 0.2;
/// Pairs dearer than this are left to the price of any other character.
const DEAREST: f64 = 6.0;

type Picture = [f32; WIDE * HIGH];

fn main() {
    let mut counts = vec![[0.0; COUNT]; COUNT];
    let mut dice = Dice(11);
    for path in std::env::args().skip(1) {
        let bytes = std::fs::read(&path).unwrap_or_default();
        let Ok(font) = FontVec::try_from_vec(bytes) else {
            eprintln!("{path}: not a font");
            std::process::exit(2)
        };
        read_worn(&font, &mut dice, &mut counts);
    }
    let price = |a: usize, b: usize| {
        let odds =
            |name: usize, seen: usize| (counts[name][seen] + 0.2) / (counts[name][name] + 1.0);
        -f64::midpoint(odds(a, b), odds(b, a)).ln()
    };
    let pairs = || (0..COUNT).flat_map(|a| (a + 1..COUNT).map(move |b| (a, b)));
    let all: f64 = pairs().map(|(a, b)| 2.0 * (-price(a, b)).exp()).sum();
    let moved = (all / COUNT as f64 / MISREAD).ln();
    eprintln!("moved by {moved:.2} nats");
    let mut rows: Vec<(f64, String)> = pairs()
        .map(|(a, b)| (price(a, b) + moved, [a, b]))
        .filter(|(price, _)| *price <= DEAREST)
        .map(|(price, both)| {
            let name = |k: usize| CHARACTERS.chars().nth(k).unwrap_or('0');
            (price.max(0.5), both.map(name).iter().collect())
        })
        .collect();
    rows.sort_by(|a, b| a.0.total_cmp(&b.0));
    for (price, pair) in rows {
        println!("{pair} = {price:.1}");
    }
}

/// Draws every character, wears it, and counts what it is read as.
fn read_worn(font: &FontVec, dice: &mut Dice, counts: &mut [[f64; COUNT]]) {
    let shifts = [(0.0, 0.0), (1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)];
    let templates: Vec<Vec<Picture>> = CHARACTERS
        .chars()
        .map(|c| {
            shifts
                .map(|s| centred(blurred(&drawn(font, c, s), 1)))
                .to_vec()
        })
        .collect();
    for (name, c) in CHARACTERS.chars().enumerate() {
        for _ in 0..TIMES {
            let off = |dice: &mut Dice| dice.below(101) as f32 / 100.0 - 0.5;
            let mut picture = drawn(font, c, (off(dice), off(dice)));
            for _ in 0..dice.below(3) {
                worn_away(&mut picture, dice);
            }
            if dice.chance(40) {
                scratched(&mut picture, dice);
            }
            picture = blurred(&picture, 1 + dice.below(3));
            for level in &mut picture {
                *level += (0..4).map(|_| off(dice)).sum::<f32>() * 0.25;
            }
            let picture = centred(picture);
            let likeness = |all: &Vec<Picture>| {
                let each = all
                    .iter()
                    .map(|t| t.iter().zip(&picture).map(|(a, b)| a * b).sum());
                each.fold(f32::MIN, f32::max)
            };
            let seen = (0..COUNT)
                .max_by(|a, b| likeness(&templates[*a]).total_cmp(&likeness(&templates[*b])));
            counts[name][seen.unwrap_or(name)] += 1.0;
        }
    }
}

/// A character in the middle of its picture, ink 1.
fn drawn(font: &FontVec, c: char, (dx, dy): (f32, f32)) -> Picture {
    let mut out = [0.0; WIDE * HIGH];
    let tall = |scale: f32| {
        let glyph = font.glyph_id('H').with_scale(scale);
        font.outline_glyph(glyph)
            .map_or(1.0, |o| o.px_bounds().height())
    };
    let scale = PxScale::from(100.0 * CAPITAL / tall(100.0));
    let ascent = font.as_scaled(scale).ascent();
    let glyph = font
        .glyph_id(c)
        .with_scale_and_position(scale, point(0.0, ascent));
    let Some(outline) = font.outline_glyph(glyph) else {
        return out;
    };
    let bounds = outline.px_bounds();
    let x = (WIDE as f32 - bounds.width()) / 2.0 + dx;
    let base = ascent - CAPITAL;
    let y = (HIGH as f32 - CAPITAL) / 2.0 + (bounds.min.y - base) + dy;
    outline.draw(|i, j, level| {
        // A quarter of a pixel is kept by splitting ink between neighbours.
        let (px, py) = (x + i as f32, y + j as f32);
        let (ix, iy) = (px.floor(), py.floor());
        for (ox, wx) in [(0.0, 1.0 - (px - ix)), (1.0, px - ix)] {
            for (oy, wy) in [(0.0, 1.0 - (py - iy)), (1.0, py - iy)] {
                let (cx, cy) = (ix + ox, iy + oy);
                if cx >= 0.0 && cy >= 0.0 && (cx as usize) < WIDE && (cy as usize) < HIGH {
                    out[cy as usize * WIDE + cx as usize] += level * wx * wy;
                }
            }
        }
    });
    out
}

/// Ink is gone in a round spot.
fn worn_away(picture: &mut Picture, dice: &mut Dice) {
    let (x, y) = (4.0 + dice.below(15) as f32, 4.0 + dice.below(15) as f32);
    let radius = 1.5 + dice.below(20) as f32 / 10.0;
    each(picture, |px, py, level| {
        if (px - x).hypot(py - y) < radius {
            *level *= 0.15;
        }
    });
}

/// A bright or dark line through the picture.
fn scratched(picture: &mut Picture, dice: &mut Dice) {
    let angle = dice.below(314) as f32 / 100.0;
    let (x, y) = (5.0 + dice.below(13) as f32, 5.0 + dice.below(13) as f32);
    let ink = if dice.chance(50) { 1.0 } else { 0.0 };
    each(picture, |px, py, level| {
        if ((px - x) * angle.sin() - (py - y) * angle.cos()).abs() < 0.8 {
            *level = ink;
        }
    });
}

fn each(picture: &mut Picture, mut change: impl FnMut(f32, f32, &mut f32)) {
    for (i, level) in picture.iter_mut().enumerate() {
        change((i % WIDE) as f32, (i / WIDE) as f32, level);
    }
}

/// The mean over three by three pixels, so many times.
fn blurred(picture: &Picture, times: usize) -> Picture {
    let mut out = *picture;
    for _ in 0..times {
        let before = out;
        for (i, level) in out.iter_mut().enumerate() {
            let (x, y) = ((i % WIDE) as isize, (i / WIDE) as isize);
            let mut sum = 0.0;
            for (dx, dy) in (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (dx, dy))) {
                let (x, y) = (x + dx, y + dy);
                if (0..WIDE as isize).contains(&x) && (0..HIGH as isize).contains(&y) {
                    sum += before[y as usize * WIDE + x as usize];
                }
            }
            *level = sum / 9.0;
        }
    }
    out
}

/// Mean zero and length one, so that only the shape counts.
fn centred(mut picture: Picture) -> Picture {
    let mean = picture.iter().sum::<f32>() / (WIDE * HIGH) as f32;
    picture.iter_mut().for_each(|level| *level -= mean);
    let length = picture.iter().map(|l| l * l).sum::<f32>().sqrt().max(1e-6);
    picture.iter_mut().for_each(|level| *level /= length);
    picture
}
