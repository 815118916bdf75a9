//! Cells that must not be charged, discharged or handled as if they were sound.
//!
//! In: a case. Out: which cells are in danger and why; what is said in place of a measurement that would
//! drive current through them. Not here: cautions at single steps (`opening`), transport (`cell`).
//! Usual practice; local rules, the cell maker's safety sheet and licensed practice come first.

use super::{is_cell, kilograms, litres};
use crate::assumed;
use crate::chemistry::{self, Family};
use crate::{Case, Finding, Missing};
use record::{CellCondition, Item};
use std::collections::HashMap;

/// Why a cell is not to be used.
#[derive(Debug, Clone, PartialEq)]
pub enum Danger {
    /// Recorded as swollen.
    Swollen,
    /// Recorded as leaking.
    Leaking,
    /// Recorded as damaged.
    Damaged,
    /// Weighs too little for its size; mass by volume, g/cm³.
    MayBeSwollen(f64),
}

impl Danger {
    /// Says it of the cell: `is recorded as swollen`.
    pub fn words(&self) -> String {
        match self {
            Self::Swollen => "is recorded as swollen".to_string(),
            Self::Leaking => "is recorded as leaking".to_string(),
            Self::Damaged => "is recorded as damaged".to_string(),
            Self::MayBeSwollen(density) => {
                format!("weighs only {density:.2} g/cm³ and may be swollen")
            }
        }
    }

    /// Returns the caution for a cell with a name.
    pub fn caution(&self, name: &str) -> String {
        let until = match self {
            Self::MayBeSwollen(_) => {
                " Its sizes may also take in more than the cell; until that is looked at, treat it as swollen."
            }
            _ => "",
        };
        format!(
            "Stop: {name} {}.{until} Do not press, bend, pierce, heat, charge, load or short-circuit it, and do \
             not pry or heat near it. Keep it apart from anything that burns, in the open or in a fire-proof \
             container, and do not breathe what comes out of it. Local rules and the cell maker's safety sheet \
             come first; leave its removal and disposal to licensed practice.",
            self.words()
        )
    }
}

/// The cells of a case that are in danger, by id.
#[derive(Debug, Default)]
pub struct Dangers(HashMap<String, Danger>);

impl Dangers {
    /// Looks at every cell.
    pub(crate) fn of(case: &Case<'_>) -> Self {
        let cells = case.dossier.items.iter().filter(|i| is_cell(i));
        let found = cells.filter_map(|item| Some((item.id.clone(), danger(case, item)?)));
        Self(found.collect())
    }

    /// Returns why a cell is in danger; `None` if nothing says so.
    pub fn get(&self, item: &str) -> Option<&Danger> {
        self.0.get(item)
    }
}

/// Returns the danger that is recorded.
fn recorded(item: &Item) -> Option<Danger> {
    match item.cell.as_ref()?.condition? {
        CellCondition::Swollen => Some(Danger::Swollen),
        CellCondition::Leaking => Some(Danger::Leaking),
        CellCondition::Damaged => Some(Danger::Damaged),
        CellCondition::Sound | CellCondition::Unknown => None,
    }
}

/// Returns whether a cell is not to be discharged for a measurement, as far as its own entry tells.
pub fn is_unfit(item: &Item) -> bool {
    recorded(item).is_some() || chemistry::is_rechargeable(item) == Some(false)
}

fn danger<'d>(case: &Case<'d>, item: &'d Item) -> Option<Danger> {
    if let Some(recorded) = recorded(item) {
        return Some(recorded);
    }
    let facts = item.cell.as_ref()?;
    let small = facts.energy.as_ref().map(|e| e.si()).or_else(|| {
        let (charge, volts) = (facts.capacity.as_ref()?, facts.nominal_voltage.as_ref()?);
        Some(charge.si() * volts.si())
    });
    let small = small.is_some_and(|e| e < assumed::SMALL_POUCH_MOST.si());
    let least = match facts.form.as_str() {
        "pouch" | "prismatic" if small => &assumed::SMALL_FLAT_MASS_DENSITY,
        "pouch" | "prismatic" => &assumed::FLAT_MASS_DENSITY,
        _ => return None,
    };
    let (kilograms, u_mass) = kilograms(case, item)?;
    let (litres, u_size) = litres(case, item)?;
    let smallest = litres - 2.0 * u_size;
    // A kilogram per litre is a gram per cubic centimetre.
    let most = (kilograms + 2.0 * u_mass) / smallest;
    (smallest > 0.0 && most < least.bounds().0).then(|| Danger::MayBeSwollen(kilograms / litres))
}

