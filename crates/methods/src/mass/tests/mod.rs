//! Masses of small trees, from weighings given directly.

mod dense;
mod drawn;
mod growth;
mod random;

use super::next::best;
use super::solution::{MassSolution, Weighing};
use super::tree::Tree;
use jiff::civil::date;
use record::{Dossier, Item, ItemKind, Product};

fn item(id: &str, kind: ItemKind, parent: Option<&str>, count: u32) -> Item {
    Item {
        id: id.to_string(),
        name: id.to_string(),
        kind,
        parent: parent.map(String::from),
        count: record::Count::Of(count),
        role: None,
        role_origin: None,
        designator: None,
        spare: None,
        material: None,
        layers: None,
        size: Default::default(),
        part: None,
        cell: None,
        fastener: None,
        contact: None,
        converts: None,
        loads: Vec::new(),
        provides: Vec::new(),
        provides_origin: None,
        protects: Vec::new(),
        protects_origin: None,
        in_return_of: Vec::new(),
        evidence: Vec::new(),
        note: None,
    }
}

fn dossier(items: Vec<Item>) -> Dossier {
    Dossier {
        format: 1,
        product: Product {
            name: "Sample".to_string(),
            maker: "Nobody".to_string(),
            model: None,
            hardware_revision: None,
            firmware: None,
            condition: None,
            category: None,
            market: None,
            family: None,
            released: None,
            made: None,
            bought: None,
            opened: date(2026, 1, 1),
            analyst: None,
            price: None,
            identifiers: Vec::new(),
            labels: Vec::new(),
            accessories: Vec::new(),
            samples: Vec::new(),
            disclosure: None,
            note: None,
            complete: false,
            invented: true,
        },
        modes: Vec::new(),
        films: Vec::new(),
        pronunciations: Vec::new(),
        caption_rulings: Vec::new(),
        past_rulings: Vec::new(),
        instruments: Vec::new(),
        photos: Vec::new(),
        claims: Vec::new(),
        items,
        links: Vec::new(),
        steps: Vec::new(),
        logs: Vec::new(),
        readings: Vec::new(),
        measures: Vec::new(),
        correlations: Vec::new(),
        cost: None,
        prices: Vec::new(),
        rates: Vec::new(),
        recordings: Vec::new(),
    }
}

fn weigh(dossier: &Dossier, readings: &[(&str, f64, f64, f64)]) -> MassSolution {
    let tree = Tree::of(dossier);
    let weighings: Vec<Weighing> = readings
        .iter()
        .map(|&(id, pieces, shown, uncertainty)| Weighing {
            reading: format!("m-{id}"),
            item: id.to_string(),
            at: tree.find(id).unwrap(),
            pieces,
            pieces_given: true,
            incomplete: false,
            shown,
            uncertainty,
            limit_assumed: false,
            evidence: vec![record::Place::reading(&format!("m-{id}"))],
        })
        .collect();
    let sums = weighings.iter().map(|w| vec![(w.at, w.pieces)]).collect();
    let commons = vec![None; weighings.len()];
    MassSolution::of_weighings(tree, weighings, sums, &commons, &[])
}

fn two_levels() -> Dossier {
    dossier(vec![
        item("product", ItemKind::Product, None, 1),
        item("front", ItemKind::Assembly, Some("product"), 1),
        item("back", ItemKind::Shell, Some("product"), 1),
        item("rest", ItemKind::Other, Some("product"), 1),
        item("f1", ItemKind::Part, Some("front"), 1),
        item("f2", ItemKind::Part, Some("front"), 1),
        item("f3", ItemKind::Part, Some("front"), 1),
    ])
}

const GROSS: [(&str, f64, f64, f64); 7] = [
    ("product", 1.0, 251.30, 0.30),
    ("front", 1.0, 96.42, 0.10),
    ("back", 1.0, 110.15, 0.10),
    ("rest", 1.0, 44.60, 0.10),
    ("f1", 1.0, 40.02, 0.05),
    ("f2", 1.0, 33.75, 0.05),
    ("f3", 1.0, 20.11, 0.05),
];

fn near(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{found} is not {expected}"
    );
}

