//! Fasteners undone: no more than there are, and each once.

use super::Contradiction;
use crate::words::counted;
use crate::{Cancelled, Case};
use record::{Place, Step};
use std::collections::BTreeMap;

const SO: &str = "The time to open it counts them";

/// Returns the steps that undo more than there is.
pub(super) fn found(case: &Case<'_>) -> Result<Vec<Contradiction>, Cancelled> {
    let mut found = Vec::new();
    // What is certainly undone of each, and by which steps.
    let mut undone: BTreeMap<&str, (u32, Vec<&Step>)> = BTreeMap::new();
    for step in &case.dossier.steps {
        case.go_on()?;
        let pieces: Option<Vec<u32>> = step.fasteners.iter().map(|id| pieces(case, id)).collect();
        let Some(pieces) = pieces.filter(|p| !p.is_empty()) else {
            continue;
        };
        let all = pieces.iter().fold(0, |sum: u32, n| sum.saturating_add(*n));
        let taken = step.fastener_count.unwrap_or(all);
        if taken > all {
            found.push(too_many(case, step, taken, all));
            continue;
        }
        for (id, own) in step.fasteners.iter().zip(pieces) {
            // Of several kinds together only what the others cannot make up is certain.
            let least = taken.saturating_sub(all - own);
            let entry = undone.entry(id).or_default();
            entry.0 = entry.0.saturating_add(least);
            entry.1.push(step);
        }
    }
    for (id, (taken, by)) in undone {
        let Some(there) = pieces(case, id).filter(|n| taken > *n) else {
            continue;
        };
        let names: Vec<String> = by.iter().map(|s| format!("“{}”", s.text)).collect();
        found.push(Contradiction {
            rule: "undone-twice",
            about: Place::item(id),
            subject: format!("when {} is undone", case.tree().name(id)),
            what: format!(
                "{} is undone in {}, {taken} in all, but there are {there}",
                case.tree().name(id),
                names.join(" and "),
            ),
            so: format!(
                "{SO} again each time. Correct `fasteners` or `fastener-count` of one step, or `count` of \
                 the item"
            ),
            places: by.iter().map(|s| Place::step(&s.id)).collect(),
            with: None,
        });
    }
    Ok(found)
}

/// Returns how many of a fastener the product holds, where that is stated.
fn pieces(case: &Case<'_>, id: &str) -> Option<u32> {
    case.tree().count(case.item(id)?).number()
}

fn too_many(case: &Case<'_>, step: &Step, taken: u32, all: u32) -> Contradiction {
    let names: Vec<&str> = step.fasteners.iter().map(|f| case.tree().name(f)).collect();
    Contradiction {
        rule: "more-than-there-are",
        about: Place::step(&step.id),
        subject: format!("how many fasteners “{}” undoes", step.text),
        what: format!(
            "The step “{}” undoes {}, but there {} {all} of {}",
            step.text,
            counted(taken, "fastener", "fasteners"),
            if all == 1 { "is" } else { "are" },
            names.join(" and "),
        ),
        so: format!("{SO}. Correct `fastener-count` of the step, or `count` of the item"),
        places: step.fasteners.iter().map(|f| Place::item(f)).collect(),
        with: None,
    }
}
