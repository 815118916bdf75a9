//! Points as they are recorded.

use super::{MeasureOptions, grey};
use crate::imaging_problem::Work;
use crate::{Problem, Watch};
use imaging::Grey;
use imaging::geometry::{Click, SnapError};
use record::{Photo, Place};

/// Returns the points to record and their standard uncertainty in pixels: moved to what the picture shows
/// if that is asked for, as marked otherwise.
///
/// # Errors
/// A picture that cannot be read, or in which `snap` finds nothing.
pub(super) fn settled(
    options: &MeasureOptions,
    photo: &Photo,
    marked: &[[f64; 2]],
    watch: &dyn Watch,
    snap: impl FnOnce(&Grey) -> Result<Vec<Click>, SnapError>,
) -> Result<(Vec<[f64; 2]>, Option<f64>), Problem> {
    if !options.snap {
        return Ok((marked.to_vec(), options.within));
    }
    let picture = grey(&options.folder, photo, watch)?;
    let clicks = snap(&picture)
        .map_err(|why| Problem::of_imaging(Work::Snap, why, Place::photo(&photo.id).into()))?;
    let (at, within) = recorded(&clicks);
    Ok((at, Some(within)))
}

/// Returns the places of clicks, rounded to a hundredth of a pixel, and the largest of their standard
/// uncertainties in any direction.
pub(super) fn recorded(clicks: &[Click]) -> (Vec<[f64; 2]>, f64) {
    let round = |v: f64| (v * 100.0).round() / 100.0;
    let places = clicks.iter().map(|c| c.at.map(round)).collect();
    let widest = |c: &Click| {
        let [xx, xy, yy] = c.covariance;
        (f64::midpoint(xx, yy) + ((xx - yy) / 2.0).hypot(xy)).sqrt()
    };
    let within = clicks.iter().map(widest).fold(0.0, f64::max);
    (places, (within * 1000.0).ceil() / 1000.0)
}
