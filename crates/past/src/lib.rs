//! Part numbers, makers and roles in texts that were published before.
//!
//! In: an article (HTML, Markdown, plain text) or captions (WebVTT, SubRip) as bytes, and what is known already
//! ([`Known`]). Out: the part numbers in it, each with maker, role, a probability and the sentences it stands in
//! ([`Found`]); the makers named in it. Not here: files (the caller opens them); whether a proposal is true (a
//! person says); catalogues and sightings (the caller).
//!
//! Source: common practice of part numbering and of trade English; the tables of words are our own. What it
//! reaches on texts that it was not made with stands in `tests/kept_out.rs`.
//!
//! ```
//! use past::{Format, Known, find, read};
//! let text = read(b"Charging is done by Halvik's RKT2104, a linear charger.", Format::Plain).unwrap();
//! let found = find(&text, &Known::default());
//! assert_eq!(found.parts[0].part, "RKT2104");
//! assert_eq!(found.parts[0].maker.as_deref(), Some("Halvik"));
//! assert_eq!(found.parts[0].role.as_deref(), Some("linear charger"));
//! ```

mod columns;
mod decode;
mod error;
mod find;
mod format;
mod found;
mod hints;
mod html;
mod kinds;
mod lists;
mod makers;
mod markdown;
mod prepared;
mod roles;
mod sentences;
mod shape;
mod spoken;
mod text;
mod told;
mod words;

pub use error::PastError;
pub use find::find;
pub use format::{Format, LARGEST, read};
pub use found::{Found, Known, Maker, Mark, Proposal, Quote, What};
pub use text::{Block, Kind, Text};
