//! The distribution of draws: exact where the draws are kept, counted in fine bins otherwise.
//!
//! In: draws. Out: quantiles, probabilities, coverage intervals. Memory does not depend on the
//! number of draws unless they are kept. Not here: drawing.
//! Source: JCGM 101:2008, 7.5 (distribution function), 7.7 (coverage intervals).

/// Bins between the ends; two more collect what lies outside.
const BINS: usize = 65_536;

/// Counts between two ends that pilot draws have chosen.
#[derive(Debug, Clone)]
pub(super) struct Histogram {
    low: f64,
    per_unit: f64,
    counts: Vec<u32>,
    least: f64,
    greatest: f64,
}

impl Histogram {
    /// Chooses the ends from pilot draws, which are sorted on the way: the median ± four times the
    /// distance to the 0.5 % and 99.5 % points (ten standard deviations of a normal distribution), and no
    /// narrower than the pilot draws, unless single ones lie far out.
    pub(super) fn for_pilot(pilot: &mut [f64]) -> Self {
        pilot.sort_by(f64::total_cmp);
        let at = |p: f64| pilot[((pilot.len() - 1) as f64 * p) as usize];
        let middle = at(0.5);
        let (down, up) = (middle - at(0.005), at(0.995) - middle);
        // Where nearly all draws are equal, the few others set the scale.
        let reach = if down + up > 0.0 {
            down + up
        } else {
            at(1.0) - at(0.0)
        };
        let reach = reach.max(f64::MIN_POSITIVE);
        let low = middle - 3.0 * down - reach;
        let width = 3.0 * (down + up) + 2.0 * reach;
        Self {
            low,
            per_unit: (BINS as f64 / width).min(f64::MAX),
            counts: vec![0; BINS + 2],
            least: f64::INFINITY,
            greatest: f64::NEG_INFINITY,
        }
    }

    /// Makes an empty histogram with the same ends.
    pub(super) fn emptied(&self) -> Self {
        Self {
            counts: vec![0; BINS + 2],
            least: f64::INFINITY,
            greatest: f64::NEG_INFINITY,
            ..*self
        }
    }

    /// Counts draws.
    pub(super) fn add(&mut self, draws: &[f64]) {
        for &x in draws {
            self.least = self.least.min(x);
            self.greatest = self.greatest.max(x);
            // The conversion saturates, so draws below the first bin land in bin 0.
            let bin = ((x - self.low) * self.per_unit + 1.0) as usize;
            let count = &mut self.counts[bin.min(BINS + 1)];
            *count = count.saturating_add(1);
        }
    }

    /// Joins the counts of another histogram with the same ends.
    pub(super) fn merge(&mut self, other: &Self) {
        for (a, b) in self.counts.iter_mut().zip(&other.counts) {
            *a = a.saturating_add(*b);
        }
        self.least = self.least.min(other.least);
        self.greatest = self.greatest.max(other.greatest);
    }

    /// Turns the counts into a distribution function.
    pub(super) fn finish(self) -> Empirical {
        let mut below = Vec::with_capacity(self.counts.len() + 1);
        let mut sum = 0_u64;
        below.push(0);
        for &count in &self.counts {
            sum += u64::from(count);
            below.push(sum);
        }
        let (low, per_unit) = (self.low, self.per_unit);
        Empirical::Binned {
            low,
            per_unit,
            below,
            least: self.least,
            greatest: self.greatest,
        }
    }
}

/// A distribution function made of draws.
#[derive(Debug, Clone)]
pub(super) enum Empirical {
    /// The draws, sorted.
    Sorted(Vec<f64>),
    /// Counts below each edge of the bins.
    Binned {
        low: f64,
        per_unit: f64,
        below: Vec<u64>,
        least: f64,
        greatest: f64,
    },
}

impl Empirical {
    pub(super) fn sorted(mut draws: Vec<f64>) -> Self {
        draws.sort_by(f64::total_cmp);
        Self::Sorted(draws)
    }

    /// Returns the place of edge `i` of the bins: the first and last edges are the extreme draws.
    fn edge(&self, i: usize) -> f64 {
        match self {
            Self::Sorted(draws) => draws.get(i).copied().unwrap_or(f64::NAN),
            Self::Binned {
                low,
                per_unit,
                below,
                least,
                greatest,
            } => {
                if i == 0 {
                    *least
                } else if i + 1 >= below.len() {
                    *greatest
                } else {
                    (low + (i - 1) as f64 / per_unit).clamp(*least, *greatest)
                }
            }
        }
    }

