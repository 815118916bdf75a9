//! The distribution of a sum of independent parts.
//!
//! In: parts, each as cumulants and as a function of a standard normal score. Out: distribution
//! function and quantiles of the sum, without draws. Parts whose shape hardly shows are joined to
//! one distribution from their cumulants; the others are convolved on a grid, and the joined distribution is then
//! integrated over their straight pieces in closed form.
//! Sources: JCGM 101:2008, 5.2 and 6 (distributions, not moments, are propagated); H. Cramér,
//! "Mathematical Methods of Statistics" (1946), 17.7 (Edgeworth's series).
//! Not here: what the parts are (`additive.rs`).

use super::normal_score::{Cumulants, GRID, NODES, interpolated};
use crate::special::{bell, normal_probability, normal_quantile};

/// Skewness and excess kurtosis up to which a joined distribution is told by its cumulants.
const TOLD: f64 = 0.12;
/// Quantile at which the grid of a convolution ends.
const END: f64 = 2e-4;
/// Cell of a convolution, in 95 % widths of the sum, and of the narrower part.
const CELL: f64 = 0.012;
const NARROW_CELL: f64 = 0.15;
/// Cells that the narrower part may ask for, and cells beyond which a convolution does not serve.
const MANY_CELLS: f64 = 512.0;
const MOST_CELLS: f64 = 2_048.0;
/// Normal density at the probability's own reach.
const FAR: f64 = 8.0;

/// One independent part of a sum.
pub(super) struct Summand {
    pub(super) cumulants: Cumulants,
    /// The standard uncertainty that weighs it; that of a t distribution leaves its tails aside.
    pub(super) weight: f64,
    /// Moments say little about it.
    pub(super) heavy: bool,
    /// Least part of the whole spread at which it keeps its shape, where it is heavy.
    pub(super) felt: f64,
    /// Its number with whoever made it.
    pub(super) id: usize,
}

/// A distribution function of straight pieces.
#[derive(Debug, Clone)]
pub(super) struct Pieces {
    at: Vec<f64>,
    below: Vec<f64>,
}

/// The distribution of a sum.
#[derive(Debug, Clone)]
pub(super) struct SumDistribution {
    pieces: Option<Pieces>,
    joined: Cumulants,
    /// Skewness and excess kurtosis of what is joined.
    skew: (f64, f64),
    /// Middle and width for the search of quantiles.
    middle: f64,
    spread: f64,
}

/// Chooses the parts that keep their shape, by position; the others may be joined.
pub(super) fn shapely(parts: &[Summand]) -> Vec<usize> {
    let whole: f64 = parts.iter().map(|p| p.weight * p.weight).sum();
    let s = whole.sqrt();
    let mut kept: Vec<usize> = Vec::new();
    let joined = |p: &Summand| !p.heavy || p.weight < p.felt * s;
    let (mut third, mut fourth) = (0.0, 0.0);
    let mut rest: Vec<(usize, f64)> = Vec::new();
    for (i, part) in parts.iter().enumerate() {
        if !joined(part) {
            kept.push(i);
        } else if !part.heavy {
            let (a, b) = (
                part.cumulants.third / s.powi(3),
                part.cumulants.fourth / s.powi(4),
            );
            third += a;
            fourth += b;
            rest.push((i, a.abs().max(b.abs())));
        }
    }
    rest.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    for (i, share) in rest {
        let least = share < 1e-3;
        if least || !(third.abs() > TOLD || fourth.abs() > TOLD) {
            break;
        }
        third -= parts[i].cumulants.third / s.powi(3);
        fourth -= parts[i].cumulants.fourth / s.powi(4);
        kept.push(i);
    }
    kept.sort_unstable();
    kept
}

