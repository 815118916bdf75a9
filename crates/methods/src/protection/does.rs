//! What an item does against hazards, and what it may do as far as the record tells.
//!
//! In: an item of a case. Out: functions it has, functions it may have. Not here: where it stands.
//!
//! A function counts where it was seen, measured, or stated by the data of a part whose identity is more than assumed;
//! what the maker of the product prints does not prove it. A part of which nothing is said may have any function: its
//! data were not looked at. A passive part has none.

use crate::Case;
use crate::assessment::SURE;
use crate::cells::is_cell;
use guards::Function;
use quantity::Origin;
use record::{
    Certainty, ConversionKind, Identity, Item, ItemKind, LinkKind, Protection, ProvidesOrigin,
    RoleOrigin,
};
use std::collections::BTreeSet;

/// Functions of one item.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Does {
    pub(super) does: BTreeSet<Function>,
    pub(super) may: BTreeSet<Function>,
}

impl Does {
    fn add(&mut self, function: Function, sure: bool) {
        let set = if sure { &mut self.does } else { &mut self.may };
        set.insert(function);
    }

    /// Takes in what another item does in its place.
    pub(super) fn join(&mut self, other: &Self) {
        self.does.extend(&other.does);
        self.may.extend(&other.may);
    }
}

const ALL: [Function; 13] = [
    Function::OverVoltageSwitch,
    Function::Clamp,
    Function::Discharge,
    Function::Fuse,
    Function::ResettableFuse,
    Function::CurrentLimit,
    Function::ShortCircuit,
    Function::ReverseBlocking,
    Function::ReversePolarity,
    Function::ChargeRegulation,
    Function::OverCharge,
    Function::OverDischarge,
    Function::OverTemperature,
];

/// What a cell may have on a board of its own.
const OF_CELLS: [Function; 5] = [
    Function::CurrentLimit,
    Function::ShortCircuit,
    Function::OverCharge,
    Function::OverDischarge,
    Function::OverTemperature,
];

/// Returns what an item may do of which nothing better is known.
fn plausible(item: &Item) -> &'static [Function] {
    match item {
        _ if is_cell(item) => &OF_CELLS,
        _ if is_shunt(item) => &[Function::Clamp, Function::Discharge],
        _ => &ALL,
    }
}

/// Words of roles that are a function, with the function.
const ROLES: [(&str, Function); 10] = [
    ("resettable fuse", Function::ResettableFuse),
    ("ptc", Function::ResettableFuse),
    ("fuse", Function::Fuse),
    ("clamp", Function::Clamp),
    ("suppressor", Function::Clamp),
    ("varistor", Function::Clamp),
    ("tvs", Function::Clamp),
    ("esd", Function::Discharge),
    ("over-voltage switch", Function::OverVoltageSwitch),
    ("over-voltage protector", Function::OverVoltageSwitch),
];

/// Words of roles of parts that stop nothing.
const PASSIVE: [&str; 10] = [
    "resistor",
    "inductor",
    "capacitor",
    "crystal",
    "ferrite",
    "choke",
    "passive",
    "button",
    "connector",
    "light source",
];

/// Words of roles of parts that current passes and that are not what must be protected.
const PASSED: [&str; 8] = [
    "fuse",
    "switch",
    "transistor",
    "fet",
    "diode",
    "protect",
    "filter",
    "thermistor",
];

fn role(item: &Item) -> String {
    item.role.as_deref().unwrap_or_default().to_lowercase()
}

fn is_word(role: &str, word: &str) -> bool {
    let ends = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric());
    role.match_indices(word).any(|(at, _)| {
        ends(role[..at].chars().next_back()) && ends(role[at + word.len()..].chars().next())
    })
}

pub(super) fn identity(item: &Item) -> Option<&Identity> {
    item.part.as_ref()?.identity.as_ref()
}

/// Returns whether it is known what a part is: read or concluded, and as probable as any claim asks for where its
/// marking tells how probable that is.
pub(super) fn is_identified(case: &Case<'_>, item: &Item) -> bool {
    let told = identity(item).is_some_and(|i| i.certainty >= Certainty::Inferred);
    told && case
        .assessments()
        .probability(item)
        .is_none_or(|p| p >= SURE)
}

/// Returns whether an item stops nothing by what it is.
pub(super) fn is_passive(item: &Item) -> bool {
    let kind = match item.kind {
        ItemKind::Part => PASSIVE.iter().any(|word| is_word(&role(item), word)),
        ItemKind::Sensor => item.contact.is_some(),
        ItemKind::Cell
        | ItemKind::Board
        | ItemKind::Assembly
        | ItemKind::Product
        | ItemKind::Other
        | ItemKind::Unknown => false,
        _ => true,
    };
    kind && item.converts.is_none()
}

/// Returns whether current passes an item that is not itself what must be protected.
pub(super) fn is_passed(item: &Item) -> bool {
    let switch = item
        .converts
        .as_ref()
        .map(|c| c.kind == ConversionKind::Switch);
    let transducer = item.kind == ItemKind::Transducer;
    let by_role = || PASSED.iter().any(|word| role(item).contains(word)) || is_shunt(item);
    item.contact.is_some()
        || switch.unwrap_or_else(|| (is_passive(item) && !transducer) || by_role())
}

