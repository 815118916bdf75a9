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
mod wanted;

pub use imaging::geometry::Counted;
pub use known::NewReference;
pub(crate) use known::scale;
pub use outcome::Outcome;
pub(crate) use points::{Settled, settle};
pub(crate) use wanted::wanted;
pub use wanted::{By, Wanted};

use crate::picture::{PICTURES, no_photo};
use crate::{Problem, Watch, dossier, finite, photographs, shown};
use imaging::ToneCurve;
use imaging::geometry::SnapOptions;
use imaging::pixels::Photo as Decoded;
use record::{Dossier, Draft, Photo, Place};
use std::path::PathBuf;
use std::sync::{Arc, LazyLock};

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
    let pixels = || {
        let path = options.folder.join(photographs::inside(&photo.file));
        watch.stage(&format!("looking at {}", shown(&path)));
        Ok(Arc::new(photographs::upright(
            &options.folder,
            &photo.file,
        )?))
    };
    let found = marked(options, &dossier, photo, at, &pixels);
    let found = found.map_err(|problem| match problem.place {
        Some(_) => problem,
        None => problem.about(Place::photo(id)),
    })?;
    if let (Some(folder), Measured::Sizes { results, .. }) = (&options.pictures, &found) {
        let mut with = dossier.clone();
        with.measures
            .extend(results.iter().map(|r| r.measure.clone()));
        outcome::draw(&options.folder, &with, &[photo], folder, watch)?;
    }
    match options.save {
        true => kept(options, found, watch),
        false => Ok(found),
    }
}

/// What the pixels of a photograph are asked of, where they are needed.
pub(crate) type Pixels<'p> = dyn Fn() -> Result<Arc<Decoded>, Problem> + 'p;

/// How the levels of a photograph follow the light.
pub(crate) static CURVE: LazyLock<ToneCurve> = LazyLock::new(ToneCurve::srgb);

/// Measures, or sets a scale, by points on a photo; nothing is written.
pub(crate) fn marked(
    options: &MeasureOptions,
    dossier: &Dossier,
    photo: &Photo,
    at: &[[f64; 2]],
    pixels: &Pixels<'_>,
) -> Result<Measured, Problem> {
    finite::points(at)?;
    finite::above_zero("the standard uncertainty of the points", options.within)?;
    if options.row {
        row::run(options, dossier, photo, at, pixels)
    } else if let Some(size) = &options.known {
        known::run(options, photo, size, at, pixels)
    } else {
        marks::run(options, dossier, photo, at, pixels)
    }
}

/// Keeps what was measured in the dossier's folder.
fn kept(
    options: &MeasureOptions,
    mut found: Measured,
    watch: &dyn Watch,
) -> Result<Measured, Problem> {
    match &mut found {
        Measured::Sizes { results, .. } => {
            for result in results {
                let measure = result.measure.clone();
                let add = |draft: &mut Draft, now: &Dossier| {
                    // Another run may have taken the id, or measured the same thing.
                    let measure = marks::placed(measure, now);
                    draft.add(&Place::dossier().at("measures"), &measure)?;
                    Ok(measure)
                };
                result.measure = dossier::edit(&options.folder, add, watch)?;
            }
        }
        Measured::Scale(new) => {
            let to = Place::photo(&new.photo).at("references");
            let add = |draft: &mut Draft, _: &Dossier| Ok(draft.add(&to, &new.reference)?);
            dossier::edit(&options.folder, add, watch)?;
        }
    }
    Ok(found)
}

fn photo<'d>(dossier: &'d Dossier, id: &str) -> Result<&'d Photo, Problem> {
    dossier.photo(id).ok_or_else(|| no_photo(dossier, id))
}

/// How to look for the edges meant, for marks as good as they are said to be.
fn snap_options(options: &MeasureOptions) -> SnapOptions {
    let usual = SnapOptions::default();
    SnapOptions {
        click_px: options.within.unwrap_or(usual.click_px),
        ..usual
    }
}
