//! What stands between a hazard and what it can reach?
//!
//! In: contacts, cells, parts and links of a case. Out: for every hazard at every contact and cell whether each way on
//! record meets something that stops it, the way that does not, where a part would close it; whether ratings leave
//! room for each other; both sides of a product that is fed from the mains.
//! Not here: whether a product is safe. Links on record alone are looked at; see `docs/methods/protection.md`.

mod asked;
mod does;
mod mains;
mod margins;
mod told;
mod wires;
mod words;

use crate::distinct::Distinct;
use crate::grounds::Grounds;
use crate::words::{listed, spelt, spelt_start, the};
use crate::{Answer, Case, Column, Finding, Method, Missing, RowsOf, Verdict};
use record::{ContactKind, Item, Place};
use std::collections::HashSet;
use told::{Told, Wants};
use wires::Wires;

/// Answers what stands between hazards and what they can reach.
///
/// # Errors
/// [`crate::Cancelled`] if the case is to be worked on no longer.
pub fn examine(case: &Case<'_>) -> Answer {
    let wires = Wires::of(case);
    let (mut all, mut unled) = (Vec::new(), Vec::new());
    for asked in asked::asked(case) {
        case.go_on()?;
        match told::told(case, &wires, &asked) {
            Some(told) => all.push(told),
            None => unled.push(words::title(&asked)),
        }
    }
    let margins = margins::examine(case)?;
    let mut findings = Vec::new();
    findings.extend(overview(case, &all, unled));
    findings.extend(all.into_iter().map(|told| told.finding));
    findings.extend(margins);
    findings.extend(mains::examine(case));
    Ok(findings)
}

/// Tells all hazards in one sentence and one table; none where no contact or cell is on a link.
fn overview(case: &Case<'_>, all: &[Told<'_>], unled: Vec<String>) -> Option<Finding> {
    let title = "What protects contacts and cells";
    let mut finding = Finding::new(Method::Protection, word!("overview"), title);
    let mut grounds = Grounds::default();
    for title in unled {
        grounds.unused(format!("{title}: no way on record leads there"));
    }
    if all.is_empty() {
        return None;
    }
    let count = |verdict| {
        all.iter()
            .filter(|t| t.finding.verdict == Some(verdict))
            .count()
    };
    let (stopped, open) = (count(Verdict::Holds), count(Verdict::Fails));
    let (hidden, unsought) = (count(Verdict::Undecided), count(Verdict::NeedsEvidence));
    let parts = [
        (stopped, "stopped on every way on record"),
        (
            open,
            "stopped by nothing on a way of which every part is on record",
        ),
        (unsought, "open where nobody looked yet"),
        (
            hidden,
            "undecided: parts are not known well enough, or nothing was seen where we looked",
        ),
    ];
    let said = parts.iter().filter(|(n, _)| *n > 0).map(|(n, what)| {
        format!(
            "{} {} {what}",
            spelt(*n),
            if *n == 1 { "is" } else { "are" }
        )
    });
    finding.sentence = format!(
        "{}: {}. What is on record decides this; it says nothing about how well a part does its work.",
        spelt_start(
            all.len(),
            "hazard at contacts and cells was followed",
            "hazards at contacts and cells were followed"
        ),
        listed(said.collect()),
    );
    let mut missing = wanted(all);
    let loose = unlinked(case);
    if !loose.is_empty() {
        missing.push(Missing::at_any_time(format!(
            "follow the tracks from {} and note them as links",
            listed(loose)
        )));
    }
    finding.missing = missing;
    let columns = vec![
        Column::words("Hazard"),
        Column::place("Where"),
        Column::verdict("Verdict"),
        Column::words("What stands in its way"),
    ];
    let rows = all.iter().map(|told| told.row.clone()).collect();
    finding.details.extend(RowsOf::Hazards.table(columns, rows));
    grounds.evidence(Place::product());
    grounds.caution(CAUTION);
    grounds.source(SOURCE);
    grounds.close(&mut finding);
    Some(finding)
}

/// Returns what would settle what is open: what is to be done alike stands together.
fn wanted(all: &[Told<'_>]) -> Vec<Missing> {
    let gathered = |of: for<'a> fn(&'a Wants<'_>) -> &'a [&'a Item]| -> Vec<String> {
        let items = all.iter().flat_map(|told| of(&told.wants));
        items.map(|i| the(i)).collect::<Distinct>().into_vec()
    };
    let asks = [
        ("identify", gathered(|w| &w.identify), ""),
        (
            "look up in their data what",
            gathered(|w| &w.look_up),
            " do against what may reach them",
        ),
        ("look for protection boards on", gathered(|w| &w.boards), ""),
    ];
    let asks = asks.into_iter().filter(|(_, names, _)| !names.is_empty());
    let asks = asks.map(|(ask, names, end)| format!("{ask} {}{end}", listed(names)));
    let places = all.iter().filter_map(|told| told.wants.look_for.clone());
    asks.chain(places)
        .collect::<Distinct>()
        .into_iter()
        .map(Missing::at_any_time)
        .collect()
}

/// Returns the contacts from which no link leads, but for coils and antennas.
fn unlinked(case: &Case<'_>) -> Vec<String> {
    let links = case.dossier.links.iter();
    let linked: HashSet<&str> = links
        .flat_map(|l| [l.from.as_str(), l.to.as_str()])
        .collect();
    let touched = |i: &&Item| {
        let contact = i.contact.as_ref();
        contact.is_some_and(|c| !matches!(c.kind, ContactKind::Coil | ContactKind::Antenna))
    };
    let contacts = case.dossier.items.iter().filter(touched);
    contacts
        .filter(|i| !linked.contains(i.id.as_str()))
        .map(the)
        .collect()
}

/// Said wherever protections are told.
const CAUTION: &str = "That a protection is seen is no evidence that it works, that it is enough, or that any test was \
    passed. Do not try protections on cells or on the mains: standards bodies, test houses and licensed practice come \
    first.";

const SOURCE: &str = "Vertex cuts and dominators of the links on record (Menger 1927; Ford and Fulkerson 1956); common \
    practice of protecting inputs, contacts and cells";
