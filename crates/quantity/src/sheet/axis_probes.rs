//! The result with causes moved alone and together.
//!
//! In: a space of independent causes. Out: the result at the nodes of a Gauss-Hermite rule along
//! every axis, and at a fixed set of points for all. Not here: what follows from it
//! (`additive.rs`).

use super::cause_space::{Axis, CauseSpace};
use super::convolution::{SumDistribution, Summand, shapely};
use super::normal_score::{GRID, NODES, interpolated};
use super::propagate::FirstOrder;
use super::random::split_mix;

/// Nodes and weights of the Gauss-Hermite rule of degree 13 for a standard normal variable.
pub(super) const PROBES: [(f64, f64); 7] = [
    (-3.750_439_717_725_742, 5.482_688_559_722_178e-4),
    (-2.366_759_410_734_541, 3.075_712_396_758_65e-2),
    (-1.154_405_394_739_968, 0.240_123_178_605_012_7),
    (0.0, 0.457_142_857_142_857_1),
    (1.154_405_394_739_968, 0.240_123_178_605_012_7),
    (2.366_759_410_734_541, 3.075_712_396_758_65e-2),
    (3.750_439_717_725_742, 5.482_688_559_722_178e-4),
];
/// Distance from a straight line, per probe, in standard uncertainties of the result, up to which
/// an effect counts as straight.
pub(super) const STRAIGHT: [f64; 7] = [0.03, 0.006, 0.002, 0.002, 0.002, 0.006, 0.03];
/// Points at which all causes are moved.
pub(super) const TOGETHER: usize = 24;
/// Nodes of the grid from one run of a costly model to the next.
pub(super) const SPARSE: usize = 8;

/// An axis with the result at the probes.
pub(super) struct AxisProbe {
    pub(super) axis: Axis,
    pub(super) results: [f64; 7],
    /// Slope by the axis' variable, where there is one.
    pub(super) slope: f64,
    /// The distribution of a group that is not straight.
    pub(super) distribution: Option<[f64; NODES]>,
}

/// Moves every axis alone to the probes; `None` where a result is not finite.
pub(super) fn probe(space: &CauseSpace<'_>, first: &FirstOrder<'_>) -> Option<Vec<AxisProbe>> {
    let mut work = Vec::new();
    let mut found = Vec::with_capacity(space.axes.len());
    for &axis in &space.axes {
        let mut results = [space.rest(); 7];
        let mut slope = 0.0;
        let mut distribution = None;
        match axis {
            Axis::Input(v) => {
                slope = first.slopes(0)[v];
                for (k, (z, _)) in PROBES.iter().enumerate() {
                    results[k] = space.with(v, space.distributions[v].at(*z), &mut work);
                }
            }
            Axis::Score(n) => {
                for (k, (z, _)) in PROBES.iter().enumerate() {
                    results[k] = space.with_score(n, *z, &mut work);
                }
            }
            Axis::Group(step) => {
                let v = space.group(step);
                slope = first.slopes(0)[v];
                let u = group_spread(space, step);
                for (k, (z, _)) in PROBES.iter().enumerate() {
                    results[k] = space.with(v, space.base[v] + z * u, &mut work);
                }
                let miss = |k: usize| (results[k] - space.rest() - slope * PROBES[k].0 * u).abs();
                let straight = (0..7).all(|k| miss(k) <= STRAIGHT[k] * first.variance(0).sqrt());
                if !straight && let Some(values) = group_law(space, step)? {
                    for (k, (z, _)) in PROBES.iter().enumerate() {
                        results[k] = space.with(v, interpolated(&values, *z), &mut work);
                    }
                    distribution = Some(values);
                }
            }
        }
        if results.iter().any(|y| !y.is_finite()) {
            return None;
        }
        found.push(AxisProbe {
            axis,
            results,
            slope,
            distribution,
        });
    }
    Some(found)
}

pub(super) fn group_spread(space: &CauseSpace<'_>, step: usize) -> f64 {
    let parts = space.summands(step).iter();
    let variance = parts.map(|&(v, c)| (c * space.program.uncertainties[v as usize]).powi(2));
    variance.sum::<f64>().sqrt()
}

/// The parts that straight summands make, and their distributions.
pub(super) fn summand_part(
    space: &CauseSpace<'_>,
    variable: usize,
    slope: f64,
    id: usize,
) -> Summand {
    let distribution = &space.distributions[variable];
    let mut cumulants = distribution.cumulants().scaled(slope);
    cumulants.mean = 0.0;
    Summand {
        cumulants,
        weight: (slope * space.program.uncertainties[variable]).abs(),
        heavy: distribution.is_heavy(),
        felt: distribution.felt(),
        id,
    }
}

/// Whether all summands of a group are normal.
pub(super) fn is_normal(space: &CauseSpace<'_>, step: usize) -> bool {
    space
        .summands(step)
        .iter()
        .all(|(v, _)| space.distributions[*v as usize].is_normal())
}

