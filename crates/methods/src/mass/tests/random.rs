//! Random dossiers against the reference.

use super::super::adjusted;
use super::super::next::{Scale, best};
use super::super::solution::MassSolution;
use super::dense::{self, Dense, piece_rows, proportional};
use super::drawn::{random, row_of};
use crate::inputs;
use nalgebra::DMatrix;
use record::{Dossier, Reading};
use std::collections::BTreeSet;

struct Reference {
    rows: Vec<Vec<f64>>,
    taken: Vec<Vec<f64>>,
    shown: Vec<f64>,
    covariance: DMatrix<f64>,
    all: Dense,
    sound: Dense,
}

/// The reference solution; `None` where the stated correlations cannot all be true.
fn reference(dossier: &Dossier, solution: &MassSolution) -> Option<Reference> {
    let rows = piece_rows(dossier);
    let used: Vec<&Reading> = dossier
        .readings
        .iter()
        .filter(|r| row_of(dossier, &rows, r).iter().any(|x| *x != 0.0))
        .collect();
    let found: Vec<&str> = solution
        .weighings
        .iter()
        .map(|w| w.reading.as_str())
        .collect();
    assert_eq!(
        found,
        used.iter().map(|r| r.id.as_str()).collect::<Vec<_>>()
    );
    let taken: Vec<Vec<f64>> = used.iter().map(|r| row_of(dossier, &rows, r)).collect();
    let input = |r: &Reading| inputs::reading_input(dossier, r, "mass").distribution;
    let shown: Vec<f64> = used.iter().map(|r| input(r).mean() * 1000.0).collect();
    let u: Vec<f64> = used.iter().map(|r| input(r).sd() * 1000.0).collect();
    let correlations = inputs::Correlations::of(dossier, used.iter().copied());
    let correlation = DMatrix::from_fn(used.len(), used.len(), |i, j| {
        correlations.between(used[i], used[j])
    });
    if used.is_empty()
        || correlation
            .clone()
            .symmetric_eigenvalues()
            .iter()
            .any(|x| *x < 1e-5)
    {
        return None;
    }
    let covariance = DMatrix::from_fn(used.len(), used.len(), |i, j| {
        correlation[(i, j)] * u[i] * u[j]
    });
    let (all, sound) = dense::solve(&taken, &shown, &covariance);
    Some(Reference {
        rows,
        taken,
        shown,
        covariance,
        all,
        sound,
    })
}

#[track_caller]
fn near(seed: u64, what: &str, found: f64, expected: f64, size: f64) {
    assert!(
        (found - expected).abs() <= 1e-6 * (size.abs() + expected.abs()),
        "seed {seed}, {what}: {found}, reference {expected}"
    );
}

#[track_caller]
fn pairs(seed: u64, what: &str, found: Option<(f64, f64)>, expected: Option<(f64, f64)>) {
    match (found, expected) {
        (Some((x, u)), Some((y, v))) => {
            near(seed, what, x, y, v);
            near(seed, what, u, v, 1e-3);
        }
        (None, None) => {}
        other => panic!("seed {seed}, {what}: {other:?}"),
    }
}

fn compare(seed: u64) -> bool {
    let dossier = random(seed);
    let solution = adjusted(&dossier);
    let Some(reference) = reference(&dossier, &solution) else {
        return false;
    };
    let result = &solution.reconciled;
    assert_eq!(
        result.degrees_of_freedom, reference.all.degrees_of_freedom,
        "seed {seed}"
    );
    near(
        seed,
        "chi-square",
        result.chi_square,
        reference.all.chi_square,
        1e-3,
    );
    let n = solution.weighings.len();
    for j in 0..n {
        near(seed, "z", result.z_power[j], reference.all.z_power[j], 1e-2);
        near(
            seed,
            "reading",
            result.adjusted[j],
            reference.all.adjusted[j],
            1.0,
        );
        near(
            seed,
            "variance",
            result.variance[j],
            reference.all.covariance[(j, j)],
            1e-6,
        );
        assert_eq!(
            solution.alike(j),
            reference.all.alike(j),
            "seed {seed}, like {j}"
        );
        left_out(seed, &solution, &reference, j);
    }
    let aside: Vec<usize> = (0..n)
        .filter(|j| !reference.sound.kept.contains(j))
        .collect();
    assert_eq!(solution.set_aside, aside, "seed {seed}");
    for (k, &j) in reference.sound.kept.iter().enumerate() {
        near(
            seed,
            "sound z",
            solution.z(j),
            reference.sound.z_power[k],
            1e-2,
        );
    }
    for (j, taken) in reference.taken.iter().enumerate() {
        pairs(
            seed,
            "expected",
            solution.expected(j),
            reference.sound.mass(taken),
        );
    }
    for (i, row) in reference.rows.iter().enumerate() {
        pairs(
            seed,
            "mass",
            solution.adjusted(i),
            reference.sound.mass(row),
        );
    }
    neighbours(seed, &solution, &reference);
    further(seed, &dossier, &solution, &reference);
    true
}

