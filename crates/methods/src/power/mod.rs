//! Where does power flow, and how much at most?
//!
//! In: contacts, converters, cells and power links of a dossier. Out: for every path the limits on
//! it, the smallest of them, what reaches the end; label arithmetic; printed voltages against
//! absolute maxima; the least charging time of every cell; what meters logged; the map of it all.
//! Not here: how the charging current changes with time; protection against surges.
//! Valid for steady state at the stated voltages; see `docs/methods/power.md`.

mod charge;
mod flow;
mod label;
mod logged;
mod logged_chart;
mod map;
mod mistakes;
mod narrow;
mod path;
mod rows;
mod shared;

use crate::cells::is_cell;
use crate::grounds::Grounds;
use crate::inputs::{tidy, unit};
use crate::network::{Printed, VoltageFate, ratings_and_claims, voltage_fate};
use crate::words::{listed, the};
use crate::{Answer, Case, Detail, Finding, Method, Missing, RowsOf, Verdict};
pub use label::sum;
pub use mistakes::{Mistake, mistakes};
pub use narrow::{Narrowing, Narrowings, narrowings};
use quantity::format_quantity;
use record::{Dossier, Item, Place};
use rows::VoltageRow;
use std::collections::HashMap;

/// Answers where power flows and how much at most.
///
/// # Errors
/// [`crate::Cancelled`] if the case is to be worked on no longer.
pub fn examine(case: &Case<'_>) -> Answer {
    let network = case.network();
    let mut findings = Vec::new();
    let (mut path_rows, mut voltage_rows) = (Vec::new(), Vec::new());
    let mut bindings = map::Bindings::default();
    let mut flows = flow::Flows::default();
    for start in network.supplies() {
        for way in network.paths_from(start) {
            case.go_on()?;
            if let Some((finding, row)) = path::examine(case, way, &mut bindings, &mut flows) {
                findings.push(finding);
                path_rows.extend(row);
            }
        }
    }
    let mut all = vec![overview(case, &bindings, &flows)];
    for contact in network.entrances() {
        case.go_on()?;
        if let Some((finding, row)) = voltages(case, contact) {
            all.push(finding);
            voltage_rows.push(row);
        }
    }
    if let Some(sentence) = rows::all_stand(&voltage_rows) {
        all[0].sentence.push_str(&format!(" {sentence}"));
    }
    all[0].details.extend(rows::paths(path_rows));
    all[0].details.extend(rows::voltages(voltage_rows));
    for contact in case.dossier.items.iter().filter(|i| i.contact.is_some()) {
        case.go_on()?;
        all.extend(shared::examine(case, contact));
    }
    let mut told: HashMap<String, usize> = HashMap::new();
    let mut sums = Vec::new();
    for (printed, side, on) in printed_ratings(case.dossier) {
        // The same rating on several labels is checked once, with every place it stands.
        if let Some(at) = told.get(&printed.rating.text) {
            all[*at].add_evidence([printed.place]);
            continue;
        }
        case.go_on()?;
        let text = printed.rating.text.clone();
        if let Some((finding, row)) = label::arithmetic(&printed, side, on) {
            told.insert(text, all.len());
            all.push(finding);
            sums.push(row);
        }
    }
    all[0].details.extend(rows::sums(sums));
    all.extend(findings);
    for cell in network.items().filter(|i| is_cell(i)) {
        case.go_on()?;
        all.extend(charge::examine(case, cell));
    }
    for log in &case.dossier.logs {
        case.go_on()?;
        all.push(logged::examine(case, log));
    }
    Ok(all)
}

fn overview(case: &Case<'_>, bindings: &map::Bindings, flows: &flow::Flows) -> Finding {
    let mut finding = Finding::new(Method::Power, word!("map"), "Where power flows");
    let mut grounds = Grounds::default();
    for text in &case.network().dangling {
        grounds.unused(text.as_str());
    }
    for link in case.network().links() {
        grounds.evidence(case.link_place(*link));
        grounds.seen(&link.evidence);
    }
    for start in case.network().supplies() {
        if case.network().is_cut_short(start) {
            grounds.unused(format!(
                "ways from {}: there are more than are followed; record fewer power links",
                start.name
            ));
        }
    }
    let is_handed = |item: &&Item| case.network().is_fed(item);
    let entrances = case.network().entrances().filter(|i| !is_handed(i));
    let entrances: Vec<String> = entrances.map(the).collect();
    let handed: Vec<String> = case
        .network()
        .entrances()
        .filter(is_handed)
        .map(the)
        .collect();
    let cells = case.network().items().filter(|i| is_cell(i));
    let cells: Vec<String> = cells.map(the).collect();
    if case.network().items().next().is_none() {
        finding.verdict = Some(Verdict::NeedsEvidence);
        finding.sentence = "No power link is recorded, so no path can be followed.".to_string();
        finding.missing.push(Missing::at_any_time(
            "follow the tracks and wires from every outside contact to every cell and load, and note \
             them as power links",
        ));
    } else {
        let handed = match handed.is_empty() {
            true => String::new(),
            false => format!(" passes from part to part at {}", listed(handed)),
        };
        let comma = if handed.is_empty() { "" } else { "," };
        let stored = format!(" is stored in {}", listed(cells.clone()));
        finding.sentence = match (entrances.is_empty(), cells.is_empty()) {
            (false, false) => format!(
                "Power enters at {}{comma}{handed}, and{stored}.",
                listed(entrances)
            ),
            (false, true) => format!(
                "Power enters at {}{comma}{handed}; no power link on record leads to a cell.",
                listed(entrances)
            ),
            (true, false) if handed.is_empty() => {
                format!("No contact on record takes power in; it{stored}.")
            }
            (true, false) => {
                format!("No contact on record takes power in; it{handed}, and{stored}.")
            }
            (true, true) => {
                "No contact on record takes power in, and no power link leads to a cell."
                    .to_string()
            }
        };
        finding
            .details
            .push(Detail::Power(map::draw(case, bindings, flows)));
        if !cells.is_empty() {
            grounds.caution(
                "Lithium cells: do not short, puncture, heat or bend them; measure with current-limited \
                 supplies. Local rules and licensed practice come first.",
            );
        }
    }
    grounds.close(&mut finding);
    finding
}

