//! The drawn picture has the geometry that the scene states, measured in its pixels.

#![allow(clippy::unwrap_used, reason = "helpers of tests may stop the test")]

use imaging::Picture;
use scene::{Scene, known_length, regions, render};

fn scene(text: &str) -> Scene {
    toml_edit::de::from_str(text).unwrap()
}

fn ruler_at(scale: f32) -> Scene {
    scene(&format!(
        "id = \"r\"\ncaption = \"\"\nsize = [50, 20]\nscale = {scale}\nruler = {{ zero = [6, 5], length = 40 }}"
    ))
}

fn grey(picture: &Picture, x: u32, y: u32) -> f64 {
    let at = ((y * picture.width + x) * 3) as usize;
    picture.rgb[at..at + 3]
        .iter()
        .map(|&v| f64::from(v))
        .sum::<f64>()
        / 3.0
}

/// Returns the middle of the dark line near column `near`, from the mean of several rows.
fn line_near(picture: &Picture, near: f64, rows: std::ops::Range<u32>) -> f64 {
    let columns = (near - 5.0) as u32..(near + 5.0) as u32;
    let dark = |x: u32| {
        let mean =
            rows.clone().map(|y| grey(picture, x, y)).sum::<f64>() / f64::from(rows.len() as u32);
        (170.0 - mean).max(0.0)
    };
    let weight: f64 = columns.clone().map(dark).sum();
    columns.map(|x| (f64::from(x) + 0.5) * dark(x)).sum::<f64>() / weight
}

#[track_caller]
fn ticks_are_spaced(scale: f32) {
    let picture = render(&ruler_at(scale));
    let top = (5.0 * scale) as u32;
    let rows = top + 4..top + (1.8 * scale) as u32;
    for mm in 0..=40 {
        let expected = f64::from(scale) * f64::from(6 + mm);
        let found = line_near(&picture, expected, rows.clone());
        assert!(
            (found - expected).abs() < 0.05,
            "tick {mm} at {found}, expected {expected}"
        );
    }
}

#[test]
fn ticks_stand_a_millimetre_apart_at_twenty_pixels() {
    ticks_are_spaced(20.0);
}

#[test]
fn ticks_stand_a_millimetre_apart_at_an_odd_scale() {
    ticks_are_spaced(12.5);
}

#[test]
fn the_known_length_spans_the_marked_millimetres() {
    let known = known_length(&ruler_at(22.0)).unwrap();
    assert_eq!(known.length_mm, 40);
    assert_eq!(known.to[0] - known.from[0], 880.0);
    assert_eq!(known.from[1], known.to[1]);
}

const PART: &str = r##"
id = "p"
caption = ""
size = [20, 15]
scale = 20
mat = { colour = "#202020", grid = 0 }

[[shapes]]
shape = "body"
region = "u1"
item = "chip"
at = [4, 3]
size = [6, 4.5]
colour = "#e0e0e0"

[[shapes]]
shape = "disc"
region = "lens"
middle = [15, 10]
diameter = 3
colour = "#e0e0e0"

[[shapes]]
shape = "bar"
points = [[1, 13], [4, 13]]
width = 0.5
colour = "#e0e0e0"
"##;

#[test]
fn a_part_is_as_many_pixels_as_its_size_times_the_scale() {
    let scene = scene(PART);
    let places = regions(&scene);
    assert_eq!(places.len(), 2, "shapes without a region id are no regions");
    assert_eq!(places[0].rect, [80, 60, 120, 90]);
    assert_eq!(places[0].item.as_deref(), Some("chip"));
    assert_eq!(places[1].rect, [270, 170, 60, 60]);

    let picture = render(&scene);
    let bright = |x, y| grey(&picture, x, y) > 110.0;
    let across = (0..400).filter(|&x| bright(x, 100)).count();
    let down = (0..300).filter(|&y| bright(100, y)).count();
    assert_eq!((across, down), (120, 90));
    assert!(bright(80, 60) && !bright(79, 100) && bright(199, 149) && !bright(200, 100));
}

