//! Photographs taken in: every orientation, every format, and what is refused.

use crate::files;
use image::{ExtendedColorType, ImageEncoder};
use imaging::pixels::metadata::Format;
use imaging::pixels::{Fault, Limits, decode, size};
use proptest::prelude::*;
use std::io::Cursor;

fn photo(bytes: &[u8]) -> imaging::pixels::Photo {
    decode(bytes, &Limits::default()).unwrap()
}

fn fault(bytes: &[u8]) -> Fault {
    decode(bytes, &Limits::default()).unwrap_err().fault
}

#[test]
fn lossless_formats_give_the_pixels_that_were_written() {
    for file in [files::png(37, 21), files::webp(37, 21), files::tiff(37, 21)] {
        let found = photo(&file);
        assert_eq!(
            found.picture.rgb,
            files::pattern(37, 21),
            "{:?}",
            found.format
        );
        assert_eq!((found.picture.width, found.picture.height), (37, 21));
        assert_eq!(found.orientation, 1);
    }
}

/// Source: CIPA DC-008, tag 274: where row 0 and column 0 of the stored picture stand upright.
#[test]
fn every_orientation_puts_the_stored_corner_where_the_standard_says() {
    let stored = files::pattern(20, 12);
    for number in 1..=8u16 {
        let found = photo(&files::png_with_notes(20, 12, number));
        let (w, h) = if number > 4 { (12, 20) } else { (20, 12) };
        assert_eq!((found.picture.width, found.picture.height), (w, h));
        assert_eq!(u16::from(found.orientation), number);
        assert_eq!(
            size(&files::png_with_notes(20, 12, number), &Limits::default())
                .map(|s| (s.width, s.height)),
            Ok((w, h))
        );
        for (x, y) in [(0, 0), (19, 0), (3, 7), (19, 11), (0, 11)] {
            // Row 0 is at the top (1, 2), bottom (3, 4), left (5, 8) or right (6, 7); column 0 at
            // the left (1, 4), right (2, 3), top (5, 6) or bottom (7, 8).
            let (right, down) = (19 - x, 11 - y);
            let (u, v) = match number {
                1 => (x, y),
                2 => (right, y),
                3 => (right, down),
                4 => (x, down),
                5 => (y, x),
                6 => (down, x),
                7 => (down, right),
                _ => (y, right),
            };
            let old = (y * 20 + x) * 3;
            let new = (v * w as usize + u) * 3;
            assert_eq!(
                found.picture.rgb[new..new + 3],
                stored[old..old + 3],
                "{number}: {x} {y}"
            );
        }
    }
}

#[test]
fn orientation_is_respected_in_jpeg_and_webp_too() {
    for number in [3, 6] {
        let jpeg = photo(&files::jpeg_with_notes(40, 24, number));
        let webp = photo(&files::webp_with_notes(40, 24, number));
        let turned = number == 6;
        assert_eq!(jpeg.picture.width, if turned { 24 } else { 40 });
        assert_eq!(
            (jpeg.picture.width, jpeg.picture.height),
            (webp.picture.width, webp.picture.height)
        );
        let mean: f64 = jpeg
            .picture
            .rgb
            .iter()
            .zip(&webp.picture.rgb)
            .map(|(a, b)| f64::from(a.abs_diff(*b)))
            .sum();
        assert!(mean / (jpeg.picture.rgb.len() as f64) < 12.0);
    }
}

#[test]
fn jpeg_pixels_are_those_of_the_library() {
    for (width, height) in [(40, 24), (33, 17), (1, 1), (8, 300)] {
        let file = files::jpeg(width, height);
        let theirs = image::load_from_memory(&file)
            .unwrap()
            .into_rgb8()
            .into_raw();
        assert_eq!(photo(&file).picture.rgb, theirs);
    }
}

