//! Tile pyramids and previews.
//!
//! In: a photograph, or its file. Out: JPEG tiles of each level, one after the other, and a preview,
//! with names that follow from the file's content and the options alone: the same photograph is worked
//! through once, whatever it is called, and another option gives other names. The preview does not
//! wait for the tiles: it is made from the file, most of it at half the resolution.
//! Not here: where the parts are kept.

use super::downscale::halve;
use super::write::{Encoding, encode};
use super::{Fault, Limits, Photo, PictureError, preview};
use crate::Picture;
use sha2::{Digest, Sha256};

/// How parts are made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TileOptions {
    /// Side of a tile, pixels.
    pub tile: u32,
    /// Longer side of the preview, pixels.
    pub preview: u32,
    /// JPEG quality, 1 to 100.
    pub quality: u8,
}

impl Default for TileOptions {
    fn default() -> Self {
        Self {
            tile: 256,
            preview: 2048,
            quality: 85,
        }
    }
}

/// One file of a pyramid.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// `KEY/LEVEL/COLUMN-ROW.jpg` or `KEY/preview.jpg`.
    pub name: String,
    /// The JPEG file.
    pub bytes: Vec<u8>,
}

/// A level of a pyramid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Level {
    /// Width, pixels.
    pub width: u32,
    /// Height, pixels.
    pub height: u32,
    /// Tiles across.
    pub columns: u32,
    /// Tiles down.
    pub rows: u32,
}

/// Returns the levels of a picture: the first is its full size, each further one half of it, the
/// last fits one tile.
pub fn levels(width: u32, height: u32, tile: u32) -> Vec<Level> {
    let tile = tile.max(1);
    let (mut width, mut height) = (width.max(1), height.max(1));
    let mut all = Vec::new();
    loop {
        all.push(Level {
            width,
            height,
            columns: width.div_ceil(tile),
            rows: height.div_ceil(tile),
        });
        if width.max(height) <= tile {
            return all;
        }
        (width, height) = (width.div_ceil(2), height.div_ceil(2));
    }
}

/// Returns the first part of all names: a hash (SHA-256, 32 hexadecimal digits of it) of the file
/// and the options.
pub fn key(file: &[u8], options: &TileOptions) -> String {
    let mut hash = Sha256::new();
    hash.update(file);
    // The last number counts ways of making parts: raise it when their bytes change.
    hash.update(format!(
        "tile {} preview {} quality {} way 4",
        options.tile, options.preview, options.quality
    ));
    hash.finalize()[..16]
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

/// Makes the preview of a photograph's file.
///
/// # Errors
/// As [`super::decode`].
pub fn preview_part(
    key: &str,
    file: &[u8],
    options: &TileOptions,
    limits: &Limits,
) -> Result<Part, PictureError> {
    let small = preview(file, options.preview, limits)?;
    Ok(Part {
        name: format!("{key}/preview.jpg"),
        bytes: small.encode(Encoding::Jpeg(options.quality))?,
    })
}

/// Makes all tiles; `sink` is given each with the share that is then done, 0 to 1, and stops the
/// work by returning `false`.
///
/// # Errors
/// [`Fault::Stopped`] when `sink` said so; a picture whose bytes do not fit its size.
pub fn pyramid(
    key: &str,
    photo: &Photo,
    options: &TileOptions,
    sink: &mut dyn FnMut(Part, f64) -> bool,
) -> Result<Vec<Level>, PictureError> {
    let profile = photo.profile.as_deref();
    let full = &photo.picture;
    let all = levels(full.width, full.height, options.tile);
    let whole = f64::from(all.iter().map(|l| l.columns * l.rows).sum::<u32>());
    let mut done = 0.0;
    let mut half: Option<Picture> = None;
    for (index, level) in all.iter().enumerate() {
        if index > 0 {
            half = Some(halve(half.as_ref().unwrap_or(full)));
        }
        let picture = half.as_ref().unwrap_or(full);
        for row in 0..level.rows {
            for column in 0..level.columns {
                let (left, top) = (column * options.tile, row * options.tile);
                let tile = cut(picture, left, top, options.tile);
                let part = Part {
                    name: format!("{key}/{index}/{column}-{row}.jpg"),
                    bytes: encode(&tile, Encoding::Jpeg(options.quality), None, profile)?,
                };
                done += 1.0;
                if !sink(part, done / whole) {
                    return Err(PictureError::new(Fault::Stopped));
                }
            }
        }
    }
    Ok(all)
}

/// Returns the part of a picture from (`left`, `top`), at most `side` wide and high.
pub fn cut(picture: &Picture, left: u32, top: u32, side: u32) -> Picture {
    let width = side.min(picture.width.saturating_sub(left));
    let height = side.min(picture.height.saturating_sub(top));
    let stride = picture.width as usize * 3;
    let mut rgb = Vec::with_capacity(width as usize * height as usize * 3);
    for row in picture
        .rgb
        .chunks_exact(stride.max(1))
        .skip(top as usize)
        .take(height as usize)
    {
        rgb.extend(&row[left as usize * 3..(left + width) as usize * 3]);
    }
    Picture { width, height, rgb }
}