#[test]
fn the_same_scene_gives_the_same_bytes() {
    let (a, b) = (render(&scene(PART)), render(&scene(PART)));
    assert_eq!(a, b);
    // Every pixel weighed by its place, as on the machine where this was set down: all draw alike.
    let weighed = a.rgb.iter().zip(1_u64..).map(|(v, at)| u64::from(*v) * at);
    assert_eq!(weighed.sum::<u64>(), 3_314_785_175_277);
}

/// The file says what a reader needs (JFIF 1.02: dots per centimetre), and holds the picture within what
/// compression of quality 90 and more loses.
#[test]
fn the_written_picture_reads_back_with_its_scale() {
    let drawn = render(&scene(PART));
    let jpeg = scene::jpeg(&drawn, 20.0).unwrap();
    assert_eq!(&jpeg[6..11], b"JFIF\0");
    assert_eq!(jpeg[13..18], [2, 0, 200, 0, 200]);
    let read = imaging::pixels::decode(&jpeg, &imaging::pixels::Limits::default()).unwrap();
    assert_eq!(
        [read.picture.width, read.picture.height],
        [drawn.width, drawn.height]
    );
    let away: u64 = read
        .picture
        .rgb
        .iter()
        .zip(&drawn.rgb)
        .map(|(a, b)| u64::from(a.abs_diff(*b)))
        .sum();
    let mean = away as f64 / drawn.rgb.len() as f64;
    assert!(mean < 3.0, "{mean}");
}

#[test]
fn another_seed_changes_only_the_noise() {
    let (mut one, mut two) = (scene(PART), scene(PART));
    (one.seed, two.seed) = (1, 2);
    let (a, b) = (render(&one), render(&two));
    assert_ne!(a, b);
    let worst = a.rgb.iter().zip(&b.rgb).map(|(x, y)| x.abs_diff(*y)).max();
    assert!(worst.unwrap() <= 6, "{worst:?}");
}

#[test]
fn regions_are_cut_at_the_edge_of_the_picture() {
    let text = PART.replace("at = [4, 3]", "at = [16, -2]");
    assert_eq!(regions(&scene(&text))[0].rect, [320, 0, 80, 50]);
}

#[test]
fn strange_numbers_do_not_stop_the_drawing() {
    for odd in ["nan", "inf", "-5", "0", "1e30"] {
        for field in [
            "scale = 20",
            "size = [6, 4.5]",
            "diameter = 3",
            "width = 0.5",
        ] {
            let (name, value) = field.split_once(" = ").unwrap();
            let put = if value.starts_with('[') {
                format!("[{odd}, {odd}]")
            } else {
                odd.to_string()
            };
            if name == "scale" && odd == "1e30" {
                continue; // 40 million pixels: too slow for a test, limited in `Canvas::new`.
            }
            let scene = scene(&PART.replace(field, &format!("{name} = {put}")));
            let picture = render(&scene);
            let [width, height] = [picture.width, picture.height];
            let held = u64::from(width) * u64::from(height) * 3;
            assert_eq!(picture.rgb.len() as u64, held, "{name} = {put}");
            if name != "scale" {
                assert_eq!([width, height], [400, 300], "{name} = {put}");
                // What has no end may cover everything; beside all others the table stays #202020.
                let table = grey(&picture, 390, 10);
                let endless = ["inf", "1e30"].contains(&odd);
                assert!(
                    endless || (10.0..60.0).contains(&table),
                    "{name} = {put}: {table}"
                );
            }
            // Without a usable scale there is no picture for a region to lie in.
            let whole = if name == "scale" {
                Vec::new()
            } else {
                regions(&scene)
            };
            for region in whole {
                let [left, top, across, down] = region.rect;
                let inside = left.saturating_add(across) <= width.max(1)
                    && top.saturating_add(down) <= height.max(1);
                assert!(inside, "{name} = {put}: {:?}", region.rect);
            }
        }
    }
}

#[test]
fn a_colour_that_is_none_is_refused_with_its_text() {
    let wrong = PART.replace("#202020", "#20zz20");
    let error = toml_edit::de::from_str::<Scene>(&wrong)
        .unwrap_err()
        .to_string();
    assert!(
        error.contains("#rrggbb") && error.contains("#20zz20"),
        "{error}"
    );
}
