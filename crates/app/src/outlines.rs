//! Outlines that may be parts: of a whole photograph, or around a place on it.
//!
//! In: a dossier's folder, one of its photographs. Out: outlines, with their size where something of known size is
//! marked, and with the regions they are recorded as. Nothing is written.

use crate::{Problem, Watch, dossier, photographs, picture};
use imaging::bodies::{self, Look, Outline};
use imaging::geometry::Plane;
use methods::photogrammetry::PhotoPlane;
use record::{Photo, Place};
use std::path::PathBuf;
use std::sync::Arc;

/// Which outlines are wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct OutlineOptions {
    /// The dossier's folder.
    pub folder: PathBuf,
    /// Photo id.
    pub photo: String,
    /// A place, pixels from the upper left corner: up to five outlines around it instead of those of the whole
    /// photograph.
    pub at: Option<[f64; 2]>,
    /// Least probability of those of a whole photograph; `imaging::bodies::Look` has the usual one.
    pub least_probability: Option<f64>,
}

/// Outlines of a photograph.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlined {
    /// Photo id.
    pub photo: String,
    /// Width and height of the photograph, pixels.
    pub pixels: [u32; 2],
    /// Pixels to the millimetre in its middle, where something of known size is marked.
    pub px_per_mm: Option<f64>,
    /// The outlines, the likeliest first.
    pub offered: Vec<Offered>,
}

/// An outline.
#[derive(Debug, Clone, PartialEq)]
pub struct Offered {
    /// Where it is, and how likely a part.
    pub outline: Outline,
    /// Its longer and its shorter side as if it lay in the plane of what is of known size, mm. To find it by, not to
    /// measure with: the sides are not snapped and the height is not known.
    pub size_mm: Option<[f64; 2]>,
    /// The region that is recorded about there.
    pub region: Option<String>,
}

/// Common area over joint area from which an outline is that of a region.
const RECORDED: f64 = 0.5;

/// Returns outlines that may be parts.
///
/// # Errors
/// The dossier's mistakes; a photo that is not there or cannot be read; a place outside it; a probability that is
/// none.
pub fn outlines(options: &OutlineOptions, watch: &dyn Watch) -> Result<Outlined, Problem> {
    let probable = options.least_probability;
    if let Some(p) = probable.filter(|p| !(0.0..=1.0).contains(p)) {
        return Err(Problem::unfit(
            format!("{p} is no probability"),
            "state a number from 0 to 1",
        ));
    }
    let dossier = dossier::open(&options.folder, watch)?;
    let photo = dossier
        .photo(&options.photo)
        .ok_or_else(|| picture::no_photo(&dossier, &options.photo))?;
    watch.stage(&format!("looking for outlines in {}", photo.id));
    let decoded = photographs::upright(&options.folder, &photo.file)?;
    if !watch.goes_on() {
        return Err(Problem::stopped());
    }
    let picture = &decoded.picture;
    let pixels = [picture.width, picture.height];
    let plane = plane(photo, pixels);
    let mut look = look(photo, pixels, plane.as_deref());
    let px_per_mm = look.px_per_mm;
    if let Some(probable) = probable {
        look.least_probability = probable;
    }
    let found = match options.at {
        Some(at) => {
            on(pixels, at, photo)?;
            bodies::grow(picture, at, &look)
        }
        None => bodies::find(picture, &look),
    };
    let offered = found.into_iter().map(|outline| Offered {
        size_mm: plane.as_ref().and_then(|p| size_mm(p, &outline)),
        region: region(photo, &outline),
        outline,
    });
    Ok(Outlined {
        photo: photo.id.clone(),
        pixels,
        px_per_mm,
        offered: offered.collect(),
    })
}

/// Returns what is known of a photograph before outlines are looked for on it.
pub(crate) fn look(photo: &Photo, pixels: [u32; 2], plane: Option<&Plane>) -> Look {
    Look {
        px_per_mm: plane.and_then(|plane| {
            let middle = pixels.map(|v| f64::from(v) / 2.0);
            Some(1.0 / plane.mm_per_px(middle)?)
        }),
        known: photo.references.iter().map(|r| r.at.clone()).collect(),
        ..Look::default()
    }
}

/// Returns the plane of what is of known size; `None` where nothing is, or where it gives no plane.
pub(crate) fn plane(photo: &Photo, pixels: [u32; 2]) -> Option<Arc<Plane>> {
    let mut sized = photo.clone();
    sized.pixels = Some(pixels);
    let marked = sized.has_reference().then_some(&sized)?;
    PhotoPlane::of(marked).ok().map(|p| p.plane)
}

pub(crate) fn on(pixels: [u32; 2], at: [f64; 2], photo: &Photo) -> Result<(), Problem> {
    if (0..2).all(|i| at[i] >= 0.0 && at[i] < f64::from(pixels[i])) {
        return Ok(());
    }
    let [width, height] = pixels;
    let why = format!(
        "{}, {} lies outside {width} × {height} pixels",
        at[0], at[1]
    );
    Err(Problem::refused(why, "state a place on the photograph").about(Place::photo(&photo.id)))
}

pub(crate) fn size_mm(plane: &Plane, outline: &Outline) -> Option<[f64; 2]> {
    let [a, b, c, d] = outline.corners.map(|p| plane.to_plane(p));
    let (a, b, c, d) = (a?, b?, c?, d?);
    let apart = |p: [f64; 2], q: [f64; 2]| (p[0] - q[0]).hypot(p[1] - q[1]);
    let first = (apart(a, b) + apart(d, c)) / 2.0;
    let second = (apart(b, c) + apart(a, d)) / 2.0;
    Some([first.max(second), first.min(second)])
}

fn region(photo: &Photo, outline: &Outline) -> Option<String> {
    let near = photo.regions.iter().map(|region| {
        let [x, y, w, h] = region.rect.map(f64::from);
        let rect = [[x, y], [x + w, y], [x + w, y + h], [x, y + h]];
        (outline.agreement(&rect), region)
    });
    near.filter(|(agreement, _)| *agreement >= RECORDED)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, region)| region.id.clone())
}