/// What a measurement does to the cells of what it is taken on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Current {
    /// Takes the charge out of the cell.
    Discharges,
    /// Charges it.
    Charges,
    /// Lets the product work.
    Works,
}

/// Returns what to do in place of a measurement that would send current through cells of `about` (the
/// whole without one) that must not carry it: those in danger, those that cannot be charged. `None` if
/// nothing speaks against the measurement.
pub fn instead(case: &Case<'_>, about: Option<&str>, current: Current) -> Option<Missing> {
    let here = |item: &&Item| {
        is_cell(item) && about.is_none_or(|a| item.id == a || case.tree().is_inside(&item.id, a))
    };
    let cells: Vec<&Item> = case.dossier.items.iter().filter(here).collect();
    let in_danger = cells
        .iter()
        .find_map(|c| Some((c, case.dangers().get(&c.id)?)));
    if let Some((cell, danger)) = in_danger {
        return Some(Missing::at_any_time(format!(
            "nothing on this sample: {} {}, so do not charge, load or run it; take another, sound sample, and \
             leave this one to licensed practice",
            cell.name,
            danger.words()
        )));
    }
    let primary = |c: &&Item| chemistry::is_rechargeable(c) == Some(false);
    if cells.is_empty() || !cells.iter().all(primary) {
        return None;
    }
    let name = &cells.first()?.name;
    match current {
        Current::Discharges => Some(Missing::at_any_time(format!(
            "compare code, size and mass of {name} with the data sheet of its maker; it cannot be recharged, \
             so a measurement of its charge would use it up"
        ))),
        Current::Charges => Some(Missing::at_any_time(format!(
            "look whether {name} is meant to be charged at all: its chemistry is not rechargeable, and \
             charging it may make it burst or burn"
        ))),
        Current::Works => None,
    }
}

/// Puts the cautions for handling a cell into a finding.
pub fn warn(case: &Case<'_>, cell: &Item, finding: &mut Finding) {
    match case.dangers().get(&cell.id) {
        Some(danger) => finding.caution(danger.caution(&cell.name)),
        None => caution(cell).into_iter().for_each(|c| finding.caution(c)),
    }
}

/// Returns what is said wherever a sound cell is handled; `None` for one that neither burns nor poisons.
fn caution(item: &Item) -> Option<&'static str> {
    match chemistry::taken(item).chemistry.family() {
        Family::LithiumIon => Some(super::LITHIUM),
        Family::LithiumMetal | Family::Lithium => Some(LITHIUM_METAL),
        Family::SodiumIon => Some(SODIUM),
        Family::Unknown if chemistry::is_rechargeable(item) == Some(false) => Some(LITHIUM_METAL),
        Family::Unknown => Some(super::LITHIUM),
        Family::LeadAcid => Some(
            "Lead-acid batteries hold acid and give off gas that explodes: no sparks, eye protection, keep them \
             upright. Local rules come first.",
        ),
        Family::NickelMetalHydride | Family::NickelCadmium | Family::Zinc => None,
    }
}

const LITHIUM_METAL: &str = "Cells with lithium metal burn when punctured, crushed, short-circuited, heated or \
    charged, and water makes it worse: unless the print says that it is rechargeable, never charge one and \
    never use it up for a test. Some leak poisonous or corrosive matter. Keep button cells from children: \
    swallowed ones burn through within hours. Never go on with a bulging, leaking or warm cell. Local rules and \
    the cell maker's safety sheet come first; leave it to licensed practice where they ask for it.";
const SODIUM: &str = "Sodium-ion cells too burn when punctured, crushed, short-circuited or overheated: no metal \
    tools against them, a fire-proof container and ventilation at hand; never go on with a swollen, leaking or \
    warm cell. Local rules and the cell maker's safety sheet come first; leave it to licensed practice where \
    they ask for it.";
