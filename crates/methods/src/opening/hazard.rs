//! Cautions at the steps of opening.
//!
//! In: a case and one step. Out: sentences. They state usual practice and defer to local rules.
//! Not here: routes.

use crate::Case;
use crate::cells::{called, may_burn};
use crate::precedence::uses_heat;
use crate::words::{capital, the, the_start};
use record::{Action, Hazard, Item, Step};
use std::collections::{BTreeSet, HashMap};

/// What makes a step dangerous to a cell, in words; `None` if nothing.
fn threat(step: &Step) -> Option<&'static str> {
    match step.action {
        Action::Heat => Some("heat"),
        Action::Unsolder => Some("soldering heat"),
        Action::Pry => Some("a prying tool"),
        Action::Cut => Some("a blade"),
        Action::Dissolve => Some("solvent"),
        _ if uses_heat(step) => Some("heat"),
        _ if step.hazards.contains(&Hazard::Blade) => Some("a blade"),
        _ => None,
    }
}

/// How near a cell is to the work of a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Nearness {
    /// In the same part of the product.
    SamePart,
    /// Beside, inside, under or wired to what is worked on, or itself worked on.
    Beside,
    /// Itself worked on, out of the product already.
    Free,
}

/// The cells of a case that may burn, by where they are and by when they come free.
pub struct Cells<'d> {
    all: Vec<&'d Item>,
    in_part: HashMap<&'d str, Vec<usize>>,
    /// Cells joined by a link of any kind to an item.
    wired: HashMap<&'d str, Vec<usize>>,
    /// Cells that are parts of the product themselves.
    loose: Vec<usize>,
    /// The first step that frees each.
    freed: Vec<usize>,
}

impl<'d> Cells<'d> {
    /// Finds the cells of a case that may burn.
    pub fn of(case: &Case<'d>) -> Self {
        let all: Vec<&Item> = case.dossier.items.iter().filter(|i| may_burn(i)).collect();
        let number: HashMap<&str, usize> = all
            .iter()
            .enumerate()
            .map(|(n, c)| (c.id.as_str(), n))
            .collect();
        let mut found = Self {
            freed: vec![usize::MAX; all.len()],
            in_part: HashMap::new(),
            wired: HashMap::new(),
            loose: Vec::new(),
            all,
        };
        for (n, cell) in found.all.iter().enumerate() {
            let part = case.tree().part_of(&cell.id).map_or("", |p| p.id.as_str());
            found.in_part.entry(part).or_default().push(n);
            if part == cell.id {
                found.loose.push(n);
            }
        }
        for link in &case.dossier.links {
            for (a, b) in [(&link.from, &link.to), (&link.to, &link.from)] {
                if let Some(&n) = number.get(b.as_str()) {
                    found.wired.entry(a).or_default().push(n);
                }
            }
        }
        for (at, step) in case.dossier.steps.iter().enumerate() {
            for n in step.frees.iter().filter_map(|id| number.get(id.as_str())) {
                found.freed[*n] = found.freed[*n].min(at);
            }
        }
        found
    }

    /// Returns the cells still in place when step number `at` begins (those that no earlier step freed)
    /// that are near to what it works on.
    fn near(&self, case: &Case<'d>, at: usize) -> Vec<(&'d Item, Nearness)> {
        let Some(step) = case.dossier.steps.get(at) else {
            return Vec::new();
        };
        let named = step.on.iter().chain(&step.frees);
        let named = named.chain(&step.destroys).chain(&step.fasteners);
        let touched: Vec<&Item> = named.filter_map(|id| case.item(id)).collect();
        let mut candidates: BTreeSet<usize> = BTreeSet::new();
        let parts: Vec<Option<&str>> = touched
            .iter()
            .map(|i| case.tree().part_of(&i.id).map(|p| p.id.as_str()))
            .collect();
        let everywhere = touched.is_empty() || parts.contains(&None);
        if everywhere {
            candidates.extend(0..self.all.len());
        }
        for part in parts.iter().flatten() {
            candidates.extend(self.in_part.get(part).into_iter().flatten());
        }
        for item in &touched {
            candidates.extend(self.wired.get(item.id.as_str()).into_iter().flatten());
            if case
                .tree()
                .part_of(&item.id)
                .is_some_and(|p| p.id == item.id)
            {
                // A part of the product stands beside the other parts.
                candidates.extend(&self.loose);
            }
        }
        // A cell that is out already is worked on only where the step names it.
        let is_named = |n: usize| touched.iter().any(|item| item.id == self.all[n].id);
        let in_place = candidates
            .into_iter()
            .filter(|n| self.freed[*n] >= at || is_named(*n));
        let judged = in_place.filter_map(|n| {
            let cell = self.all[n];
            let beside = touched.iter().any(|i| self.beside(case, i, n));
            let here = case.tree().part_of(&cell.id).map(|p| p.id.as_str());
            let near = everywhere || parts.contains(&here);
            let nearness = match (beside, near) {
                _ if self.freed[n] < at => Nearness::Free,
                (true, _) => Nearness::Beside,
                (false, true) => Nearness::SamePart,
                (false, false) => return None,
            };
            Some((cell, nearness))
        });
        judged.collect()
    }

