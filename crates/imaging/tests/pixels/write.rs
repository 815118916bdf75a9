//! Written files hold the pixels, the resolution and the profile.

use crate::files;
use imaging::Picture;
use imaging::pixels::{Encoding, Fault, Limits, decode, encode};

fn picture() -> Picture {
    Picture {
        width: 31,
        height: 17,
        rgb: files::pattern(31, 17),
    }
}

fn profile() -> Vec<u8> {
    let mut profile = vec![5u8; 201];
    profile[16..20].copy_from_slice(b"RGB ");
    profile
}

#[test]
fn pixels_and_profile_come_back() {
    for encoding in [
        Encoding::Png,
        Encoding::Tiff,
        Encoding::Jpeg(95),
        Encoding::Jpeg(80),
    ] {
        let file = encode(&picture(), encoding, Some(47.5), Some(&profile())).unwrap();
        let back = decode(&file, &Limits::default()).unwrap();
        assert_eq!(back.profile, Some(profile()), "{encoding:?}");
        if matches!(encoding, Encoding::Jpeg(_)) {
            let sum: u64 = back
                .picture
                .rgb
                .iter()
                .zip(&picture().rgb)
                .map(|(a, b)| u64::from(a.abs_diff(*b)))
                .sum();
            assert!(
                sum < 12 * back.picture.rgb.len() as u64,
                "{encoding:?} {sum}"
            );
        } else {
            assert_eq!(back.picture, picture());
        }
    }
}

/// Source: JFIF 1.02 (units 2: dots per centimetre); PNG 11.3.4.3 (unit 1: metre).
#[test]
fn the_resolution_stands_where_the_format_has_it() {
    let jpeg = encode(&picture(), Encoding::Jpeg(80), Some(47.5), None).unwrap();
    assert_eq!(&jpeg[6..18], b"JFIF\0\x01\x02\x02\x01\xdb\x01\xdb");
    let png = encode(&picture(), Encoding::Png, Some(47.5), None).unwrap();
    assert_eq!(
        png[33..54],
        files::png_chunk(b"pHYs", b"\0\0\xb9\x8c\0\0\xb9\x8c\x01")
    );
    assert_eq!(
        encode(&picture(), Encoding::Png, Some(f64::NAN), None)
            .unwrap()
            .windows(4)
            .filter(|w| *w == b"pHYs")
            .count(),
        0
    );
}

/// Source: an independent reader of TIFF directories (crate `kamadak-exif`).
#[test]
fn another_reader_finds_the_resolution_of_a_tiff() {
    let tiff = encode(&picture(), Encoding::Tiff, Some(47.5), Some(&profile())).unwrap();
    let read = exif::Reader::new()
        .read_from_container(&mut std::io::Cursor::new(&tiff))
        .unwrap();
    for tag in [exif::Tag::XResolution, exif::Tag::YResolution] {
        match &read.get_field(tag, exif::In::PRIMARY).unwrap().value {
            exif::Value::Rational(v) => assert_eq!(v[0].to_f64(), 475.0),
            other => panic!("{other:?}"),
        }
    }
    assert_eq!(
        read.get_field(exif::Tag::ResolutionUnit, exif::In::PRIMARY)
            .unwrap()
            .value
            .get_uint(0),
        Some(3)
    );
}

#[test]
fn what_cannot_be_written_is_refused() {
    let wide = Picture {
        width: 70_000,
        height: 1,
        rgb: vec![0; 210_000],
    };
    let fault =
        |picture: &Picture, encoding| encode(picture, encoding, None, None).unwrap_err().fault;
    // ITU-T T.81, B.2.2: a frame has at most 65,535 samples a line.
    let too_wide = fault(&wide, Encoding::Jpeg(80));
    assert!(
        matches!(&too_wide, Fault::Unwritten(why) if why.contains("65")),
        "{too_wide:?}"
    );
    let tiff = encode(&wide, Encoding::Tiff, None, None).unwrap();
    let read = image::load_from_memory(&tiff).unwrap();
    assert_eq!((read.width(), read.height()), (70_000, 1));
    for bad in [
        Picture {
            width: 0,
            height: 0,
            rgb: vec![],
        },
        Picture {
            width: 2,
            height: 2,
            rgb: vec![0; 3],
        },
    ] {
        for encoding in [Encoding::Png, Encoding::Tiff, Encoding::Jpeg(80)] {
            let fault = fault(&bad, encoding);
            assert!(
                matches!(fault, Fault::Unwritten(_)),
                "{encoding:?}: {fault:?}"
            );
        }
    }
}
