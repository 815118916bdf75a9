//! A result as a sum of one effect per independent cause, on the scale where that holds best.
//!
//! In: a space of independent causes. Out: the distribution of the result, without draws; `None` where the
//! causes act on each other too much. Every cause is moved alone to the nodes of a Gauss-Hermite
//! rule, and all together to a fixed set of points: what is then left over is interaction. On the
//! scale of the logarithm products and quotients have none. A small rest shifts the quantiles by
//! its expectation given the sum, for which two points along the direction of steepest
//! probability serve (as in first- and second-order reliability, A. Der Kiureghian, "Structural
//! and System Reliability" (2022), 6-7).
//! Sources: H. Rabitz, Ö. Aliş, J. Math. Chem. 25 (1999) 197 (cut-HDMR); C. Gouriéroux et al.,
//! J. Empir. Finance 7 (2000) 225 (derivative of a quantile).
//! Not here: combining the effects (`convolution.rs`), what is told of it (`term_figure.rs`).

use super::axis_probes::{
    AxisProbe, PROBES, Point, SPARSE, STRAIGHT, all_at, alone_at, filled, is_normal, place, probe,
    straight_shape, summand_part, together,
};
use super::cause_space::{Axis, CauseSpace};
use super::convolution::{SumDistribution, Summand, root, shapely};
use super::normal_score::{Cumulants, GRID, NODES};
use super::propagate::FirstOrder;

/// Rest beside the effects, in standard uncertainties of the result, that needs no correction.
const CLEAN: f64 = 0.004;
/// Rest beside the effects that a correction answers for, and where the sum is far from normal.
const ANSWERED: f64 = 0.05;
const ANSWERED_SHAPED: f64 = 0.015;
/// Place along the steepest direction where the rest is looked at.
const ALONG: f64 = 1.96;
/// Skewness and excess kurtosis that are told of.
const SHAPED: f64 = 0.03;
/// 95 % width of a normal distribution, in standard deviations.
const WIDTH: f64 = 3.92;

/// The distribution of a result.
pub(super) struct Additive {
    distribution: SumDistribution,
    logarithmic: bool,
    /// On the distribution's scale: the result where every cause rests.
    rest: f64,
    /// Sign of the result, for the logarithm.
    sign: f64,
    middle: f64,
    spread: f64,
    /// Second and third order of the rest along the steepest direction.
    bend: (f64, f64),
    /// Expectation and standard deviation.
    pub(super) mean: f64,
    pub(super) sd: f64,
    /// Whether anything but joined moments was used.
    pub(super) shaped: bool,
    /// Variance of the effect of each axis, on the distribution's scale.
    pub(super) variances: Vec<f64>,
}

impl Additive {
    /// Looks for the distribution of the program's result.
    pub(super) fn new(space: &CauseSpace<'_>, first: &FirstOrder<'_>) -> Option<Self> {
        let probed = probe(space, first)?;
        let together = together(space, &probed)?;
        let plain = Scale::new(space, &probed, &together, false)?;
        let scale = if plain.rest_share <= CLEAN {
            plain
        } else {
            match Scale::new(space, &probed, &together, true) {
                Some(log) if log.rest_share < plain.rest_share => log,
                _ => plain,
            }
        };
        if scale.rest_share > ANSWERED {
            return None;
        }
        scale.distribution(space, &probed)
    }

    /// Returns the value below which the fraction `p` lies, 0 < p < 1.
    pub(super) fn quantile(&self, p: f64) -> f64 {
        if self.sign < 0.0 {
            return -self.magnitude(1.0 - p);
        }
        self.magnitude(p)
    }

    fn magnitude(&self, p: f64) -> f64 {
        self.result(self.bent(self.distribution.quantile(p)))
    }

    /// Returns the probability of a result of at most `limit`.
    pub(super) fn probability(&self, limit: f64) -> f64 {
        if self.sign < 0.0 {
            return 1.0 - self.at_most(-limit);
        }
        self.at_most(limit)
    }

