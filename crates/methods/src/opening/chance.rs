//! Until when something can still be measured.
//!
//! In: a dossier and an item. Out: any time, before a step, or too late.
//! Not here: what is worth measuring.

use crate::mass::tree::is_inside;
use record::{Dossier, ItemKind, Step, Undo};

/// Until when an item can be measured as it came.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Chance {
    /// No step ends it.
    AnyTime,
    /// It must happen before this step (id).
    Before(String),
    /// This step (id), already done, ended it.
    TooLate(String),
}

/// Returns until when `item` can be measured whole. A step ends that if it destroys the item or
/// something in it, or takes something out of it in a way that cannot be put back as it was.
pub fn before_opening(dossier: &Dossier, item: &str) -> Chance {
    let ends = |step: &Step| {
        let concerns = |id: &String| id == item || is_inside(dossier, id, item);
        let opens = step.frees.iter().any(|id| is_inside(dossier, id, item));
        step.destroys.iter().any(concerns) || (opens && step.undo != Undo::Yes)
    };
    chance(dossier, ends)
}

/// Returns until when `item` can be measured as far as its shape and working go. Only a step that
/// destroys it or something in it, or opens it for good, ends that.
pub fn before_damage(dossier: &Dossier, item: &str) -> Chance {
    let ends = |step: &Step| {
        let concerns = |id: &String| id == item || is_inside(dossier, id, item);
        let consumable = |id: &String| {
            dossier
                .item(id)
                .is_some_and(|i| matches!(i.kind, ItemKind::Adhesive | ItemKind::Fastener))
        };
        // Glue and screws can be replaced with new ones; what they held goes back as it was.
        step.destroys
            .iter()
            .any(|id| concerns(id) && !consumable(id))
            || (step.undo == Undo::No && step.frees.iter().any(|id| is_inside(dossier, id, item)))
    };
    chance(dossier, ends)
}

fn chance(dossier: &Dossier, ends: impl Fn(&Step) -> bool) -> Chance {
    if let Some(step) = dossier.steps.iter().find(|s| s.done && ends(s)) {
        return Chance::TooLate(step.id.clone());
    }
    match dossier.steps.iter().find(|s| !s.done && ends(s)) {
        Some(step) => Chance::Before(step.id.clone()),
        None => Chance::AnyTime,
    }
}

/// Returns whether `item` can be put on a scale by itself, now or after a step still to come: it is the
/// whole, or a step frees it before anything ends its being complete.
pub fn can_be_weighed(dossier: &Dossier, item: &str) -> bool {
    let at = |id: &str| dossier.steps.iter().position(|s| s.id == id);
    let end = match before_opening(dossier, item) {
        Chance::TooLate(_) => return false,
        Chance::Before(step) => at(&step).unwrap_or(usize::MAX),
        Chance::AnyTime => usize::MAX,
    };
    dossier.item(item).is_some_and(|i| i.parent.is_none())
        || dossier
            .steps
            .iter()
            .take(end)
            .any(|s| s.frees.iter().any(|id| id == item))
}
