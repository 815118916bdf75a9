//! Notes are found, and gone from a cleaned file, while pixels, profile and orientation stay.

use crate::files;
use image::{DynamicImage, ImageReader};
use imaging::pixels::metadata::{Format, clean, find};
use imaging::pixels::{Fault, Limits, PictureError, decode};
use proptest::prelude::*;
use std::io::Cursor;

fn with_notes(orientation: u16) -> [Vec<u8>; 3] {
    [
        files::jpeg_with_notes(40, 24, orientation),
        files::png_with_notes(40, 24, orientation),
        files::webp_with_notes(40, 24, orientation),
    ]
}

fn decoded(bytes: &[u8]) -> DynamicImage {
    ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .unwrap()
        .decode()
        .unwrap()
}

fn holds(bytes: &[u8], words: &[u8]) -> bool {
    bytes.windows(words.len()).any(|w| w == words)
}

#[test]
fn no_note_is_left_and_no_pixel_changes() {
    for file in with_notes(6) {
        let cleaned = clean(&file).unwrap();
        for word in [
            &b"GPSLatitude"[..],
            b"Abc",
            b"Jo",
            b"unheard",
            b"behind",
            b"now",
            b"Photoshop",
        ] {
            assert!(
                !holds(&cleaned.bytes, word),
                "{:?}",
                String::from_utf8_lossy(word)
            );
        }
        assert_eq!(decoded(&file), decoded(&cleaned.bytes));
        assert!(
            cleaned
                .removed
                .iter()
                .any(|r| r == "Exif (camera, time, place, preview picture)"),
            "{:?}",
            cleaned.removed
        );
        assert!(
            cleaned
                .removed
                .iter()
                .any(|r| r.contains("speaks of a place")),
            "{:?}",
            cleaned.removed
        );
        assert!(find(&file).unwrap().tells_place && !find(&cleaned.bytes).unwrap().tells_place);
    }
}

#[test]
fn cleaning_twice_changes_nothing_more() {
    for file in with_notes(6) {
        let once = clean(&file).unwrap().bytes;
        let twice = clean(&once).unwrap();
        assert_eq!(twice.bytes, once);
        assert!(twice.removed.is_empty());
    }
}

/// Source: an independent reader of Exif (crate `kamadak-exif`).
#[test]
fn another_reader_finds_the_orientation_and_nothing_else() {
    for number in 2..=8 {
        for file in with_notes(number) {
            let read = |bytes: &[u8]| {
                exif::Reader::new()
                    .read_from_container(&mut Cursor::new(bytes))
                    .unwrap()
            };
            assert!(read(&file).fields().count() >= 7);
            let left = read(&clean(&file).unwrap().bytes);
            let fields: Vec<_> = left.fields().collect();
            assert_eq!(fields.len(), 1);
            assert_eq!(fields[0].tag, exif::Tag::Orientation);
            assert_eq!(fields[0].value.get_uint(0), Some(u32::from(number)));
        }
    }
}

#[test]
fn an_upright_picture_needs_no_exif() {
    for file in with_notes(1) {
        let cleaned = clean(&file).unwrap().bytes;
        assert!(
            exif::Reader::new()
                .read_from_container(&mut Cursor::new(&cleaned))
                .is_err()
        );
        assert!(find(&cleaned).unwrap().notes.is_empty());
    }
}

#[test]
fn profile_and_resolution_stay() {
    let [jpeg, png, webp] = with_notes(3).map(|f| clean(&f).unwrap().bytes);
    assert!(holds(&jpeg, b"ICC_PROFILE\0\x01\x01the profile"));
    assert!(holds(&jpeg, b"JFIF\0"));
    assert!(holds(&png, b"pHYs\0\0\x3d\x09"));
    assert!(holds(&webp, b"ICCP\x0b\0\0\0the profile"));
}

