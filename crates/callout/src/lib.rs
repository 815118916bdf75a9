//! Pictures fit to publish: numbers at the margins of a photograph, leaders to what they name, a
//! scale bar, a legend.
//!
//! In: the size of a photograph, named rectangles in it, its scale if known, the column it is made
//! for. Out: a [`Plan`] in millimetres on the page, and from it a drawing ([`svg()`]) or a picture
//! ([`png()`]). Not here: reading or rectifying photographs, deciding captions.
//!
//! Scheme: boundary labelling with straight leaders on up to four sides, matched to ports by least
//! total length, which excludes crossings. Sources: M. A. Bekos, M. Kaufmann, A. Symvonis,
//! A. Wolff, "Boundary labeling: models and efficient algorithms for rectangular maps",
//! Computational Geometry 36 (2007) 215–236; ISO 128-22 (leader and reference lines).
//! `docs/pictures-callouts.md` gives the proof and the limits.

mod anchor;
mod assign;
mod clear;
mod colour;
mod figure;
mod input;
mod layout;
mod legend;
mod plan;
mod plane;
mod png;
mod scalebar;
mod settle;
mod svg;
#[cfg(test)]
mod tests;
mod typeset;
mod withhold;

pub use colour::Surroundings;
pub use figure::{Entry, Figure, figure};
pub use input::{
    MOST_CALLOUTS, Margin, Margins, Options, Photo, PlanError, Region, SMALLEST_NUMBER_PT, Trace,
};
pub use layout::Measures;
pub use legend::{Legend, LegendLine};
pub use plan::{Callout, Plan, ScaleBar, between_leaders, plan};
pub use plane::{Point, Rect, between_segments, distance, to_segment};
pub use png::{PngError, PngStyle, png};
pub use svg::{Source, SvgStyle, svg};
pub use withhold::withhold;