#[test]
fn grey_alpha_palette_and_sixteen_bits_are_read() {
    let write = |data: &[u8], colour| {
        let mut file = Vec::new();
        image::codecs::png::PngEncoder::new(&mut file)
            .write_image(data, 2, 1, colour)
            .unwrap();
        file
    };
    assert_eq!(
        photo(&write(&[7, 200], ExtendedColorType::L8)).picture.rgb,
        [7, 7, 7, 200, 200, 200]
    );
    // Half covered on white: (0 + 255) ÷ 2; not covered: white.
    assert_eq!(
        photo(&write(&[0, 128, 9, 0], ExtendedColorType::La8))
            .picture
            .rgb,
        [127, 127, 127, 255, 255, 255]
    );
    assert_eq!(
        photo(&write(
            &[1, 2, 3, 255, 0, 0, 0, 0],
            ExtendedColorType::Rgba8
        ))
        .picture
        .rgb,
        [1, 2, 3, 255, 255, 255]
    );
    // 0x0180 ÷ 257 = 1.49; 0x8080 ÷ 257 = 128.
    let deep: Vec<u8> = [0x0180u16, 0x8080]
        .iter()
        .flat_map(|v| v.to_ne_bytes())
        .collect();
    assert_eq!(
        photo(&write(&deep, ExtendedColorType::L16)).picture.rgb,
        [1, 1, 1, 128, 128, 128]
    );
    let mut grey = Vec::new();
    image::codecs::jpeg::JpegEncoder::new(&mut grey)
        .write_image(&[90; 64], 8, 8, ExtendedColorType::L8)
        .unwrap();
    assert!(photo(&grey).picture.rgb.iter().all(|v| v.abs_diff(90) <= 1));
}

#[test]
fn a_profile_is_kept_when_it_speaks_of_these_channels() {
    let mut profile = vec![0u8; 140];
    profile[16..20].copy_from_slice(b"RGB ");
    let plain = files::jpeg(16, 16);
    let with = |profile: &[u8]| {
        let mut body = b"ICC_PROFILE\0\x01\x01".to_vec();
        body.extend(profile);
        let mut file = plain[..2].to_vec();
        file.extend(files::segment(0xe2, &body));
        file.extend(&plain[2..]);
        file
    };
    assert_eq!(photo(&with(&profile)).profile, Some(profile.clone()));
    profile[16..20].copy_from_slice(b"CMYK");
    assert_eq!(photo(&with(&profile)).profile, None);
}

#[test]
fn a_file_cut_anywhere_is_refused() {
    for file in [
        files::jpeg(60, 50),
        files::png(60, 50),
        files::webp(60, 50),
        files::tiff(60, 50),
    ] {
        let format = Format::of(&file);
        // The directory of this TIFF stands at its end, so that every cut is seen.
        for cut in (0..file.len() - 2).step_by(41) {
            let error = decode(&file[..cut], &Limits::default()).unwrap_err();
            assert!(
                !matches!(error.fault, Fault::TooLarge { .. }),
                "{format:?} at {cut}: {error}"
            );
        }
    }
}

