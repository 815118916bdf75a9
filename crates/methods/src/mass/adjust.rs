//! From readings of mass to a solved set of masses.
//!
//! In: a dossier, or rows of piece counts with covariance. Out: a [`MassSolution`].
//! Not here: questions to the solution (`solution`).
//!
//! After the adjustment of all weighings, readings are set aside one group at a time while the global
//! test fails and a measurement test says which (serial elimination: Ripps, Chem. Eng. Prog. Symp. Ser.
//! 61 (1965) 8–13, with the measurement test for choosing).

use super::balance::{self, Reconciled, reconcile};
use super::observe::{Observed, proportional};
use super::solution::{ALPHA, MassSolution, Weighing};
use super::tree::Tree;
use crate::basis;
use nalgebra::{DMatrix, DVector};
use quantity::Dimension;
use record::{Dossier, Reading, ReadingSubject};

/// Adjusts the weighings of a dossier.
pub fn adjusted(dossier: &Dossier) -> MassSolution {
    let tree = Tree::of(dossier);
    let mut unused = Vec::new();
    let mut used: Vec<&Reading> = Vec::new();
    let mut weighings = Vec::new();
    let mut rows = Vec::new();
    for reading in dossier
        .readings
        .iter()
        .filter(|r| r.what == ReadingSubject::Mass)
    {
        match weighing(dossier, &tree, reading) {
            Ok((weighing, row)) => {
                used.push(reading);
                weighings.push(weighing);
                rows.push(row);
            }
            Err(why) => unused.push(format!("reading '{}': {why}", reading.id)),
        }
    }
    let n = weighings.len();
    let correlations = basis::Correlations::of(dossier, used.iter().copied());
    let covariance = DMatrix::from_fn(n, n, |i, j| {
        correlations.between(used[i], used[j]) * weighings[i].uncertainty * weighings[j].uncertainty
    });
    let mut solution = solve(tree, rows, covariance, weighings);
    solution.unused = unused;
    solution
}

/// Puts given weighings against a tree. `rows` are piece counts, `covariance` is in g².
pub(super) fn solve(
    tree: Tree,
    rows: Vec<Vec<f64>>,
    covariance: DMatrix<f64>,
    weighings: Vec<Weighing>,
) -> MassSolution {
    let everything: Vec<usize> = (0..weighings.len()).collect();
    let shown: Vec<f64> = weighings.iter().map(|w| w.shown).collect();
    let adjust = |kept: &[usize]| adjust(&rows, &shown, &covariance, tree.pieces, kept);
    let (all, reconciled) = adjust(&everything);
    let (mut kept, mut observed, mut result) = (everything, all.clone(), reconciled.clone());
    while let Some(suspects) = suspects(&observed, &result) {
        let aside: Vec<usize> = suspects.iter().map(|&k| kept[k]).collect();
        kept.retain(|j| !aside.contains(j));
        (observed, result) = adjust(&kept);
    }
    let set_aside = (0..weighings.len()).filter(|j| !kept.contains(j)).collect();
    MassSolution {
        tree,
        rows,
        covariance,
        all,
        kept,
        kept_observed: observed,
        kept_weights: result.weights,
        kept_z: result.z_power,
        weighings,
        reconciled,
        set_aside,
        unused: Vec::new(),
    }
}

/// Adjusts the weighings `kept`.
pub(super) fn adjust(
    rows: &[Vec<f64>],
    shown: &[f64],
    covariance: &DMatrix<f64>,
    pieces: usize,
    kept: &[usize],
) -> (Observed, Reconciled) {
    let rows: Vec<Vec<f64>> = kept.iter().map(|&j| rows[j].clone()).collect();
    let observed = Observed::new(&rows, pieces);
    let shown = DVector::from_iterator(kept.len(), kept.iter().map(|&j| shown[j]));
    let covariance = covariance.select_rows(kept).select_columns(kept);
    let result = reconcile(&shown, &covariance, &observed.balances());
    (observed, result)
}

/// Returns the readings to set aside: the one with the greatest |z| and those like it, if the global
/// test fails and that |z| is beyond its critical value.
fn suspects(observed: &Observed, result: &Reconciled) -> Option<Vec<usize>> {
    if result.p_value().is_none_or(|p| p >= ALPHA) {
        return None;
    }
    // With a common scale error the maximum-power statistic finds the culprit, the plain one need not.
    let checked = result.z_power.iter().filter(|z| **z != 0.0).count();
    let (worst, z) =
        result
            .z_power
            .iter()
            .map(|z| z.abs())
            .enumerate()
            .fold(
                (0, 0.0),
                |best, now| if now.1 > best.1 { now } else { best },
            );
    (z > balance::sidak_critical(ALPHA, checked)).then(|| alike(observed, worst))
}

/// Returns the readings that enter every balance in the same proportion as `reading`, itself included.
pub(super) fn alike(observed: &Observed, reading: usize) -> Vec<usize> {
    let balances = observed.balances();
    let column = |j: usize| balances.column(j).iter().copied().collect::<Vec<f64>>();
    let own = column(reading);
    (0..balances.ncols())
        .filter(|&j| j == reading || proportional(&own, &column(j)))
        .collect()
}

fn weighing(
    dossier: &Dossier,
    tree: &Tree,
    reading: &Reading,
) -> Result<(Weighing, Vec<f64>), String> {
    if reading.value.dimension() != Dimension::MASS {
        return Err(format!("'{}' is not a mass", reading.value));
    }
    let row = tree
        .row(&reading.item)
        .ok_or_else(|| format!("no item '{}'", reading.item))?;
    let pieces = f64::from(reading.pieces.unwrap_or(1).max(1));
    let mut row: Vec<f64> = row.iter().map(|x| x * pieces).collect();
    for gone in &reading.without {
        let count = dossier.item(gone).map_or(1.0, |i| f64::from(i.count));
        let part = tree
            .row(gone)
            .ok_or_else(|| format!("no item '{gone}' to leave out"))?;
        for (x, y) in row.iter_mut().zip(part) {
            // What was taken out cannot be counted twice (a part and the board it sits on).
            *x = (*x - count * pieces * y).max(0.0);
        }
    }
    if row.iter().all(|&x| x == 0.0) {
        return Err("nothing was left on the scale".to_string());
    }
    let input = basis::reading_input(dossier, reading, "mass");
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
        pieces,
        incomplete: !reading.without.is_empty(),
        shown,
        uncertainty,
        evidence: basis::reading_evidence(reading),
    };
    Ok((weighing, row))
}
