//! One path, answered: what reaches its end, what binds, and why a rating may be far above it.

use super::chain::{Chain, follow};
use super::label::tidy;
use super::map::Bindings;
use super::network::{Network, Path, called, is_cell, multiplicity};
use super::stage::{Ratio, is_charger};
use super::supply::{ratings, strongest, supply_at};
use crate::basis::unit;
use crate::ledger::Ledger;
use crate::{Detail, Finding, Method, Missing, Verdict};
use quantity::{Sheet, Term, format_quantity};
use record::{ConversionKind, Item};

/// A rating more than this many times what the path takes is explained in words.
const FAR_ABOVE: f64 = 1.5;

/// Answers for one path; `None` where nothing on it states a limit and it does not come from
/// outside.
pub(crate) fn examine(
    network: &Network<'_>,
    path: &Path<'_>,
    bindings: &mut Bindings,
) -> Option<Finding> {
    let sheet = Sheet::new();
    let mut ledger = Ledger::default();
    let (start, end) = (path.start(), path.end());
    let supply = supply_at(&sheet, network, start, &mut ledger);
    let mut chain = follow(&sheet, network.dossier, path, supply);
    ledger.absorb(std::mem::take(&mut chain.ledger));
    for link in &path.links {
        ledger.evidence(format!("links.{}-{}", link.from, link.to));
        ledger.seen(&link.evidence);
    }
    let id = path
        .items
        .iter()
        .map(|i| i.id.as_str())
        .collect::<Vec<_>>()
        .join("-");
    let title = format!("From {} to {}", start.name, end.name);
    let mut finding =
        Finding::new(Method::Power, format!("power.path.{id}"), title).about(end.id.as_str());
    let Some((binding, current)) = chain.binding.zip(chain.current) else {
        start.contact.as_ref()?;
        finding.verdict = Some(Verdict::NeedsEvidence);
        finding.sentence = format!(
            "{}: nothing on the way states a limit of current or power.",
            path.text()
        );
        finding.missing.push(Missing {
            measure: format!(
                "read the rating at {} and identify the converters on the way to {}",
                start.name, end.name
            ),
            resolution: None,
            before_step: None,
            too_late: false,
        });
        ledger.close(&mut finding);
        return Some(finding);
    };
    let limit = &chain.limits[binding];
    if limit.on_link {
        let after = path
            .items
            .iter()
            .position(|i| i.id == limit.item)
            .and_then(|k| path.links.get(k));
        bindings
            .links
            .extend(after.map(|l| (l.from.clone(), l.to.clone())));
    } else {
        bindings.items.insert(limit.item.clone());
    }
    finding.add_result("current at the end", sheet.figure(current));
    let at_end = chain.stages.last().and_then(|s| s.volts_in.or(s.volts_out));
    let at_end = if is_cell(end) {
        chain
            .stages
            .iter()
            .rev()
            .nth(1)
            .and_then(|s| s.volts_out)
            .or(at_end)
    } else {
        at_end
    };
    let delivered = at_end
        .map(|v| (v * current).named(&format!("greatest power into {}", end.name), &unit("W")));
    if let Some(watts) = delivered {
        finding.add_result("power at the end", sheet.figure(watts));
    }
    let taken = taken(&chain, current, start);
    if let Some(watts) = taken {
        finding.add_result("power at the start", sheet.figure(watts));
    }
    heat(&sheet, path, &chain, current, &mut finding);
    finding.details.push(table(&chain, binding, end));
    let amps = format_quantity(tidy(limit.amps), &unit("A"));
    let power = delivered
        .and_then(|t| sheet.value(t).ok())
        .map_or_else(String::new, |w| {
            format!(" ({})", format_quantity(tidy(w), &unit("W")))
        });
    let pieces = multiplicity(network.dossier, end);
    let together = if pieces > 1 {
        format!(" (all {pieces} together)")
    } else {
        String::new()
    };
    finding.sentence = format!(
        "{}: at most {amps}{power} reaches {}{together}; the {} binds.",
        path.text(),
        end.name,
        limit.what
    );
    if let Some(text) = rating_above(
        network,
        path,
        &sheet,
        taken.or(delivered),
        limit.what.as_str(),
    ) {
        finding.sentence.push(' ');
        finding.sentence.push_str(&text);
    }
    ledger.close(&mut finding);
    Some(finding)
}

/// Power drawn at the start when the end takes `current`.
fn taken<'s>(chain: &Chain<'s>, current: Term<'s>, start: &Item) -> Option<Term<'s>> {
    let volts = chain
        .stages
        .first()
        .and_then(|s| s.volts_in.or(s.volts_out))?;
    let amps = match chain.gain {
        Ratio::One => current,
        Ratio::Times(gain) => current / gain,
        Ratio::Unknown => return None,
    };
    Some((volts * amps).named(&format!("power taken at {}", start.name), &unit("W")))
}

