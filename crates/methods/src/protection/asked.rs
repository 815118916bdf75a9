//! Which hazards are asked about, at which contact or cell, and what they must not reach.
//!
//! In: a case. Out: questions. Not here: answers.
//!
//! What must be protected against a voltage from outside is every part that works with it, not what it passes
//! through. Coils and antennas lie behind the housing, so that no discharge is asked about there. A plug in a socket
//! fits one way round only; bare contacts may meet a supply the wrong way round.

use super::does::{is_passed, is_passive, is_shunt};
use crate::cells::is_cell;
use crate::{Case, chemistry};
use guards::Hazard;
use record::{ContactKind, Item, ItemKind};
use std::collections::HashSet;

/// Items at one end of a question.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum End {
    /// What it is about.
    Itself,
    /// Every part that works with what reaches it.
    Works,
    /// The same without cells.
    Loads,
    /// Cells.
    Cells,
    /// Cells, and contacts that power comes in by, but for what it is about.
    Supplies,
}

/// One question.
#[derive(Debug, Clone, Copy)]
pub(super) struct Asked<'d> {
    pub(super) hazard: Hazard,
    /// The contact or cell it is about.
    pub(super) about: &'d Item,
    pub(super) from: End,
    pub(super) to: End,
}

impl<'d> Asked<'d> {
    /// Returns whether an item is at an end.
    pub(super) fn is_at(&self, case: &Case<'_>, end: End, item: &Item) -> bool {
        let other = item.id != self.about.id;
        match end {
            End::Itself => !other,
            End::Works => other && works(item),
            End::Loads => other && works(item) && !is_cell(item),
            End::Cells => is_cell(item),
            End::Supplies => other && (is_cell(item) || is_inlet(case, item)),
        }
    }
}

/// Returns all questions about a case, hazard by hazard, those from outside first.
pub(super) fn asked<'d>(case: &Case<'d>) -> Vec<Asked<'d>> {
    let links = case.dossier.links.iter();
    let linked: HashSet<&str> = links
        .flat_map(|l| [l.from.as_str(), l.to.as_str()])
        .collect();
    let items = case
        .dossier
        .items
        .iter()
        .filter(|i| linked.contains(i.id.as_str()));
    let mut all = Vec::new();
    for item in items {
        let mut ask = |hazard, from, to| {
            all.push(Asked {
                hazard,
                about: item,
                from,
                to,
            })
        };
        if is_cell(item) {
            if chemistry::is_rechargeable(item) != Some(false) {
                ask(Hazard::OverCharge, End::Supplies, End::Itself);
                ask(Hazard::OverDischarge, End::Itself, End::Loads);
                ask(Hazard::OverTemperature, End::Supplies, End::Itself);
            }
            ask(Hazard::ShortCircuit, End::Itself, End::Itself);
        }
        let Some(contact) = &item.contact else {
            continue;
        };
        use ContactKind::{Antenna, Coil, Contacts, Unknown};
        let hidden = matches!(contact.kind, Coil | Antenna);
        if is_inlet(case, item) {
            ask(Hazard::OverVoltage, End::Itself, End::Works);
            if matches!(contact.kind, Contacts | Unknown) {
                ask(Hazard::ReversePolarity, End::Itself, End::Works);
            }
            if !hidden {
                ask(Hazard::ReverseCurrent, End::Supplies, End::Itself);
            }
        }
        if !hidden {
            ask(Hazard::ElectrostaticDischarge, End::Itself, End::Loads);
        }
        if is_outlet(case, item) && !hidden {
            ask(Hazard::OverCurrent, End::Cells, End::Itself);
        }
    }
    // Stable: contacts and cells stay in the order of the record.
    all.sort_by_key(|asked| asked.hazard);
    all
}

/// Returns whether power comes in at a contact: it feeds more than a contact that it mates with.
pub(super) fn is_inlet(case: &Case<'_>, item: &Item) -> bool {
    let mut fed = case.network().after(item);
    item.contact.is_some() && fed.any(|(i, _)| i.contact.is_none())
}

/// Returns whether a contact gives power: more than a contact that it mates with feeds it.
fn is_outlet(case: &Case<'_>, item: &Item) -> bool {
    let mut feeding = case.network().before(item);
    item.contact.is_some() && feeding.any(|(i, _)| i.contact.is_none())
}

/// Returns whether an item works with what reaches it, so that it must be protected.
fn works(item: &Item) -> bool {
    use ItemKind::{Assembly, Board, Cell, Other, Part, Sensor, Transducer, Unknown};
    let kind = matches!(
        item.kind,
        Part | Sensor | Cell | Transducer | Board | Assembly | Other | Unknown
    );
    kind && !is_passed(item) && !is_shunt(item) && (item.kind == Transducer || !is_passive(item))
}
