//! Small picture files, made here: the codecs' own output with blocks put in by hand.

use image::codecs::{
    gif::GifEncoder, jpeg::JpegEncoder, png::PngEncoder, tiff::TiffEncoder, webp::WebPEncoder,
};
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

/// A GIF of two pictures, with a comment and a block of an application.
pub(crate) fn gif_with_notes(width: u32, height: u32) -> Vec<u8> {
    let mut plain = Vec::new();
    let rgba: Vec<u8> = pattern(width, height)
        .chunks(3)
        .flat_map(|p| [p[0], p[1], p[2], 255])
        .collect();
    let mut encoder = GifEncoder::new(&mut plain);
    for _ in 0..2 {
        let picture = image::RgbaImage::from_raw(width, height, rgba.clone()).unwrap();
        encoder.encode_frame(image::Frame::new(picture)).unwrap();
    }
    drop(encoder);
    // Extensions may stand before any other block; the first follows the global colours, if there are any.
    let colours = match plain[10] {
        flags if flags & 0x80 != 0 => 3 << ((flags & 7) + 1),
        _ => 0,
    };
    let mut bytes = plain[..13 + colours].to_vec();
    bytes.extend(b"\x21\xfe\x18taken on the bench of Jo\0");
    bytes.extend(b"\x21\xff\x0bXMP DataXMP\x14GPSLatitude=\"47,30S\"\0");
    bytes.extend(&plain[13 + colours..]);
    bytes
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
    let xmp = b"<x exif:GPSLatitude=\"47,30S\"/>";
    let ratio = [300u32.to_le_bytes(), 1u32.to_le_bytes()].concat();
    let notes = [
        (271, 2, 4, b"Abc\0".to_vec()),
        (274, 3, 1, orientation.to_le_bytes().to_vec()),
        (282, 5, 1, ratio.clone()),
        (283, 5, 1, ratio),
        (296, 3, 1, vec![2, 0]),
        (700, 1, xmp.len() as u32, xmp.to_vec()),
        (34675, 7, profile.len() as u32, profile.to_vec()),
        (65000, 1, 6, b"secret".to_vec()),
    ];
    let page = tiff_page([width, height], &[8; 3], 2, pattern(width, height), &notes);
    tiff_of(&[page])
}

/// A field of a TIFF directory: tag, type, count, value.
pub(crate) type Field = (u16, u16, u32, Vec<u8>);

/// The fields of an uncompressed picture of one strip (tag 273), which holds values of these bits.
pub(crate) fn tiff_page(
    size: [u32; 2],
    bits: &[u16],
    meaning: u16,
    values: Vec<u8>,
    notes: &[Field],
) -> Vec<Field> {
    let short = |v: u16| v.to_le_bytes().to_vec();
    let long = |v: u32| v.to_le_bytes().to_vec();
    let channels = bits.len() as u16;
    let mut fields = vec![
        (256, 4, 1, long(size[0])),
        (257, 4, 1, long(size[1])),
        (
            258,
            3,
            u32::from(channels),
            bits.iter().flat_map(|b| b.to_le_bytes()).collect(),
        ),
        (259, 3, 1, short(1)),
        (262, 3, 1, short(meaning)),
        (277, 3, 1, short(channels)),
        (278, 4, 1, long(size[1])),
        (279, 4, 1, long(values.len() as u32)),
        (273, 4, 1, values),
    ];
    fields.extend(notes.iter().cloned());
    fields.sort_by_key(|f| f.0);
    fields
}

/// A file of these directories, one behind the other; the bytes of tag 273 are the strip itself.
pub(crate) fn tiff_of(pages: &[Vec<Field>]) -> Vec<u8> {
    let mut file = b"II\x2a\0\0\0\0\0".to_vec();
    let mut next_at = 4;
    for fields in pages {
        let mut directory = (fields.len() as u16).to_le_bytes().to_vec();
        for (tag, kind, count, value) in fields {
            directory.extend(tag.to_le_bytes());
            directory.extend(kind.to_le_bytes());
            directory.extend(count.to_le_bytes());
            if value.len() <= 4 && *tag != 273 {
                let mut value = value.clone();
                value.resize(4, 0);
                directory.extend(value);
            } else {
                directory.extend((file.len() as u32).to_le_bytes());
                file.extend(value);
                file.resize(file.len().next_multiple_of(2), 0);
            }
        }
        let here = file.len() as u32;
        file[next_at..next_at + 4].copy_from_slice(&here.to_le_bytes());
        next_at = file.len() + directory.len();
        file.extend(directory);
        file.extend([0; 4]);
    }
    file
}
