//! Which package outlines a measured body fits.

use super::compare::Compared;
use crate::sight::Taken;
use imaging::geometry::{Measured, MeasuredBody, matching, outlines};

/// Names the likeliest package outlines of a part that was measured on two sides; empty for other things.
pub(super) fn fitting(taken: &Taken<'_>, compared: &[Compared<'_>]) -> String {
    let Some(part) = taken.item.and_then(|item| item.part.as_ref()) else {
        return String::new();
    };
    let [a, b] = compared else {
        return String::new();
    };
    if !(a.is_body() && b.is_body()) {
        return String::new();
    }
    let side = |c: &Compared<'_>| Measured::new(c.side.found.value, c.side.found.uncertainty);
    let seen = MeasuredBody {
        length: side(a),
        width: side(b),
        pitch: None,
        pins: part.pins,
    };
    let named: Vec<String> = matching(&seen, outlines(), &[])
        .ranked
        .iter()
        .take(2)
        .map(|m| {
            let chance = crate::words::percent(m.probability);
            format!("{} {chance}", m.outline.name)
        })
        .collect();
    if named.is_empty() {
        "none known".to_string()
    } else {
        named.join("; ")
    }
}
