//! Stated correlations: readings can be correlated in that way, and each pair in one.

use super::Contradiction;
use crate::inputs::Correlations;
use crate::{Cancelled, Case};
use nalgebra::DMatrix;
use record::{Place, Reading};
use std::collections::{BTreeMap, BTreeSet};

/// Readings that hang together through stated correlations beyond which the test is left out: its work
/// grows with the third power.
const MANY: usize = 200;
/// The least eigenvalue that rounding explains.
const ROUNDING: f64 = -1e-9;

/// Returns the contradictions about correlations.
pub(super) fn found(case: &Case<'_>) -> Result<Vec<Contradiction>, Cancelled> {
    let mut found = Vec::new();
    let mut pairs: BTreeMap<[&str; 2], (usize, f64)> = BTreeMap::new();
    for (at, stated) in case.dossier.correlations.iter().enumerate() {
        let [a, b] = stated.between.each_ref().map(String::as_str);
        let pair = [a.min(b), a.max(b)];
        match pairs.get(&pair) {
            None => {
                pairs.insert(pair, (at, stated.coefficient));
            }
            Some((_, first)) if *first != stated.coefficient => {
                found.push(twice(case, at, *first, stated.coefficient));
            }
            Some(_) => {}
        }
    }
    for group in groups(pairs.keys()) {
        case.go_on()?;
        let readings: Vec<&Reading> = group
            .iter()
            .filter_map(|id| case.lookup().reading(id))
            .collect();
        if readings.len() <= MANY && is_impossible(case, &readings) {
            let own = pairs.iter().filter(|(pair, _)| group.contains(pair[0]));
            found.push(impossible(case, &readings, own.map(|(_, (at, _))| *at)));
        }
    }
    Ok(found)
}

/// Returns the readings that stated correlations join, directly or through others.
fn groups<'p, 'd: 'p>(pairs: impl Iterator<Item = &'p [&'d str; 2]>) -> Vec<BTreeSet<&'d str>> {
    let mut near: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for &[a, b] in pairs {
        near.entry(a).or_default().push(b);
        near.entry(b).or_default().push(a);
    }
    let mut groups = Vec::new();
    let mut seen: BTreeSet<&str> = BTreeSet::new();
    for &start in near.keys() {
        let mut group = BTreeSet::new();
        let mut open = vec![start];
        while let Some(id) = open.pop() {
            if seen.insert(id) {
                group.insert(id);
                open.extend(near.get(id).into_iter().flatten());
            }
        }
        if !group.is_empty() {
            groups.push(group);
        }
    }
    groups
}

/// Returns whether some sum of the readings would have a negative variance.
fn is_impossible(case: &Case<'_>, readings: &[&Reading]) -> bool {
    let correlations = Correlations::of(case.dossier, readings.iter().copied());
    let n = readings.len();
    let matrix = DMatrix::from_fn(n, n, |i, j| correlations.between(readings[i], readings[j]));
    matrix
        .symmetric_eigenvalues()
        .iter()
        .any(|value| *value < ROUNDING)
}

fn impossible(
    case: &Case<'_>,
    readings: &[&Reading],
    stated: impl Iterator<Item = usize>,
) -> Contradiction {
    let names: Vec<String> = readings.iter().map(|r| r.id.clone()).collect();
    let places: Vec<Place> = stated
        .filter_map(|at| Place::correlation(case.dossier, at))
        .collect();
    Contradiction {
        rule: "impossible-correlations",
        about: Place::reading(&readings[0].id),
        subject: format!("how readings {} are correlated", names.join(", ")),
        what: format!(
            "Readings {} cannot be correlated as stated: some sum of them would have a negative variance (pairs \
             without a stated correlation are taken as the instrument gives them)",
            crate::words::listed(names)
        ),
        so: "The uncertainty of every mass that rests on them depends on it. Correct `coefficient`, or state the \
             correlation of the pairs left out"
            .to_string(),
        places,
        with: None,
    }
}

fn twice(case: &Case<'_>, at: usize, first: f64, second: f64) -> Contradiction {
    let [a, b] = &case.dossier.correlations[at].between;
    Contradiction {
        rule: "correlation-twice",
        about: Place::correlation(case.dossier, at).unwrap_or_else(|| Place::reading(a)),
        subject: format!("how readings {a} and {b} are correlated"),
        what: format!(
            "The correlation of readings {a} and {b} is stated as {first} and as {second}"
        ),
        so: "Uncertainties use the first. Keep one of them".to_string(),
        places: vec![Place::reading(a), Place::reading(b)],
        with: None,
    }
}
