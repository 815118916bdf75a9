//! The arithmetic of the index, against cases worked out apart from this program.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use proptest::prelude::*;
use record::{SpareClass, ToolClass};
use repair::classes::Fastening;
use repair::index::{Inputs, PARTS, Span, of_fastening, of_software, of_spares, of_steps, of_tool};

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
        parts: [[Span::of(points); 3]; 9],
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
    let index = Inputs::UNKNOWN.index();
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
    assert_eq!(of_spares(|_| Some(true)), Span::of(5));
    assert_eq!(
        of_spares(|class| Some(class == SpareClass::Display)),
        Span::of(1)
    );
    // The middle of the ladder was not found.
    assert_eq!(
        of_spares(|class| Some(class != SpareClass::Speaker)),
        Span::ANY
    );
    assert_eq!(of_spares(|_| None), Span::ANY);
}

proptest! {
    /// Knowing more never leads out of what was possible before.
    #[test]
    fn knowing_more_narrows(marks in prop::collection::vec(1_u32..=5, 30), known in prop::collection::vec(any::<bool>(), 30)) {
        let mark = |at: usize| if known[at] { Span::of(marks[at]) } else { Span::ANY };
        let full = |at: usize| Span::of(marks[at]);
        let made = |of: &dyn Fn(usize) -> Span| Inputs {
            parts: std::array::from_fn(|p| std::array::from_fn(|c| of(p * 3 + c))),
            rest: std::array::from_fn(|c| of(27 + c)),
        };
        let (wide, point) = (made(&mark).index(), made(&full).index());
        prop_assert!(wide.low <= point.low && point.high <= wide.high);
        prop_assert!(point.classes().iter().all(|c| wide.classes().contains(c)));
    }
}