impl SumDistribution {
    /// Combines parts. `shape` gives the values at the nodes of the grid for those that keep
    /// their shape, which are `kept`. `None` where the grid of a convolution does not serve.
    pub(super) fn new(
        parts: &[Summand],
        kept: &[usize],
        mut shape: impl FnMut(&Summand) -> Option<[f64; NODES]>,
    ) -> Option<Self> {
        let mut joined = Cumulants::default();
        for (i, part) in parts.iter().enumerate() {
            if kept.binary_search(&i).is_err() {
                joined = joined.plus(match part.heavy {
                    // Without a fourth moment the tails are left aside.
                    true => Cumulants {
                        mean: part.cumulants.mean,
                        variance: part.weight * part.weight,
                        ..Cumulants::default()
                    },
                    false => part.cumulants,
                });
            }
        }
        let mut pieces: Option<Pieces> = None;
        for &i in kept {
            let next = Pieces::of(&shape(&parts[i])?)?;
            pieces = Some(match pieces {
                None => next,
                Some(before) => before.plus(&next)?,
            });
        }
        if let Some(pieces) = &mut pieces {
            pieces.thin(0.4 * joined.variance.sqrt());
        }
        let (middle, spread) = match &pieces {
            None => (joined.mean, joined.variance.sqrt()),
            Some(p) => (
                joined.mean + p.quantile(0.5),
                joined.variance.sqrt() + (p.quantile(0.84) - p.quantile(0.16)) / 2.0,
            ),
        };
        let variance = joined.variance;
        let skew = match variance > 0.0 {
            true => (
                joined.third / (variance * variance.sqrt()),
                joined.fourth / (variance * variance),
            ),
            false => (0.0, 0.0),
        };
        let finite = (middle + spread).is_finite();
        finite.then_some(Self {
            pieces,
            joined,
            skew,
            middle,
            spread,
        })
    }

    /// Returns the probability of a value of at most `y`.
    pub(super) fn probability(&self, y: f64) -> f64 {
        let s = self.joined.variance.sqrt();
        let y = y - self.joined.mean;
        let Some(pieces) = &self.pieces else {
            return if s > 0.0 {
                self.series(y / s).clamp(0.0, 1.0)
            } else {
                f64::from(y >= 0.0)
            };
        };
        if s <= 1e-9 * self.spread {
            return pieces.probability(y);
        }
        // Pieces far below count whole, pieces far above not at all.
        let first = pieces.at.partition_point(|&x| x < y - FAR * s);
        let last = pieces.at.partition_point(|&x| x <= y + FAR * s);
        let from = first.saturating_sub(1);
        let mut sum = pieces.below[from.min(pieces.below.len() - 1)];
        if from == 0 {
            sum *= self.series(((y - pieces.at[0]) / s).clamp(-FAR, FAR));
        }
        let mut before = None;
        for k in from..last.min(pieces.at.len() - 1) {
            let mass = pieces.below[k + 1] - pieces.below[k];
            let (a, b) = (pieces.at[k], pieces.at[k + 1]);
            let width = (b - a) / s;
            if mass <= 0.0 {
                before = None;
                continue;
            }
            let (upper, lower) = ((y - a) / s, (y - b) / s);
            if width < 1e-3 {
                sum += mass * self.series((upper + lower) / 2.0);
                before = None;
                continue;
            }
            let high = before.unwrap_or_else(|| self.area(upper));
            let low = self.area(lower);
            sum += mass * (high - low) / width;
            before = Some(low);
        }
        if last == pieces.at.len() {
            let end = pieces.at.len() - 1;
            sum += (1.0 - pieces.below[end]) * self.series(((y - pieces.at[end]) / s).min(FAR));
        }
        sum.clamp(0.0, 1.0)
    }

    /// Returns the value below which the fraction `p` lies, 0 < p < 1.
    pub(super) fn quantile(&self, p: f64) -> f64 {
        let exact = self.joined.third == 0.0 && self.joined.fourth == 0.0;
        match &self.pieces {
            None if exact => {
                return self.joined.mean + self.joined.variance.sqrt() * normal_quantile(p);
            }
            Some(pieces) if self.joined.variance.sqrt() <= 1e-9 * self.spread => {
                return self.joined.mean + pieces.quantile(p);
            }
            _ => {}
        }
        if self.spread == 0.0 {
            return self.middle;
        }
        let guess = self.middle + self.spread * normal_quantile(p);
        root(guess, self.spread, |y| self.probability(y) - p)
    }

    /// Skewness and excess kurtosis of what is joined.
    pub(super) fn skew(&self) -> (f64, f64) {
        self.skew
    }

