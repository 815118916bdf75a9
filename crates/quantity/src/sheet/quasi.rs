//! Draws for what nothing else serves, as few as the accuracy needs.
//!
//! In: a space of independent causes. Out: the distribution of the result. Points are scrambled
//! Sobol' sequences, several of them with scramblings of their own: how far their quantiles lie
//! apart says when there are enough. Nothing depends on threads or on chance.
//! Sources: A. B. Owen, J. Complexity 14 (1998) 466 (scrambling); P. L'Ecuyer et al., "Quantile
//! estimation by randomized quasi-Monte Carlo", Winter Simulation Conference (2020).
//! Not here: plain Monte Carlo with a number of draws that the caller chooses
//! (`monte_carlo.rs`).

use super::block::{BLOCK, Column, column, evaluate};
use super::random::split_mix;
use super::score::Scored;
use super::space::Space;
use crate::Distribution;
use crate::special::normal_quantile;

/// Sequences with scramblings of their own.
const SEQUENCES: usize = 4;
/// Blocks of each sequence at the start, and at most: 4,096 to 131,072 draws.
const FIRST_BLOCKS: usize = 1;
const MOST_BLOCKS: usize = 32;
/// At most for models that are no formulas: 8,192 draws.
const MOST_COSTLY_BLOCKS: usize = 2;
/// Standard error of the ends of the interval, in its widths, and of a probability, that is
/// small enough.
const ENOUGH: f64 = 0.0015;
const ENOUGH_PROBABILITY: f64 = 0.0008;
/// Dimensions of a Sobol' sequence; causes beyond are drawn at random.
const DIMENSIONS: u32 = 256;

/// The distribution of a result, from draws.
pub(super) struct Quasi {
    /// All draws, sorted.
    draws: Vec<f64>,
    pub(super) mean: f64,
    pub(super) sd: f64,
}

impl Quasi {
    /// Draws until there are enough; `None` where a draw is not finite.
    pub(super) fn new(space: &Space<'_>, laws: &[Distribution], coverage: f64) -> Option<Self> {
        let most = if space.is_costly() {
            MOST_COSTLY_BLOCKS
        } else {
            MOST_BLOCKS
        };
        let mut memory = Memory::new(space, laws);
        let mut sequences: Vec<Vec<f64>> = vec![Vec::new(); SEQUENCES];
        let mut blocks = FIRST_BLOCKS;
        loop {
            for (number, draws) in sequences.iter_mut().enumerate() {
                for block in draws.len() / BLOCK..blocks {
                    draws.extend_from_slice(memory.next(number as u32, block));
                }
            }
            let found = Self::joined(&sequences)?;
            if blocks >= most || found.is_enough(&sequences, coverage) {
                return Some(found);
            }
            blocks *= 2;
        }
    }

    fn joined(sequences: &[Vec<f64>]) -> Option<Self> {
        let mut draws = sequences.concat();
        if draws.iter().any(|x| !x.is_finite()) {
            return None;
        }
        draws.sort_unstable_by(f64::total_cmp);
        let n = draws.len() as f64;
        let reference = draws[draws.len() / 2];
        let shift = draws.iter().map(|x| x - reference).sum::<f64>() / n;
        let mean = reference + shift;
        let variance = draws.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / (n - 1.0);
        let sd = variance.sqrt();
        Some(Self { draws, mean, sd })
    }

    /// Whether the sequences agree about the interval and about probabilities.
    fn is_enough(&self, sequences: &[Vec<f64>], coverage: f64) -> bool {
        let tail = (1.0 - coverage) / 2.0;
        let ends = [self.quantile(tail), self.quantile(1.0 - tail)];
        let places: Vec<f64> = (1..8).map(|k| self.quantile(f64::from(k) / 8.0)).collect();
        let sorted: Vec<Vec<f64>> = sequences
            .iter()
            .map(|draws| {
                let mut draws = draws.clone();
                draws.sort_unstable_by(f64::total_cmp);
                draws
            })
            .collect();
        let quantile = |p: f64| spread(sorted.iter().map(|draws| quantile(draws, p)));
        let below = |x: f64| spread(sorted.iter().map(|draws| at_most(draws, x)));
        [tail, 1.0 - tail]
            .iter()
            .all(|&p| quantile(p) <= ENOUGH * (ends[1] - ends[0]))
            && places.iter().all(|&x| below(x) <= ENOUGH_PROBABILITY)
    }

    /// Number of draws.
    pub(super) fn count(&self) -> u64 {
        self.draws.len() as u64
    }

