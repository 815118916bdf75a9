//! Classes of EN 45554:2020: fasteners, tools, working environment, skill.
//!
//! In: what the record says of a step. Out: a letter with its meaning.
//! Source: EN 45554:2020, from memory; the letters are to be compared with the standard before anybody relies on them.

use crate::Surety;
use record::{Environment, Renewal, Skill, Step, ToolClass, Undo};

/// How surely all classes here are known.
pub const SURETY: Surety = Surety::Memory;

/// Where they are from.
pub const SOURCE: &str = "EN 45554:2020 (classes of fasteners, tools, working environment and skill), from memory; \
    not compared with the standard";

/// Whether what holds a part can be used again, the best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Fastening {
    /// It can be used again.
    Reusable,
    /// New ones come with the spare part.
    Resupplied,
    /// It comes off without harm to the rest, and must be renewed.
    Removable,
    /// Neither.
    Neither,
}

impl Fastening {
    /// Returns what a step says of what it undoes; `None` where that is not known.
    pub fn of(step: &Step) -> Option<Self> {
        match (step.undo, step.renewal) {
            (Undo::Yes, _) => Some(Self::Reusable),
            (Undo::WithNewMaterial, Some(Renewal::WithPart)) => Some(Self::Resupplied),
            (Undo::WithNewMaterial, _) => Some(Self::Removable),
            (Undo::No, _) => Some(Self::Neither),
            (Undo::Unknown, _) => None,
        }
    }

    /// Returns the letter of its class.
    pub const fn letter(self) -> char {
        match self {
            Self::Reusable | Self::Resupplied => 'A',
            Self::Removable => 'B',
            Self::Neither => 'C',
        }
    }

    /// Returns the words for it.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Reusable => "reusable",
            Self::Resupplied => "new ones come with the part",
            Self::Removable => "must be renewed",
            Self::Neither => "cannot go back",
        }
    }
}

/// Returns the letter of a class of tools.
pub const fn of_tool(class: ToolClass) -> Option<char> {
    match class {
        ToolClass::None
        | ToolClass::Basic
        | ToolClass::SuppliedWithPart
        | ToolClass::SuppliedWithProduct => Some('A'),
        ToolClass::ProductGroup => Some('B'),
        ToolClass::Commercial => Some('C'),
        ToolClass::Proprietary => Some('D'),
        ToolClass::NoneExists => Some('E'),
        ToolClass::Unknown => None,
    }
}

/// Returns the letter of a working environment.
pub const fn of_environment(environment: Environment) -> Option<char> {
    match environment {
        Environment::Use => Some('A'),
        Environment::Workshop => Some('B'),
        Environment::Production => Some('C'),
        Environment::Unknown => None,
    }
}

/// Returns the letter of a skill.
pub const fn of_skill(skill: Skill) -> Option<char> {
    match skill {
        Skill::Layman => Some('A'),
        Skill::Generalist => Some('B'),
        Skill::Expert => Some('C'),
        Skill::Maker => Some('D'),
        Skill::NotFeasible => Some('E'),
        Skill::Unknown => None,
    }
}