    /// Edgeworth's series of the joined distribution.
    fn series(&self, u: f64) -> f64 {
        let (a, b) = self.skew;
        if a == 0.0 && b == 0.0 {
            return normal_probability(u);
        }
        let (whole, density) = bell(u);
        let v = u * u;
        let (two, three) = (v - 1.0, u * (v - 3.0));
        let five = u * (v * v - 10.0 * v + 15.0);
        whole - density * (a / 6.0 * two + b / 24.0 * three + a * a / 72.0 * five)
    }

    /// The integral of the series from far below.
    fn area(&self, u: f64) -> f64 {
        if u < -FAR {
            return 0.0;
        }
        if u > FAR {
            return u;
        }
        let (a, b) = self.skew;
        let (whole, density) = bell(u);
        let v = u * u;
        let four = v * v - 6.0 * v + 3.0;
        let more = a / 6.0 * u + b / 24.0 * (v - 1.0) + a * a / 72.0 * four;
        u * whole + density * (1.0 + more)
    }
}

/// Finds where a rising function is zero: a bracket is grown from `guess`, then narrowed by false
/// position with halved ends (the Illinois rule).
pub(super) fn root(guess: f64, step: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (guess, guess);
    let (mut f_low, mut f_high) = (f(guess), 0.0);
    let mut reach = 0.25 * step;
    if f_low < 0.0 {
        for _ in 0..200 {
            high = low + reach;
            f_high = f(high);
            if f_high >= 0.0 {
                break;
            }
            (low, f_low) = (high, f_high);
            reach *= 2.0;
        }
    } else {
        f_high = f_low;
        for _ in 0..200 {
            low = high - reach;
            f_low = f(low);
            if f_low < 0.0 {
                break;
            }
            (high, f_high) = (low, f_low);
            reach *= 2.0;
        }
    }
    for _ in 0..100 {
        if high - low <= 2e-5 * step || f_high == 0.0 {
            break;
        }
        let x = (low * f_high - high * f_low) / (f_high - f_low);
        let inside = x > low && x < high;
        let x = if inside { x } else { low + (high - low) / 2.0 };
        let y = f(x);
        if y.abs() < 2e-6 {
            return x;
        }
        if y < 0.0 {
            (low, f_low) = (x, y);
            f_high /= 2.0;
        } else {
            (high, f_high) = (x, y);
            f_low /= 2.0;
        }
    }
    low + (high - low) / 2.0
}

/// Nodes between two of the grid where a part turns round.
const FINER: usize = 4;

impl Pieces {
    /// Makes the distribution function of a part from its values at the nodes.
    fn of(values: &[f64; NODES]) -> Option<Self> {
        if values.iter().any(|y| !y.is_finite()) {
            return None;
        }
        if values.windows(2).all(|w| w[0] <= w[1]) {
            let (at, below) = (values.to_vec(), GRID.below.to_vec());
            return Some(Self { at, below });
        }
        if values.windows(2).all(|w| w[0] >= w[1]) {
            let at = values.iter().rev().copied().collect();
            let below = GRID.below.iter().rev().map(|p| 1.0 - p).collect();
            return Some(Self { at, below });
        }
        // Every stretch between two nodes is spread evenly over the values it covers.
        let (first, last) = (GRID.z[0], GRID.z[NODES - 1]);
        let count = FINER * (NODES - 1) + 1;
        let step = (last - first) / (count - 1) as f64;
        let z = |k: usize| first + step * k as f64;
        let fine: Vec<f64> = (0..count).map(|k| interpolated(values, z(k))).collect();
        let mut at = fine.clone();
        at.sort_by(f64::total_cmp);
        at.dedup();
        let mut mass = vec![0.0; at.len()];
        let mut jumps = vec![0.0; at.len()];
        for k in 0..count - 1 {
            let whole = normal_probability(z(k + 1)) - normal_probability(z(k));
            let (a, b) = (fine[k].min(fine[k + 1]), fine[k].max(fine[k + 1]));
            let from = at.partition_point(|&x| x < a);
            if a == b {
                jumps[from] += whole;
                continue;
            }
            for cell in from..at.len() - 1 {
                if at[cell] >= b {
                    break;
                }
                mass[cell] += whole * (at[cell + 1] - at[cell]) / (b - a);
            }
        }
        let (mut places, mut below) = (Vec::new(), Vec::new());
        let mut sum = 0.0;
        for cell in 0..at.len() {
            places.push(at[cell]);
            below.push(sum);
            if jumps[cell] > 0.0 {
                sum += jumps[cell];
                places.push(at[cell]);
                below.push(sum);
            }
            sum += mass[cell];
        }
        below.iter_mut().for_each(|p| *p /= sum);
        Some(Self { at: places, below })
    }

