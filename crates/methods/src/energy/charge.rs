//! The least time in which a cell can be charged.
//!
//! In: a cell and the paths into it. Out: the greatest charge current and capacity ÷ current, which
//! no charge can beat, with an estimate that adds the constant-voltage tail.
//! Not here: the course of a charge.

use super::draw::charging_reading;
use super::store::capacity;
use crate::Case;
use crate::assumed;
use crate::basis::unit;
use crate::cells::is_cell;
use crate::ledger::Ledger;
use crate::network::{Path, follow, supply_at};
use quantity::{Sheet, Term};
use record::Item;

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
    case: &Case<'_>,
    cell: &Item,
) -> Option<Reach<'s>> {
    let network = case.network();
    // A path that begins at a contact fed from inside the product is the tail of a longer one.
    let whole = |p: &&Path<'_>| is_cell(p.start()) || !network.is_fed(p.start());
    let any_whole = network.paths_into(cell).any(|p| whole(&p));
    let kept = || {
        let paths = network.paths_into(cell);
        paths.filter(move |p| !any_whole || whole(p))
    };
    if let Some(reading) = charging_reading(case, cell) {
        let mut ledger = Ledger::default();
        let name = format!("charge current of {}", cell.name);
        let whole = ledger.reading(sheet, case, &name, reading);
        let pieces = f64::from(reading.pieces.unwrap_or(1).max(1));
        let current = if pieces > 1.0 { whole / pieces } else { whole };
        let path = kept().next().map_or_else(|| cell.name.clone(), Path::text);
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
    for path in kept() {
        let mut ledger = Ledger::default();
        let supply = supply_at(sheet, case, path.start(), &mut ledger);
        let mut chain = follow(sheet, case, path, supply);
        ledger.absorb(std::mem::take(&mut chain.ledger));
        let (Some(current), Some(binding)) = (chain.current, chain.binding) else {
            continue;
        };
        let pieces = f64::from(case.tree().pieces(cell));
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
    case: &Case<'_>,
    cell: &Item,
    ledger: &mut Ledger,
) -> Option<(Term<'s>, Term<'s>, Reach<'s>)> {
    let mut reach = charge_reach(sheet, case, cell)?;
    let capacity = capacity(sheet, case, cell, ledger)?;
    ledger.absorb(std::mem::take(&mut reach.ledger));
    let least = (capacity.term / reach.current)
        .named(&format!("least charging time of {}", cell.name), &unit("h"));
    let tail = ledger.assumed(
        sheet,
        "factor of the constant-voltage tail",
        &assumed::CHARGING_TAIL,
        "record a `charging-time` reading to replace the estimate",
    );
    ledger.source(assumed::CHARGING_TAIL.source());
    let likely = (least * tail).named(
        &format!("likely charging time of {}", cell.name),
        &unit("h"),
    );
    Some((least, likely, reach))
}
