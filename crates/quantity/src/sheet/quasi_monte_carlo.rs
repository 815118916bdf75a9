//! Draws for what nothing else serves, as few as the accuracy needs.
//!
//! In: a space of independent causes. Out: the distribution of the result. All causes are normal
//! scores. Along one direction, that of steepest ascent, the result is looked at on a whole line;
//! only where the line lies is drawn. So every line gives a smooth distribution of its own, and
//! their mean settles with far fewer points than counting would need. Lines are placed by
//! scrambled Sobol' sequences, several with scramblings of their own: how far these lie apart says
//! when there are enough. Nothing depends on threads or on chance.
//! Sources: P. S. Koutsourelakis et al., Prob. Eng. Mech. 19 (2004) 397 (line sampling);
//! A. Griewank et al., J. Comput. Appl. Math. 344 (2018) 259 (integrating out one variable);
//! A. B. Owen, J. Complexity 14 (1998) 466 (scrambling).
//! Not here: plain Monte Carlo with a number of draws that the caller chooses
//! (`monte_carlo.rs`).

use super::block::{BLOCK, Column, column, evaluate};
use super::cause_space::CauseSpace;
use super::random::split_mix;
use super::score_line::{
    AT_CORNER, FINER, Kink, LEAST_BEND, Line, POINTS, WEIGHTS, between, place, weights,
};
use crate::special::normal_quantile;

/// Sequences with scramblings of their own.
const SEQUENCES: usize = 4;
/// Lines in a block of points.
const LINES: usize = BLOCK / POINTS;
/// Blocks of each sequence at most: 131,072 points; 8,192 where every point costs a model's run.
const MOST_BLOCKS: usize = 32;
const MOST_COSTLY_BLOCKS: usize = 2;
/// Standard error of the ends of the interval, in its widths, and of a probability, that is
/// small enough.
const ENOUGH: f64 = 0.0025;
const ENOUGH_PROBABILITY: f64 = 0.0012;
/// Dimensions of a Sobol' sequence; causes beyond are drawn at random.
const DIMENSIONS: usize = 256;
/// Score at which the direction is looked for.
const AHEAD: f64 = 1.0;

/// Bins per width about the middle; further out they widen as the inverse hyperbolic sine does.
const PER_UNIT: f64 = 64.0;
/// Bins to each side: to a million widths.
const SIDE: usize = 928;
const BINS: usize = 2 * SIDE;

/// The distribution of a result, from lines.
pub(super) struct QuasiMonteCarlo {
    middle: f64,
    spread: f64,
    least: f64,
    greatest: f64,
    /// Probability below each edge of the bins.
    below: Vec<f64>,
    points: u64,
    pub(super) mean: f64,
    pub(super) sd: f64,
}

impl QuasiMonteCarlo {
    /// Draws until there are enough lines; `None` where a result is not finite.
    pub(super) fn new(space: &CauseSpace<'_>, coverage: f64) -> Option<Self> {
        let most = if space.is_costly() {
            MOST_COSTLY_BLOCKS
        } else {
            MOST_BLOCKS
        };
        let mut memory = Memory::new(space);
        let mut sequences: Vec<Vec<Line>> = vec![Vec::new(); SEQUENCES];
        let mut blocks = 1;
        loop {
            for (number, lines) in sequences.iter_mut().enumerate() {
                for block in lines.len() / LINES..blocks {
                    memory.next(number as u32, block, lines);
                }
            }
            let mut found = Self::measured(&sequences)?;
            let each: Vec<Vec<f64>> = sequences.iter().map(|lines| found.spread(lines)).collect();
            found.below = (0..=BINS)
                .map(|k| each.iter().map(|below| below[k]).sum::<f64>() / SEQUENCES as f64)
                .collect();
            if blocks >= most || found.is_enough(&each, coverage) {
                return Some(found);
            }
            blocks *= 2;
        }
    }

    /// Takes mean and standard deviation, and the middle and width that scale the bins.
    fn measured(sequences: &[Vec<Line>]) -> Option<Self> {
        // The trapezoidal rule along a line.
        let density: Line = std::array::from_fn(|j| (-0.5 * place(j).powi(2)).exp());
        let whole: f64 = density.iter().sum();
        let lines = || sequences.iter().flatten();
        let count = lines().count();
        let reference = lines().next()?[POINTS / 2];
        let (mut first, mut second) = (0.0, 0.0);
        let (mut least, mut greatest) = (reference, reference);
        for line in lines() {
            for (y, w) in line.iter().zip(&density) {
                let d = y - reference;
                least = least.min(*y);
                greatest = greatest.max(*y);
                first += w * d;
                second += w * d * d;
            }
        }
        let scale = whole * count as f64;
        let (first, second) = (first / scale, second / scale);
        if !(first + second).is_finite() {
            return None;
        }
        let sd = (second - first * first).max(0.0).sqrt();
        // Three points near the middle of every line: tails do not count.
        let near = |line: &Line| [line[POINTS / 2 - 5], line[POINTS / 2], line[POINTS / 2 + 4]];
        let mut near: Vec<f64> = lines().flat_map(near).collect();
        near.sort_unstable_by(f64::total_cmp);
        let at = |p: f64| near[((near.len() - 1) as f64 * p) as usize];
        Some(Self {
            middle: at(0.5),
            spread: ((at(0.9) - at(0.1)) / 2.0).max(1e-9 * sd),
            least,
            greatest,
            below: Vec::new(),
            points: (count * POINTS) as u64,
            mean: reference + first,
            sd,
        })
    }