    /// Leaves out ends of pieces that are nearer to the one before than `width`.
    fn thin(&mut self, width: f64) {
        let last = self.at.len() - 1;
        let (mut at, mut below) = (vec![self.at[0]], vec![self.below[0]]);
        for k in 1..last {
            // A piece ends where the next one would reach too far.
            let start = at[at.len() - 1];
            if self.at[k + 1] - start > width {
                at.push(self.at[k]);
                below.push(self.below[k]);
            }
        }
        at.push(self.at[last]);
        below.push(self.below[last]);
        (self.at, self.below) = (at, below);
    }

    fn probability(&self, y: f64) -> f64 {
        let after = self.at.partition_point(|&x| x <= y);
        if after == 0 {
            return 0.0;
        }
        if after == self.at.len() {
            return 1.0;
        }
        let (a, b) = (self.at[after - 1], self.at[after]);
        let (p, q) = (self.below[after - 1], self.below[after]);
        p + (q - p) * (y - a) / (b - a)
    }

    fn quantile(&self, p: f64) -> f64 {
        let after = self.below.partition_point(|&q| q < p);
        let after = after.clamp(1, self.at.len() - 1);
        let (a, b) = (self.at[after - 1], self.at[after]);
        let (low, high) = (self.below[after - 1], self.below[after]);
        if high > low {
            a + (b - a) * ((p - low) / (high - low)).clamp(0.0, 1.0)
        } else {
            b
        }
    }

    /// Convolves two distributions.
    fn plus(&self, other: &Self) -> Option<Self> {
        let ends = |p: &Self| (p.quantile(END), p.quantile(1.0 - END));
        let width = |p: &Self| p.quantile(0.975) - p.quantile(0.025);
        let ((a_low, a_high), (b_low, b_high)) = (ends(self), ends(other));
        let range = a_high - a_low + b_high - b_low;
        let fine = NARROW_CELL * width(self).min(width(other));
        let cell = CELL * width(self).hypot(width(other));
        let cell = cell.min(fine.max(range / MANY_CELLS));
        if !(range <= MOST_CELLS * cell && cell > 0.0) {
            return None;
        }
        let a = self.masses(a_low, a_high, cell);
        let b = other.masses(b_low, b_high, cell);
        let mut mass = vec![0.0; a.len() + b.len() - 1];
        for (i, p) in b.iter().enumerate() {
            for (sum, q) in mass[i..].iter_mut().zip(&a) {
                *sum += p * q;
            }
        }
        // The sum of two cells is a triangle over two: half of it lies below its middle.
        let mut below = vec![0.0];
        let mut sum = 0.0;
        for m in &mass {
            below.push(sum + m / 2.0);
            sum += m;
        }
        below.push(sum);
        below.iter_mut().for_each(|p| *p /= sum);
        let start = a_low + b_low;
        let at = (0..below.len()).map(|k| start + cell * k as f64).collect();
        Some(Self { at, below })
    }

    /// The probabilities of cells; what lies outside goes into the outermost.
    fn masses(&self, low: f64, high: f64, cell: f64) -> Vec<f64> {
        let count = ((high - low) / cell).ceil().max(1.0) as usize;
        let mut before = 0.0;
        let mass = |k: usize| {
            let here = if k + 1 == count {
                1.0
            } else {
                self.probability(low + cell * (k + 1) as f64)
            };
            let mass = here - before;
            before = here;
            mass
        };
        (0..count).map(mass).collect()
    }
}
