//! One scene stored in each of the eight ways a camera may turn or mirror it: every verb sees the same picture.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use app::measure::{MeasureOptions, Measured, measure};
use app::{Kernel, PictureOptions, PublishOptions, Rectify, Unwatched};
use imaging::Picture;
use imaging::pixels::{Encoding, Limits, decode, encode};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

const WIDE: u32 = 640;
const HIGH: u32 = 420;

/// Corners of a bright card of 60 mm × 40 mm and of a grey part of 20 mm × 12 mm, 0.2 mm a pixel, both askew.
const CARD: [[f64; 2]; 4] = [[40.0, 60.0], [339.0, 45.0], [349.0, 244.7], [50.0, 259.7]];
const PART: [[f64; 2]; 4] = [
    [420.0, 200.0],
    [519.0, 214.0],
    [510.6, 273.4],
    [411.6, 259.4],
];

fn inside(corners: &[[f64; 2]; 4], [x, y]: [f64; 2]) -> bool {
    (0..4).all(|i| {
        let ([ax, ay], [bx, by]) = (corners[i], corners[(i + 1) % 4]);
        (bx - ax) * (y - ay) - (by - ay) * (x - ax) > 0.0
    })
}

/// The scene as it is seen: each pixel the mean of 6 × 6 places.
fn scene() -> Picture {
    let mut rgb = Vec::new();
    for i in 0..WIDE * HIGH {
        let (x, y) = (f64::from(i % WIDE), f64::from(i / WIDE));
        let mut sum = 0;
        for k in 0..36 {
            let p = [
                x + (f64::from(k % 6) + 0.5) / 6.0,
                y + (f64::from(k / 6) + 0.5) / 6.0,
            ];
            sum += match () {
                () if inside(&CARD, p) => 210,
                () if inside(&PART, p) => 150,
                () => 60,
            };
        }
        let level = (sum / 36) as u8;
        // Colours tell places apart where levels do not.
        rgb.extend([
            level,
            level - (i % WIDE / 32) as u8,
            level - (i / WIDE / 32) as u8,
        ]);
    }
    Picture {
        width: WIDE,
        height: HIGH,
        rgb,
    }
}

/// The scene as a file that says how to turn it stores it. Source: CIPA DC-008, tag 274: where the file's first
/// row and first column are seen.
fn stored(seen: &Picture, orientation: u16) -> Picture {
    let (wide, high) = (seen.width, seen.height);
    let (width, height) = if orientation > 4 {
        (high, wide)
    } else {
        (wide, high)
    };
    let mut rgb = Vec::new();
    for row in 0..height {
        for column in 0..width {
            let (x, y) = match orientation {
                1 => (column, row),
                2 => (wide - 1 - column, row),
                3 => (wide - 1 - column, high - 1 - row),
                4 => (column, high - 1 - row),
                5 => (row, column),
                6 => (wide - 1 - row, column),
                7 => (wide - 1 - row, high - 1 - column),
                _ => (row, high - 1 - column),
            };
            let at = (y * wide + x) as usize * 3;
            rgb.extend(&seen.rgb[at..at + 3]);
        }
    }
    Picture { width, height, rgb }
}

/// A PNG file with an Exif block of one field behind its header (W3C PNG, 5.3, 11.3.4.5, annex D).
fn file(seen: &Picture, orientation: u16) -> Vec<u8> {
    let plain = encode(&stored(seen, orientation), Encoding::Png, None, None).unwrap();
    let mut tiff = b"MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0".to_vec();
    tiff.extend([orientation as u8, 0, 0, 0, 0, 0, 0]);
    let mut named = b"eXIf".to_vec();
    named.extend(&tiff);
    let mut check = u32::MAX;
    for byte in &named {
        check ^= u32::from(*byte);
        for _ in 0..8 {
            check = if check & 1 == 1 {
                check >> 1 ^ 0xedb8_8320
            } else {
                check >> 1
            };
        }
    }
    let mut bytes = plain[..33].to_vec();
    bytes.extend((tiff.len() as u32).to_be_bytes());
    bytes.extend(named);
    bytes.extend((!check).to_be_bytes());
    bytes.extend(&plain[33..]);
    bytes
}

const TEXT: &str = r#"format = 1
[product]
name = "Plate"
maker = "Nobody"
opened = 2026-01-05
invented = true

[[items]]
id = "plate"
name = "Plate"
kind = "product"

[[items]]
id = "part"
name = "Part"
kind = "part"
parent = "plate"

[[photos]]
id = "desk"
file = "desk.png"
caption = "Part beside a card"
references = [{ name = "card", shape = "rectangle", at = [[40.0, 60.0], [339.0, 45.0], [349.0, 244.7], [50.0, 259.7]], length = "60 mm", width = "40 mm", within = 0.3 }]
regions = [{ id = "part", rect = [410, 199, 111, 76], item = "part", outline = true }]

[[measures]]
id = "part-body"
photo = "desk"
item = "part"
what = "body"
at = [[420.0, 200.0], [519.0, 214.0], [510.6, 273.4], [411.6, 259.4]]
within = 0.3
height = "1 mm"
"#;

fn dossier(at: &Path, orientation: u16) -> PathBuf {
    let folder = at.join("plate");
    app::new(&folder).unwrap();
    fs::write(folder.join("dossier.toml"), TEXT).unwrap();
    fs::write(folder.join("photos/desk.png"), file(&scene(), orientation)).unwrap();
    folder
}

