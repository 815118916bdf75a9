//! What the record shows of one criterion.
//!
//! In: what is asked, the parts concerned with the ways to them. Out: whether the record shows it, in words, and how a rule
//! that is known so surely stands then.

use super::Spare;
use super::facts::{latest, years};
use crate::Case;
use crate::precedence::{WayTo, all};
use crate::words::{capital, lower};
use ::repair::classes::Fastening;
use ::repair::rules::Asks;
use ::repair::{Surety, tools};
use record::{Environment, Place, RepairFactKind, Skill, ToolClass, YesNo};

/// What the record shows.
pub(super) struct Shown {
    /// Whether it is so; `None` where the record does not say enough.
    pub(super) is: Option<bool>,
    pub(super) words: String,
    pub(super) places: Vec<Place>,
}

/// How a criterion stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Standing {
    Met,
    Missed,
    For,
    Against,
    Open,
}

impl Standing {
    /// Only a rule that was read in its text is ever met or missed.
    pub(super) const fn of(is: Option<bool>, surety: Surety) -> Self {
        match (is, surety.decides()) {
            (Some(true), true) => Self::Met,
            (Some(false), true) => Self::Missed,
            (Some(true), false) => Self::For,
            (Some(false), false) => Self::Against,
            (None, _) => Self::Open,
        }
    }

    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::Met => "complies",
            Self::Missed => "does not comply",
            Self::For => "speaks for it",
            Self::Against => "speaks against it",
            Self::Open => "not known",
        }
    }
}

