//! Small picture files, made here: the codecs' own output with blocks put in by hand.

use image::codecs::{jpeg::JpegEncoder, png::PngEncoder, tiff::TiffEncoder, webp::WebPEncoder};
use image::{ExtendedColorType, ImageEncoder};
use std::io::Cursor;

/// A picture in which every pixel differs from its mirror images.
pub(crate) fn pattern(width: u32, height: u32) -> Vec<u8> {
    (0..height)
        .flat_map(|y| {
            (0..width).flat_map(move |x| {
                [
                    (x * 255 / width) as u8,
                    (y * 255 / height) as u8,
                    ((x * 7 + y * 13) % 64) as u8 * 2,
                ]
            })
        })
        .collect()
}

pub(crate) fn jpeg(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, 95)
        .write_image(
            &pattern(width, height),
            width,
            height,
            ExtendedColorType::Rgb8,
        )
        .unwrap();
    bytes
}

pub(crate) fn png(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = Vec::new();
    PngEncoder::new(&mut bytes)
        .write_image(
            &pattern(width, height),
            width,
            height,
            ExtendedColorType::Rgb8,
        )
        .unwrap();
    bytes
}

pub(crate) fn webp(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = Vec::new();
    WebPEncoder::new_lossless(&mut bytes)
        .write_image(
            &pattern(width, height),
            width,
            height,
            ExtendedColorType::Rgb8,
        )
        .unwrap();
    bytes
}

pub(crate) fn tiff(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    TiffEncoder::new(&mut bytes)
        .write_image(
            &pattern(width, height),
            width,
            height,
            ExtendedColorType::Rgb8,
        )
        .unwrap();
    bytes.into_inner()
}

/// An Exif block with orientation, camera, time, 47° 30′ 36″ S, 8° 15′ E and a preview directory.
pub(crate) fn exif(orientation: u16) -> Vec<u8> {
    let mut b = b"II\x2a\0\x08\0\0\0".to_vec();
    let entry = |b: &mut Vec<u8>, tag: u16, kind: u16, count: u32, value: [u8; 4]| {
        b.extend(tag.to_le_bytes());
        b.extend(kind.to_le_bytes());
        b.extend(count.to_le_bytes());
        b.extend(value);
    };
    // Directory 0 at 8: four entries, 54 bytes, next at 62.
    b.extend(4u16.to_le_bytes());
    entry(&mut b, 271, 2, 4, *b"Abc\0");
    entry(&mut b, 274, 3, 1, [orientation as u8, 0, 0, 0]);
    entry(&mut b, 306, 2, 4, *b"now\0");
    entry(&mut b, 34853, 4, 1, 68u32.to_le_bytes());
    b.extend(62u32.to_le_bytes());
    // Directory 1 at 62, empty.
    b.extend([0; 6]);
    // Places at 68: four entries, 54 bytes; values at 122 and 146.
    b.extend(4u16.to_le_bytes());
    entry(&mut b, 1, 2, 2, *b"S\0\0\0");
    entry(&mut b, 2, 5, 3, 122u32.to_le_bytes());
    entry(&mut b, 3, 2, 2, *b"E\0\0\0");
    entry(&mut b, 4, 5, 3, 146u32.to_le_bytes());
    b.extend([0; 4]);
    for v in [47u32, 1, 30, 1, 3600, 100, 8, 1, 15, 1, 0, 1] {
        b.extend(v.to_le_bytes());
    }
    b
}

pub(crate) fn segment(marker: u8, body: &[u8]) -> Vec<u8> {
    let mut s = vec![0xff, marker];
    s.extend((body.len() as u16 + 2).to_be_bytes());
    s.extend(body);
    s
}

/// A JPEG with all that a camera and an editor leave in it.
pub(crate) fn jpeg_with_notes(width: u32, height: u32, orientation: u16) -> Vec<u8> {
    let plain = jpeg(width, height);
    let mut b = plain[..2].to_vec();
    let mut block = b"Exif\0\0".to_vec();
    block.extend(exif(orientation));
    b.extend(segment(0xe1, &block));
    b.extend(segment(
        0xe1,
        b"http://ns.adobe.com/xap/1.0/\0<x exif:GPSLatitude=\"47,30S\"/>",
    ));
    b.extend(segment(0xed, b"Photoshop 3.0\x008BIM\x04\x04"));
    b.extend(segment(0xfe, b"taken on the bench of Jo"));
    b.extend(segment(0xe2, b"ICC_PROFILE\0\x01\x01the profile"));
    b.extend(segment(0xe5, b"unheard of"));
    b.extend(&plain[2..]);
    b.extend(b"film: GPSLatitude 47.5");
    b
}

