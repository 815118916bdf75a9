//! The estimate of what is not listed is of the right size.

mod common;

use common::{Dice, marking, parts};
use marking::{Clues, CostTable, Costs, Index, Scratch};
use record::marking::Seen;

/// Mean share of parts beyond the usual cut, by a table that cuts (almost) nothing, against the
/// mean estimate.
#[test]
fn the_unlisted_share_is_estimated_to_its_order_of_magnitude() {
    let mut dice = Dice(11);
    let parts = parts(3000, &mut dice);
    let usual = Index::of_parts(&parts, Costs::default());
    let mut table: CostTable = Costs::default().table().clone();
    table.prior.cut_share = 1e-12;
    table.prior.farthest = 40.0;
    let whole = Index::of_parts(&parts, Costs::new(table).unwrap());
    let mut scratch = Scratch::default();
    let (mut estimated, mut beyond, mut n) = (0.0, 0.0, 0.0);
    for _ in 0..150 {
        let text = marking(&parts[dice.below(parts.len())].name, &mut dice);
        let Ok(seen) = Seen::parse(&text) else {
            continue;
        };
        let answer = usual.read(&seen, &Clues::default(), &mut scratch);
        let all = whole.read_scoring_all(&seen, &Clues::default(), &mut scratch);
        let counted = |a: &marking::Answer| 1.0 - a.none - a.estimated;
        estimated += answer.estimated;
        // Shares of parts grow by what the cut had left out, as far as it is not estimated.
        beyond += (counted(&all) - counted(&answer)).abs();
        n += 1.0;
    }
    let (estimated, beyond) = (estimated / n, beyond / n);
    assert!(estimated < 0.05, "{estimated}");
    assert!(beyond < 0.05, "{beyond}");
}
