//! Unknown parts that are variants of a known one: the same name with one thing changed.
//!
//! In: the cheapest alignment of a text with a known name. Out: the least price at which the text
//! is that of a name which differs from it in one place or at one end.
//!
//! Part numbers come in families, so a part that no catalogue holds mostly differs from one that it
//! holds in a digit, a letter or a missing end, seldom in characters that it has more. The change
//! takes the place of one thing that wear had to explain; what is left is wear. A changed character
//! costs what it tells: which place it is, and how rare it is between its neighbours in part numbers
//! (`model::unknown`). Wear minds no neighbours, so a character that no part number has there is
//! put down to wear.
//! Limit: the alignment is that with the known name, not the cheapest with its variant.

use crate::model::align::{Pair, Target};
use crate::model::costs::{Costs, MilliNat, milli};
use crate::model::query::{Query, Spot};
use crate::model::unknown::Unknown;
use crate::symbol::Symbol;

/// So many neighbours may be changed together: a voltage, a size, a pair of letters.
const MOST_TOGETHER: usize = 3;

/// Returns the price of the text as that of a name with one change, for a text and a name aligned
/// as `pairs` at the price `aligned`.
pub(crate) fn price(
    query: &Query,
    target: Target<'_>,
    pairs: &[Pair],
    aligned: MilliNat,
    costs: &Costs,
    unknown: &Unknown,
) -> MilliNat {
    let variant = costs.variant;
    // A change, and what it saves of the wear.
    let (mut least, mut saves_most) = (variant.same, 0);
    // What neighbours exchanged save is no more than they cost.
    let mut take = |change: MilliNat, saved: MilliNat| {
        let saved = saved.min(aligned);
        if change - saved < least {
            (least, saves_most) = (change - saved, saved);
        }
    };
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
    for (change, saved) in [
        (
            variant.ending,
            costs.lead(lead, target.prefix, query.gap_before),
        ),
        (
            variant.ending,
            costs.tail(tail, target.suffix, query.gap_after),
        ),
        (variant.more(ahead), query.added(ahead, costs)),
        (variant.more(after), query.added(after, costs)),
    ] {
        if saved > 0 {
            take(change, saved);
        }
    }
    let (mut spot, mut place, mut inside) = (0, 0, 0);
    // Neighbours that differ may have been changed together: what that costs and saves.
    let (mut together, mut saves, mut run) = (variant.place, 0, 0);
    for pair in pairs {
        let mut changed = None;
        let worn = match pair {
            Pair::Swapped { .. } | Pair::Open { .. } => {
                let own = target.symbols.get(place).copied().unwrap_or(0);
                let price = query.prices(spot, costs)[usize::from(own)];
                let context = |seen: &[Symbol]| unknown.instead(target.symbols, place, seen);
                let context = match &query.spots[spot] {
                    Spot::Read(seen) => context(&[*seen]),
                    Spot::OneOf(choices) => context(choices),
                    // Nothing shows that it is this place, of all, that differs.
                    Spot::Any => (query.len() as f64).ln(),
                };
                changed = Some((milli(context), price));
                price
            }
            Pair::Lost { .. } => {
                take(variant.inside, costs.lost);
                costs.lost
            }
            Pair::Extra { .. } => {
                take(variant.inside, costs.extra);
                costs.extra
            }
            _ => 0,
        };
        match changed {
            Some((context, price)) if run < MOST_TOGETHER => {
                take(variant.place.saturating_add(context), price);
                together = together.saturating_add(context);
                (saves, run) = (saves + price, run + 1);
                take(together, saves);
            }
            _ => (together, saves, run) = (variant.place, 0, 0),
        }
        inside += usize::from(worn > 0);
        spot += usize::from(!matches!(pair, Pair::Lost { .. } | Pair::Missing { .. }));
        place += usize::from(!matches!(pair, Pair::Extra { .. } | Pair::Added { .. }));
    }
    let worn = if query.sharp && inside > 1 {
        costs.worn
    } else {
        0
    };
    let left = aligned - saves_most;
    ((aligned + least).max(0) + worn - costs.relief(left)).max(0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::align::trace;
    use crate::symbol::EncodedName;
    use record::marking::Seen;

    /// Price of the alignment, price as a variant of the name, and the prices.
    fn variant(text: &str, name: &str) -> (MilliNat, MilliNat, Costs) {
        let costs = Costs::default();
        let mut query = Query::default();
        query.set(Seen::parse(text).unwrap().lines[0].glyphs.iter(), &costs);
        let spelled = EncodedName::of(name);
        let target = Target {
            symbols: &spelled.symbols,
            prefix: spelled.prefix,
            suffix: spelled.suffix,
        };
        let names = ["ZUC770294R", "ZUC770304R", "ZUC771114R", "ZUC7702MWQ"];
        let names = names.map(|n| EncodedName::of(n).symbols);
        let unknown = Unknown::new(names.iter().map(Vec::as_slice));
        let (aligned, pairs) = trace(&query, target, &spelled.chars, &costs);
        let variant = price(&query, target, &pairs, aligned, &costs, &unknown);
        (aligned, variant, costs)
    }

    #[test]
    fn a_character_that_other_names_have_there_is_a_change_of_the_name() {
        let (aligned, common, costs) = variant("ZUC771294R", "ZUC770294R");
        assert_eq!(aligned, costs.other);
        assert!(common < costs.variant.place + 3000, "{common}");
        let (_, rare, _) = variant("ZUC77W294R", "ZUC770294R");
        assert!(rare > common + 1000, "{rare} {common}");
    }

    #[test]
    fn a_character_more_inside_is_wear_rather_than_a_change() {
        let (aligned, variant, costs) = variant("ZUC77W0294R", "ZUC770294R");
        assert_eq!((aligned, variant), (costs.extra, costs.variant.inside));
        assert!(variant > aligned);
    }

    #[test]
    fn an_end_missing_is_one_change() {
        let (aligned, variant, costs) = variant("ZUC7702", "ZUC7702MWQ");
        assert!(aligned > 0);
        assert_eq!(variant, costs.variant.ending);
    }

    #[test]
    fn an_unreadable_character_may_be_the_one_that_differs() {
        let (aligned, variant, costs) = variant("ZUC77?294R", "ZUC770294R");
        assert_eq!(
            (aligned, variant),
            (0, costs.variant.place + milli(10_f64.ln()))
        );
    }

    #[test]
    fn without_a_difference_the_change_comes_on_top() {
        let (aligned, variant, costs) = variant("ZUC770294R", "ZUC770294R");
        assert_eq!((aligned, variant), (0, costs.variant.same));
    }
}
