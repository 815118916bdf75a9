//! Sizes on a dossier's photographs: those recorded, and new ones from points marked.
//!
//! In: a dossier's folder, and points with what they are. Out: sizes with their working, or the scale that a
//! thing of known size gives; both kept in the dossier if asked for.

mod all;
mod known;
mod marks;
mod outcome;
mod points;
mod row;

pub use imaging::geometry::Counted;
pub use known::NewReference;
pub use outcome::Outcome;
pub(crate) use points::{Settled, settle};

use crate::picture::{PICTURES, no_photo};
use crate::{Problem, Watch, dossier, finite, photographs, shown};
use imaging::geometry::SnapOptions;
use imaging::{Grey, Picture};
use record::{Dossier, Photo, Place};
use std::path::{Path, PathBuf};

/// What to measure, or what of known size is marked.
#[derive(Debug, Clone, Default)]
pub struct MeasureOptions {
    /// The dossier's folder.
    pub folder: PathBuf,
    /// Photo id; without points, only its measures are worked out.
    pub photo: Option<String>,
    /// Points marked, pixels from the top left corner; without them, all that is recorded is worked out.
    pub at: Option<Vec<[f64; 2]>>,
    /// What the points give, a word of [`record::MeasureSubject`]; a distance if not given.
    pub what: Option<String>,
    /// Item measured.
    pub item: Option<String>,
    /// The points are those of a thing of this size: `50 mm`, `40 x 30 mm`, or a common thing by name.
    pub known: Option<String>,
    /// Find the row of equal things between two points.
    pub row: bool,
    /// What is counted of it.
    pub count: Counted,
    /// The row is a ruler with marks so far apart.
    pub every: Option<String>,
    /// What to call the thing of known size.
    pub name: Option<String>,
    /// Move the points to the edges, corners or rim that the picture shows near them.
    pub snap: bool,
    /// Standard uncertainty of a point marked by hand, pixels; with `snap`, before it is moved.
    pub within: Option<f64>,
    /// Height of the points above the plane of the things of known size, with its unit.
    pub height: Option<String>,
    /// Keep it in the dossier.
    pub save: bool,
    /// Folder for pictures of what was measured.
    pub pictures: Option<PathBuf>,
}

/// What came of it.
#[derive(Debug)]
pub enum Measured {
    /// Sizes.
    Sizes {
        /// Measures with an answer.
        results: Vec<Outcome>,
        /// Why the others have none.
        failed: Vec<String>,
    },
    /// The scale with one more thing of known size.
    Scale(Box<NewReference>),
}

/// Measures.
///
/// # Errors
/// The dossier's mistakes; points, photos, items or sizes that do not fit; a picture in which nothing is found;
/// an edit that no longer fits what is recorded.
pub fn measure(options: &MeasureOptions, watch: &dyn Watch) -> Result<Measured, Problem> {
    if let Some(folder) = &options.pictures {
        PICTURES.may_fill(folder)?;
    }
    let dossier = dossier::open(&options.folder, watch)?;
    let (Some(at), Some(id)) = (&options.at, &options.photo) else {
        return all::run(options, &dossier, watch);
    };
    let photo = photo(&dossier, id)?;
    marked(options, &dossier, photo, at, watch).map_err(|problem| match problem.place {
        Some(_) => problem,
        None => problem.about(Place::photo(id)),
    })
}

/// Measures, or sets a scale, by points on a photo.
fn marked(
    options: &MeasureOptions,
    dossier: &Dossier,
    photo: &Photo,
    at: &[[f64; 2]],
    watch: &dyn Watch,
) -> Result<Measured, Problem> {
    finite::points(at)?;
    finite::above_zero("the standard uncertainty of the points", options.within)?;
    if options.row {
        row::run(options, dossier, photo, at, watch)
    } else if let Some(size) = &options.known {
        known::run(options, photo, size, at, watch)
    } else {
        marks::run(options, dossier, photo, at, watch)
    }
}

fn photo<'d>(dossier: &'d Dossier, id: &str) -> Result<&'d Photo, Problem> {
    dossier.photo(id).ok_or_else(|| no_photo(dossier, id))
}

/// Reads a photo's pixels.
fn picture(folder: &Path, photo: &Photo, watch: &dyn Watch) -> Result<Picture, Problem> {
    let path = folder.join(photographs::inside(&photo.file));
    watch.stage(&format!("looking at {}", shown(&path)));
    Ok(photographs::upright(folder, &photo.file)?.picture)
}

/// Reads a photo's pixels in grey.
fn grey(folder: &Path, photo: &Photo, watch: &dyn Watch) -> Result<Grey, Problem> {
    Ok(Grey::of(&picture(folder, photo, watch)?))
}

/// How to look for the edges meant, for marks as good as they are said to be.
fn snap_options(options: &MeasureOptions) -> SnapOptions {
    let usual = SnapOptions::default();
    SnapOptions {
        click_px: options.within.unwrap_or(usual.click_px),
        ..usual
    }
}
