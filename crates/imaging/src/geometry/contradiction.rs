//! References whose scales exclude each other.
//!
//! In: references of which the fit says that they disagree. Out: the pair that cannot both be right, or none
//! where their doubt is merely larger than stated (`plane.rs` then widens it).
//! Not here: the chi-square check itself.

use super::references::Prepared;
use super::solve::solve;
use super::{Click, Measure, Options, Plane, PlaneError, assumed, corners_of_sides};

/// Holds every other reference against the first one alone: the longest line between two of its points.
pub(super) fn check(references: &[Prepared], options: &Options) -> Result<(), PlaneError> {
    let Some((base, others)) = references.split_first() else {
        return Ok(());
    };
    let base = std::slice::from_ref(base);
    let alone = Plane::of(solve(base, options)?, base, options);
    for other in others {
        let Some((ends, stated_mm)) = longest(other) else {
            continue;
        };
        // Seen so far from the first that it tells nothing there, it contradicts nothing.
        let Ok(found) = alone.estimate(&Measure::Distance, &ends, None) else {
            continue;
        };
        let size = other.along.max(other.across.unwrap_or(0.0)) * stated_mm;
        let uncertainty_mm = found.uncertainty.hypot(size);
        let off = (found.value - stated_mm).abs();
        if off > assumed::CONTRADICTING.value * uncertainty_mm
            && off > assumed::CONTRADICTING_SHARE.value * stated_mm
        {
            return Err(PlaneError::Contradiction {
                reference: base[0].name.clone(),
                other: other.name.clone(),
                stated_mm,
                found_mm: found.value,
                uncertainty_mm,
            });
        }
    }
    Ok(())
}

/// The two points of a reference that lie furthest apart in the picture, corners where its sides were marked,
/// and their stated distance, mm.
fn longest(reference: &Prepared) -> Option<([Click; 2], f64)> {
    let clicks = &reference.clicks;
    let (points, places) = if reference.sides.is_some() {
        let seen: Vec<[f64; 2]> = clicks.iter().map(|c| c.at).collect();
        let corners = corners_of_sides(&seen)?.into_iter();
        let first = *clicks.first()?;
        let points: Vec<Click> = corners.map(|at| Click { at, ..first }).collect();
        (points, corners_of_sides(&reference.places)?)
    } else {
        (clicks.clone(), reference.places.clone())
    };
    let apart = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]);
    let pairs = (0..points.len()).flat_map(|i| (0..i).map(move |j| (i, j)));
    let seen = |&(i, j): &(usize, usize)| apart(points[i].at, points[j].at);
    let (i, j) = pairs.max_by(|a, b| seen(a).total_cmp(&seen(b)))?;
    Some(([points[i], points[j]], apart(places[i], places[j])))
}