    /// Spreads lines over the bins and returns the probability below each edge.
    fn spread(&self, lines: &[Line]) -> Vec<f64> {
        let mut mass = vec![0.0; BINS + 1];
        let share = 1.0 / lines.len() as f64;
        let weights = weights().map(|w| w * share);
        let mut even = |a: f64, b: f64, whole: f64| {
            let (a, b) = (a.min(b), a.max(b));
            let (first, last) = (a as usize, b as usize);
            if first == last {
                mass[first] += whole;
                return;
            }
            let per_bin = whole / (b - a);
            mass[first] += per_bin * (first as f64 + 1.0 - a);
            mass[first + 1..last].iter_mut().for_each(|m| *m += per_bin);
            mass[last] += per_bin * (b - last as f64);
        };
        for line in lines {
            let on = line.map(|y| self.bin(y));
            even(on[0], on[0], weights[0]);
            let mut before = on[0];
            for j in 0..POINTS - 1 {
                let corner = Kink::between(line, j, self.spread);
                for part in 1..=FINER {
                    let whole = weights[j * FINER + part];
                    let end = part as f64 / FINER as f64;
                    if let Some(corner) = &corner {
                        for k in (0..AT_CORNER).rev() {
                            let back = k as f64 / (FINER * AT_CORNER) as f64;
                            let next = self.bin(corner.at(end - back));
                            even(before, next, whole / AT_CORNER as f64);
                            before = next;
                        }
                        continue;
                    }
                    let next = if part == FINER {
                        on[j + 1]
                    } else {
                        between(&on, j, end, LEAST_BEND * PER_UNIT).clamp(0.0, BINS as f64)
                    };
                    even(before, next, whole);
                    before = next;
                }
            }
            even(before, before, weights[WEIGHTS - 1]);
        }
        let mut sum = 0.0;
        let mut below = Vec::with_capacity(BINS + 1);
        for m in mass.iter().take(BINS + 1) {
            below.push(sum);
            sum += m;
        }
        below
    }

    /// The place of a value among the bins.
    fn bin(&self, y: f64) -> f64 {
        if self.spread == 0.0 {
            return SIDE as f64;
        }
        let u = ((y - self.middle) / self.spread).asinh() * PER_UNIT;
        (u + SIDE as f64).clamp(0.0, BINS as f64)
    }

    /// Whether the sequences agree about the interval and about probabilities.
    fn is_enough(&self, each: &[Vec<f64>], coverage: f64) -> bool {
        let tail = (1.0 - coverage) / 2.0;
        let (low, high) = (self.quantile(tail), self.quantile(1.0 - tail));
        if high <= low {
            return true;
        }
        let error = |x: f64| {
            let n = SEQUENCES as f64;
            let found = each.iter().map(|below| self.in_bins(below, x));
            let mean = found.clone().sum::<f64>() / n;
            (found.map(|p| (p - mean).powi(2)).sum::<f64>() / (n - 1.0) / n).sqrt()
        };
        // An error of the probability moves a quantile by the error over the density.
        let h = 0.02 * (high - low);
        [low, high].iter().all(|&x| {
            let density = (self.probability(x + h) - self.probability(x - h)) / (2.0 * h);
            error(x) <= ENOUGH * (high - low) * density
        }) && [0.2, 0.5, 0.8]
            .iter()
            .all(|&p| error(self.quantile(p)) <= ENOUGH_PROBABILITY)
    }

    /// Number of points at which the result was looked at.
    pub(super) fn count(&self) -> u64 {
        self.points
    }

    /// Returns the value below which the fraction `p` lies, 0 < p < 1.
    pub(super) fn quantile(&self, p: f64) -> f64 {
        let k = self.below.partition_point(|&q| q < p).clamp(1, BINS);
        let (low, high) = (self.below[k - 1], self.below[k]);
        let part = if high > low {
            ((p - low) / (high - low)).clamp(0.0, 1.0)
        } else {
            1.0
        };
        let u = (k as f64 - 1.0 + part - SIDE as f64) / PER_UNIT;
        let found = self.middle + self.spread * u.sinh();
        // A bin may reach beyond all results.
        found.clamp(self.least, self.greatest)
    }

    /// Returns the probability of a result of at most `x`.
    pub(super) fn probability(&self, x: f64) -> f64 {
        self.in_bins(&self.below, x)
    }

    fn in_bins(&self, below: &[f64], x: f64) -> f64 {
        // All of a limit that many results share lies at or below it.
        if x >= self.greatest {
            return 1.0;
        }
        if x < self.least {
            return 0.0;
        }
        let place = self.bin(x);
        let k = (place as usize).min(BINS - 1);
        below[k] + (below[k + 1] - below[k]) * (place - k as f64)
    }
}

