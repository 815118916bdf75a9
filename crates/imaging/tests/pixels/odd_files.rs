//! Files that are cut, lie about their size, move, or hold other channels than red, green, blue of
//! 8 bits: format by format.

use crate::files::{self, Field};
use image::{ExtendedColorType, ImageEncoder};
use imaging::pixels::metadata::{clean, find};
use imaging::pixels::{Fault, Format, Limits, Photo, decode, preview, size};

fn photo(bytes: &[u8]) -> Photo {
    decode(bytes, &Limits::default()).unwrap()
}

/// One file of each format, some tens of kilobytes.
fn each(width: u32, height: u32) -> [Vec<u8>; 4] {
    [
        files::jpeg(width, height),
        files::png(width, height),
        files::webp(width, height),
        files::tiff(width, height),
    ]
}

#[test]
fn a_file_cut_at_every_thousandth_byte_is_refused_everywhere() {
    let limits = Limits::default();
    for file in each(400, 300) {
        let format = Format::of(&file);
        assert!(file.len() > 10_000, "{format:?}: {}", file.len());
        for cut in (0..file.len() - 2).step_by(1000) {
            let part = &file[..cut];
            assert!(decode(part, &limits).is_err(), "{format:?} {cut}");
            assert!(preview(part, 100, &limits).is_err(), "{format:?} {cut}");
            assert!(clean(part).is_err(), "{format:?} {cut}");
            let _ = (find(part), size(part, &limits));
        }
    }
}

/// Only the first bytes are asked, so each is read whatever its name; a picture's name on another
/// file changes nothing.
#[test]
fn content_decides_not_the_name() {
    for (file, format) in
        each(8, 8)
            .iter()
            .zip([Format::Jpeg, Format::Png, Format::WebP, Format::Tiff])
    {
        assert_eq!(photo(file).format, format);
    }
    let error = decode(b"BM as lid.jpg", &Limits::default()).unwrap_err();
    assert_eq!(
        (error.to_string().as_str(), error.remedy()),
        (
            "the file is none of JPEG, PNG, WebP, TIFF and GIF (byte 0)",
            "save the picture as JPEG, PNG, WebP, TIFF or GIF and name that file"
        )
    );
}

fn extended_webp(width: u32, height: u32, flags: u8, chunks: &[(&[u8; 4], Vec<u8>)]) -> Vec<u8> {
    let mut head = vec![flags, 0, 0, 0];
    head.extend(&(width - 1).to_le_bytes()[..3]);
    head.extend(&(height - 1).to_le_bytes()[..3]);
    let mut all: Vec<(&[u8; 4], Vec<u8>)> = vec![(b"VP8X", head)];
    all.extend(chunks.iter().cloned());
    files::riff(&all)
}

/// The picture chunk of a lossless WebP file.
fn lossless(file: &[u8]) -> Vec<u8> {
    let length = u32::from_le_bytes(file[16..20].try_into().unwrap()) as usize;
    file[20..20 + length].to_vec()
}

/// JPEG and PNG: `intake`. WebP's other pictures state their sizes less one, so only lossy ones can
/// be empty (RFC 9649, 2.5; RFC 6386, 9.1).
#[test]
fn no_picture_has_no_size() {
    let tiff = |size| files::tiff_of(&[files::tiff_page(size, &[8; 3], 2, vec![0; 300], &[])]);
    let mut lossy = vec![0x10, 0, 0, 0x9d, 0x01, 0x2a, 0, 0, 10, 0];
    lossy.extend([0; 30]);
    for file in [
        tiff([0, 10]),
        tiff([10, 0]),
        files::riff(&[(b"VP8 ", lossy)]),
        Vec::new(),
    ] {
        let limits = Limits::default();
        let faults = [
            size(&file, &limits).unwrap_err().fault,
            decode(&file, &limits).unwrap_err().fault,
        ];
        for fault in faults {
            let expected = match file.is_empty() {
                true => matches!(fault, Fault::NotAPicture | Fault::Ends { .. }),
                false => matches!(fault, Fault::Broken(_) | Fault::Decoder(_)),
            };
            assert!(expected, "{fault:?}");
        }
    }
}

