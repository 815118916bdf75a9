//! Unknown parts that are kin of a known one: the same name with one thing changed.
//!
//! In: the cheapest alignment of a text with a known name. Out: the least price at which the text
//! is that of a name which differs from it in one place or at one end.
//!
//! Part numbers come in families, so a part that no catalogue holds mostly differs from one that it
//! holds in a digit, a letter or an ending. The change takes the place of the dearest thing that
//! wear had to explain; what is left is wear.
//! Limit: the alignment is that with the known name, not the cheapest with its kin.

use crate::model::align::{Pair, Target};
use crate::model::costs::{Costs, Milli};
use crate::model::query::Query;
use crate::symbol::symbol;

/// Returns the price of the text as that of a name with one change, for a text and a name aligned
/// as `pairs` at the price `aligned`.
pub(crate) fn price(
    query: &Query,
    target: Target<'_>,
    pairs: &[Pair],
    aligned: Milli,
    costs: &Costs,
) -> Milli {
    let missing = |p: &&Pair| matches!(p, Pair::Missing { .. });
    let added = |p: &&Pair| matches!(p, Pair::Added { .. });
    let (lead, tail) = (
        pairs.iter().take_while(missing).count(),
        pairs.iter().rev().take_while(missing).count(),
    );
    let (ahead, after) = (
        pairs.iter().take_while(added).count(),
        pairs.iter().rev().take_while(added).count(),
    );
    let mut dearest = [
        costs.lead(lead, target.prefix, query.gap_before),
        costs.tail(tail, target.suffix, query.gap_after),
        query.added(ahead, costs),
        query.added(after, costs),
    ]
    .into_iter()
    .max()
    .unwrap_or(0);
    let (mut spot, mut inside) = (0, 0);
    for pair in pairs {
        let price = match pair {
            Pair::Swapped { name, .. } => {
                let name = symbol(*name).map_or(0, usize::from);
                query.prices(spot, costs)[name]
            }
            Pair::Lost { .. } => costs.lost,
            Pair::Extra { .. } => costs.extra,
            _ => 0,
        };
        inside += usize::from(price > 0);
        dearest = dearest.max(price);
        spot += usize::from(!matches!(pair, Pair::Lost { .. } | Pair::Missing { .. }));
    }
    let rest = (aligned - dearest).max(0);
    let worn = if query.sharp && inside > 1 {
        costs.worn
    } else {
        0
    };
    rest + worn + costs.change
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::align::trace;
    use crate::symbol::Spelled;
    use record::marking::Seen;

    fn kin(text: &str, name: &str) -> (Milli, Milli, Costs) {
        let costs = Costs::default();
        let mut query = Query::default();
        query.set(Seen::parse(text).unwrap().lines[0].glyphs.iter(), &costs);
        let spelled = Spelled::of(name);
        let target = Target {
            symbols: &spelled.symbols,
            prefix: spelled.prefix,
            suffix: spelled.suffix,
        };
        let (aligned, pairs) = trace(&query, target, &spelled.chars, &costs);
        let kin = price(&query, target, &pairs, aligned, &costs);
        (aligned, kin, costs)
    }

    #[test]
    fn a_character_that_looks_like_no_other_is_a_change_of_the_name() {
        let (aligned, kin, costs) = kin("ZUC7702W4R", "ZUC770294R");
        assert_eq!((aligned, kin), (costs.other, costs.change));
    }

    #[test]
    fn another_ending_is_one_change() {
        let (aligned, kin, costs) = kin("ZUC7702", "ZUC7702MWQ");
        assert!(aligned > 0);
        assert_eq!(kin, costs.change);
    }

    #[test]
    fn without_a_difference_the_change_comes_on_top() {
        let (aligned, kin, costs) = kin("ZUC77?2", "ZUC7702");
        assert_eq!((aligned, kin), (0, costs.change));
    }
}
