//! Drawings: claims against their limits, charts, the power path.
//!
//! In: findings' details. Out: self-contained SVG, text as text, the same bytes every time.
//! Colours are presentation attributes for light paper, so that readers without style sheets (the
//! PDF writer) show them; each shape also carries a class that a style sheet may restyle.
//! Not here: captions, numbering, arithmetic beyond scales.

mod blocks;
mod canvas;
mod chart;
mod claims;
pub(crate) mod glyph;
mod intervals;
mod layout;
mod lines;
mod parts;
mod strips;
mod timeline;
mod times;
mod way_marks;
mod ways;

pub(crate) use blocks::{BlockBox, BlockWire, Diagram};
pub(crate) use canvas::{ACCENT, HAIR, INK, LINE, PAPER, QUIET, TINT, TINT_STRONG, escaped};
pub(crate) use chart::{chart, chart_upright};
pub use claims::claim_scale;
pub(crate) use claims::{ClaimLine, claim_strip, claims, claims_in_words};
pub(crate) use timeline::{Timed, timeline};
pub(crate) use times::{TimeBar, times};
pub use way_marks::{WayPhoto, way_marks, way_photos};
pub(crate) use ways::ways;
