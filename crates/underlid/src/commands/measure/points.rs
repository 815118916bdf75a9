//! Points on the command line, and points as they are recorded.

use super::grey;
use crate::arguments::MeasureArguments;
use crate::failure::Failure;
use imaging::Grey;
use imaging::geometry::{Click, SnapError};
use record::Photo;

/// Reads `120,80 640.5,82`.
///
/// # Errors
/// What is no point, and how points are written.
pub(super) fn read(text: &str) -> Result<Vec<[f64; 2]>, Failure> {
    let point = |word: &str| {
        let (x, y) = word.split_once(',')?;
        let (x, y) = (x.parse::<f64>().ok()?, y.parse::<f64>().ok()?);
        (x.is_finite() && y.is_finite()).then_some([x, y])
    };
    text.split_whitespace()
        .map(|word| {
            point(word).ok_or_else(|| Failure::Outside {
                message: format!("“{word}” is not a point"),
                remedy: "write points as x,y in pixels with blanks between them, such as \
                         --at \"120,80 640.5,82\""
                    .to_string(),
            })
        })
        .collect()
}

/// Returns the points to record and their standard uncertainty in pixels: moved to what the picture shows
/// if that is asked for, as marked otherwise.
///
/// # Errors
/// A picture that cannot be read, or in which `snap` finds nothing.
pub(super) fn settled(
    arguments: &MeasureArguments,
    photo: &Photo,
    marked: &[[f64; 2]],
    snap: impl FnOnce(&Grey) -> Result<Vec<Click>, SnapError>,
) -> Result<(Vec<[f64; 2]>, Option<f64>), Failure> {
    if !arguments.snap {
        return Ok((marked.to_vec(), arguments.within));
    }
    let picture = grey(&arguments.folder, photo)?;
    let clicks = snap(&picture).map_err(|why| Failure::Outside {
        message: format!("the points cannot be moved to an edge: {why}"),
        remedy: "mark them closer, or leave --snap out and state --within".to_string(),
    })?;
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
