//! How high things stand where nobody says so, and how even the scale of a photograph is.
//!
//! In: an item, a plane. Out: the usual range of its height above what is of known size; what to say of it.
//! Not here: the correction itself (`imaging::geometry`). Source: the rows `HEIGHT_…` of the assumed figures.

use crate::assumed::{self, Row};
use imaging::geometry::Height;
use record::{Item, ItemKind};

/// Returns the row that holds for a thing; points that belong to nothing have none of their own.
fn usual(item: Option<&Item>) -> Row {
    use ItemKind as K;
    match item.map(|i| i.kind) {
        Some(K::Part | K::Sensor) => assumed::HEIGHT_PART,
        Some(K::Board | K::Flex) => assumed::HEIGHT_BOARD,
        Some(K::Cell) => assumed::HEIGHT_CELL,
        _ => assumed::HEIGHT_OTHER,
    }
}

/// Returns the usual height of a thing.
pub(super) fn height(item: Option<&Item>) -> Height {
    let row = usual(item);
    let (low, high) = row.bounds();
    let mode = row.number();
    Height::Usual { low, mode, high }
}

/// Says which height was taken.
pub(super) fn note(item: Option<&Item>) -> String {
    let row = usual(item);
    let (low, high) = row.bounds();
    format!(
        "The height of {} above the things of known size is not stated; it is taken to be between {low} mm and \
         {high} mm, most likely {} mm. State `height` (0 mm in their plane) to narrow the interval.",
        item.map_or("these points", |i| &i.name),
        row.number()
    )
}
