//! From a rough course to the edge meant, in one way for lines and rims.
//!
//! In: a picture, a course, how well it was marked. Out: the edge with its uncertainty and its rivals. Not here:
//! what lines and rims make of it (`edge.rs`, `circle.rs`).

use super::candidates::{apart, candidates};
use super::choice::{Choice, Rival, Within, choose};
use super::course::{Course, SHAPES};
use super::profile::{Placed, place};
use super::strip::{Strip, size};
use super::{SnapError, SnapOptions, assumed};
use crate::Light;

/// An edge found.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub(super) placed: Placed,
    /// Difference of the levels, root mean square over the channels; positive if brighter outwards or to the
    /// right.
    pub(super) step: f64,
    /// Mean distance from the rough course, pixels.
    pub(super) moved_px: f64,
    pub(super) rivals: Vec<Rival>,
    /// What the model leaves out and what rivals leave open of the whole edge's shift, pixels².
    pub(super) left_open: f64,
    /// Movement outwards or to the right for one standard uncertainty of the photograph's tones, pixels.
    pub(super) shared_px: f64,
}

/// Least probability of the edge taken where another is so far away that the interval would be wider than that
/// of a mark by hand.
const SURE: f64 = 0.6;

/// Finds the edge meant near a course.
pub(super) fn find(
    light: &Light<'_>,
    course: &Course,
    within: &Within,
    options: &SnapOptions,
    what: &'static str,
) -> Result<Found, SnapError> {
    let reach = options.reach();
    let expected = &within.expected;
    let strip = Strip::look(light, course, reach);
    if strip.pieces.len() * 10 < strip.whole * 8 {
        return Err(SnapError::Outside);
    }
    let no_edge = SnapError::NoEdge { reach };
    let mut all = candidates(light, &strip, course, expected, reach).map_err(|most| {
        if most < 0.3 {
            no_edge.clone()
        } else {
            SnapError::NotOne { what }
        }
    })?;
    all.retain(|c| size(c.step) >= options.least_step);
    let Choice {
        taken,
        rivals,
        variance,
        unseen,
    } = choose(course, &strip, &all, within, options).ok_or_else(|| no_edge.clone())?;
    let moved = |curve| apart(course, curve, &[0.0; SHAPES]);
    let open = rivals.iter().map(|r| r.probability).sum::<f64>();
    if variance.sqrt() > 1.5 * options.click() && open + unseen > 1.0 - SURE {
        let first = moved(&taken.curve);
        return Err(match rivals.first() {
            Some(rival) if open > unseen => SnapError::Ambiguous {
                first,
                second: (taken.curve[0] + rival.offset_px).abs(),
            },
            _ => SnapError::TooFar { off: first },
        });
    }
    let placed = place(light, course, &taken, expected).ok_or_else(|| no_edge.clone())?;
    if apart(course, &placed.curve, &taken.curve) > 2.0 || placed.blur > 10.0 {
        return Err(no_edge);
    }
    let tone = if options.tone.is_finite() {
        options.tone.abs()
    } else {
        assumed::TONE.value
    };
    let shared_px = tone * placed.by_tone;
    let sum: f64 = taken.step.iter().sum();
    Ok(Found {
        moved_px: moved(&placed.curve),
        step: size(taken.step) * sum.signum(),
        left_open: options.unmodelled()
            + variance
            + (assumed::TONE_APART.value * shared_px).powi(2),
        shared_px,
        rivals,
        placed,
    })
}
