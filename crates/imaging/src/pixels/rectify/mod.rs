//! A picture seen through another one: every pixel of a new picture is looked up in the old one.
//!
//! In: a picture, a map from places in the new picture to places in the old one (a homography and,
//! where known, the lens), a kernel. Out: the new picture, or any rectangle of it.
//! Not here: finding the homography (`geometry`), writing files (`super::write`).
//!
//! The interpolation is exact to less than one grey level against the same kernel in real numbers:
//! positions are rounded to 2⁻¹⁴ pixel (bilinear) or 2⁻¹⁰ (the others), weights to 2⁻¹⁴, and the
//! result once to a whole level. Both code paths (`avx2`, `scalar`) give the same bytes. Nothing is
//! averaged: a view with fewer pixels than the photograph shows fine patterns falsely, so ask for
//! about as many pixels per millimetre as the photograph has.

#[cfg(target_arch = "x86_64")]
mod avx2;
mod map;
mod scalar;
mod scale_bar;
mod weights;

pub use map::{Lens, Map};
pub use scale_bar::{ScaleBar, scale_bar};

use super::{Fault, PictureError};
use crate::Picture;
use map::{RUN, Start, Steps};
use weights::Weights;

/// How values between pixels are made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Kernel {
    /// From 2 × 2 pixels.
    Bilinear,
    /// From 4 × 4 pixels, cubic convolution with a = −0.5 (Catmull–Rom): keeps straight slopes
    /// straight. Source: R. G. Keys, IEEE Trans. ASSP 29 (1981) 1153.
    #[default]
    CatmullRom,
    /// The same with a = −0.75, sharper with more overshoot; what OpenCV calls cubic.
    SharpCubic,
    /// From 8 × 8 pixels, sinc in a sinc window of four lobes, weights scaled to sum to one.
    Lanczos4,
}

/// What is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RectifyOptions {
    /// First column of the rectangle in the new picture.
    pub left: u32,
    /// First row of the rectangle in the new picture.
    pub top: u32,
    /// Width of the rectangle, pixels.
    pub width: u32,
    /// Height of the rectangle, pixels.
    pub height: u32,
    /// How values between pixels are made.
    pub kernel: Kernel,
    /// Colour outside the old picture.
    pub outside: [u8; 3],
}

/// Largest new picture and largest old one, bytes.
const MOST_BYTES: u64 = i32::MAX as u64;
/// Rows that are worked through before the next run of columns: so many that a row of the old
/// picture serves several while it is in the nearest cache, so few that the processor's own
/// prefetching keeps up with all of them.
const BAND: usize = 16;

/// The old picture as the kernels see it.
#[derive(Clone, Copy)]
struct Source<'a> {
    rgb: &'a [u8],
    width: usize,
    height: usize,
}

/// Bytes behind a run that kernels overwrite, as they store whole vectors.
const ROOM: usize = 8;
/// Where kernels put a run of pixels.
type Line = [u8; RUN * 3 + ROOM];

/// Returns the wanted rectangle of the new picture; `progress` is told the share that is done, 0
/// to 1, and may stop the work by returning `false`.
///
/// # Errors
/// A picture whose bytes do not fit its size, or an old or new picture of more than 2³¹ bytes;
/// [`Fault::Stopped`] when `progress` said so.
pub fn resample(
    picture: &Picture,
    map: &Map,
    wanted: &RectifyOptions,
    progress: &mut dyn FnMut(f64) -> bool,
) -> Result<Picture, PictureError> {
    let mut new = Picture {
        width: 0,
        height: 0,
        rgb: Vec::new(),
    };
    resample_into(picture, map, wanted, &mut new, progress)?;
    Ok(new)
}

/// As [`resample`], into a picture whose memory is used again.
///
/// # Errors
/// As [`resample`]; the new picture is then of no use.
pub fn resample_into(
    picture: &Picture,
    map: &Map,
    wanted: &RectifyOptions,
    new: &mut Picture,
    progress: &mut dyn FnMut(f64) -> bool,
) -> Result<(), PictureError> {
    Runner::new().run(picture, map, wanted, new, progress)
}

/// The fastest code that this processor runs.
struct Runner {
    #[cfg(target_arch = "x86_64")]
    simd: Option<pulp::x86::V3>,
}

