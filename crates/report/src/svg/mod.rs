//! Drawings: verdicts at a glance, found against printed, masses, the power path.
//!
//! In: findings' details. Out: self-contained SVG, text as text, the same bytes every time.
//! Colours are presentation attributes for light paper, so that readers without style sheets (the
//! PDF writer) show them; each shape also carries a class that a style sheet may restyle.
//! Not here: captions, numbering, arithmetic beyond scales.

mod against;
mod canvas;
mod layout;
mod masses;
mod power;
mod verdicts;

pub(crate) use against::{AgainstRow, against};
pub(crate) use canvas::{ACCENT, INK, LINE, PAPER, QUIET, TINT, TINT_STRONG};
pub(crate) use masses::masses;
pub(crate) use power::power;
pub(crate) use verdicts::verdicts;