pub(super) fn straight_shape(space: &CauseSpace<'_>, variable: usize, slope: f64) -> [f64; NODES] {
    let distribution = &space.distributions[variable];
    let mean = space.program.means[variable];
    std::array::from_fn(|k| slope * (distribution.node(k) - mean))
}

/// Quantiles of a group's sum at the nodes; none where the sum is normal. `None` outside where
/// the distribution cannot be found.
#[allow(
    clippy::option_option,
    reason = "what is not needed differs from what is not found"
)]
pub(super) fn group_law(space: &CauseSpace<'_>, step: usize) -> Option<Option<[f64; NODES]>> {
    let summands = space.summands(step);
    let middle = space.base[space.group(step)];
    if is_normal(space, step) {
        return Some(None);
    }
    if let &[(v, c)] = summands {
        let shape = straight_shape(space, v as usize, c);
        return Some(Some(shape.map(|y| middle + y)));
    }
    let parts: Vec<Summand> = summands
        .iter()
        .enumerate()
        .map(|(i, &(v, c))| summand_part(space, v as usize, c, i))
        .collect();
    let distribution = SumDistribution::new(&parts, &shapely(&parts), |part| {
        let (v, c) = summands[part.id];
        Some(straight_shape(space, v as usize, c))
    })?;
    let mut values = [0.0; NODES];
    for k in (0..NODES).step_by(SPARSE) {
        values[k] = middle + distribution.quantile(GRID.below[k]);
    }
    filled(&mut values, SPARSE);
    Some(Some(values))
}

/// A point at which all axes are moved: the probe of each axis, and the result.
pub(super) type Point = (Vec<usize>, f64);

/// Moves all axes to points that depend on nothing but their number.
pub(super) fn together(space: &CauseSpace<'_>, probed: &[AxisProbe]) -> Option<Vec<Point>> {
    if space.program.steps.iter().all(|s| s.is_linear()) && space.members().is_empty() {
        return Some(Vec::new());
    }
    let mut key = 0x5EED;
    let mut work = Vec::new();
    (0..TOGETHER)
        .map(|m| {
            // The second half mirrors the first.
            if m == TOGETHER / 2 {
                key = 0x5EED;
            }
            let probes: Vec<usize> = probed
                .iter()
                .map(|_| {
                    let bits = split_mix(&mut key) >> 40;
                    let far = bits.is_multiple_of(4);
                    let up = (bits & 4 != 0) != (m >= TOGETHER / 2);
                    match (up, far) {
                        (true, true) => 5,
                        (true, false) => 4,
                        (false, true) => 1,
                        (false, false) => 2,
                    }
                })
                .collect();
            let z: Vec<f64> = probes.iter().map(|&k| PROBES[k].0).collect();
            let result = all_at(space, probed, &z, &mut work);
            result.is_finite().then_some((probes, result))
        })
        .collect()
}

/// Returns the result with every axis at a score.
pub(super) fn all_at(
    space: &CauseSpace<'_>,
    probed: &[AxisProbe],
    z: &[f64],
    work: &mut Vec<f64>,
) -> f64 {
    let mut scores = vec![0.0; space.members().len()];
    let mut moved = Vec::with_capacity(probed.len());
    for (axis, &z) in probed.iter().zip(z) {
        match axis.axis {
            Axis::Score(n) => scores[n] = z,
            _ => moved.push(place(space, axis, z)),
        }
    }
    space.with_all(&moved, &scores, work)
}

/// Returns the variable of an axis and its value at a score.
pub(super) fn place(space: &CauseSpace<'_>, axis: &AxisProbe, z: f64) -> (usize, f64) {
    match (axis.axis, &axis.distribution) {
        (Axis::Group(step), Some(values)) => (space.group(step), interpolated(values, z)),
        (Axis::Group(step), None) => {
            let v = space.group(step);
            (v, space.base[v] + z * group_spread(space, step))
        }
        (Axis::Input(v), _) => (v, space.distributions[v].at(z)),
        // Scores are no variables.
        (Axis::Score(_), _) => (0, f64::NAN),
    }
}

/// Returns the result with one axis at a score.
pub(super) fn alone_at(
    space: &CauseSpace<'_>,
    axis: &AxisProbe,
    z: f64,
    work: &mut Vec<f64>,
) -> f64 {
    match axis.axis {
        Axis::Score(n) => space.with_score(n, z, work),
        _ => {
            let (v, x) = place(space, axis, z);
            space.with(v, x, work)
        }
    }
}

/// Fills the nodes between every n-th by cubics.
pub(super) fn filled(curve: &mut [f64; NODES], every: usize) {
    let known: Vec<f64> = curve.iter().step_by(every).copied().collect();
    for (k, y) in curve.iter_mut().enumerate() {
        let place = k as f64 / every as f64;
        let i = (place as usize).clamp(1, known.len() - 3);
        let t = place - i as f64;
        let (s, u, v) = (t + 1.0, t - 1.0, t - 2.0);
        *y = -known[i - 1] * t * u * v / 6.0 + known[i] * s * u * v / 2.0
            - known[i + 1] * s * t * v / 2.0
            + known[i + 2] * s * t * u / 6.0;
    }
}
