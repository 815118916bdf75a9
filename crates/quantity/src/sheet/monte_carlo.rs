//! Propagation of distributions by Monte Carlo.
//!
//! In: a term, the number of draws, a seed. Out: mean, standard deviation, distribution.
//! Source: JCGM 101:2008, 7.
//!
//! A run is cut into a fixed number of parts with random streams of their own; sums are joined in
//! the order of the parts and counts are whole numbers, so the answer depends on the seed and the
//! number of draws but not on the number of threads.

use super::block::{BLOCK, Machine, Plan};
use super::histogram::{Empirical, Histogram};
use super::program::Program;
use super::{Sheet, SheetError, Term};

/// Settings of a Monte-Carlo run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MonteCarlo {
    /// Number of draws.
    pub draws: u64,
    /// Seed: equal settings give equal answers, bit for bit.
    pub seed: u64,
    /// Number of threads; the answer does not depend on it.
    pub threads: usize,
    /// Whether to return the draws themselves.
    pub keep_samples: bool,
}

/// The outcome of a Monte-Carlo run, in SI.
#[derive(Debug, Clone)]
pub struct Sampled {
    /// Mean.
    pub mean: f64,
    /// Standard deviation.
    pub sd: f64,
    /// The draws in order, if asked for.
    pub samples: Option<Vec<f64>>,
    distribution: Empirical,
}

impl Sampled {
    /// Returns the value below which the fraction `p` of the draws lies: exact where the draws
    /// were kept, otherwise within a ten-thousandth of the spread.
    pub fn quantile(&self, p: f64) -> f64 {
        self.distribution.quantile(p)
    }
    /// Returns the fraction of draws at or below `x` (SI).
    pub fn probability_at_most(&self, x: f64) -> f64 {
        self.distribution.probability_at_most(x)
    }
    /// Returns the interval with coverage probability `p` that leaves equal fractions below and
    /// above (JCGM 101, 7.7).
    pub fn symmetric(&self, p: f64) -> (f64, f64) {
        self.distribution.symmetric(p)
    }
    /// Returns the shortest interval with coverage probability `p`.
    pub fn shortest(&self, p: f64) -> (f64, f64) {
        self.distribution.shortest(p)
    }
}

/// Parts of a run.
const PARTS: u64 = 64;
/// Draws that choose the ends of the histogram.
const PILOT_BLOCKS: usize = 4;
/// Most draws of a run: the counts stay exact and a slip of the keyboard ends.
const MOST_DRAWS: u64 = 4_000_000_000;

/// Sums over one part, about the reference value.
#[derive(Clone, Copy, Default)]
struct Sums {
    first: f64,
    second: f64,
    not_finite: u64,
}

/// What one thread has found.
struct Found {
    sums: Vec<(u64, Sums)>,
    histogram: Option<Histogram>,
}

impl Sheet {
    /// Samples a term: the propagation of distributions (JCGM 101, 7).
    ///
    /// # Errors
    /// As [`Sheet::value`]; also for fewer than two draws, and where a draw gives no finite value.
    pub fn monte_carlo(&self, term: Term<'_>, run: MonteCarlo) -> Result<Sampled, SheetError> {
        self.program(&[term])?;
        if run.draws < 2 || run.draws > MOST_DRAWS {
            return Err(SheetError::Value(format!(
                "the number of draws ({}) must lie between 2 and {MOST_DRAWS}",
                run.draws
            )));
        }
        let state = &*self.state.borrow();
        state.check_correlations()?;
        let program = Program::new(state, &[term.id], true);
        let plan = Plan::new(&program, state)?;
        sample(&plan, run).ok_or_else(|| {
            SheetError::Value(format!(
                "{} has draws without a finite value (a division by zero, or a function outside its range)",
                state.label(term.id)
            ))
        })
    }
}