/// Returns whether an item hangs between a net and ground and takes what is too much.
pub(super) fn is_shunt(item: &Item) -> bool {
    let clamps = |p: &Protection| matches!(p, Protection::Clamp | Protection::Discharge);
    let by_role = ROLES.iter().any(|(word, f)| {
        matches!(f, Function::Clamp | Function::Discharge) && is_word(&role(item), word)
    });
    item.kind == ItemKind::Part
        && item.converts.is_none()
        && (by_role || (!item.protects.is_empty() && item.protects.iter().all(clamps)))
}

/// Returns whether an item senses a temperature.
pub(super) fn senses_temperature(item: &Item) -> bool {
    ["thermistor", "temperature sensor", "ntc"]
        .iter()
        .any(|word| is_word(&role(item), word))
}

/// Returns what an item does and may do by itself and by what drives it.
pub(super) fn does(case: &Case<'_>, item: &Item) -> Does {
    let mut found = alone(case, item);
    for driver in drivers(case, item) {
        found.join(&alone(case, driver));
    }
    for function in &found.does {
        found.may.remove(function);
    }
    found
}

/// Returns what drives a switch: parts that signal to it and carry no power themselves.
pub(super) fn drivers<'d>(case: &Case<'d>, item: &Item) -> Vec<&'d Item> {
    if item
        .converts
        .as_ref()
        .is_none_or(|c| c.kind != ConversionKind::Switch)
    {
        return Vec::new();
    }
    let links = case.dossier.links.iter();
    let signals = links.filter(|l| l.kind == LinkKind::Signal && l.to == item.id);
    let drivers = signals.filter_map(|l| case.item(&l.from));
    drivers
        .filter(|d| d.kind == ItemKind::Part && role(d).contains("protect"))
        .collect()
}

fn alone(case: &Case<'_>, item: &Item) -> Does {
    let mut found = Does::default();
    if !item.protects.is_empty() {
        let sure = match item.protects_origin {
            Some(ProvidesOrigin::Seen | ProvidesOrigin::Measured) => true,
            Some(ProvidesOrigin::DataSheet) => is_identified(case, item) || item.part.is_none(),
            _ => false,
        };
        item.protects
            .iter()
            .filter_map(|p| function(*p))
            .for_each(|f| found.add(f, sure));
        if !sure || item.protects.contains(&Protection::Unknown) {
            found.may.extend(plausible(item));
        }
        return found;
    }
    if is_passive(item) {
        return found;
    }
    by_data(case, item, &mut found);
    let known = item.role_origin == Some(RoleOrigin::Seen) || is_identified(case, item);
    let of_role = ROLES.iter().filter(|(word, _)| is_word(&role(item), word));
    // The longest word says it: a resettable fuse is no fuse that melts.
    if let Some((_, function)) = of_role.max_by_key(|(word, _)| word.len()) {
        found.add(*function, known);
    }
    // A switch that is driven does what its driver does; one part of a kind that is its role does no more.
    let driven = !drivers(case, item).is_empty();
    if !driven {
        found.may.extend(plausible(item));
    }
    found
}

/// What ratings, of the item or of the known part it is, and its conversion say.
fn by_data(case: &Case<'_>, item: &Item, found: &mut Does) {
    const RATED: [(&str, Function); 3] = [
        ("over-voltage-threshold", Function::OverVoltageSwitch),
        ("stand-off-voltage", Function::Clamp),
        ("clamping-voltage", Function::Clamp),
    ];
    if let Some(part) = &item.part {
        let sure = match part.ratings_origin {
            Some(Origin::Measured) => true,
            Some(Origin::DataSheet) => is_identified(case, item),
            _ => false,
        };
        for (_, function) in RATED
            .iter()
            .filter(|(key, _)| part.ratings.contains_key(*key))
        {
            found.add(*function, sure);
        }
    }
    for part in identity(item).into_iter().flat_map(|i| case.known.named(i)) {
        let sure = is_identified(case, item) && part.ratings_origin == "data-sheet";
        for (_, function) in RATED
            .iter()
            .filter(|(key, _)| part.ratings.contains_key(*key))
        {
            found.add(*function, sure);
        }
    }
    if let Some(conversion) = &item.converts
        && matches!(
            conversion.kind,
            ConversionKind::LinearCharger | ConversionKind::SwitchedCharger
        )
    {
        let guessed = matches!(
            conversion.origin,
            Some(Origin::Assumed | Origin::Estimated | Origin::Unknown)
        );
        found.add(Function::ChargeRegulation, !guessed);
    }
}

/// Returns the function that a word of the record names.
pub(super) fn function(protection: Protection) -> Option<Function> {
    Some(match protection {
        Protection::OverVoltage => Function::OverVoltageSwitch,
        Protection::Clamp => Function::Clamp,
        Protection::Discharge => Function::Discharge,
        Protection::Fuse => Function::Fuse,
        Protection::ResettableFuse => Function::ResettableFuse,
        Protection::OverCurrent => Function::CurrentLimit,
        Protection::ShortCircuit => Function::ShortCircuit,
        Protection::ReverseCurrent => Function::ReverseBlocking,
        Protection::ReversePolarity => Function::ReversePolarity,
        Protection::ChargeVoltage => Function::ChargeRegulation,
        Protection::OverCharge => Function::OverCharge,
        Protection::OverDischarge => Function::OverDischarge,
        Protection::OverTemperature => Function::OverTemperature,
        Protection::None | Protection::Unknown => return None,
    })
}
