//! Which candidates hold, all of a film together.
//!
//! In: candidates and right mentions. Out: [`Choice`]s that do not overlap, each with its probability. Not here: what
//! speaks for a candidate (`candidates`).
//!
//! Every candidate gets log odds from its features; right mentions hold their words with more than any candidate can
//! gain; the choice is the set without overlaps that gains most. The probability is calibrated on what was chosen.
//! Source of the numbers: `examples/fit_captions.rs`, which prints them.

use crate::candidates::{Candidate, Considered, FEATURES, consider};
use crate::file::Captions;
use crate::term::Vocabulary;
use std::ops::Range;

/// What each feature is worth, in log odds.
const WORTH: [f64; FEATURES] = [
    1.070, -1.840, -2.214, 0.275, -1.253, -1.155, 2.506, 0.290, 0.995, 2.078, -1.296, -1.068,
    -0.278, -0.166, 1.225, -0.183, -2.310, -0.583, -3.990, 0.330, -2.402, -1.446, 2.065, -2.700,
    1.328,
];

/// Log odds of what was chosen: an offset and a factor.
const CALIBRATION: (f64, f64) = (0.664, 1.103);

/// What a right mention gains.
const RIGHT: f64 = 40.0;

/// Below these log odds nothing is chosen: about one in twenty.
const LEAST: f64 = -3.0;

/// A candidate that was chosen.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// What was chosen.
    pub candidate: Candidate,
    /// Log odds before calibration.
    pub log_odds: f64,
    /// That the words should be this term.
    pub probability: f64,
}

/// All candidates of a film, for fitting.
pub fn candidates(film: &Captions, vocabulary: &Vocabulary) -> Vec<Candidate> {
    consider(film, vocabulary).candidates
}

/// Chooses what the words of a film should be.
pub fn choose(film: &Captions, vocabulary: &Vocabulary) -> Vec<Choice> {
    choose_by(film, vocabulary, &WORTH, CALIBRATION)
}

/// [`choose`] with other numbers, for fitting.
pub fn choose_by(
    film: &Captions,
    vocabulary: &Vocabulary,
    worth: &[f64; FEATURES],
    calibration: (f64, f64),
) -> Vec<Choice> {
    let Considered { candidates, right } = consider(film, vocabulary);
    let mut spans: Vec<(Range<usize>, f64, Option<usize>)> = right
        .into_iter()
        .map(|words| (words, RIGHT, None))
        .collect();
    for (number, candidate) in candidates.iter().enumerate() {
        let odds: f64 = candidate
            .features
            .iter()
            .zip(worth)
            .map(|(x, w)| x * w)
            .sum();
        if odds > LEAST {
            spans.push((candidate.words.clone(), odds, Some(number)));
        }
    }
    let chosen = best_without_overlap(&spans, film.words.len());
    let mut choices = Vec::new();
    for span in chosen {
        if let (_, log_odds, Some(number)) = spans[span] {
            let calibrated = calibration.0 + calibration.1 * log_odds;
            choices.push(Choice {
                candidate: candidates[number].clone(),
                log_odds,
                probability: 1.0 / (1.0 + (-calibrated).exp()),
            });
        }
    }
    choices
}

/// Weighted interval scheduling: the spans of most gain in all, in the order of their words.
fn best_without_overlap(spans: &[(Range<usize>, f64, Option<usize>)], words: usize) -> Vec<usize> {
    let mut ending: Vec<Vec<usize>> = vec![Vec::new(); words + 1];
    for (number, (at, ..)) in spans.iter().enumerate() {
        ending[at.end].push(number);
    }
    let mut gain = vec![0.0; words + 1];
    let mut taken: Vec<Option<usize>> = vec![None; words + 1];
    for end in 1..=words {
        gain[end] = gain[end - 1];
        for &number in &ending[end] {
            let (at, worth, _) = &spans[number];
            let total = gain[at.start] + worth - LEAST;
            if total > gain[end] {
                (gain[end], taken[end]) = (total, Some(number));
            }
        }
    }
    let (mut chosen, mut end) = (Vec::new(), words);
    while end > 0 {
        match taken[end] {
            Some(number) => {
                chosen.push(number);
                end = spans[number].0.start;
            }
            None => end -= 1,
        }
    }
    chosen.reverse();
    chosen
}
