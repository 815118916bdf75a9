//! How likely an outline is a part: two logistic regressions, the second of which knows the outline's neighbours.
//!
//! In: outlines with their marks. Out: a probability for each.

use super::candidates::Candidate;
use super::evidence::MARKS;
use super::fitted::{FIRST, SECOND};

/// Marks of an outline alone: those seen, and how often it was suggested.
pub(super) const ALONE: usize = MARKS + 1;
/// The same with what the first regression said, and with what lies in it and around it.
pub(super) const TOGETHER: usize = ALONE + 5;

/// What each mark is worth, and the level of all; a mark enters as (mark − mean) ⁄ spread and its square.
#[derive(Debug, Clone, Copy)]
pub(super) struct Regression<const N: usize> {
    pub(super) level: f64,
    pub(super) mean: [f64; N],
    pub(super) spread: [f64; N],
    pub(super) linear: [f64; N],
    pub(super) square: [f64; N],
}

impl<const N: usize> Regression<N> {
    /// Returns the logit of the probability.
    fn logit(&self, marks: &[f64; N]) -> f64 {
        (0..N).fold(self.level, |sum, i| {
            // Beyond three spreads nothing was seen.
            let z = ((marks[i] - self.mean[i]) / self.spread[i]).clamp(-3.0, 3.0);
            sum + self.linear[i] * z + self.square[i] * z * z
        })
    }
}

/// Returns the marks of an outline alone.
pub(super) fn alone(candidate: &Candidate) -> [f64; ALONE] {
    let mut marks = [0.0; ALONE];
    marks[..MARKS].copy_from_slice(&candidate.seen.marks);
    marks[MARKS] = f64::from(candidate.times).ln();
    marks
}

/// An outline lies in another one if at least this share of it does.
pub(super) const INSIDE: f64 = 0.8;
/// Outlines whose areas differ less than this are rivals, not one in the other.
const RIVAL: f64 = 0.75;

/// Returns the marks of all outlines, knowing what the first regression said of each.
pub(super) fn together(all: &[Candidate]) -> Vec<[f64; TOGETHER]> {
    let first: Vec<f64> = all.iter().map(|c| FIRST.logit(&alone(c))).collect();
    let chance: Vec<f64> = first.iter().map(|l| logistic(*l)).collect();
    all.iter()
        .enumerate()
        .map(|(i, own)| {
            let mut marks = [0.0; TOGETHER];
            marks[..ALONE].copy_from_slice(&alone(own));
            // The best outline around it, the best and the sum of those in it, the best rival.
            let (mut around, mut inside, mut sum, mut rival) = (0.0f64, 0.0f64, 0.0f64, 0.0f64);
            for (j, other) in all.iter().enumerate() {
                if i == j || chance[j] < 0.02 {
                    continue;
                }
                let [in_smaller, _] = own.overlap(other);
                if in_smaller < INSIDE {
                    continue;
                }
                if own.area < RIVAL * other.area {
                    around = around.max(chance[j]);
                } else if other.area < RIVAL * own.area {
                    inside = inside.max(chance[j]);
                    sum += chance[j];
                } else {
                    rival = rival.max(chance[j]);
                }
            }
            let rest = [first[i], around, inside, (1.0 + sum).ln(), rival];
            marks[ALONE..].copy_from_slice(&rest);
            marks
        })
        .collect()
}

/// Returns how likely each outline is a part.
pub(super) fn chances(all: &[Candidate]) -> Vec<f64> {
    let marks = together(all);
    marks.iter().map(|m| logistic(SECOND.logit(m))).collect()
}

fn logistic(logit: f64) -> f64 {
    1.0 / (1.0 + (-logit).exp())
}