#[test]
fn the_place_is_read_with_its_sign() {
    for file in with_notes(1) {
        let place = find(&file).unwrap().location.unwrap();
        assert!((place.latitude_deg + 47.51).abs() < 1e-9, "{place:?}");
        assert!((place.longitude_deg - 8.25).abs() < 1e-9, "{place:?}");
    }
}

#[test]
fn a_preview_in_the_jfif_header_goes() {
    let plain = files::jpeg(16, 16);
    let mut body = b"JFIF\0\x01\x02\x01\x00\x48\x00\x48\x01\x01".to_vec();
    body.extend([9, 8, 7]);
    let mut file = plain[..2].to_vec();
    file.extend(files::segment(0xe0, &body));
    file.extend(&plain[20..]);
    let cleaned = clean(&file).unwrap();
    assert_eq!(
        &cleaned.bytes[2..20],
        files::segment(0xe0, b"JFIF\0\x01\x02\x01\x00\x48\x00\x48\0\0")
    );
    assert_eq!(cleaned.removed, ["preview picture"]);
}

#[test]
fn every_cut_is_refused_with_its_place() {
    for file in with_notes(6) {
        let end = file.len()
            - if Format::of(&file) == Some(Format::WebP) {
                1
            } else {
                30
            };
        for cut in (0..end).step_by(7) {
            let error = clean(&file[..cut]).unwrap_err();
            match error.fault {
                Fault::NotAPicture => assert!(cut < 12),
                Fault::Ends { .. } => assert!(error.at.is_some_and(|at| at <= cut as u64)),
                _ => panic!("{error}"),
            }
        }
    }
}

#[test]
fn a_message_names_place_and_remedy() {
    let error: PictureError = clean(&files::jpeg_with_notes(8, 8, 1)[..100]).unwrap_err();
    assert_eq!(
        (error.to_string().as_str(), error.remedy()),
        (
            "the file ends inside segment E1 (byte 4)",
            "copy the file again from the camera or its card"
        )
    );
}

/// Source: independent readers of the result (crates `png`, through `image`, and `kamadak-exif`).
#[test]
fn a_tiff_photograph_becomes_an_upright_png_with_profile_and_resolution() {
    let mut profile = vec![0; 140];
    profile[16..20].copy_from_slice(b"RGB ");
    for number in [1, 6] {
        let file = files::tiff_with_notes(20, 12, number, &profile);
        let found = find(&file).unwrap();
        assert!(found.tells_place && found.has_profile);
        assert_eq!(u16::from(found.orientation), number);
        let cleaned = clean(&file).unwrap();
        assert_eq!(cleaned.removed, found.notes);
        assert_eq!(cleaned.removed, ["Exif (camera, XMP, private fields)"]);
        assert_eq!(Format::of(&cleaned.bytes), Some(Format::Png));
        let picture = decode(&file, &Limits::default()).unwrap();
        let shown = decoded(&cleaned.bytes).into_rgb8();
        assert_eq!(
            shown.dimensions(),
            (picture.picture.width, picture.picture.height)
        );
        assert_eq!(shown.into_raw(), picture.picture.rgb);
        let again = decode(&cleaned.bytes, &Limits::default()).unwrap();
        assert_eq!(again.profile.as_deref(), Some(profile.as_slice()));
        // 300 pixels an inch are 11,811 a metre.
        assert!(holds(&cleaned.bytes, b"pHYs\0\0\x2e\x23\0\0\x2e\x23\x01"));
        for word in [&b"GPSLatitude"[..], b"Abc", b"secret"] {
            assert!(!holds(&cleaned.bytes, word));
        }
        assert!(find(&cleaned.bytes).unwrap().notes.is_empty());
        for cut in (0..file.len()).step_by(7) {
            assert!(clean(&file[..cut]).is_err(), "{cut}");
        }
    }
    assert!(find(&files::tiff(8, 8)).unwrap().notes.is_empty());
}

