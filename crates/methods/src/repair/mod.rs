//! Can it be repaired, and what do the rules on repair ask?
//!
//! In: steps, fasteners, tools and undo of a case, facts on spare parts, manuals and software, the analyst's own table of
//! times. Out: the way to each spare part and back; criteria of regulations, each with what the record shows and how surely
//! the rule is known; the index of phones and tablets, or what it can still be.
//! Not here: the order of steps (`precedence`); the rules and their arithmetic (crate `repair`); printed claims
//! (`claims`). Page: `docs/methods/repair.md`.

mod facts;
mod index;
mod rules;
mod shown;
mod spares;
mod timed;

use crate::precedence::{WayTo, spare_class};
use crate::{Answer, Cancelled, Case};
use record::Item;

/// A spare part and the way to it.
struct Spare<'d> {
    item: &'d Item,
    way: Option<WayTo<'d>>,
}

impl<'d> Spare<'d> {
    fn all(case: &Case<'d>, wanted: impl Fn(&Item) -> bool) -> Result<Vec<Self>, Cancelled> {
        let items = case.dossier.items.iter().filter(|item| wanted(item));
        items
            .map(|item| {
                case.go_on()?;
                Ok(Self {
                    item,
                    way: WayTo::find(case, item),
                })
            })
            .collect()
    }
}

/// Answers how the product is mended. A record without spare parts, cells and facts on repair gets no answer.
///
/// # Errors
/// [`Cancelled`] if the case is to be worked on no longer.
pub fn examine(case: &Case<'_>) -> Answer {
    let spares = Spare::all(case, |item| {
        item.spare.is_some() || spare_class(item).is_some()
    })?;
    let mut findings = Vec::new();
    findings.extend(spares::told(case, &spares));
    findings.extend(rules::battery(case)?);
    findings.extend(rules::phone(case, &spares));
    findings.extend(index::told(case, &spares));
    findings.extend(facts::told(case));
    Ok(findings)
}