/// Each states 60,000 × 60,000 pixels, WebP's own limit of 16,384 aside in the extended header, and
/// is refused before memory for them is asked.
#[test]
fn headers_of_sixty_thousand_pixels_are_refused() {
    let mut jpeg = files::jpeg(8, 8);
    let frame = jpeg.windows(2).position(|w| w == [0xff, 0xc0]).unwrap();
    let [high, low] = 60_000u16.to_be_bytes();
    jpeg[frame + 5..frame + 9].copy_from_slice(&[high, low, high, low]);
    let picture = lossless(&files::webp(8, 8));
    for file in [
        jpeg,
        extended_webp(60_000, 60_000, 0, &[(b"VP8L", picture)]),
        files::tiff_of(&[files::tiff_page(
            [60_000, 60_000],
            &[8; 3],
            2,
            vec![0; 300],
            &[],
        )]),
    ] {
        for error in [
            size(&file, &Limits::default()).unwrap_err(),
            decode(&file, &Limits::default()).unwrap_err(),
            preview(&file, 100, &Limits::default()).unwrap_err(),
        ] {
            assert!(
                matches!(
                    error.fault,
                    Fault::TooLarge {
                        width: 60_000,
                        height: 60_000,
                        ..
                    }
                ),
                "{error}"
            );
        }
    }
    // Fewer pixels than the limit, but far more than the bytes hold.
    let lying = files::tiff_of(&[files::tiff_page(
        [9_000, 9_000],
        &[8; 3],
        2,
        vec![0; 300],
        &[],
    )]);
    assert!(decode(&lying, &Limits::default()).is_err());
}

/// Source: W3C PNG third edition, 4.9 and 11.3.6: the default image is the first frame.
#[test]
fn of_an_animated_png_the_first_picture_is_taken() {
    let plain = files::png(12, 8);
    let mut file = plain[..33].to_vec();
    file.extend(files::png_chunk(b"acTL", &[0, 0, 0, 2, 0, 0, 0, 0]));
    let control = |number: u32| {
        let mut c = number.to_be_bytes().to_vec();
        for v in [12u32, 8, 0, 0] {
            c.extend(v.to_be_bytes());
        }
        c.extend([0, 1, 0, 10, 0, 0]);
        files::png_chunk(b"fcTL", &c)
    };
    file.extend(control(0));
    let end = plain.len() - 12;
    file.extend(&plain[33..end]);
    file.extend(control(1));
    let mut second = 2u32.to_be_bytes().to_vec();
    let at = plain.windows(4).position(|w| w == b"IDAT").unwrap();
    let length = u32::from_be_bytes(plain[at - 4..at].try_into().unwrap()) as usize;
    second.extend(&plain[at + 4..at + 4 + length]);
    file.extend(files::png_chunk(b"fdAT", &second));
    file.extend(&plain[end..]);
    assert_eq!(photo(&file).picture.rgb, files::pattern(12, 8));
    assert_eq!(clean(&file).unwrap().bytes, file);
}

/// Source: RFC 9649, 2.7.1.
#[test]
fn of_an_animated_webp_the_first_picture_is_taken() {
    let frame = |file: &[u8]| {
        let mut body = vec![0; 6];
        body.extend([11, 0, 0, 7, 0, 0]);
        body.extend([100, 0, 0, 2]);
        body.extend(b"VP8L");
        let picture = lossless(file);
        body.extend((picture.len() as u32).to_le_bytes());
        body.extend(&picture);
        body.resize(body.len().next_multiple_of(2), 0);
        body
    };
    let mut other = Vec::new();
    image::codecs::webp::WebPEncoder::new_lossless(&mut other)
        .write_image(&[9; 12 * 8 * 3], 12, 8, ExtendedColorType::Rgb8)
        .unwrap();
    let file = extended_webp(
        12,
        8,
        0x02,
        &[
            (b"ANIM", vec![255, 255, 255, 255, 0, 0]),
            (b"ANMF", frame(&files::webp(12, 8))),
            (b"ANMF", frame(&other)),
        ],
    );
    assert_eq!(photo(&file).picture.rgb, files::pattern(12, 8));
}

