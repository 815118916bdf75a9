//! Corrections as they are written beside the corrected file.
//!
//! In: a film and a vocabulary. Out: [`Correction`]s, applied at or above a threshold and proposed below it, and the
//! corrected bytes. Not here: which words are what (`choose`).

use crate::choose::choose;
use crate::error::CaptionError;
use crate::file::Captions;
use crate::replace::Replacement;
use crate::term::Vocabulary;
use serde::{Deserialize, Serialize};
use std::ops::Range;

/// One entry of `corrections.json`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Correction {
    /// Counted from 0.
    pub cue: usize,
    /// The words as they stood.
    pub before: String,
    /// The words that take their place.
    pub after: String,
    /// That this is right.
    pub probability: f64,
    /// Whether it was made, or is only proposed.
    pub applied: bool,
    /// What of the dossier it is.
    pub place: String,
}

/// What is applied and what is proposed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thresholds {
    /// Applied at this probability and above.
    pub apply: f64,
    /// Proposed at this probability and above.
    pub propose: f64,
}

impl Default for Thresholds {
    /// A wrong change costs five times a missed one: change above 5/6.
    fn default() -> Self {
        Self {
            apply: 5.0 / 6.0,
            propose: 0.1,
        }
    }
}

/// A film that was proof-read.
#[derive(Debug, Clone, PartialEq)]
pub struct ProofRead {
    /// In the order of the film.
    pub corrections: Vec<Correction>,
    /// The words of each correction in [`Captions::words`].
    pub words: Vec<Range<usize>>,
}

/// Finds what should stand otherwise.
pub fn proof_read(film: &Captions, vocabulary: &Vocabulary, thresholds: &Thresholds) -> ProofRead {
    let (mut corrections, mut words) = (Vec::new(), Vec::new());
    for choice in choose(film, vocabulary) {
        if choice.probability < thresholds.propose {
            continue;
        }
        let at = choice.candidate.words;
        let term = &vocabulary.terms[choice.candidate.term].term;
        let before: Vec<&str> = film.words[at.clone()]
            .iter()
            .map(|w| w.text.as_str())
            .collect();
        corrections.push(Correction {
            cue: film.words[at.start].cue,
            before: before.join(" "),
            after: term.written.clone(),
            probability: choice.probability,
            applied: choice.probability >= thresholds.apply,
            place: term.place.clone(),
        });
        words.push(at);
    }
    ProofRead { corrections, words }
}

impl ProofRead {
    /// The film's bytes with the applied corrections.
    ///
    /// # Errors
    /// As [`Captions::replaced`].
    pub fn written(&self, film: &Captions) -> Result<Vec<u8>, CaptionError> {
        let applied = self
            .corrections
            .iter()
            .zip(&self.words)
            .filter(|(c, _)| c.applied);
        let replacements: Vec<Replacement> = applied
            .map(|(c, words)| Replacement {
                words: words.clone(),
                text: c.after.clone(),
            })
            .collect();
        film.replaced(&replacements)
    }
}
