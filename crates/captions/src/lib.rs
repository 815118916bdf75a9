//! Caption files read, proof-read by sound against given terms, and written back byte for byte.
//!
//! In: a WebVTT or SubRip file as bytes, and terms (names, makers, part numbers, quantities). Out: cues and words
//! with their places in the file ([`Captions`]), and the same bytes with some words replaced.
//! Not here: files (the caller opens them), where terms come from.
//!
//! ```
//! let film = captions::read(b"WEBVTT\n\n00:00.000 --> 00:02.000\nThe sell is new.", captions::Format::WebVtt).unwrap();
//! let edit = captions::Replacement { words: 1..2, text: "cell".to_string() };
//! let written = film.replaced(&[edit]).unwrap();
//! assert!(written.ends_with(b"The cell is new."));
//! ```

mod cue_settings;
mod error;
mod file;
mod lines;
mod payload;
mod replace;
mod subrip;
mod time;
mod webvtt;

pub use cue_settings::{Align, Line, Region, Settings, Vertical};
pub use error::{CaptionError, Fault, FaultKind};
pub use file::{Captions, Cue, Encoding, Format, LARGEST, MOST_FAULTS, Word, read};
pub use replace::Replacement;
