//! Where does power flow, and how much at most?
//!
//! In: contacts, converters, cells and power links of a dossier. Out: for every path the limits on
//! it, the smallest of them, what reaches the end; label arithmetic; printed voltages against
//! absolute maxima; the least charging time of every cell; the map of it all.
//! Not here: how the charging current changes with time; protection against surges.
//! Valid for steady state at the stated voltages; see `docs/methods/power.md`.

mod chain;
mod charge;
mod label;
mod limits;
mod map;
mod network;
mod path;
mod stage;
mod supply;

pub(crate) use chain::follow;
pub(crate) use charge::{charge_reach, charging_time};
pub(crate) use label::{VoltageFate, tidy, voltage_fate};
pub(crate) use network::{Network, Path, called, group, is_cell, multiplicity, within};
pub(crate) use path::greatest_use;
pub(crate) use stage::{Ratio, cell_voltage};
pub(crate) use supply::{Printed, ratings, supply_at};

use crate::ledger::Ledger;
use crate::{Detail, Finding, Method, Verdict};
use record::Dossier;

/// Answers where power flows and how much at most.
pub fn examine(dossier: &Dossier) -> Vec<Finding> {
    let network = Network::of(dossier);
    let mut findings = Vec::new();
    let mut bindings = map::Bindings::default();
    for start in network.supplies() {
        for way in network.paths_from(start) {
            findings.extend(path::examine(&network, &way, &mut bindings));
        }
    }
    let mut all = vec![overview(&network, &bindings)];
    for contact in network.entrances() {
        all.extend(voltages(&network, contact));
    }
    let mut told: Vec<(String, usize)> = Vec::new();
    for (printed, id) in printed_ratings(dossier) {
        // The same rating on several labels is checked once, with every place it stands.
        if let Some((_, at)) = told.iter().find(|(text, _)| *text == printed.rating.text) {
            let finding: &mut Finding = &mut all[*at];
            finding.add_evidence([printed.place]);
            continue;
        }
        let text = printed.rating.text.clone();
        if let Some(finding) = label::arithmetic(&printed, &id) {
            told.push((text, all.len()));
            all.push(finding);
        }
    }
    all.extend(findings);
    for cell in network.items().into_iter().filter(|i| is_cell(i)) {
        all.extend(charge::examine(&network, cell));
    }
    all
}

fn overview(network: &Network<'_>, bindings: &map::Bindings) -> Finding {
    let mut finding = Finding::new(Method::Power, "power.map", "Where power flows");
    let mut ledger = Ledger::default();
    for text in &network.dangling {
        ledger.unused(text.as_str());
    }
    for link in network.links() {
        ledger.evidence(format!("links.{}-{}", link.from, link.to));
        ledger.seen(&link.evidence);
    }
    let entrances = network.entrances();
    let items = network.items();
    let cells: Vec<_> = items.iter().filter(|i| is_cell(i)).collect();
    if items.is_empty() {
        finding.verdict = Some(Verdict::NeedsEvidence);
        finding.sentence = "No power link is recorded, so no path can be followed.".to_string();
        finding.missing.push(crate::Missing {
            measure: "follow the tracks and wires from every outside contact to every cell and load, and note \
                      them as power links"
                .to_string(),
            resolution: None,
            before_step: None,
            too_late: false,
        });
    } else {
        let names = |list: Vec<&str>| {
            if list.is_empty() {
                "none".to_string()
            } else {
                list.join(", ")
            }
        };
        finding.sentence = format!(
            "Power enters at {} ({}) and is stored in {} ({}).",
            count(entrances.len(), "contact"),
            names(entrances.iter().map(|i| i.name.as_str()).collect()),
            count(cells.len(), "kind of cell"),
            names(cells.iter().map(|i| i.name.as_str()).collect()),
        );
        finding
            .details
            .push(Detail::Power(map::draw(network, bindings)));
        if !cells.is_empty() {
            ledger.caution(
                "Lithium cells: do not short, puncture, heat or bend them; measure with current-limited \
                 supplies. Local rules and licensed practice come first.",
            );
        }
    }
    ledger.close(&mut finding);
    finding
}

