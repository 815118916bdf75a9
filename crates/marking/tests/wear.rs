//! Worn markings of real names are read as well as aimed at, and probabilities mean what they say.
//!
//! The names are those of the open symbol set as installed; the half on which prices were fitted is
//! not asked for here. docs/marking.md has the tables of this run (`wear_table FOLDER 2500`).

mod common;

use common::measure::{Half, Measured, measure, task};
use common::symbol_set;
use common::wear::Wear;
use marking::Costs;

const MARKINGS: usize = 2500;
/// Chosen before anything was measured with it.
const SEED: u64 = 5;

fn both(test: &str, wear: Wear) -> Option<[Measured; 2]> {
    let parts = symbol_set::installed(test)?;
    let task = task(&parts, Half::Measured, wear, MARKINGS, SEED);
    let asked = [false, true].map(|clues| measure(&task, Costs::default(), clues));
    for m in &asked {
        println!(
            "recall at 1 {:.4}, at 10 {:.4}, calibration error {:.4}",
            m.recall(m.first),
            m.recall(m.ten),
            m.top.error()
        );
    }
    Some(asked)
}

#[test]
fn worn_markings_are_read_as_aimed_at() {
    let Some([text, clues]) = both("worn_markings_are_read_as_aimed_at", Wear::Worn) else {
        return;
    };
    // The aim is 95 %. The standard error of 2500 markings is 0.45 points, so three of them below the aim
    // would be a loss and not chance.
    assert!(clues.recall(clues.first) >= 0.95 - 3.0 * 0.0045);
    assert!(clues.recall(clues.ten) >= 0.995);
    assert!(clues.top.error() <= 0.03, "{:?}", clues.top);
    assert!(text.top.error() <= 0.03, "{:?}", text.top);
}

/// Damage that the prices do not count on.
#[test]
fn markings_worn_otherwise_are_found() {
    let Some([text, clues]) = both("markings_worn_otherwise_are_found", Wear::Otherwise) else {
        return;
    };
    assert!(clues.recall(clues.first) >= 0.92);
    assert!(clues.recall(clues.ten) >= 0.99);
    assert!(text.recall(text.ten) >= 0.985);
    assert!(clues.top.error() <= 0.03, "{:?}", clues.top);
    assert!(text.top.error() <= 0.03, "{:?}", text.top);
}

/// Ways of wear on which nothing was fitted. Of [`Wear::AnyEdit`] nothing is asked: docs/marking.md
/// says how far off its probabilities are.
#[test]
fn probabilities_hold_for_wear_on_which_nothing_was_fitted() {
    for wear in [Wear::Rubbed, Wear::Mistyped] {
        let test = "probabilities_hold_for_wear_on_which_nothing_was_fitted";
        let Some([text, clues]) = both(test, wear) else {
            return;
        };
        assert!(clues.top.error() <= 0.03, "{:?}", clues.top);
        assert!(text.top.error() <= 0.03, "{:?}", text.top);
    }
}