    fn at_most(&self, limit: f64) -> f64 {
        let wanted = if self.logarithmic {
            if limit <= 0.0 {
                return 0.0;
            }
            limit.ln() - self.rest
        } else {
            limit - self.rest
        };
        let sum = if self.bend == (0.0, 0.0) || self.spread == 0.0 {
            wanted
        } else {
            // Far out the correction is held, so the map stays rising.
            root(wanted, self.spread, |y| self.bent(y) - wanted)
        };
        self.distribution.probability(sum)
    }

    fn result(&self, y: f64) -> f64 {
        if self.logarithmic {
            (self.rest + y).exp()
        } else {
            self.rest + y
        }
    }

    /// Moves a value of the sum by the expectation of the rest there.
    fn bent(&self, y: f64) -> f64 {
        if self.bend == (0.0, 0.0) || self.spread == 0.0 {
            return y;
        }
        let z = ((y - self.middle) / self.spread).clamp(-3.0, 3.0);
        y + self.bend.0 * (z * z - 1.0) + self.bend.1 * (z * z - 3.0) * z
    }
}

/// The effects on one scale.
struct Scale {
    logarithmic: bool,
    sign: f64,
    rest: f64,
    /// Effects at the probes.
    effects: Vec<[f64; 7]>,
    straight: Vec<bool>,
    slopes: Vec<f64>,
    spread: f64,
    /// Root mean square of the rest, in spreads.
    rest_share: f64,
}

impl Scale {
    fn new(
        space: &CauseSpace<'_>,
        probed: &[AxisProbe],
        together: &[Point],
        logarithmic: bool,
    ) -> Option<Self> {
        let rest = space.rest();
        let sign = if logarithmic { rest.signum() } else { 1.0 };
        let on = |y: f64| if logarithmic { (sign * y).ln() } else { y };
        let origin = on(rest);
        let effects: Vec<[f64; 7]> = probed
            .iter()
            .map(|axis| axis.results.map(|y| on(y) - origin))
            .collect();
        if !origin.is_finite() || effects.iter().flatten().any(|e| !e.is_finite()) {
            return None;
        }
        let weights = PROBES.map(|(_, w)| w);
        let factor = if logarithmic { 1.0 / rest } else { 1.0 };
        let slopes: Vec<f64> = probed
            .iter()
            .zip(&effects)
            .map(|(axis, e)| match axis.axis {
                Axis::Score(_) => (e[4] - e[2]) / (PROBES[4].0 - PROBES[2].0),
                _ => axis.slope * factor,
            })
            .collect();
        // A t distribution counts by its scale, as to first order.
        let variance = |((axis, e), slope): ((&AxisProbe, &[f64; 7]), &f64)| match axis.axis {
            Axis::Input(v) if space.distributions[v].is_heavy() => {
                (slope * space.program.uncertainties[v]).powi(2)
            }
            _ => Cumulants::of(e, &weights).variance,
        };
        let each = probed.iter().zip(&effects).zip(&slopes).map(variance);
        let spread = each.sum::<f64>().sqrt();
        let mut straight = Vec::with_capacity(probed.len());
        for ((axis, e), slope) in probed.iter().zip(&effects).zip(&slopes) {
            let is_normal_group =
                matches!(axis.axis, Axis::Group(_)) && axis.distribution.is_none();
            let line = |k: usize| match axis.axis {
                Axis::Score(_) => slope * PROBES[k].0,
                _ => {
                    let (v, x) = place(space, axis, PROBES[k].0);
                    slope * (x - space.base[v])
                }
            };
            straight.push(
                axis.distribution.is_none()
                    && slope.is_finite()
                    && (0..7).all(|k| (e[k] - line(k)).abs() <= STRAIGHT[k] * spread),
            );
            if let Axis::Group(step) = axis.axis
                && is_normal_group
                && straight.last() == Some(&false)
                && !is_normal(space, step)
            {
                return None;
            }
        }
        let mut squares = 0.0;
        for (probes, y) in together {
            let sum: f64 = effects.iter().zip(probes).map(|(e, &k)| e[k]).sum();
            let miss = on(*y) - origin - sum;
            if !miss.is_finite() {
                return None;
            }
            squares += miss * miss;
        }
        let miss = (squares / together.len().max(1) as f64).sqrt();
        let rest_share = match (miss > 0.0, spread > 0.0) {
            (false, _) => 0.0,
            // Far up a logarithm's error counts by itself, not beside its spread.
            (true, true) if logarithmic => miss / spread * (WIDTH * spread).max(1.0),
            (true, true) => miss / spread,
            (true, false) => f64::INFINITY,
        };
        Some(Self {
            logarithmic,
            sign,
            rest: origin,
            effects,
            straight,
            slopes,
            spread,
            rest_share,
        })
    }