/// Writes `1 contact`, `2 contacts`, `2 kinds of cell`.
fn count(n: usize, noun: &str) -> String {
    match (n, noun) {
        (1, noun) => format!("1 {noun}"),
        (n, "kind of cell") => format!("{n} kinds of cell"),
        (n, noun) => format!("{n} {noun}s"),
    }
}

/// Every printed rating once, with the id its finding gets.
fn printed_ratings(dossier: &Dossier) -> Vec<(Printed, String)> {
    let contacts = dossier.items.iter().filter_map(|i| {
        let rating = i.contact.as_ref()?.rating.clone()?;
        let place = format!("items.{}.contact.rating", i.id);
        Some((
            Printed {
                rating,
                by: format!("rating of {}", i.name),
                place,
            },
            i.id.clone(),
        ))
    });
    let labels = dossier.product.labels.iter().flat_map(|l| {
        let sides = [(&l.input, "input"), (&l.output, "output")];
        sides.into_iter().filter_map(move |(rating, side)| {
            let printed = Printed {
                rating: rating.clone()?,
                by: format!("{side} rating, {}", l.place),
                place: format!("label:{}", l.id),
            };
            Some((printed, format!("{}.{side}", l.id)))
        })
    });
    let claims = dossier.claims.iter().filter_map(|c| {
        let rating = c.rating.clone()?;
        Some((
            Printed {
                rating,
                by: c.printed.clone(),
                place: format!("claims.{}", c.id),
            },
            format!("claim-{}", c.id),
        ))
    });
    contacts.chain(labels).chain(claims).collect()
}

/// Holds the printed voltages of a contact against what stands on the paths behind it.
fn voltages(network: &Network<'_>, contact: &record::Item) -> Option<Finding> {
    let ratings = ratings(network.dossier, contact);
    let highest = ratings
        .iter()
        .filter_map(|p| p.rating.voltage.as_ref().map(|v| (p, v)))
        .max_by(|a, b| a.1.high_si().total_cmp(&b.1.high_si()))?;
    let (printed, stated) = highest;
    let mut finding = Finding::new(
        Method::Power,
        format!("power.voltage.{}", contact.id),
        format!(
            "Printed voltage at {} against absolute maxima",
            contact.name
        ),
    );
    finding.about = Some(contact.id.clone());
    let mut ledger = Ledger::default();
    ledger.evidence(printed.place.as_str());
    let start = network
        .entrances()
        .into_iter()
        .find(|i| i.id == contact.id)?;
    let fates: Vec<VoltageFate> = network
        .paths_from(start)
        .iter()
        .map(|p| label::voltage_fate(p, stated.high_si(), &mut ledger))
        .collect();
    let pick = |wanted: fn(&VoltageFate) -> Option<&String>| fates.iter().find_map(wanted).cloned();
    let exceeds = pick(|f| {
        if let VoltageFate::Exceeds(t) = f {
            Some(t)
        } else {
            None
        }
    });
    let blocked = pick(|f| {
        if let VoltageFate::Blocked(t) = f {
            Some(t)
        } else {
            None
        }
    });
    let survives = pick(|f| {
        if let VoltageFate::Survives(t) = f {
            Some(t)
        } else {
            None
        }
    });
    let (verdict, text) = match (exceeds, blocked, survives) {
        (Some(t), ..) => (
            Verdict::Fails,
            format!("is above what a part behind it stands: the {t}"),
        ),
        (_, Some(t), _) => (
            Verdict::Fails,
            format!("is cut off behind the contact: the {t}"),
        ),
        (.., Some(t)) => (
            Verdict::Holds,
            format!("stays within the stated maxima: the {t}"),
        ),
        _ => {
            finding.missing.push(crate::Missing {
                measure: format!(
                    "identify the first part behind {} and look up its input absolute maximum and over-voltage \
                     threshold",
                    contact.name
                ),
                resolution: Some("0.1 V".to_string()),
                before_step: None,
                too_late: false,
            });
            (
                Verdict::NeedsEvidence,
                "cannot be checked: no part behind it states a maximum".to_string(),
            )
        }
    };
    finding.verdict = Some(verdict);
    finding.sentence = format!("The {stated} printed for {} {text}.", contact.name);
    ledger.close(&mut finding);
    Some(finding)
}