    /// Returns whether a cell that an earlier step had in reach is still in place, near what this one works on: until
    /// it is out it stays in reach, whatever is done.
    fn still_in_reach(&self, case: &Case<'d>, at: usize) -> bool {
        let steps = case.dossier.steps.iter().take(at).enumerate();
        let reached: BTreeSet<&str> = steps
            .filter(|(_, step)| step.hazards.contains(&Hazard::LithiumCell))
            .flat_map(|(before, _)| self.near(case, before))
            .map(|(cell, _)| cell.id.as_str())
            .collect();
        let near = || self.near(case, at).into_iter();
        !reached.is_empty()
            && near().any(|(cell, how)| how != Nearness::Free && reached.contains(cell.id.as_str()))
    }

    /// Returns whether a cell is worked on, or beside, inside, under or wired to an item worked on.
    fn beside(&self, case: &Case<'d>, item: &Item, n: usize) -> bool {
        let cell = self.all[n];
        let sibling = item.parent.is_some() && item.parent == cell.parent;
        let wired = self.wired.get(item.id.as_str());
        item.id == cell.id
            || sibling
            || wired.is_some_and(|cells| cells.contains(&n))
            || case.tree().is_inside(&item.id, &cell.id)
            || cell.parent.as_deref() == Some(&item.id)
    }
}

/// Returns the cautions at step number `at`.
pub fn cautions<'d>(case: &Case<'d>, cells: &Cells<'d>, at: usize) -> Vec<String> {
    let Some(step) = case.dossier.steps.get(at) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    if let Some(threat) = threat(step) {
        for (cell, near) in cells.near(case, at) {
            if let Some(danger) = case.dangers().get(&cell.id) {
                found.push(danger.caution(&cell.name));
                continue;
            }
            let temperature = step
                .temperature
                .as_ref()
                .map(|t| format!(" at {t}"))
                .unwrap_or_default();
            found.push(match near {
                Nearness::Beside => format!(
                    "{}{temperature} right next to {}, a {} that is still in place: do not pierce, \
                     bend or overheat it; free or shield it first if the product allows.",
                    capital(threat),
                    the(cell),
                    called(cell)
                ),
                Nearness::Free => format!(
                    "{}{temperature} at {}, a {}: do not pierce, bend or overheat it, out of the product as in it.",
                    capital(threat),
                    the(cell),
                    called(cell)
                ),
                Nearness::SamePart => format!(
                    "{}{temperature} while {}, a {}, is still in this part of the product: keep \
                     tool depth and temperature low.",
                    capital(threat),
                    the(cell),
                    called(cell)
                ),
            });
        }
    }
    let frees_cell = step
        .frees
        .iter()
        .filter_map(|id| case.item(id))
        .find(|i| may_burn(i));
    if let Some(cell) = frees_cell {
        found.extend(case.dangers().get(&cell.id).map(|d| d.caution(&cell.name)));
        found.push(format!(
            "{} is a {}: lift it without bending it, insulate its contacts at once, store it \
             apart from anything that burns.",
            the_start(cell),
            called(cell)
        ));
    }
    let mut hazards = step.hazards.clone();
    if !hazards.contains(&Hazard::LithiumCell) && cells.still_in_reach(case, at) {
        hazards.insert(0, Hazard::LithiumCell);
    }
    found.extend(hazards.iter().map(|h| hazard_words(*h).to_string()));
    found
}

fn hazard_words(hazard: Hazard) -> &'static str {
    match hazard {
        Hazard::LithiumCell => "Lithium cell in reach: no puncture, no bending, no short circuit.",
        Hazard::Heat => "Hot surfaces and fumes: gloves, ventilation, a stable rest for the tool.",
        Hazard::Blade => {
            "Blade: cut away from the hand and away from any cell; wear eye protection."
        }
        Hazard::ChargedCapacitor => {
            "Capacitors may stay charged: measure, discharge through a resistor, measure again."
        }
        Hazard::Mains => {
            "Mains voltage: unplugged, waited for, checked dead; energised work only by licensed people."
        }
        Hazard::Laser => "Laser: never run it open; do not look along the beam path.",
        Hazard::GlassSplinters => {
            "Glass may splinter: tape it over first, wear eye protection and gloves."
        }
        Hazard::Unknown => {
            "What is dangerous here was not looked into: expect a cell, stored charge and sharp edges."
        }
        Hazard::Solvent => "Solvent: gloves, ventilation, no flame or hot tool; keep it off cells.",
    }
}
