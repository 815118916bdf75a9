//! How long can it run, and how many recharges does one cell give another?
//!
//! In: cells, mode currents, converters, power links. Out: run time per cell and mode, the mean
//! current that each claimed run time implies, recharges through the true chain.
//! Not here: verdicts on claims. Valid for mean currents: the capacity is not corrected for rate,
//! age or temperature. See `docs/methods/runtime.md`.

mod answer;
mod draw;
mod recharge;
mod store;

pub(crate) use draw::{Draw, charging_reading, draw, modes, resting};
pub(crate) use recharge::{pairs, recharges};
pub(crate) use store::{capacity, usable};

use crate::Finding;
use crate::basis::unit;
use crate::ledger::Ledger;
use crate::power::{Network, is_cell, within};
use quantity::{Sheet, Term};
use record::{ClaimKind, Dossier, Item};

/// Answers how long it can run and how many recharges it gives.
pub fn examine(dossier: &Dossier) -> Vec<Finding> {
    let network = Network::of(dossier);
    let mut findings = Vec::new();
    for cell in dossier.items.iter().filter(|i| is_cell(i)) {
        for mode in modes(&network, cell) {
            findings.push(answer::per_mode(&network, cell, &mode));
        }
    }
    for claim in dossier
        .claims
        .iter()
        .filter(|c| c.kind == ClaimKind::RunTime)
    {
        findings.extend(answer::implied(&network, claim));
    }
    for path in pairs(&network) {
        findings.push(answer::per_pair(&network, &path));
    }
    findings
}

/// Returns the run time of one cell in a mode.
pub(crate) fn run_time<'s>(
    sheet: &'s Sheet,
    network: &Network<'_>,
    cell: &Item,
    mode: &str,
    ledger: &mut Ledger,
) -> Option<(Term<'s>, Draw<'s>)> {
    let held = capacity(sheet, network.dossier, cell, ledger)?;
    let mut drawn = draw(sheet, network, cell, mode)?;
    ledger.absorb(std::mem::take(&mut drawn.ledger));
    let charge = usable(sheet, cell, held, ledger);
    let time = (charge / drawn.term).named(&format!("run time in mode {mode}"), &unit("h"));
    Some((time, drawn))
}

/// Returns the cells that a statement about `item` is about: the cell itself, the cells of the
/// assembly, or, with no item, every cell that feeds a mode of use.
pub(crate) fn cells_of<'d>(network: &Network<'d>, item: Option<&str>) -> Vec<&'d Item> {
    let dossier = network.dossier;
    let cells = dossier.items.iter().filter(|i| is_cell(i));
    if let Some(id) = item {
        return cells.filter(|c| within(dossier, &c.id, id)).collect();
    }
    let all: Vec<&Item> = cells.collect();
    let feeds = |c: &&Item| modes(network, c).iter().any(|m| !resting(m));
    let active: Vec<&Item> = all.iter().copied().filter(feeds).collect();
    if active.is_empty() { all } else { active }
}
