//! Which package outlines a measured body fits.

use super::compare::Compared;
use crate::photogrammetry::Measurement;
use crate::{Between, Cell};
use imaging::geometry::{Measured, MeasuredBody, matching, outlines};

/// Names the likeliest package outlines of a part that was measured on two sides, each with its
/// probability; nothing for other things.
pub(super) fn fitting(taken: &Measurement<'_>, compared: &[Compared<'_>]) -> Cell {
    let Some(part) = taken.item.and_then(|item| item.part.as_ref()) else {
        return Cell::Nothing;
    };
    let [a, b] = compared else {
        return Cell::Nothing;
    };
    if !(a.is_body() && b.is_body()) {
        return Cell::Nothing;
    }
    let side = |c: &Compared<'_>| Measured::new(c.side.found.value, c.side.found.uncertainty);
    let seen = MeasuredBody {
        length: side(a),
        width: side(b),
        pitch: None,
        pins: part.pins,
    };
    let found = matching(&seen, outlines(), &[]);
    if found.ranked.is_empty() {
        return Cell::words("none known");
    }
    let named = found.ranked.iter().take(2);
    Cell::list(
        named.map(|m| Cell::probability(m.probability).named(&m.outline.name)),
        Between::Semicolon,
    )
}
