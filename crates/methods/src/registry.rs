//! The one list of methods: name, question, place in the report, page of the documentation, function.
//!
//! Progress, report, workbook, terminal, schema and documentation take their lists from here, so that a
//! new method is one entry. Not here: how a method answers.

use crate::{Answer, Case};
use crate::{
    cell, claims, codes, consistency, cost, geometry, inventory, markings, mass, opening, power,
    protection, repair, runtime, sound, standing,
};

/// Part of a report, in the order of a reader's questions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Section {
    /// How it opens.
    Opening,
    /// What is in there.
    Inside,
    /// How it is powered.
    Power,
    /// What of the print holds.
    Claims,
    /// What the pieces weigh and hold.
    Masses,
    /// How it is mended.
    Repair,
    /// What it costs to build.
    Cost,
    /// What it does to sound.
    Sound,
    /// Where it stands among others.
    Standing,
}

/// One method.
#[derive(Debug, Clone, Copy)]
pub struct Entry {
    /// The method.
    pub method: Method,
    /// Its name, as findings carry it.
    pub name: &'static str,
    /// Its name in running text.
    pub words: &'static str,
    /// What it answers.
    pub question: &'static str,
    /// Where a report tells its findings.
    pub section: Section,
    /// Its rank among the methods of that section.
    pub rank: u8,
    /// The page on formula, source, limits and checks, below the folder of the documentation.
    pub page: &'static str,
    /// Answers for a case.
    pub examine: fn(&Case<'_>) -> Answer,
}

macro_rules! methods {
    ($($method:ident, $module:ident, $name:literal, $words:literal, $section:ident $rank:literal,
       $question:literal;)*) => {
        /// The question a finding answers.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        #[allow(missing_docs, reason = "the registry says what each answers")]
        pub enum Method {
            $($method,)*
        }

        /// The methods in the order of the day.
        pub const METHODS: &[Entry] = &[$(Entry {
            method: Method::$method,
            name: $name,
            words: $words,
            question: $question,
            section: Section::$section,
            rank: $rank,
            page: concat!("methods/", $name, ".md"),
            examine: $module::examine,
        },)*];
    };
}

methods! {
    Consistency, consistency, "consistency", "consistency of the record", Opening 2,
        "Does the record contradict itself?";
    Mass, mass, "mass", "mass", Masses 1,
        "Do the weights agree, and what does each piece weigh?";
    Cell, cell, "cell", "cell", Masses 2,
        "What energy is in there, and is the label believable?";
    Power, power, "power", "power", Power 1,
        "Where does power flow, and how much at most?";
    Runtime, runtime, "runtime", "run time", Power 2,
        "How long can it run, and how many recharges does one cell give another?";
    Protection, protection, "protection", "protection", Power 3,
        "What stands between a hazard and what it can reach?";
    Geometry, geometry, "geometry", "geometry", Inside 2,
        "How big is it?";
    Inventory, inventory, "inventory", "inventory", Inside 1,
        "What is in there?";
    Markings, markings, "markings", "markings", Inside 3,
        "What is this part?";
    Codes, codes, "codes", "codes", Inside 4,
        "What do the codes say?";
    Opening, opening, "opening", "opening", Opening 1,
        "What is the way to each piece, and what must be done first?";
    Repair, repair, "repair", "repair", Repair 1,
        "Can it be repaired, and what do the rules on repair ask?";
    Cost, cost, "cost", "cost to build", Cost 1,
        "What does it cost to build, and what would tell that better?";
    Standing, standing, "standing", "standing among other products", Standing 1,
        "Where does it stand among the products opened before?";
    Sound, sound, "sound", "sound", Sound 1,
        "How much noise does it keep out, and how fast does it answer?";
    Claims, claims, "claims", "claims", Claims 1,
        "Which printed claims hold?";
}

impl Method {
    /// Returns its entry in the registry.
    pub fn entry(self) -> &'static Entry {
        // Both lists come from one macro, so the number of a method is its place.
        &METHODS[self as usize]
    }

    /// Returns its name, as findings carry it.
    pub fn name(self) -> &'static str {
        self.entry().name
    }
}

impl Section {
    /// Returns the methods whose findings it tells, in their order.
    pub fn methods(self) -> Vec<&'static Entry> {
        let mut here: Vec<&Entry> = METHODS.iter().filter(|m| m.section == self).collect();
        here.sort_by_key(|m| m.rank);
        here
    }
}
