//! Prices of all hypotheses turned into shares that sum to one.
//!
//! In: prices of the hits, of the unknown part, and of each way to read the lines. Out: [`Masses`], and
//! what each line says.
//! Not here: the prices (`read`, `ways`).

use crate::answer::LineReading;
use crate::find::sink::Hit;
use crate::lines::{OTHERS, OtherRoleCosts, Role};
use crate::model::costs::{MilliNat, nats};
use crate::ways::Way;

/// How much thinner names are spread, in nats, for each nat that they are dearer: the estimate of
/// what lies beyond the limit.
const THINNING: f64 = 0.2;

/// Shares of all hypotheses.
pub(crate) struct Masses {
    pub(crate) hits: Vec<f64>,
    /// Share of the unknown part, over all ways to read the lines.
    pub(crate) none: f64,
    /// Share of the unknown part for each way to read the lines.
    none_by_way: Vec<f64>,
    pub(crate) estimated: f64,
}

/// Prices of the hypotheses that no part of the catalogue is here.
pub(crate) struct UnknownPart<'a> {
    /// A relative of a known part: way to read the lines, and price.
    pub(crate) variant: &'a [(u16, MilliNat)],
    /// Any other part, for each way to read the lines.
    pub(crate) by_way: &'a [MilliNat],
    /// No line is a part number.
    pub(crate) no_number: MilliNat,
}

impl Masses {
    pub(crate) fn new(
        (hits, relief): (&[Hit], MilliNat),
        unknown: &UnknownPart<'_>,
        texts: &[MilliNat],
        ways: &[Way],
        base: MilliNat,
        limit: MilliNat,
    ) -> Self {
        let UnknownPart {
            variant,
            by_way: none,
            no_number,
        } = *unknown;
        let best = hits
            .iter()
            .map(|h| h.total - relief)
            .chain(none.iter().copied())
            .chain(variant.iter().map(|k| k.1))
            .min();
        let best = best.unwrap_or(0).min(no_number);
        let weight = |total: MilliNat| (-nats(total - best)).exp();
        let mut hit_shares: Vec<f64> = hits.iter().map(|h| weight(h.total - relief)).collect();
        let mut none_by_way: Vec<f64> = none.iter().map(|t| weight(*t)).collect();
        for (hypothesis, total) in variant {
            none_by_way[usize::from(*hypothesis)] += weight(*total);
        }
        let none_else = weight(no_number);
        let mut estimated: f64 = texts
            .iter()
            .zip(ways)
            .map(|(text, way)| {
                let room = nats(limit - way.offset - base).max(0.0);
                weight(*text) * (-THINNING * room).exp()
            })
            .sum();
        let all_none = none_by_way.iter().sum::<f64>() + none_else;
        let sum = hit_shares.iter().sum::<f64>() + all_none + estimated;
        hit_shares.iter_mut().for_each(|x| *x /= sum);
        none_by_way.iter_mut().for_each(|x| *x /= sum);
        estimated /= sum;
        Self {
            hits: hit_shares,
            none: all_none / sum,
            none_by_way,
            estimated,
        }
    }
}

/// Returns what each line says.
pub(crate) fn line_readings(
    ways: &[Way],
    others: &[OtherRoleCosts],
    hits: &[Hit],
    masses: &Masses,
) -> Vec<LineReading> {
    let mut by_way = masses.none_by_way.clone();
    for (hit, share) in hits.iter().zip(&masses.hits) {
        by_way[usize::from(hit.hypothesis)] += share;
    }
    let without = (masses.none - masses.none_by_way.iter().sum::<f64>()).max(0.0);
    let all = by_way.iter().sum::<f64>() + without;
    let readings = others.iter().enumerate().map(|(line, other)| {
        let holding = ways
            .iter()
            .zip(&by_way)
            .filter(|(way, _)| way.line == line || way.joined && way.line + 1 == line);
        let number: f64 = holding.map(|(_, share)| *share).sum();
        let number = if all > 0.0 {
            (number / all).min(1.0)
        } else {
            0.0
        };
        let mut roles = vec![(Role::PartNumber, number)];
        for (role, price) in OTHERS.into_iter().zip(other.each) {
            roles.push((role, (1.0 - number) * (other.all - price).exp()));
        }
        roles.sort_by(|a, b| b.1.total_cmp(&a.1));
        LineReading { roles }
    });
    readings.collect()
}
