//! Until when something can still be measured.
//!
//! In: the steps and the tree of a case. Out: for an item: any time, before a step, or too late; the step
//! that first takes away what a test needs.
//! Not here: what is worth measuring.
//!
//! Each step is told once to what it touches and to all that holds it; asking about an item then looks at
//! the item and what it is in, not at the steps.

use crate::cells::is_cell;
use crate::{Case, Missing};
use record::{ItemKind, Place, Step, Undo};
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
        }
    }
}

/// What a measurement needs to be still there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Needs {
    /// The item, working as sold.
    Working,
    /// The item, whole.
    Piece,
    /// Nothing that a step takes away.
    Nothing,
}

/// The first step of those already done, and of those to come.
#[derive(Debug, Clone, Copy, Default)]
struct First {
    done: Option<usize>,
    planned: Option<usize>,
}

/// First steps by item.
type FirstOf = HashMap<String, First>;
/// The first step by item, done or not.
type StepOf = HashMap<String, usize>;

/// What the steps of a case end.
#[derive(Debug, Default)]
pub struct Deadlines {
    ids: Vec<String>,
    done: Vec<bool>,
    opened: FirstOf,
    damaged: FirstOf,
    freed: StepOf,
    piece: Touched,
    working: Touched,
}

/// Steps that touch items: what they name, and what holds something that they name.
#[derive(Debug, Default)]
struct Touched {
    any: Option<usize>,
    at: StepOf,
    holding: StepOf,
}

impl Touched {
    fn tell(&mut self, case: &Case<'_>, item: &str, step: usize) {
        self.any.get_or_insert(step);
        self.at.entry(item.to_string()).or_insert(step);
        for above in case.tree().upwards(item) {
            self.holding.entry(above.id.clone()).or_insert(step);
        }
    }

    /// Returns the first step that touches an item, something in it, or something it is in.
    fn first(&self, case: &Case<'_>, item: Option<&str>) -> Option<usize> {
        let Some(item) = item else {
            return self.any;
        };
        let own = self.at.get(item).into_iter();
        let above = case.tree().upwards(item).filter_map(|i| self.at.get(&i.id));
        let below = self.holding.get(item);
        own.chain(above).chain(below).min().copied()
    }
}

impl Deadlines {
    /// Tells every step to what it ends.
    pub(crate) fn of(case: &Case<'_>) -> Self {
        let steps = &case.dossier.steps;
        let mut found = Self {
            ids: steps.iter().map(|s| s.id.clone()).collect(),
            done: steps.iter().map(|s| s.done).collect(),
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
            if !consumable(id) {
                ends(&mut self.damaged, case, id, 0, at, done);
            }
            self.piece.tell(case, id, at);
            self.working.tell(case, id, at);
        }
        for id in &step.frees {
            self.freed.entry(id.clone()).or_insert(at);
            if step.undo != Undo::Yes {
                ends(&mut self.opened, case, id, 1, at, done);
            }
            if step.undo == Undo::No {
                ends(&mut self.damaged, case, id, 1, at, done);
            }
            if step.undo == Undo::No || case.item(id).is_some_and(is_cell) {
                self.working.tell(case, id, at);
            }
        }
        if step.undo == Undo::No
            && let Some(on) = &step.on
        {
            self.working.tell(case, on, at);
        }
    }

    /// Returns until when an item can be measured whole. A step ends that if it destroys the item or
    /// something in it, or takes something out of it in a way that cannot be put back as it was.
    pub fn before_opening(&self, item: &str) -> Chance {
        self.chance(self.opened.get(item))
    }

    /// Returns until when an item can be measured as far as its shape and working go. Only a step that
    /// destroys it or something in it, or opens it for good, ends that.
    pub fn before_damage(&self, item: &str) -> Chance {
        self.chance(self.damaged.get(item))
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

    /// Returns the first step (id) that takes away what a test of an item needs, and whether it is done;
    /// without an item, of the whole product.
    pub fn ends(&self, case: &Case<'_>, item: Option<&str>, needs: Needs) -> Option<(&str, bool)> {
        let touched = match needs {
            Needs::Nothing => return None,
            Needs::Piece => &self.piece,
            Needs::Working => &self.working,
        };
        let at = touched.first(case, item)?;
        Some((&self.ids[at], self.done[at]))
    }
}

/// Tells an item, `skip` levels up from the one named, and everything it is in that a step ends it.
fn ends(first: &mut FirstOf, case: &Case<'_>, id: &str, skip: usize, at: usize, done: bool) {
    let mut tell = |id: &str| {
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
    };
    for item in case.tree().upwards(id).skip(skip) {
        tell(&item.id);
    }
}
