//! Work and memory grow with the number of items, not with its square.

use super::super::solution::MassSolution;
use super::super::{NEAREST, adjusted};
use super::drawn::{Draw, reading};
use super::{dossier, item};
use record::{Dossier, Instrument, ItemKind};

/// Pieces in assemblies of eight, nested, with `deep` levels of assemblies that hold one assembly and one
/// piece each below the product; a quarter is weighed, all on one scale.
fn tree(items: usize, deep: usize) -> Dossier {
    let mut list = vec![item("i0", ItemKind::Product, None, 1)];
    let mut draw = Draw(7);
    let mut readings = vec![reading("r0".into(), "i0", "100.00 g", Some("scale"))];
    for i in 1..items {
        let parent = if i <= deep {
            i - 1
        } else {
            deep + (i - deep - 1) / 8
        };
        let is_assembly = i < deep + items / 8;
        let kind = if is_assembly {
            ItemKind::Assembly
        } else {
            ItemKind::Part
        };
        list.push(item(&format!("i{i}"), kind, Some(&format!("i{parent}")), 1));
        if draw.below(4) == 0 {
            readings.push(reading(
                format!("r{i}"),
                &format!("i{i}"),
                "1.00 g",
                Some("scale"),
            ));
        }
    }
    let mut dossier = dossier(list);
    dossier.instruments.push(Instrument {
        id: "scale".to_string(),
        name: "scale".to_string(),
        resolution: Some(quantity::Stated::parse("0.01 g").unwrap()),
        accuracy: Some(quantity::Stated::parse("0.03 g").unwrap()),
        repeatability: None,
        calibrated: None,
        note: None,
    });
    dossier.readings = readings;
    dossier
}

fn entries(solution: &MassSolution) -> usize {
    solution.fit().entries()
}

#[test]
fn the_factor_grows_with_the_tree() {
    for deep in [0, 300] {
        let (small, large) = (adjusted(&tree(1000, deep)), adjusted(&tree(4000, deep)));
        assert!(small.weighings.len() > 200);
        let ratio = entries(&large) as f64 / entries(&small) as f64;
        assert!(
            ratio < 4.4,
            "{} entries, then {}",
            entries(&small),
            entries(&large)
        );
        // A variable touches its row, the common error and what it lies in, no more.
        assert!(entries(&large) < 5 * 4000, "{}", entries(&large));
    }
}

/// A flat product, a chain, one thing weighed again and again.
#[test]
fn no_shape_fills_the_factor() {
    let mut flat = vec![item("p", ItemKind::Product, None, 1)];
    let mut chain = vec![item("i0", ItemKind::Product, None, 1)];
    for i in 1..2000 {
        flat.push(item(&format!("i{i}"), ItemKind::Part, Some("p"), 1));
        let kind = ItemKind::Assembly;
        chain.push(item(
            &format!("i{i}"),
            kind,
            Some(&format!("i{}", i - 1)),
            1,
        ));
    }
    let weigh = |mut d: Dossier, of: fn(usize) -> usize| {
        let list = &d.items;
        let taken = (0..2000).map(|i| reading(format!("r{i}"), &list[of(i)].id, "1.00 g", None));
        d.readings = taken.collect();
        adjusted(&d)
    };
    for (what, solution) in [
        ("flat", weigh(dossier(flat), |i| i)),
        ("chain", weigh(dossier(chain.clone()), |i| i)),
        ("again", weigh(dossier(chain), |i| i % 2)),
    ] {
        assert!(
            entries(&solution) <= 4 * 2000,
            "{what}: {}",
            entries(&solution)
        );
    }
}

/// Findings name a bounded number of readings for each mass, and do not write out a long sum.
#[test]
fn the_working_of_a_long_sum_is_bounded() {
    let mut items = vec![item("p", ItemKind::Product, None, 1)];
    items.extend((0..300).map(|i| item(&format!("i{i}"), ItemKind::Part, Some("p"), 1)));
    let mut d = dossier(items);
    let taken = (0..300).map(|i| reading(format!("r{i}"), &format!("i{i}"), "1.00 g", None));
    d.readings = taken.collect();
    let solution = adjusted(&d);
    assert!(solution.evidence("p").len() <= NEAREST);
    let findings = super::super::examine(&crate::Case::new(&d, &crate::Known::default())).unwrap();
    let figure = &findings[1].figures[0];
    assert_eq!(figure.inputs.len(), 1);
    let (mass, u) = solution.of("p").unwrap();
    assert!((mass - 300.0).abs() < 1e-9, "{mass}");
    assert!((figure.value - mass).abs() < 1e-9 && (figure.standard_uncertainty - u).abs() < 1e-9);
}