/// Adds the heat in every stage that burns the difference of voltages.
fn heat<'s>(
    sheet: &'s Sheet,
    path: &Path<'_>,
    chain: &Chain<'s>,
    current: Term<'s>,
    finding: &mut Finding,
) {
    for (k, (item, stage)) in path.items.iter().zip(&chain.stages).enumerate() {
        let Some(conversion) = &item.converts else {
            continue;
        };
        let linear = matches!(
            conversion.kind,
            ConversionKind::LinearCharger | ConversionKind::LinearRegulator
        );
        // Only where the current in this stage is the current at the end.
        let same = chain.stages[k..]
            .iter()
            .all(|s| matches!(s.ratio, Ratio::One));
        if let (true, true, Some(from), Some(to)) = (linear, same, stage.volts_in, stage.volts_out)
        {
            let heat =
                ((from - to) * current).named(&format!("heat in {}", called(item)), &unit("W"));
            finding.add_result("heat", sheet.figure(heat));
            if is_charger(conversion) {
                finding.cite("A linear charger passes the same current in and out: efficiency = V cell ÷ V in, heat = (V in − V cell) × I");
            }
        }
    }
}

/// Returns the most power that any path takes at a contact under a printed rating, with what binds
/// it.
pub(crate) fn greatest_use<'s>(
    sheet: &'s Sheet,
    network: &Network<'_>,
    contact: &Item,
    printed: &super::supply::Printed,
    ledger: &mut Ledger,
) -> Option<(Term<'s>, String)> {
    let start = network
        .entrances()
        .into_iter()
        .find(|i| i.id == contact.id)?;
    let mut best: Option<(f64, Term<'s>, String)> = None;
    for path in network.paths_from(start) {
        let supply = printed.supply(sheet, start, ledger);
        let chain = follow(sheet, network.dossier, &path, supply);
        let Some((current, binding)) = chain.current.zip(chain.binding) else {
            continue;
        };
        let Some(watts) = taken(&chain, current, start) else {
            continue;
        };
        let Ok(value) = sheet.value(watts) else {
            continue;
        };
        if best.as_ref().is_none_or(|b| value > b.0) {
            best = Some((value, watts, chain.limits[binding].what.clone()));
        }
        ledger.absorb(chain.ledger);
    }
    best.map(|(_, watts, binds)| (watts, binds))
}

fn table(chain: &Chain<'_>, binding: usize, end: &Item) -> Detail {
    let rows = chain
        .limits
        .iter()
        .enumerate()
        .map(|(k, limit)| {
            vec![
                limit.what.clone(),
                format_quantity(tidy(limit.amps), &unit("A")),
                if k == binding {
                    "binds".to_string()
                } else {
                    String::new()
                },
            ]
        })
        .collect();
    Detail::Table {
        caption: format!("Limits on the way, as current at {}", end.name),
        columns: vec![
            "Limit".to_string(),
            format!("Current at {}", end.name),
            String::new(),
        ],
        rows,
    }
}

/// Explains a rating far above what the path takes.
fn rating_above<'s>(
    network: &Network<'_>,
    path: &Path<'_>,
    sheet: &'s Sheet,
    taken: Option<Term<'s>>,
    binds: &str,
) -> Option<String> {
    let start = path.start();
    let all = ratings(network.dossier, start);
    let printed = strongest(&all)?;
    let (rated, used) = (printed.watts()?, sheet.value(taken?).ok()?);
    if used <= 0.0 || rated < FAR_ABOVE * used {
        return None;
    }
    let others: Vec<&str> = network
        .items()
        .into_iter()
        .filter(|i| {
            i.id != path.end().id
                && (is_cell(i) || !i.loads.is_empty() || network.after(i).is_empty())
                && network
                    .paths_from(
                        network
                            .items()
                            .into_iter()
                            .find(|s| s.id == start.id)
                            .unwrap_or(i),
                    )
                    .iter()
                    .any(|p| p.end().id == i.id)
        })
        .map(|i| i.name.as_str())
        .collect();
    let rest = if others.is_empty() {
        "No other consumer is recorded behind this contact, so the rest can only be head-room for a larger sibling \
         product, or a figure for the box: it is not a charging speed"
            .to_string()
    } else {
        format!(
            "The rest can go to {} at the same time, or is head-room for a larger sibling product; it is not a \
             charging speed",
            others.join(", ")
        )
    };
    let product = match printed.rating.power {
        Some(_) => String::new(),
        None => format!(" ({})", format_quantity(tidy(rated), &unit("W"))),
    };
    Some(format!(
        "The {} says {}{product}, {:.1} times the {} this path can take, because the {binds} holds it back. {rest}.",
        printed.by,
        printed.rating,
        rated / used,
        format_quantity(tidy(used), &unit("W")),
    ))
}
