//! What faces the outside or senses: antennas, openings for sound, light sources, sensors, buttons, contacts.
//!
//! In: the items of a case and its links. Out: one row each, with what it does; who talks to whom.
//! Not here: how well any of it works.

use crate::distinct::Distinct;
use crate::grounds::Grounds;
use crate::inputs::item_evidence;
use crate::words::{Words as _, capital, listed, spelt_of, the};
use crate::{
    Answer, Case, Cell, Column, Detail, Finding, Method, RowsOf, SignalEdge, SignalMap, SignalNode,
};
use record::{Item, ItemKind, Link, LinkKind, Place};

/// Returns how an item faces the outside or senses it; `None` for what stays inside.
pub(crate) fn faces(item: &Item) -> Option<&'static str> {
    if let Some(contact) = &item.contact {
        return Some(contact.kind.words());
    }
    match item.kind {
        ItemKind::Antenna | ItemKind::Sensor | ItemKind::Transducer => Some(item.kind.words()),
        _ => None,
    }
}

/// Answers what faces the outside, and who talks to whom.
///
/// # Errors
/// [`crate::Cancelled`] if the case is to be worked on no longer.
pub(super) fn examine(case: &Case<'_>) -> Answer {
    let mut findings = Vec::new();
    let mut places = Distinct::default();
    let mut rows = Vec::new();
    for (item, _) in case.tree().in_order() {
        case.go_on()?;
        let Some(how) = faces(item) else { continue };
        places.extend(item_evidence(item));
        let role = item.role.as_deref().filter(|_| is_named_by_role(item));
        rows.push(vec![
            Cell::item(item),
            Cell::words(capital(role.unwrap_or(how))),
            Cell::words(does(case, item)),
        ]);
    }
    if !rows.is_empty() {
        let mut finding = Finding::new(
            Method::Inventory,
            word!("outside"),
            "What faces the outside or senses it",
        )
        .saying(format!(
            "{} the outside or {} it.",
            capital(&spelt_of(rows.len(), "part faces", "parts face")),
            if rows.len() == 1 { "senses" } else { "sense" },
        ));
        finding.add_evidence(places);
        finding.told_in = Some(RowsOf::Outside);
        let columns = vec![
            Column::place("Part"),
            Column::words("Faces as"),
            Column::words("What it does"),
        ];
        finding.details.extend(RowsOf::Outside.table(columns, rows));
        findings.push(finding);
    }
    findings.extend(signals(case));
    Ok(findings)
}

/// Returns whether a part is told by its role: sensors and transducers are; contacts and antennas are told by their kind.
fn is_named_by_role(item: &Item) -> bool {
    item.contact.is_none() && matches!(item.kind, ItemKind::Sensor | ItemKind::Transducer)
}

