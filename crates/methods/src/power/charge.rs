//! The least time in which a cell can be charged.
//!
//! In: a cell and the paths into it. Out: the greatest charge current and capacity ÷ current, which
//! no charge can beat, with an estimate that adds the constant-voltage tail.
//! Not here: the course of a charge.

use super::chain::follow;
use super::network::{Network, is_cell, multiplicity};
use super::supply::supply_at;
use crate::basis::unit;
use crate::ledger::Ledger;
use crate::runtime::{capacity, charging_reading};
use crate::{Finding, Method, Missing, Verdict};
use quantity::{Distribution, Sheet, Term};
use record::Item;

/// Where the length of the constant-voltage tail is from.
const TAIL_SOURCE: &str = "Constant-current constant-voltage charge of an equivalent-circuit cell from 5 % to a \
    current of C/20: total time is 1.07, 1.22 and 1.63 times charge ÷ current at C/2, 1 C and 2 C";

/// The greatest charge current of a cell.
#[derive(Debug)]
pub(crate) struct Reach<'s> {
    /// Current into one cell.
    pub(crate) current: Term<'s>,
    /// That current, A.
    pub(crate) amps: f64,
    /// The limit that binds, in words.
    pub(crate) binds: String,
    /// The path, in words.
    pub(crate) path: String,
    pub(crate) ledger: Ledger,
}

/// Finds the path that lets the most current into the cell.
pub(crate) fn charge_reach<'s>(
    sheet: &'s Sheet,
    network: &Network<'_>,
    cell: &Item,
) -> Option<Reach<'s>> {
    let paths = network.paths_into(cell);
    // A path that begins at a contact fed from inside the product is the tail of a longer one.
    let whole =
        |p: &&super::network::Path<'_>| is_cell(p.start()) || network.before(p.start()).is_empty();
    let kept: Vec<_> = if paths.iter().any(|p| whole(&p)) {
        paths.iter().filter(whole).collect()
    } else {
        paths.iter().collect()
    };
    if let Some(reading) = charging_reading(network, cell) {
        let mut ledger = Ledger::default();
        let name = format!("charge current of {}", cell.name);
        let whole = ledger.reading(sheet, network.dossier, &name, reading);
        let pieces = f64::from(reading.pieces.unwrap_or(1).max(1));
        let current = if pieces > 1.0 { whole / pieces } else { whole };
        let path = kept.first().map_or_else(|| cell.name.clone(), |p| p.text());
        let amps = reading.value.si() / pieces;
        return Some(Reach {
            current,
            amps,
            binds: "measured charge current".to_string(),
            path,
            ledger,
        });
    }
    let mut best: Option<Reach<'s>> = None;
    for path in kept {
        let mut ledger = Ledger::default();
        let supply = supply_at(sheet, network, path.start(), &mut ledger);
        let mut chain = follow(sheet, network.dossier, path, supply);
        ledger.absorb(std::mem::take(&mut chain.ledger));
        let (Some(current), Some(binding)) = (chain.current, chain.binding) else {
            continue;
        };
        let pieces = f64::from(multiplicity(network.dossier, cell));
        let amps = chain.limits[binding].amps / pieces;
        if best.as_ref().is_some_and(|b| b.amps >= amps) {
            continue;
        }
        let current = if pieces > 1.0 {
            current / pieces
        } else {
            current
        };
        best = Some(Reach {
            current,
            amps,
            binds: chain.limits[binding].what.clone(),
            path: path.text(),
            ledger,
        });
    }
    best
}

/// Returns the least time to charge a cell and the estimate with the constant-voltage tail.
pub(crate) fn charging_time<'s>(
    sheet: &'s Sheet,
    network: &Network<'_>,
    cell: &Item,
    ledger: &mut Ledger,
) -> Option<(Term<'s>, Term<'s>, Reach<'s>)> {
    let mut reach = charge_reach(sheet, network, cell)?;
    let capacity = capacity(sheet, network.dossier, cell, ledger)?;
    ledger.absorb(std::mem::take(&mut reach.ledger));
    let least = (capacity.term / reach.current)
        .named(&format!("least charging time of {}", cell.name), &unit("h"));
    let tail = ledger.assumed(
        sheet,
        "factor of the constant-voltage tail",
        Distribution::Triangular {
            low: 1.0,
            mode: 1.2,
            high: 1.65,
        },
        "",
        "1.2 (1.0…1.65)",
        "record a `charging-time` reading to replace the estimate",
    );
    ledger.source(TAIL_SOURCE);
    let likely = (least * tail).named(
        &format!("likely charging time of {}", cell.name),
        &unit("h"),
    );
    Some((least, likely, reach))
}

/// Answers how fast a cell can be charged at most.
pub(crate) fn examine(network: &Network<'_>, cell: &Item) -> Option<Finding> {
    if network.before(cell).is_empty() {
        return None;
    }
    let sheet = Sheet::new();
    let mut ledger = Ledger::default();
    let mut finding = Finding::new(
        Method::Power,
        format!("power.charge.{}", cell.id),
        format!("How fast {} can be charged", cell.name),
    )
    .about(cell.id.as_str());
    let Some((least, likely, reach)) = charging_time(&sheet, network, cell, &mut ledger) else {
        finding.verdict = Some(Verdict::NeedsEvidence);
        finding.sentence = format!(
            "{}: no limit of the charge current or no capacity is stated.",
            cell.name
        );
        finding.missing.push(Missing {
            measure: format!(
                "read the capacity printed on {} and log a charge from empty",
                cell.name
            ),
            resolution: Some("1 % of the current, 10 s".to_string()),
            before_step: None,
            too_late: false,
        });
        ledger.close(&mut finding);
        return Some(finding);
    };
    finding.add_result("charge current", sheet.figure(reach.current));
    let times = [sheet.figure(least), sheet.figure(likely)];
    if let [Ok(least), Ok(likely)] = &times {
        finding.sentence = format!(
            "{} takes at least {} to charge ({}; the {} binds); with the constant-voltage tail about {}.",
            cell.name, least.text, reach.path, reach.binds, likely.text
        );
    }
    for (what, time) in ["least charging time", "likely charging time"]
        .into_iter()
        .zip(times)
    {
        finding.add_result(what, time);
    }
    if finding.sentence.is_empty() {
        finding.sentence = format!("{}: the charging time could not be computed.", cell.name);
    }
    ledger.caution(
        "Charge lithium cells only within their rated current and temperature, watched, on a surface that does \
         not burn; local rules and licensed practice come first.",
    );
    ledger.close(&mut finding);
    Some(finding)
}
