//! Text in any script: which typeface has its characters, in which order they stand, which shapes they take.
//!
//! In: texts, and the bytes of typefaces. Out: the typefaces that are needed beyond the packed ones, the
//! characters that none of them has, and lines of shaped glyphs.
//! Not here: finding installed typefaces (`store::fonts`); filling outlines (`callout`); setting pages (`pdf`).
//!
//! Sources: Unicode Standard Annex #9 (order of writing) and #24 (scripts), ISO 15924 (codes of scripts).

mod packed;
mod script;
mod shape;
mod typefaces;

pub use packed::{Packed, packed};
pub use script::{ended, language, marked, runs, unmarked};
pub use shape::{Glyph, Line, shape};
pub use typefaces::{Typeface, Typefaces};