/// Says what an item does, from its role and its links.
fn does(case: &Case<'_>, item: &Item) -> String {
    let linked = |kind: LinkKind, out: bool| {
        let links = case.dossier.links.iter().filter(|l| l.kind == kind);
        let ids = links.filter_map(|l| match out {
            true => (l.from == item.id).then_some(&l.to),
            false => (l.to == item.id).then_some(&l.from),
        });
        let mut names: Vec<String> = Vec::new();
        for name in ids.filter_map(|id| case.item(id)).map(the) {
            if !names.contains(&name) {
                names.push(name);
            }
        }
        (!names.is_empty()).then(|| listed(names))
    };
    let rating = item.contact.as_ref().and_then(|c| c.rating.as_ref());
    let power = rating.map_or("power".to_string(), ToString::to_string);
    let from = linked(LinkKind::Power, false);
    let to = linked(LinkKind::Power, true);
    let contact = item.contact.is_some();
    // What it faces as says already that a radio antenna is an antenna.
    let says_more = |role: &&String| {
        let last = role.rsplit(' ').next().unwrap_or_default();
        !is_named_by_role(item) && !faces(item).is_some_and(|how| how.eq_ignore_ascii_case(last))
    };
    let role = item.role.iter().filter(says_more);
    let mut said: Vec<String> = role.map(|role| capital(role)).collect();
    match (from, to) {
        (Some(from), Some(to)) if contact => {
            said.push(format!("From {from} to {to}: {power}"));
        }
        (None, Some(to)) if contact => said.push(format!("In, for {to}: {power}")),
        (Some(from), None) if contact => said.push(format!("Out, from {from}: {power}")),
        (Some(from), _) => said.push(format!("Powered by {from}")),
        (None, _) => {}
    }
    let sources = linked(LinkKind::Signal, false);
    let targets = linked(LinkKind::Signal, true);
    match (sources, targets) {
        // A clamp across a supply is no one whom a contact talks to.
        (_, Some(_)) if rating.is_some() => {}
        (_, Some(targets)) if item.kind == ItemKind::Antenna => {
            said.push(format!("Sends and receives for {targets}"));
        }
        (_, Some(targets)) => said.push(format!("Reports to {targets}")),
        (Some(sources), None) => said.push(format!("Driven by {sources}")),
        (None, None) => {}
    }
    if said.is_empty() {
        return String::new();
    }
    said.join(". ") + "."
}

/// Returns whether a signal link only hangs something on a supply, such as a clamp: it is on the net of a power link
/// at one of its ends.
fn is_across_supply(case: &Case<'_>, link: &Link) -> bool {
    let powers = case.dossier.links.iter();
    let mut powers =
        powers.filter(|l| l.kind == LinkKind::Power && l.net.is_some() && l.net == link.net);
    powers.any(|l| {
        [&l.from, &l.to]
            .iter()
            .any(|end| **end == link.from || **end == link.to)
    })
}

/// Draws the signal links as recorded; `None` without any.
fn signals(case: &Case<'_>) -> Option<Finding> {
    let links = Place::links(case.dossier);
    let mut nodes: Vec<&Item> = Vec::new();
    let mut edges = Vec::new();
    let mut grounds = Grounds::default();
    for (link, place) in case.dossier.links.iter().zip(links) {
        if link.kind != LinkKind::Signal || is_across_supply(case, link) {
            continue;
        }
        let Some((from, to)) = case.item(&link.from).zip(case.item(&link.to)) else {
            grounds.unused(format!(
                "signal link {} → {}: one end is not in the record",
                link.from, link.to
            ));
            continue;
        };
        for item in [from, to] {
            if !nodes.iter().any(|n| n.id == item.id) {
                nodes.push(item);
            }
        }
        grounds.evidence(place);
        grounds.seen(&link.evidence);
        edges.push(SignalEdge {
            from: from.id.clone(),
            to: to.id.clone(),
            net: Cell::text(link.net.as_ref()),
        });
    }
    if edges.is_empty() {
        return None;
    }
    nodes.sort_by_key(|item| case.tree().number(&item.id));
    let outside = nodes.iter().filter(|item| faces(item).is_some()).count();
    let mut finding = Finding::new(Method::Inventory, word!("signals"), "Who talks to whom")
        .saying(format!(
            "{} between {}, of which {} the outside or {} it.",
            capital(&spelt_of(edges.len(), "signal runs", "signals run")),
            spelt_of(nodes.len(), "part", "parts"),
            spelt_of(outside, "faces", "face"),
            if outside == 1 { "senses" } else { "sense" },
        ));
    finding.details.push(Detail::Signals(SignalMap {
        nodes: nodes
            .into_iter()
            .map(|item| SignalNode {
                item: item.id.clone(),
                name: item.name.clone(),
                group: case.tree().part_of(&item.id).map(|i| i.id.clone()),
                outside: faces(item).map_or(Cell::Nothing, Cell::words),
            })
            .collect(),
        edges,
    }));
    grounds.close(&mut finding);
    Some(finding)
}