impl Runner {
    fn new() -> Self {
        Self {
            #[cfg(target_arch = "x86_64")]
            simd: pulp::x86::V3::try_new(),
        }
    }

    fn run(
        &self,
        picture: &Picture,
        map: &Map,
        wanted: &RectifyOptions,
        new: &mut Picture,
        progress: &mut dyn FnMut(f64) -> bool,
    ) -> Result<(), PictureError> {
        let bytes = |w: u32, h: u32| u64::from(w) * u64::from(h) * 3;
        let (width, height) = (wanted.width, wanted.height);
        if bytes(width, height) > MOST_BYTES || bytes(picture.width, picture.height) > MOST_BYTES {
            return Err(PictureError::new(Fault::Unwritten(
                "it is larger than 2³¹ bytes".into(),
            )));
        }
        if picture.rgb.len() as u64 != bytes(picture.width, picture.height) {
            return Err(PictureError::new(Fault::Broken(
                "the picture's bytes do not fit its size".into(),
            )));
        }
        (new.width, new.height) = (width, height);
        new.rgb.resize(bytes(width, height) as usize, 0);
        let source = Source {
            rgb: &picture.rgb,
            width: picture.width as usize,
            height: picture.height as usize,
        };
        let weights = Weights::of(wanted.kernel);
        let stride = width as usize * 3;
        let bands = new.rgb.chunks_mut((stride * BAND).max(1));
        let count = bands.len();
        for (index, band) in bands.enumerate() {
            let task = Band {
                source,
                map,
                weights: &weights,
                outside: wanted.outside,
                left: wanted.left,
                top: wanted.top + (index * BAND) as u32,
                stride,
                rgb: band,
            };
            self.band(task);
            if !progress((index + 1) as f64 / count as f64) {
                return Err(PictureError::new(Fault::Stopped));
            }
        }
        Ok(())
    }

    fn band(&self, band: Band<'_>) {
        #[cfg(target_arch = "x86_64")]
        if let Some(simd) = self.simd {
            avx2::fill(simd, band);
            return;
        }
        band.fill(scalar::run, |_, _| {});
    }
}

/// At most [`BAND`] rows of the new picture.
struct Band<'a> {
    source: Source<'a>,
    map: &'a Map,
    weights: &'a Weights,
    outside: [u8; 3],
    left: u32,
    top: u32,
    stride: usize,
    rgb: &'a mut [u8],
}

impl Band<'_> {
    /// Fills the band, run by run; `fast` fills a run that lies inside the old picture with room
    /// for whole vectors, `ask` tells the processor that a byte will soon be needed.
    #[inline(always)]
    fn fill(
        self,
        mut fast: impl FnMut(Source<'_>, &Weights, &Steps, &mut Line),
        ask: impl Fn(&[u8], usize),
    ) {
        if self.stride == 0 {
            return;
        }
        let mut steps = Steps::new();
        let mut line: Line = [0; RUN * 3 + ROOM];
        let mut starts = [Start::default(); BAND];
        let unit = self.weights.unit();
        let reach = self.weights.reach();
        for from in (0..self.stride).step_by(RUN * 3) {
            let to = (from + RUN * 3).min(self.stride);
            let first = self.left + (from / 3) as u32;
            Start::fill(&mut starts, self.map, first, self.top, unit);
            let rows = self.rgb.chunks_mut(self.stride).zip(&starts);
            for (row, (out, start)) in rows.enumerate() {
                let place = [first, self.top + row as u32];
                steps.fill(self.map, start, place, (to - from) / 3, unit);
                steps.locate(self.source, reach);
                for at in steps.beyond(self.source) {
                    ask(self.source.rgb, at);
                }
                for at in [to, to + 64, to + 128] {
                    ask(out, at);
                }
                let out = &mut out[from..];
                // The end of a row has no room behind it.
                let (whole, aside) = match out.first_chunk_mut::<{ RUN * 3 + ROOM }>() {
                    Some(whole) => (whole, false),
                    None => (&mut line, true),
                };
                if steps.inside(self.source, reach) {
                    fast(self.source, self.weights, &steps, whole);
                } else {
                    scalar::careful(self.source, self.weights, &steps, self.outside, whole);
                }
                if aside {
                    out[..to - from].copy_from_slice(&line[..to - from]);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests;