/// A PNG header of 60,000 × 60,000 pixels, a JPEG frame of 65,535 × 65,535, both with few bytes.
#[test]
fn stated_sizes_are_held_against_limits_and_bytes_before_anything_is_allocated() {
    let sized = |width: u32, height: u32| {
        let mut head = Vec::new();
        head.extend(width.to_be_bytes());
        head.extend(height.to_be_bytes());
        head.extend([8, 2, 0, 0, 0]);
        let plain = files::png(8, 8);
        let mut file = plain[..8].to_vec();
        file.extend(files::png_chunk(b"IHDR", &head));
        file.extend(&plain[33..]);
        file
    };
    assert!(matches!(
        fault(&sized(60_000, 60_000)),
        Fault::TooLarge {
            width: 60_000,
            height: 60_000,
            ..
        }
    ));
    assert!(matches!(
        fault(&sized(9_000, 9_000)),
        Fault::SizeNotHeld { .. }
    ));
    assert!(matches!(fault(&sized(0, 10)), Fault::Broken(_)));

    let mut jpeg = files::jpeg(8, 8);
    let frame = jpeg.windows(2).position(|w| w == [0xff, 0xc0]).unwrap();
    jpeg[frame + 5..frame + 9].copy_from_slice(&[0xff; 4]);
    assert!(matches!(
        fault(&jpeg),
        Fault::TooLarge { width: 65_535, .. }
    ));
    jpeg[frame + 5..frame + 9].copy_from_slice(&[0x20, 0, 0x20, 0]);
    assert!(matches!(
        fault(&jpeg),
        Fault::SizeNotHeld {
            width: 8192,
            height: 8192,
            ..
        }
    ));
    jpeg[frame + 5..frame + 9].copy_from_slice(&[0, 0, 0, 8]);
    assert!(matches!(fault(&jpeg), Fault::Broken(_)));
    jpeg[frame + 4] = 12;
    assert!(matches!(fault(&jpeg), Fault::Unread(_)));

    let small = Limits { most_pixels: 1000 };
    for file in [
        files::jpeg(40, 26),
        files::png(40, 26),
        files::webp(40, 26),
        files::tiff(40, 26),
    ] {
        let error = decode(&file, &small).unwrap_err();
        assert_eq!(
            error.fault,
            Fault::TooLarge {
                width: 40,
                height: 26,
                most_pixels: 1000
            }
        );
        assert!(
            error
                .to_string()
                .starts_with("the picture says it is 40 × 26 pixels, more than the 1000")
        );
    }
}

#[test]
fn other_files_are_refused_by_what_they_are() {
    for bytes in [
        &b""[..],
        b"GIF88a",
        b"BM",
        b"\0\0\0\x18ftypheic",
        b"%PDF-1.7",
        b"<svg/>",
    ] {
        assert_eq!(fault(bytes), Fault::NotAPicture);
    }
}

/// A progressive picture, as another encoder writes it.
#[test]
fn progressive_pictures_are_read() {
    let mut file = Vec::new();
    let mut encoder = jpeg_encoder::Encoder::new(&mut file, 95);
    encoder.set_progressive(true);
    encoder
        .encode(
            &files::pattern(50, 40),
            50,
            40,
            jpeg_encoder::ColorType::Rgb,
        )
        .unwrap();
    let found = photo(&file);
    let mean: f64 = found
        .picture
        .rgb
        .iter()
        .zip(files::pattern(50, 40))
        .map(|(a, b)| f64::from(a.abs_diff(b)))
        .sum();
    assert!(mean / 6000.0 < 6.0, "{}", mean / 6000.0);
    let cleaned = imaging::pixels::metadata::clean(&file).unwrap();
    assert_eq!(photo(&cleaned.bytes).picture, found.picture);
}

/// Four channels as editors store them: inverted, with the Adobe segment.
#[test]
fn cmyk_pictures_are_read() {
    let mut file = Vec::new();
    let values: Vec<u8> = [255u8, 255, 255, 255].repeat(64);
    jpeg_encoder::Encoder::new(&mut file, 95)
        .encode(&values, 8, 8, jpeg_encoder::ColorType::Cmyk)
        .unwrap();
    assert_eq!(photo(&file).picture.rgb.len(), 192);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    #[test]
    fn damaged_files_never_panic(which in 0usize..5, hits in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..10)) {
        let mut file = match which {
            0 => files::jpeg_with_notes(40, 24, 6),
            1 => files::png_with_notes(40, 24, 5),
            2 => files::webp_with_notes(40, 24, 3),
            3 => files::tiff(40, 24),
            _ => {
                let mut bytes = Cursor::new(Vec::new());
                let mut encoder = jpeg_encoder::Encoder::new(&mut bytes, 60);
                encoder.set_progressive(true);
                encoder.encode(&files::pattern(40, 24), 40, 24, jpeg_encoder::ColorType::Rgb).unwrap();
                bytes.into_inner()
            }
        };
        for (place, value) in hits {
            let at = place.index(file.len());
            file[at] = value;
        }
        let limits = Limits { most_pixels: 1_000_000 };
        if let Ok(found) = decode(&file, &limits) {
            prop_assert_eq!(found.picture.rgb.len(), (found.picture.width * found.picture.height * 3) as usize);
        }
    }
}