    /// Returns the value below which the fraction `p` lies.
    pub(super) fn quantile(&self, p: f64) -> f64 {
        quantile(&self.draws, p)
    }

    /// Returns the fraction of draws of at most `x`.
    pub(super) fn probability(&self, x: f64) -> f64 {
        at_most(&self.draws, x)
    }
}

/// Standard error of the mean of estimates.
fn spread(estimates: impl Iterator<Item = f64> + Clone) -> f64 {
    let n = SEQUENCES as f64;
    let mean = estimates.clone().sum::<f64>() / n;
    let variance = estimates.map(|x| (x - mean).powi(2)).sum::<f64>() / (n - 1.0);
    (variance / n).sqrt()
}

fn quantile(sorted: &[f64], p: f64) -> f64 {
    // The k-th of n draws stands for the probability (k − ½)/n.
    let place = (p * sorted.len() as f64 - 0.5).clamp(0.0, (sorted.len() - 1) as f64);
    let k = (place as usize).min(sorted.len() - 2);
    sorted[k] + (sorted[k + 1] - sorted[k]) * (place - k as f64)
}

fn at_most(sorted: &[f64], x: f64) -> f64 {
    sorted.partition_point(|&d| d <= x) as f64 / sorted.len() as f64
}

/// Columns of draws.
struct Memory<'a> {
    space: &'a Space<'a>,
    laws: &'a [Distribution],
    inputs: Vec<Column>,
    work: Vec<Column>,
    scores: Vec<Column>,
    out: Column,
}

impl<'a> Memory<'a> {
    fn new(space: &'a Space<'a>, laws: &'a [Distribution]) -> Self {
        let columns = |n: usize| (0..n).map(|_| column()).collect();
        Self {
            space,
            laws,
            inputs: columns(space.program.inputs.len()),
            work: columns(space.program.steps.len()),
            scores: columns(space.members().len()),
            out: column(),
        }
    }

    /// Returns a block of results of one sequence.
    fn next(&mut self, sequence: u32, block: usize) -> &[f64; BLOCK] {
        let space = self.space;
        let member = |v: usize| space.members().iter().position(|(m, _)| *m == v);
        for v in 0..self.inputs.len() {
            match member(v) {
                Some(n) => {
                    let scores = &mut self.scores[n];
                    units(sequence, v as u32, block, scores);
                    scores.iter_mut().for_each(|u| *u = normal_quantile(*u));
                }
                None => {
                    let column = &mut self.inputs[v];
                    units(sequence, v as u32, block, column);
                    drawn(&self.laws[v], &space.laws[v], column);
                }
            }
        }
        for (v, row) in space.members() {
            let column = &mut self.inputs[*v];
            column.fill(0.0);
            for (weight, scores) in row.iter().zip(&self.scores) {
                if *weight != 0.0 {
                    let pairs = column.iter_mut().zip(scores.iter());
                    pairs.for_each(|(x, z)| *x += weight * z);
                }
            }
            column.iter_mut().for_each(|z| *z = space.laws[*v].at(*z));
        }
        evaluate(
            space.program,
            |v| &self.inputs[v],
            &mut self.work,
            &mut self.out,
        );
        &self.out
    }
}

/// Fills a block with one dimension of a sequence, above 0 and below 1.
fn units(sequence: u32, dimension: u32, block: usize, out: &mut [f64; BLOCK]) {
    let first = (block * BLOCK) as u32;
    if dimension < DIMENSIONS {
        for (i, u) in out.iter_mut().enumerate() {
            let index = first + i as u32;
            // Half a step keeps 0 out.
            let at = f64::from(sobol_burley::sample(index, dimension, sequence));
            *u = at + 0.5 / 16_777_216.0;
        }
        return;
    }
    let mut key = u64::from(sequence) << 48 ^ u64::from(dimension) << 24 ^ block as u64;
    split_mix(&mut key);
    for u in out {
        *u = ((split_mix(&mut key) >> 11) as f64 + 0.5) / 9_007_199_254_740_992.0;
    }
}

/// Turns probabilities into values of a law.
fn drawn(law: &Distribution, scored: &Scored, column: &mut [f64; BLOCK]) {
    match *law {
        Distribution::Exact { value } => column.fill(value),
        Distribution::Normal { .. }
        | Distribution::Lognormal { .. }
        | Distribution::Rectangular { .. }
        | Distribution::Triangular { .. }
        | Distribution::Trapezoid { .. } => {
            column.iter_mut().for_each(|u| *u = law.quantile(*u));
        }
        _ => column
            .iter_mut()
            .for_each(|u| *u = scored.at(normal_quantile(*u))),
    }
}
