//! One photograph as it is published: private regions filled, a preview, a full size, squares around regions, and
//! the square that opens the report.
//!
//! In: the bytes of its file, what the record says of it. Out: pictures upright, bounded, without notes.
//! Not here: reading files.

use callout::withhold;
use imaging::Picture;
use imaging::pixels::{self, Encoding, Format, Limits, PictureError, crop, downscale, metadata};
use record::{Dossier, Photo, Place, Region, Step};
use report::{Shown, crop_square, hero_square, photo_of_step, step_rect};

/// What is asked of a picture.
struct Bounds {
    /// Longest side, pixels.
    longest: u32,
    /// Most bytes of its file.
    bytes: usize,
    /// Qualities in the order in which they are tried; then the size falls.
    qualities: [u8; 3],
}

const PREVIEW: Bounds = Bounds {
    longest: 1_280,
    bytes: 160_000,
    qualities: [82, 75, 68],
};
const FULL: Bounds = Bounds {
    longest: 4_000,
    bytes: 2_500_000,
    qualities: [90, 82, 75],
};
/// Share of a side that stays where quality alone does not bring a file below its bounds.
const SMALLER: f64 = 0.85;
/// Pixels on a side of a square around a region: 300 to the inch at 40 mm.
const CROP: u32 = 480;
/// Width of the picture of a step, pixels.
const STEP: u32 = 640;
/// Pixels on a side of the square that opens the report.
const HERO: u32 = 880;
/// JPEG quality of all three.
const CROP_QUALITY: u8 = 82;
/// A larger colour profile is left out: it would be most of a preview.
const LARGEST_PROFILE: usize = 16_384;

/// A photograph in every form it is published in.
#[derive(Clone)]
pub(crate) struct Published {
    pub(super) shown: Shown,
    pub(super) crops: Vec<(Place, report::Picture)>,
    /// The square that opens the report, of the photograph chosen for it.
    pub(super) hero: Option<report::Picture>,
    /// Whether its file told more than its pixels.
    pub(super) had_notes: bool,
}

impl Published {
    /// How much it takes to keep.
    pub(super) fn bytes(&self) -> usize {
        let crops = self.crops.iter().map(|(_, picture)| picture);
        let whole = [&self.shown.preview, &self.shown.full];
        let all = crops.chain(&self.hero).chain(whole);
        all.map(|picture| picture.bytes.len()).sum()
    }
}

/// Returns the steps that a photograph shows, each with the region that it is about.
pub(super) fn steps<'d>(
    dossier: &'d Dossier,
    photo: &Photo,
) -> Vec<(&'d Step, Option<&'d Region>)> {
    let shown = |step: &'d Step| {
        let (of, region) = photo_of_step(dossier, step)?;
        (of.id == photo.id).then_some((step, region))
    };
    dossier.steps.iter().filter_map(shown).collect()
}

/// Returns the regions of a file that nobody is to see, whichever photograph of the record marks them.
pub(crate) fn private(dossier: &Dossier, file: &str) -> Vec<[u32; 4]> {
    let photos = dossier.photos.iter().filter(|p| p.file == file);
    let regions = photos.flat_map(|p| &p.regions).filter(|r| r.private);
    regions.map(|r| r.rect).collect()
}

/// Makes all pictures of the photograph with the number `number`, decoding it once: its size is looked at before
/// anything is decoded, and damage is found here and not by the reader. `hero` is the photograph that opens the report,
/// and what of it shows the product.
///
/// # Errors
/// A picture that cannot be read or written.
pub(super) fn publish(
    dossier: &Dossier,
    photo: &Photo,
    number: usize,
    hero: Option<(&Photo, Option<[u32; 4]>)>,
    bytes: &[u8],
) -> Result<Published, PictureError> {
    let mut decoded = pixels::decode(bytes, &Limits::default())?;
    decoded.profile = decoded.profile.filter(|p| p.len() <= LARGEST_PROFILE);
    let masks = private(dossier, &photo.file);
    withhold(&mut decoded.picture, &masks);
    let had_notes = !metadata::find(bytes)?.notes.is_empty();
    // A picture that is fit as it is keeps its pixels to the last bit.
    let as_is = decoded.format == Format::Jpeg && decoded.orientation == 1 && masks.is_empty();
    let clean = if as_is {
        Some(metadata::clean(bytes)?.bytes)
    } else {
        None
    };
    let size = [decoded.picture.width, decoded.picture.height];
    let square = |region: &Region| {
        let [left, top, side] = crop_square(photo, region, size);
        let part = crop(&decoded.picture, [left, top, side, side], CROP);
        let place = Place::region(&photo.id, &region.id);
        Ok((
            place,
            jpeg(&part, CROP_QUALITY, decoded.profile.as_deref())?,
        ))
    };
    let step = |(step, region): (&Step, Option<&Region>)| {
        let part = crop(&decoded.picture, step_rect(region, size), STEP);
        let file = jpeg(&part, CROP_QUALITY, decoded.profile.as_deref())?;
        Ok((Place::step(&step.id), file))
    };
    let hero = hero.filter(|(of, _)| of.id == photo.id).map(|(_, rect)| {
        let [left, top, side] = hero_square(rect, size);
        let part = crop(&decoded.picture, [left, top, side, side], HERO);
        jpeg(&part, CROP_QUALITY, decoded.profile.as_deref())
    });
    let squares = photo.regions.iter().map(square);
    Ok(Published {
        crops: squares
            .chain(steps(dossier, photo).into_iter().map(step))
            .collect::<Result<_, _>>()?,
        hero: hero.transpose()?,
        shown: Shown {
            size,
            preview: bounded(&decoded, clean.as_deref(), &PREVIEW)?,
            full: bounded(&decoded, clean.as_deref(), &FULL)?,
            path: format!("photos/P{number:02}-{}.jpg", photo.id),
        },
        had_notes,
    })
}

/// Returns the picture within bounds: the clean file itself where it is, else written anew, smaller if need be.
fn bounded(
    photo: &pixels::Photo,
    clean: Option<&[u8]>,
    bounds: &Bounds,
) -> Result<report::Picture, PictureError> {
    let side = photo.picture.width.max(photo.picture.height);
    if let Some(clean) = clean.filter(|c| c.len() <= bounds.bytes && side <= bounds.longest) {
        return Ok(report::Picture {
            bytes: clean.into(),
            media_type: "image/jpeg",
            size: [photo.picture.width, photo.picture.height],
        });
    }
    let mut longest = bounds.longest.min(side);
    loop {
        let picture = downscale(&photo.picture, longest);
        for quality in bounds.qualities {
            let file = jpeg(&picture, quality, photo.profile.as_deref())?;
            if file.bytes.len() <= bounds.bytes || longest == 1 {
                return Ok(file);
            }
        }
        longest = smaller(longest);
    }
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a share of a length is no longer than it"
)]
fn smaller(longest: u32) -> u32 {
    (f64::from(longest) * SMALLER).max(1.0) as u32
}

fn jpeg(
    picture: &Picture,
    quality: u8,
    profile: Option<&[u8]>,
) -> Result<report::Picture, PictureError> {
    let bytes = pixels::encode(picture, Encoding::Jpeg(quality), None, profile)?;
    Ok(report::Picture {
        bytes: bytes.into(),
        media_type: "image/jpeg",
        size: [picture.width, picture.height],
    })
}