/// Columns of points.
struct Memory<'a> {
    space: &'a CauseSpace<'a>,
    /// Inputs that vary; each has a score of its own.
    varied: Vec<usize>,
    /// The direction of the lines, a unit vector.
    direction: Vec<f64>,
    /// One column of scores per varied input.
    scores: Vec<Column>,
    inputs: Vec<Column>,
    work: Vec<Column>,
    out: Column,
}

impl<'a> Memory<'a> {
    fn new(space: &'a CauseSpace<'a>) -> Self {
        let program = space.program;
        let columns = |n: usize| (0..n).map(|_| column()).collect::<Vec<_>>();
        let members = space.members().iter().map(|(v, _)| *v);
        let others = (0..program.inputs.len()).filter(|&v| {
            program.uncertainties[v] != 0.0 && space.members().iter().all(|(m, _)| *m != v)
        });
        let varied: Vec<usize> = members.chain(others).collect();
        let mut inputs = columns(program.inputs.len());
        for (column, mean) in inputs.iter_mut().zip(&program.means) {
            column.fill(*mean);
        }
        let mut memory = Self {
            space,
            direction: vec![0.0; varied.len()],
            scores: columns(varied.len()),
            inputs,
            work: columns(program.steps.len()),
            out: column(),
            varied,
        };
        memory.face();
        memory
    }

    /// Finds the direction of steepest ascent: one score after the other moved to both sides.
    fn face(&mut self) {
        let n = self.varied.len();
        let mut slopes = vec![0.0; n];
        let at_once = BLOCK / 2;
        for from in (0..n).step_by(at_once) {
            self.scores.iter_mut().for_each(|c| c.fill(0.0));
            for k in from..n.min(from + at_once) {
                self.scores[k][2 * (k - from)] = AHEAD;
                self.scores[k][2 * (k - from) + 1] = -AHEAD;
            }
            self.run();
            let (pairs, _) = self.out.as_chunks::<2>();
            for (slope, [up, down]) in slopes[from..].iter_mut().zip(pairs) {
                *slope = up - down;
            }
        }
        let length = slopes.iter().map(|s| s * s).sum::<f64>().sqrt();
        if length > 0.0 && length.is_finite() {
            self.direction = slopes.iter().map(|s| s / length).collect();
        } else if let Some(first) = self.direction.first_mut() {
            // Where nothing rises to first order any direction serves.
            *first = 1.0;
        }
    }

    /// Adds the lines of a block of one sequence.
    fn next(&mut self, sequence: u32, block: usize, lines: &mut Vec<Line>) {
        let n = self.varied.len();
        let mut z = vec![0.0; n];
        for line in 0..LINES {
            scores(sequence, (block * LINES + line) as u32, &mut z);
            let along: f64 = z.iter().zip(&self.direction).map(|(z, d)| z * d).sum();
            for (column, (z, d)) in self.scores.iter_mut().zip(z.iter().zip(&self.direction)) {
                let across = z - along * d;
                for j in 0..POINTS {
                    column[line * POINTS + j] = across + place(j) * d;
                }
            }
        }
        self.run();
        let (found, _) = self.out.as_chunks::<POINTS>();
        lines.extend_from_slice(found);
    }

    /// Evaluates the result at the scores.
    fn run(&mut self) {
        let space = self.space;
        let members = space.members();
        for (k, &v) in self.varied.iter().enumerate() {
            let column = &mut self.inputs[v];
            if let Some((_, row)) = members.get(k) {
                column.fill(0.0);
                for (weight, scores) in row.iter().zip(&self.scores) {
                    if *weight != 0.0 {
                        let pairs = column.iter_mut().zip(scores.iter());
                        pairs.for_each(|(x, z)| *x += weight * z);
                    }
                }
            } else {
                column.copy_from_slice(&*self.scores[k]);
            }
            space.distributions[v].map(column.as_mut_slice());
        }
        let inputs = &self.inputs;
        evaluate(space.program, |v| &inputs[v], &mut self.work, &mut self.out);
    }
}

/// Fills normal scores of one point of a sequence.
fn scores(sequence: u32, index: u32, z: &mut [f64]) {
    let (regular, random) = z.split_at_mut(z.len().min(DIMENSIONS));
    for (set, four) in regular.chunks_mut(4).enumerate() {
        let point = sobol_burley::sample_4d(index, set as u32, sequence);
        for (z, u) in four.iter_mut().zip(point) {
            // Half a step keeps 0 out.
            *z = normal_quantile(f64::from(u) + 0.5 / 16_777_216.0);
        }
    }
    let mut key = (u64::from(sequence) << 32) | u64::from(index);
    split_mix(&mut key);
    for z in random {
        let bits = split_mix(&mut key) >> 11;
        *z = normal_quantile((bits as f64 + 0.5) / 9_007_199_254_740_992.0);
    }
}
