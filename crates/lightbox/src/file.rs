//! Levels as the bytes of a file, turned as a telephone stores them.
//!
//! In: upright levels and an orientation. Out: a JPEG file with halved colour resolution and the orientation in its
//! Exif block. Not here: what the picture shows. Source: Exif 2.32 (tag 0x0112), TIFF 6.0 page 36.

use jpeg_encoder::{ColorType, Encoder, EncodingError, SamplingFactor};

/// Returns where an upright pixel (column and row, from 0) of a picture of upright width and height is stored, for
/// an orientation of 1 to 8.
pub fn stored_place(
    [x, y]: [usize; 2],
    [width, height]: [usize; 2],
    orientation: u8,
) -> [usize; 2] {
    let (right, below) = (width - 1 - x, height - 1 - y);
    match orientation {
        2 => [right, y],
        3 => [right, below],
        4 => [x, below],
        5 => [y, x],
        6 => [y, right],
        7 => [below, right],
        8 => [below, x],
        _ => [x, y],
    }
}

pub(crate) fn encoded(
    levels: &[u8],
    size: [usize; 2],
    orientation: u8,
    quality: u8,
) -> Result<Vec<u8>, EncodingError> {
    let [width, height] = size;
    let stored = if orientation >= 5 {
        [height, width]
    } else {
        size
    };
    let mut turned = vec![0; levels.len()];
    for (n, pixel) in levels.chunks_exact(3).enumerate() {
        let [x, y] = stored_place([n % width, n / width], size, orientation);
        let at = 3 * (y * stored[0] + x);
        turned[at..at + 3].copy_from_slice(pixel);
    }
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, quality);
    encoder.set_sampling_factor(SamplingFactor::F_2_2);
    encoder.add_exif_metadata(&exif(orientation))?;
    // Sides of drawn pictures are below 65,536.
    encoder.encode(&turned, stored[0] as u16, stored[1] as u16, ColorType::Rgb)?;
    Ok(bytes)
}

/// A TIFF header and one entry: the orientation.
fn exif(orientation: u8) -> Vec<u8> {
    let mut block = b"II*\0\x08\0\0\0\x01\0".to_vec();
    block.extend([0x12, 0x01, 3, 0, 1, 0, 0, 0, orientation, 0, 0, 0]);
    block.extend([0; 4]);
    block
}