/// Everything that can be told of the scene, by name.
fn told(folder: &Path, publishes: bool) -> BTreeMap<String, Vec<u8>> {
    let dossier = app::check(folder, &Unwatched).unwrap();
    assert_eq!(dossier.photos[0].pixels, Some([WIDE, HIGH]));
    let mut all = BTreeMap::new();
    let rough = PART.map(|p| [p[0] + 1.0, p[1] - 0.7]);
    let plain = MeasureOptions {
        folder: folder.to_path_buf(),
        photo: Some("desk".to_string()),
        what: Some("body".to_string()),
        item: Some("part".to_string()),
        ..MeasureOptions::default()
    };
    let by_hand = MeasureOptions {
        at: Some(PART.to_vec()),
        ..plain.clone()
    };
    let snapped = MeasureOptions {
        at: Some(rough.to_vec()),
        snap: true,
        ..plain.clone()
    };
    for (name, options) in [
        ("recorded", plain),
        ("by hand", by_hand),
        ("snapped", snapped),
    ] {
        let Measured::Sizes { results, failed } = measure(&options, &Unwatched).unwrap() else {
            panic!("sizes were asked for");
        };
        assert_eq!(failed, Vec::<String>::new());
        let figures = format!("{:?} {:?}", results[0].measure.at, results[0].figures);
        all.insert(name.to_string(), figures.into_bytes());
    }
    let pictured = app::picture(
        &PictureOptions {
            rectify: Some(Rectify {
                per_mm: Some(4.0),
                kernel: Kernel::Bilinear,
            }),
            ..PictureOptions::of(folder)
        },
        &Unwatched,
    )
    .unwrap();
    all.extend(pictured.files.into_iter().map(|f| (f.path, f.bytes)));
    if !publishes {
        return all;
    }
    let published = app::publish(
        &PublishOptions {
            folder: folder.to_path_buf(),
            ..PublishOptions::default()
        },
        &Unwatched,
    )
    .unwrap();
    assert!(published.left_out.is_empty());
    all.extend(published.files.into_iter().map(|f| (f.path, f.bytes)));
    all
}

#[test]
fn a_scene_is_the_same_however_its_file_stores_it() {
    let place = TempDir::new().unwrap();
    let upright = told(&dossier(place.path(), 1), true);
    assert!(upright.len() >= 13, "{:?}", upright.keys());
    assert!(upright["report.html"].windows(6).any(|w| w == b"<svg x"));
    for orientation in 2..=8 {
        let place = TempDir::new().unwrap();
        // A report takes long to set: one turned and one mirrored stand for the others.
        let turned = told(
            &dossier(place.path(), orientation),
            matches!(orientation, 5 | 6),
        );
        assert!(turned.len() >= 8, "{:?}", turned.keys());
        for (name, bytes) in &turned {
            assert!(*bytes == upright[name], "{orientation}: {name}");
        }
    }
}

/// A colour profile of three channels, as far as its header goes (ICC.1, 7.2: colour space at byte 16).
fn profile() -> Vec<u8> {
    let mut profile = vec![0; 400];
    profile[16..20].copy_from_slice(b"RGB ");
    profile[200..].fill(7);
    profile
}

#[test]
fn the_colour_profile_goes_into_every_picture() {
    let place = TempDir::new().unwrap();
    let folder = dossier(place.path(), 1);
    let photo = encode(&scene(), Encoding::Png, None, Some(&profile())).unwrap();
    fs::write(folder.join("photos/desk.png"), photo).unwrap();
    let options = PictureOptions {
        rectify: Some(Rectify {
            per_mm: Some(4.0),
            kernel: Kernel::Bilinear,
        }),
        ..PictureOptions::of(&folder)
    };
    let pictured = app::picture(&options, &Unwatched).unwrap();
    let mut pngs = 0;
    for file in pictured.files.iter().filter(|f| f.path.ends_with(".png")) {
        let read = decode(&file.bytes, &Limits::default()).unwrap();
        assert_eq!(read.profile, Some(profile()), "{}", file.path);
        pngs += 1;
    }
    assert_eq!(pngs, 3);
}

#[test]
fn a_photograph_that_cannot_be_decoded_is_a_mistake() {
    let place = TempDir::new().unwrap();
    let folder = dossier(place.path(), 1);
    let whole = fs::read(folder.join("photos/desk.png")).unwrap();
    assert!(app::check(&folder, &Unwatched).is_ok());
    let mut spoilt = whole.clone();
    for byte in &mut spoilt[whole.len() / 2..whole.len() / 2 + 200] {
        *byte = !*byte;
    }
    for (bytes, why) in [
        (&whole[..whole.len() / 2], "ends inside"),
        (&spoilt[..], "cannot be decoded"),
    ] {
        fs::write(folder.join("photos/desk.png"), bytes).unwrap();
        let mistakes = app::check(&folder, &Unwatched).unwrap_err();
        let [mistake] = mistakes.0.as_slice() else {
            panic!("{mistakes}");
        };
        assert!(
            mistake.message.contains("photos/desk.png cannot be shown"),
            "{mistake:?}"
        );
        assert!(mistake.message.contains(why), "{mistake:?}");
        assert!(
            mistake.remedy.contains("copy the file again"),
            "{mistake:?}"
        );
        assert!(
            TEXT.lines()
                .nth(mistake.line - 1)
                .unwrap()
                .contains("desk.png")
        );
        // Nothing else needs its pixels: what was recorded can still be worked on.
        assert!(app::open(&folder, &Unwatched).is_ok());
    }
}
