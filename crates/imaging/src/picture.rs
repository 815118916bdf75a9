//! A picture in memory.

/// A finished picture: 8-bit red, green, blue, row by row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// Width, pixels.
    pub width: u32,
    /// Height, pixels.
    pub height: u32,
    /// Three bytes for each pixel.
    pub rgb: Vec<u8>,
}