    /// Combines the effects.
    fn distribution(self, space: &CauseSpace<'_>, probed: &[AxisProbe]) -> Option<Additive> {
        let mut work = Vec::new();
        let mut parts = Vec::new();
        // Summands of straight groups stand for themselves.
        let mut origin: Vec<(usize, Option<(usize, f64)>)> = Vec::new();
        let weights = PROBES.map(|(_, w)| w);
        for (i, axis) in probed.iter().enumerate() {
            let mut add = |part: Summand, single: Option<(usize, f64)>| {
                parts.push(part);
                origin.push((i, single));
            };
            match axis.axis {
                Axis::Group(step) if self.straight[i] => {
                    for &(v, c) in space.summands(step) {
                        let (v, slope) = (v as usize, c * self.slopes[i]);
                        if space.program.uncertainties[v] != 0.0 {
                            let id = i;
                            add(summand_part(space, v, slope, id), Some((v, slope)));
                        }
                    }
                }
                Axis::Input(v) if self.straight[i] => {
                    add(
                        summand_part(space, v, self.slopes[i], i),
                        Some((v, self.slopes[i])),
                    );
                }
                _ => {
                    let heavy =
                        matches!(axis.axis, Axis::Input(v) if space.distributions[v].is_heavy());
                    if heavy {
                        return None;
                    }
                    let cumulants = if self.straight[i] {
                        Cumulants {
                            variance: self.slopes[i].powi(2),
                            ..Cumulants::default()
                        }
                    } else {
                        Cumulants::of(&self.effects[i], &weights)
                    };
                    let weight = cumulants.variance.sqrt();
                    let part = Summand {
                        cumulants,
                        weight,
                        heavy,
                        felt: 0.0,
                        id: i,
                    };
                    add(part, None);
                }
            }
        }
        for (n, part) in parts.iter_mut().enumerate() {
            part.id = n;
        }
        let kept = shapely(&parts);
        if !kept.is_empty() && self.rest_share > ANSWERED_SHAPED {
            return None;
        }
        let mut curves: Vec<Option<[f64; NODES]>> = vec![None; parts.len()];
        for &n in &kept {
            let (i, single) = origin[n];
            let curve = match single {
                Some((v, slope)) => straight_shape(space, v, slope),
                None => self.curve(space, &probed[i], &mut work)?,
            };
            if single.is_none() {
                parts[n].cumulants = Cumulants::of(&curve, &GRID.weight);
                parts[n].weight = parts[n].cumulants.variance.sqrt();
            }
            curves[n] = Some(curve);
        }
        let distribution = SumDistribution::new(&parts, &kept, |part| curves[part.id])?;
        let total = parts
            .iter()
            .map(|p| p.cumulants)
            .fold(Cumulants::default(), Cumulants::plus);
        let (mean, sd) = self.moments(&parts, &curves, total);
        let bend = if self.rest_share > CLEAN {
            self.bend(space, probed, &mut work)?
        } else {
            (0.0, 0.0)
        };
        // Only a correction needs to know where the distribution lies.
        let (low, high) = match bend == (0.0, 0.0) {
            true => (0.0, 0.0),
            false => (distribution.quantile(0.025), distribution.quantile(0.975)),
        };
        let spread = (high - low) / WIDTH;
        let mut variances = vec![0.0; probed.len()];
        for (part, (i, _)) in parts.iter().zip(&origin) {
            variances[*i] += part.weight * part.weight;
        }
        let (skewness, excess) = distribution.skew();
        let shaped = !kept.is_empty() || skewness.abs() > SHAPED || excess.abs() > SHAPED;
        Some(Additive {
            distribution,
            logarithmic: self.logarithmic,
            rest: self.rest,
            sign: self.sign,
            middle: low + (high - low) / 2.0,
            spread,
            bend,
            mean,
            sd,
            shaped,
            variances,
        })
    }

