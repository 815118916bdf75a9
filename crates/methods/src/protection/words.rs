//! Words for hazards and for what is looked for against them.
//!
//! In: hazards, functions. Out: words. Not here: sentences about a product.

use super::asked::Asked;
use crate::Word;
use crate::words::{lower, the};
use guards::Hazard;
use record::Protection;

/// Returns the name of a hazard in identities.
pub(super) fn question(hazard: Hazard) -> Word {
    match hazard {
        Hazard::OverVoltage => word!("over-voltage"),
        Hazard::ReversePolarity => word!("reverse-polarity"),
        Hazard::ElectrostaticDischarge => word!("discharge"),
        Hazard::OverCurrent => word!("over-current"),
        Hazard::ReverseCurrent => word!("reverse-current"),
        Hazard::OverCharge => word!("over-charge"),
        Hazard::OverDischarge => word!("over-discharge"),
        Hazard::ShortCircuit => word!("short-circuit"),
        Hazard::OverTemperature => word!("over-temperature"),
    }
}

/// Returns a hazard as the cell of a table.
pub(super) fn name(hazard: Hazard) -> &'static str {
    match hazard {
        Hazard::OverVoltage => "Over-voltage",
        Hazard::ReversePolarity => "Reverse polarity",
        Hazard::ElectrostaticDischarge => "Electrostatic discharge",
        Hazard::OverCurrent => "Over-current",
        Hazard::ReverseCurrent => "Reverse current",
        Hazard::OverCharge => "Over-charge",
        Hazard::OverDischarge => "Over-discharge",
        Hazard::ShortCircuit => "Short circuit",
        Hazard::OverTemperature => "Charge too cold or too hot",
    }
}

/// Returns a hazard inside a sentence.
pub(super) fn against(hazard: Hazard) -> String {
    match hazard {
        Hazard::ElectrostaticDischarge | Hazard::ShortCircuit | Hazard::OverTemperature => {
            let name = lower(name(hazard));
            let article = if name.starts_with('e') { "an" } else { "a" };
            format!("{article} {name}")
        }
        hazard => lower(name(hazard)),
    }
}

/// Returns a hazard at what it is about: `Over-voltage at the socket`.
pub(super) fn title(asked: &Asked<'_>) -> String {
    let joint = match asked.hazard {
        Hazard::OverVoltage | Hazard::ReversePolarity | Hazard::ElectrostaticDischarge => "at",
        Hazard::OverCurrent | Hazard::ReverseCurrent => "out of",
        Hazard::OverTemperature => "for",
        _ => "of",
    };
    format!("{} {joint} {}", name(asked.hazard), the(asked.about))
}

/// Returns what would stop a hazard, with article.
pub(super) fn wanted(hazard: Hazard) -> &'static str {
    match hazard {
        Hazard::OverVoltage => "an over-voltage switch or a clamp",
        Hazard::ReversePolarity => "a diode or transistor in series",
        Hazard::ElectrostaticDischarge => "a clamp to ground",
        Hazard::OverCurrent => "a fuse or a current limit",
        Hazard::ReverseCurrent => "a diode or two transistors back to back",
        Hazard::OverCharge => "a charger that regulates or a cell protector",
        Hazard::OverDischarge => "a cell protector",
        Hazard::ShortCircuit => "a fuse or a cell protector",
        Hazard::OverTemperature => "a temperature sensor and a part that heeds it",
    }
}

/// Returns whether a protection that was looked for would have stopped a hazard.
pub(super) fn is_against(protection: Protection, hazard: Hazard) -> bool {
    super::does::function(protection).is_some_and(|f| hazard.answered_by().contains(&f))
}