/// Runs all parts; `None` where a draw is not finite.
fn sample(plan: &Plan<'_>, run: MonteCarlo) -> Option<Sampled> {
    let mut pilot = pilot(&mut plan.machine(), run.seed);
    let reference = pilot[0];
    let histogram = (!run.keep_samples).then(|| Histogram::for_pilot(&mut pilot));
    let mut samples = vec![
        0.0;
        if run.keep_samples {
            run.draws as usize
        } else {
            0
        }
    ];
    let threads = run.threads.clamp(1, PARTS as usize);

    // Every thread takes each `threads`-th part; where draws are kept, with its piece of memory.
    let mut work: Vec<Vec<(u64, &mut [f64])>> = (0..threads).map(|_| Vec::new()).collect();
    let mut rest = samples.as_mut_slice();
    for part in 0..PARTS {
        let wanted = if run.keep_samples {
            part_length(run.draws, part) as usize
        } else {
            0
        };
        let (piece, tail) = rest.split_at_mut(wanted);
        rest = tail;
        work[part as usize % threads].push((part, piece));
    }
    let run_share = |share: Vec<(u64, &mut [f64])>| {
        let mut machine = plan.machine();
        let mut found = Found {
            sums: Vec::new(),
            histogram: histogram.as_ref().map(Histogram::emptied),
        };
        for (part, piece) in share {
            let length = part_length(run.draws, part);
            let sums = run_part(
                &mut machine,
                run.seed,
                part,
                length,
                reference,
                piece,
                &mut found,
            );
            found.sums.push((part, sums));
        }
        found
    };
    let found: Vec<Found> = if threads == 1 {
        work.into_iter().map(run_share).collect()
    } else {
        std::thread::scope(|scope| {
            let running: Vec<_> = work
                .into_iter()
                .map(|share| scope.spawn(|| run_share(share)))
                .collect();
            running
                .into_iter()
                .map(|thread| {
                    thread
                        .join()
                        .unwrap_or_else(|panic| std::panic::resume_unwind(panic))
                })
                .collect()
        })
    };

    let mut sums: Vec<(u64, Sums)> = found.iter().flat_map(|f| f.sums.iter().copied()).collect();
    sums.sort_by_key(|(part, _)| *part);
    let n = run.draws as f64;
    let total = sums.iter().fold(Sums::default(), |a, (_, b)| Sums {
        first: a.first + b.first,
        second: a.second + b.second,
        not_finite: a.not_finite + b.not_finite,
    });
    if total.not_finite > 0 {
        return None;
    }
    let shift = total.first / n;
    let variance = ((total.second - n * shift * shift) / (n - 1.0)).max(0.0);
    let distribution = match histogram {
        Some(mut joined) => {
            found
                .iter()
                .filter_map(|f| f.histogram.as_ref())
                .for_each(|h| joined.merge(h));
            joined.finish()
        }
        None => Empirical::sorted(samples.clone()),
    };
    Some(Sampled {
        mean: reference + shift,
        sd: variance.sqrt(),
        samples: run.keep_samples.then_some(samples),
        distribution,
    })
}

fn pilot(machine: &mut Machine<'_>, seed: u64) -> Vec<f64> {
    machine.start(seed, PARTS);
    let mut draws = Vec::with_capacity(PILOT_BLOCKS * BLOCK);
    for _ in 0..PILOT_BLOCKS {
        draws.extend_from_slice(machine.next());
    }
    draws
}

/// Number of draws in a part: whole blocks, the last one cut to the end of the run.
fn part_length(draws: u64, part: u64) -> u64 {
    let blocks = draws.div_ceil(BLOCK as u64);
    let start = |part: u64| (blocks * part / PARTS * BLOCK as u64).min(draws);
    start(part + 1) - start(part)
}

fn run_part(
    machine: &mut Machine<'_>,
    seed: u64,
    part: u64,
    length: u64,
    reference: f64,
    piece: &mut [f64],
    found: &mut Found,
) -> Sums {
    let mut sums = Sums::default();
    machine.start(seed, part);
    let mut done = 0;
    while done < length {
        let now = (length - done).min(BLOCK as u64) as usize;
        let draws = &machine.next()[..now];
        let (mut first, mut second) = (0.0, 0.0);
        for x in draws {
            let d = x - reference;
            first += d;
            second += d * d;
        }
        if (first + second).is_finite() {
            sums.first += first;
            sums.second += second;
        } else {
            sums.not_finite += 1;
        }
        match &mut found.histogram {
            Some(histogram) => histogram.add(draws),
            None => piece[done as usize..done as usize + now].copy_from_slice(draws),
        }
        done += now as u64;
    }
    sums
}