#[test]
fn of_several_tiff_pictures_the_first_is_taken() {
    let page = |values| files::tiff_page([12, 8], &[8; 3], 2, values, &[]);
    let file = files::tiff_of(&[page(files::pattern(12, 8)), page(vec![9; 12 * 8 * 3])]);
    assert_eq!(photo(&file).picture.rgb, files::pattern(12, 8));
    assert_eq!(clean(&file).unwrap().removed, ["Exif (preview picture)"]);
}

/// 0x0180 ÷ 257 = 1.49; 0x8080 ÷ 257 = 128; 0xffff ÷ 257 = 255.
#[test]
fn sixteen_bits_are_rounded() {
    let deep = |bytes: fn(u16) -> [u8; 2]| -> Vec<u8> {
        [0x0180, 0x8080, 0xffff]
            .into_iter()
            .flat_map(bytes)
            .collect()
    };
    let mut png = Vec::new();
    image::codecs::png::PngEncoder::new(&mut png)
        .write_image(&deep(u16::to_ne_bytes), 1, 1, ExtendedColorType::Rgb16)
        .unwrap();
    let page = files::tiff_page([1, 1], &[16; 3], 2, deep(u16::to_le_bytes), &[]);
    for file in [png, files::tiff_of(&[page])] {
        assert_eq!(photo(&file).picture.rgb, [1, 128, 255]);
    }
}

/// No ink is white, black ink black, cyan ink takes red away; the profile speaks of ink and goes.
/// Source: TIFF 6.0, section 16 (a value is ink); in JPEG, Adobe stores values without ink as 255.
#[test]
fn four_inks_become_red_green_blue() {
    let mut profile = vec![0u8; 140];
    profile[16..20].copy_from_slice(b"CMYK");
    for (ink, red, green) in [
        ([0u8, 0, 0, 0], 255u8, 255u8),
        ([0, 0, 0, 255], 0, 0),
        ([255, 0, 0, 0], 0, 255),
    ] {
        let values = ink.repeat(64);
        let inks: [Field; 2] = [(332, 3, 1, vec![1, 0]), (34675, 7, 140, profile.clone())];
        let page = files::tiff_page([8, 8], &[8; 4], 5, values.clone(), &inks);
        let mut jpeg = Vec::new();
        jpeg_encoder::Encoder::new(&mut jpeg, 95)
            .encode(&values, 8, 8, jpeg_encoder::ColorType::Cmyk)
            .unwrap();
        for file in [files::tiff_of(&[page]), jpeg] {
            let found = photo(&file);
            assert_eq!(found.profile, None);
            let near = |got: u8, wanted: u8| got.abs_diff(wanted) <= 2;
            assert!(
                near(found.picture.rgb[0], red) && near(found.picture.rgb[1], green),
                "{:?} {ink:?}: {:?}",
                found.format,
                &found.picture.rgb[..3]
            );
        }
    }
}

/// Half covered black on white is (0 + 255) ÷ 2, uncovered is white, covered stays.
#[test]
fn grey_with_transparency_is_laid_on_white() {
    let deep: Vec<u8> = [0u16, 0x8080, 0x0909, 0, 0x0909, 0xffff]
        .into_iter()
        .flat_map(u16::to_ne_bytes)
        .collect();
    let mut png = Vec::new();
    image::codecs::png::PngEncoder::new(&mut png)
        .write_image(&deep, 3, 1, ExtendedColorType::La16)
        .unwrap();
    let mut webp = Vec::new();
    image::codecs::webp::WebPEncoder::new_lossless(&mut webp)
        .write_image(&[0, 128, 9, 0, 9, 255], 3, 1, ExtendedColorType::La8)
        .unwrap();
    for file in [png, webp] {
        assert_eq!(
            photo(&file).picture.rgb,
            [127, 127, 127, 255, 255, 255, 9, 9, 9]
        );
    }
    // The library reads no grey TIFF with transparency; the fault says so.
    let page = files::tiff_page([3, 1], &[8; 2], 1, vec![0, 128, 9, 0, 9, 255], &[]);
    let error = decode(&files::tiff_of(&[page]), &Limits::default()).unwrap_err();
    assert!(matches!(error.fault, Fault::Decoder(_)), "{error}");
}