/// Source: example B of the reconciliation examples (two-level tree with a gross error), computed
/// there with numpy from the textbook formulas; here through the item tree.
#[test]
fn two_level_tree_is_adjusted_and_its_culprit_group_named() {
    let dossier = two_levels();
    let solution = weigh(&dossier, &GROSS);
    let expected = [
        ("product", 250.054625, 0.138293),
        ("front", 95.027875, 0.064226),
        ("back", 110.288375, 0.095525),
        ("rest", 44.738375, 0.095525),
        ("f1", 40.402625, 0.046098),
        ("f2", 34.132625, 0.046098),
        ("f3", 20.492625, 0.046098),
    ];
    let result = &solution.reconciled;
    for (j, (id, mass, u)) in expected.into_iter().enumerate() {
        assert_eq!(solution.weighings[j].item, id);
        near(result.adjusted[j], mass, 5e-7);
        near(result.variance[j].sqrt(), u, 5e-7);
    }
    near(solution.reconciled.chi_square, 390.545875, 5e-7);
    assert_eq!(solution.reconciled.degrees_of_freedom, 2);
    let z = [
        4.677929, 18.162444, -4.677929, -4.677929, -19.758670, -19.758670, -19.758670,
    ];
    for (found, expected) in solution.reconciled.z.iter().zip(z) {
        near(*found, expected, 5e-7);
    }
    let nodes = solution.nodes();
    assert_eq!(
        nodes.iter().map(|n| n.item).collect::<Vec<_>>(),
        [0, 1],
        "product and front"
    );
    near(nodes[0].residual, 0.13, 1e-9);
    near(nodes[1].residual, 2.54, 1e-9);
    near(nodes[0].z, 0.375278, 5e-7);
    near(nodes[1].z, 19.200595, 5e-7);
    assert_eq!(solution.alike(4), [4, 5, 6]);
    for (j, expected) in [(4, 42.570833), (5, 36.300833), (6, 22.660833)] {
        let suspect = solution.without(j).unwrap();
        near(suspect.should_be, expected, 5e-7);
        near(suspect.chi_square, 0.140833, 5e-7);
        assert_eq!(suspect.degrees_of_freedom, 1);
    }
    assert_eq!(solution.agree(), Some(false));
    // The group that cannot be told apart is set aside; the rest agrees and is adjusted without it.
    assert_eq!(solution.set_aside, [4, 5, 6]);
    assert!(solution.is_sound("front") && !solution.is_sound("f1"));
    near(solution.of("f1").unwrap().0, 40.02, 1e-12);
    near(
        solution.of("front").unwrap().0,
        96.42 + 0.13 * 0.01 / 0.12,
        1e-9,
    );
}

#[test]
fn the_piece_that_was_not_weighed_is_whole_minus_rest() {
    let dossier = two_levels();
    let readings: Vec<_> = GROSS
        .iter()
        .copied()
        .filter(|r| r.0 != "back" && r.0 != "front")
        .collect();
    let solution = weigh(&dossier, &readings);
    let (mass, u) = solution.of("back").unwrap();
    near(mass, 251.30 - 44.60 - 40.02 - 33.75 - 20.11, 1e-9);
    near(u, (0.09_f64 + 0.01 + 3.0 * 0.0025).sqrt(), 1e-12);
    assert!(solution.agree().is_none());
    assert_eq!(solution.evidence("f1"), [record::Place::reading("m-f1")]);
    assert_eq!(solution.evidence("back").len(), 5);
}

#[test]
fn two_pieces_missing_from_one_sum_stay_unknown() {
    let dossier = two_levels();
    let readings = [GROSS[0], GROSS[1], GROSS[4]];
    let solution = weigh(&dossier, &readings);
    assert!(solution.of("f2").is_none());
    assert!(solution.of("back").is_none());
    let next = best(&dossier, &solution, |_| true).unwrap();
    assert_eq!(
        next.newly_known.len(),
        2,
        "one weighing also gives its neighbour: {next:?}"
    );
}

#[test]
fn equal_pieces_weighed_together_share_the_uncertainty() {
    let dossier = dossier(vec![
        item("product", ItemKind::Product, None, 1),
        item("screw", ItemKind::Fastener, Some("product"), 4),
        item("shell", ItemKind::Shell, Some("product"), 1),
    ]);
    let solution = weigh(
        &dossier,
        &[("screw", 4.0, 0.48, 0.01), ("product", 1.0, 10.0, 0.01)],
    );
    let (screw, u) = solution.of("screw").unwrap();
    near(screw, 0.12, 1e-12);
    near(u, 0.0025, 1e-12);
    near(solution.of("shell").unwrap().0, 9.52, 1e-12);
}

#[test]
fn a_board_has_a_body_beside_its_parts() {
    let dossier = dossier(vec![
        item("product", ItemKind::Product, None, 1),
        item("board", ItemKind::Board, Some("product"), 1),
        item("chip", ItemKind::Part, Some("board"), 1),
    ]);
    let solution = weigh(
        &dossier,
        &[("board", 1.0, 2.0, 0.01), ("chip", 1.0, 0.1, 0.01)],
    );
    assert!(
        solution.agree().is_none(),
        "board and chip need not be equal"
    );
    near(solution.of("product").unwrap().0, 2.0, 1e-12);
}

