//! How many points a measure needs, and what they stand for: asked before any is marked.

use super::known::Thing;
use super::{MeasureOptions, marks};
use crate::Problem;
use record::MeasureSubject;
use serde::Serialize;

/// What the points of a measure stand for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum By {
    /// Two ends.
    Ends,
    /// Corners of an outline, one after the other.
    Corners,
    /// Points on a rim.
    Rim,
    /// The ends of a row of equal things.
    Row,
    /// Single places, taken as they are marked.
    Places,
}

/// The points that a measure needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Wanted {
    /// Fewest points.
    pub least: usize,
    /// Most points.
    pub most: usize,
    /// What they stand for.
    pub by: By,
    /// Whether it is recorded of an item only.
    pub of_item: bool,
}

/// Returns the points that a measure, or a thing of known size, needs.
///
/// # Errors
/// Nothing that can be measured; neither a size nor a thing of known size.
pub(crate) fn wanted(options: &MeasureOptions) -> Result<Wanted, Problem> {
    let exactly = |n, by| Wanted {
        least: n,
        most: n,
        by,
        of_item: false,
    };
    if options.row {
        return Ok(exactly(2, By::Row));
    }
    if let Some(size) = &options.known {
        return Ok(match Thing::of(size)?.width {
            Some(_) => exactly(4, By::Corners),
            None => exactly(2, By::Ends),
        });
    }
    let what = marks::subject(options.what.as_deref().unwrap_or("distance"))?;
    let (least, most) = what.points();
    let by = match what {
        MeasureSubject::Diameter => By::Rim,
        MeasureSubject::Angle | MeasureSubject::Pitch => By::Places,
        outline if outline.is_outline() => By::Corners,
        _ => By::Ends,
    };
    Ok(Wanted {
        least,
        most,
        by,
        of_item: !what.sizes().is_empty(),
    })
}
