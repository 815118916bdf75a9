//! The demo's photographs, scenes and dossier belong together.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "a test reads its cases from the disk"
)]
#![allow(clippy::unwrap_used, reason = "helpers of tests may stop the test")]

use scene::{Scene, draw, known_length, regions};
use serde::Deserialize;
use std::fs;
use std::path::PathBuf;

/// Largest size of a committed photograph, bytes.
const MOST_BYTES: u64 = 250_000;

#[derive(Deserialize)]
struct Dossier {
    photos: Vec<Photo>,
}

#[derive(Deserialize)]
struct Photo {
    id: String,
    file: String,
    caption: String,
    scale: Option<Scale>,
    #[serde(default)]
    regions: Vec<Region>,
}

#[derive(Deserialize)]
struct Scale {
    from: [f64; 2],
    to: [f64; 2],
    length: String,
}

#[derive(Deserialize)]
struct Region {
    id: String,
    rect: [u32; 4],
    item: Option<String>,
    caption: Option<String>,
}

fn demo() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp")
}

fn photos() -> Vec<Photo> {
    let text = fs::read_to_string(demo().join("dossier.toml")).unwrap();
    toml_edit::de::from_str::<Dossier>(&text).unwrap().photos
}

fn read(id: &str) -> Scene {
    let file = demo().join("scenes").join(format!("{id}.toml"));
    toml_edit::de::from_str(&fs::read_to_string(file).unwrap()).unwrap()
}

fn scene_of(photo: &Photo) -> Scene {
    read(&photo.id).completed(|id| Some(read(id))).unwrap()
}

#[test]
fn every_scene_has_its_photo_entry() {
    let scenes = fs::read_dir(demo().join("scenes")).unwrap().count();
    let photos = photos();
    assert_eq!(scenes, photos.len());
    assert!(scenes >= 8);
}

#[test]
fn regions_captions_and_scale_in_the_dossier_are_those_of_the_scenes() {
    for photo in photos() {
        let scene = scene_of(&photo);
        assert_eq!(photo.caption, scene.caption, "{}", photo.id);
        let places = regions(&scene);
        assert_eq!(places.len(), photo.regions.len(), "{}", photo.id);
        for (region, place) in photo.regions.iter().zip(&places) {
            assert_eq!(region.id, place.id, "{}", photo.id);
            assert_eq!(region.rect, place.rect, "{}#{}", photo.id, region.id);
            assert_eq!(region.item, place.item, "{}#{}", photo.id, region.id);
            assert_eq!(region.caption, place.caption, "{}#{}", photo.id, region.id);
            let [x, y, w, h] = region.rect.map(f64::from);
            let [width, height] = scene.picture();
            assert!(w > 0.0 && h > 0.0 && x + w <= width.round() && y + h <= height.round());
        }
        match (&photo.scale, known_length(&scene)) {
            (Some(scale), Some(known)) => {
                assert_eq!(
                    (scale.from, scale.to),
                    (known.from, known.to),
                    "{}",
                    photo.id
                );
                assert_eq!(
                    scale.length,
                    format!("{} mm", known.length_mm),
                    "{}",
                    photo.id
                );
            }
            (None, None) => {}
            _ => panic!("{}: scale in only one of dossier and scene", photo.id),
        }
    }
}

#[test]
fn committed_photographs_are_what_the_scenes_draw() {
    for photo in photos() {
        let scene = scene_of(&photo);
        let path = demo().join("photos").join(&photo.file);
        let bytes = fs::read(&path).unwrap();
        assert!(
            bytes.len() as u64 <= MOST_BYTES,
            "{}: {} bytes",
            photo.file,
            bytes.len()
        );
        let drawn = draw(&scene).unwrap();
        let committed = image::load_from_memory(&bytes).unwrap().to_rgb8();
        let drawn = image::load_from_memory(&drawn).unwrap().to_rgb8();
        assert_eq!(committed.dimensions(), drawn.dimensions(), "{}", photo.file);
        let pairs = committed.as_raw().iter().zip(drawn.as_raw());
        let apart: u64 = pairs.map(|(a, b)| u64::from(a.abs_diff(*b))).sum();
        let mean = apart as f64 / committed.as_raw().len() as f64;
        assert!(
            mean < 0.5,
            "{}: draw it anew, mean difference {mean}",
            photo.file
        );
    }
}
