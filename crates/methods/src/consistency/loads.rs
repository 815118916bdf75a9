//! Loads and modes: each current stands once in a mode, each mode once, shares of time within the whole.

use super::Contradiction;
use crate::{Cancelled, Case};
use record::{Item, Load, Place};
use std::collections::BTreeMap;

/// Returns the contradictions about loads and modes.
pub(super) fn found(case: &Case<'_>) -> Result<Vec<Contradiction>, Cancelled> {
    let mut found = Vec::new();
    for item in &case.dossier.items {
        case.go_on()?;
        let mut by_mode: BTreeMap<&str, Vec<&Load>> = BTreeMap::new();
        for load in &item.loads {
            by_mode.entry(&load.mode).or_default().push(load);
        }
        found.extend(
            by_mode
                .iter()
                .filter_map(|(mode, loads)| twice(item, mode, loads)),
        );
    }
    found.extend(modes(case));
    Ok(found)
}

/// Currents that flow for different shares of the time add up; two that flow all the time do not, and
/// the same current for the same share is one written twice.
fn twice(item: &Item, mode: &str, loads: &[&Load]) -> Option<Contradiction> {
    let alike = |a: &Load, b: &Load| match (&a.duty, &b.duty) {
        (None, None) => true,
        (Some(x), Some(y)) => x.si() == y.si() && a.current.si() == b.current.si(),
        _ => false,
    };
    let pairs = (1..loads.len()).flat_map(|k| (0..k).map(move |j| (j, k)));
    let (a, b) = pairs
        .map(|(j, k)| (loads[j], loads[k]))
        .find(|(a, b)| alike(a, b))?;
    Some(Contradiction {
        rule: "load-twice",
        about: Place::item(&item.id),
        subject: format!("what {} draws on {mode}", item.name),
        what: format!(
            "{} has two loads on {mode}, {} and {}, both all the time or for the same share of it",
            item.name, a.current, b.current
        ),
        so:
            "The run time would count both. Keep the one that was measured, or give each its `duty`"
                .to_string(),
        places: Vec::new(),
        with: Some(mode.to_string()),
    })
}

fn modes(case: &Case<'_>) -> Vec<Contradiction> {
    let mut found = Vec::new();
    let mut times: BTreeMap<&str, usize> = BTreeMap::new();
    for mode in &case.dossier.modes {
        *times.entry(&mode.name).or_default() += 1;
    }
    for (name, _) in times.into_iter().filter(|(_, n)| *n > 1) {
        found.push(Contradiction {
            rule: "mode-twice",
            about: Place::dossier().at("modes"),
            subject: format!("mode {name}"),
            what: format!("Mode {name} stands twice in `modes`"),
            so: "Its run time depends on which entry is meant. Keep one of them".to_string(),
            places: Vec::new(),
            with: Some(name.to_string()),
        });
    }
    let shares: f64 = case
        .dossier
        .modes
        .iter()
        .filter_map(|m| m.share.as_ref())
        .map(|s| s.low_si())
        .sum();
    let rounding: f64 = case
        .dossier
        .modes
        .iter()
        .filter_map(|m| m.share.as_ref())
        .map(|s| 0.5 * s.last_digit.abs() * s.unit.factor())
        .sum();
    if shares > 1.0 + rounding {
        found.push(Contradiction {
            rule: "more-than-all-the-time",
            about: Place::dossier().at("modes"),
            subject: "how the time of use is shared".to_string(),
            what: format!(
                "The shares of the modes add up to {:.0} % of the time",
                100.0 * shares
            ),
            so: "The run time in ordinary use is weighted by them. Correct `share`".to_string(),
            places: Vec::new(),
            with: None,
        });
    }
    found
}
