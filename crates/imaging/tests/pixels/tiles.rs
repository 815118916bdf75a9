//! Pyramids hold the picture, and their names follow from its content.

use crate::files;
use imaging::Picture;
use imaging::pixels::{
    Encoding, Fault, Format, Limits, Part, Photo, TileOptions, cut, decode, downscale, encode,
    halve, key, levels, preview_part, pyramid,
};
use std::collections::BTreeMap;

fn photo(width: u32, height: u32) -> Photo {
    let rgb = files::pattern(width, height);
    Photo {
        picture: Picture { width, height, rgb },
        profile: None,
        format: Format::Png,
        orientation: 1,
    }
}

fn parts(
    photo: &Photo,
    options: &TileOptions,
) -> (
    Vec<imaging::pixels::Level>,
    BTreeMap<String, Picture>,
    Vec<f64>,
) {
    let mut all = BTreeMap::new();
    let mut shares = Vec::new();
    let mut sink = |part: Part, share: f64| {
        all.insert(
            part.name,
            decode(&part.bytes, &Limits::default()).unwrap().picture,
        );
        shares.push(share);
        true
    };
    let levels = pyramid("k", photo, options, &mut sink).unwrap();
    (levels, all, shares)
}

#[test]
fn tiles_cover_each_level_and_look_like_it() {
    let photo = photo(700, 300);
    let options = TileOptions {
        tile: 256,
        preview: 350,
        quality: 95,
    };
    let (levels, parts, shares) = parts(&photo, &options);
    let sizes: Vec<_> = levels
        .iter()
        .map(|l| [l.width, l.height, l.columns, l.rows])
        .collect();
    assert_eq!(sizes, [[700, 300, 3, 2], [350, 150, 2, 1], [175, 75, 1, 1]]);
    assert_eq!(parts.len(), 6 + 2 + 1);
    assert!(shares.is_sorted() && shares.last() == Some(&1.0));
    let mut level = photo.picture;
    for (index, l) in levels.iter().enumerate() {
        for row in 0..l.rows {
            for column in 0..l.columns {
                let tile = &parts[&format!("k/{index}/{column}-{row}.jpg")];
                let whole = cut(&level, column * 256, row * 256, 256);
                assert_eq!((tile.width, tile.height), (whole.width, whole.height));
                assert!(
                    apart(tile, &whole) < 3.0,
                    "{index} {column} {row}: {}",
                    apart(tile, &whole)
                );
            }
        }
        level = halve(&level);
    }
}

fn apart(a: &Picture, b: &Picture) -> f64 {
    let sum: u64 = a
        .rgb
        .iter()
        .zip(&b.rgb)
        .map(|(a, b)| u64::from(a.abs_diff(*b)))
        .sum();
    sum as f64 / a.rgb.len() as f64
}

#[test]
fn a_preview_is_the_picture_made_small() {
    for (width, height, longest) in [
        (700, 300, 350),
        (300, 700, 200),
        (700, 300, 699),
        (64, 64, 2048),
    ] {
        let options = TileOptions {
            preview: longest,
            quality: 95,
            ..TileOptions::default()
        };
        let photo = photo(width, height);
        let small = downscale(&photo.picture, longest);
        for encoding in [Encoding::Png, Encoding::Jpeg(97)] {
            let file = encode(&photo.picture, encoding, None, None).unwrap();
            let part = preview_part("k", &file, &options, &Limits::default()).unwrap();
            assert_eq!(part.name, "k/preview.jpg");
            let found = decode(&part.bytes, &Limits::default()).unwrap().picture;
            assert!(apart(&found, &small) < 5.0, "{}", apart(&found, &small));
        }
        assert_eq!(
            small.width.max(small.height),
            longest.min(width.max(height))
        );
    }
}

#[test]
fn names_follow_from_content_and_options() {
    let options = TileOptions::default();
    let name = key(b"a file", &options);
    assert_eq!(name.len(), 32);
    assert_eq!(name, key(b"a file", &options));
    assert_ne!(name, key(b"another", &options));
    assert_ne!(
        name,
        key(
            b"a file",
            &TileOptions {
                quality: 86,
                ..options
            }
        )
    );
}

#[test]
fn the_work_stops_when_told() {
    let error = pyramid(
        "k",
        &photo(600, 20),
        &TileOptions::default(),
        &mut |_, _| false,
    )
    .unwrap_err();
    assert_eq!(error.fault, Fault::Stopped);
    assert_eq!(levels(1, 1, 0).len(), 1);
    assert_eq!(levels(8000, 6000, 256).len(), 6);
}