    /// Expectation and standard deviation of the result.
    fn moments(
        &self,
        parts: &[Summand],
        curves: &[Option<[f64; NODES]>],
        total: Cumulants,
    ) -> (f64, f64) {
        if !self.logarithmic {
            let rest = self.rest_share * self.spread;
            let variance: f64 = parts.iter().map(|p| p.weight * p.weight).sum();
            return (self.rest + total.mean, variance.sqrt().hypot(rest));
        }
        // Expectations of a product of independent factors are products of expectations.
        let (mut once, mut twice) = (self.rest, 2.0 * self.rest);
        for (part, curve) in parts.iter().zip(curves) {
            let c = part.cumulants;
            let power = |t: f64| match curve {
                Some(y) => {
                    let terms = y.iter().zip(&GRID.weight);
                    terms.map(|(y, w)| (t * y).exp() * w).sum::<f64>().ln()
                }
                None => {
                    t * c.mean
                        + t.powi(2) * c.variance / 2.0
                        + t.powi(3) * c.third / 6.0
                        + t.powi(4) * c.fourth / 24.0
                }
            };
            once += power(1.0);
            twice += power(2.0);
        }
        let mean = once.exp();
        (
            self.sign * mean,
            mean * (twice - 2.0 * once).exp_m1().max(0.0).sqrt(),
        )
    }

    /// The effect of an axis at every node of the grid.
    fn curve(
        &self,
        space: &CauseSpace<'_>,
        axis: &AxisProbe,
        work: &mut Vec<f64>,
    ) -> Option<[f64; NODES]> {
        let on = |y: f64| {
            let y = if self.logarithmic {
                (self.sign * y).ln()
            } else {
                y
            };
            y - self.rest
        };
        let every = if space.is_costly() { SPARSE } else { 1 };
        let mut curve = [f64::NAN; NODES];
        for k in (0..NODES).step_by(every) {
            curve[k] = on(alone_at(space, axis, GRID.z[k], work));
        }
        // Far out a function may end; there the last value stands for it.
        let beyond = NODES / 2 - 32;
        for k in (every..=beyond).rev().step_by(every) {
            if !curve[k - every].is_finite() {
                curve[k - every] = curve[k];
            }
        }
        for k in (NODES - 1 - beyond..NODES - every).step_by(every) {
            if !curve[k + every].is_finite() {
                curve[k + every] = curve[k];
            }
        }
        if every > 1 {
            filled(&mut curve, every);
        }
        curve.iter().all(|y| y.is_finite()).then_some(curve)
    }

    /// Looks at the rest along the steepest direction, both ways.
    fn bend(
        &self,
        space: &CauseSpace<'_>,
        probed: &[AxisProbe],
        work: &mut Vec<f64>,
    ) -> Option<(f64, f64)> {
        let slope = |e: &[f64; 7]| (e[4] - e[2]) / (PROBES[4].0 - PROBES[2].0);
        let length = self
            .effects
            .iter()
            .map(|e| slope(e).powi(2))
            .sum::<f64>()
            .sqrt();
        if length == 0.0 {
            return None;
        }
        let on = |y: f64| {
            if self.logarithmic {
                (self.sign * y).ln()
            } else {
                y
            }
        };
        let mut rest = |t: f64| {
            let z: Vec<f64> = self.effects.iter().map(|e| t * slope(e) / length).collect();
            let whole = on(all_at(space, probed, &z, work)) - self.rest;
            let sum: f64 = probed
                .iter()
                .zip(&z)
                .map(|(axis, &z)| on(alone_at(space, axis, z, work)) - self.rest)
                .sum();
            whole - sum
        };
        let (up, down) = (rest(ALONG), rest(-ALONG));
        let even = (up + down) / 2.0 / ALONG.powi(2);
        let odd = (up - down) / 2.0 / ALONG.powi(3);
        (even + odd).is_finite().then_some((even, odd))
    }
}
