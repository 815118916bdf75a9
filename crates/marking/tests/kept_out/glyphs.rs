//! Which character is taken for which, found by looking: characters are filled at the size that a
//! camera leaves of them, blurred, disturbed, and given the name of the nearest one.
//!
//! In: typefaces of the fixed-pitch and the sans-serif mathematical alphabets that the workspace
//! packs. Out: shares of misreadings.

use super::Random;
use super::text::PLAIN;
use ab_glyph::{Font, FontRef, PxScale, point};
use std::sync::OnceLock;

/// Height of a capital, pixels.
const HEIGHT: f32 = 8.0;
/// Side of the square a character is filled into.
const SIDE: usize = 16;
/// Standard deviation of the blur, pixels, and of the disturbance, of full contrast.
const BLUR: f64 = 0.9;
const NOISE: f64 = 0.25;
const DRAWS: usize = 80;

type Picture = [f64; SIDE * SIDE];

/// For each character the shares of those it is taken for; a row sums to one.
#[derive(Debug, Clone)]
pub struct Confusions {
    pub shares: [[f64; PLAIN]; PLAIN],
}

/// The first capital and digit of an alphabet inside a typeface.
#[derive(Debug, Clone, Copy)]
struct Alphabet {
    font: usize,
    capital: u32,
    digit: u32,
}

impl Confusions {
    /// Looks at every alphabet; the same on every machine.
    pub fn seen() -> &'static Self {
        static SEEN: OnceLock<Confusions> = OnceLock::new();
        SEEN.get_or_init(Self::look)
    }

    fn look() -> Self {
        let fonts: Vec<FontRef<'static>> = typst_assets::fonts()
            .filter_map(|bytes| FontRef::try_from_slice(bytes).ok())
            .collect();
        let mut random = Random::new(0x61_79_70_68);
        let mut shares = [[0.0; PLAIN]; PLAIN];
        for alphabet in alphabets(&fonts) {
            let font = &fonts[alphabet.font];
            let plain: Vec<Picture> = (0..PLAIN)
                .map(|c| filled(font, alphabet.code(c), 0.0, 0.0))
                .collect();
            for (c, row) in shares.iter_mut().enumerate() {
                for _ in 0..DRAWS {
                    let (dx, dy) = (random.unit() - 0.5, random.unit() - 0.5);
                    let mut picture = filled(font, alphabet.code(c), dx as f32, dy as f32);
                    let contrast = 0.7 + 0.6 * random.unit();
                    for level in &mut picture {
                        *level = *level * contrast + NOISE * random.normal();
                    }
                    row[nearest(&picture, &plain)] += 1.0;
                }
            }
        }
        for row in &mut shares {
            let sum: f64 = row.iter().sum();
            row.iter_mut().for_each(|n| *n /= sum);
        }
        Self { shares }
    }

    /// Share of looks at a character that took it for another.
    pub fn wrong(&self, c: usize) -> f64 {
        1.0 - self.shares[c][c]
    }

    /// The characters taken for another one most often, for printing.
    pub fn pairs(&self, most: usize) -> Vec<(usize, usize, f64)> {
        let mut all: Vec<_> = (0..PLAIN)
            .flat_map(|a| (0..PLAIN).map(move |b| (a, b)))
            .filter(|(a, b)| a != b)
            .map(|(a, b)| (a, b, self.shares[a][b]))
            .collect();
        all.sort_by(|x, y| y.2.total_cmp(&x.2));
        all.truncate(most);
        all
    }
}

impl Alphabet {
    fn code(self, c: usize) -> char {
        let code = match c {
            0..10 => self.digit + c as u32,
            _ => self.capital + c as u32 - 10,
        };
        char::from_u32(code).unwrap_or('?')
    }
}

/// Plain alphabets of fixed-pitch typefaces, and the sans-serif and typewriter ones of Unicode's
/// Mathematical Alphanumeric Symbols (U+1D400 to U+1D7FF).
fn alphabets(fonts: &[FontRef<'static>]) -> Vec<Alphabet> {
    let mut out = Vec::new();
    for (font, face) in fonts.iter().enumerate() {
        let width = |c: char| face.h_advance_unscaled(face.glyph_id(c));
        let has = |code: u32| char::from_u32(code).is_some_and(|c| face.glyph_id(c).0 != 0);
        let mut add = |capital, digit| {
            if has(capital) && has(capital + 25) && has(digit) && has(digit + 9) {
                out.push(Alphabet {
                    font,
                    capital,
                    digit,
                });
            }
        };
        if width('I') == width('W') {
            add(u32::from('A'), u32::from('0'));
        }
        add(0x1D5A0, 0x1D7E2);
        add(0x1D5D4, 0x1D7EC);
        add(0x1D670, 0x1D7F6);
    }
    out
}

/// Fills a character, its box in the middle of the square, moved by a part of a pixel, and blurs it.
fn filled(font: &FontRef<'static>, c: char, dx: f32, dy: f32) -> Picture {
    let mut out = [0.0; SIDE * SIDE];
    let em = font.height_unscaled();
    let capital = font
        .outline(font.glyph_id('H'))
        .map_or(em * 0.7, |o| o.bounds.height().abs());
    let scale = PxScale::from(HEIGHT * em / capital);
    let glyph = font
        .glyph_id(c)
        .with_scale_and_position(scale, point(dx, dy));
    if let Some(outline) = font.outline_glyph(glyph) {
        let bounds = outline.px_bounds();
        let left = (SIDE as i32 - bounds.width() as i32) / 2;
        let top = (SIDE as i32 - bounds.height() as i32) / 2;
        outline.draw(|x, y, cover| {
            let (x, y) = (x as i32 + left, y as i32 + top);
            if (0..SIDE as i32).contains(&x) && (0..SIDE as i32).contains(&y) {
                out[y as usize * SIDE + x as usize] = f64::from(cover);
            }
        });
    }
    blurred(&out)
}

fn blurred(picture: &Picture) -> Picture {
    let kernel: Vec<f64> = (-3..=3)
        .map(|k: i32| (-f64::from(k * k) / (2.0 * BLUR * BLUR)).exp())
        .collect();
    let sum: f64 = kernel.iter().sum();
    let pass = |from: &Picture, step: usize, place: fn(usize) -> usize| {
        let mut out = [0.0; SIDE * SIDE];
        for (i, level) in out.iter_mut().enumerate() {
            for (k, weight) in kernel.iter().enumerate() {
                if (0..SIDE).contains(&(place(i) + k).wrapping_sub(3)) {
                    *level += from[i + k * step - 3 * step] * weight / sum;
                }
            }
        }
        out
    };
    let across = pass(picture, 1, |i| i % SIDE);
    pass(&across, SIDE, |i| i / SIDE)
}

/// The character whose picture is nearest, contrast set as fits best.
fn nearest(picture: &Picture, plain: &[Picture]) -> usize {
    let score = |other: &Picture| {
        let dot: f64 = picture.iter().zip(other).map(|(a, b)| a * b).sum();
        let norm: f64 = other.iter().map(|b| b * b).sum();
        dot.max(0.0).powi(2) / norm.max(1e-9)
    };
    let mut best = (0, f64::MIN);
    for (i, other) in plain.iter().enumerate() {
        let score = score(other);
        if score > best.1 {
            best = (i, score);
        }
    }
    best.0
}
