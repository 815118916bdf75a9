//! Photographs taken in: from the bytes of a file to upright 8-bit red, green, blue.
//!
//! In: JPEG (baseline and progressive; grey, colour, CMYK), PNG, WebP, GIF and TIFF of 8 or 16 bits. Out:
//! a [`Photo`]: pixels turned upright, the colour profile as it was. Values are not converted
//! between colour spaces, so a profile stays true; only CMYK and grey lose theirs, as it speaks of
//! other channels. Transparency is laid on white, 16 bits are rounded to 8, of an animation the
//! first picture is taken.
//!
//! Memory: at most 12 bytes a pixel beside the file (3 of them for the result), and nothing is
//! allocated before the stated size has been held against [`Limits`] and against the number of
//! bytes that are there.

use super::metadata::{self, Format, Orientation};
use super::{Fault, PictureError, downscale, header, orientation};
use crate::Picture;
use image::codecs::{gif::GifDecoder, png::PngDecoder, tiff::TiffDecoder, webp::WebPDecoder};
use image::{ColorType, DynamicImage, ImageDecoder};
use std::io::Cursor;
use zune_jpeg::JpegDecoder;
use zune_jpeg::zune_core::bytestream::ZCursor;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

/// What is accepted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// Most pixels of a picture.
    pub most_pixels: u64,
}

impl Default for Limits {
    /// 128 million pixels: 384 MB of result, 1.5 GB at the worst while decoding.
    fn default() -> Self {
        Self {
            most_pixels: 128_000_000,
        }
    }
}

/// A photograph, upright.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo {
    /// The pixels.
    pub picture: Picture,
    /// The colour profile (ICC) that the values belong to; sRGB is meant where there is none.
    pub profile: Option<Vec<u8>>,
    /// The file's format.
    pub format: Format,
    /// How the stored picture was turned to stand upright, 1 to 8 as in Exif.
    pub orientation: u8,
}

/// Size of a picture as its file states it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Size {
    /// Width upright, pixels.
    pub width: u32,
    /// Height upright, pixels.
    pub height: u32,
}

/// Returns the upright size without decoding pixels.
///
/// # Errors
/// As [`decode`], as far as the header shows it.
pub fn size(bytes: &[u8], limits: &Limits) -> Result<Size, PictureError> {
    let format = Format::of(bytes).ok_or(PictureError::at(Fault::NotAPicture, 0))?;
    let (width, height) = match format {
        Format::Jpeg => header::jpeg(bytes, limits)?,
        Format::Png => header::png(bytes, limits)?,
        Format::WebP => header::accepted(webp(bytes)?.dimensions(), limits)?,
        Format::Tiff => header::accepted(tiff(bytes)?.dimensions(), limits)?,
        Format::Gif => header::accepted(gif(bytes)?.dimensions(), limits)?,
    };
    Ok(turned((width, height), metadata::orientation(bytes)?))
}

fn turned((width, height): (u32, u32), orientation: Orientation) -> Size {
    let (width, height) = if orientation.number() > 4 {
        (height, width)
    } else {
        (width, height)
    };
    Size { width, height }
}

/// Returns the upright size that a file states, whether or not its picture is sound; `None` where it states
/// none.
///
/// `bytes`: of a JPEG file all before its picture data suffice, of other files all of them are needed.
pub fn stated_size(bytes: &[u8]) -> Option<Size> {
    let orientation = metadata::orientation(bytes);
    let (stored, orientation) = match Format::of(bytes)? {
        // Cut off before its picture data, it may still be turned by what is missing.
        Format::Jpeg => (header::jpeg_stated(bytes)?, orientation.ok()?),
        Format::Png => (header::png_stated(bytes)?, orientation.unwrap_or_default()),
        Format::WebP => (webp(bytes).ok()?.dimensions(), orientation.ok()?),
        Format::Tiff => (tiff(bytes).ok()?.dimensions(), orientation.ok()?),
        Format::Gif => (gif(bytes).ok()?.dimensions(), orientation.ok()?),
    };
    Some(turned(stored, orientation))
}

/// Decodes a photograph and turns it upright.
///
/// # Errors
/// Files of another format, cut off, damaged, larger than `limits`, or with a stated size that the
/// bytes cannot hold.
pub fn decode(bytes: &[u8], limits: &Limits) -> Result<Photo, PictureError> {
    let format = Format::of(bytes).ok_or(PictureError::at(Fault::NotAPicture, 0))?;
    size(bytes, limits)?;
    let (picture, profile) = match format {
        Format::Jpeg => jpeg(bytes)?,
        Format::Png => {
            let budget = image::Limits::default();
            plain(PngDecoder::with_limits(Cursor::new(bytes), budget).map_err(decoder)?)?
        }
        Format::WebP => plain(webp(bytes)?)?,
        Format::Gif => plain(gif(bytes)?)?,
        Format::Tiff => {
            let (picture, _) = plain(tiff(bytes)?)?;
            (picture, metadata::tiff_profile(bytes).map(<[u8]>::to_vec))
        }
    };
    upright(bytes, format, picture, profile)
}

/// Decodes a photograph to a copy whose longer side has `longest` pixels, upright; a smaller one
/// stays as it is.
///
/// The same as [`decode`] and [`downscale()`] within a few levels at sharp changes of colour, but a JPEG is
/// decoded to a half, a quarter or an eighth of its size at once where that is still large enough, and the
/// full picture is never held.
///
/// # Errors
/// As [`decode`].
pub fn preview(bytes: &[u8], longest: u32, limits: &Limits) -> Result<Photo, PictureError> {
    let stated = size(bytes, limits)?;
    let reduced = match Format::of(bytes) {
        Some(Format::Jpeg) if stated.width.max(stated.height) / 2 >= longest => {
            reduced(bytes, stated, longest)
        }
        _ => None,
    };
    match reduced {
        Some(reduced) => upright(
            bytes,
            Format::Jpeg,
            downscale(&reduced, longest),
            jpeg_profile(bytes),
        ),
        None => {
            let mut photo = decode(bytes, limits)?;
            photo.picture = downscale(&photo.picture, longest);
            Ok(photo)
        }
    }
}

