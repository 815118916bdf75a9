//! Picture files written, with their resolution and colour profile.
//!
//! In: a picture, pixels per millimetre, a profile. Out: the bytes of a JPEG, PNG or TIFF file.
//! The resolution stands where each format has it: JFIF density in dots per centimetre, PNG pHYs in
//! pixels per metre, TIFF XResolution and YResolution per centimetre. Source: JFIF 1.02; W3C PNG
//! third edition, 11.3.4.3; TIFF 6.0, section 8.

use super::{Fault, Photo, PictureError};
use crate::Picture;
use jpeg_encoder::{ColorType, Encoder, PixelDensity, PixelDensityUnit, SamplingFactor};

/// The format to write.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Encoding {
    /// JPEG of a quality from 1 to 100; colours at half resolution below 90.
    Jpeg(u8),
    /// PNG, without loss.
    Png,
    /// TIFF, without loss and without compression.
    Tiff,
}

/// Most bytes of a file here: offsets of TIFF have 32 bits.
const MOST_BYTES: usize = u32::MAX as usize - (1 << 20);

/// Writes a picture.
///
/// # Errors
/// A picture without pixels, too large for the format, or whose bytes do not fit its size.
pub fn encode(
    picture: &Picture,
    encoding: Encoding,
    pixels_per_mm: Option<f64>,
    profile: Option<&[u8]>,
) -> Result<Vec<u8>, PictureError> {
    fits(picture)?;
    let scale = pixels_per_mm.filter(|s| s.is_finite() && *s > 0.0);
    match encoding {
        Encoding::Jpeg(quality) => jpeg(picture, quality, scale, profile),
        Encoding::Png => png(picture, scale, profile),
        Encoding::Tiff => Ok(tiff(picture, scale, profile)),
    }
}

fn fits(picture: &Picture) -> Result<(), PictureError> {
    let pixels = picture.width as usize * picture.height as usize;
    if pixels == 0 || picture.rgb.len() != pixels * 3 || pixels * 3 > MOST_BYTES {
        return Err(unwritten("its size and its bytes do not fit"));
    }
    Ok(())
}

impl Photo {
    /// Writes the photograph with its profile.
    ///
    /// # Errors
    /// As [`encode`].
    pub fn encode(&self, encoding: Encoding) -> Result<Vec<u8>, PictureError> {
        encode(&self.picture, encoding, None, self.profile.as_deref())
    }
}

fn unwritten(why: impl std::fmt::Display) -> PictureError {
    PictureError::new(Fault::Unwritten(why.to_string()))
}

/// From this quality on colours have the full resolution.
const FULL_COLOURS: u8 = 90;

fn jpeg(
    picture: &Picture,
    quality: u8,
    scale: Option<f64>,
    profile: Option<&[u8]>,
) -> Result<Vec<u8>, PictureError> {
    let side = |v: u32| u16::try_from(v).map_err(|_| unwritten("JPEG ends at 65535 pixels"));
    let (width, height) = (side(picture.width)?, side(picture.height)?);
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, quality);
    encoder.set_sampling_factor(if quality < FULL_COLOURS {
        SamplingFactor::F_2_2
    } else {
        SamplingFactor::F_1_1
    });
    if let Some(scale) = scale {
        let per_centimetre = (scale * 10.0).round().clamp(1.0, f64::from(u16::MAX)) as u16;
        encoder.set_density(PixelDensity {
            density: (per_centimetre, per_centimetre),
            unit: PixelDensityUnit::Centimeters,
        });
    }
    if let Some(profile) = profile {
        encoder.add_icc_profile(profile).map_err(unwritten)?;
    }
    encoder
        .encode(&picture.rgb, width, height, ColorType::Rgb)
        .map_err(unwritten)?;
    Ok(bytes)
}

