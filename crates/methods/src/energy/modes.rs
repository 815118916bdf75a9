//! Whether the currents recorded for a mode of use are all that flows in it.
//!
//! In: a cell, a mode, the loads recorded. Out: all of it, or a part and why.
//! Not here: amperes.

use super::draw::mode_is;
use super::supplies::Fed;
use crate::Case;
use crate::cells::is_cell;
use crate::words::{called, listed};
use record::{Item, ItemKind, Mode};
use std::collections::HashSet;

/// How much of what flows in a mode is recorded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Whole {
    /// All of it: measured at the cell, or said to be complete.
    Yes,
    /// All of it as far as the record goes: every consumer behind the cell states a current.
    AsRecorded,
    /// A part, with the reason: run times are upper bounds.
    Part(String),
}

/// Returns what the record says of a mode.
pub(crate) fn entry<'d>(case: &Case<'d>, mode: &str) -> Option<&'d Mode> {
    case.dossier.modes.iter().find(|m| mode_is(&m.name, mode))
}

/// Returns whether the loads of a cell in a mode are all that flows.
pub(super) fn whole(case: &Case<'_>, cell: &Item, mode: &str, loads: &[&Fed<'_>]) -> Whole {
    match entry(case, mode).and_then(|m| m.complete) {
        Some(true) => return Whole::Yes,
        Some(false) => {
            return Whole::Part(
                "the record says that not every current of this mode is known".into(),
            );
        }
        None => {}
    }
    let drawing: HashSet<&str> = loads.iter().map(|f| f.item.id.as_str()).collect();
    let component = |item: &Item| {
        !is_cell(item)
            && !matches!(
                item.kind,
                ItemKind::Board | ItemKind::Assembly | ItemKind::Product
            )
    };
    if let [only] = loads
        && component(only.item)
    {
        return Whole::Part(format!(
            "only the current of {} is recorded",
            called(only.item)
        ));
    }
    let mut named = HashSet::new();
    let ends = case.network().paths_from(cell).iter().map(|p| p.end());
    let silent = ends.filter(|end| {
        !is_cell(end)
            && end.contact.is_none()
            && !drawing.contains(end.id.as_str())
            && named.insert(end.id.as_str())
    });
    let silent: Vec<String> = silent.map(called).collect();
    if silent.is_empty() {
        return Whole::AsRecorded;
    }
    Whole::Part(format!("no current is recorded for {}", listed(silent)))
}
