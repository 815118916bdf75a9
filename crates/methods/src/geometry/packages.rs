//! Which package outlines a measured body fits, among those that its kind of part comes in.

use super::compare::Compared;
use crate::photogrammetry::Measurement;
use crate::{Between, Cell};
use OutlineKind::{Chip, Crystal, Diode, Package, Tantalum};
use imaging::geometry::{Measured, MeasuredBody, OutlineKind, matching, outlines};
use record::{Item, ItemKind};

/// Names the likeliest package outlines of a part that was measured on two sides, each with its
/// probability; nothing for other things.
pub(super) fn fitting(taken: &Measurement<'_>, compared: &[Compared<'_>]) -> Cell {
    let Some((item, part)) = taken.item.and_then(|i| Some((i, i.part.as_ref()?))) else {
        return Cell::Nothing;
    };
    let kinds = kinds(item);
    if kinds.is_empty() {
        return Cell::Nothing;
    }
    let [a, b] = compared else {
        return Cell::Nothing;
    };
    if !(a.is_body() && b.is_body()) {
        return Cell::Nothing;
    }
    let side = |c: &Compared<'_>| Measured::new(c.side.found.value, c.side.found.uncertainty);
    let seen = MeasuredBody {
        length: side(a),
        width: side(b),
        pitch: None,
        pins: part.pins,
    };
    let fit = outlines().iter().filter(|o| kinds.contains(&o.kind));
    let found = matching(&seen, fit);
    if found.ranked.is_empty() {
        return Cell::words("none known");
    }
    let named = found.ranked.iter().take(2);
    Cell::list(
        named.map(|m| Cell::probability(m.probability).named(m.outline.words())),
        Between::Semicolon,
    )
}

/// Last words of what a part is said to be, as far as they decide which outlines it may come in.
const ROLES: [(&[&str], &[OutlineKind]); 7] = [
    (
        &[
            "button",
            "connector",
            "socket",
            "antenna",
            "speaker",
            "motor",
        ],
        &[],
    ),
    (
        &[
            "inductor",
            "choke",
            "ferrite",
            "bead",
            "coil",
            "resistor",
            "shunt",
            "thermistor",
            "varistor",
            "fuse",
        ],
        &[Chip],
    ),
    (&["capacitor", "passive part"], &[Chip, Tantalum]),
    (&["crystal", "oscillator", "resonator"], &[Crystal]),
    (&["diode", "clamp", "rectifier"], &[Diode, Package, Chip]),
    (&["led", "light", "light source"], &[Package, Chip]),
    (&[""], &[Package, Diode, Chip, Tantalum, Crystal]),
];

/// Returns the kinds of outlines that a part may come in: those of its role, of semiconductors where the role
/// is another one.
fn kinds(item: &Item) -> &'static [OutlineKind] {
    match item.kind {
        ItemKind::Coil => return &[Chip],
        ItemKind::Connector | ItemKind::Antenna => return &[],
        _ => {}
    }
    let role = item.role.as_deref().unwrap_or_default().to_lowercase();
    kinds_of(&role)
}

/// Returns whether a part is said to be a semiconductor: one whose identity readers ask for.
pub fn is_semiconductor(item: &Item) -> bool {
    item.role.is_some() && kinds(item) == [Package]
}

fn kinds_of(role: &str) -> &'static [OutlineKind] {
    // "inductor of the driver" is an inductor, "coil driver" a driver.
    let words = role.split_whitespace();
    let head: Vec<&str> = words
        .take_while(|w| !["of", "at", "for", "to", "with", "in"].contains(w))
        .collect();
    let head = head.join(" ");
    let head = head.trim_end_matches('s');
    let named = |word: &str| {
        let rest = head.strip_suffix(word);
        rest.is_some_and(|rest| rest.is_empty() || (!word.is_empty() && rest.ends_with(' ')))
    };
    let decided = ROLES
        .iter()
        .find(|(words, _)| words.iter().any(|w| named(w)));
    decided.map_or(&[Package], |(_, kinds)| kinds)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Common practice: inductors and resistors do not come in packages with leads on four sides.
    #[test]
    fn outlines_fit_the_kind_of_part() {
        for role in [
            "inductor of the driver",
            "Fuse".to_lowercase().as_str(),
            "ferrite bead",
        ] {
            assert_eq!(kinds_of(role), [Chip], "{role}");
        }
        for role in [
            "coil driver",
            "driver of the light sources",
            "charger",
            "load switch",
        ] {
            assert_eq!(kinds_of(role), [Package], "{role}");
        }
        assert!(kinds_of("light sources").contains(&Chip));
        assert!(kinds_of("surge clamp at the socket").contains(&Diode));
        assert!(kinds_of("button").is_empty());
        assert_eq!(kinds_of("").len(), 5);
    }
}