fn png(
    picture: &Picture,
    scale: Option<f64>,
    profile: Option<&[u8]>,
) -> Result<Vec<u8>, PictureError> {
    let mut info = png::Info::with_size(picture.width, picture.height);
    info.color_type = png::ColorType::Rgb;
    info.bit_depth = png::BitDepth::Eight;
    info.icc_profile = profile.map(Into::into);
    info.pixel_dims = scale.map(|scale| {
        let per_metre = (scale * 1000.0).round().clamp(1.0, f64::from(i32::MAX)) as u32;
        png::PixelDimensions {
            xppu: per_metre,
            yppu: per_metre,
            unit: png::Unit::Meter,
        }
    });
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::with_info(&mut bytes, info).map_err(unwritten)?;
    encoder.set_compression(png::Compression::Fast);
    encoder.set_filter(png::Filter::Paeth);
    let mut writer = encoder.write_header().map_err(unwritten)?;
    // In pieces, so that the file is not held a second time before it is whole.
    let mut pieces = writer
        .stream_writer_with_size(PNG_PIECE)
        .map_err(unwritten)?;
    std::io::Write::write_all(&mut pieces, &picture.rgb).map_err(unwritten)?;
    pieces.finish().map_err(unwritten)?;
    writer.finish().map_err(unwritten)?;
    Ok(bytes)
}

/// Bytes of a piece of compressed data in a PNG file.
const PNG_PIECE: usize = 1 << 20;

/// A baseline RGB file of one strip: header, values, directory, what the directory points to.
fn tiff(picture: &Picture, scale: Option<f64>, profile: Option<&[u8]>) -> Vec<u8> {
    const SHORT: u16 = 3;
    const LONG: u16 = 4;
    const RATIONAL: u16 = 5;
    const UNDEFINED: u16 = 7;
    let strip = picture.rgb.len() as u32;
    let directory = 8 + strip + strip % 2;
    let mut entries: Vec<(u16, u16, u32, Vec<u8>)> = Vec::new();
    let long = |v: u32| v.to_le_bytes().to_vec();
    let short = |v: u16| v.to_le_bytes().to_vec();
    entries.push((256, LONG, 1, long(picture.width)));
    entries.push((257, LONG, 1, long(picture.height)));
    entries.push((258, SHORT, 3, [8, 0, 8, 0, 8, 0].to_vec()));
    entries.push((259, SHORT, 1, short(1)));
    entries.push((262, SHORT, 1, short(2)));
    entries.push((273, LONG, 1, long(8)));
    entries.push((277, SHORT, 1, short(3)));
    entries.push((278, LONG, 1, long(picture.height)));
    entries.push((279, LONG, 1, long(strip)));
    if let Some(scale) = scale {
        // Thousandths of a pixel per centimetre.
        let parts = (scale * 10_000.0).round().clamp(1.0, f64::from(u32::MAX)) as u32;
        let rational = [long(parts), long(1000)].concat();
        entries.push((282, RATIONAL, 1, rational.clone()));
        entries.push((283, RATIONAL, 1, rational));
        entries.push((296, SHORT, 1, short(3)));
    }
    if let Some(profile) = profile {
        entries.push((34675, UNDEFINED, profile.len() as u32, profile.to_vec()));
    }
    let mut bytes = Vec::with_capacity(picture.rgb.len() + 1024);
    bytes.extend(b"II\x2a\0");
    bytes.extend(directory.to_le_bytes());
    bytes.extend(&picture.rgb);
    bytes.resize(directory as usize, 0);
    bytes.extend((entries.len() as u16).to_le_bytes());
    let mut behind = Vec::new();
    let after = directory + 2 + 12 * entries.len() as u32 + 4;
    for (tag, kind, count, mut value) in entries {
        bytes.extend(tag.to_le_bytes());
        bytes.extend(kind.to_le_bytes());
        bytes.extend(count.to_le_bytes());
        if value.len() <= 4 {
            value.resize(4, 0);
            bytes.extend(value);
        } else {
            bytes.extend((after + behind.len() as u32).to_le_bytes());
            behind.extend(&value);
            if value.len() % 2 == 1 {
                behind.push(0);
            }
        }
    }
    bytes.extend([0; 4]);
    bytes.extend(behind);
    bytes
}