/// Decodes a JPEG to the least part of its size whose longer side has at least `longest` pixels; `None`
/// for colours other than brightness with two differences, and for files that this decoder refuses.
fn reduced(bytes: &[u8], stated: Size, longest: u32) -> Option<Picture> {
    let mut reader = jpeg_decoder::Decoder::new(bytes);
    let part = f64::from(longest) / f64::from(stated.width.max(stated.height));
    let side = |whole: u32| (f64::from(whole) * part).ceil() as u16;
    let (width, height) = reader.scale(side(stated.width), side(stated.height)).ok()?;
    let rgb = reader.decode().ok()?;
    let plain = reader.info()?.pixel_format == jpeg_decoder::PixelFormat::RGB24;
    plain
        .then(|| whole(width.into(), height.into(), rgb).ok())
        .flatten()
}

fn upright(
    bytes: &[u8],
    format: Format,
    picture: Picture,
    profile: Option<Vec<u8>>,
) -> Result<Photo, PictureError> {
    let orientation = metadata::orientation(bytes)?;
    Ok(Photo {
        picture: orientation::upright(picture, orientation),
        profile: profile.filter(|p| p.get(16..20) == Some(b"RGB ")),
        format,
        orientation: orientation.number(),
    })
}

fn decoder(error: impl std::fmt::Display) -> PictureError {
    PictureError::new(Fault::Decoder(error.to_string()))
}

fn webp(bytes: &[u8]) -> Result<WebPDecoder<Cursor<&[u8]>>, PictureError> {
    metadata::riff(bytes)?;
    WebPDecoder::new(Cursor::new(bytes)).map_err(decoder)
}

fn tiff(bytes: &[u8]) -> Result<TiffDecoder<Cursor<&[u8]>>, PictureError> {
    TiffDecoder::new(Cursor::new(bytes)).map_err(decoder)
}

fn gif(bytes: &[u8]) -> Result<GifDecoder<Cursor<&[u8]>>, PictureError> {
    GifDecoder::new(Cursor::new(bytes)).map_err(decoder)
}

type Decoded = (Picture, Option<Vec<u8>>);

fn jpeg(bytes: &[u8]) -> Result<Decoded, PictureError> {
    let mut reader = jpeg_reader(bytes)?;
    let rgb = reader.decode().map_err(decoder)?;
    let (width, height) = reader
        .dimensions()
        .ok_or_else(|| decoder("no size is stated"))?;
    let profile = reader.icc_profile();
    Ok((whole(width as u32, height as u32, rgb)?, profile))
}

fn jpeg_profile(bytes: &[u8]) -> Option<Vec<u8>> {
    jpeg_reader(bytes).ok()?.icc_profile()
}

/// Opens a JPEG file and reads what stands before its picture data.
fn jpeg_reader(bytes: &[u8]) -> Result<JpegDecoder<ZCursor<&[u8]>>, PictureError> {
    let options = DecoderOptions::default()
        .set_strict_mode(false)
        .set_max_width(usize::from(u16::MAX))
        .set_max_height(usize::from(u16::MAX))
        .jpeg_set_out_colorspace(ColorSpace::RGB);
    let mut reader = JpegDecoder::new_with_options(ZCursor::new(bytes), options);
    reader.decode_headers().map_err(decoder)?;
    Ok(reader)
}

fn plain(mut reader: impl ImageDecoder) -> Result<Decoded, PictureError> {
    let (width, height) = reader.dimensions();
    let pixels = u64::from(width) * u64::from(height);
    if matches!(reader.color_type(), ColorType::Rgb32F | ColorType::Rgba32F) {
        return Err(PictureError::new(Fault::Unread(
            "a picture with floating-point values".into(),
        )));
    }
    let mut budget = image::Limits::no_limits();
    // The decoded values, and as much again for what a decoder needs beside them.
    budget.max_alloc = Some(pixels * 16 + (1 << 22));
    reader.set_limits(budget).map_err(decoder)?;
    // A profile that cannot be read is no reason to refuse the picture.
    let profile = reader.icc_profile().unwrap_or_default();
    let image = DynamicImage::from_decoder(reader).map_err(decoder)?;
    let rgb = if image.color().has_alpha() {
        on_white(image.into_rgba8().into_raw())
    } else {
        image.into_rgb8().into_raw()
    };
    Ok((whole(width, height, rgb)?, profile))
}

fn whole(width: u32, height: u32, rgb: Vec<u8>) -> Result<Picture, PictureError> {
    if rgb.len() as u64 != u64::from(width) * u64::from(height) * 3 {
        return Err(decoder("the values do not fill the stated size"));
    }
    Ok(Picture { width, height, rgb })
}

/// Lays red, green, blue, opacity on white, in place.
fn on_white(mut rgba: Vec<u8>) -> Vec<u8> {
    let pixels = rgba.len() / 4;
    for i in 0..pixels {
        let cover = u32::from(rgba[4 * i + 3]);
        for channel in 0..3 {
            let value = u32::from(rgba[4 * i + channel]);
            rgba[3 * i + channel] = ((value * cover + 255 * (255 - cover) + 127) / 255) as u8;
        }
    }
    rgba.truncate(pixels * 3);
    rgba
}
