//! The arithmetic of the index, against cases worked out apart from this program.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use proptest::prelude::*;
use record::{SpareClass, ToolClass};
use repair::classes::Fastening;
use repair::index::{
    FOLDING, Informed, Inputs, PARTS, Span, Weights, of_fastening, of_information, of_software,
    of_spares, of_steps, of_tool,
};

#[track_caller]
fn check(inputs: &Inputs, criteria: [f64; 3], points: &str, class: char) {
    let index = inputs.index();
    for (found, wanted) in index.criteria.iter().zip(criteria) {
        assert_eq!(found.points(), (wanted, wanted));
    }
    assert!(index.is_settled());
    assert_eq!(format!("{:.2}", index.points().0), points);
    assert_eq!(index.classes(), [class]);
}

fn all(points: u32) -> Inputs {
    Inputs {
        parts: vec![[Span::of(points); 3]; 9],
        weights: Weights::Flat,
        rest: [Span::of(points); 3],
    }
}

/// Source: hand arithmetic with the weights; the sum of all worst marks is 1.0000000000000002 in binary fractions.
#[test]
fn the_best_and_the_worst() {
    check(&all(5), [5.0; 3], "5.00", 'A');
    check(&all(1), [1.0; 3], "1.00", 'E');
}

/// Source: a case worked out by hand and by another program: battery 6 steps, display 9, cover 2, cameras 12, port 15,
/// buttons 16, microphone 15, speaker 11.
#[test]
fn a_phone_between() {
    let steps = [6, 9, 2, 12, 12, 15, 16, 15, 11];
    let mut inputs = all(3);
    for (at, n) in steps.into_iter().enumerate() {
        let held = match at {
            0..=2 => Fastening::Resupplied,
            6 => Fastening::Removable,
            _ => Fastening::Reusable,
        };
        let tool = if at == 6 {
            ToolClass::Commercial
        } else {
            ToolClass::Basic
        };
        inputs.parts[at] = [of_steps(n), of_fastening(Some(held)), of_tool(tool)];
    }
    check(&inputs, [2.85, 3.40, 3.85], "3.15", 'C');
}

#[test]
fn weights_add_up() {
    assert_eq!(PARTS.iter().map(|(_, w)| w).sum::<u32>(), 100);
}

#[test]
fn what_is_not_known_leaves_every_class_open() {
    let index = Inputs::unknown(Weights::Flat).index();
    assert_eq!(index.points(), (1.0, 5.0));
    assert_eq!(index.classes(), ['A', 'B', 'C', 'D', 'E']);
}

#[test]
fn a_limit_belongs_to_the_better_class() {
    // 4.00 from marks of 4 alone.
    assert_eq!(all(4).index().classes(), ['A']);
    let mut below = all(4);
    below.rest[0] = Span::stated(3.99);
    assert_eq!(below.index().classes(), ['B']);
}

#[test]
fn years_and_spares() {
    assert_eq!(of_software(7.0), Span::of(5));
    assert_eq!(of_software(6.9), Span::of(3));
    assert_eq!(of_software(5.0), Span::of(1));
}

/// Source: the order of the rungs, display, battery, back cover, cameras, all, as a public summary gives it; five rungs for
/// five points leave one point to each.
#[test]
fn spare_parts_climb_a_ladder() {
    let listed = PARTS.map(|(class, _)| class);
    let so_far = |n: usize| of_spares(&listed, |class| Some(listed[..n].contains(&class)));
    let up = listed
        .iter()
        .enumerate()
        .map(|(at, _)| so_far(at + 1).points());
    let order = [
        SpareClass::Battery,
        SpareClass::Display,
        SpareClass::BackCover,
    ];
    assert_eq!(listed[..3], order);
    let found: Vec<(f64, f64)> = up.collect();
    // The battery alone is below the ladder. One camera of two may make the rung or not.
    let wanted = [1, 2, 3, 3, 4, 4, 4, 4, 5].map(f64::from);
    for (at, (low, _)) in found.iter().enumerate() {
        assert_eq!(*low, wanted[at], "{at}");
    }
    assert_eq!(found[3], (3.0, 4.0));
    assert_eq!(of_spares(&listed, |_| Some(false)), Span::of(1));
    assert_eq!(of_spares(&listed, |_| None), Span::ANY);
    let display_known = |class| (class == SpareClass::Battery).then_some(false);
    // Without a battery no more than the display counts.
    assert_eq!(of_spares(&listed, display_known), Span::of(1));
}

