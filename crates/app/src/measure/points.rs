//! Points as they are recorded.

use super::{CURVE, MeasureOptions, Pixels};
use crate::Problem;
use crate::imaging_problem::Work;
use imaging::Light;
use imaging::geometry::{Click, OutlinePoints, SnapError, Snapped, outwards};
use record::{Photo, Place};

/// Points to record.
pub(crate) struct Settled {
    pub(crate) at: Vec<[f64; 2]>,
    /// Standard uncertainty, pixels, of points marked by hand.
    pub(crate) within: Option<f64>,
    /// Of points found in the pixels, as the record keeps them.
    pub(crate) snapped: Vec<[f64; 3]>,
    /// How far each mark moved, and what else may be meant.
    pub(crate) moves: Vec<String>,
}

/// Returns the points to record: moved to what the picture shows if that is asked for, as marked otherwise.
/// `points` says what they are once they are moved.
///
/// # Errors
/// A picture that cannot be read, or in which `snap` finds nothing.
pub(super) fn settled(
    options: &MeasureOptions,
    photo: &Photo,
    marked: &[[f64; 2]],
    points: OutlinePoints,
    pixels: &Pixels<'_>,
    snap: impl FnOnce(&Light<'_>) -> Result<Snapped, SnapError>,
) -> Result<Settled, Problem> {
    if !options.snap {
        return Ok(Settled {
            at: marked.to_vec(),
            within: options.within,
            snapped: Vec::new(),
            moves: Vec::new(),
        });
    }
    let decoded = pixels()?;
    let found = snap(&Light::new(&decoded.picture, &CURVE))
        .map_err(|why| Problem::of_imaging(Work::Snap, why, Place::photo(&photo.id).into()))?;
    Ok(settle(&found, points))
}

/// Returns snapped points as the record keeps them.
pub(crate) fn settle(found: &Snapped, points: OutlinePoints) -> Settled {
    let at: Vec<[f64; 2]> = found.clicks.iter().map(rounded).collect();
    let outwards = outwards(&at, points);
    let thousandth = |v: f64| (v * 1000.0).round() / 1000.0;
    let snapped = found.clicks.iter().zip(outwards).map(|(click, out)| {
        let [alone, shared, side] = click.uncertainties(out).map(thousandth);
        [alone.max(0.001), shared, side]
    });
    Settled {
        snapped: snapped.collect(),
        at,
        within: None,
        moves: found.moves.iter().map(|m| m.sentence()).collect(),
    }
}

/// The place of a click to a hundredth of a pixel.
fn rounded(click: &Click) -> [f64; 2] {
    click.at.map(|v| (v * 100.0).round() / 100.0)
}

/// Returns the places of clicks, rounded to a hundredth of a pixel, and the largest of their standard
/// uncertainties in any direction.
pub(super) fn recorded(clicks: &[Click]) -> (Vec<[f64; 2]>, f64) {
    let widest = |c: &Click| c.uncertainties([0.0; 2])[0];
    let within = clicks.iter().map(widest).fold(0.0, f64::max);
    let places = clicks.iter().map(rounded).collect();
    (places, (within * 1000.0).ceil() / 1000.0)
}