/// Every printed rating once, with the side of a label and what it is printed on.
fn printed_ratings(dossier: &Dossier) -> Vec<(Printed, Option<&'static str>, Place)> {
    let contacts = dossier.items.iter().filter_map(|i| {
        let rating = i.contact.as_ref()?.rating.clone()?;
        let place = Place::item(&i.id).at("contact.rating");
        Some((
            Printed {
                rating,
                by: format!("rating of {}", the(i)),
                place,
            },
            None,
            Place::item(&i.id),
        ))
    });
    let labels = dossier.product.labels.iter().flat_map(|l| {
        let sides = [(&l.input, "input"), (&l.output, "output")];
        sides.into_iter().filter_map(move |(rating, side)| {
            let printed = Printed {
                rating: rating.clone()?,
                by: format!("{side} rating on {}", crate::words::place(&l.place)),
                place: Place::label(&l.id),
            };
            Some((printed, Some(side), Place::label(&l.id)))
        })
    });
    let claims = dossier.claims.iter().filter_map(|c| {
        let rating = c.rating.clone()?;
        Some((
            Printed {
                rating,
                by: c.printed.clone(),
                place: Place::claim(&c.id),
            },
            None,
            Place::claim(&c.id),
        ))
    });
    contacts.chain(labels).chain(claims).collect()
}

/// Holds the printed voltages of a contact against what stands on the paths behind it.
fn voltages(case: &Case<'_>, contact: &record::Item) -> Option<(Finding, VoltageRow)> {
    let ratings = ratings_and_claims(case, contact);
    let highest = ratings
        .iter()
        .filter_map(|p| p.rating.highest_voltage().map(|v| (p, v)))
        .max_by(|a, b| a.1.high_si().total_cmp(&b.1.high_si()))?;
    let (printed, stated) = highest;
    let highest = format_quantity(tidy(stated.high_si()), &unit("V"));
    let mut finding = Finding::new(
        Method::Power,
        word!("voltage"),
        format!(
            "Do the parts behind {} withstand the printed voltages?",
            the(contact)
        ),
    )
    .about(Place::item(&contact.id));
    let mut grounds = Grounds::default();
    grounds.evidence(printed.place.clone());
    let fates: Vec<VoltageFate> = case
        .network()
        .paths_from(contact)
        .iter()
        .map(|p| voltage_fate(p, stated.high_si(), &mut grounds))
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
    let stands = exceeds
        .clone()
        .or_else(|| blocked.clone())
        .or_else(|| survives.clone());
    let (verdict, text) = match (exceeds, blocked, survives) {
        (Some(t), ..) => (
            Verdict::Fails,
            format!("are more than a part behind withstands: {t}"),
        ),
        (_, Some(t), _) => (
            Verdict::Fails,
            format!("are cut off behind the contact: {t}"),
        ),
        (.., Some(t)) => (
            Verdict::Holds,
            format!("are no more than the parts behind withstand: {t}"),
        ),
        _ => {
            finding.missing.push(crate::Missing {
                measure: format!(
                    "identify the first part behind {} and look up how many volts it withstands and at how many it opens",
                    the(contact)
                ),
                resolution: Some("0.1 V".to_string()),
                before_step: None,
                too_late: false,
                settles: None,
            });
            (
                Verdict::NeedsEvidence,
                "cannot be checked: no part behind it states a maximum".to_string(),
            )
        }
    };
    finding.verdict = Some(verdict);
    finding.sentence = format!("The {highest} printed for {} {text}.", the(contact));
    finding.told_in = Some(RowsOf::Voltages);
    grounds.close(&mut finding);
    let row = VoltageRow::of(
        contact,
        the(contact),
        highest,
        stands.unwrap_or_default(),
        verdict,
    );
    Some((finding, row))
}
