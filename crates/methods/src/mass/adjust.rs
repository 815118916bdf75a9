//! From readings of mass to a solved set of masses.
//!
//! In: a dossier. Out: a [`MassSolution`].
//! Not here: questions to the solution (`solution`), the fit (`model`), what is set aside (`gross`).

use super::model::{Model, Row};
use super::solution::{MassSolution, Weighing};
use super::tree::Tree;
use crate::inputs;
use quantity::Dimension;
use record::{Dossier, Reading, ReadingSubject};
use std::collections::{BTreeMap, BTreeSet};

/// Adjusts the weighings of a dossier.
pub fn adjusted(dossier: &Dossier) -> MassSolution {
    let tree = Tree::of(dossier);
    let mut unused = Vec::new();
    let mut used: Vec<&Reading> = Vec::new();
    let mut weighings = Vec::new();
    let mut sums = Vec::new();
    for reading in dossier
        .readings
        .iter()
        .filter(|r| r.what == ReadingSubject::Mass)
    {
        match weighing(dossier, &tree, reading) {
            Ok((weighing, sum)) => {
                used.push(reading);
                weighings.push(weighing);
                sums.push(sum);
            }
            Err(why) => unused.push(format!("reading '{}': {why}", reading.id)),
        }
    }
    let mut solution = MassSolution::of_weighings(
        tree,
        weighings,
        sums,
        &commons(dossier, &used),
        &stated(dossier, &used),
    );
    solution.unused = unused;
    solution
}

/// Returns, for each reading on an instrument that others were taken on too, the number of that instrument
/// and the part of the reading's standard uncertainty that is common to them.
fn commons(dossier: &Dossier, used: &[&Reading]) -> Vec<Option<(usize, f64)>> {
    let mut taken: BTreeMap<&str, usize> = BTreeMap::new();
    for instrument in used.iter().filter_map(|r| r.instrument.as_deref()) {
        *taken.entry(instrument).or_default() += 1;
    }
    let number: BTreeMap<&str, usize> = taken
        .into_iter()
        .filter(|(_, readings)| *readings > 1)
        .enumerate()
        .map(|(k, (instrument, _))| (instrument, k))
        .collect();
    used.iter()
        .map(|reading| {
            let k = *number.get(reading.instrument.as_deref()?)?;
            let shared = inputs::shared_uncertainty(dossier, reading) * 1000.0;
            Some((k, shared)).filter(|_| shared > 0.0)
        })
        .collect()
}

/// Returns the stated correlations between readings used; of two for one pair the first.
fn stated(dossier: &Dossier, used: &[&Reading]) -> Vec<(usize, usize, f64)> {
    let index: BTreeMap<&str, usize> = used
        .iter()
        .enumerate()
        .map(|(j, r)| (r.id.as_str(), j))
        .collect();
    let mut seen = BTreeSet::new();
    dossier
        .correlations
        .iter()
        .filter_map(|c| {
            let [a, b] = &c.between;
            let (a, b) = (*index.get(a.as_str())?, *index.get(b.as_str())?);
            let is_new = a != b && seen.insert((a.min(b), a.max(b)));
            is_new.then(|| (a, b, c.coefficient.clamp(-1.0, 1.0)))
        })
        .collect()
}

/// Puts weighings with what lay on the scale, common parts of their errors and stated correlations into
/// rows; the numbers of the unknowns are those of `number`.
pub(super) fn model(
    tree: &Tree,
    number: &[usize],
    weighings: &[Weighing],
    sums: Vec<Vec<(usize, f64)>>,
    commons: &[Option<(usize, f64)>],
    stated: &[(usize, usize, f64)],
) -> Model {
    let mut rows: Vec<Row> = weighings
        .iter()
        .zip(sums)
        .zip(commons)
        .map(|((weighing, sum), common)| Row {
            terms: sum.into_iter().map(|(i, n)| (number[i], n)).collect(),
            shown: weighing.shown,
            variance: weighing.uncertainty.powi(2),
            common: common.map(|(k, shared)| (k, shared.min(weighing.uncertainty))),
            stated: Vec::new(),
        })
        .collect();
    for &(a, b, coefficient) in stated {
        let shared = match (rows[a].common, rows[b].common) {
            (Some((k, x)), Some((l, y))) if k == l => x * y,
            _ => 0.0,
        };
        let whole = coefficient * weighings[a].uncertainty * weighings[b].uncertainty;
        rows[a].stated.push((b, whole - shared));
    }
    let balances = tree
        .order
        .iter()
        .filter(|&&(i, _)| tree.is_sum(i))
        .map(|&(i, _)| {
            let held = tree.children(i).iter();
            std::iter::once((number[i], 1.0))
                .chain(held.map(|&c| (number[c], -tree.count(c))))
                .collect()
        })
        .collect();
    Model {
        unknowns: number.len(),
        commons: commons.iter().flatten().map(|c| c.0 + 1).max().unwrap_or(0),
        rows,
        balances,
    }
}

fn weighing(
    dossier: &Dossier,
    tree: &Tree,
    reading: &Reading,
) -> Result<(Weighing, Vec<(usize, f64)>), String> {
    if reading.value.dimension() != Dimension::MASS {
        return Err(format!("'{}' is not a mass", reading.value));
    }
    if inputs::tare_is_impossible(reading) {
        return Err("its tare leaves nothing of the value".to_string());
    }
    let at = tree
        .find(&reading.item)
        .ok_or_else(|| format!("no item '{}'", reading.item))?;
    let pieces = f64::from(reading.pieces.unwrap_or(1).max(1));
    let without = reading
        .without
        .iter()
        .map(|gone| {
            tree.find(gone)
                .ok_or_else(|| format!("no item '{gone}' to leave out"))
        })
        .collect::<Result<Vec<usize>, String>>()?;
    let sum = tree.remains(at, pieces, &without);
    if sum.is_empty() {
        return Err("nothing was left on the scale".to_string());
    }
    let input = inputs::reading_input(dossier, reading, "mass");
    let (shown, uncertainty) = (
        input.distribution.mean() * 1000.0,
        input.distribution.sd() * 1000.0,
    );
    if !(shown.is_finite() && uncertainty.is_finite() && uncertainty > 0.0) {
        return Err(format!("'{}' has no usable uncertainty", reading.value));
    }
    let weighing = Weighing {
        reading: reading.id.clone(),
        item: reading.item.clone(),
        at,
        pieces,
        pieces_given: reading.pieces.is_some(),
        incomplete: !reading.without.is_empty(),
        shown,
        uncertainty,
        limit_assumed: {
            let instrument = reading.instrument.as_deref();
            inputs::limit_is_assumed(instrument.and_then(|id| dossier.instrument(id)), reading)
        },
        evidence: inputs::reading_evidence(reading),
    };
    Ok((weighing, sum))
}
