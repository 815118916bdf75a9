//! What a part is to a reader: its class, in the order in which readers ask.
//!
//! In: an item of the record. Out: its class. Not here: what it does in this product (`does`).

use record::{ConversionKind, Item, ItemKind};

/// Classes of chips, in the order of interest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(in crate::compose) enum Class {
    Processor,
    Radio,
    Sensor,
    Memory,
    Charger,
    Converter,
    Receiver,
    Protection,
    Other,
}

/// Words by which a role is told, in the trade's terms; `None` for parts that are no chips: they store, filter or clamp,
/// and do nothing of their own.
const WORDS: &[(&str, Option<Class>)] = &[
    ("processor", Some(Class::Processor)),
    ("microcontroller", Some(Class::Processor)),
    ("microprocessor", Some(Class::Processor)),
    ("radio", Some(Class::Radio)),
    ("transceiver", Some(Class::Radio)),
    ("sensor", Some(Class::Sensor)),
    ("driver", Some(Class::Sensor)),
    ("controller", Some(Class::Sensor)),
    ("amplifier", Some(Class::Sensor)),
    ("codec", Some(Class::Sensor)),
    ("microphone", Some(Class::Sensor)),
    ("accelerometer", Some(Class::Sensor)),
    ("gyroscope", Some(Class::Sensor)),
    ("memory", Some(Class::Memory)),
    ("flash", Some(Class::Memory)),
    ("charger", Some(Class::Charger)),
    ("converter", Some(Class::Converter)),
    ("regulator", Some(Class::Converter)),
    ("receiver", Some(Class::Receiver)),
    ("protector", Some(Class::Protection)),
    ("protection", Some(Class::Protection)),
    ("switch", Some(Class::Protection)),
    ("gauge", Some(Class::Protection)),
    ("clamp", None),
    ("diode", None),
    ("inductor", None),
    ("coil", None),
    ("resistor", None),
    ("capacitor", None),
    ("passive", None),
    ("crystal", None),
    ("resonator", None),
    ("fuse", None),
    ("bead", None),
    ("thermistor", None),
    ("light", None),
    ("button", None),
];

/// What follows them tells of something else: "inductor of the driver".
const OF: [&str; 5] = [" of ", " for ", " with ", " to ", ", "];

/// Returns the class of an item; `None` for what is no chip.
pub(in crate::compose) fn class(item: &Item) -> Option<Class> {
    if !matches!(item.kind, ItemKind::Part | ItemKind::Sensor) || item.part.is_none() {
        return None;
    }
    let role = item.role.as_deref().unwrap_or_default().to_lowercase();
    let head = OF.iter().fold(role.as_str(), |head, of| {
        head.split_once(of).map_or(head, |(head, _)| head)
    });
    // The last word is the thing itself, those before it say of which sort.
    let known = |word: &str| WORDS.iter().find(|(known, _)| *known == word);
    if let Some((_, class)) = head.split([' ', '-']).rev().find_map(known) {
        return *class;
    }
    Some(match item.converts.as_ref().map(|c| c.kind) {
        Some(ConversionKind::LinearCharger | ConversionKind::SwitchedCharger) => Class::Charger,
        Some(ConversionKind::LinearRegulator | ConversionKind::SwitchedRegulator) => {
            Class::Converter
        }
        Some(ConversionKind::InductiveReceiver) => Class::Receiver,
        Some(ConversionKind::Switch) => Class::Protection,
        Some(ConversionKind::Unknown) | None if item.kind == ItemKind::Sensor => Class::Sensor,
        Some(ConversionKind::Unknown) | None => Class::Other,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn item(kind: &str, role: &str, more: &str) -> Item {
        let text = format!(
            r#"{{"id":"u1","name":"U1","kind":"{kind}","role":"{role}","part":{{}}{more}}}"#
        );
        serde_json::from_str(&text).unwrap()
    }

    #[test]
    fn a_role_tells_the_class_by_its_last_word() {
        for (role, found) in [
            ("processor with radio", Some(Class::Processor)),
            ("touch controller", Some(Class::Sensor)),
            ("driver of the light sources", Some(Class::Sensor)),
            ("inductor of the driver", None),
            ("inductive receiver", Some(Class::Receiver)),
            ("over-voltage switch", Some(Class::Protection)),
            ("surge clamp", None),
            ("flash memory", Some(Class::Memory)),
            ("step-up converter", Some(Class::Converter)),
        ] {
            assert_eq!(class(&item("part", role, "")), found, "{role}");
        }
    }

    #[test]
    fn what_a_role_does_not_tell_is_told_by_what_it_converts() {
        let charges = r#","converts":{"kind":"switched-charger"}"#;
        assert_eq!(class(&item("part", "U2", charges)), Some(Class::Charger));
        assert_eq!(
            class(&item("part", "keeper of time", "")),
            Some(Class::Other)
        );
        assert_eq!(class(&item("sensor", "", "")), Some(Class::Sensor));
        assert_eq!(class(&item("shell", "processor", "")), None);
    }
}