    /// Returns the value below which the fraction `p` lies; NaN for `p` outside 0 to 1.
    pub(super) fn quantile(&self, p: f64) -> f64 {
        if !(0.0..=1.0).contains(&p) {
            return f64::NAN;
        }
        match self {
            Self::Sorted(draws) => {
                let place = p * draws.len().saturating_sub(1) as f64;
                let i = place as usize;
                let (Some(&a), next) = (draws.get(i), draws.get(i + 1)) else {
                    return f64::NAN;
                };
                next.map_or(a, |b| a + (b - a) * place.fract())
            }
            Self::Binned { below, .. } => {
                let total = below.last().copied().unwrap_or(0) as f64;
                let wanted = p * total;
                // The first edge with at least the wanted count below it ends the bin.
                let end = below
                    .partition_point(|&c| (c as f64) < wanted)
                    .clamp(1, below.len() - 1);
                self.within(end - 1, wanted)
            }
        }
    }

    /// Interpolates inside bin `i` to the place with the wanted count below it.
    fn within(&self, i: usize, wanted: f64) -> f64 {
        let Self::Binned { below, .. } = self else {
            return f64::NAN;
        };
        let (from, to) = (below[i] as f64, below[i + 1] as f64);
        let share = if to > from {
            ((wanted - from) / (to - from)).clamp(0.0, 1.0)
        } else {
            0.0
        };
        let (a, b) = (self.edge(i), self.edge(i + 1));
        a + (b - a) * share
    }

    /// Returns the fraction of draws at or below `x`.
    pub(super) fn probability_at_most(&self, x: f64) -> f64 {
        match self {
            Self::Sorted(draws) => {
                draws.partition_point(|&d| d <= x) as f64 / draws.len().max(1) as f64
            }
            Self::Binned {
                low,
                per_unit,
                below,
                least,
                greatest,
            } => {
                if x.is_nan() || x < *least {
                    return 0.0;
                }
                if x >= *greatest {
                    return 1.0;
                }
                let bin = (((x - low) * per_unit + 1.0) as usize).min(below.len() - 2);
                let (a, b) = (self.edge(bin), self.edge(bin + 1));
                let share = if b > a {
                    ((x - a) / (b - a)).clamp(0.0, 1.0)
                } else {
                    1.0
                };
                let (from, to) = (below[bin] as f64, below[bin + 1] as f64);
                (from + (to - from) * share) / below.last().map_or(1.0, |&c| c as f64)
            }
        }
    }

    /// Returns the probabilistically symmetric interval.
    pub(super) fn symmetric(&self, p: f64) -> (f64, f64) {
        (
            self.quantile((1.0 - p) / 2.0),
            self.quantile((1.0 + p) / 2.0),
        )
    }

    /// Returns the shortest interval that holds the fraction `p`.
    pub(super) fn shortest(&self, p: f64) -> (f64, f64) {
        if !(0.0..=1.0).contains(&p) {
            return (f64::NAN, f64::NAN);
        }
        let mut best = (self.quantile(0.0), self.quantile(1.0));
        let mut consider = |a: f64, b: f64| {
            if b - a < best.1 - best.0 {
                best = (a, b);
            }
        };
        match self {
            Self::Sorted(draws) => {
                let inside = (p * draws.len() as f64).ceil().max(1.0) as usize;
                draws.windows(inside.min(draws.len()).max(1)).for_each(|w| {
                    if let (Some(&a), Some(&b)) = (w.first(), w.last()) {
                        consider(a, b);
                    }
                });
            }
            Self::Binned { below, .. } => {
                let total = below.last().map_or(0.0, |&c| c as f64);
                let mut end = 0;
                for start in 0..below.len() - 1 {
                    let wanted = below[start] as f64 + p * total;
                    if wanted > total {
                        break;
                    }
                    while end + 1 < below.len() - 1 && (below[end + 1] as f64) < wanted {
                        end += 1;
                    }
                    consider(self.edge(start), self.within(end, wanted));
                }
            }
        }
        best
    }
}