/// Source: the order of the three rungs, as a public summary gives it.
#[test]
fn instructions_for_everybody_earn_most() {
    assert_eq!(of_information(Informed::Users), Span::of(5));
    assert_eq!(of_information(Informed::RepairersPay), Span::of(1));
    let between = of_information(Informed::RepairersFree);
    assert_eq!(between.points(), (2.0, 4.0));
}

/// Source: worked out by hand: all parts alike give their points whatever the weights are.
#[test]
fn a_phone_that_folds_without_weights() {
    let alike = Inputs {
        parts: vec![[Span::of(4); 3]; 10],
        weights: Weights::FoldingOrder,
        rest: [Span::of(4); 3],
    };
    assert_eq!(alike.index().points(), (4.0, 4.0));
    // A hinge that earns 1 where all else earns 5 weighs at most a third, where battery, display and hinge weigh all.
    let mut hinge = alike;
    hinge.parts = vec![[Span::of(5); 3]; 10];
    hinge.parts[2] = [Span::of(1); 3];
    let (low, high) = hinge.index().criteria[0].points();
    assert_eq!((low, high), (3.66, 5.0));
}

/// Source: hand arithmetic with weights made up for this test: 0.25 × 5 + 0.75 × 1.
#[test]
fn weights_that_were_read_are_used() {
    let percent = [25.0, 25.0, 15.0, 5.0, 5.0, 5.0, 5.0, 5.0, 5.0, 5.0];
    let weights = Weights::folding(&percent).unwrap();
    let mut parts = vec![[Span::of(1); 3]; 10];
    parts[0] = [Span::of(5); 3];
    let inputs = Inputs {
        parts,
        weights,
        rest: [Span::of(1); 3],
    };
    assert_eq!(inputs.index().criteria[0].points(), (2.0, 2.0));
    assert_eq!(Weights::folding(&percent[1..]), None);
    assert_eq!(Weights::folding(&[11.0; 10]), None);
}

proptest! {
    /// Knowing more never leads out of what was possible before.
    #[test]
    fn knowing_more_narrows(marks in prop::collection::vec(1_u32..=5, 30), known in prop::collection::vec(any::<bool>(), 30)) {
        let mark = |at: usize| if known[at] { Span::of(marks[at]) } else { Span::ANY };
        let full = |at: usize| Span::of(marks[at]);
        let made = |of: &dyn Fn(usize) -> Span| Inputs {
            parts: (0..9).map(|p| std::array::from_fn(|c| of(p * 3 + c))).collect(),
            weights: Weights::Flat,
            rest: std::array::from_fn(|c| of(27 + c)),
        };
        let (wide, point) = (made(&mark).index(), made(&full).index());
        prop_assert!(wide.low <= point.low && point.high <= wide.high);
        prop_assert!(point.classes().iter().all(|c| wide.classes().contains(c)));
    }

    /// Whatever the weights of a phone that folds are, the index lies in the interval that their order leaves.
    #[test]
    fn the_order_holds_all_weights(marks in prop::collection::vec(1_u32..=5, 30), draws in prop::collection::vec(1_u32..1000, 10)) {
        let parts: Vec<[Span; 3]> = (0..10).map(|p| std::array::from_fn(|c| Span::of(marks[p * 3 + c]))).collect();
        let mut sorted = draws;
        sorted.sort_unstable_by(|a, b| b.cmp(a));
        let sum: u32 = sorted.iter().sum();
        let mut percent: Vec<f64> = sorted.iter().map(|one| (f64::from(*one) * 1e4 / f64::from(sum)).floor() / 100.0).collect();
        percent[0] += 100.0 - percent.iter().sum::<f64>();
        let made = |weights| Inputs { parts: parts.clone(), weights, rest: [Span::of(3); 3] };
        prop_assert_eq!(FOLDING.len(), percent.len());
        let (wide, point) = (made(Weights::FoldingOrder).index(), made(Weights::folding(&percent).unwrap()).index());
        prop_assert!(wide.low <= point.low && point.high <= wide.high, "{:?} {:?}", wide, point);
    }
}