fn left_out(seed: u64, solution: &MassSolution, reference: &Reference, j: usize) {
    let others: Vec<usize> = (0..reference.taken.len()).filter(|&k| k != j).collect();
    let rest = Dense::of(
        &reference.taken,
        &reference.shown,
        &reference.covariance,
        &others,
    );
    match (solution.without(j), rest.mass(&reference.taken[j])) {
        (Some(found), Some((mass, u))) => {
            near(seed, "left out", found.should_be, mass, u);
            near(
                seed,
                "chi-square left",
                found.chi_square,
                rest.chi_square,
                1e-2,
            );
            assert_eq!(found.degrees_of_freedom, rest.degrees_of_freedom);
        }
        (None, None) => {}
        other => panic!("seed {seed}, without {j}: {other:?}"),
    }
}

/// Correlations of neighbours in the tree, and the readings that masses rest on.
fn neighbours(seed: u64, solution: &MassSolution, reference: &Reference) {
    let tree = &solution.tree;
    for i in 0..reference.rows.len() {
        let mut around: Vec<usize> = tree.children(i).to_vec();
        around.push(i);
        for &a in &around {
            for &b in &around {
                let (Some(found), Some(covariance)) = (
                    solution.correlation(a, b),
                    reference
                        .sound
                        .between(&reference.rows[a], &reference.rows[b]),
                ) else {
                    continue;
                };
                let u = |i: usize| reference.sound.mass(&reference.rows[i]).unwrap().1;
                near(seed, "correlation", found, covariance / (u(a) * u(b)), 10.0);
            }
        }
        let id = format!("i{i}");
        if let Ok(combination) = reference.sound.observed.combination(&reference.rows[i]) {
            let weights = reference.sound.weights.transpose() * combination;
            for place in solution.evidence(&id) {
                let k =
                    reference.sound.kept.iter().position(|&j| {
                        place == record::Place::reading(&solution.weighings[j].reading)
                    });
                assert!(
                    weights[k.unwrap()].abs() > 0.9e-6,
                    "seed {seed}, {id}: {place}"
                );
            }
        }
    }
}

/// The most helpful further weighing.
fn further(seed: u64, dossier: &Dossier, solution: &MassSolution, reference: &Reference) {
    let weighable: Vec<usize> = (0..dossier.items.len())
        .filter(|&i| super::super::next::weighable(dossier, solution, i))
        .collect();
    let sound = &reference.sound;
    let row = |i: usize| reference.rows[i].as_slice();
    let known: Vec<usize> = weighable
        .iter()
        .copied()
        .filter(|&i| sound.mass(row(i)).is_some())
        .collect();
    let now: f64 = known
        .iter()
        .map(|&i| sound.mass(row(i)).unwrap().1.powi(2))
        .sum();
    let scales = Scale::all(dossier);
    let gains = |i: usize| match sound.observed.combination(row(i)) {
        Err(open) => {
            let also = weighable.iter().filter(|&&k| {
                let other = sound.observed.combination(row(k)).err();
                other.is_some_and(|other| proportional(&open, &other))
            });
            (also.copied().collect::<BTreeSet<usize>>(), now)
        }
        Ok(_) => {
            let (mass, u) = sound.mass(row(i)).unwrap();
            let pieces = f64::from(dossier.items[i].count.at_least());
            let scale = Scale::best(&scales, mass * pieces);
            let reading = scale.uncertainty(mass * pieces) / pieces;
            let gain: f64 = known
                .iter()
                .map(|&k| sound.between(row(i), row(k)).unwrap().powi(2))
                .sum();
            (BTreeSet::new(), now - gain / (u * u + reading * reading))
        }
    };
    let all: Vec<(BTreeSet<usize>, f64)> = weighable.iter().map(|&i| gains(i)).collect();
    let most = all.iter().map(|g| g.0.len()).max().unwrap_or(0);
    let then = all
        .iter()
        .filter(|g| g.0.len() == most)
        .map(|g| g.1)
        .fold(f64::INFINITY, f64::min);
    match best(dossier, solution, |_| true) {
        Some(found) => {
            near(seed, "variance now", found.variance_now, now, 1e-6);
            near(seed, "variance then", found.variance_then, then, 1e-6);
            let at = dossier
                .items
                .iter()
                .position(|i| i.id == found.item)
                .unwrap();
            let k = weighable.iter().position(|&i| i == at).unwrap();
            assert_eq!(all[k].0.len(), most, "seed {seed}");
            let named: BTreeSet<usize> = found
                .newly_known
                .iter()
                .map(|id| dossier.items.iter().position(|i| &i.id == id).unwrap())
                .collect();
            assert_eq!(named, all[k].0, "seed {seed}");
        }
        None => assert!(
            most == 0 && then >= 0.989 * now,
            "seed {seed}: {most} {then} {now}"
        ),
    }
}

/// Source: the textbook formulas with full matrices, `dense`.
#[test]
fn random_trees_agree_with_full_matrices() {
    let compared = (50_100..50_200).filter(|&seed| compare(seed)).count();
    assert!(compared > 80, "{compared}");
}
