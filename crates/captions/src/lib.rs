//! Caption files read, proof-read by sound against given terms, and written back byte for byte.
//!
//! In: a WebVTT or SubRip file as bytes, and terms (names, makers, part numbers, quantities). Out: cues and words
//! with their places in the file ([`Captions`]), corrections with probabilities ([`ProofRead`]), and the same bytes
//! with some words replaced. Not here: files (the caller opens them), where terms come from.
//!
//! ```
//! use captions::{ENGLISH, Format, Kind, Term, Thresholds, Vocabulary, proof_read, read};
//! let film = read(b"WEBVTT\n\n00:00.000 --> 00:02.000\nHere is the zed ell 4721.", Format::WebVtt).unwrap();
//! let term = Term { kind: Kind::Part, written: "ZL4721".into(), said: vec![], place: "items.charger".into() };
//! let vocabulary = Vocabulary::new(&[term], &[], &ENGLISH);
//! let found = proof_read(&film, &vocabulary, &Thresholds::default());
//! assert!(found.written(&film).unwrap().ends_with(b"Here is the ZL4721."));
//! ```

mod candidates;
mod choose;
mod corrections;
mod cue_settings;
mod dictionary;
mod error;
mod file;
mod language;
mod likeness;
mod lines;
mod payload;
mod replace;
mod sound;
mod spoken;
mod subrip;
mod term;
mod time;
mod webvtt;

pub use candidates::{Candidate, FEATURES, WIDEST};
pub use choose::{Choice, candidates, choose, choose_by};
pub use corrections::{Correction, ProofRead, Thresholds, proof_read};
pub use cue_settings::{Align, Line, Region, Settings, Vertical};
pub use error::{CaptionError, Fault, FaultKind};
pub use file::{Captions, Cue, Encoding, Format, LARGEST, MOST_FAULTS, Word, read};
pub use language::{ENGLISH, Language, Number};
pub use replace::Replacement;
pub use spoken::{SaidFigure, figures, number_words, spoken};
pub use term::{Kind, Term, Vocabulary};