/// Says what the record shows of a criterion for all parts concerned.
pub(super) fn shown(case: &Case<'_>, asks: Asks, parts: &[&Spare<'_>]) -> Shown {
    if asks == Asks::Manual {
        return manual(case);
    }
    let each: Vec<(&Spare<'_>, Shown)> = parts
        .iter()
        .map(|part| (*part, of_part(case, asks, part)))
        .collect();
    let is = match each.is_empty() {
        true => None,
        false => all(each.iter().map(|(_, shown)| shown.is)),
    };
    // What decides is said: what speaks against it, or else what is open; what holds for all is said once.
    let telling: Vec<&(&Spare<'_>, Shown)> =
        each.iter().filter(|(_, shown)| shown.is == is).collect();
    let alike = telling
        .windows(2)
        .all(|pair| pair[0].1.words == pair[1].1.words);
    let words = match telling.as_slice() {
        [] => "no part concerned is recorded".to_string(),
        [(part, only), ..] if alike => match (telling.len() == parts.len(), &only.words) {
            (true, words) => words.clone(),
            (false, words) if telling.len() == 1 => format!("{}: {words}", lower(&part.item.name)),
            (false, words) => format!("{} of {} parts: {words}", telling.len(), parts.len()),
        },
        several => {
            let told = several
                .iter()
                .map(|(part, s)| format!("{}: {}", lower(&part.item.name), s.words));
            told.collect::<Vec<_>>().join("; ")
        }
    };
    let places = each
        .into_iter()
        .flat_map(|(_, shown)| shown.places)
        .collect();
    Shown {
        is,
        words: capital(&words),
        places,
    }
}

fn of_part(case: &Case<'_>, asks: Asks, part: &Spare<'_>) -> Shown {
    match asks {
        Asks::SpareYears(wanted) => return offered(case, part, wanted),
        Asks::NoLock => return lock(case, part),
        _ => {}
    }
    let Some(way) = &part.way else {
        return Shown {
            is: None,
            words: "no recorded step frees it".to_string(),
            places: vec![Place::item(&part.item.id)],
        };
    };
    let steps = &case.dossier.steps;
    let named = |those: &[usize]| -> String {
        let numbers: Vec<String> = those.iter().map(|i| (i + 1).to_string()).collect();
        let word = if those.len() == 1 { "step" } else { "steps" };
        format!("{word} {}", crate::words::listed(numbers))
    };
    let tool_words = || match (way.tools.least, way.tools.open) {
        (_, 1..) => "the kind of a tool is not recorded".to_string(),
        (Some(class), 0) => tools::words(class).to_string(),
        (None, 0) => "no tool".to_string(),
    };
    let (is, words, those): (Option<bool>, String, Vec<usize>) = match asks {
        Asks::ToolsOnTheMarket | Asks::NoProprietaryTools => (
            way.tools.at_most(ToolClass::Commercial),
            tool_words(),
            way.route.steps.clone(),
        ),
        Asks::NoSpecialTools => (
            plain_tools(case, way),
            tool_words(),
            way.route.steps.clone(),
        ),
        Asks::BasicTools { market } => {
            let limit = if market {
                ToolClass::Commercial
            } else {
                ToolClass::SuppliedWithProduct
            };
            (
                way.tools.at_most(limit),
                tool_words(),
                way.route.steps.clone(),
            )
        }
        Asks::NoHeat => without(&way.heat, "heat", named),
        Asks::NoSolvent => without(&way.solvent, "solvent", named),
        Asks::GoesBack => match way.goes_back(steps) {
            Some(true) => (
                Some(true),
                "goes back on the recorded way".into(),
                Vec::new(),
            ),
            Some(false) if !way.ends.is_empty() => (
                Some(false),
                format!("{} cannot be undone", named(&way.ends)),
                way.ends.clone(),
            ),
            Some(false) => (
                Some(false),
                "what must be renewed cannot be had".into(),
                Vec::new(),
            ),
            None => (
                None,
                "whether what must be renewed can be had is not recorded".into(),
                Vec::new(),
            ),
        },
        Asks::Fasteners { removable } => {
            let limit = if removable {
                Fastening::Removable
            } else {
                Fastening::Resupplied
            };
            let words = way.fastening.least.map_or("not recorded", Fastening::words);
            (
                way.fastening.at_most(limit),
                words.to_string(),
                way.route.steps.clone(),
            )
        }
        Asks::Workshop => {
            let is = way.environment.at_most(Environment::Workshop);
            (
                is,
                level(is, "a workshop is enough", "a workshop is not enough"),
                Vec::new(),
            )
        }
        Asks::Generalist => {
            let is = way.skill.at_most(Skill::Generalist);
            (
                is,
                level(is, "a generalist can do it", "a generalist cannot do it"),
                Vec::new(),
            )
        }
        Asks::Manual | Asks::SpareYears(_) | Asks::NoLock => (None, String::new(), Vec::new()),
    };
    Shown {
        is,
        words,
        places: those.iter().map(|&i| Place::step(&steps[i].id)).collect(),
    }
}

fn level(is: Option<bool>, yes: &str, no: &str) -> String {
    match is {
        Some(true) => yes,
        Some(false) => no,
        None => "not recorded for every step",
    }
    .to_string()
}

fn without(
    those: &[usize],
    what: &str,
    named: impl Fn(&[usize]) -> String,
) -> (Option<bool>, String, Vec<usize>) {
    match those {
        [] => (
            Some(true),
            format!("no {what} on the recorded way"),
            Vec::new(),
        ),
        some => {
            let uses = if some.len() == 1 { "uses" } else { "use" };
            (
                Some(false),
                format!("{} {uses} {what}", named(some)),
                some.to_vec(),
            )
        }
    }
}

/// Whether no tool is special: basic ones and those that come with the product are not; of others on the market the
/// record does not say.
fn plain_tools(case: &Case<'_>, way: &WayTo<'_>) -> Option<bool> {
    all(way
        .route
        .steps
        .iter()
        .map(|&i| match tools::class(&case.dossier.steps[i]) {
            ToolClass::None | ToolClass::Basic | ToolClass::SuppliedWithProduct => Some(true),
            ToolClass::Commercial | ToolClass::Unknown => None,
            ToolClass::SuppliedWithPart
            | ToolClass::ProductGroup
            | ToolClass::Proprietary
            | ToolClass::NoneExists => Some(false),
        }))
}

fn manual(case: &Case<'_>) -> Shown {
    match latest(case, RepairFactKind::Manual, None) {
        Some((fact, place)) => {
            let is = fact.is.and_then(known);
            let words = match is {
                Some(true) => "a public manual",
                Some(false) => "no public manual",
                None => "looked for and not known",
            };
            Shown {
                is,
                words: format!("{} ({}, {})", capital(words), fact.source, fact.date),
                places: vec![place],
            }
        }
        None => Shown {
            is: None,
            words: "No manual is recorded".into(),
            places: Vec::new(),
        },
    }
}

fn offered(case: &Case<'_>, part: &Spare<'_>, wanted: f64) -> Shown {
    let Some((fact, place)) = latest(case, RepairFactKind::Spare, Some(&part.item.id)) else {
        let words = "whether a spare part is offered is not recorded".to_string();
        return Shown {
            is: None,
            words,
            places: Vec::new(),
        };
    };
    let last = case.dossier.repair.as_ref().and_then(|r| r.last_sold);
    let (is, words) = match (fact.is.and_then(known), fact.until, last) {
        (Some(false), ..) => (Some(false), "no spare part is offered".to_string()),
        (_, Some(until), Some(last)) => {
            let years = years(last, until);
            let number = crate::words::spelt_of(years, "year", "years");
            let years = u32::try_from(years).unwrap_or(u32::MAX);
            (
                Some(f64::from(years) >= wanted),
                format!("offered for {number} after the last unit"),
            )
        }
        (_, Some(until), None) => (
            None,
            format!("offered until {until}; when the last unit is sold is not recorded"),
        ),
        (Some(true), None, _) => (None, "offered; until when is not recorded".to_string()),
        (None, None, _) => (
            None,
            "whether a spare part is offered is not known".to_string(),
        ),
    };
    Shown {
        is,
        words,
        places: vec![place],
    }
}

fn lock(case: &Case<'_>, part: &Spare<'_>) -> Shown {
    let is = crate::precedence::lock(case, &part.item.id).map(|locked| !locked);
    let fact = latest(case, RepairFactKind::SerialLock, Some(&part.item.id));
    let words = match is {
        Some(true) => "another one works",
        Some(false) => "another one works only where the maker lets it",
        None => "whether another one works was not tried",
    };
    Shown {
        is,
        words: words.to_string(),
        places: fact.map(|(_, place)| place).into_iter().collect(),
    }
}

const fn known(is: YesNo) -> Option<bool> {
    match is {
        YesNo::Yes => Some(true),
        YesNo::No => Some(false),
        YesNo::Unknown => None,
    }
}