#[test]
fn a_repeated_reading_is_averaged_by_its_weight() {
    let dossier = dossier(vec![item("product", ItemKind::Product, None, 1)]);
    let solution = weigh(
        &dossier,
        &[("product", 1.0, 10.0, 0.1), ("product", 1.0, 10.3, 0.2)],
    );
    let (mass, u) = solution.of("product").unwrap();
    near(
        mass,
        (10.0 / 0.01 + 10.3 / 0.04) / (1.0 / 0.01 + 1.0 / 0.04),
        1e-12,
    );
    near(u, (1.0_f64 / (1.0 / 0.01 + 1.0 / 0.04)).sqrt(), 1e-12);
    assert_eq!(solution.reconciled.degrees_of_freedom, 1);
}

#[test]
fn the_least_known_piece_is_worth_weighing_again() {
    let dossier = two_levels();
    let mut readings = GROSS;
    // The whole was read on a coarse scale and the back not at all: the whole decides both.
    readings[0].3 = 3.0;
    readings[4].2 = 42.56;
    let readings: Vec<_> = readings.into_iter().filter(|r| r.0 != "back").collect();
    let solution = weigh(&dossier, &readings);
    let next = best(&dossier, &solution, |_| true).unwrap();
    assert!(
        ["product", "back"].contains(&next.item.as_str()),
        "{next:?}"
    );
    assert!(next.variance_then < 0.1 * next.variance_now);
    // Weighing any other piece again would bring less than a hundredth.
    assert!(best(&dossier, &solution, |i| i.id != "product" && i.id != "back").is_none());
}

#[test]
fn a_cycle_of_parents_does_not_hang() {
    let dossier = dossier(vec![
        item("a", ItemKind::Assembly, Some("b"), 1),
        item("b", ItemKind::Assembly, Some("a"), 1),
    ]);
    assert!(Tree::of(&dossier).find("a").is_some());
    assert!(weigh(&dossier, &[("a", 1.0, 2.0, 0.1)]).of("a").is_some());
    assert!(super::tree::in_order(&dossier).is_empty());
}

/// A correlation of one leaves no doubt in a difference, of minus one none in a sum: no division by nothing.
#[test]
fn stated_correlations_of_one_are_borne() {
    for coefficient in [1.0, -1.0] {
        for second in ["10.00 ± 0.005 g", "10.30 ± 0.005 g"] {
            let mut dossier = dossier(vec![item("product", ItemKind::Product, None, 1)]);
            dossier.readings = vec![
                drawn::reading("a".into(), "product", "10.00 ± 0.005 g", None),
                drawn::reading("b".into(), "product", second, None),
            ];
            dossier.correlations.push(record::Correlation {
                between: ["a".to_string(), "b".to_string()],
                coefficient,
                because: None,
            });
            let solution = super::adjusted(&dossier);
            let (mass, u) = solution.of("product").unwrap();
            assert!((10.0..=10.3).contains(&mass) && u.is_finite(), "{mass} {u}");
            assert!(solution.reconciled.chi_square.is_finite());
        }
    }
}

#[test]
fn what_is_taken_out_with_its_holder_is_taken_out_once() {
    let dossier = dossier(vec![
        item("product", ItemKind::Product, None, 1),
        item("board", ItemKind::Board, Some("product"), 2),
        item("chip", ItemKind::Part, Some("board"), 3),
        item("case", ItemKind::Shell, Some("product"), 1),
    ]);
    let tree = Tree::of(&dossier);
    let [product, board, chip, case] = [0, 1, 2, 3];
    for without in [[chip, board], [board, chip], [board, board]] {
        let mut left = tree.remains(product, 1.0, &without);
        left.retain(|t| t.0 != chip || t.1.abs() > 0.0);
        // Product less both boards is the case: a chip counts for nothing.
        let chips: f64 = left.iter().map(|&(i, n)| n * [6.0, 3.0, 1.0, 0.0][i]).sum();
        assert_eq!(chips, 0.0, "{left:?}");
        assert!(left.contains(&(product, 1.0)) && left.contains(&(board, -2.0)));
    }
    assert!(tree.remains(product, 1.0, &[board, case]).is_empty());
    assert!(tree.remains(board, 1.0, &[product]).is_empty());
    // The body of the board is left without its chips.
    assert_eq!(
        tree.remains(board, 1.0, &[chip]),
        [(board, 1.0), (chip, -3.0)]
    );
    assert_eq!(tree.remains(case, 2.0, &[chip]), [(case, 2.0)]);
}
