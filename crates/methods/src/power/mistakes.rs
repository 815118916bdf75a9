//! Slips in the power links, named at every end.
//!
//! In: a dossier. Out: what cannot be so, with the items where it shows. Not here: voltages and currents (`power`).

use crate::cells::is_cell;
use crate::words::{listed, the};
use crate::{Case, Known};
use record::{Dossier, Item};

/// A slip in the power links.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mistake {
    /// What cannot be so, and what to do.
    pub text: String,
    /// The items where it shows (ids).
    pub at: Vec<String>,
}

/// Lists slips in the power links: cells fed by nothing, rings, chargers with two limits.
pub fn mistakes(dossier: &Dossier) -> Vec<Mistake> {
    let known = Known::default();
    let case = Case::new(dossier, &known);
    let network = case.network();
    let mut found = Vec::new();
    let any = network.items().next().is_some();
    let cells = dossier.items.iter().filter(|i| is_cell(i));
    for cell in cells.filter(|cell| any && !network.is_fed(cell) && !is_primary(cell)) {
        found.push(Mistake {
            text: format!(
                "Nothing feeds {}: link what charges it, or say that it is not charged",
                the(cell)
            ),
            at: vec![cell.id.clone()],
        });
    }
    found.extend(rings(&case));
    found.extend(dossier.items.iter().filter_map(two_limits));
    found
}

fn is_primary(cell: &Item) -> bool {
    crate::chemistry::is_rechargeable(cell) == Some(false)
}

/// Power that runs in a ring without a cell in it: each ring once.
fn rings(case: &Case<'_>) -> Vec<Mistake> {
    let network = case.network();
    let mut found: Vec<Mistake> = Vec::new();
    let mut done: Vec<String> = Vec::new();
    for start in network.items() {
        let mut way: Vec<&Item> = Vec::new();
        walk(case, start, &mut way, &mut done, &mut found);
    }
    found
}

fn walk<'d>(
    case: &Case<'d>,
    item: &'d Item,
    way: &mut Vec<&'d Item>,
    done: &mut Vec<String>,
    found: &mut Vec<Mistake>,
) {
    if let Some(from) = way.iter().position(|i| i.id == item.id) {
        let ring = &way[from..];
        found.push(Mistake {
            text: format!(
                "Power runs in a ring through {}: turn or remove one of these links",
                listed(ring.iter().map(|i| the(i)).collect())
            ),
            at: ring.iter().map(|i| i.id.clone()).collect(),
        });
        return;
    }
    // A cell is charged and gives: power through it is no ring.
    if done.contains(&item.id) || is_cell(item) {
        return;
    }
    way.push(item);
    for (next, _) in case.network().after(item) {
        walk(case, next, way, done, found);
    }
    way.pop();
    done.push(item.id.clone());
}

/// A charger whose limit stands in two places with two values.
fn two_limits(item: &Item) -> Option<Mistake> {
    let set = item.converts.as_ref()?.output_current_limit.as_ref()?;
    let rated = item.part.as_ref()?.ratings.get("charge-current-limit")?;
    let apart = set.high_si() < rated.low_si() || rated.high_si() < set.low_si();
    apart.then(|| Mistake {
        text: format!(
            "{} has two limits of its charge current, {set} as converter and {rated} as rating: keep one",
            the(item)
        ),
        at: vec![item.id.clone()],
    })
}
