//! Until when something can still be measured.
//!
//! In: the steps and the tree of a case; an item and what a measurement of it needs, or a claim. Out: any
//! time, before a step, or too late. This is the only place that decides it.
//! Not here: what is worth measuring.
//!
//! Each step is told once to what it touches and to all that holds it; asking about an item then looks at
//! the item and what it is in, not at the steps.

use crate::{Case, Missing};
use record::{Claim, ClaimKind, ItemKind, Place, Step, Undo};
use std::collections::HashMap;

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

impl Chance {
    /// Makes the entry of something missing that can be measured until then.
    pub fn missing(self, measure: String, resolution: Option<&str>) -> Missing {
        let (before_step, too_late) = match self {
            Self::AnyTime => (None, false),
            Self::Before(step) => (Some(Place::step(&step)), false),
            Self::TooLate(step) => (Some(Place::step(&step)), true),
        };
        Missing {
            measure,
            resolution: resolution.map(String::from),
            before_step,
            too_late,
            settles: None,
        }
    }
}

/// What a measurement needs to be still there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Needs {
    /// The item complete and closed as it came: to weigh it, to measure it outside, to test what keeps out.
    Whole,
    /// The item in working order; it may have been opened, if it goes back together.
    Sound,
    /// Nothing that a step takes away.
    Nothing,
}

impl Needs {
    /// Returns what the measurement that settles a claim of a kind needs.
    fn of(kind: ClaimKind) -> Self {
        match kind {
            ClaimKind::Mass | ClaimKind::Dimension | ClaimKind::Ingress => Self::Whole,
            ClaimKind::Part
            | ClaimKind::Interface
            | ClaimKind::Radio
            | ClaimKind::Bands
            | ClaimKind::First
            | ClaimKind::Repair
            | ClaimKind::Leading
            | ClaimKind::Slogan
            | ClaimKind::Unknown => Self::Nothing,
            _ => Self::Sound,
        }
    }
}

/// The first step of those already done, and of those to come.
#[derive(Debug, Clone, Copy, Default)]
struct First {
    done: Option<usize>,
    planned: Option<usize>,
}

/// First steps by item.
type FirstOf = HashMap<String, First>;

/// What the steps of a case end.
#[derive(Debug, Default)]
pub struct Deadlines {
    ids: Vec<String>,
    opened: FirstOf,
    damaged: FirstOf,
    freed: HashMap<String, usize>,
}

impl Deadlines {
    /// Tells every step to what it ends.
    pub(crate) fn of(case: &Case<'_>) -> Self {
        let steps = &case.dossier.steps;
        let mut found = Self {
            ids: steps.iter().map(|s| s.id.clone()).collect(),
            ..Self::default()
        };
        for (at, step) in steps.iter().enumerate() {
            found.tell(case, step, at);
        }
        found
    }

    fn tell(&mut self, case: &Case<'_>, step: &Step, at: usize) {
        let consumable = |id: &str| {
            let kind = case.item(id).map(|i| i.kind);
            // Glue and screws can be replaced with new ones; what they held goes back as it was.
            matches!(kind, Some(ItemKind::Adhesive | ItemKind::Fastener))
        };
        let done = step.done;
        for id in &step.destroys {
            ends(&mut self.opened, case, id, 0, at, done);
            if !consumable(id) || step.undo == Undo::No {
                ends(&mut self.damaged, case, id, 0, at, done);
            }
            // What is in it goes with it, unless it is taken out of it.
            let within = case.tree().inside(id).into_iter();
            for item in within.filter(|i| !step.frees.contains(&i.id)) {
                end(&mut self.opened, &item.id, at, done);
                end(&mut self.damaged, &item.id, at, done);
            }
        }
        for id in &step.frees {
            self.freed.entry(id.clone()).or_insert(at);
            if step.undo != Undo::Yes {
                ends(&mut self.opened, case, id, 1, at, done);
            }
            if step.undo == Undo::No {
                ends(&mut self.damaged, case, id, 1, at, done);
            }
        }
        let on = step.on.as_ref().filter(|on| !step.frees.contains(on));
        if let (Some(on), Undo::No) = (on, step.undo) {
            ends(&mut self.opened, case, on, 0, at, done);
            ends(&mut self.damaged, case, on, 0, at, done);
        }
    }

    /// Returns until when a measurement of an item can be taken; without an item, of the whole product.
    ///
    /// A step ends the item's being whole if it destroys the item or something in it, or takes something
    /// out of it in a way that cannot be put back as it was. It ends its being sound only if what it
    /// destroys is more than glue or screws, or if it cannot be undone.
    pub fn until(&self, case: &Case<'_>, item: Option<&str>, needs: Needs) -> Chance {
        let steps = match needs {
            Needs::Nothing => return Chance::AnyTime,
            Needs::Whole => &self.opened,
            Needs::Sound => &self.damaged,
        };
        let item = item.or_else(|| case.tree().root().map(|r| r.id.as_str()));
        self.chance(item.and_then(|id| steps.get(id)))
    }

    /// Returns until when the measurement that settles a claim can be taken. Of a claim on charge or energy
    /// the cell alone is needed.
    pub fn of_claim(&self, case: &Case<'_>, claim: &Claim) -> Chance {
        let said = claim.says.item.as_deref();
        let of_cell = matches!(claim.kind, ClaimKind::Capacity | ClaimKind::Energy);
        let item = match case.supplies().cells_of(said) {
            [cell] if of_cell && claim.at_voltage.is_none() => Some(cell.id.as_str()),
            _ => said,
        };
        self.until(case, item, Needs::of(claim.kind))
    }

    fn chance(&self, first: Option<&First>) -> Chance {
        match first {
            Some(First { done: Some(at), .. }) => Chance::TooLate(self.ids[*at].clone()),
            Some(First {
                planned: Some(at), ..
            }) => Chance::Before(self.ids[*at].clone()),
            _ => Chance::AnyTime,
        }
    }

    /// Returns whether an item can be put on a scale by itself, now or after a step still to come: it is
    /// the whole, or a step frees it before anything ends its being complete.
    pub fn can_be_weighed(&self, case: &Case<'_>, item: &str) -> bool {
        let end = match self.opened.get(item) {
            Some(First { done: Some(_), .. }) => return false,
            Some(First { planned, .. }) => planned.unwrap_or(usize::MAX),
            None => usize::MAX,
        };
        case.item(item).is_some_and(|i| i.parent.is_none())
            || self.freed.get(item).is_some_and(|at| *at < end)
    }
}

/// Tells an item, `skip` levels up from the one named, and everything it is in that a step ends it.
fn ends(first: &mut FirstOf, case: &Case<'_>, id: &str, skip: usize, at: usize, done: bool) {
    for item in case.tree().upwards(id).skip(skip) {
        end(first, &item.id, at, done);
    }
}

/// Tells one item that a step ends it.
fn end(first: &mut FirstOf, id: &str, at: usize, done: bool) {
    let entry = match first.get_mut(id) {
        Some(entry) => entry,
        None => first.entry(id.to_string()).or_default(),
    };
    let slot = if done {
        &mut entry.done
    } else {
        &mut entry.planned
    };
    slot.get_or_insert(at);
}
