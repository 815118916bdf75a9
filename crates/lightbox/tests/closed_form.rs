//! The source itself against closed forms and published sizes.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use image::metadata::Orientation;
use image::{DynamicImage, GrayImage, ImageDecoder, ImageReader, Luma};
use lightbox::{Camera, Chance, Kind, Lens, Shot, ShotOptions, shoot, stored_place};
use std::collections::BTreeSet;
use std::io::Cursor;

fn camera(tilt: f64, lens: Lens) -> Camera {
    Camera::looking_at(
        [0.0; 3],
        300.0,
        [tilt, 0.0, 0.0],
        2000.0,
        [1200.0, 900.0],
        lens,
    )
}

fn close(found: [f64; 2], expected: [f64; 2], within: f64) {
    let off = (found[0] - expected[0]).hypot(found[1] - expected[1]);
    assert!(off < within, "{found:?} instead of {expected:?}");
}

/// u = f x / (Z − h), v = −f y / (Z − h), by similar triangles.
#[test]
fn straight_down_it_is_the_rule_of_three() {
    let camera = camera(0.0, Lens::default());
    for [x, y, h] in [[0.0, 0.0, 0.0], [30.0, -20.0, 0.0], [-41.0, 13.0, 8.0]] {
        let scale = 2000.0 / (300.0 - h);
        close(
            camera.project([x, y, h]),
            [1200.0 + scale * x, 900.0 - scale * y],
            1e-9,
        );
    }
}

/// Tilted by θ about one axis: u = f x cos θ / (Z − x sin θ), v = −f y / (Z − x sin θ).
#[test]
fn tilted_it_is_the_textbook_view() {
    for degrees in [3.0, 11.0, 20.0_f64] {
        let (sin, cos) = degrees.to_radians().sin_cos();
        let camera = camera(degrees.to_radians(), Lens::default());
        for [x, y] in [[25.0, 10.0], [-60.0, 42.0]] {
            let depth = 300.0 - x * sin;
            close(
                camera.project([x, y, 0.0]),
                [
                    1200.0 + 2000.0 * x * cos / depth,
                    900.0 - 2000.0 * y / depth,
                ],
                1e-9,
            );
        }
    }
}

/// Worked by hand from the formula of Brown and Conrady: at (0.3, −0.2) r² = 0.13, the radial factor is
/// 1 + 0.13·0.1 − 0.0169·0.05 + 0.002197·0.02 = 1.01219894, and the tangential terms add
/// 2·0.001·(−0.06) − 0.002·(0.13 + 0.18) = −0.00074 and 0.001·(0.13 + 0.08) + 2·(−0.002)·(−0.06) = 0.00045.
#[test]
fn the_lens_is_that_of_brown_and_conrady() {
    let lens = Lens {
        radial: [0.1, -0.05, 0.02],
        tangential: [0.001, -0.002],
    };
    let seen = lens.distorted([0.3, -0.2]);
    close(
        seen,
        [
            0.3 * 1.012_198_94 - 0.000_74,
            -0.2 * 1.012_198_94 + 0.000_45,
        ],
        1e-12,
    );
    close(lens.ideal(seen), [0.3, -0.2], 1e-8);
}

/// A ray through the pixel of a place passes through that place.
#[test]
fn rays_and_places_are_inverse() {
    let lens = Lens {
        radial: [0.03, -0.01, 0.002],
        tangential: [0.0007, -0.0004],
    };
    let camera = camera(0.3, lens);
    for place in [[55.0, -30.0, 0.0], [-20.0, 44.0, 6.5], [1.0, 2.0, 0.8]] {
        let ray = camera.ray(camera.project(place));
        let along = (place[2] - camera.eye_mm[2]) / ray[2];
        for c in 0..3 {
            let there = camera.eye_mm[c] + along * ray[c];
            assert!((there - place[c]).abs() < 1e-6, "{there} {}", place[c]);
        }
    }
}

const SMALL: ShotOptions = ShotOptions {
    size: [96, 72],
    tilt_deg: [0.0, 20.0],
};

/// ISO/IEC 7810: ID-1 cards are 85.47 to 85.72 mm by 53.92 to 54.03 mm, corners 3.18 ± 0.30 mm, 0.76 ± 0.08 mm
/// thick.
#[test]
fn what_is_drawn_keeps_its_limits() {
    let mut seen = BTreeSet::new();
    let mut turned = BTreeSet::new();
    for seed in 0..150 {
        let truth = shoot(seed, &SMALL).truth;
        let [length, width] = truth.card.sides_mm();
        let card = &truth.card.solid;
        assert!((85.47..=85.72).contains(&length) && (53.92..=54.03).contains(&width));
        assert!((2.88..=3.48).contains(&card.corner) && (0.68..=0.84).contains(&card.top));
        assert!((140.0..=500.0).contains(&truth.camera.eye_mm[2]));
        assert!((0.0..=20.0).contains(&truth.tilt.to_degrees()));
        turned.insert(truth.orientation);
        for thing in std::iter::once(&truth.card).chain(&truth.things) {
            seen.insert(thing.kind);
            assert!((0.4..=8.0).contains(&(thing.solid.top - thing.solid.foot)));
            let solid = &thing.solid;
            let corners = [solid.foot, solid.top].map(|z| truth.px(&thing.corners_mm(z)));
            for [x, y] in corners.into_iter().flatten() {
                assert!((0.0..96.0).contains(&x) && (0.0..72.0).contains(&y));
            }
        }
    }
    assert_eq!(turned.len(), 8, "{turned:?}");
    assert_eq!(seen.len(), 8, "{seen:?}");
    assert!(!seen.contains(&Kind::Ruler));
}