proptest! {
    #[test]
    fn damaged_files_never_panic(which in 0usize..3, hits in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..8)) {
        let mut file = with_notes(6)[which].clone();
        for (place, value) in hits {
            let at = place.index(file.len());
            file[at] = value;
        }
        if let Ok(cleaned) = clean(&file) {
            prop_assert!(cleaned.bytes.len() <= file.len() + 64);
            prop_assert!(clean(&cleaned.bytes).is_ok());
        }
    }

    #[test]
    fn any_bytes_never_panic(mut bytes in prop::collection::vec(any::<u8>(), 0..400), which in 0usize..5) {
        let starts: [&[u8]; 5] = [&[0xff, 0xd8, 0xff], b"\x89PNG\r\n\x1a\n", b"RIFF\x40\0\0\0WEBP", b"II\x2a\0\x08\0\0\0", b"MM\0\x2a\0\0\0\x08"];
        bytes.splice(0..0, starts[which].iter().copied());
        let _ = (clean(&bytes), find(&bytes));
    }
}

/// GIF 89a, sections 24 and 26: comments and blocks of applications stand anywhere in the file.
#[test]
fn a_gif_is_written_anew_without_its_notes() {
    let file = files::gif_with_notes(40, 24);
    let found = find(&file).unwrap();
    assert!(found.tells_place);
    assert_eq!(
        found.notes,
        [
            "comment",
            "block of an application (speaks of a place)",
            "pictures after the first",
        ]
    );
    let cleaned = clean(&file).unwrap();
    assert_eq!(cleaned.removed, found.notes);
    assert_eq!(Format::of(&cleaned.bytes), Some(Format::Png));
    for word in [&b"Jo"[..], b"GPSLatitude", b"XMP"] {
        assert!(!holds(&cleaned.bytes, word));
    }
    assert_eq!(
        decoded(&file).into_rgb8(),
        decoded(&cleaned.bytes).into_rgb8()
    );
    let limits = Limits::default();
    assert_eq!(decode(&file, &limits).unwrap().format, Format::Gif);
    for cut in 0..file.len() / 2 {
        let part = &file[..cut];
        let _ = (find(part), decode(part, &limits), clean(part));
    }
    let small = Limits { most_pixels: 959 };
    assert!(matches!(
        decode(&file, &small).unwrap_err().fault,
        Fault::TooLarge {
            width: 40,
            height: 24,
            ..
        }
    ));
}

/// The block is written by an independent writer (crate `kamadak-exif`).
#[test]
fn when_it_was_taken_is_told_where_the_offset_is_noted_too() {
    use exif::{Field, In, Tag, Value, experimental::Writer};
    let block = |fields: &[(Tag, &str)]| {
        let fields: Vec<Field> = fields
            .iter()
            .map(|(tag, text)| Field {
                tag: *tag,
                ifd_num: In::PRIMARY,
                value: Value::Ascii(vec![text.as_bytes().to_vec()]),
            })
            .collect();
        let mut writer = Writer::new();
        fields.iter().for_each(|field| writer.push_field(field));
        let mut out = Cursor::new(Vec::new());
        writer.write(&mut out, false).unwrap();
        let mut file = files::jpeg_with_notes(8, 8, 1);
        let mut app1 = vec![0xff, 0xe1];
        let content = [b"Exif\0\0".to_vec(), out.into_inner()].concat();
        app1.extend((content.len() as u16 + 2).to_be_bytes());
        app1.extend(content);
        file.splice(2..2, app1);
        find(&file).unwrap().taken
    };
    let (taken, offset) = (Tag::DateTimeOriginal, Tag::OffsetTimeOriginal);
    let both = block(&[(taken, "2026:03:01 14:05:00"), (offset, "+01:00")]);
    assert_eq!(both.unwrap(), "2026-03-01T14:05:00+01:00");
    assert_eq!(block(&[(taken, "2026:03:01 14:05:00")]), None);
    assert_eq!(block(&[(offset, "+01:00")]), None);
}