/// A chunk with a right check value, taken from the library that writes PNG.
pub(crate) fn png_chunk(kind: &[u8; 4], body: &[u8]) -> Vec<u8> {
    let mut c = (body.len() as u32).to_be_bytes().to_vec();
    c.extend(kind);
    c.extend(body);
    let mut sum = u32::MAX;
    for byte in &c[4..] {
        sum ^= u32::from(*byte);
        for _ in 0..8 {
            sum = if sum & 1 == 1 {
                sum >> 1 ^ 0xedb8_8320
            } else {
                sum >> 1
            };
        }
    }
    c.extend((!sum).to_be_bytes());
    c
}

pub(crate) fn png_with_notes(width: u32, height: u32, orientation: u16) -> Vec<u8> {
    let plain = png(width, height);
    let mut b = plain[..33].to_vec();
    b.extend(png_chunk(b"eXIf", &exif(orientation)));
    b.extend(png_chunk(b"tEXt", b"Author\0Jo"));
    b.extend(png_chunk(
        b"iTXt",
        b"XML:com.adobe.xmp\0\0\0\0\0<x exif:GPSLatitude=\"1\"/>",
    ));
    b.extend(png_chunk(b"tIME", &[7, 0xea, 11, 25, 9, 0, 0]));
    b.extend(png_chunk(b"pHYs", &[0, 0, 0x3d, 0x09, 0, 0, 0x3d, 0x09, 1]));
    b.extend(png_chunk(b"prVt", b"unheard of"));
    b.extend(&plain[33..]);
    b.extend(b"behind the end");
    b
}

pub(crate) fn riff(chunks: &[(&[u8; 4], Vec<u8>)]) -> Vec<u8> {
    let mut inside = b"WEBP".to_vec();
    for (kind, body) in chunks {
        inside.extend(*kind);
        inside.extend((body.len() as u32).to_le_bytes());
        inside.extend(body);
        if body.len() % 2 == 1 {
            inside.push(0);
        }
    }
    let mut b = b"RIFF".to_vec();
    b.extend((inside.len() as u32).to_le_bytes());
    b.extend(inside);
    b
}

pub(crate) fn webp_with_notes(width: u32, height: u32, orientation: u16) -> Vec<u8> {
    let plain = webp(width, height);
    let length = u32::from_le_bytes(plain[16..20].try_into().unwrap()) as usize;
    let mut head = vec![0x20 | 0x08 | 0x04, 0, 0, 0];
    head.extend(&(width - 1).to_le_bytes()[..3]);
    head.extend(&(height - 1).to_le_bytes()[..3]);
    riff(&[
        (b"VP8X", head),
        (b"ICCP", b"the profile".to_vec()),
        (b"VP8L", plain[20..20 + length].to_vec()),
        (b"EXIF", exif(orientation)),
        (b"XMP ", b"<x exif:GPSLatitude=\"1\"/>".to_vec()),
        (b"what", b"unheard of".to_vec()),
    ])
}

/// A TIFF of one strip with camera, orientation, XMP that names a place, a private field, a profile
/// and 300 pixels an inch; the directory stands at the end, so that every cut hits it.
pub(crate) fn tiff_with_notes(
    width: u32,
    height: u32,
    orientation: u16,
    profile: &[u8],
) -> Vec<u8> {
    let mut values = b"II\x2a\0\0\0\0\0".to_vec();
    let mut put = |bytes: &[u8]| {
        let at = values.len() as u32;
        values.extend(bytes);
        if bytes.len() % 2 == 1 {
            values.push(0);
        }
        at
    };
    let xmp = b"<x exif:GPSLatitude=\"47,30S\"/>";
    let strip = pattern(width, height);
    let depth = [8, 0, 8, 0, 8, 0];
    let ratio = [300u32.to_le_bytes(), 1u32.to_le_bytes()].concat();
    let entries: [(u16, u16, u32, u32); 17] = [
        (256, 4, 1, width),
        (257, 4, 1, height),
        (258, 3, 3, put(&depth)),
        (259, 3, 1, 1),
        (262, 3, 1, 2),
        (271, 2, 4, u32::from_le_bytes(*b"Abc\0")),
        (273, 4, 1, put(&strip)),
        (274, 3, 1, u32::from(orientation)),
        (277, 3, 1, 3),
        (278, 4, 1, height),
        (279, 4, 1, strip.len() as u32),
        (282, 5, 1, put(&ratio)),
        (283, 5, 1, put(&ratio)),
        (296, 3, 1, 2),
        (700, 1, xmp.len() as u32, put(xmp)),
        (34675, 7, profile.len() as u32, put(profile)),
        (65000, 1, 6, put(b"secret")),
    ];
    let directory = values.len() as u32;
    values[4..8].copy_from_slice(&directory.to_le_bytes());
    values.extend((entries.len() as u16).to_le_bytes());
    for (tag, kind, count, value) in entries {
        values.extend(tag.to_le_bytes());
        values.extend(kind.to_le_bytes());
        values.extend(count.to_le_bytes());
        values.extend(value.to_le_bytes());
    }
    values.extend([0; 4]);
    values
}