/// Every orientation as another library turns it.
#[test]
fn pixels_are_stored_as_exif_says() {
    let size = [5, 3];
    for orientation in 1..=8 {
        let (w, h) = if orientation >= 5 { (3, 5) } else { (5, 3) };
        let mut stored = GrayImage::new(w, h);
        for (x, y) in (0..5).flat_map(|x| (0..3).map(move |y| (x, y))) {
            let [u, v] = stored_place([x, y], size, orientation);
            stored.put_pixel(u as u32, v as u32, Luma([(10 * x + y) as u8]));
        }
        let mut upright = DynamicImage::from(stored);
        upright.apply_orientation(Orientation::from_exif(orientation).unwrap());
        for (x, y, level) in upright.to_luma8().enumerate_pixels() {
            assert_eq!(level.0[0], (10 * x + y) as u8, "{orientation}");
        }
    }
}

fn upright(shot: &Shot) -> GrayImage {
    let reader = ImageReader::new(Cursor::new(&shot.file)).with_guessed_format();
    let mut decoder = reader.unwrap().into_decoder().unwrap();
    let orientation = decoder.orientation().unwrap();
    assert_eq!(orientation.to_exif(), shot.truth.orientation);
    let mut picture = DynamicImage::from_decoder(decoder).unwrap();
    picture.apply_orientation(orientation);
    picture.to_luma8()
}

/// Marks of the ruler are flat and printed, so that neither walls nor shadow move them: the darkness across each has
/// its centre where the mark is projected to, through lens, blur, tone curve and JPEG.
#[test]
fn marks_of_the_ruler_are_seen_where_they_are_projected_to() {
    let options = ShotOptions {
        size: [1600, 1200],
        ..SMALL
    };
    for seed in [3, 11] {
        let shot = shoot(seed, &options);
        let (truth, picture) = (&shot.truth, upright(&shot));
        let mut off = Vec::new();
        for number in (3..truth.ruler.count - 3).step_by(4) {
            let [here, next] = [0, 1].map(|n| truth.px(&[truth.ruler.mark_mm(number + n)])[0]);
            let d = [next[0] - here[0], next[1] - here[1]];
            let (mut sum, mut moment) = (0.0, 0.0);
            for k in -60..=60 {
                let t = f64::from(k) / 120.0;
                let level = bilinear(&picture, [here[0] + t * d[0], here[1] + t * d[1]]);
                let darkness = (bilinear(&picture, [here[0] + 0.5 * d[0], here[1] + 0.5 * d[1]])
                    - level)
                    .max(0.0);
                sum += darkness;
                moment += darkness * t;
            }
            off.push(moment / sum * d[0].hypot(d[1]));
        }
        let mean = off.iter().sum::<f64>() / off.len() as f64;
        let spread = off.iter().map(|v| v * v).sum::<f64>() / off.len() as f64;
        println!("{seed}: {mean:+.3} px, {:.3} px", spread.sqrt());
        assert!(mean.abs() < 0.1 && spread.sqrt() < 0.35, "{off:?}");
    }
}

fn bilinear(picture: &GrayImage, [x, y]: [f64; 2]) -> f64 {
    let (u, v) = (x - 0.5, y - 0.5);
    let (i, j) = (u.floor(), v.floor());
    let level = |a: f64, b: f64| f64::from(picture.get_pixel(a as u32, b as u32).0[0]);
    let (s, t) = (u - i, v - j);
    let upper = level(i, j) * (1.0 - s) + level(i + 1.0, j) * s;
    let lower = level(i, j + 1.0) * (1.0 - s) + level(i + 1.0, j + 1.0) * s;
    upper * (1.0 - t) + lower * t
}

/// The streams repeat, and the normal law has the moments it should have.
#[test]
fn chance_repeats() {
    let draw = |seed| {
        let mut chance = Chance::new(seed);
        (0..20_000).map(|_| chance.normal()).collect::<Vec<f64>>()
    };
    assert_eq!(draw(7), draw(7));
    assert_ne!(draw(7), draw(8));
    let values = draw(7);
    let mean = values.iter().sum::<f64>() / 20_000.0;
    let square = values.iter().map(|v| v * v).sum::<f64>() / 20_000.0;
    // Five standard deviations of either mean.
    assert!(
        mean.abs() < 0.036 && (square - 1.0).abs() < 0.05,
        "{mean} {square}"
    );
}
