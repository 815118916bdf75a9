//! Random dossiers against the reference.

use super::super::adjusted;
use super::super::next::{Scale, best};
use super::super::solution::MassSolution;
use super::dense::{self, Dense, piece_rows, proportional};
use super::{dossier, item};
use crate::basis;
use nalgebra::DMatrix;
use quantity::Stated;
use record::{Correlation, Dossier, Instrument, ItemKind, Reading, ReadingSubject};
use std::collections::BTreeSet;

/// Draws without a pattern that matters here (the generator of Numerical Recipes, 7.1, constants of Knuth).
pub(super) struct Draw(pub(super) u64);

impl Draw {
    fn next(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(super) fn below(&mut self, n: usize) -> usize {
        (self.next() * n as f64) as usize
    }

    fn chance(&mut self, p: f64) -> bool {
        self.next() < p
    }
}

fn instrument(id: &str, resolution: &str, accuracy: Option<&str>) -> Instrument {
    Instrument {
        id: id.to_string(),
        name: id.to_string(),
        resolution: Some(Stated::parse(resolution).unwrap()),
        accuracy: accuracy.map(|a| Stated::parse(a).unwrap()),
        calibrated: None,
        note: None,
    }
}

pub(super) fn reading(id: String, item: &str, value: &str, scale: Option<&str>) -> Reading {
    Reading {
        id,
        item: item.to_string(),
        what: ReadingSubject::Mass,
        mode: None,
        value: Stated::parse(value).unwrap(),
        instrument: scale.map(String::from),
        pieces: None,
        before: None,
        after: None,
        without: Vec::new(),
        evidence: Vec::new(),
        note: None,
    }
}

/// A tree of up to 30 items, weighed here and there, alone, together and with pieces missing, on three
/// scales, with gross errors and stated correlations.
fn random(seed: u64) -> Dossier {
    let mut draw = Draw(seed.wrapping_mul(0x9E37_79B9).wrapping_add(12_345));
    draw.next();
    let n = 3 + draw.below(28);
    let kinds = [
        ItemKind::Assembly,
        ItemKind::Assembly,
        ItemKind::Board,
        ItemKind::Part,
        ItemKind::Shell,
    ];
    let mut items = vec![item("i0", ItemKind::Product, None, 1)];
    for i in 1..n {
        let reach = if draw.chance(0.5) { i } else { i.min(4) };
        let parent = format!("i{}", draw.below(reach));
        let count = if draw.chance(0.2) {
            2 + draw.below(4) as u32
        } else {
            1
        };
        items.push(item(
            &format!("i{i}"),
            kinds[draw.below(5)],
            Some(&parent),
            count,
        ));
    }
    let mut dossier = dossier(items);
    dossier.instruments = vec![
        instrument("fine", "0.001 g", Some("0.003 g")),
        instrument("pocket", "0.01 g", Some("0.03 g")),
        instrument("kitchen", "0.1 g", Some("0.05 %")),
    ];
    let rows = piece_rows(&dossier);
    let truth: Vec<f64> = rows[0].iter().map(|_| 0.2 + 20.0 * draw.next()).collect();
    let share = 0.3 + 0.7 * draw.next();
    for i in 0..n {
        while draw.chance(share) && dossier.readings.len() < 24 {
            let pieces = if draw.chance(0.2) {
                1 + draw.below(4) as u32
            } else {
                1
            };
            let mut without = Vec::new();
            while draw.chance(0.2) {
                without.push(format!("i{}", draw.below(n)));
            }
            let (scale, half, digits) = [
                (Some("fine"), 0.003, 3),
                (Some("pocket"), 0.02, 2),
                (Some("pocket"), 0.02, 2),
                (Some("kitchen"), 0.1, 1),
                (None, 0.02, 2),
            ][draw.below(5)];
            let mut probe = reading(String::new(), &format!("i{i}"), "1 g", None);
            (probe.pieces, probe.without) = (Some(pieces), without.clone());
            let on_scale = row_of(&dossier, &rows, &probe);
            let mut mass: f64 = on_scale.iter().zip(&truth).map(|(n, m)| n * m).sum();
            mass += half * (2.0 * draw.next() - 1.0);
            if draw.chance(0.05) {
                mass += 2.0 * draw.next();
            }
            let id = format!("r{}", dossier.readings.len());
            let text = if draw.chance(0.1) {
                format!("{mass:.3} ± 0.015 g")
            } else {
                format!("{mass:.digits$} g")
            };
            let mut taken = reading(id, &format!("i{i}"), &text, scale);
            (taken.pieces, taken.without) = (probe.pieces, probe.without);
            dossier.readings.push(taken);
        }
    }
    let m = dossier.readings.len();
    for _ in 0..draw.below(3) {
        if m > 1 {
            dossier.correlations.push(Correlation {
                between: [format!("r{}", draw.below(m)), format!("r{}", draw.below(m))],
                coefficient: 0.9 * draw.next() - 0.2,
                because: None,
            });
        }
    }
    dossier
}

/// The pieces on the scale, by the rule of the record: nothing is taken out twice.
fn row_of(dossier: &Dossier, rows: &[Vec<f64>], reading: &Reading) -> Vec<f64> {
    let at = |id: &str| dossier.items.iter().position(|i| i.id == id).unwrap();
    let pieces = f64::from(reading.pieces.unwrap_or(1));
    let mut row: Vec<f64> = rows[at(&reading.item)].iter().map(|x| x * pieces).collect();
    for gone in &reading.without {
        let count = f64::from(dossier.items[at(gone)].count);
        for (x, y) in row.iter_mut().zip(&rows[at(gone)]) {
            *x = (*x - count * pieces * y).max(0.0);
        }
    }
    row
}

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
    let input = |r: &Reading| basis::reading_input(dossier, r, "mass").distribution;
    let shown: Vec<f64> = used.iter().map(|r| input(r).mean() * 1000.0).collect();
    let u: Vec<f64> = used.iter().map(|r| input(r).sd() * 1000.0).collect();
    let correlation = DMatrix::from_fn(used.len(), used.len(), |i, j| {
        basis::correlation(dossier, used[i], used[j])
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
                        place == format!("reading:{}", solution.weighings[j].reading)
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
            let pieces = f64::from(dossier.items[i].count);
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
