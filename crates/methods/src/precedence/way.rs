//! What the way to an item asks for, and what it does to the product.
//!
//! In: a way and the steps on it. Out: the hardest tool, place, skill and fastening on it, heat, solvents, what must be
//! renewed, what breaks; each with how many steps do not say. Not here: what rules make of that (`repair`, `claims`).

use super::{Route, uses_heat, uses_solvent};
use crate::Case;
use ::repair::classes::Fastening;
use ::repair::tools;
use record::{
    Environment, Item, Renewal, RepairFactKind, Skill, SpareClass, Step, ToolClass, Undo, YesNo,
};
use serde::Deserialize as _;
use serde::de::IntoDeserializer as _;
use serde::de::value::{Error, StrDeserializer};

/// The worst of what steps say; some may not say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Worst<T> {
    /// The worst that is said.
    pub least: Option<T>,
    /// Steps that do not say.
    pub open: usize,
}

impl<T: Copy + Ord> Worst<T> {
    fn of(each: impl Iterator<Item = Option<T>>) -> Self {
        let mut worst = Self {
            least: None,
            open: 0,
        };
        for said in each {
            worst.open += usize::from(said.is_none());
            worst.least = worst.least.max(said);
        }
        worst
    }

    /// Returns it where every step says so.
    pub fn known(self) -> Option<T> {
        self.least.filter(|_| self.open == 0)
    }

    /// Returns whether it is at most so bad: certainly, certainly not, or not known.
    pub fn at_most(self, limit: T) -> Option<bool> {
        match self.least {
            Some(worst) if worst > limit => Some(false),
            _ if self.open > 0 => None,
            _ => Some(true),
        }
    }
}

/// The way to an item with what it asks for. Steps are numbers in the record, from 0.
#[derive(Debug, Clone, PartialEq)]
pub struct WayTo<'d> {
    /// The item.
    pub item: &'d Item,
    /// The item that comes free at the end: the same, or one that it is in.
    pub freed: String,
    /// The way.
    pub route: Route,
    /// Tools.
    pub tools: Worst<ToolClass>,
    /// Working environment.
    pub environment: Worst<Environment>,
    /// Skill.
    pub skill: Worst<Skill>,
    /// What holds it.
    pub fastening: Worst<Fastening>,
    /// Steps that use heat.
    pub heat: Vec<usize>,
    /// Steps that use a solvent.
    pub solvent: Vec<usize>,
    /// What must be new when it goes back, with whether it can be had.
    pub renews: Vec<(String, Renewal)>,
    /// Steps that cannot be undone.
    pub ends: Vec<usize>,
}

impl<'d> WayTo<'d> {
    /// Finds the way to an item; `None` if no step frees it or what it is in, or steps wait for each other.
    pub fn find(case: &Case<'d>, item: &'d Item) -> Option<Self> {
        let precedence = case.precedence();
        if precedence.cycle().is_some() {
            return None;
        }
        let (route, freed) = precedence.route_to(case, &item.id)?;
        let steps = &case.dossier.steps;
        let on: Vec<(usize, &Step)> = route.steps.iter().map(|&i| (i, &steps[i])).collect();
        let those = |does: &dyn Fn(&Step) -> bool| -> Vec<usize> {
            on.iter()
                .filter(|(_, s)| does(s))
                .map(|(i, _)| *i)
                .collect()
        };
        let tool = |s: &Step| Some(tools::class(s)).filter(|c| *c != ToolClass::Unknown);
        Some(Self {
            item,
            freed,
            tools: Worst::of(on.iter().map(|(_, s)| tool(s))),
            environment: Worst::of(
                on.iter()
                    .map(|(_, s)| s.environment.filter(|e| *e != Environment::Unknown)),
            ),
            skill: Worst::of(
                on.iter()
                    .map(|(_, s)| s.skill.filter(|k| *k != Skill::Unknown)),
            ),
            fastening: Worst::of(on.iter().map(|(_, s)| Fastening::of(s))),
            heat: those(&uses_heat),
            solvent: those(&uses_solvent),
            renews: on.iter().flat_map(|(_, s)| renewed(case, s)).collect(),
            ends: those(&|s| s.undo == Undo::No),
            route,
        })
    }

    /// Returns whether the product goes back together: certainly, certainly not on this way, or not known.
    pub fn goes_back(&self, steps: &[Step]) -> Option<bool> {
        all(self.route.steps.iter().map(|&i| goes_back(&steps[i])))
    }

    /// Returns whether the part works only where the maker lets it; `None` where that is not known.
    pub fn lock(&self, case: &Case<'_>) -> Option<bool> {
        lock(case, &self.item.id)
    }
}

/// Returns whether a step goes back, with what it renews where that can be had.
pub(crate) fn goes_back(step: &Step) -> Option<bool> {
    match (step.undo, step.renewal) {
        (Undo::Yes, _) | (Undo::WithNewMaterial, Some(Renewal::WithPart | Renewal::Bought)) => {
            Some(true)
        }
        (Undo::No, _) | (Undo::WithNewMaterial, Some(Renewal::None)) => Some(false),
        (Undo::WithNewMaterial | Undo::Unknown, _) => None,
    }
}

/// Returns whether all hold: certainly, certainly not, or not known.
pub(crate) fn all(each: impl IntoIterator<Item = Option<bool>>) -> Option<bool> {
    let mut is = Some(true);
    for one in each {
        match one {
            Some(true) => {}
            Some(false) => return Some(false),
            None => is = None,
        }
    }
    is
}

/// Returns whether a part works only where the maker lets it, as the latest fact has it.
pub(crate) fn lock(case: &Case<'_>, item: &str) -> Option<bool> {
    let facts = case.dossier.repair_facts.iter();
    let facts = facts.filter(|f| f.what == RepairFactKind::SerialLock);
    let latest = facts
        .filter(|f| f.of.as_deref() == Some(item))
        .max_by_key(|f| f.date)?;
    match latest.is? {
        YesNo::Yes => Some(true),
        YesNo::No => Some(false),
        YesNo::Unknown => None,
    }
}

/// Returns which of the parts that regulations list an item is: as recorded, or as its class of spare part says.
pub(crate) fn spare_class(item: &Item) -> Option<SpareClass> {
    item.spare_class.or_else(|| {
        let spare = item
            .spare
            .as_deref()?
            .trim()
            .to_lowercase()
            .replace(' ', "-");
        let word: StrDeserializer<'_, Error> = spare.as_str().into_deserializer();
        SpareClass::deserialize(word).ok()
    })
}

/// What a step uses up: as recorded, otherwise what it destroys and needs anew.
fn renewed(case: &Case<'_>, step: &Step) -> Vec<(String, Renewal)> {
    if step.undo != Undo::WithNewMaterial {
        return Vec::new();
    }
    let had = step.renewal.unwrap_or(Renewal::Unknown);
    let names: Vec<String> = match step.renews.is_empty() {
        false => step.renews.clone(),
        true => step
            .destroys
            .iter()
            .map(|id| case.tree().name(id).to_string())
            .collect(),
    };
    names.into_iter().map(|name| (name, had)).collect()
}
